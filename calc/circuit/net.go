package circuit

import (
	"slices"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// Net knows what is joined to what in a build. It is of the state it was made from: make a new one after a change.
type Net struct {
	b         *harness.Build
	leads     map[string]harness.Lead       // living ones by terminal; the first of several
	double    map[string][]harness.Lead     // terminals with more than one lead
	ends      map[string][]harness.Terminal // of a circuit, in order
	of        map[string][]harness.Terminal // of a part, in order
	placeRank map[string]int

	all    []harness.Wire            // what the next two are made of when one is asked for first
	byEnd  map[string][]harness.Wire // at a terminal or in a joint
	parent map[string]string         // terminals and joints that wires join, as a forest
}

// NewNet looks through a build. Cost: linear in its records.
func NewNet(b *harness.Build) *Net {
	places := b.Places.All()
	n := &Net{b: b, leads: make(map[string]harness.Lead, b.Leads.Len()), double: map[string][]harness.Lead{}, ends: make(map[string][]harness.Terminal, b.Circuits.Len()),
		of: make(map[string][]harness.Terminal, b.Parts.Len()), placeRank: make(map[string]int, len(places)), all: b.Wires.All()}
	for i := range places {
		n.placeRank[places[i].ID] = i
	}
	leads := b.Leads.All()
	for i := range leads {
		l := leads[i]
		if l.Terminal == "" || !l.There() {
			continue
		}
		if first, ok := n.leads[l.Terminal]; ok {
			if len(n.double[l.Terminal]) == 0 {
				n.double[l.Terminal] = []harness.Lead{first}
			}
			n.double[l.Terminal] = append(n.double[l.Terminal], l)
			continue
		}
		n.leads[l.Terminal] = l
	}
	terminals := b.Terminals.All()
	for i := range terminals {
		t := terminals[i]
		if t.Circuit != "" {
			n.ends[t.Circuit] = append(n.ends[t.Circuit], t)
		}
		if t.Part != "" {
			n.of[t.Part] = append(n.of[t.Part], t)
		}
	}
	for _, ends := range n.ends {
		sorting.By(ends, func(x, y harness.Terminal) int { return n.rank(x) - n.rank(y) })
	}
	return n
}

// Rewired returns the net of the same build after edits of wires alone. Cost: nothing until wires are asked for.
func (n *Net) Rewired() *Net {
	c := *n
	c.all, c.byEnd, c.parent = n.b.Wires.All(), nil, nil
	return &c
}

// wired returns the wires at each terminal and in each joint.
func (n *Net) wired() map[string][]harness.Wire {
	if n.byEnd != nil {
		return n.byEnd
	}
	n.byEnd, n.parent = make(map[string][]harness.Wire, 2*len(n.all)), make(map[string]string, 2*len(n.all))
	for i := range n.all {
		w := &n.all[i]
		from, to := node(w.From), node(w.To)
		for _, end := range [2]string{from, to} {
			if end != "" {
				n.byEnd[end] = append(n.byEnd[end], *w)
			}
		}
		if from != "" && to != "" {
			n.join(from, to)
		}
	}
	return n.byEnd
}

// rank puts controllers first, then the other places in their order.
func (n *Net) rank(t harness.Terminal) int {
	if _, ok := n.leads[t.ID]; ok {
		return -1
	}
	if r, ok := n.placeRank[t.Place]; ok {
		return r
	}
	return len(n.placeRank)
}

// node is what an end is at, where that can be told: its joint or its terminal.
func node(e harness.End) string {
	if e.Joint != "" {
		return e.Joint
	}
	return e.Terminal
}

func (n *Net) root(x string) string {
	n.wired()
	for {
		p, ok := n.parent[x]
		if !ok || p == x {
			return x
		}
		if up, ok := n.parent[p]; ok {
			n.parent[x] = up // shorter next time
		}
		x = p
	}
}

func (n *Net) join(x, y string) {
	if x, y = n.root(x), n.root(y); x != y {
		n.parent[y] = x
	}
}

// Joined reports whether wires join two terminals or joints, over whatever splices and strips.
func (n *Net) Joined(x, y string) bool { return n.root(x) == n.root(y) }

// Wires returns the wires at a terminal or in a joint, in their order.
func (n *Net) Wires(id string) []harness.Wire { return n.wired()[id] }

// Lead returns the lead in a terminal.
func (n *Net) Lead(terminal string) (harness.Lead, bool) {
	l, ok := n.leads[terminal]
	return l, ok
}

// Ends returns the terminals of a circuit: those with a lead first, then by place and order.
func (n *Net) Ends(circuit string) []harness.Terminal { return n.ends[circuit] }

// PartEnds returns the terminals of a part, in order.
func (n *Net) PartEnds(part string) []harness.Terminal { return n.of[part] }

// signal returns what a terminal carries: what it says itself, what its lead says, or what its device's kind says.
func (n *Net) signal(t harness.Terminal) harness.Signal {
	if t.Signal != harness.NoSignal {
		return t.Signal
	}
	if l, ok := n.leads[t.ID]; ok {
		return l.Signal
	}
	p, _ := n.b.Places.Get(t.Place)
	if d, ok := DeviceOf(p.Device); ok {
		if need, ok := d.Need(t.Name); ok {
			return need.Signal
		}
	}
	return harness.NoSignal
}

// Signal returns what a terminal carries: what it says itself, what its lead says, or what its device's kind says.
func (n *Net) Signal(t harness.Terminal) harness.Signal { return n.signal(t) }

// Needed reports whether a terminal must be joined: as it says itself, or as the kind of its device says.
func (n *Net) Needed(t harness.Terminal) bool {
	if t.Need != harness.Unknown {
		return t.Need == harness.Yes
	}
	p, _ := n.b.Places.Get(t.Place)
	d, ok := DeviceOf(p.Device)
	if !ok {
		return false
	}
	need, ok := d.Need(t.Name)
	return ok && !need.Spare
}

// Name returns what a terminal is called: "Injector 1 supply", "Controller A14", "F3 out".
func (n *Net) Name(t harness.Terminal) string {
	p, _ := n.b.Places.Any(t.Place)
	place := p.Name
	if place == "" {
		place = string(p.Kind)
	}
	if part, ok := n.b.Parts.Get(t.Part); ok && part.Name != "" {
		if part.Kind == harness.StripWay || part.Kind == harness.Stud {
			return place + " " + part.Name
		}
		if part.Kind != harness.Battery {
			return strings.TrimSpace(part.Name + " " + t.Name)
		}
	}
	return strings.TrimSpace(place + " " + Cavity(t))
}

// Cavity returns a terminal as it is printed on a connector: "A14", or "K1 30" where the name is not a number alone.
func Cavity(t harness.Terminal) string {
	if t.Connector == "" || t.Name == "" {
		return t.Connector + t.Name
	}
	if c := t.Connector[len(t.Connector)-1]; c >= '0' && c <= '9' || t.Name[0] < '0' || t.Name[0] > '9' {
		return t.Connector + " " + t.Name
	}
	return t.Connector + t.Name
}

// takesSeveral reports whether several wires may end at a terminal: a strip position, a stud, a bar.
func (n *Net) takesSeveral(t harness.Terminal) bool {
	if p, ok := n.b.Parts.Get(t.Part); ok {
		return p.Kind == harness.StripWay || p.Kind == harness.Stud || p.Kind == harness.FeedBar
	}
	p, _ := n.b.Places.Get(t.Place)
	return p.Kind == harness.TerminalStrip
}

// ClassOf returns what a circuit is to its neighbours: its own class, that of the device at one of its ends, or what its
// signal is usually. Feeds and grounds are of the class of what they feed.
func (n *Net) ClassOf(c harness.Circuit) harness.Class {
	if c.Class != harness.NoClass {
		return c.Class
	}
	for _, t := range n.ends[c.ID] {
		p, _ := n.b.Places.Get(t.Place)
		if d, ok := DeviceOf(p.Device); ok && d.Class != harness.NoClass {
			return d.Class
		}
	}
	return usual(c.Signal)
}

// usual is the class of most circuits with a signal. Source: common practice.
func usual(s harness.Signal) harness.Class {
	switch s {
	case harness.SensorGround, harness.Reference5V, harness.AnalogueIn, harness.SwitchedIn:
		return harness.Sensing
	case harness.FrequencyIn, harness.ShieldDrain:
		return harness.Sensitive
	case harness.SwitchedOut, harness.SwitchedPower:
		return harness.Switching
	case harness.IgnitionOut:
		return harness.Ignition
	case harness.InjectorOut:
		return harness.Injection
	case harness.SerialBus:
		return harness.Bus
	}
	return harness.NoClass
}

// looms returns the looms that wires of a class may use: those that list it, else those that list nothing, else any.
func looms(b *harness.Build, class harness.Class) []string {
	var named, open []string
	all := b.Looms.All()
	for i := range all {
		switch {
		case slices.Contains(all[i].Classes, class):
			named = append(named, all[i].ID)
		case len(all[i].Classes) == 0:
			open = append(open, all[i].ID)
		}
	}
	if len(named) > 0 || len(open) == len(all) {
		return named // none where no loom says anything: any
	}
	return open
}
