package wires

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/figure"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// mendRows are the ways to mend a lead that is too short, the kindest to the loom first.
func (p *page) mendRows(w harness.Wire, a answer) []app.UI {
	b := p.S.B()
	sys := b.Settings.Unit
	var rows []app.UI
	for n, m := range a.mends {
		length := kit.Num(p.At, m.Length.Grouped(sys), figure.Mend(w.ID, n))
		switch m.Kind {
		case cut.OtherRoute:
			under := "not enough alone"
			if m.Enough {
				under = "then it reaches"
			}
			rows = append(rows, kit.Split(kit.Row("", "Let it take any way, shorter by", under, "take it", "", p.onFree(w.ID), w.ID), length))
		case cut.MoveController:
			place, _ := b.EndPlace(w.From)
			to := p.At.On("route").With(place)
			rows = append(rows, kit.Split(kit.Row("", "Move the "+kit.PlaceName(b, place)+" nearer", "by so much or more", "→", "", kit.To(to), to), length))
		case cut.OtherLead:
			for i, id := range m.Leads {
				if i == 3 {
					break
				}
				l, _ := b.Leads.Get(id)
				rows = append(rows, kit.Split(kit.Row("", "Move another lead into this cavity", leadWords(b, l), "take it", "", p.onOtherLead(w.ID, id), w.ID, id), p.leadNum(l)))
			}
		case cut.NewLead:
			rows = append(rows, kit.Split(kit.Row("", "Make a new one with a new terminal", "cut to", "take it", "", p.onNewLead(w.ID), w.ID), length))
		case cut.SpliceOn:
			under := "the last choice"
			if m.Sensitive {
				under = "not in a crank, cam or knock lead unless you write down why"
			}
			to := p.At.In(partWords)
			rows = append(rows, kit.Split(kit.Row("", "Splice on so much or more", under, "note", "", kit.To(to), to), length))
		}
	}
	if len(rows) == 0 {
		return nil
	}
	return []app.UI{kit.Section("What can be done", "the kindest first"), app.Div().Class("rows").Body(rows...)}
}

// on makes a handler that edits the wire as it is at the tap.
func (p *page) on(id string, do func(w harness.Wire) (said string, err error)) app.EventHandler {
	return func(app.Context, app.Event) {
		w, ok := p.S.B().Wires.Get(id)
		if !ok {
			return
		}
		said, err := do(w)
		if p.took(err) {
			p.S.Say(session.Notice{Text: said, Undo: true})
		}
	}
}

// onFree lets a wire take any way.
func (p *page) onFree(id string) app.EventHandler {
	return p.on(id, func(w harness.Wire) (string, error) {
		_, err := change(p.S, []harness.Wire{w}, func(w *harness.Wire) { w.Looms, w.Via = nil, nil })
		return w.Name + " may take any loom and any way now.", err
	})
}

func (p *page) onOtherLead(id, lead string) app.EventHandler {
	return p.on(id, func(w harness.Wire) (string, error) {
		return w.Name + " is made of another lead now. The old one is out of its cavity, and free.", swapLead(p.S, w, lead)
	})
}

func (p *page) onNewLead(id string) app.EventHandler {
	return p.on(id, func(w harness.Wire) (string, error) {
		return w.Name + " is made new now, and is on the cut list. Its lead is free.", noLead(p.S, w)
	})
}

// swapLead makes a wire of another lead, which moves into the cavity of the old one; the old one comes out.
func swapLead(s *session.Session, w harness.Wire, lead string) error {
	b := s.B()
	l, ok := b.Leads.Get(lead)
	if !ok {
		return nil
	}
	now, moved := w, l
	now.Lead, moved.Terminal = lead, w.From.Terminal
	changes := []storage.Change{storage.Put(harness.KindWire, w.ID, w, now), storage.Put(harness.KindLead, lead, l, moved)}
	if old, ok := b.Leads.Get(w.Lead); ok {
		out := old
		out.Terminal = ""
		changes = append(changes, storage.Put(harness.KindLead, old.ID, old, out))
	}
	return s.Do(changes...)
}

// noLead makes a wire new. What only its lead said of it, it now says itself.
func noLead(s *session.Session, w harness.Wire) error {
	b := s.B()
	_, err := change(s, []harness.Wire{w}, func(w *harness.Wire) {
		c := colourOf(b, *w)
		w.Size, w.Base, w.Tracer, w.Lead = sizeOf(b, *w), c.Base, c.Tracer, ""
	})
	return err
}
