package circuits

import (
	"cmp"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// join chooses what a terminal is joined to: a circuit that is there, or another terminal that is free.
func (p *page) join(id string) screen {
	b := p.S.B()
	t, ok := b.Terminals.Get(id)
	s := screen{title: p.net.Name(t), back: p.backOf(t)}
	if !ok {
		s.title = "No such terminal"
		return s
	}
	if now := p.joinedTo(t); now != "" {
		s.body = append(s.body, app.P().Text("Joined to "+now+"."))
		if t.Circuit != "" {
			to := p.circuits().With(t.Circuit)
			s.body = append(s.body, kit.Chips(kit.Plain("Open the circuit", kit.To(to), to), kit.Danger("Take it off", p.onOff(t.ID), t.ID)))
		}
	} else {
		s.body = append(s.body, app.P().Class("lede").Text("Joined to what?"))
	}
	s.body = append(s.body, kit.Field("Search", p.query, "injector, 5 V, A14", p.onQuery))
	var free, circuits []app.UI
	for _, o := range b.Terminals.All() {
		if o.ID == t.ID || o.Circuit != "" || len(p.net.Wires(o.ID)) > 0 || o.Place == t.Place && o.Part == "" {
			continue
		}
		l, led := p.net.Lead(o.ID)
		under := string(o.Signal)
		if led {
			under = l.Does() + " · " + string(l.Signal)
		}
		if _, mine := p.net.Lead(t.ID); mine && led {
			continue // two leads of the controller are not joined to each other
		}
		if p.holds(p.net.Name(o) + " " + under) {
			free = append(free, kit.Row("", p.net.Name(o), under, "join", "", p.onJoin(t.ID, o.ID), t.ID, o.ID))
		}
	}
	for _, c := range b.Circuits.All() {
		if c.ID != t.Circuit && p.holds(c.Name+" "+string(c.Signal)) {
			circuits = append(circuits, kit.Row("", c.Name, string(c.Signal), number(len(p.net.Ends(c.ID)), "end"), "", p.onCircuit(t.ID, c.ID), t.ID, c.ID))
		}
	}
	if len(circuits) > 0 {
		s.body = append(s.body, kit.Section("A circuit that is there", ""), p.rows(circuits))
	}
	if len(free) > 0 {
		s.body = append(s.body, kit.Section("A terminal that is free", "makes a new circuit"), p.rows(free))
	}
	return s
}

// backOf is where back leads from a terminal: to its lead, its part or its place.
func (p *page) backOf(t harness.Terminal) kit.Addr {
	if l, ok := p.net.Lead(t.ID); ok {
		return p.At.On("pins").With(l.ID)
	}
	if t.Part != "" {
		return p.devices().In(partPart + "." + t.Part)
	}
	return p.devices().With(t.Place)
}

func (p *page) onOff(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		if p.changeTerminal(id, func(t *harness.Terminal) { t.Circuit = "" }) {
			p.S.Say(session.Notice{Text: "It is joined to nothing now.", Undo: true})
		}
	}
}

// used returns the lead in a terminal as one that is in use, if nobody decided it.
func (p *page) used(t harness.Terminal) []harness.Lead {
	if l, ok := p.net.Lead(t.ID); ok && l.Decision == harness.Undecided {
		l.Decision = harness.Use
		return []harness.Lead{l}
	}
	return nil
}

func (p *page) onCircuit(id, circuitID string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		t, ok := p.S.B().Terminals.Get(id)
		if !ok {
			return
		}
		t.Circuit = circuitID
		if p.took(p.S.Accept(circuit.Records{Terminals: []harness.Terminal{t}, Leads: p.used(t)})) {
			kit.Go(ctx, p.backOf(t))
		}
	}
}

// onJoin makes a circuit of two terminals.
func (p *page) onJoin(id, otherID string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		b := p.S.B()
		t, ok := b.Terminals.Get(id)
		o, there := b.Terminals.Get(otherID)
		if !ok || !there {
			return
		}
		name, signal := "", cmp.Or(t.Signal, o.Signal)
		for _, x := range []harness.Terminal{t, o} {
			if l, led := p.net.Lead(x.ID); led {
				name, signal = cmp.Or(name, l.Does()), cmp.Or(l.Signal, signal)
			}
		}
		c := harness.Circuit{Record: harness.Record{ID: p.S.FreshID()}, Name: cmp.Or(name, p.net.Name(t)), Signal: signal, Order: p.nextCircuit()}
		t.Circuit, o.Circuit = c.ID, c.ID
		r := circuit.Records{Circuits: []harness.Circuit{c}, Terminals: []harness.Terminal{t, o}, Leads: append(p.used(t), p.used(o)...)}
		if p.took(p.S.Accept(r)) {
			kit.Go(ctx, p.backOf(t))
		}
	}
}

func (p *page) nextCircuit() (order float64) {
	for _, c := range p.S.B().Circuits.All() {
		order = max(order, c.Order)
	}
	return order + 1
}

// tapOf is what is known of a car wire at a terminal.
func (p *page) tapOf(terminal string) (harness.Tap, bool) {
	for _, t := range p.S.B().Taps.All() {
		if t.Terminal == terminal {
			return t, true
		}
	}
	return harness.Tap{}, false
}

func (p *page) tapWord(terminal string) string {
	t, ok := p.tapOf(terminal)
	if !ok {
		return "where it is, its colour, what it fed, live when"
	}
	state := func(word string, s harness.State) string {
		return word + " " + cmp.Or(string(s), "not measured")
	}
	return cmp.Or(t.Where, "where: not said") + "; " + state("off", t.Off) + ", " + state("run", t.Run) + ", " + state("crank", t.Crank)
}

// tap is a wire of the car: where it is found, and what it was measured to be.
func (p *page) tap(terminal string) screen {
	t, _ := p.S.B().Terminals.Get(terminal)
	x, _ := p.tapOf(terminal)
	s := screen{title: p.net.Name(t), back: p.devices().With(t.Place)}
	s.body = []app.UI{
		p.field(terminal, "where", "Where it is found", x.Where, "behind the column, third from the left", func(text string) {
			p.setTap(terminal, func(x *harness.Tap) { x.Where = text })
		}),
		p.field(terminal, "colour", "Its colour", x.Base, "black", func(text string) { p.setTap(terminal, func(x *harness.Tap) { x.Base = text }) }),
		p.field(terminal, "fed", "What it fed before", x.Fed, "", func(text string) { p.setTap(terminal, func(x *harness.Tap) { x.Fed = text }) }),
	}
	for _, k := range []struct {
		word string
		of   func(x *harness.Tap) *harness.State
	}{
		{"Key off", func(x *harness.Tap) *harness.State { return &x.Off }},
		{"Key at accessory", func(x *harness.Tap) *harness.State { return &x.Accessory }},
		{"Key at run", func(x *harness.Tap) *harness.State { return &x.Run }},
		{"While cranking", func(x *harness.Tap) *harness.State { return &x.Crank }},
	} {
		var chips []app.UI
		for _, state := range append([]harness.State{harness.NotMeasured}, harness.States...) {
			chips = append(chips, kit.Choice(cmp.Or(string(state), "not measured"), "", *k.of(&x) == state, func(app.Context, app.Event) {
				p.setTap(terminal, func(x *harness.Tap) { *k.of(x) = state })
			}, terminal, k.word, string(state)))
		}
		s.body = append(s.body, kit.Section(k.word, ""), kit.Chips(chips...))
	}
	return s
}

func (p *page) setTap(terminal string, f func(x *harness.Tap)) {
	t, ok := p.S.B().Terminals.Get(terminal)
	if !ok {
		return
	}
	old, had := p.tapOf(terminal)
	now := old
	if !had {
		now.ID, now.Place, now.Terminal, now.Order = p.S.FreshID(), t.Place, terminal, t.Order
	}
	f(&now)
	p.took(p.S.Do(storage.Put(harness.KindTap, now.ID, old, now)))
}
