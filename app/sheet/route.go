package sheet

import (
	"fmt"
	"io"
	"math"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/sketch"
)

// The sketch on paper, in units of the layout (px) and millimetres.
//
// Source: our choice; at this width the names of the layout come out at 9 pt across a portrait page.
const (
	sketchWidth  = 760.0
	smallestName = 6.5 * point // of type on paper, in mm: below it a long sketch goes over several pages
	keyHeight    = 8.0         // room under a sketch for its explanation
	overlap      = 12.0        // of pages that follow each other
	solid        = ""
	dashed       = "1.2 0.9"
	sketchNotes  = "line weight: how many wires · dashed: not measured · square: controller · filled: mounted · not to scale"
)

// sketchLine is a run as it is drawn.
type sketchLine struct {
	sketch.Edge
	width  float64 // mm
	dash   string
	length string // "?" where it is not known
}

// sketchOf lays out the route and settles what each line looks like.
func sketchOf(b *harness.Build, o Options) (sketch.Drawing, []sketchLine) {
	f := factsOf(b, o)
	d := sketch.Layout(b, sketch.Options{Width: sketchWidth})
	inRun := f.graph.PerRun()
	var lines []sketchLine
	for _, e := range d.Edges {
		l := sketchLine{Edge: e, width: 0.25 + 0.2*math.Sqrt(float64(len(inRun[e.Run]))), dash: dashed, length: "?"}
		if known, ok := f.graph.Lengths().Run(e.Run); ok {
			l.dash = solid
			l.length, _ = known.Length.Figures(f.system)
		}
		lines = append(lines, l)
	}
	return d, lines
}

// filled reports whether a place is drawn full: it is mounted.
func filled(b *harness.Build, place string) bool {
	p, _ := b.Places.Any(place)
	return p.Status == harness.Mounted
}

// drawRouteSVG writes the sketch on one drawing, as tall as it needs.
func drawRouteSVG(w io.Writer, b *harness.Build, o Options) error {
	const scale, border = 0.25, 5.0
	s, lines := sketchOf(b, o)
	x := func(v float64) float64 { return border + v*scale }
	d := newDrawing(s.W*scale+2*border, s.H*scale+2*border+keyHeight, title(b)+", route")
	for _, l := range lines {
		var path strings.Builder
		for i, p := range l.Points {
			switch {
			case i == 0:
				path.WriteString("M")
			case i%3 == 1:
				path.WriteString("C")
			default:
				path.WriteString(" ")
			}
			path.WriteString(short(x(p.X)) + " " + short(x(p.Y)))
		}
		d.stroke(path.String(), l.width, l.dash)
	}
	for _, l := range lines {
		d.text(x(l.Length.X), x(l.Length.Y), l.length, sketch.LengthSize*scale, true, l.Length.Anchor)
	}
	for _, n := range s.Nodes {
		d.mark(x(n.X), x(n.Y), n.R*scale, n.Kind == harness.Controller, filled(b, n.Place))
		for i, line := range n.Lines {
			d.text(x(n.Name.X), x(n.Name.Y+float64(i)*sketch.LineHeight), line, sketch.NameSize*scale, false, n.Name.Anchor)
		}
	}
	d.text(border, x(s.H)+keyHeight-2, sketchNotes+" · lengths in "+lengthUnit(b.Settings.Unit), 6*point, false, "start")
	return d.flush(w)
}

// drawRoutePDF writes the sketch on A4 or Letter: on one page if its type stays readable, else on pages that follow
// each other downwards and overlap.
func drawRoutePDF(w io.Writer, b *harness.Build, o Options) error {
	wide, high := 210.0, 297.0
	if o.Letter {
		wide, high = 215.9, 279.4
	}
	s, lines := sketchOf(b, o)
	pdf, err := newPages(o.Font, wide, high, o)
	if err != nil {
		return err
	}
	pdf.SetTitle(title(b)+", route", true)
	top, room := edge+headHeight, high-2*edge-headHeight-keyHeight
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
	t := Table{Title: "Route"}
	left := edge + (wide-2*edge-s.W*scale)/2
	for n := range pages {
		pdf.AddPage()
		t.pageHead(pdf, b, o, wide)
		pdf.ClipRect(0, top-1, wide, room+2, false)
		pdf.sketch(b, s, lines, left, top-float64(n)*step, scale)
		pdf.ClipEnd()
		foot := high - edge + 4
		pdf.write(edge, foot-5, sketchNotes, 7, false)
		pdf.write(edge, foot, "Loomwright · "+t.lengthsIn(b), 7, false)
		pdf.writeRight(wide-edge, foot, fmt.Sprintf("page %d of %d", n+1, pages), 7, false)
	}
	return pdf.flush(w)
}

// sketch draws the layout with its corner at left and top.
func (p *pen) sketch(b *harness.Build, s sketch.Drawing, lines []sketchLine, left, top, scale float64) {
	x := func(v float64) float64 { return left + v*scale }
	y := func(v float64) float64 { return top + v*scale }
	for _, l := range lines {
		p.SetLineWidth(l.width)
		p.SetDashPattern(nil, 0)
		if l.dash != solid {
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
		points := px * scale / point
		if at.Anchor == "end" {
			p.writeRight(x(at.X), y(at.Y+down), text, points, bold)
		} else {
			p.write(x(at.X), y(at.Y+down), text, points, bold)
		}
	}
	for _, l := range lines {
		anchored(l.Length, 0, l.length, sketch.LengthSize, true)
	}
	p.SetLineWidth(0.4)
	for _, n := range s.Nodes {
		style := "FD"
		p.SetFillColor(255, 255, 255)
		if filled(b, n.Place) {
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
