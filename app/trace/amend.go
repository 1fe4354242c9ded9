package trace

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// changed lists what was changed here after the build was made, and takes one more: first that something was, then what.
func (p *page) changed(on harness.Kind, id string) []app.UI {
	out := []app.UI{kit.Section("Changed here since", "")}
	all := p.S.B().Amendments.All()
	for i := range all {
		a := all[i]
		if a.On != on || a.Of != id {
			continue
		}
		word, do := "Open: the plan does not say it yet", "The plan says it now"
		if a.Done {
			word, do = "The plan says it", "Open it again"
		}
		out = append(out, app.Article().Class("note").Body(
			kit.Lines(kit.Day(a.At)+". "+word+"."),
			kit.FieldDone("What was changed", a.Text, "what is other now, and why", nil, p.onAmend(a.ID), a.ID),
			kit.Plain(do, p.onAmended(a.ID), a.ID, a.Done),
		))
	}
	return append(out, kit.Plain("I changed something here", p.onChanged(on, id), id))
}

func (p *page) amend(id string, old, now harness.Amendment) {
	if err := p.S.Do(storage.Put(harness.KindAmendment, id, old, now)); err != nil {
		p.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
	}
}

func (p *page) onChanged(on harness.Kind, of string) app.EventHandler {
	return func(app.Context, app.Event) {
		p.amend(p.S.NewID(), harness.Amendment{}, harness.Amendment{On: on, Of: of, At: p.S.Time(), Order: float64(p.S.B().Amendments.Len() + 1)})
		p.S.Say(session.Notice{Tone: "good", Text: "Noted. Say what when you have a hand free.", Undo: true})
		p.S.TakePhoto(p.ctx, on, of, true, func(app.Context, error) {}) // a photo first; without one the note stands
	}
}

func (p *page) onAmend(id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		if old, ok := p.S.B().Amendments.Get(id); ok {
			now := old
			now.Text = kit.Value(ctx)
			p.amend(id, old, now)
		}
	}
}

func (p *page) onAmended(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		if old, ok := p.S.B().Amendments.Get(id); ok {
			now := old
			now.Done = !old.Done
			p.amend(id, old, now)
		}
	}
}
