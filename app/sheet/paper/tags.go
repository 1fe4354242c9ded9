package paper

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"loomwright/app/sheet"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
)

// writeTags writes the label sheets in exact millimetres.
func writeTags(w io.Writer, b *harness.Build, o sheet.Options, told Progress) error {
	plan, err := sheet.PlanTags(b, o)
	if err != nil {
		return err
	}
	pdf, err := newPages(plan.Grid.PageW.MM(), plan.Grid.PageH.MM(), o)
	if err != nil {
		return err
	}
	pdf.SetTitle(sheet.Title(b)+", tags", true)
	page := 0
	for _, l := range plan.Labels {
		for page < l.Page {
			page++
			told.page(page, plan.Pages)
			pdf.AddPageFormat("P", fpdf.SizeType{Wd: plan.PageWidth(page), Ht: plan.Grid.PageH.MM()})
			pdf.drawRuler(plan, page, o)
		}
		for _, t := range l.Lines {
			pdf.write(t.X, t.Y, t.Text, t.Points, t.Bold)
		}
		for _, s := range l.Strokes() {
			pdf.SetLineWidth(0.1)
			pdf.Line(s[0], s[1], s[2], s[3])
		}
		if l.Square != nil {
			if err := pdf.drawSquare(l.SquareX, l.SquareY, plan.Grid.PageH.MM(), *l.Square); err != nil {
				return err
			}
		}
	}
	return pdf.flush(w)
}

func (p *pen) drawRuler(plan sheet.TagPlan, page int, o sheet.Options) {
	r := plan.Ruler
	if r == (sheet.Ruler{}) {
		return
	}
	p.SetLineWidth(0.15)
	p.Line(r.X, r.Y, r.X+r.Length, r.Y)
	for at := 0.0; at <= r.Length; at += 10 {
		tick := 1.0
		if at == 0 || at == 50 || at == r.Length {
			tick = 2
		}
		p.Line(r.X+at, r.Y, r.X+at, r.Y+tick)
	}
	p.write(r.X+r.Length+2, r.Y+2, plan.Caption(page, o), 6, false)
}

// drawSquare fills the dark modules as one path, so that no viewer shows seams between them, with more decimals than
// the library writes, so that each edge lies on a dot of the printer.
func (p *pen) drawSquare(x, y, pageHeight float64, q tag.Square) error {
	rows, err := q.Bitmap()
	if err != nil {
		return err
	}
	module := q.Module() / sheet.Point
	left := (x + tag.QuietZone*q.Module()) / sheet.Point
	bottom := (pageHeight-y)/sheet.Point - float64(tag.QuietZone+len(rows))*module
	var path strings.Builder
	f := func(v float64) string { return strconv.FormatFloat(v, 'f', 6, 64) }
	fmt.Fprintf(&path, "q 0 g %s 0 0 %s %s %s cm", f(module), f(module), f(left), f(bottom))
	for i, row := range rows {
		for _, s := range sheet.Stretches(row) {
			fmt.Fprintf(&path, "\n%d %d %d 1 re", s[0], len(rows)-1-i, s[1]-s[0])
		}
	}
	path.WriteString("\nf Q")
	p.RawWriteStr(path.String())
	return nil
}
