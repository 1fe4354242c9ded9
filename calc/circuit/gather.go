package circuit

import (
	"slices"

	"loomwright/calc/harness"
)

// Gather returns circuits for wires that were drawn without one: each group of terminals that wires join becomes a circuit,
// with what feeds it found back from part to part. Terminals, wires and joints come changed, as ends and pieces of it; a
// group that has a terminal with a circuit already is added to that one. The order is that of the wires.
//
// The id comes from the joint or the first wire of the group, so that two people who do it make the same.
func Gather(b *harness.Build) Records {
	n := NewNet(b)
	groups := map[string]*group{}
	var all []*group
	at := func(id string) *group {
		root := n.root(id)
		g, ok := groups[root]
		if !ok {
			g = &group{}
			groups[root], all = g, append(all, g)
		}
		return g
	}
	wires := b.Wires.All()
	for i := range wires {
		if end := node(wires[i].From); end != "" {
			g := at(end)
			g.wires = append(g.wires, wires[i])
		}
	}
	terminals := b.Terminals.All()
	for i := range terminals {
		if len(n.wired()[terminals[i].ID]) > 0 {
			g := at(terminals[i].ID)
			g.ends = append(g.ends, terminals[i])
		}
	}
	joints := b.Joints.All()
	for i := range joints {
		if len(n.wired()[joints[i].ID]) > 0 {
			g := at(joints[i].ID)
			g.joints = append(g.joints, joints[i])
		}
	}
	var r Records
	for _, g := range all {
		g.circuit(n, groups, &r)
	}
	return r
}

// group is what wires join.
type group struct {
	wires  []harness.Wire
	ends   []harness.Terminal
	joints []harness.Joint
}

// circuit makes the circuit of a group, or finds it.
func (g *group) circuit(n *Net, groups map[string]*group, r *Records) {
	var c harness.Circuit
	for _, t := range g.ends {
		if old, ok := n.b.Circuits.Get(t.Circuit); ok {
			c = old
			break
		}
	}
	if c.ID == "" {
		if len(g.ends) < 2 || len(g.wires) == 0 {
			return // a drain that is insulated at its far end
		}
		c.ID = harness.ProposedID(harness.KindCircuit, "wires", g.wires[0].ID)
		c.Name, c.Order = g.wires[0].Function, g.wires[0].Order
		if len(g.joints) > 0 {
			c.ID = harness.ProposedID(harness.KindCircuit, "wires", g.joints[0].ID)
			c.Name, c.JoinAt = g.joints[0].Name, g.joints[0].Place
		}
		if _, had := n.b.Circuits.Any(c.ID); had {
			return // a person deleted it
		}
		for _, t := range g.ends {
			if l, ok := n.leads[t.ID]; ok && c.Signal == harness.NoSignal {
				c.Signal = l.Signal
			}
		}
		c.Feed = n.feedOf(g, groups)
		if c.Signal == harness.NoSignal {
			c.Signal = g.signal(n, len(c.Feed) > 0)
		}
		c.Class = g.class(n, c.Signal)
		r.Circuits = append(r.Circuits, c)
	}
	for _, t := range g.ends {
		if t.Circuit == "" {
			t.Circuit = c.ID
			r.Terminals = append(r.Terminals, t)
		}
	}
	for _, j := range g.joints {
		if j.Circuit == "" {
			j.Circuit = c.ID
			r.Joints = append(r.Joints, j)
		}
	}
	for _, w := range g.wires {
		if w.Circuit == "" {
			w.Circuit = c.ID
			r.Wires = append(r.Wires, w)
		}
	}
}

// signal is what a group with no lead carries.
func (g *group) signal(n *Net, fed bool) harness.Signal {
	if fed {
		return harness.SupplyIn
	}
	found := harness.NoSignal
	for _, t := range g.ends {
		p, _ := n.b.Places.Get(t.Place)
		switch s := n.signal(t); {
		case p.Kind == harness.Ground:
			return harness.PowerGround
		case p.Kind == harness.Supply && t.Name != "-":
			return harness.SupplyIn
		case found == harness.NoSignal:
			found = s
		}
	}
	return found
}

// class is that of the first device in a group, or the usual one of the signal. Feeds of several kinds of device are
// ordinary loads.
func (g *group) class(n *Net, s harness.Signal) harness.Class {
	found := harness.NoClass
	for _, t := range g.ends {
		p, _ := n.b.Places.Get(t.Place)
		d, ok := DeviceOf(p.Device)
		if !ok || d.Class == harness.NoClass || found == d.Class {
			continue
		}
		if found != harness.NoClass {
			return usual(s)
		}
		found = d.Class
	}
	if found != harness.NoClass && s != harness.SerialBus {
		return found
	}
	return usual(s)
}

// feedOf returns the parts that feed a group, from the battery on. Bars are passed over.
func (n *Net) feedOf(g *group, groups map[string]*group) (feed []string) {
	seen := map[*group]bool{}
	for g != nil && !seen[g] {
		seen[g] = true
		i := slices.IndexFunc(g.ends, func(t harness.Terminal) bool { return t.Part != "" && outOf(t) })
		if i < 0 {
			return feed
		}
		part, ok := n.b.Parts.Get(g.ends[i].Part)
		if !ok {
			return feed
		}
		feed = slices.Insert(feed, 0, part.ID)
		in := part.ID
		if part.Feed != "" {
			in = part.Feed
		}
		g = nil
		for _, t := range n.of[in] {
			if intoPart(t) {
				g = groups[n.root(t.ID)]
			}
		}
	}
	return feed
}
