package pins

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// leadCard is all of one lead: what it is, the one big choice, the tick that it was done, and its fields.
func (p *page) leadCard(x circuit.Pin) screen {
	l := x.Lead
	s := screen{title: strings.TrimSpace(cavityWord(x) + " " + l.Does()), back: p.home()}
	s.body = []app.UI{p.heading(x), p.decisions(x)}
	s.body = append(s.body, p.reason(x)...)
	s.body = append(s.body, p.doneTick(x)...)
	s.body = append(s.body, &about{Page: p, At: p.At, Key: p.aboutKey(x)})
	s.foot = p.next(l.ID)
	return s
}

// about is the lower part of the card, a component of its own: a decision does not draw it again.
type about struct {
	app.Compo
	Page *page
	At   kit.Addr
	Key  string // what it shows
}

// Render draws it.
func (a *about) Render() app.UI {
	x, ok := a.Page.lead()
	if !ok {
		return app.Div()
	}
	return app.Div().Class("stack").Body(append(a.Page.joined(x), a.Page.fields(x)...)...)
}

// aboutKey differs where the lower part of the card does.
func (p *page) aboutKey(x circuit.Pin) string {
	l := x.Lead
	length := ""
	if l.Length != nil {
		length = l.Length.Grouped(p.S.B().Settings.Unit)
	}
	c, _ := p.S.B().Circuits.Get(x.Terminal.Circuit)
	key := []string{l.Legend, l.Function, string(l.Signal), string(l.Direction), l.Size, l.Base, l.Tracer, length, string(l.Reassign), l.Twist, l.Shield, l.Note,
		c.Name, fmt.Sprint(len(p.net.Ends(c.ID)), l.There())}
	for _, t := range p.net.Ends(c.ID) {
		key = append(key, p.net.Name(t))
	}
	for _, w := range p.net.Wires(x.Terminal.ID) {
		key = append(key, w.ID, w.Name, w.Function, kit.EndName(p.S.B(), w.From), kit.EndName(p.S.B(), w.To))
	}
	return strings.Join(key, "\x1f")
}

func (p *page) heading(x circuit.Pin) app.UI {
	l := x.Lead
	name := app.Div().Class("lede").Text(l.Does())
	if l.Does() == "" {
		name = app.Div().Class("lede").Text("no function yet")
	}
	parts := []app.UI{name}
	if l.Function != "" && l.Legend != "" && l.Legend != l.Function {
		parts = append(parts, app.Div().Class("small").Body(app.Text("printed on it: "), app.S().Text(l.Legend)))
	}
	parts = append(parts, app.Div().Class("small").Text(placeOf(p.S.B(), x)))
	return app.Div().Class("line mid").Body(app.Span().Class("big").Text(cavityWord(x)), app.Div().Class("grow").Body(parts...))
}

func placeOf(b *harness.Build, x circuit.Pin) string {
	return kit.PlaceName(b, x.Terminal.Place)
}

// decisions is the big choice, and behind it what is rare.
func (p *page) decisions(x circuit.Pin) app.UI {
	d := x.Lead.Decision
	choice := func(label string, to harness.Decision) app.UI {
		return app.Button().Type("button").Class("plain big3 d-"+tone(to)).Aria("pressed", d == to).Aria("label", label).
			OnClick(p.onDecide(x.Lead.ID, to), x.Lead.ID, string(to)).
			Body(app.Span().Aria("hidden", true).Text(sign(to)), app.Text(label))
	}
	rows := []app.UI{app.Div().Class("three").Body(choice("Use", harness.Use), choice("Keep for later", harness.Keep), choice("Remove", harness.Remove))}
	rare := p.more || d == harness.Empty || d == harness.NeverFitted
	if rare {
		rows = append(rows, app.Div().Class("three").Body(choice("Empty, plugged", harness.Empty), choice("Never fitted", harness.NeverFitted), choice("Undecided", harness.Undecided)))
	} else {
		rows = append(rows, kit.Plain("More: empty, never fitted, undecided", p.onRare))
	}
	return app.Div().Class("stack").Body(rows...)
}

func (p *page) onRare(app.Context, app.Event) { p.more = true }

// needsWhy reports whether a decision about a lead needs a reason first: to take away a supply, a ground or a shield.
func needsWhy(l harness.Lead, d harness.Decision) bool {
	return l.Signal.Vital() && (d == harness.Remove || d == harness.Empty) && l.DecisionWhy == ""
}

func (p *page) onDecide(id string, d harness.Decision) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		l, ok := p.S.B().Leads.Get(id)
		if !ok {
			return
		}
		if needsWhy(l, d) {
			kit.Go(ctx, p.card(id).In(partWhy+"."+string(d)))
			return
		}
		p.decide(id, d, l.DecisionWhy)
	}
}

// decide says what becomes of a lead. The cavity of one that is not there any more is plugged or not with it.
func (p *page) decide(id string, d harness.Decision, why string) {
	old, ok := p.S.B().Leads.Get(id)
	if !ok {
		return
	}
	now := old
	now.Decision, now.DecisionWhy = d, why
	changes := []storage.Change{storage.Put(harness.KindLead, id, old, now)}
	if t, ok := p.S.B().Terminals.Get(old.Terminal); ok && t.Plugged != (d == harness.Empty) && (d == harness.Empty || old.Decision == harness.Empty) {
		plugged := t
		plugged.Plugged = d == harness.Empty
		changes = append(changes, storage.Put(harness.KindTerminal, t.ID, t, plugged))
	}
	err := p.S.Do(changes...)
	if err == nil && len(changes) == 1 {
		p.patch(old, now)
	}
	p.took(err)
}

// reason is why a lead is decided as it is, and what is to be done with a shared cavity.
func (p *page) reason(x circuit.Pin) (out []app.UI) {
	l := x.Lead
	to := p.card(l.ID).In(partWhy + "." + strings.ReplaceAll(string(l.Decision), " ", "_"))
	switch {
	case l.Signal.Vital() && l.Decision == harness.Remove && l.DecisionWhy == "":
		out = append(out, kit.Note("bad", "A "+string(l.Signal)+" needs a reason to be removed.", "All parallel ones are needed."), kit.Plain("Say why", kit.To(to), to))
	case l.DecisionWhy != "":
		out = append(out, kit.Row("", "Because", l.DecisionWhy, "→", "", kit.To(to), to))
	}
	if len(x.Shared) > 0 {
		var names []string
		for _, o := range x.Shared {
			names = append(names, o.Does())
		}
		shared := p.card(l.ID).In(partShared)
		why := x.Terminal.SharedWhy
		if why == "" {
			out = append(out, kit.Note("warn", "It shares its cavity with "+strings.Join(names, ", ")+".", "Say why."), kit.Plain("Say why it is shared", kit.To(shared), shared))
		} else {
			out = append(out, kit.Row("", "Shares its cavity with "+strings.Join(names, ", "), why, "→", "", kit.To(shared), shared))
		}
	}
	if l.Decision == harness.Keep {
		out = append(out, p.parked(x))
	}
	if l.Decision == harness.Remove {
		for _, r := range p.net.Removal() {
			if r.Lead.ID == l.ID {
				out = append(out, kit.Lines(r.Do+"."))
			}
		}
	}
	return out
}

// parked is where a kept lead ends.
func (p *page) parked(x circuit.Pin) app.UI {
	under := "not said: cap it and say where, or lead it to a terminal strip"
	for _, k := range p.net.Kept() {
		if k.Lead.ID == x.Lead.ID && k.Ends != "" {
			under = k.Ends
		}
	}
	to := p.At.In(partParked)
	return kit.Row("", "Where it ends", under, "→", "", kit.To(to), to)
}

// doneWord is what is done to carry a decision out.
func doneWord(d harness.Decision) string {
	switch d {
	case harness.Use:
		return "Laid to where it goes"
	case harness.Keep:
		return "Insulated and tagged"
	case harness.Remove:
		return "Pulled out, in the bag"
	case harness.Empty:
		return "Plug is in"
	}
	return "Looked at: nothing there"
}

// doneTick is the second tick: not decided, but done.
func (p *page) doneTick(x circuit.Pin) []app.UI {
	l := x.Lead
	if l.Decision == harness.Undecided {
		return nil
	}
	mark, under := "", "decided, not done yet"
	if l.Done() {
		mark, under = "✓", "done "+kit.Day(l.Acted.At)
	} else if l.Acted != nil {
		under = "was: " + decisionWord(l.Acted.Decision)
	}
	return []app.UI{p.tickRow(mark, l.Done(), doneWord(l.Decision), under, p.onDone(l.ID), l.ID)}
}

// tickRow is a line with a box to tick; the whole line is the button.
func (p *page) tickRow(mark string, done bool, name, under string, do app.EventHandler, scope ...any) app.UI {
	return app.Button().Type("button").Class("row ticked").Aria("pressed", done).OnClick(do, append(scope, name)...).Body(
		app.Span().Class("tick").Aria("hidden", true).Text(mark),
		app.Span().Body(app.B().Text(name), app.Small().Text(under)),
		app.Span(),
	)
}

func (p *page) onDone(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		p.changeLead(id, func(l *harness.Lead) {
			if l.Done() {
				l.Acted = nil
			} else {
				l.Acted = &harness.Acted{Decision: l.Decision, At: p.S.Time()}
			}
		})
	}
}

// joined is what the lead is for: its circuit, and its wire.
func (p *page) joined(x circuit.Pin) []app.UI {
	b := p.S.B()
	var rows []app.UI
	at := p.At.On("circuits")
	if c, ok := b.Circuits.Get(x.Terminal.Circuit); ok {
		var ends []string
		for _, t := range p.net.Ends(c.ID) {
			if t.ID != x.Terminal.ID {
				ends = append(ends, p.net.Name(t))
			}
		}
		rows = append(rows, kit.Row("", "Circuit "+c.Name, strings.Join(ends[:min(3, len(ends))], ", "), number(len(ends)+1, "end"), "", kit.To(at.With(c.ID)), at.With(c.ID)))
	}
	for _, w := range p.net.Wires(x.Terminal.ID) {
		if w.Lead == x.Lead.ID || w.Lead == "" {
			to := p.At.On("wires").With(w.ID)
			rows = append(rows, kit.Row(w.Name, w.Function, kit.EndName(b, w.From)+" to "+kit.EndName(b, w.To), "→", "", kit.To(to), to))
		}
	}
	if len(rows) == 0 {
		to := p.At.On("devices").In("join." + x.Terminal.ID)
		if x.Terminal.ID == "" || !x.Lead.There() {
			return nil
		}
		rows = append(rows, kit.Row("", "Joined to nothing yet", "choose what it goes to", "→", "", kit.To(to), to))
	}
	return []app.UI{kit.Section("What it is for", ""), app.Div().Class("rows").Body(rows...)}
}

// fields is what is known of the lead; a tap changes it.
func (p *page) fields(x circuit.Pin) []app.UI {
	l, b := x.Lead, p.S.B()
	row := func(name, value, part string) app.UI {
		to := p.At.In(part)
		if value == "" {
			value = "not known"
		}
		return kit.Row("", name, value, "→", "", kit.To(to), to)
	}
	length := ""
	if l.Length != nil {
		length = l.Length.Grouped(b.Settings.Unit)
	}
	groups := []string{}
	if l.Twist != "" {
		groups = append(groups, "twisted: "+l.Twist)
	}
	if l.Shield != "" {
		groups = append(groups, "shield: "+l.Shield)
	}
	if l.Note != "" {
		groups = append(groups, l.Note)
	}
	if len(groups) == 0 {
		groups = []string{"legend, twist, shield, insulation, note"}
	}
	out := []app.UI{
		kit.Section("This lead", ""),
		p.textField(l.ID, "function", "Function in this car", l.Function, l.Legend, func(text string) {
			p.changeLead(l.ID, func(l *harness.Lead) { l.Function = text })
		}),
		app.Div().Class("rows").Body(
			row("Signal", strings.Join(nonEmpty(string(l.Signal), string(l.Direction)), ", "), partSignal),
			row("Size", kit.SizeWord(l.Size), partSize),
			row("Colour", unit.Colour{Base: l.Base, Tracer: l.Tracer}.String(), partColour),
			row("Supplied length", length, partLength),
			row("More", strings.Join(groups, " · "), partWords),
		),
		kit.Section("Can the controller give it another function?", ""),
		kit.Even(
			kit.Choice("Yes", "", l.Reassign == harness.Yes, p.onReassign(l.ID, harness.Yes), l.ID, "yes"),
			kit.Choice("No", "", l.Reassign == harness.No, p.onReassign(l.ID, harness.No), l.ID, "no"),
			kit.Choice("Not known", "", l.Reassign == harness.Unknown, p.onReassign(l.ID, harness.Unknown), l.ID, "unknown"),
		),
		kit.Chips(
			kit.Plain("Another core in this cavity", p.onSecond(l.ID), l.ID),
			kit.Danger("Delete this pin", p.onDelete(l.ID), l.ID),
		),
	}
	return out
}

func nonEmpty(words ...string) (out []string) {
	for _, w := range words {
		if w != "" {
			out = append(out, w)
		}
	}
	return out
}

func (p *page) onReassign(id string, a harness.Answer) app.EventHandler {
	return func(app.Context, app.Event) { p.changeLead(id, func(l *harness.Lead) { l.Reassign = a }) }
}

// onSecond adds another lead to the cavity and asks why two are in one terminal.
func (p *page) onSecond(id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		l, ok := p.S.B().Leads.Get(id)
		if !ok || l.Terminal == "" {
			return
		}
		n := p.S.FreshID()
		fresh := harness.Lead{Terminal: l.Terminal, Legend: l.Legend, Signal: l.Signal, Direction: l.Direction, Order: l.Order}
		if p.took(p.S.Do(storage.Put(harness.KindLead, n, harness.Lead{}, fresh))) {
			kit.Go(ctx, p.card(n).In(partShared))
		}
	}
}

func (p *page) onDelete(id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		l, ok := p.S.B().Leads.Get(id)
		if ok && p.took(p.S.Do(storage.Delete(harness.KindLead, id))) {
			p.S.Say(session.Notice{Text: fmt.Sprintf("%s was deleted.", nameOf(l)), Undo: true})
			kit.Go(ctx, p.home())
		}
	}
}

func nameOf(l harness.Lead) string {
	if l.Does() == "" {
		return "The pin"
	}
	return l.Does()
}
