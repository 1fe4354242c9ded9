package kit

import (
	"math"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/session"
	"loomwright/calc/sketch"
)

// Sketch draws the route of the open build. The thickness of a run is the number of its wires, dashes are a length that
// is guessed or not known, and the place where one stands is the only thing filled with the accent. It is hidden from
// screen readers: the page shows a list beside it that says and does the same.
//
// A tap takes the nearest place and names it. With Act set it then offers a button with that word, and a second tap on
// the same place does the same; without it OnPlace is called at once.
type Sketch struct {
	app.Compo
	S       *session.Session
	Rev     int
	Here    string   // the place where one stands; it is brought into the middle
	Places  []string // marked with a ring
	Runs    []string // drawn in the accent
	Class   string   // "short", "tall" or "full"
	Act     string   // what a tap on a place offers: "Stand here"
	OnPlace func(ctx app.Context, place string)
	OnRun   func(ctx app.Context, run string) // nil: runs cannot be tapped

	w, h  float64 // of the paper, px; 0 until it is measured
	scale float64 // px on the paper for one of the drawing; 0 is the usual one
	whole bool    // the scale follows the paper, so that all of it is in sight
	named string  // the place that was tapped last
	aimed string  // what was last brought into the middle
	scene *scene  // what is drawn, made again when something in it changed
	fresh int     // the revision of the build that may be drawn; a newer one waits until the tap that made it is painted
	due   int     // the revision that waits
}

const (
	zoomStep  = 1.4
	zoomLeast = 0.25
	zoomMost  = 3.0
)

// painted is when the frame that answers a tap is on the screen. Source: our choice, two frames of a slow phone.
const painted = 34 * time.Millisecond

// OnMount measures the paper and brings the middle into sight.
func (s *Sketch) OnMount(ctx app.Context) { s.settle(ctx) }

// OnUpdate does so again when the page asks for another picture. A changed build is drawn a moment later: that is the
// longest work of a tap, and what the person looks at, the number and the question, must not wait for it.
func (s *Sketch) OnUpdate(ctx app.Context) {
	if s.fresh == s.S.Rev() {
		s.settle(ctx)
		return
	}
	rev := s.S.Rev()
	if s.due == rev {
		return
	}
	s.due = rev
	ctx.After(painted, func(ctx app.Context) {
		if rev == s.S.Rev() && s.S.ID() != "" {
			s.fresh = rev
			ctx.Defer(s.settle)
		}
	})
}

// OnResize does so again when the window changed.
func (s *Sketch) OnResize(ctx app.Context) { s.settle(ctx) }

// settle measures the paper where that can have changed, and scrolls if what belongs into the middle changed.
func (s *Sketch) settle(ctx app.Context) {
	js := ctx.JSSrc()
	w, h := js.Get("clientWidth").Float(), js.Get("clientHeight").Float()
	same := w == s.w && h == s.h
	s.w, s.h = w, h
	if aim := s.aim(); !same || aim != s.aimed {
		s.aimed = aim
		ctx.Defer(func(app.Context) { s.scroll(aim) })
	}
}

// aim names what belongs into the middle.
func (s *Sketch) aim() string {
	switch {
	case s.Here != "":
		return s.Here
	case len(s.Runs) > 0:
		return s.Runs[0]
	case len(s.Places) > 0:
		return s.Places[0]
	}
	return ""
}

// scroll brings a place, or the lit runs, into the middle.
func (s *Sketch) scroll(aim string) {
	x, y, ok := s.picture().middle(aim, s.Runs)
	if !ok || !s.Mounted() {
		return
	}
	k := s.zoomed()
	window := s.JSValue().Get("firstElementChild")
	window.Set("scrollLeft", math.Round(x*k-s.w/2))
	window.Set("scrollTop", math.Round(y*k-s.h/2))
}

// paperWidth is the width the drawing is laid out for: that of the paper, within what reads well.
func (s *Sketch) paperWidth() float64 {
	if s.w <= 0 {
		return 390
	}
	return min(max(s.w, 320), 640)
}

// zoomed is the scale now.
func (s *Sketch) zoomed() float64 {
	p := s.picture()
	switch {
	case s.whole && s.w > 0 && s.h > 0 && p.W > 0 && p.H > 0:
		return max(min(1, s.w/p.W, s.h/p.H), zoomLeast)
	case s.scale == 0 || s.whole:
		return 1
	}
	return s.scale
}

func (s *Sketch) onTap(ctx app.Context, e app.Event) {
	box := ctx.JSSrc().Get("firstElementChild").Call("getBoundingClientRect")
	k := s.zoomed()
	s.tap(ctx, (e.Get("clientX").Float()-box.Get("left").Float())/k, (e.Get("clientY").Float()-box.Get("top").Float())/k)
}

// tap takes what is nearest to a point of the drawing.
func (s *Sketch) tap(ctx app.Context, x, y float64) {
	place, away := s.picture().drawing.Nearest(x, y)
	if s.OnRun != nil {
		if run, d := s.picture().nearestRun(x, y); run != "" && d < away && d < fingertip/s.zoomed() {
			s.named = ""
			s.OnRun(ctx, run)
			return
		}
	}
	again := place == s.named
	s.named = place
	if place != "" && s.OnPlace != nil && (s.Act == "" || again) {
		s.onAct(ctx, app.Event{})
	}
}

// fingertip is how far from a run a tap still means it, px. Source: our choice, half of the least target.
const fingertip = 28

func (s *Sketch) onAct(ctx app.Context, _ app.Event) {
	place := s.named
	if s.Act != "" {
		s.named = ""
	}
	s.OnPlace(ctx, place)
}

func (s *Sketch) onCloser(ctx app.Context, _ app.Event) { s.zoom(ctx, s.zoomed()*zoomStep, false) }
func (s *Sketch) onWider(ctx app.Context, _ app.Event)  { s.zoom(ctx, s.zoomed()/zoomStep, false) }
func (s *Sketch) onWhole(ctx app.Context, _ app.Event)  { s.zoom(ctx, 0, !s.whole) }

func (s *Sketch) zoom(ctx app.Context, scale float64, whole bool) {
	s.scale, s.whole = scale, whole
	if scale != 0 {
		s.scale = min(max(scale, zoomLeast), zoomMost)
	}
	aim := s.aim()
	if s.named != "" {
		aim = s.named
	}
	ctx.Defer(func(app.Context) { s.scroll(aim) })
}

// picture is what is drawn now.
func (s *Sketch) picture() *scene {
	if s.scene == nil || s.scene.key.build != s.S.ID() {
		s.fresh = s.S.Rev()
	}
	if s.fresh != s.S.Rev() {
		return s.scene
	}
	want := sceneKey{s.S.ID(), s.fresh, s.paperWidth(), s.Here}
	if s.scene == nil || !s.scene.isOf(want, s.Places, s.Runs) {
		s.scene = newScene(s.S, want, s.Places, s.Runs, s.scene)
	}
	return s.scene
}

// Render draws the paper, the name of the place that was tapped, and the buttons.
func (s *Sketch) Render() app.UI {
	if _, ok := s.S.B().Places.Get(s.named); !ok || s.named == s.Here {
		s.named = ""
	}
	return app.Div().Class("paper sketch "+s.Class).Body(
		app.Div().Class("sk").OnClick(s.onTap).Body(&paper{Scene: s.picture(), Scale: s.zoomed(), Named: s.named}),
		s.name(),
		app.Div().Class("zoom").Body(
			zoomButton("−", "wider", s.onWider), zoomButton("+", "closer", s.onCloser), zoomButton("▢", "whole sketch", s.onWhole),
		),
	)
}

func (s *Sketch) name() app.UI {
	if s.named == "" {
		return nil
	}
	name := PlaceName(s.S.B(), s.named)
	if s.Act == "" || s.OnPlace == nil {
		return app.Div().Class("named").Text(name)
	}
	return app.Button().Type("button").Class("named").OnClick(s.onAct, s.named).Body(
		app.B().Text(name), app.Span().Text(" "+s.Act+" →"),
	)
}

func zoomButton(sign, name string, do app.EventHandler) app.UI {
	return app.Button().Type("button").Aria("label", name).OnClick(do, name).Text(sign)
}

// nearestRun returns the run that passes nearest to a point, and how far away; "" if there is none.
func (p *scene) nearestRun(x, y float64) (run string, distance float64) {
	distance = math.Inf(1)
	for _, e := range p.drawing.Edges {
		for i := 0; i+3 < len(e.Points); i += 3 {
			for step := range 17 {
				at := along(e.Points[i:i+4], float64(step)/16)
				if d := math.Hypot(at.X-x, at.Y-y); d < distance {
					run, distance = e.Run, d
				}
			}
		}
	}
	return run, distance
}

// along is the point of a cubic curve at t from 0 to 1.
func along(p []sketch.Point, t float64) sketch.Point {
	u := 1 - t
	a, b, c, d := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return sketch.Point{X: a*p[0].X + b*p[1].X + c*p[2].X + d*p[3].X, Y: a*p[0].Y + b*p[1].Y + c*p[2].Y + d*p[3].Y}
}
