package prove

import (
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// Meter is what a meter can tell, and how warm the loom is.
type Meter struct {
	Resolution float64 // ohms of its last digit
	Celsius    float64
}

// UsualMeter is a pocket meter in a workshop. Source: our choice.
var UsualMeter = Meter{Resolution: 0.1, Celsius: 20}

// Limits of continuity.
//
// Source: under 1 ohm, a car maker's manual as builders quote it; a meter of 0.1 ohm cannot judge a wire of 0.08 ohm, so
// signal wires are judged by it and power paths by their volt drop under load.
const (
	signalOhm = 1.0
	spread    = 1.1 // how much more than its table a wire may have: our choice, strands and their lay
)

// copper is what is known of the wires' metal.
type copper struct {
	metal   []unit.Length // of the wires of web; -1 is not known
	missing []string      // why
	made    []wire.Conductor
	exact   []bool // cut or trimmed to that length
	wireAt  map[string]int
}

func (s *Sheet) measure() {
	n := len(s.web.wires)
	s.wireAt = make(map[string]int, n)
	s.metal, s.missing, s.made, s.exact = make([]unit.Length, n), make([]string, n), make([]wire.Conductor, n), make([]bool, n)
	for i := range s.web.wires {
		w := &s.web.wires[i]
		s.wireAt[w.ID] = i
		c, err := wire.Of(s.size(i), wire.Usual)
		if err != nil {
			s.metal[i], s.missing[i] = -1, err.Error()
			continue
		}
		s.made[i] = c
		switch {
		case w.Cut != nil:
			s.metal[i], s.exact[i] = w.Cut.Length, true
		case w.Trimmed != nil:
			s.metal[i], s.exact[i] = w.Trimmed.Length, true
		default:
			r := s.o.Length(*w)
			s.metal[i] = r.Exact
			if !r.Known() {
				s.metal[i], s.missing[i] = -1, "its length is not known: a run on its way is not measured"
			}
		}
	}
}

func (s *Sheet) size(i int) unit.Size {
	w := &s.web.wires[i]
	size, _ := unit.ParseSize(w.Size)
	if l, ok := s.b.Leads.Get(w.Lead); ok && !size.Known() {
		size, _ = unit.ParseSize(l.Size)
	}
	return size
}

// Expected is what a path of wires should have.
type Expected struct {
	Ohm     float64
	Volts   float64 // under the lamp of a load test
	Terms   []unit.Term
	Unknown string // why it is not known; empty is known
}

// Expect returns what the wires of a test should have, at a temperature in °C.
func (s *Sheet) Expect(t *Test, celsius float64) (x Expected) {
	if len(t.Wires) == 0 {
		x.Unknown = "no wire is in it"
		return x
	}
	for _, id := range t.Wires {
		i := s.wireAt[id]
		w := &s.web.wires[i]
		if s.metal[i] < 0 {
			x.Unknown = w.Name + ": " + s.missing[i]
			return x
		}
		r, err := s.made[i].ResistanceOf(s.metal[i], celsius)
		if err != nil {
			x.Unknown = err.Error()
			return x
		}
		x.Ohm += r.Ohm
		how := "reckoned"
		if s.exact[i] {
			how = "as it was cut"
		}
		for _, term := range r.Terms {
			term.Name, term.Of, term.ID = w.Name+": "+term.Name, string(harness.KindWire), w.ID
			if term.Unit == "m" && term.Source == "" {
				term.Source = how
			}
			x.Terms = append(x.Terms, term)
		}
	}
	x.Terms = append(x.Terms, unit.Term{Name: "path", Formula: "sum of its wires", Value: x.Ohm, Unit: "ohm"})
	if t.amps > 0 {
		x.Volts = x.Ohm * t.amps
		x.Terms = append(x.Terms, unit.Term{Name: "lamp", Value: t.amps, Unit: "A", Source: "our choice: 21 W or 55 W at 12 V"},
			unit.Term{Name: "volt drop", Formula: "ohm × ampere", Value: x.Volts, Unit: "V", Source: "Ohm's law"})
	}
	return x
}

// through asks each wire from the pin where it is best reached. A joint cannot be reached: it is read together with the wires on both
// of its sides.
func (s *Sheet) through() {
	first := len(s.Tests)
	seen := make([]bool, len(s.web.nodes))
	order := make([]int, 0, len(s.web.nodes))
	for i := range s.web.nodes {
		if _, led := s.net.Lead(s.web.nodes[i].terminal.ID); led {
			order = append(order, i)
		}
	}
	for pass := range 3 {
		for i := range s.web.nodes {
			t := s.web.nodes[i].terminal
			if pass == 0 && t.ID != "" && s.web.feeds(t) && s.isPart(t) || pass == 1 && t.ID != "" || pass == 2 {
				order = append(order, i)
			}
		}
	}
	for _, root := range order {
		if !seen[root] {
			s.branch(root, seen)
		}
	}
	added := s.Tests[first:]
	sorting.By(added, func(x, y Test) int { return s.rank[x.Place] - s.rank[y.Place] })
}

func (s *Sheet) isPart(t harness.Terminal) bool {
	_, ok := s.b.Parts.Get(t.Part)
	return ok
}

// branch asks what hangs on a root, each terminal from the terminal before it.
func (s *Sheet) branch(root int, seen []bool) {
	w := s.web
	by, from := map[int]int{}, map[int]int{} // the wire a node was reached by, and the terminal before it
	used := map[int]bool{}
	seen[root] = true
	order := []int{root}
	for i := 0; i < len(order); i++ {
		at := order[i]
		base := at
		if i > 0 && w.nodes[at].point != "" && s.isJoint(at) {
			base = from[at]
		}
		for _, wire := range w.nodes[at].wires {
			far := w.far(wire, at)
			if used[wire] {
				continue
			}
			used[wire] = true
			if seen[far] { // a second way
				s.path(at, far, []string{w.wires[wire].ID}, "They are joined by another way too: take one end of this wire off.")
				continue
			}
			seen[far], by[far], from[far] = true, wire, base
			order = append(order, far)
		}
	}
	leaf := map[int]bool{}
	for _, at := range order[1:] {
		leaf[at] = len(w.nodes[at].wires) == 1
	}
	for _, at := range order[1:] {
		if s.isJoint(at) && !leaf[at] {
			continue
		}
		var wires []string
		for n := at; n != from[at]; n = w.far(by[n], n) {
			wires = append(wires, w.wires[by[n]].ID)
		}
		slices.Reverse(wires)
		s.path(from[at], at, wires, "")
	}
}

func (s *Sheet) isJoint(at int) bool {
	n := &s.web.nodes[at]
	_, is := s.b.Joints.Get(string(n.point))
	return is
}

func (s *Sheet) path(a, b int, wires []string, care string) {
	x, y := &s.web.nodes[a], &s.web.nodes[b]
	t := Test{ID: id("through", string(x.point), string(y.point)), Group: Through, A: x.point, B: y.point, Wires: wires, Place: y.place, Ask: Beep, Unit: "ohm", Care: care,
		Of: harness.Ref{Kind: harness.KindWire, ID: wires[len(wires)-1]}, kind: s.web.nets[x.net].signal,
		Source: "under 1 ohm: a car maker's manual as builders quote it; a long thin wire may have a tenth more than its table"}
	if care == "" && s.web.grounded(x.terminal) && s.web.grounded(y.terminal) {
		t.Care = "Both ends are bolted to the car, which joins them too: take one lug off first."
	}
	if w, _ := s.b.Wires.Get(wires[len(wires)-1]); len(wires) == 1 {
		t.Name = w.Function
	}
	limit := signalOhm
	if e := s.Expect(&t, hottest); e.Unknown == "" {
		limit = max(limit, e.Ohm*spread+2*UsualMeter.Resolution)
	}
	t.High = number(limit)
	s.add(t)
}

// hottest is the loom on a summer's day, °C. Source: our choice.
const hottest = 40

// Lamps of a load test. Source: our choice of lamps that every car has; 21 W and 55 W at 12 V.
const (
	smallLamp = 21.0 / 12
	largeLamp = 55.0 / 12
)

// Drops that are allowed under a lamp. Source: car makers' manuals as builders quote them: ground 0.1 V, wire 0.2 V.
const (
	groundDrop = 0.1
	wireDrop   = 0.2
)

// load asks the paths of power again, with a lamp's current through them: a single strand passes every other test. The lamp
// goes on supplies, grounds and relay outputs, never on a 5 V or signal wire.
func (s *Sheet) load() {
	n := len(s.Tests)
	for i := range n {
		t := s.Tests[i]
		if t.Group != Through || t.Care != "" {
			continue
		}
		rail := s.web.nets[s.netOf(t.A)].rail
		if rail != SupplyRail && rail != GroundRail {
			continue
		}
		t.ID, t.Group, t.Ask, t.Unit = id("load", string(t.A), string(t.B)), Load, Number, "V"
		t.amps = largeLamp
		for _, id := range t.Wires {
			if s.size(s.wireAt[id]).Area() < 1 {
				t.amps = smallLamp
			}
		}
		lamp := "55 W"
		if t.amps == smallLamp {
			lamp = "21 W"
		}
		limit := wireDrop
		t.Source = "wire 0.2 V: car makers' manuals as builders quote them"
		if rail == GroundRail {
			limit, t.Source = groundDrop, "ground 0.1 V: car makers' manuals as builders quote them"
		}
		if e := s.Expect(&t, hottest); e.Unknown == "" && e.Volts*spread+0.02 > limit {
			limit = e.Volts*spread + 0.02
			t.Source += "; this wire loses more by its length alone, so a tenth and two digits above that"
		}
		t.High = number(limit)
		t.Do = "Send the current of a " + lamp + " lamp through it: 12 V from a fused supply, through the lamp, in at one probe and out at the other. Read the volts between the probes."
		t.Care = "The lamp goes on supply, ground and relay outputs only. Never on a 5 V or signal wire, never with the controller plugged in."
		s.add(t)
	}
}
