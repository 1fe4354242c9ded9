package car

import (
	"slices"
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/suspect"
)

// Shows returns what a measurement shows in this car: the number of one of its answers.
func (r *run) Shows(x suspect.Measure) int {
	a, b := "t:"+x.A, "t:"+x.B
	ok := true
	switch x.Check {
	case suspect.Volts:
		ok = r.plus[a] || !r.minus[a] && !r.grown[a] && r.floats(a)
	case suspect.Across:
		ok = r.plus[a] && r.minus[b]
	case suspect.Earth:
		if _, ground := r.b.Places.Get(x.A); ground {
			a = "bolt:" + x.A
		}
		ok = r.minus[a]
	case suspect.Through:
		ok = r.joined(a, b)
	case suspect.Loop:
		return r.loop(x)
	case suspect.Short:
		ok = !r.grown[a]
	case suspect.Click:
		ok = r.relays[x.A]
	case suspect.Seat:
		return r.seats(x)
	case suspect.Blown:
		switch {
		case r.blown[x.A]:
			return 2
		case r.bad["fuse:"+x.A]:
			return 1
		}
	case suspect.Bolt:
		return r.bolt(x)
	case suspect.Swap:
		ok = !r.bad["relay:"+x.A]
	case suspect.ByHand:
		ok = !r.bad["output:"+x.A]
	case suspect.Alone:
		ok = !r.bad["device:"+x.A]
	case suspect.Cover:
		ok = !r.bad["splice:"+x.A]
	case suspect.Cavity, suspect.Socket:
		return r.oneByOne(x)
	case suspect.Fuses:
		return r.fuses(x)
	case suspect.Inspect:
		t, _ := r.b.Terminals.Get(x.A)
		ok = !r.bad["pass-through:"+x.A] && !r.bad["ground:"+x.A] && !r.bad["supply:"+x.A] && (t.ID == "" || !r.bad["plug:"+t.Place+t.Connector])
	}
	if ok {
		return 0
	}
	return 1
}

func (r *run) joined(a, b string) bool { return r.flood([]string{a}, true, nil)[b] }

// floats tells whether battery voltage comes to a node through devices and coils.
func (r *run) floats(n string) bool {
	return r.creep([]string{n})
}

// creep walks from nodes that nothing holds, through loads, to battery voltage.
func (r *run) creep(open []string) bool {
	seen := map[string]bool{}
	for len(open) > 0 {
		at := open[0]
		open = open[1:]
		if seen[at] || r.minus[at] || r.grown[at] {
			continue
		}
		if r.plus[at] {
			return true
		}
		seen[at] = true
		for n := range r.flood([]string{at}, true, nil) {
			if r.plus[n] {
				return true
			}
			if !strings.HasPrefix(n, "t:") {
				continue
			}
			seen[n] = true
			t, _ := r.b.Terminals.Get(n[2:])
			part, isPart := r.b.Parts.Get(t.Part)
			if isPart && part.Kind == harness.Relay && !r.bad["relay:"+part.ID] && (t.Name == "85" || t.Name == "86") {
				for _, o := range r.kinds.PartEnds(part.ID) {
					if (o.Name == "85" || o.Name == "86") && o.ID != t.ID {
						open = append(open, "t:"+o.ID)
					}
				}
			}
			if p := r.place(t); p.Kind == harness.Device && !r.bad["device:"+p.ID] && r.plugged(t) {
				for _, o := range r.seen[p.ID] {
					if o.ID != t.ID && r.plugged(o) {
						open = append(open, "t:"+o.ID)
					}
				}
			}
		}
	}
	return false
}

// loop is ohms between two cavities of the controller's plug, through a device.
func (r *run) loop(x suspect.Measure) int {
	if r.grown["t:"+x.A] || r.grown["t:"+x.B] {
		return 2
	}
	for _, p := range r.b.Places.All() {
		if p.Kind != harness.Device || r.bad["device:"+p.ID] || !strings.Contains(x.Do, "through "+p.Name+".") {
			continue
		}
		var near, far bool
		for _, t := range r.seen[p.ID] {
			near = near || r.plugged(t) && r.joined("t:"+x.A, "t:"+t.ID)
			far = far || r.plugged(t) && r.joined("t:"+x.B, "t:"+t.ID)
		}
		if near && far {
			return 0
		}
	}
	return 1
}

// seats is looking at the contacts of one plug.
func (r *run) seats(x suspect.Measure) int {
	first, _ := r.b.Terminals.Get(x.A)
	var all []harness.Terminal
	for _, t := range r.seen[first.Place] {
		if t.Part == first.Part && (first.Part != "" || t.Connector == first.Connector) {
			all = append(all, t)
		}
	}
	if len(x.Answers) == 2 && len(all) > 8 {
		all = []harness.Terminal{first}
	}
	if i := slices.IndexFunc(all, func(t harness.Terminal) bool { return r.bad["pin:"+t.ID] }); i >= 0 {
		return i + 1
	}
	if len(x.Answers) > len(all)+1 && (r.bad["plug:"+first.Place+first.Connector] || r.bad["plug:"+first.Place]) {
		return len(x.Answers) - 1
	}
	return 0
}

// Faults lists every single fault of the car, in the order of the records.
func (c *Car) Faults() (all []Fault) {
	for _, w := range c.b.Wires.All() {
		if c.end(w.From) != "" && c.end(w.To) != "" {
			all = append(all, Fault{Kind: "wire", ID: w.ID}, Fault{Kind: "short", ID: w.ID})
		}
	}
	for _, j := range c.b.Joints.All() {
		all = append(all, Fault{Kind: "splice", ID: j.ID})
	}
	for _, p := range c.b.Places.All() {
		if len(c.seen[p.ID]) == 0 && p.Kind != harness.PassThrough {
			continue
		}
		switch p.Kind {
		case harness.Device, harness.Controller:
			all = append(all, Fault{Kind: "device", ID: p.ID})
			var had []string
			for _, t := range c.seen[p.ID] {
				if !slices.Contains(had, t.Connector) {
					had = append(had, t.Connector)
					all = append(all, Fault{Kind: "plug", ID: p.ID, Place: t.Connector})
				}
			}
		case harness.Inline:
			all = append(all, Fault{Kind: "plug", ID: p.ID})
		case harness.Ground:
			all = append(all, Fault{Kind: "ground", ID: p.ID})
		case harness.PassThrough:
			all = append(all, Fault{Kind: "pass-through", ID: p.ID})
		}
		for _, t := range c.seen[p.ID] {
			all = append(all, Fault{Kind: "pin", ID: t.ID})
			if _, led := c.kinds.Lead(t.ID); led {
				all = append(all, Fault{Kind: "output", ID: t.ID})
			}
		}
	}
	for _, p := range c.b.Parts.All() {
		switch p.Kind {
		case harness.Fuse, harness.BreakerPart:
			all = append(all, Fault{Kind: "fuse", ID: p.ID})
		case harness.Relay:
			all = append(all, Fault{Kind: "relay", ID: p.ID})
		}
	}
	return all
}

// Is tells whether a candidate is this fault.
func (f Fault) Is(x suspect.Candidate) bool {
	kinds := map[string]suspect.Kind{"wire": suspect.Wire, "short": suspect.Wire, "pin": suspect.Pin, "splice": suspect.Splice, "plug": suspect.Plug, "fuse": suspect.Fuse,
		"relay": suspect.Relay, "ground": suspect.Ground, "pass-through": suspect.PassThrough, "device": suspect.Device, "output": suspect.Output}
	if x.Kind != kinds[f.Kind] || x.Short != (f.Kind == "short") {
		return false
	}
	if f.Kind == "plug" && f.Place != "" && !strings.HasSuffix(strings.TrimSuffix(x.What, " is off, wet or corroded"), " "+f.Place) {
		return false
	}
	return x.Ref.ID == f.ID || slices.ContainsFunc(x.Also, func(r harness.Ref) bool { return r.ID == f.ID })
}

// oneByOne looks at the contacts of a plug or socket and then measures them, in the order of the answers, and tells the
// first that is wrong.
func (r *run) oneByOne(x suspect.Measure) int {
	first, _ := r.b.Terminals.Get(x.A)
	all := r.seen[first.Place]
	if x.Check == suspect.Socket {
		all = r.kinds.PartEnds(x.A)
	}
	for i, answer := range x.Answers {
		for _, t := range all {
			if x.Check == suspect.Cavity && t.Connector != first.Connector {
				continue
			}
			n := "t:" + t.ID
			bad := false
			now, _ := r.leads(n)
			switch answer {
			case "bad contact: " + circuit.Cavity(t):
				bad = r.bad["pin:"+t.ID]
			case "the plug was off or wet":
				bad = !r.plugged(t)
			case circuit.Cavity(t) + ": no battery voltage":
				bad = !r.plus[n]
			case circuit.Cavity(t) + ": no ground":
				bad = !r.minus[n]
			case circuit.Cavity(t) + ": open":
				bad = !r.grown[n] && (!now || !r.alive)
			case circuit.Cavity(t) + ": short to ground":
				bad = r.grown[n]
			}
			if bad {
				return i
			}
		}
	}
	return 0
}

// bolt looks at a ground.
func (r *run) bolt(x suspect.Measure) int {
	for i, answer := range x.Answers {
		for _, t := range r.seen[x.A] {
			if answer == "loose: "+circuit.Cavity(t) && r.bad["pin:"+t.ID] {
				return i
			}
		}
	}
	switch {
	case r.bad["ground:"+x.A]:
		return len(x.Answers) - 2
	case !r.minus["bolt:"+x.A]:
		return len(x.Answers) - 1
	}
	return 0
}

// fuses touches each fuse of a panel.
func (r *run) fuses(x suspect.Measure) int {
	dead, last := 0, 0
	for i, answer := range x.Answers[2 : len(x.Answers)-1] {
		for _, p := range r.b.Parts.All() {
			if p.Place != x.A || p.Kind != harness.Fuse || "only "+p.Name != answer {
				continue
			}
			for _, t := range r.kinds.PartEnds(p.ID) {
				if t.Name != "in" && len(r.hop["t:"+t.ID]) > 0 {
					if !r.plus["t:"+t.ID] {
						dead++
						last = i
					}
					break
				}
			}
		}
	}
	switch dead {
	case 0:
		return 0
	case len(x.Answers) - 3:
		return 1
	case 1:
		return 2 + last
	}
	return len(x.Answers) - 1
}
