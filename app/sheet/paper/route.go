package paper

import (
	"math"

	"loomwright/app/sheet"
	"loomwright/calc/harness"
	"loomwright/calc/sketch"
)

// The sketch on paper, in millimetres.
//
// Source: our choice.
const (
	smallestName = 6.5 * sheet.Point // of type on paper: below it a long sketch goes over several pages
	overlap      = 12.0              // of pages that follow each other
)

// routePart is the sketch on A4 or Letter: on one page if its type stays readable, else on pages that follow each other downwards and
// overlap.
func routePart(pdf *pen, b *harness.Build, o sheet.Options) part {
	wide, high := paperSize(o)
	s := sheet.SketchOf(b, o)
	top, room := edge+headHeight, high-2*edge-headHeight-sheet.SketchKey
	fit := (wide - 2*edge) / max(s.W, 1)
	scale := min(fit, room/max(s.H, 1))
	if scale*sketch.NameSize < smallestName {
		scale = fit
	}
	step := room - overlap
	pages := 1
	if tall := s.H * scale; tall > room {
		pages = int(math.Ceil((tall - overlap) / step))
	}
	left := edge + (wide-2*edge-s.W*scale)/2
	return part{title: "Route", wide: wide, high: high, pages: pages, foot: "Loomwright · " + lengthsIn(b), draw: func(n int) error {
		pdf.pageHead("Route", b, o, wide)
		pdf.ClipRect(0, top-1, wide, room+2, false)
		pdf.sketch(b, s, left, top-float64(n)*step, scale)
		pdf.ClipEnd()
		pdf.write(edge, high-edge-1, sheet.SketchNotes, 7, false)
		return nil
	}}
}

// sketch draws the layout with its corner at left and top.
func (p *pen) sketch(b *harness.Build, s sheet.Sketch, left, top, scale float64) {
	x := func(v float64) float64 { return left + v*scale }
	y := func(v float64) float64 { return top + v*scale }
	for _, l := range s.Lines {
		p.SetLineWidth(l.Width)
		p.SetDashPattern(nil, 0)
		if l.Dashed {
			p.SetDashPattern([]float64{1.2, 0.9}, 0)
		}
		for i, at := range l.Points {
			if i == 0 {
				p.MoveTo(x(at.X), y(at.Y))
			} else if i%3 == 0 {
				c, d := l.Points[i-2], l.Points[i-1]
				p.CurveBezierCubicTo(x(c.X), y(c.Y), x(d.X), y(d.Y), x(at.X), y(at.Y))
			}
		}
		p.DrawPath("D")
	}
	p.SetDashPattern(nil, 0)
	anchored := func(at sketch.Text, down float64, text string, px float64, bold bool) {
		points := px * scale / sheet.Point
		if at.Anchor == "end" {
			p.writeRight(x(at.X), y(at.Y+down), text, points, bold)
		} else {
			p.write(x(at.X), y(at.Y+down), text, points, bold)
		}
	}
	for _, l := range s.Lines {
		anchored(l.Length, 0, l.Figure, sketch.LengthSize, true)
	}
	p.SetLineWidth(0.4)
	for _, n := range s.Nodes {
		style := "FD"
		p.SetFillColor(255, 255, 255)
		if sheet.Filled(b, n.Place) {
			p.SetFillColor(0, 0, 0)
		}
		r := n.R * scale
		if n.Kind == harness.Controller {
			p.Rect(x(n.X)-r, y(n.Y)-r, 2*r, 2*r, style)
		} else {
			p.Circle(x(n.X), y(n.Y), r, style)
		}
		p.SetFillColor(0, 0, 0)
		for i, line := range n.Lines {
			anchored(n.Name, float64(i)*sketch.LineHeight, line, sketch.NameSize, false)
		}
	}
}
