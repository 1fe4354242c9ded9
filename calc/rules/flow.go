package rules

import (
	"math"
	"slices"
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// kind is what a net is for, as far as current goes.
type kind int

const (
	signalNet kind = iota // carries next to nothing
	feedNet               // from a fuse, a relay, the battery or a wire of the car to what they feed
	groundNet             // back to a ground or the battery
	driveNet              // from a device to the output of the controller that switches it
)

// source is a part or battery that gives a net its current.
type source struct {
	node int          // the terminal that gives
	part harness.Part // the zero value of a terminal of the battery, of the car, or of an output of the controller
	from int          // the net that feeds the part, -1 where there is none
}

// gives reports whether a terminal of a part is one that what it feeds hangs on.
func gives(p harness.Part, t harness.Terminal) bool {
	switch {
	case p.ID == "":
		return false
	case t.Name == "87" || strings.HasPrefix(t.Name, "out"):
		return true
	}
	return (p.Kind == harness.Fuse || p.Kind == harness.BreakerPart) && p.Feed != "" && t.Name != "in"
}

// takes reports whether a terminal of a part is one that it is fed by.
func takes(p harness.Part, t harness.Terminal) bool {
	return p.ID != "" && (t.Name == "30" || t.Name == "in")
}

func minus(t harness.Terminal) bool {
	return strings.HasPrefix(t.Name, "-") || strings.HasPrefix(t.Name, "−")
}

// battery reports whether a terminal is the plus of the battery.
func (f *facts) battery(t harness.Terminal) bool {
	if t.ID == "" || minus(t) || t.Signal == harness.PowerGround {
		return false
	}
	p, isPart := f.parts[t.Part]
	if isPart {
		return p.Kind == harness.Battery
	}
	return f.places[t.Place].Kind == harness.Supply
}

// ground reports whether a terminal is a ground, or the minus of the battery.
func (f *facts) ground(t harness.Terminal) bool {
	if t.ID == "" {
		return false
	}
	at := f.places[t.Place]
	return at.Kind == harness.Ground || (at.Kind == harness.Supply || f.parts[t.Part].Kind == harness.Battery) && (minus(t) || t.Signal == harness.PowerGround)
}

// sourcesOf returns what gives a net its current, in the order of its nodes; a part once. A wire of the car that nobody
// measured counts only where there is neither another source nor a ground: it may be anything.
func (f *facts) sourcesOf(net int) (all []source) {
	maybe, grounded := -1, false
	for _, n := range f.nets[net].nodes {
		t := f.nodes[n].terminal
		if t.ID == "" {
			continue
		}
		part := f.parts[t.Part]
		switch {
		case gives(part, t):
			if !slices.ContainsFunc(all, func(s source) bool { return s.part.ID == part.ID }) {
				all = append(all, source{n, part, f.feedOf(part)})
			}
		case f.battery(t):
			all = append(all, source{n, harness.Part{}, -1})
		case f.ground(t):
			grounded = true
		case f.places[t.Place].Kind == harness.CarWire:
			if live, measured := f.feeds(t); live {
				all = append(all, source{n, harness.Part{}, -1})
			} else if !measured && maybe < 0 {
				maybe = n
			}
		default:
			if l, ok := f.net.Lead(t.ID); ok && l.Signal == harness.SwitchedPower {
				all = append(all, source{n, harness.Part{}, -1})
			}
		}
	}
	if len(all) == 0 && maybe >= 0 && !grounded {
		all = append(all, source{maybe, harness.Part{}, -1})
	}
	return all
}

// feeds reports whether a wire of the car gives current, at run or while cranking, and whether that was measured.
func (f *facts) feeds(t harness.Terminal) (live, measured bool) {
	for _, tap := range f.b.Taps.All() {
		if tap.Terminal == t.ID {
			return tap.Run == harness.Live || tap.Crank == harness.Live, tap.Run != harness.NotMeasured || tap.Crank != harness.NotMeasured
		}
	}
	return false, false
}

// feedOf returns the net that feeds a part, -1 for none.
func (f *facts) feedOf(p harness.Part) int {
	if n := f.feedPoint(p); n >= 0 {
		return f.nodes[n].net
	}
	return -1
}

// feedPoint returns the node at which a part is fed, -1 for none: its own terminal, or that of the bar it sits on.
func (f *facts) feedPoint(p harness.Part) int {
	if bar, ok := f.parts[p.Feed]; ok {
		for _, t := range f.net.PartEnds(bar.ID) {
			if bar.Kind == harness.Battery && minus(t) {
				continue
			}
			return f.at[t.ID]
		}
		return -1
	}
	for _, t := range f.net.PartEnds(p.ID) {
		if takes(p, t) {
			return f.at[t.ID]
		}
	}
	return -1
}

// flow says of each net what it is for, which way its current goes, and how much there is in each wire.
func (f *facts) flow() {
	f.supplies = map[string]int{}
	for i := range f.nodes {
		if t := f.nodes[i].terminal; t.ID != "" && len(f.nodes[i].wires) > 0 && f.signal(t) == harness.SupplyIn {
			f.supplies[t.Place]++
		}
	}
	f.sources = make([][]source, len(f.nets))
	for i := range f.nets {
		f.sources[i] = f.sourcesOf(i)
		f.sort(i)
		f.grow(i)
		if f.nets[i].kind == signalNet {
			f.nets[i].fragile = f.fragileNet(&f.nets[i])
		}
	}
	for i := range f.nets {
		f.carry(i, map[int]bool{})
	}
}

// sort says what a net is for.
func (f *facts) sort(i int) {
	n := &f.nets[i]
	if s := f.sources[i]; len(s) > 0 {
		n.kind = feedNet
		for _, x := range s {
			n.roots = append(n.roots, x.node)
		}
		return
	}
	var drives []int
	for _, at := range n.nodes {
		t := f.nodes[at].terminal
		if f.ground(t) {
			n.kind = groundNet
			n.roots = append(n.roots, at)
		}
		if l, ok := f.net.Lead(t.ID); ok && (l.Signal == harness.InjectorOut || l.Signal == harness.SwitchedOut || l.Signal == harness.IgnitionOut) {
			drives = append(drives, at)
		}
	}
	if n.kind == signalNet && len(drives) > 0 {
		n.kind, n.roots = driveNet, drives
	}
}

// grow leads each node of a net to a root, in breadth, over the wires in their order.
func (f *facts) grow(i int) {
	n := &f.nets[i]
	for _, at := range n.nodes {
		f.nodes[at].up = -1
	}
	seen := map[int]bool{}
	for _, r := range n.roots {
		seen[r] = true
	}
	used := 0
	for open := slices.Clone(n.roots); len(open) > 0; open = open[1:] {
		n.order = append(n.order, open[0])
		for _, w := range f.nodes[open[0]].wires {
			if far := f.far(w, open[0]); !seen[far] {
				seen[far] = true
				f.nodes[far].up = w
				used++
				open = append(open, far)
			}
		}
	}
	n.loop = len(n.roots) > 0 && used < len(n.wires)
}

// carry adds up what flows in the wires of a net. What a part takes is what the nets behind it draw.
func (f *facts) carry(i int, above map[int]bool) {
	n := &f.nets[i]
	if n.done || above[i] {
		return
	}
	above[i] = true
	for _, at := range n.nodes {
		f.demand(i, at, above)
	}
	delete(above, i)
	n.done = true
	duty, named := f.named(n)
	sums := map[int]sum{}
	total := 0
	for _, at := range n.order {
		total += f.nodes[at].ends
	}
	for k := len(n.order) - 1; k >= 0; k-- {
		at := &f.nodes[n.order[k]]
		s := sums[n.order[k]]
		s.amps += at.draws
		s.heat += at.lasts
		s.unsure = s.unsure || at.unsure
		s.ends += at.ends
		if at.up < 0 {
			n.amps += s.amps
			n.unsure = n.unsure || s.unsure
			continue
		}
		w := &f.wires[at.up]
		w.amps, w.unsure, w.heat = s.amps, s.unsure, s.heat
		if named >= 0 && s.ends == total && (total > 0 || len(n.wires) == 1) {
			w.amps, w.unsure = named, false
			if s.heat > 0 || s.amps == 0 {
				w.heat = named
			}
		}
		down := f.far(at.up, n.order[k])
		far := sums[down]
		far.amps += s.amps
		far.heat += s.heat
		far.unsure = far.unsure || s.unsure
		far.ends += s.ends
		sums[down] = far
	}
	if named >= 0 && n.kind != signalNet {
		n.amps, n.unsure = named, false
	}
	for _, w := range n.wires {
		x := &f.wires[w]
		x.heat *= math.Sqrt(duty)
		if n.loop {
			x.unsure = true
		}
		for _, id := range x.runs {
			if x.heat >= 1 {
				f.runs[id].loaded++
			}
		}
	}
}

// sum is what flows through a node from what lies beyond it.
type sum struct {
	amps   float64
	heat   float64 // of amps: what lasts
	unsure bool
	ends   int
}

// named returns what the circuit of a net says of its current: the part of the time it is on, and amperes, -1 for nothing.
func (f *facts) named(n *netFacts) (duty, amps float64) {
	duty, amps = 1, -1
	for _, w := range n.wires {
		c, ok := f.b.Circuits.Get(f.wires[w].Circuit)
		if !ok {
			continue
		}
		if c.Duty != nil && *c.Duty > 0 && *c.Duty <= 1 {
			duty = *c.Duty
		}
		if c.Amps != nil && *c.Amps >= 0 {
			amps = *c.Amps
		}
		return duty, amps
	}
	return duty, amps
}

// demand says what a node takes out of its net, or brings back into it.
func (f *facts) demand(net, at int, above map[int]bool) {
	x, n := &f.nodes[at], &f.nets[net]
	t := x.terminal
	if t.ID == "" || n.kind == signalNet || slices.Contains(n.roots, at) {
		return
	}
	part, isPart := f.parts[t.Part]
	switch {
	case isPart && part.Kind == harness.Relay && (t.Name == "85" || t.Name == "86"):
		x.draws, x.ends = circuit.RelayCoilAmps.Low, 1
		x.lasts = x.draws
	case isPart && n.kind == feedNet && (part.Kind == harness.FeedBar || takes(part, t)):
		for _, behind := range f.behind(part) {
			f.carry(behind, above)
			x.draws += f.nets[behind].amps
			x.unsure = x.unsure || f.nets[behind].unsure
		}
		x.ends, x.lasts = 1, x.draws
	case isPart:
	default:
		f.demandOf(x, t, n.kind)
	}
}

// demandOf says what a device or the controller takes at a terminal, or brings back.
func (f *facts) demandOf(x *node, t harness.Terminal, k kind) {
	place := f.places[t.Place]
	signal := f.signal(t)
	switch {
	case k == feedNet && signal != harness.SupplyIn, k == groundNet && signal != harness.PowerGround,
		k == driveNet && signal != harness.InjectorOut && signal != harness.SwitchedOut && signal != harness.IgnitionOut:
		return
	case k != feedNet && place.Kind != harness.Device: // what the controller's grounds carry hangs on what it switches
		return
	case place.Kind != harness.Device && place.Kind != harness.Controller && place.Kind != harness.Inline:
		return
	}
	d, known := circuit.DeviceOf(place.Device)
	if known && place.Device == "coil with driver" && (k == driveNet || t.Name == "return") {
		return // the trigger and its return carry no coil current
	}
	if need, ok := d.Need(t.Name); ok && need.Spare || place.Device == "alternator" {
		return // a sense wire, a lamp
	}
	if place.Device == "starter" && t.Name == "50" {
		return // the solenoid, and not what the motor draws
	}
	x.ends = 1
	if place.Amps != nil && *place.Amps >= 0 {
		x.draws = *place.Amps
		if place.Kind == harness.Controller {
			x.draws /= float64(max(1, f.supplies[place.ID])) // by all its supplies together
		}
		if place.Inrush != nil {
			x.rush = *place.Inrush
		}
		if place.Device != "starter" { // it runs for seconds
			x.lasts = x.draws
		}
		return
	}
	if signal == harness.SupplyIn || d.Amps.Known() {
		x.unsure, x.blame = true, place.ID
	}
}

// behind returns the nets that a part gives their current to; of a bar, those of the fuses on it.
func (f *facts) behind(p harness.Part) (all []int) {
	add := func(part harness.Part) {
		for _, t := range f.net.PartEnds(part.ID) {
			if n := f.nodes[f.at[t.ID]].net; gives(part, t) && !slices.Contains(all, n) {
				all = append(all, n)
			}
		}
	}
	add(p)
	for _, fed := range f.fed[p.ID] {
		add(fed)
	}
	return all
}
