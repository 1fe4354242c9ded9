package prove

import (
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// web is the harness by itself, with nothing plugged in, every fuse and relay out and the battery off.
type web struct {
	b     *harness.Build
	net   *circuit.Net
	nodes []node
	at    map[Point]int
	wires []harness.Wire // living ones with two ends
	from  []int          // nodes of wires
	to    []int
	nets  []net
}

// node is a point that wires end at, or a pin with a lead and no wire.
type node struct {
	point    Point
	place    string
	terminal harness.Terminal // zero for a joint or a bare end
	wires    []int
	net      int
}

// net is what hangs together. Grounds do: they are bolted to the car.
type net struct {
	nodes   []int
	rail    Point // SupplyRail, GroundRail or FiveRail; empty for all others
	signal  harness.Signal
	through bool // at least one wire
}

func weave(b *harness.Build, n *circuit.Net) *web {
	w := &web{b: b, net: n, at: map[Point]int{}}
	terminals := b.Terminals.All()
	for i := range terminals {
		t := &terminals[i]
		_, led := n.Lead(t.ID)
		if led || len(n.Wires(t.ID)) > 0 {
			w.at[Point(t.ID)] = len(w.nodes)
			w.nodes = append(w.nodes, node{point: Point(t.ID), place: t.Place, terminal: *t})
		}
	}
	wires := b.Wires.All()
	for i := range wires {
		wire := &wires[i]
		from, to := w.end(wire.From, bareFrom+wire.ID), w.end(wire.To, bareTo+wire.ID)
		if from < 0 || to < 0 || from == to {
			continue
		}
		k := len(w.wires)
		w.wires, w.from, w.to = append(w.wires, *wire), append(w.from, from), append(w.to, to)
		w.nodes[from].wires = append(w.nodes[from].wires, k)
		w.nodes[to].wires = append(w.nodes[to].wires, k)
	}
	w.join()
	return w
}

// end returns the node of an end, -1 where nobody said where it is.
func (w *web) end(e harness.End, bare string) int {
	p := Point(e.Terminal)
	if e.Joint != "" {
		p = Point(e.Joint)
	}
	place, ok := w.b.EndPlace(e)
	if p == "" {
		if !ok {
			return -1
		}
		p = Point(bare)
	}
	k, had := w.at[p]
	if !had {
		k = len(w.nodes)
		n := node{point: p, place: place}
		if e.Joint == "" {
			n.terminal, _ = w.b.Terminals.Get(e.Terminal)
		}
		w.at[p] = k
		w.nodes = append(w.nodes, n)
	}
	return k
}

func (w *web) far(wire, at int) int { return w.from[wire] + w.to[wire] - at }

// grounded reports whether a terminal is bolted to the car.
func (w *web) grounded(t harness.Terminal) bool {
	if t.ID == "" {
		return false
	}
	p, _ := w.b.Places.Get(t.Place)
	part, _ := w.b.Parts.Get(t.Part)
	switch {
	case p.Kind == harness.Ground:
		return true
	case p.Kind == harness.Supply || part.Kind == harness.Battery:
		return t.Name == "-" || t.Signal == harness.PowerGround
	}
	return false
}

// feeds reports whether a terminal gives battery voltage when its fuse or relay is in.
func (w *web) feeds(t harness.Terminal) bool {
	if t.ID == "" {
		return false
	}
	p, _ := w.b.Places.Get(t.Place)
	part, is := w.b.Parts.Get(t.Part)
	if is {
		switch part.Kind {
		case harness.Fuse, harness.BreakerPart:
			return true
		case harness.Relay:
			return t.Name == "30" || t.Name == "87" || t.Name == "87a"
		case harness.FeedBar:
			return true
		case harness.Battery:
			return t.Name != "-"
		}
		return false
	}
	return p.Kind == harness.Supply && t.Name != "-" || w.net.Signal(t) == harness.SupplyIn
}

// join finds what hangs together, in the order of the nodes.
func (w *web) join() {
	var grounds []int
	for i := range w.nodes {
		w.nodes[i].net = -1
		if w.grounded(w.nodes[i].terminal) {
			grounds = append(grounds, i)
		}
	}
	for i := range w.nodes {
		if w.nodes[i].net >= 0 {
			continue
		}
		n, k, bolted := net{}, len(w.nets), false
		w.nodes[i].net = k
		visit := func(at int) {
			if w.nodes[at].net < 0 {
				w.nodes[at].net = k
				n.nodes = append(n.nodes, at)
			}
		}
		n.nodes = []int{i}
		for j := 0; j < len(n.nodes); j++ {
			at := n.nodes[j]
			for _, wire := range w.nodes[at].wires {
				n.through = true
				visit(w.far(wire, at))
			}
			if !bolted && w.grounded(w.nodes[at].terminal) {
				bolted = true
				for _, g := range grounds {
					visit(g)
				}
			}
		}
		w.classify(&n, bolted)
		w.nets = append(w.nets, n)
	}
}

// classify says which rail a net belongs to and what it carries.
func (w *web) classify(n *net, bolted bool) {
	supply, five := false, false
	for _, at := range n.nodes {
		t := w.nodes[at].terminal
		if t.ID == "" {
			continue
		}
		s := w.net.Signal(t)
		if n.signal == harness.NoSignal {
			n.signal = s
		}
		supply = supply || w.feeds(t)
		five = five || s == harness.Reference5V
	}
	switch {
	case bolted:
		n.rail, n.signal = GroundRail, harness.PowerGround
	case supply:
		n.rail, n.signal = SupplyRail, harness.SupplyIn
	case five:
		n.rail, n.signal = FiveRail, harness.Reference5V
	}
}

// access returns where a net is best reached: a pin of the controller, else the first terminal, else any point.
func (w *web) access(n *net) int {
	best := n.nodes[0]
	for _, at := range n.nodes {
		t := w.nodes[at].terminal
		if _, ok := w.net.Lead(t.ID); ok {
			return at
		}
		if w.nodes[best].terminal.ID == "" && t.ID != "" {
			best = at
		}
	}
	return best
}
