package sheet

import (
	"io"
	"math"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/sketch"
)

// The sketch as a drawing, in units of the layout (px) and millimetres.
//
// Source: our choice; at this width the names of the layout come out at 9 pt across a portrait page.
const (
	sketchWidth = 760.0
	solid       = ""
	dashed      = "1.2 0.9"
)

// SketchKey is the room under a sketch for SketchNotes, in millimetres.
const SketchKey = 8.0

// SketchNotes says how to read a sketch.
const SketchNotes = "line weight: how many wires · dashed: not measured · square: controller · filled: mounted · not to scale"

// Sketch is the route as it is drawn: the layout, and what each line looks like.
type Sketch struct {
	sketch.Drawing
	Lines []SketchLine
}

// SketchLine is a run as it is drawn.
type SketchLine struct {
	sketch.Edge
	Width  float64 // mm
	Dashed bool
	Figure string // its length, "?" where it is not known
}

// SketchOf lays out the route and settles what each line looks like.
func SketchOf(b *harness.Build, o Options) Sketch {
	f := factsOf(b, o)
	s := Sketch{Drawing: sketch.Layout(b, sketch.Options{Width: sketchWidth})}
	inRun := f.graph.PerRun()
	for _, e := range s.Edges {
		l := SketchLine{Edge: e, Width: 0.25 + 0.2*math.Sqrt(float64(len(inRun[e.Run]))), Dashed: true, Figure: "?"}
		if known, ok := f.graph.Lengths().Run(e.Run); ok {
			l.Dashed = false
			l.Figure, _ = known.Length.Figures(f.system)
		}
		s.Lines = append(s.Lines, l)
	}
	return s
}

// Filled reports whether a place is drawn full: it is mounted.
func Filled(b *harness.Build, place string) bool {
	p, _ := b.Places.Any(place)
	return p.Status == harness.Mounted
}

// drawRoute writes the sketch on one drawing, as tall as it needs.
func drawRoute(w io.Writer, b *harness.Build, o Options) error {
	const scale, border = 0.25, 5.0
	s := SketchOf(b, o)
	x := func(v float64) float64 { return border + v*scale }
	d := newDrawing(s.W*scale+2*border, s.H*scale+2*border+SketchKey, Title(b)+", route")
	for _, l := range s.Lines {
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
		dash := solid
		if l.Dashed {
			dash = dashed
		}
		d.stroke(path.String(), l.Width, dash)
	}
	for _, l := range s.Lines {
		d.text(x(l.Length.X), x(l.Length.Y), l.Figure, sketch.LengthSize*scale, true, l.Length.Anchor)
	}
	for _, n := range s.Nodes {
		d.mark(x(n.X), x(n.Y), n.R*scale, n.Kind == harness.Controller, Filled(b, n.Place))
		for i, line := range n.Lines {
			d.text(x(n.Name.X), x(n.Name.Y+float64(i)*sketch.LineHeight), line, sketch.NameSize*scale, false, n.Name.Anchor)
		}
	}
	d.text(border, x(s.H)+SketchKey-2, SketchNotes+" · lengths in "+LengthUnit(b.Settings.Unit), 6*Point, false, "start")
	return d.flush(w)
}
