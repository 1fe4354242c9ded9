package kit

import (
	"math"
	"slices"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/sketch"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// sceneKey is what a scene is made of, beside what is marked and lit.
type sceneKey struct {
	build string
	rev   int
	width float64
	here  string
}

// scene is the drawing of a route with what is known of its runs. It is not changed once it is made.
type scene struct {
	W, H  float64
	Lines []line
	Dots  []dot

	key          sceneKey
	places, runs []string
	drawing      sketch.Drawing
}

// line is a run as it is drawn.
type line struct {
	D      string
	Width  string
	Class  string
	Length string // beside it
	At     sketch.Text
	None   bool   // the length is not known
	Marks  string // what is drawn across it, if anything: the path of its ticks or its cross
}

// dot is a place as it is drawn.
type dot struct {
	Place  string
	X, Y   float64
	R      float64
	Square bool
	Class  string
	Names  []string
	At     sketch.Text
	Ring   bool
}

func (p *scene) isOf(key sceneKey, places, runs []string) bool {
	return p.key == key && slices.Equal(p.places, places) && slices.Equal(p.runs, runs)
}

// newScene draws the open build. The layout is taken over from the scene before where only marks changed.
func newScene(s *session.Session, key sceneKey, places, runs []string, before *scene) *scene {
	b := s.B()
	p := &scene{key: key, places: slices.Clone(places), runs: slices.Clone(runs)}
	if before != nil && before.key.build == key.build && before.key.rev == key.rev && before.key.width == key.width {
		p.drawing = before.drawing
	} else {
		p.drawing = sketch.Layout(b, sketch.Options{Width: key.width})
	}
	p.W, p.H = p.drawing.W, p.drawing.H
	weight := weights(s, p.drawing)
	sys := b.Settings.Unit
	for _, e := range p.drawing.Edges {
		k, known := s.Lengths().Run(e.Run)
		l := line{D: e.D(), Width: strokeOf(weight[e.Run]), Class: "run", At: e.Length, Length: "?", None: !known}
		if known {
			l.Length = tape(k.Length, sys)
		}
		if !known || k.Guess {
			l.Class += " guess"
		}
		l.Marks = qualityMarks(e.Points, k.Quality)
		if k.Quality == survey.Disagreeing {
			l.Class += " odd"
		}
		if slices.Contains(runs, e.Run) {
			l.Class += " lit"
		}
		p.Lines = append(p.Lines, l)
	}
	for _, n := range p.drawing.Nodes {
		d := dot{Place: n.Place, X: n.X, Y: n.Y, R: n.R, Class: "place", Names: n.Lines, At: n.Name}
		switch n.Kind {
		case harness.Controller, harness.Panel, harness.TerminalStrip:
			d.Square = true
		}
		if n.Place == key.here {
			d.Class, d.R = "here", d.R+3
		}
		d.Ring = slices.Contains(places, n.Place)
		p.Dots = append(p.Dots, d)
	}
	return p
}

// tape is a length as one reads it off a tape: whole millimetres, up, or sixteenths of an inch.
func tape(l unit.Length, sys unit.System) string {
	if sys != unit.Imperial {
		l = l.RoundUp(unit.Millimetre)
	}
	number, _ := l.Figures(sys)
	return number
}

// weights is how much each run carries: its wires, or before there are any, twice the places that lie beyond it, so that
// the trunk can be told from a leg from the beginning.
func weights(s *session.Session, d sketch.Drawing) map[string]int {
	n := map[string]int{}
	if s.B().Wires.Len() > 0 {
		for run, wires := range s.Graph().PerRun() {
			n[run] = len(wires)
		}
		return n
	}
	beyond := map[string]int{}
	for i := len(d.Nodes) - 1; i >= 0; i-- {
		leg := d.Nodes[i]
		beyond[leg.Place]++
		r, ok := s.B().Runs.Get(leg.Run)
		if !ok {
			continue
		}
		n[leg.Run] = 2 * beyond[leg.Place]
		if parent, ok := r.OtherEnd(leg.Place); ok {
			beyond[parent] += beyond[leg.Place]
		}
	}
	return n
}

// strokeOf is the thickness of a run with so many wires: like a bundle, it grows with the root.
func strokeOf(wires int) string {
	return strconv.FormatFloat(min(1.6+0.8*math.Sqrt(float64(wires)), 11), 'f', 1, 64)
}

// middle is where to look: at a place or a run, or at all the lit runs.
func (p *scene) middle(aim string, lit []string) (x, y float64, ok bool) {
	if n, found := p.drawing.Node(aim); found {
		return n.X, n.Y, true
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, e := range p.drawing.Edges {
		if slices.Contains(lit, e.Run) {
			for _, at := range e.Points {
				x0, y0, x1, y1 = min(x0, at.X), min(y0, at.Y), max(x1, at.X), max(y1, at.Y)
			}
		}
	}
	return (x0 + x1) / 2, (y0 + y1) / 2, x0 <= x1
}

// paper is the drawing itself. It is drawn again only when its scene or scale is another one.
type paper struct {
	app.Compo
	Scene *scene
	Scale float64
	Named string // the place that was tapped
}

// legible is the least scale at which names and lengths are drawn. Source: our choice: 13 px at half size is no text.
const legible = 0.55

// Render draws runs, lengths, places and names, in this order.
func (p *paper) Render() app.UI {
	s := p.Scene
	var body, top []app.UI
	for _, l := range s.Lines {
		body = append(body, SVG("path").Attr("data-sk", l.Class).Attr("d", l.D).Attr("stroke-width", l.Width))
	}
	for _, d := range s.Dots {
		body = append(body, p.mark(d))
		if d.Ring || d.Place == p.Named {
			body = append(body, SVG("circle").Attr("data-sk", "mark").Attr("cx", px(d.X)).Attr("cy", px(d.Y)).Attr("r", px(d.R+6)))
		}
	}
	if p.Scale >= legible {
		for _, l := range s.Lines {
			if l.Marks != "" {
				body = append(body, SVG("path").Attr("data-sk", "cross "+l.Class).Attr("d", l.Marks))
			}
			class := "len"
			if l.None {
				class = "len none"
			}
			top = append(top, text(class, l.Length, l.At.X, l.At.Y, l.At.Anchor))
		}
		for _, d := range s.Dots {
			for i, name := range d.Names {
				top = append(top, text("name", name, d.At.X, d.At.Y+float64(i)*sketch.LineHeight, d.At.Anchor))
			}
		}
	}
	return SVG("svg").Aria("hidden", true).
		Attr("viewBox", "0 0 "+px(s.W)+" "+px(s.H)).
		Attr("width", px(s.W*p.Scale)).Attr("height", px(s.H*p.Scale)).
		Body(SVG("g").Body(body...), SVG("g").Body(top...))
}

func (p *paper) mark(d dot) app.UI {
	if d.Square {
		return SVG("rect").Attr("data-sk", d.Class).Attr("x", px(d.X-d.R)).Attr("y", px(d.Y-d.R)).
			Attr("width", px(2*d.R)).Attr("height", px(2*d.R))
	}
	return SVG("circle").Attr("data-sk", d.Class).Attr("cx", px(d.X)).Attr("cy", px(d.Y)).Attr("r", px(d.R))
}

// text is a word of the drawing. The framework sets no class on elements of a drawing, so data-sk stands for it.
func text(class, words string, x, y float64, anchor string) app.UI {
	return SVG("text").Attr("data-sk", class).Attr("x", px(x)).Attr("y", px(y)).Attr("text-anchor", anchor).Text(words)
}

func px(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
