package rules

import (
	"loomwright/calc/circuit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// facts is what the rules look at: the wires with their ways, and what is joined to what.
type facts struct {
	b   *harness.Build
	g   *route.Graph
	o   Options
	net *circuit.Net
	all []harness.Finding

	places   map[string]harness.Place
	byPlace  map[string][]harness.Terminal
	parts    map[string]harness.Part
	fed      map[string][]harness.Part // by the part that feeds them inside a panel
	supplies map[string]int            // by place: its terminals that are supplied
	runs     map[string]*run
	zones    map[string]zone // by run
	wires    []wireFacts     // in their order
	byID     map[string]int  // wires
	nodes    []node
	at       map[string]int // a terminal or joint to its node
	nets     []netFacts
	sources  [][]source      // by net
	carries  map[int]current // what wires may carry, as far as it was asked for
	volts    float64         // of the supply
	packs    *packs
}

// run is a stretch of loom and the wires in it.
type run struct {
	harness.Run
	length unit.Length // 0 where it is not known
	wires  []int
	loaded int // wires that carry an ampere or more
}

// wireFacts is a wire with what follows for it.
type wireFacts struct {
	harness.Wire
	length     *cut.Result // see cut
	runs       []string    // its way
	routed     bool
	class      harness.Class
	size       unit.Size
	insulation int // °C; 0 is not known
	twisted    bool
	shielded   bool
	from, to   int     // nodes
	amps       float64 // what it carries at least
	heat       float64 // what heats it: amps × √duty
	unsure     bool    // it carries more, nobody said how much
	warm, hot  float64 // °C around it: on the average of its way, and at the hottest
}

// node is what wires end at: a terminal, a joint, or a loose end at a place.
type node struct {
	id       string
	terminal harness.Terminal // the zero value of a joint or a loose end
	place    string
	wires    []int
	net      int
	up       int     // the wire towards the root of its net; -1 at a root, and where none leads to one
	draws    float64 // what goes in or out here, in amperes
	rush     float64 // when it is switched on; 0 is no more
	lasts    float64 // of draws: what lasts, and heats the wires
	unsure   bool    // it is more, nobody said how much
	ends     int     // 1 if something goes in or out here
	blame    string  // the place that would say how much
}

// netFacts is what wires join.
type netFacts struct {
	nodes   []int
	wires   []int
	kind    kind
	fragile fragile
	roots   []int // the nodes its current comes from, or goes to
	order   []int // its nodes, roots first and each after the one it is led to the root by
	loop    bool  // its wires make a circle, or lead from root to root: what flows where is not told
	amps    float64
	unsure  bool
	done    bool
}

func gather(b *harness.Build, g *route.Graph, o Options) *facts {
	f := &facts{b: b, g: g, o: o, net: o.Net, places: make(map[string]harness.Place, b.Places.Len()), parts: make(map[string]harness.Part, b.Parts.Len()), fed: map[string][]harness.Part{}, byID: make(map[string]int, b.Wires.Len()), byPlace: make(map[string][]harness.Terminal, b.Places.Len()), carries: map[int]current{}, runs: map[string]*run{},
		at: make(map[string]int, b.Terminals.Len()), volts: b.Settings.Volts}
	if f.net == nil {
		f.net = circuit.NewNet(b)
	}
	if !(f.volts > 0) {
		f.volts = usualVolts
	}
	if f.o.Rules == "" {
		f.o.Rules = wire.RulesOf(b.Settings.Ampacity)
	}
	places, terminals := b.Places.All(), b.Terminals.All()
	f.nodes = make([]node, 0, len(terminals)+b.Joints.Len()+loose)
	for i := range places {
		f.places[places[i].ID] = places[i]
	}
	parts := b.Parts.All()
	for i := range parts {
		f.parts[parts[i].ID] = parts[i]
		if up := parts[i].Feed; up != "" {
			f.fed[up] = append(f.fed[up], parts[i])
		}
	}
	runs := b.Runs.All()
	for i := range runs {
		r := &run{Run: runs[i]}
		if k, ok := g.Lengths().Run(runs[i].ID); ok {
			r.length = k.Length
		}
		f.runs[runs[i].ID] = r
	}
	f.zones = zones(f)
	wires := b.Wires.All()
	f.wires = make([]wireFacts, len(wires))
	for i := range wires {
		f.byID[wires[i].ID] = i
		f.follow(i, wires[i])
	}
	for i := range terminals {
		f.byPlace[terminals[i].Place] = append(f.byPlace[terminals[i].Place], terminals[i])
		f.node(harness.End{Terminal: terminals[i].ID}) // those with no wire too: parts hang together inside
	}
	f.join()
	f.flow()
	return f
}

// loose is how many ends that join nothing there is room for at first. Source: our choice.
const loose = 32

// usualVolts is the supply of a build that does not say. Source: our choice, a car of 12 V.
const usualVolts = 12

func (f *facts) follow(i int, w harness.Wire) {
	x := &f.wires[i]
	x.Wire = w
	x.size, _ = unit.ParseSize(w.Size)
	lead, made := f.b.Leads.Get(w.Lead)
	if made && !x.size.Known() {
		x.size, _ = unit.ParseSize(lead.Size)
	}
	x.insulation = celsius(w.Insulation)
	if made && x.insulation == 0 {
		x.insulation = celsius(lead.Insulation)
	}
	c, _ := f.b.Circuits.Get(w.Circuit)
	x.class = w.Class
	if x.class == harness.NoClass && c.ID != "" {
		x.class = f.net.ClassOf(c)
	}
	x.twisted = w.Twist != "" || made && lead.Twist != ""
	x.shielded = w.Shield != "" || made && lead.Shield != ""
	x.from, x.to = f.node(w.From), f.node(w.To)
	f.nodes[x.from].wires = append(f.nodes[x.from].wires, i)
	if x.to != x.from {
		f.nodes[x.to].wires = append(f.nodes[x.to].wires, i)
	}
	var err error
	x.runs, err = f.g.WireRuns(w)
	x.routed = err == nil
	share, sum := 0.0, unit.Length(0)
	x.hot = roomCelsius
	for _, id := range x.runs {
		r := f.runs[id]
		r.wires = append(r.wires, i)
		around := f.zones[id].celsius()
		share += around * float64(r.length)
		sum += r.length
		x.hot = max(x.hot, around)
	}
	x.warm = x.hot
	if sum > 0 {
		x.warm = share / float64(sum)
	}
}

// cut returns the length of a wire. It is worked out when it is asked for first: what one wire loses and bears hangs on the few
// that it is joined to.
func (f *facts) cut(w *wireFacts) *cut.Result {
	if w.length == nil {
		var r cut.Result
		if f.o.Length != nil {
			r = f.o.Length(w.Wire)
		} else {
			r = cut.Length(f.b, f.g, w.Wire)
		}
		w.length = &r
	}
	return w.length
}

// way is the length of a wire's runs; those that are not known count as none.
func (f *facts) way(w *wireFacts) unit.Length { return f.cut(w).Path.Length }

// metal is all of a wire's conductor; its way where the rest is not known.
func (f *facts) metal(w *wireFacts) unit.Length { return max(f.cut(w).Exact, f.way(w)) }

// celsius reads the class of insulation as it is written; 0 is not known.
func celsius(i harness.Insulation) int {
	n := 0
	for _, r := range i {
		if r < '0' || r > '9' {
			break
		}
		if n = n*10 + int(r-'0'); n > 1000 {
			return 0
		}
	}
	return n
}

func (f *facts) node(e harness.End) int {
	id := e.Joint
	if id == "" {
		id = e.Terminal
	}
	if id == "" { // a loose end joins nothing
		f.nodes = append(f.nodes, node{place: e.Place})
		return len(f.nodes) - 1
	}
	if n, ok := f.at[id]; ok {
		return n
	}
	n := node{id: id}
	n.place, _ = f.b.EndPlace(e)
	if e.Joint == "" {
		n.terminal, _ = f.b.Terminals.Get(id)
		if n.terminal.ID != "" {
			n.place = n.terminal.Place
		}
	}
	f.at[id] = len(f.nodes)
	f.nodes = append(f.nodes, n)
	return f.at[id]
}

// join finds what hangs together. Nets are in the order of their first node.
func (f *facts) join() {
	for i := range f.nodes {
		f.nodes[i].net = -1
	}
	for i := range f.nodes {
		if f.nodes[i].net >= 0 {
			continue
		}
		n := netFacts{}
		f.nodes[i].net = len(f.nets)
		for open := []int{i}; len(open) > 0; open = open[1:] {
			at := open[0]
			n.nodes = append(n.nodes, at)
			for _, w := range f.nodes[at].wires {
				if far := f.far(w, at); f.nodes[far].net < 0 {
					f.nodes[far].net = len(f.nets)
					open = append(open, far)
				}
			}
		}
		f.nets = append(f.nets, n)
	}
	for i := range f.wires {
		n := &f.nets[f.nodes[f.wires[i].from].net]
		n.wires = append(n.wires, i)
	}
}

// far returns the other end of a wire.
func (f *facts) far(wire, at int) int {
	w := &f.wires[wire]
	return w.from + w.to - at
}

// signal returns what a terminal carries: what it says itself, its lead, or what its device's kind says.
func (f *facts) signal(t harness.Terminal) harness.Signal {
	if t.Signal != harness.NoSignal {
		return t.Signal
	}
	if l, ok := f.net.Lead(t.ID); ok {
		return l.Signal
	}
	if d, ok := circuit.DeviceOf(f.places[t.Place].Device); ok {
		if need, ok := d.Need(t.Name); ok {
			return need.Signal
		}
	}
	return harness.NoSignal
}

// name returns what a wire is called.
func (w *wireFacts) name() string {
	switch {
	case w.Name == "":
		return w.Function
	case w.Function == "":
		return w.Name
	}
	return w.Name + " " + w.Function
}

func (f *facts) length(l unit.Length) string { return l.Format(f.b.Settings.Unit) }
