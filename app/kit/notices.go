package kit

import (
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/session"
)

// Notices are the sentences above a page: what was just done, what is not saved, a newer version that waits.
type Notices struct {
	app.Compo
	S     *session.Session
	Rev   int
	Newer bool // a newer version of the app waits
}

// frame is what a browser needs to show what was drawn. Our choice: one frame of a screen with 60 in a second.
const frame = 17 * time.Millisecond

// OnMount gives the browser time to show the first page. The framework draws all of it a second time right after that, and
// tells the notices first, which are the first on the page, so they wait for all.
func (n *Notices) OnMount(app.Context) {
	if app.IsClient {
		time.Sleep(frame)
	}
}

func (n *Notices) onHush(ctx app.Context, _ app.Event)   { n.S.Hush() }
func (n *Notices) onUndo(ctx app.Context, _ app.Event)   { n.S.Undo(ctx) }
func (n *Notices) onRetry(ctx app.Context, _ app.Event)  { n.S.Retry() }
func (n *Notices) onUse(ctx app.Context, _ app.Event)    { n.S.TakeOver(ctx) }
func (n *Notices) onUpdate(ctx app.Context, _ app.Event) { n.S.Update(ctx) }

// Render draws them, or nothing.
func (n *Notices) Render() app.UI {
	var all []app.UI
	m := n.S.Mark()
	if m.ReadOnly {
		all = append(all, bar("warn", "Another tab or window is writing. This one only reads.", Plain("Use here", n.onUse)))
	}
	if m.Failed && !m.ReadOnly {
		all = append(all, bar("bad", Explain(m.Err), Plain("Try again", n.onRetry)))
	}
	if n.Newer {
		all = append(all, bar("", "A newer version is on this phone. It starts when you say so.", Plain("Update now", n.onUpdate)))
	}
	if k := n.S.Notice(); k.Text != "" {
		buttons := []app.UI{}
		if k.Undo {
			buttons = append(buttons, Plain("Undo", n.onUndo))
		}
		// It lies over the page, so that nothing moves under a thumb that is on its way.
		all = append(all, bar("said "+k.Tone, k.Text, append(buttons, Plain("OK", n.onHush))...))
	}
	return app.Div().Class("notices").Body(all...)
}

func bar(tone, text string, buttons ...app.UI) app.UI {
	return app.Div().Class("notice "+tone).Aria("role", "status").Body(
		append([]app.UI{app.P().Text(text)}, buttons...)...,
	)
}
