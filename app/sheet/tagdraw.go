package sheet

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

// ruler is the bar that proves that a printer did not scale the page; the zero ruler is none.
type ruler struct{ x, y, length float64 }

// ruler puts a bar of 100 mm, or 50 where the page is narrow, into the larger margin.
func (g Grid) ruler() ruler {
	const needs = 8 // millimetres of margin: printers leave about 4 white at the edge
	below := (g.PageH - g.Top - unit.Length(g.Rows-1)*g.PitchY - g.LabelH).MM()
	above := g.Top.MM()
	r := ruler{y: g.PageH.MM() - below + 2, length: 100}
	if above > below+0.05 {
		r.y = above - 4
	}
	if max(above, below) < needs {
		return ruler{}
	}
	if g.PageW.MM() < 130 {
		r.length = 50
	}
	if g.PageW.MM() < 70 {
		return ruler{}
	}
	r.x = 15
	return r
}

func (p TagPlan) caption(page int, o Options) string {
	parts := []string{"print at 100 %, not fitted to the page", fmt.Sprintf("sheet %d of %d", page, p.Pages)}
	if o.Revision != "" {
		parts = append(parts, "rev "+o.Revision)
	}
	if o.Date != "" {
		parts = append(parts, o.Date)
	}
	return fmt.Sprintf("%.0f mm · ", p.ruler.length) + strings.Join(parts, " · ")
}

// drawTagsPDF writes the label sheets in exact millimetres.
func drawTagsPDF(w io.Writer, b *harness.Build, o Options) error {
	plan, err := PlanTags(b, o)
	if err != nil {
		return err
	}
	pdf, err := newPages(o.Font, plan.Grid.PageW.MM(), plan.Grid.PageH.MM(), o)
	if err != nil {
		return err
	}
	pdf.SetTitle(title(b)+", tags", true)
	page := 0
	for _, l := range plan.Labels {
		for page < l.Page {
			page++
			pdf.AddPage()
			pdf.drawRuler(plan, page, o)
		}
		for _, t := range l.Lines {
			pdf.write(t.X, t.Y, t.Text, t.Points, t.Bold)
		}
		if l.Fold > 0 {
			pdf.SetLineWidth(0.1)
			pdf.Line(l.Fold, l.Y, l.Fold, l.Y+1)
			pdf.Line(l.Fold, l.Y+l.H-1, l.Fold, l.Y+l.H)
		}
		if l.Square != nil {
			if err := pdf.drawSquare(l.SquareX, l.SquareY, plan.Grid.PageH.MM(), *l.Square); err != nil {
				return err
			}
		}
	}
	return pdf.flush(w)
}

func (p *pen) drawRuler(plan TagPlan, page int, o Options) {
	r := plan.ruler
	if r == (ruler{}) {
		return
	}
	p.SetLineWidth(0.15)
	p.Line(r.x, r.y, r.x+r.length, r.y)
	for at := 0.0; at <= r.length; at += 10 {
		tick := 1.0
		if at == 0 || at == 50 || at == r.length {
			tick = 2
		}
		p.Line(r.x+at, r.y, r.x+at, r.y+tick)
	}
	p.write(r.x+r.length+2, r.y+2, plan.caption(page, o), 6, false)
}

// drawSquare fills the dark modules as one path, so that no viewer shows seams between them, with more decimals than
// the library writes, so that each edge lies on a dot of the printer.
func (p *pen) drawSquare(x, y, pageHeight float64, q tag.Square) error {
	rows, err := q.Bitmap()
	if err != nil {
		return err
	}
	module := q.Module() / point
	left := (x + tag.QuietZone*q.Module()) / point
	bottom := (pageHeight-y)/point - float64(tag.QuietZone+len(rows))*module
	var path strings.Builder
	f := func(v float64) string { return strconv.FormatFloat(v, 'f', 6, 64) }
	fmt.Fprintf(&path, "q 0 g %s 0 0 %s %s %s cm", f(module), f(module), f(left), f(bottom))
	for i, row := range rows {
		for _, s := range stretches(row) {
			fmt.Fprintf(&path, "\n%d %d %d 1 re", s[0], len(rows)-1-i, s[1]-s[0])
		}
	}
	path.WriteString("\nf Q")
	p.RawWriteStr(path.String())
	return nil
}

// stretches returns the beginnings and ends of the dark modules of a row.
func stretches(row []bool) (out [][2]int) {
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

// drawTagsSVG writes one page of labels, in millimetres.
func drawTagsSVG(w io.Writer, b *harness.Build, o Options) error {
	plan, err := PlanTags(b, o)
	if err != nil {
		return err
	}
	page := max(o.Tags.Page, 1)
	if page > plan.Pages {
		return fmt.Errorf("sheet: tags, page %d: there are %d", page, plan.Pages)
	}
	d := newDrawing(plan.Grid.PageW.MM(), plan.Grid.PageH.MM(), title(b)+", tags")
	for _, l := range plan.Labels {
		if l.Page != page {
			continue
		}
		for _, t := range l.Lines {
			d.text(t.X, t.Y, t.Text, t.Points*point, t.Bold, "start")
		}
		if l.Fold > 0 {
			d.line(l.Fold, l.Y, l.Fold, l.Y+1, 0.1)
			d.line(l.Fold, l.Y+l.H-1, l.Fold, l.Y+l.H, 0.1)
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
			for _, s := range stretches(row) {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", s[0], y, s[1]-s[0], s[1]-s[0])
			}
		}
		border := tag.QuietZone * l.Square.Module()
		d.fill(path.String(), l.SquareX+border, l.SquareY+border, l.Square.Module())
	}
	if r := plan.ruler; r != (ruler{}) {
		d.line(r.x, r.y, r.x+r.length, r.y, 0.15)
		for at := 0.0; at <= r.length; at += 10 {
			d.line(r.x+at, r.y, r.x+at, r.y+1, 0.15)
		}
		d.text(r.x+r.length+2, r.y+2, plan.caption(page, o), 6*point, false, "start")
	}
	return d.flush(w)
}
