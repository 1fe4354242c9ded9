package wires

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/figure"
	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// longLead is how long a lead is likely to be at most. Source: common practice (a wire over 8 m is asked about once).
const longLead = 8 * unit.Metre

func leadLength(b *harness.Build, l harness.Lead) string {
	if l.Length == nil {
		return "not measured"
	}
	return l.Length.Grouped(b.Settings.Unit)
}

// leadWords is what can be seen of a lead.
func leadWords(b *harness.Build, l harness.Lead) string {
	words := []string{}
	for _, word := range []string{l.Legend, kit.SizeWord(canonical(l.Size)), unit.Colour{Base: l.Base, Tracer: l.Tracer}.Code()} {
		if word != "" {
			words = append(words, word)
		}
	}
	if t, ok := b.Terminals.Get(l.Terminal); ok {
		words = append(words, "in "+kit.TerminalName(b, t.ID))
	}
	return strings.Join(words, " · ")
}

// leadNum is the length of a lead, which tells where it is entered.
func (p *page) leadNum(l harness.Lead) app.UI {
	return kit.Num(p.At, leadLength(p.S.B(), l), figure.Supplied(l.ID))
}

// lead says whether a wire is a supplied lead, and which.
func (p *page) lead() sheet {
	w, ok := p.wire()
	if !ok {
		return p.nothing()
	}
	b := p.S.B()
	s := sheet{title: w.Name + ": supplied lead", back: p.card(w.ID)}
	l, is := b.Leads.Get(w.Lead)
	s.body = []app.UI{kit.Even(
		kit.Choice("Made new", "cut on the bench", !is, p.onMadeNew, w.ID),
		kit.Choice("Supplied lead", "trimmed in the car", is, p.onSupplied, w.ID),
	)}
	if !is {
		s.body = append(s.body, p.spares(w)...)
		s.foot = p.done()
		return s
	}
	sys := b.Settings.Unit
	text, _ := p.typing().Text(w.ID, "length")
	entry := kit.Entry(text)
	told := kit.Read(string(entry), sys).Line
	if entry == "" {
		told = "now " + leadLength(b, l)
	}
	s.body = append(s.body,
		p.leadLegend(w, l),
		app.P().Text("How long is it, from the rear face of the connector to its bare end?"),
	)
	if l.Length != nil {
		s.body = append(s.body, kit.Plain("Length not known", p.onNoLength, w.ID))
	}
	s.pad = app.Div().Body(app.Div().Class("entry").Body(entry.Shown(sys, told)), kit.Keys(sys, "Set", p.onKey))
	return s
}

func (p *page) leadLegend(w harness.Wire, l harness.Lead) app.UI {
	return p.textField(w.ID, "legend", "What is printed on it", l.Legend, "A14 coolant", func(text string) {
		now, ok := p.S.B().Leads.Get(l.ID)
		if ok {
			p.took(changeLead(p.S, now, func(l *harness.Lead) { l.Legend = text }))
		}
	})
}

// spares offers the leads that no wire is made of.
func (p *page) spares(w harness.Wire) []app.UI {
	b := p.S.B()
	var rows []app.UI
	for i, l := range spareLeads(b, w) {
		if i == rowsDrawn {
			break
		}
		name := "a lead without a legend"
		if l.Legend != "" {
			name = l.Legend
		}
		rows = append(rows, kit.Split(kit.Row("", name, leadWords(b, l), "take it", "", p.onSpare(w.ID, l.ID), w.ID, l.ID), p.leadNum(l)))
	}
	if len(rows) == 0 {
		return []app.UI{kit.Lines("No lead is left over.")}
	}
	return []app.UI{kit.Section("Leads that are left over", ""), app.Div().Class("rows").Body(rows...)}
}

func (p *page) onSpare(id, lead string) app.EventHandler {
	return p.on(id, func(w harness.Wire) (string, error) {
		return w.Name + " is made of that lead now, and starts where it sits.", makeLead(p.S, w, lead)
	})
}

func (p *page) onMadeNew(app.Context, app.Event) {
	if w, ok := p.wire(); ok && w.Lead != "" {
		p.took(noLead(p.S, w))
	}
}

// onSupplied makes the wire a lead: the one that waits in its cavity, or a new record of one.
func (p *page) onSupplied(app.Context, app.Event) {
	w, ok := p.wire()
	b := p.S.B()
	if _, is := b.Leads.Get(w.Lead); !ok || is {
		return
	}
	spare := ""
	if all := spareLeads(b, w); len(all) > 0 && all[0].Terminal != "" && all[0].Terminal == w.From.Terminal {
		spare = all[0].ID
	}
	p.took(makeLead(p.S, w, spare))
}

func (p *page) onNoLength(app.Context, app.Event) {
	w, _ := p.wire()
	if l, ok := p.S.B().Leads.Get(w.Lead); ok {
		p.took(changeLead(p.S, l, func(l *harness.Lead) { l.Length = nil }))
	}
}

// onKey is the pad for the length of a lead.
func (p *page) onKey(ctx app.Context, key string) {
	w, _ := p.wire()
	l, ok := p.S.B().Leads.Get(w.Lead)
	if !ok {
		return
	}
	p.refuse = ""
	text, _ := p.typing().Text(w.ID, "length")
	if key != kit.KeyNext {
		p.typing().Keep(w.ID, "length", string(kit.Entry(text).Press(key)))
		p.text = ""
		return
	}
	read := kit.Read(text, p.S.B().Settings.Unit)
	switch {
	case kit.IsZero(read.Err):
		p.refuse = "0 is no length. Tap “Length not known” if nobody has measured it."
		return
	case !read.OK:
		p.refuse = read.Line
		return
	case read.Length > longLead && p.text != text:
		p.text = text // asked once
		p.refuse = read.Length.Grouped(p.S.B().Settings.Unit) + " is long for a lead. Set it again if it is right."
		return
	}
	if p.took(changeLead(p.S, l, func(l *harness.Lead) { l.Length = &read.Length })) {
		p.typing().Entered()
		kit.Go(ctx, p.card(w.ID))
	}
}
