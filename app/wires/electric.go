package wires

import (
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/figure"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/rules"
)

// electricPause lets the card show before the rules look over the whole build: a frame.
const electricPause = 17 * time.Millisecond

// electric is what the wire carries, loses and bears. It comes after the rest of the card, because all wires that it is joined
// to have a part in it.
type electric struct {
	app.Compo
	Page *page
	ID   string
	Rev  int
}

// OnMount works the numbers out.
func (e *electric) OnMount(ctx app.Context) { e.later(ctx) }

// OnUpdate works them out again.
func (e *electric) OnUpdate(ctx app.Context) { e.later(ctx) }

func (e *electric) later(ctx app.Context) {
	if !e.Page.S.LookedReady() {
		ctx.After(electricPause, func(app.Context) {
			if e.Page.S.B() != nil {
				e.Page.S.Looked()
			}
		})
	}
}

// Render draws them, as soon as they are there.
func (e *electric) Render() app.UI {
	s := e.Page.S
	if !s.LookedReady() {
		return app.Div().Class("electric").Body(kit.Section("Current and heat", ""), kit.Lines("Working it out…"))
	}
	var rows []app.UI
	for _, n := range s.Looked().Wire(e.ID) {
		class, name := "term", n.Name
		if n.Bad {
			class, name = "term bad", "✗ "+name
		}
		rows = append(rows, kit.NumBox(e.Page.At, class, figure.Electric(e.ID, n.Key),
			app.Span().Body(app.Text(name), app.Small().Text(n.Figure.Note)), app.Span().Text(kit.SizeWord(n.Figure.Value))))
		if len(n.Fix.Put) > 0 {
			rows = append(rows, kit.Plain(upper(n.Fix.Do), e.onFix(n), e.ID, e.Rev, n.Fix.Do))
		} else if n.Fix.Do != "" {
			rows = append(rows, kit.Lines(upper(n.Fix.Do)+"."))
		}
	}
	return app.Div().Class("electric").Body(kit.Section("Current and heat", ""), app.Div().Class("terms").Body(rows...))
}

func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return kit.SizeWord(string(s[0]-'a'+'A') + s[1:])
}

// onFix takes the size that is advised, in one step.
func (e *electric) onFix(n rules.Number) app.EventHandler {
	return func(app.Context, app.Event) {
		if e.Page.took(e.Page.S.Apply(n.Fix.Put)) {
			e.Page.S.Say(session.Notice{Tone: "good", Text: upper(n.Fix.Do) + ": done.", Undo: true})
		}
	}
}
