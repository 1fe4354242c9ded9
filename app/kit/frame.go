package kit

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/session"
)

// Frame is the sheet of paper around every page: a title, the way back, the saved mark, undo; what the page shows;
// and a foot for the next action, in reach of the thumb.
type Frame struct {
	S     *session.Session
	Title string
	Bare  bool     // about no build: without the saved mark and undo
	Back  *Addr    // nil leaves the way back out
	Body  []app.UI // scrolls
	Whole app.UI   // instead of Body: takes the whole space and scrolls by itself
	Pad   app.UI   // under Body, in sight while it scrolls
	No    string   // why the last entry was not taken: stands above Body
	Foot  []app.UI // none leaves the foot out

	Beside *Sketch // left of Body where the screen is wide enough; see Lit
}

// UI returns the frame as a tree.
func (f Frame) UI() app.UI {
	middle := f.Whole
	if middle == nil {
		body := f.Body
		if f.No != "" {
			body = append([]app.UI{Note("bad", "That was not taken.", f.No)}, body...)
		}
		middle = app.Div().Class("scroll").Body(app.Div().Class("narrow stack").Body(body...))
		if f.Pad != nil {
			middle = app.Div().Class("side").Body(middle, f.Pad)
		}
		if f.Beside != nil {
			middle = app.Div().Class("two").Body(f.Beside, app.Div().Class("side").Body(middle))
		}
	}
	parts := []app.UI{
		app.Header().Class("head").Body(f.back(), app.H1().Text(f.Title), f.mark(), f.undo()),
		middle,
	}
	if len(f.Foot) > 0 {
		parts = append(parts, app.Footer().Class("foot").Body(app.Div().Class("narrow stack").Body(f.Foot...)))
	}
	return app.Main().Class("page").Body(parts...)
}

func (f Frame) back() app.UI {
	if f.Back == nil {
		return nil
	}
	return app.Button().Type("button").Class("back").Aria("label", "back").OnClick(To(*f.Back), *f.Back).Text("‹")
}

func (f Frame) mark() app.UI {
	if f.Bare {
		return nil
	}
	return &Mark{S: f.S}
}

func (f Frame) undo() app.UI {
	if f.Bare || f.S.ID() == "" {
		return nil
	}
	return app.Button().Type("button").Class("tool").Disabled(!f.S.CanUndo()).OnClick(func(ctx app.Context, _ app.Event) {
		f.S.Undo(ctx)
	}).Text("Undo")
}

// Mark is the saved mark. It draws itself again at every confirmed save; its data-edit is the number of the newest
// edit of this phone that the store has confirmed.
type Mark struct {
	app.Compo
	S *session.Session

	stop func()
}

// OnMount begins to listen.
func (m *Mark) OnMount(ctx app.Context) {
	m.stop = m.S.Watch(func() { ctx.Dispatch(func(app.Context) {}) })
}

// OnDismount stops.
func (m *Mark) OnDismount() {
	if m.stop != nil {
		m.stop()
	}
}

// Render draws it.
func (m *Mark) Render() app.UI {
	k := m.S.Mark()
	class := "mark"
	if k.Failed || k.ReadOnly {
		class = "mark bad"
	}
	return app.Span().Class(class).Aria("live", "polite").DataSet("edit", strconv.FormatInt(k.N, 10)).Text(MarkWord(k))
}

// MarkWord says in a word or two how safe the work is.
func MarkWord(m session.Mark) string {
	switch {
	case !m.Open:
		return ""
	case m.ReadOnly:
		return "read only"
	case m.Failed:
		return "NOT saved"
	case m.Pending > 0:
		return "saving"
	}
	return "✓ saved"
}
