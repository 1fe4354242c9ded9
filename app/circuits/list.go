package circuits

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// list is every circuit.
func (p *page) list() screen {
	b := p.S.B()
	s := screen{title: "Circuits", back: p.At.On("plan")}
	wires := map[string]int{}
	loose := 0
	for _, w := range b.Wires.All() {
		wires[w.Circuit]++
		if w.Circuit == "" {
			loose++
		}
	}
	var rows []app.UI
	for _, c := range b.Circuits.All() {
		feed := p.feedWord(c)
		if !p.holds(c.Name + " " + string(c.Signal) + " " + feed) {
			continue
		}
		to := p.circuits().With(c.ID)
		under := strings.TrimPrefix(strings.Join([]string{string(c.Signal), feed}, " · "), " · ")
		load, open := p.net.Load(c)
		right := number(len(p.net.Ends(c.ID)), "end")
		below := ampsWord(load, open)
		if wires[c.ID] == 0 {
			below = strings.TrimSpace("no wire " + below)
		}
		rows = append(rows, kit.Row("", cmp.Or(c.Name, "a circuit without a name"), strings.TrimSuffix(under, " · "), right, below, kit.To(to), to))
	}
	if b.Circuits.Len() == 0 {
		s.body = append(s.body, app.P().Class("lede").Text("No circuit yet."), app.P().Text("A circuit is what is joined together. The app proposes them from what the pins do."))
	} else {
		s.body = append(s.body, kit.Field("Search", p.query, "injector, 5 V, F3", p.onQuery),
			app.Div().Class("small").Text(number(b.Circuits.Len(), "circuit")+", "+number(b.Wires.Len(), "wire")), p.rows(rows))
	}
	if loose > 0 {
		s.body = append(s.body, kit.Note("", number(loose, "wire")+" drawn without a circuit.", "Circuits can be made of what they join."), kit.Plain("Make circuits of them", p.onGather))
	}
	s.body = append(s.body, kit.Plain("New circuit", p.onNewCircuit))
	to := p.circuits().In(partPropose)
	s.foot = []app.UI{kit.Act("Propose wires", kit.To(to), to)}
	return s
}

func (p *page) feedWord(c harness.Circuit) string {
	var names []string
	for _, id := range c.Feed {
		x, ok := p.S.B().Parts.Any(id)
		if !ok || x.Gone {
			names = append(names, "a part that is gone")
			continue
		}
		names = append(names, partName(x))
	}
	if len(names) == 0 {
		return ""
	}
	return "through " + strings.Join(names, ", ")
}

func (p *page) onGather(app.Context, app.Event) {
	r := circuit.Gather(p.S.B())
	n := len(r.Circuits)
	if p.took(p.S.Accept(r)) {
		p.S.Say(session.Notice{Tone: "good", Text: number(n, "circuit") + " made of wires.", Undo: n > 0})
	}
}

func (p *page) onNewCircuit(ctx app.Context, _ app.Event) {
	c := harness.Circuit{Name: "New circuit", Order: p.nextCircuit()}
	id := p.S.FreshID()
	if p.took(p.S.Do(storage.Put(harness.KindCircuit, id, harness.Circuit{}, c))) {
		kit.Go(ctx, p.circuits().With(id))
	}
}

// card is one circuit.
func (p *page) card() screen {
	b := p.S.B()
	c, ok := b.Circuits.Get(p.At.Record)
	s := screen{title: "No such circuit", back: p.circuits()}
	if !ok {
		if _, had := b.Circuits.Any(p.At.Record); had {
			s.body = []app.UI{app.P().Text("It was deleted."), kit.Plain("Bring it back", p.onBack(harness.KindCircuit, p.At.Record), p.At.Record)}
		}
		return s
	}
	id := c.ID
	s.title = cmp.Or(c.Name, "A circuit without a name")
	s.body = []app.UI{p.field(id, "name", "Function", c.Name, "injector feed", func(text string) {
		p.changeCircuit(id, func(c *harness.Circuit) { c.Name = text })
	})}
	var ends []app.UI
	for _, t := range p.net.Ends(id) {
		to := p.devices().In(partJoin + "." + t.ID)
		under := string(t.Signal)
		if l, led := p.net.Lead(t.ID); led {
			under = l.Does()
		}
		ends = append(ends, kit.Row("", p.net.Name(t), under, "→", "", kit.To(to), to))
	}
	s.body = append(s.body, kit.Section("Joined together", number(len(ends), "end")), p.rows(ends))
	more := p.At.In(partEnds)
	s.body = append(s.body, kit.Plain("Join one more", kit.To(more), more))
	feed := p.At.In(partFeed)
	load, open := p.net.Load(c)
	rows := append([]app.UI{kit.Row("", "Fed", cmp.Or(p.feedWord(c), "by nothing"), "→", "", kit.To(feed), feed)}, p.choices(c)...)
	s.body = append(s.body, kit.Section("This circuit", cmp.Or(ampsWord(load, open), "load not known")), app.Div().Class("rows").Body(rows...),
		p.amps(id, "amps", "Load, A", c.Amps, "the sum of its devices", func(v *float64) { p.changeCircuit(id, func(c *harness.Circuit) { c.Amps = v }) }),
		p.amps(id, "inrush", "When switched on, A", c.Inrush, "", func(v *float64) { p.changeCircuit(id, func(c *harness.Circuit) { c.Inrush = v }) }),
	)
	var classes []app.UI
	for _, k := range harness.Classes {
		classes = append(classes, kit.Choice(string(k), "", c.Class == k, func(app.Context, app.Event) {
			p.changeCircuit(id, func(c *harness.Circuit) {
				if c.Class == k {
					c.Class = ""
				} else {
					c.Class = k
				}
			})
		}, id, string(k)))
	}
	s.body = append(s.body, kit.Section("Class", "now "+cmp.Or(string(p.net.ClassOf(c)), "not known")), kit.Chips(classes...))
	if row := p.copperRow(id); row != nil {
		s.body = append(s.body, kit.Section("Its joint", ""), p.rows(append(p.jointRows(c), row)))
	}
	var wires []app.UI
	for _, w := range b.Wires.All() {
		if w.Circuit == id {
			to := p.At.On("wires").With(w.ID)
			wires = append(wires, kit.Row(w.Name, w.Function, kit.EndName(b, w.From)+" to "+kit.EndName(b, w.To), "→", "", kit.To(to), to))
		}
	}
	if len(wires) > 0 {
		s.body = append(s.body, kit.Section("Its wires", strconv.Itoa(len(wires))), p.rows(wires))
	}
	s.body = append(s.body, kit.Danger("Delete this circuit", p.onDelete(id), id))
	to := p.circuits().In(partPropose)
	s.foot = []app.UI{kit.Act("Propose wires", kit.To(to), to)}
	return s
}

func (p *page) onDelete(id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		c, ok := p.S.B().Circuits.Get(id)
		if ok && p.took(p.S.Do(storage.Delete(harness.KindCircuit, id))) {
			p.S.Say(session.Notice{Text: c.Name + " was deleted; its wires stay.", Undo: true})
			kit.Go(ctx, p.circuits())
		}
	}
}

// moreEnds chooses one more end of a circuit.
func (p *page) moreEnds() screen {
	b := p.S.B()
	c, _ := b.Circuits.Get(p.At.Record)
	s := screen{title: c.Name + ": one more end", back: p.circuits().With(p.At.Record)}
	s.body = []app.UI{kit.Field("Search", p.query, "injector, A14, lug", p.onQuery)}
	var rows []app.UI
	for _, t := range b.Terminals.All() {
		if t.Circuit != "" {
			continue
		}
		under := string(t.Signal)
		if l, led := p.net.Lead(t.ID); led {
			under = l.Does()
		}
		if p.holds(p.net.Name(t) + " " + under) {
			rows = append(rows, kit.Row("", p.net.Name(t), under, "join", "", p.onEnd(t.ID, c.ID), t.ID, c.ID))
		}
	}
	if len(rows) == 0 {
		s.body = append(s.body, app.P().Text("No free terminal is like that."))
	}
	s.body = append(s.body, p.rows(rows))
	return s
}

func (p *page) onEnd(terminal, circuitID string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		t, ok := p.S.B().Terminals.Get(terminal)
		if !ok {
			return
		}
		t.Circuit = circuitID
		if p.took(p.S.Accept(circuit.Records{Terminals: []harness.Terminal{t}, Leads: p.used(t)})) {
			kit.Go(ctx, p.circuits().With(circuitID))
		}
	}
}

// circuitFeed chooses the parts that feed a circuit, tapped in their order from the battery on.
func (p *page) circuitFeed(c harness.Circuit) screen {
	back := p.circuits().With(c.ID)
	s := screen{title: c.Name + ": fed through", back: back, foot: []app.UI{kit.Act("Done", kit.To(back), back)}}
	s.body = []app.UI{app.P().Text(cmp.Or(p.feedWord(c), "Nothing yet. Tap the parts from the battery on: fuse, relay, fuse."))}
	var rows []app.UI
	for _, x := range p.S.B().Parts.All() {
		if x.Kind == harness.StripWay || x.Kind == harness.Lamp {
			continue
		}
		right := ""
		if i := slices.Index(c.Feed, x.ID); i >= 0 {
			right = fmt.Sprint(i + 1)
		}
		rows = append(rows, kit.Row(partName(x), cmp.Or(x.Label, string(x.Kind)), kit.PlaceName(p.S.B(), x.Place), right, "", p.onFeed(c.ID, x.ID), c.ID, x.ID))
	}
	s.body = append(s.body, p.rows(rows))
	return s
}

func (p *page) onFeed(id, part string) app.EventHandler {
	return func(app.Context, app.Event) {
		p.changeCircuit(id, func(c *harness.Circuit) {
			feed := slices.DeleteFunc(slices.Clone(c.Feed), func(x string) bool { return x == part })
			if len(feed) == len(c.Feed) {
				feed = append(feed, part)
			}
			c.Feed = feed
		})
	}
}
