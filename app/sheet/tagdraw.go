package sheet

import (
	"fmt"
	"io"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

// Ruler is the bar that proves that a printer did not scale the page, from its left end, in millimetres. The zero Ruler is
// none.
type Ruler struct{ X, Y, Length float64 }

// ruler puts a bar of 100 mm, or 50 where the page is narrow, into the larger margin.
func (g Grid) ruler() Ruler {
	const needs = 8 // millimetres of margin: printers leave about 4 white at the edge
	below := (g.PageH - g.Top - unit.Length(g.Rows-1)*g.PitchY - g.LabelH).MM()
	above := g.Top.MM()
	r := Ruler{Y: g.PageH.MM() - below + 2, Length: 100}
	if above > below+0.05 {
		r.Y = above - 4
	}
	if max(above, below) < needs {
		return Ruler{}
	}
	if g.PageW.MM() < 130 {
		r.Length = 50
	}
	if g.PageW.MM() < 70 {
		return Ruler{}
	}
	r.X = 15
	return r
}

// Caption is what stands beside the ruler of a page.
func (p TagPlan) Caption(page int, o Options) string {
	parts := []string{"print at 100 %, not fitted to the page", fmt.Sprintf("sheet %d of %d", page, p.Pages)}
	if o.Revision != "" {
		parts = append(parts, "rev "+o.Revision)
	}
	if o.Date != "" {
		parts = append(parts, o.Date)
	}
	return fmt.Sprintf("%.0f mm · ", p.Ruler.Length) + strings.Join(parts, " · ")
}

// Stretches returns the beginnings and ends of the dark modules of a row.
func Stretches(row []bool) (out [][2]int) {
	for i := 0; i < len(row); i++ {
		if !row[i] {
			continue
		}
		from := i
		for i < len(row) && row[i] {
			i++
		}
		out = append(out, [2]int{from, i})
	}
	return out
}

// drawTags writes one page of labels, in millimetres.
func drawTags(w io.Writer, b *harness.Build, o Options) error {
	plan, err := PlanTags(b, o)
	if err != nil {
		return err
	}
	page := max(o.Tags.Page, 1)
	if page > plan.Pages {
		return fmt.Errorf("sheet: tags, page %d: there are %d", page, plan.Pages)
	}
	d := newDrawing(plan.PageWidth(page), plan.Grid.PageH.MM(), Title(b)+", tags")
	for _, l := range plan.Labels {
		if l.Page != page {
			continue
		}
		for _, t := range l.Lines {
			d.text(t.X, t.Y, t.Text, t.Points*Point, t.Bold, "start")
		}
		for _, s := range l.Strokes() {
			d.line(s[0], s[1], s[2], s[3], 0.1)
		}
		if l.Square == nil {
			continue
		}
		rows, err := l.Square.Bitmap()
		if err != nil {
			return err
		}
		var path strings.Builder
		for y, row := range rows {
			for _, s := range Stretches(row) {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", s[0], y, s[1]-s[0], s[1]-s[0])
			}
		}
		border := tag.QuietZone * l.Square.Module()
		d.fill(path.String(), l.SquareX+border, l.SquareY+border, l.Square.Module())
	}
	if r := plan.Ruler; r != (Ruler{}) {
		d.line(r.X, r.Y, r.X+r.Length, r.Y, 0.15)
		for at := 0.0; at <= r.Length; at += 10 {
			d.line(r.X+at, r.Y, r.X+at, r.Y+1, 0.15)
		}
		d.text(r.X+r.Length+2, r.Y+2, plan.Caption(page, o), 6*Point, false, "start")
	}
	return d.flush(w)
}
