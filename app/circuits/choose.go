package circuits

import (
	"cmp"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// What can be chosen of a circuit, as behind the dot in the mode of the address.
const (
	ofJoin   = "joined"
	ofReturn = "return"
	ofStrip  = "strip"
	ofSize   = "size"
	ofLooms  = "looms"
	ofSignal = "signal"
)

// choices are the rows of a circuit's card that open a list to choose from.
func (p *page) choices(c harness.Circuit) []app.UI {
	b := p.S.B()
	row := func(name, value, of string) app.UI {
		to := p.At.In(partChoose + "." + of)
		return kit.Row("", name, value, "→", "", kit.To(to), to)
	}
	back, joined, strip, looms := "not said", "the app chooses: the split nearest to its ends", "no", "by its class"
	if r, ok := b.Circuits.Get(c.Return); ok {
		back = r.Name
	}
	if c.JoinAt != "" {
		joined = kit.PlaceName(b, c.JoinAt)
	}
	if t, ok := b.Terminals.Get(c.Strip); ok {
		strip = p.net.Name(t)
	}
	if len(c.Looms) > 0 {
		var names []string
		for _, id := range c.Looms {
			names = append(names, kit.LoomName(b, id))
		}
		looms = strings.Join(names, ", ")
	}
	return []app.UI{
		row("Signal", cmp.Or(string(c.Signal), "not known"), ofSignal),
		row("Goes back through", back, ofReturn),
		row("Joined at", joined, ofJoin),
		row("Passes a terminal strip", strip, ofStrip),
		row("Size of its wires", cmp.Or(kit.SizeWord(c.Size), "that of its largest lead"), ofSize),
		row("Looms", looms, ofLooms),
	}
}

// choose is the list to choose one thing of a circuit from.
func (p *page) choose(of string) screen {
	b := p.S.B()
	c, ok := b.Circuits.Get(p.At.Record)
	back := p.circuits().With(p.At.Record)
	s := screen{title: c.Name, back: back, foot: []app.UI{kit.Act("Done", kit.To(back), back)}}
	if !ok {
		return s
	}
	var chips []app.UI
	add := func(label, under string, chosen bool, set func(c *harness.Circuit)) {
		if chosen || p.holds(label+" "+under) {
			chips = append(chips, kit.Choice(label, under, chosen, func(app.Context, app.Event) { p.changeCircuit(c.ID, set) }, c.ID, of, len(chips), label))
		}
	}
	search := true
	switch of {
	case ofJoin:
		add("The app chooses", "", c.JoinAt == "", func(c *harness.Circuit) { c.JoinAt = "" })
		for _, q := range b.Places.All() {
			if q.Kind == harness.PassThrough {
				continue // no splice lies in one
			}
			add(kit.PlaceName(b, q.ID), string(q.Kind), c.JoinAt == q.ID, func(c *harness.Circuit) { c.JoinAt = q.ID })
		}
	case ofReturn:
		add("Not said", "", c.Return == "", func(c *harness.Circuit) { c.Return = "" })
		for _, o := range b.Circuits.All() {
			if o.Signal == harness.PowerGround || o.Signal == harness.SensorGround {
				add(o.Name, string(o.Signal), c.Return == o.ID, func(c *harness.Circuit) { c.Return = o.ID })
			}
		}
	case ofStrip:
		add("None", "", c.Strip == "", func(c *harness.Circuit) { c.Strip = "" })
		for _, t := range b.Terminals.All() {
			x, _ := b.Parts.Get(t.Part)
			q, _ := b.Places.Get(t.Place)
			if x.Kind == harness.StripWay || q.Kind == harness.TerminalStrip {
				add(p.net.Name(t), p.joinedTo(t), c.Strip == t.ID, func(c *harness.Circuit) { c.Strip = t.ID })
			}
		}
	case ofSize:
		search = false
		add("Not said", "", c.Size == "", func(c *harness.Circuit) { c.Size = "" })
		for _, size := range sizes {
			add(kit.SizeWord(size), "", c.Size == size, func(c *harness.Circuit) { c.Size = size })
		}
		s.body = append(s.body, p.field(c.ID, "size", "Another size", "", "0.75, 18 AWG", func(text string) {
			size, err := unit.ParseSize(text)
			if err != nil {
				if text != "" {
					p.refuse = kit.Explain(err)
				}
				return
			}
			p.changeCircuit(c.ID, func(c *harness.Circuit) { c.Size = size.String() })
		}))
	case ofLooms:
		search = false
		add("By its class", "", len(c.Looms) == 0, func(c *harness.Circuit) { c.Looms = nil })
		for _, l := range b.Looms.All() {
			add(kit.LoomName(b, l.ID), "", slices.Contains(c.Looms, l.ID), func(c *harness.Circuit) {
				looms := slices.DeleteFunc(slices.Clone(c.Looms), func(id string) bool { return id == l.ID })
				if len(looms) == len(c.Looms) {
					looms = append(looms, l.ID)
				}
				c.Looms = looms
			})
		}
	case ofSignal:
		search = false
		for _, g := range append([]harness.Signal{harness.NoSignal}, harness.Signals...) {
			add(cmp.Or(string(g), "not known"), "", c.Signal == g, func(c *harness.Circuit) { c.Signal = g })
		}
	}
	if search {
		s.body = append(s.body, kit.Field("Search", p.query, "", p.onQuery))
	}
	s.body = append(s.body, kit.Chips(chips[:min(len(chips), rowsDrawn)]...))
	return s
}

// sizes are those that looms are made of, in both systems. Source: common practice.
var sizes = []string{"0.35 mm2", "0.5 mm2", "0.75 mm2", "1.0 mm2", "1.5 mm2", "2.5 mm2", "4.0 mm2", "6.0 mm2", "16 mm2", "25 mm2", "22 AWG", "20 AWG", "18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG"}
