// Package car is a car that does what its wiring says, with faults in it: what is dead, and what a meter shows. It floods
// the records of a build from the battery outwards and shares no code with what looks for faults.
package car

import (
	"slices"
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/suspect"
)

// Fault is one thing that is wrong: a record that is open, or a wire that is rubbed through to ground.
type Fault struct {
	Kind  string // "wire", "pin", "splice", "plug", "fuse", "relay", "ground", "pass-through", "device", "output", "short"
	ID    string // the wire, terminal, joint, part or place
	Place string // of a plug: its connector
}

// Car is a build that runs.
type Car struct {
	b     *harness.Build
	kinds *circuit.Net
	ways  suspect.Ways
	hop   map[string][]hop
	seen  map[string][]harness.Terminal // terminals of a place with wires
}

type hop struct {
	to   string
	wire string
	pins []string // terminals whose contact is passed
}

// New returns the car of a build. ways says what each wire passes.
func New(b *harness.Build, ways suspect.Ways) *Car {
	c := &Car{b: b, kinds: circuit.NewNet(b), ways: ways, hop: map[string][]hop{}, seen: map[string][]harness.Terminal{}}
	for _, w := range b.Wires.All() {
		x, y := c.end(w.From), c.end(w.To)
		if x == "" || y == "" {
			continue
		}
		pins := []string{w.From.Terminal, w.To.Terminal}
		c.hop[x] = append(c.hop[x], hop{y, w.ID, pins})
		c.hop[y] = append(c.hop[y], hop{x, w.ID, pins})
	}
	for _, t := range b.Terminals.All() {
		if len(c.hop["t:"+t.ID]) > 0 {
			c.seen[t.Place] = append(c.seen[t.Place], t)
		}
	}
	return c
}

func (c *Car) end(e harness.End) string {
	switch {
	case e.Joint != "":
		return "j:" + e.Joint
	case e.Terminal != "":
		return "t:" + e.Terminal
	}
	return ""
}

// run is the car with faults, as it settles.
type run struct {
	*Car
	bad    map[string]bool
	relays map[string]bool // those that are on
	blown  map[string]bool
	plus   map[string]bool // nodes with battery voltage
	minus  map[string]bool // nodes joined to the battery's minus
	alive  bool
	grown  map[string]bool // nodes joined to a wire that is rubbed through
}

func (f Fault) key() string { return f.Kind + ":" + f.ID + f.Place }

// Run lets a car with faults run until nothing changes.
func (c *Car) Run(faults ...Fault) *run {
	r := &run{Car: c, bad: map[string]bool{}, relays: map[string]bool{}, blown: map[string]bool{}, alive: true, grown: map[string]bool{}}
	for _, f := range faults {
		r.bad[f.key()] = true
		if f.Kind == "pass-through" {
			for _, w := range c.b.Wires.All() {
				if places, _ := c.ways(w); len(places) > 2 && slices.Contains(places[1:len(places)-1], f.ID) {
					r.bad["wire:"+w.ID] = true
				}
			}
		}
		if f.Kind == "short" {
			w, _ := c.b.Wires.Get(f.ID)
			for n := range r.flood([]string{c.end(w.From)}, false, nil) {
				r.grown[n] = true
			}
		}
	}
	for _, p := range c.b.Parts.All() {
		r.relays[p.ID] = p.Kind == harness.Relay
	}
	for {
		r.power()
		if r.fuseBlows() {
			continue
		}
		again := false
		if alive := r.controller(); alive != r.alive {
			r.alive, again = alive, true
		}
		for _, p := range c.b.Parts.All() {
			if r.relays[p.ID] && !r.pulls(p) {
				r.relays[p.ID], again = false, true
			}
		}
		if !again {
			return r
		}
	}
}

// flood walks from nodes over wires, and with parts through what is closed. stop, if not nil, keeps it out of a node.
func (r *run) flood(from []string, parts bool, stop func(string) bool) map[string]bool {
	reached := map[string]bool{}
	var open []string
	visit := func(n string) {
		if n != "" && !reached[n] && (stop == nil || !stop(n)) {
			reached[n] = true
			open = append(open, n)
		}
	}
	for _, n := range from {
		visit(n)
	}
	for len(open) > 0 {
		at := open[0]
		open = open[1:]
		for _, h := range r.hop[at] {
			if r.passes(at, h) {
				visit(h.to)
			}
		}
		if parts {
			for _, n := range r.inside(at) {
				visit(n)
			}
		}
	}
	return reached
}

// passes tells whether a wire and the contacts at its ends conduct.
func (r *run) passes(at string, h hop) bool {
	if r.bad["wire:"+h.wire] {
		return false
	}
	for _, n := range [2]string{at, h.to} {
		if j, ok := strings.CutPrefix(n, "j:"); ok && r.bad["splice:"+j] {
			return false
		}
	}
	for _, p := range h.pins {
		t, _ := r.b.Terminals.Get(p)
		if p != "" && (r.bad["pin:"+p] || r.place(t).Kind == harness.Inline && r.bad["plug:"+t.Place]) {
			return false
		}
	}
	return true
}

func (c *Car) place(t harness.Terminal) harness.Place {
	p, _ := c.b.Places.Get(t.Place)
	return p
}

// inside lists the nodes that a part, a bar or a ground joins to a node.
func (r *run) inside(n string) (to []string) {
	kind, id, _ := strings.Cut(n, ":")
	switch kind {
	case "t":
		t, _ := r.b.Terminals.Get(id)
		part, ok := r.b.Parts.Get(t.Part)
		switch {
		case ok && part.Kind == harness.Relay:
			if r.relays[part.ID] && !r.bad["relay:"+part.ID] && (t.Name == "30" || t.Name == "87") {
				for _, o := range r.kinds.PartEnds(part.ID) {
					if o.Name == "30" || o.Name == "87" {
						to = append(to, "t:"+o.ID)
					}
				}
			}
		case ok && part.Kind == harness.Battery:
			if !r.bad["supply:"+part.ID] && !strings.HasPrefix(t.Name, "-") {
				to = append(to, "bar:"+part.ID)
			} else if !r.bad["supply:"+part.ID] {
				to = append(to, "minus")
			}
		case ok && part.Kind == harness.FeedBar:
			if !r.bad["part:"+part.ID] {
				to = append(to, "bar:"+part.ID)
			}
		case ok && part.Kind != harness.StripWay && part.Kind != harness.Stud:
			if r.closed(part) {
				if t.Name != "in" && part.Feed != "" {
					to = append(to, "bar:"+part.Feed)
				}
				for _, o := range r.kinds.PartEnds(part.ID) {
					if part.Feed == "" || o.Name != "in" && t.Name != "in" {
						to = append(to, "t:"+o.ID)
					}
				}
			}
		case r.place(t).Kind == harness.Ground && !r.bad["ground:"+t.Place]:
			to = append(to, "bolt:"+t.Place)
		}
	case "bar":
		for _, p := range r.b.Parts.All() {
			if p.Feed == id && r.closed(p) {
				for _, o := range r.kinds.PartEnds(p.ID) {
					if o.Name != "in" {
						to = append(to, "t:"+o.ID)
					}
				}
				to = append(to, "bar:"+p.ID)
			}
		}
		for _, o := range r.kinds.PartEnds(id) {
			if p, _ := r.b.Parts.Get(id); !r.bad["part:"+id] && (p.Kind == harness.FeedBar || p.Kind == harness.Battery && !strings.HasPrefix(o.Name, "-")) {
				to = append(to, "t:"+o.ID)
			}
		}
	case "minus":
		for _, p := range r.b.Parts.All() {
			for _, o := range r.kinds.PartEnds(p.ID) {
				if p.Kind == harness.Battery && strings.HasPrefix(o.Name, "-") && !r.bad["supply:"+p.ID] {
					to = append(to, "t:"+o.ID)
				}
			}
		}
	case "bolt":
		for _, t := range r.seen[id] {
			if !r.bad["ground:"+id] {
				to = append(to, "t:"+t.ID)
			}
		}
		if !r.bad["ground:"+id] && r.onBody(id) {
			to = append(to, "body")
		}
	case "body":
		for _, p := range r.b.Places.All() {
			if p.Kind == harness.Ground && r.onBody(p.ID) && !r.bad["ground:"+p.ID] {
				to = append(to, "bolt:"+p.ID)
			}
		}
	}
	return to
}

func (r *run) closed(p harness.Part) bool {
	return !r.bad["fuse:"+p.ID] && !r.bad["part:"+p.ID] && !r.blown[p.ID] && !r.bad["supply:"+p.ID]
}

// onBody tells whether a ground is on the body: it has no strap, or is the one that the battery's minus comes to.
func (r *run) onBody(place string) bool {
	strap := false
	for _, t := range r.seen[place] {
		for _, w := range r.kinds.Wires(t.ID) {
			for _, e := range [2]harness.End{w.From, w.To} {
				p, _ := r.b.EndPlace(e)
				at, _ := r.b.Places.Get(p)
				if at.Kind == harness.Supply {
					return true
				}
				strap = strap || at.Kind == harness.Ground && p != place
			}
		}
	}
	return !strap
}

// power floods the supply and the ground.
func (r *run) power() {
	r.minus = r.flood([]string{"minus"}, true, nil)
	from := []string{}
	for _, p := range r.b.Parts.All() {
		if p.Kind == harness.Battery && !r.bad["supply:"+p.ID] {
			from = append(from, "bar:"+p.ID)
		}
	}
	for _, p := range r.b.Places.All() {
		for _, t := range r.seen[p.ID] {
			if p.Kind == harness.CarWire {
				from = append(from, "t:"+t.ID)
			}
		}
	}
	r.plus = r.flood(from, true, func(n string) bool { return r.grown[n] })
}

// fuseBlows opens a fuse that stands between the supply and a wire that is rubbed through.
func (r *run) fuseBlows() bool {
	if len(r.grown) == 0 {
		return false
	}
	all := r.flood(r.keys(r.plus), true, nil) // through the short
	for n := range r.grown {
		if !all[n] {
			continue
		}
		// The last fuse before the short: the one whose output reaches it with no other fuse between.
		for _, p := range r.b.Parts.All() {
			if p.Kind != harness.Fuse && p.Kind != harness.BreakerPart || r.blown[p.ID] || !r.closed(p) {
				continue
			}
			for _, o := range r.kinds.PartEnds(p.ID) {
				if o.Name == "in" || len(r.hop["t:"+o.ID]) == 0 {
					continue
				}
				down := r.downstream("t:" + o.ID)
				if down[n] {
					r.blown[p.ID] = true
					return true
				}
			}
		}
	}
	return false
}

// downstream is what current reaches from a node with no fuse between.
func (r *run) downstream(from string) map[string]bool {
	reached := map[string]bool{from: true}
	for open := []string{from}; len(open) > 0; open = open[1:] {
		add := func(n string) {
			if !reached[n] {
				reached[n] = true
				open = append(open, n)
			}
		}
		for _, h := range r.hop[open[0]] {
			add(h.to)
		}
		if id, ok := strings.CutPrefix(open[0], "t:"); ok {
			t, _ := r.b.Terminals.Get(id)
			p, _ := r.b.Parts.Get(t.Part)
			for _, o := range r.kinds.PartEnds(p.ID) {
				if p.Kind == harness.Relay && t.Name == "30" && o.Name == "87" {
					add("t:" + o.ID)
				}
			}
		}
	}
	return reached
}

func (r *run) keys(m map[string]bool) (all []string) {
	for k := range m {
		all = append(all, k)
	}
	slices.Sort(all)
	return all
}
