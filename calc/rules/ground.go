package rules

import (
	"slices"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// joins looks for what must never be joined: supply with ground, 5 V with the battery, two feeds.
func (f *facts) joins() {
	for i := range f.nets {
		n := &f.nets[i]
		var ground, five harness.Terminal
		for _, at := range n.nodes {
			t := f.nodes[at].terminal
			l, led := f.net.Lead(t.ID)
			switch {
			case ground.ID == "" && (f.ground(t) || led && l.Signal == harness.PowerGround):
				ground = t
			case five.ID == "" && led && l.Signal == harness.Reference5V:
				five = t
			}
		}
		sources := f.sources[i]
		switch {
		case five.ID != "" && ground.ID != "" && len(sources) == 0:
			f.joined(Shorted, harness.Hurt, five, ground, "joins 5 V to ground: the controller's supply of its sensors is shorted", "keep them apart")
		case len(sources) == 0:
		case ground.ID != "":
			f.joined(Shorted, harness.Hurt, f.nodes[sources[0].node].terminal, ground, "joins a supply to ground: a short", "keep them apart")
		case five.ID != "":
			f.joined(FiveOnBattery, harness.Hurt, five, f.nodes[sources[0].node].terminal, "joins the controller's 5 V to battery voltage", "keep them apart")
		case len(sources) > 1 && !f.generator(n):
			f.joined(FedTwice, harness.Stop, f.nodes[sources[1].node].terminal, f.nodes[sources[0].node].terminal,
				"is joined to another feed: with one fuse out, the other still feeds it", "join it to one of the two")
		}
	}
}

// generator reports whether an alternator is joined to a net: it feeds what the battery feeds.
func (f *facts) generator(n *netFacts) bool {
	return slices.ContainsFunc(n.nodes, func(at int) bool {
		p := f.places[f.nodes[at].terminal.Place]
		return p.Device == "alternator" || f.nodes[at].terminal.ID != "" && f.parts[f.nodes[at].terminal.Part].Kind == harness.DiodePart
	})
}

func (f *facts) joined(rule string, severity harness.Severity, t, other harness.Terminal, what, do string) {
	at := harness.Ref{Kind: harness.KindTerminal, ID: t.ID}
	f.add(harness.Finding{Rule: rule, Severity: severity, Subject: at, Also: []harness.Ref{{Kind: harness.KindTerminal, ID: other.ID}},
		What: f.net.Name(t) + " and " + f.net.Name(other) + ": a wire " + what, Source: common, Fix: harness.Fix{At: at, Field: "circuit", Do: do}})
}

// shields looks whether what is under a shield has a drain that is grounded.
func (f *facts) shields() {
	drained := map[string]bool{}
	leads := f.b.Leads.All()
	for i := range leads {
		if leads[i].Signal == harness.ShieldDrain && leads[i].There() && leads[i].Decision != harness.Remove {
			drained[leads[i].Shield] = true
		}
	}
	told := map[string]bool{}
	for i := range f.wires {
		w := &f.wires[i]
		lead, _ := f.b.Leads.Get(w.Lead)
		shield := w.Shield
		if shield == "" {
			shield = lead.Shield
		}
		if shield == "" || drained[shield] || told[shield] || f.drain(w) {
			continue
		}
		told[shield] = true
		at := harness.Ref{Kind: harness.KindWire, ID: w.ID}
		f.add(harness.Finding{Rule: ShieldLoose, Severity: harness.Warn, Subject: at, What: "the shield " + shield + " round " + w.name() + " is grounded nowhere: it does not shield",
			Source: "common practice: a shield is grounded at one end, at the controller", Fix: harness.Fix{At: at, Field: "shield", Do: "ground it at the controller"}})
	}
}

// drain reports whether another wire under the same shield is its drain: one that is grounded.
func (f *facts) drain(w *wireFacts) bool {
	for i := range f.wires {
		x := &f.wires[i]
		if x.Shield != w.Shield || x.ID == w.ID {
			continue
		}
		if k := f.nets[f.nodes[x.from].net].kind; k == groundNet || f.nets[f.nodes[x.to].net].kind == groundNet {
			return true
		}
		c, _ := f.b.Circuits.Get(x.Circuit)
		if c.Signal == harness.ShieldDrain {
			return true
		}
	}
	return false
}

// strap looks whether battery, body and engine are joined, and whether the strap is as thick as the starter's cable. The
// engine is what runs that move join to the body.
//
// Source: common practice: engine, body and battery are strapped together.
func (f *facts) strap() {
	side := f.engineSide()
	group := map[string]string{} // "battery", "body", "engine", or the place; as a forest
	var root func(x string) string
	root = func(x string) string {
		if up, ok := group[x]; ok && up != x {
			return root(up)
		}
		return x
	}
	of := func(at int) string {
		t := f.nodes[at].terminal
		if !f.ground(t) {
			return ""
		}
		switch p := f.places[t.Place]; {
		case p.Kind != harness.Ground:
			return "battery"
		case side[p.ID]:
			return "engine"
		}
		return "body"
	}
	have := map[string]harness.Place{}
	var straps []int
	for i := range f.nets {
		first := ""
		for _, at := range f.nets[i].nodes {
			x := of(at)
			if x == "" {
				continue
			}
			if _, had := have[x]; !had {
				have[x] = f.places[f.nodes[at].terminal.Place]
			}
			if first == "" {
				first = x
			}
			if a, b := root(first), root(x); a != b {
				group[b] = a
			}
			if x != first && x == "engine" || first == "engine" && x != "engine" {
				straps = append(straps, f.nets[i].wires...)
			}
		}
	}
	battery, known := have["battery"]
	engine, grounded := have["engine"]
	if !known || !grounded || len(side) == 0 || !f.wired(engine.ID) || !f.wired(battery.ID) {
		return // not planned yet
	}
	if root("engine") != root("battery") {
		at := harness.Ref{Kind: harness.KindPlace, ID: engine.ID}
		f.add(harness.Finding{Rule: NoStrap, Severity: harness.Hurt, Subject: at, Also: []harness.Ref{{Kind: harness.KindPlace, ID: battery.ID}},
			What:   "no strap joins " + engine.Name + " to the battery: what the starter takes comes back through thin wires",
			Source: "common practice: engine, body and battery are strapped together", Fix: harness.Fix{At: at, Do: "add a strap from engine to body or battery"}})
		return
	}
	f.thinStrap(straps)
}

// wired reports whether a wire ends at a terminal of a place.
func (f *facts) wired(place string) bool {
	return slices.ContainsFunc(f.byPlace[place], func(t harness.Terminal) bool { return len(f.nodes[f.at[t.ID]].wires) > 0 })
}

// thinStrap compares the strap with the cable of the starter: the same current flows in both.
func (f *facts) thinStrap(straps []int) {
	cable := -1
	for i := range f.wires {
		for _, at := range [2]int{f.wires[i].from, f.wires[i].to} {
			if t := f.nodes[at].terminal; t.Name == "30" && f.places[t.Place].Device == "starter" && f.wires[i].size.Known() {
				cable = i
			}
		}
	}
	sum, thickest := 0.0, -1
	for _, i := range straps {
		if !f.wires[i].size.Known() {
			return
		}
		sum += f.wires[i].size.Area()
		if thickest < 0 || f.wires[i].size.Compare(f.wires[thickest].size) > 0 {
			thickest = i
		}
	}
	if cable < 0 || thickest < 0 || sum >= 0.99*f.wires[cable].size.Area() {
		return
	}
	w := &f.wires[thickest]
	at := harness.Ref{Kind: harness.KindWire, ID: w.ID}
	x := harness.Finding{Rule: ThinStrap, Severity: harness.Stop, Subject: at, Also: []harness.Ref{{Kind: harness.KindWire, ID: f.wires[cable].ID}},
		What: w.name() + " is thinner than " + f.wires[cable].name() + ", and what the starter takes comes back in it", Got: w.size.String(), Limit: f.wires[cable].size.String(),
		Source: common, Terms: []unit.Term{{Name: "straps together", Value: sum, Unit: "mm2"}, {Name: "cable of the starter", Value: f.wires[cable].size.Area(), Unit: "mm2", Of: string(harness.KindWire), ID: f.wires[cable].ID}},
		Fix: harness.Fix{At: at, Field: "size", Do: "use " + f.wires[cable].size.String()}}
	if _, made := f.b.Leads.Get(w.Lead); !made {
		f.resize(&x, w, f.wires[cable].size)
	}
	f.add(x)
}

// engineSide returns the places on the engine: what hangs together without a run that moves, with a device that is bolted
// to an engine. Where no run is marked as moving, it is the grounds that are called after the engine.
func (f *facts) engineSide() map[string]bool {
	next := map[string][]string{}
	moves := false
	runs := f.b.Runs.All()
	for i := range runs {
		if moves = moves || runs[i].Moves; !runs[i].Moves {
			next[runs[i].A] = append(next[runs[i].A], runs[i].B)
			next[runs[i].B] = append(next[runs[i].B], runs[i].A)
		}
	}
	side := map[string]bool{}
	places := f.b.Places.All()
	if !moves {
		for _, p := range places {
			if p.Kind == harness.Ground && strings.Contains(strings.ToLower(p.Name), "engine") {
				side[p.ID] = true
			}
		}
		return side
	}
	for _, p := range places {
		if !slices.Contains(bolted, p.Device) || side[p.ID] {
			continue
		}
		side[p.ID] = true
		for open := []string{p.ID}; len(open) > 0; open = open[1:] {
			for _, far := range next[open[0]] {
				if _, lives := f.places[far]; lives && !side[far] {
					side[far] = true
					open = append(open, far)
				}
			}
		}
	}
	for _, p := range places { // a panel, a controller or the battery on that side: the marks are not complete
		if side[p.ID] && (p.Kind == harness.Supply || p.Kind == harness.Panel) {
			return nil
		}
	}
	return side
}

// bolted are the kinds of device that are bolted to an engine.
var bolted = []string{"injector", "injector, low impedance", "coil with driver", "coil", "pick-up", "knock sensor", "knock sensor, one wire"}
