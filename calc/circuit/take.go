package circuit

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/table"
	"loomwright/calc/unit"
)

// Taken is what a list of pins makes of a place.
type Taken struct {
	Records
	New    int      // leads that were not there
	Filled int      // leads that were there and learned something
	Differ []string // cavities of which the list says something else than is there, which was left
}

// Take returns the records of a list of pins at a place: a connector for each name that is not there, a terminal for each
// cavity, and an undecided lead in it. A lead that is there keeps what it has and learns what it had not. Leads of one
// group are under one shield if one of them is a drain, else they are twisted. Where no row names a connector and every
// cavity is letters and a number, the letters are the connector. A pin that shares a
// cavity is a second core in it; one that is there already is not added again. id gives fresh ids.
func Take(b *harness.Build, place string, pins []table.Pin, face harness.Face, id func() string) Taken {
	k := &taker{b: b, place: place, id: id, terminals: map[string]harness.Terminal{}, leads: map[string]harness.Lead{}, connectors: map[string]bool{}, shields: map[string]bool{}}
	k.look()
	pins = plugs(pins)
	for _, p := range pins {
		if p.Signal == harness.ShieldDrain && p.Group != "" {
			k.shields[p.Group] = true
		}
	}
	for _, p := range pins {
		if p.Cavity != "" && p.Shared == "" {
			k.pin(p, face)
		}
	}
	for _, p := range pins {
		if p.Shared != "" {
			k.second(p)
		}
	}
	return k.Taken
}

// second adds another lead to a cavity that has one.
func (k *taker) second(p table.Pin) {
	t, ok := k.terminals[cavityKey(p.Connector, p.Cavity)]
	if !ok {
		return
	}
	said := k.lead(p)
	for _, l := range k.b.Leads.All() {
		if l.Terminal == t.ID && l.Legend == said.Legend && l.Function == said.Function {
			return
		}
	}
	k.order++
	said.ID, said.Terminal, said.Order = k.id(), t.ID, k.order
	k.Leads = append(k.Leads, said)
	k.New++
	if t.SharedWhy != "" {
		return
	}
	t.SharedWhy = p.Shared
	if i := slices.IndexFunc(k.Terminals, func(x harness.Terminal) bool { return x.ID == t.ID }); i >= 0 {
		k.Terminals[i] = t
	} else {
		k.Terminals = append(k.Terminals, t)
	}
	k.terminals[cavityKey(p.Connector, p.Cavity)] = t
}

type taker struct {
	Taken
	b          *harness.Build
	place      string
	id         func() string
	terminals  map[string]harness.Terminal // by connector and name, folded
	leads      map[string]harness.Lead     // by terminal
	connectors map[string]bool
	shields    map[string]bool
	order      float64
}

// plugs parts the cavities of a list that names no connector, "A12", into plug and number, if all of them are of that form.
func plugs(pins []table.Pin) []table.Pin {
	out := slices.Clone(pins)
	for i := range out {
		x := &out[i]
		name := strings.TrimSpace(x.Cavity)
		digits := strings.TrimLeftFunc(name, unicode.IsLetter)
		plug := strings.TrimRight(name[:len(name)-len(digits)], " ")
		if x.Connector != "" || plug == "" || len(plug) > 3 || digits == "" || strings.Trim(digits, "0123456789") != "" {
			return pins
		}
		x.Connector, x.Cavity = plug, digits
	}
	return out
}

func cavityKey(connector, name string) string {
	return harness.FoldName(connector) + "\x00" + harness.FoldName(name)
}

func (k *taker) look() {
	for _, c := range k.b.Connectors.All() {
		if c.Place == k.place {
			k.connectors[c.Name] = true
		}
	}
	for _, t := range k.b.Terminals.All() {
		k.order = max(k.order, t.Order)
		if t.Place == k.place {
			k.terminals[cavityKey(t.Connector, t.Name)] = t
		}
	}
	for _, l := range k.b.Leads.All() {
		k.order = max(k.order, l.Order)
		if _, ok := k.leads[l.Terminal]; !ok && l.Terminal != "" {
			k.leads[l.Terminal] = l
		}
	}
}

func (k *taker) pin(p table.Pin, face harness.Face) {
	k.order++
	t, ok := k.terminals[cavityKey(p.Connector, p.Cavity)]
	if !ok {
		t = harness.Terminal{Record: harness.Record{ID: k.id()}, Place: k.place, Connector: p.Connector, Name: p.Cavity, Order: k.order}
		k.terminals[cavityKey(p.Connector, p.Cavity)] = t
		k.Terminals = append(k.Terminals, t)
	}
	if !k.connectors[t.Connector] {
		k.connectors[t.Connector] = true
		k.Connectors = append(k.Connectors, harness.Connector{Record: harness.Record{ID: k.id()}, Place: k.place, Name: t.Connector, Face: face, Order: k.order})
	}
	said := k.lead(p)
	old, had := k.leads[t.ID]
	if !had {
		said.ID, said.Terminal, said.Order = k.id(), t.ID, k.order
		k.leads[t.ID] = said
		k.Leads = append(k.Leads, said)
		k.New++
		return
	}
	now, differs := filled(old, said)
	if differs {
		k.Differ = append(k.Differ, Cavity(t))
	}
	if now != old {
		k.leads[t.ID] = now
		k.Leads = append(k.Leads, now)
		k.Filled++
	}
}

// lead is what a row says of a lead.
func (k *taker) lead(p table.Pin) harness.Lead {
	l := harness.Lead{Legend: p.Legend, Function: p.Function, Signal: p.Signal, Direction: p.Direction, Size: p.Size.String(), Base: p.Colour.Base,
		Tracer: p.Colour.Tracer, Length: p.Length, Insulation: harness.Insulation(p.Insulation), Note: p.Note}
	if l.Direction == harness.NoDirection {
		l.Direction = DirectionOf(l.Signal)
	}
	switch {
	case k.shields[p.Group]:
		l.Shield = p.Group
		if p.Signal != harness.ShieldDrain {
			l.Twist = p.Group
		}
	default:
		l.Twist = p.Group
	}
	return l
}

// filled returns a lead with what it had not, and whether the list says something else than it has.
func filled(l, said harness.Lead) (now harness.Lead, differs bool) {
	now = l
	fill := func(have *string, say string) {
		differs = differs || *have != "" && say != "" && *have != say
		*have = cmp.Or(*have, say)
	}
	fill(&now.Legend, said.Legend)
	fill(&now.Function, said.Function)
	fill(&now.Size, said.Size)
	if now.Base == "" {
		now.Tracer = ""
		fill(&now.Tracer, said.Tracer)
	} else if said.Base != "" && colourOf(now) != colourOf(said) {
		differs = true
	}
	fill(&now.Base, said.Base)
	fill((*string)(&now.Signal), string(said.Signal))
	fill((*string)(&now.Direction), string(said.Direction))
	fill((*string)(&now.Insulation), string(said.Insulation))
	fill(&now.Twist, said.Twist)
	fill(&now.Shield, said.Shield)
	fill(&now.Note, said.Note)
	if now.Length == nil {
		now.Length = said.Length
	} else if said.Length != nil && *said.Length != *now.Length {
		differs = true
	}
	return now, differs
}

func colourOf(l harness.Lead) unit.Colour { return unit.Colour{Base: l.Base, Tracer: l.Tracer} }

// Pins returns every lead, in the order of the cavities.
func (n *Net) Pins() []Pin { return n.pins(func(harness.Lead) bool { return true }) }

// CavitiesOf returns the cavities of a connector in the order in which a person goes along it.
func CavitiesOf(b *harness.Build, c harness.Connector) []harness.Terminal {
	var all []harness.Terminal
	terminals := b.Terminals.All()
	for i := range terminals {
		if terminals[i].Place == c.Place && terminals[i].Connector == c.Name {
			all = append(all, terminals[i])
		}
	}
	sorting.By(all, compareCavities)
	return all
}
