package wires

import (
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/figure"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/rules"
)

// atOnce is how many wires a build has at most that the rules look over before its card is drawn.
//
// Source: our choice: what is asked of the rules for one wire takes a slow phone less than a frame of three.
const atOnce = 300

// pause lets the card of a larger build show before the rules look it over: a frame.
const pause = 17 * time.Millisecond

// electric is what a wire carries, loses and bears.
func (p *page) electric(id string) app.UI {
	if p.S.LookedReady() || p.S.B().Wires.Len() <= atOnce {
		return p.numbers(id)
	}
	return &awaited{Page: p, ID: id, Rev: p.Rev}
}

// awaited is electric of a large build. It comes after the rest of the card, because all wires that the wire is joined to have a
// part in it.
type awaited struct {
	app.Compo
	Page *page
	ID   string
	Rev  int
}

// OnMount works the numbers out.
func (e *awaited) OnMount(ctx app.Context) { e.later(ctx) }

// OnUpdate works them out again.
func (e *awaited) OnUpdate(ctx app.Context) { e.later(ctx) }

func (e *awaited) later(ctx app.Context) {
	if !e.Page.S.LookedReady() {
		ctx.After(pause, func(app.Context) {
			if e.Page.S.B() != nil {
				e.Page.S.Looked()
			}
		})
	}
}

// Render draws them, as soon as they are there.
func (e *awaited) Render() app.UI {
	if !e.Page.S.LookedReady() {
		return app.Div().Class("electric").Body(kit.Section("Current and heat", ""), kit.Lines("Working it out…"))
	}
	return e.Page.numbers(e.ID)
}

// numbers are what the rules work out of a wire.
func (p *page) numbers(id string) app.UI {
	var rows []app.UI
	for _, n := range p.S.Looked().Wire(id) {
		class, name := "term", n.Name
		if n.Bad {
			class, name = "term bad", "✗ "+name
		}
		rows = append(rows, kit.NumBox(p.At, class, figure.Electric(id, n.Key),
			app.Span().Body(app.Text(name), app.Small().Text(n.Figure.Note)), app.Span().Text(kit.SizeWord(n.Figure.Value))))
		if len(n.Fix.Put) > 0 {
			rows = append(rows, kit.Plain(upper(n.Fix.Do), p.onFix(n), id, p.Rev, n.Fix.Do))
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
func (p *page) onFix(n rules.Number) app.EventHandler {
	return func(app.Context, app.Event) {
		if p.took(p.S.Apply(n.Fix.Put)) {
			p.S.Say(session.Notice{Tone: "good", Text: upper(n.Fix.Do) + ": done.", Undo: true})
		}
	}
}
