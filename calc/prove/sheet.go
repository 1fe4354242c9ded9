package prove

import (
	"cmp"
	"slices"

	"loomwright/calc/circuit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/supply"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// Options is what the tests need besides the build.
type Options struct {
	Length func(harness.Wire) cut.Result // how long each wire is
}

// Sheet is every test of a build, in the order of the work: by group, then by place, so that nobody walks twice. It is of the
// state it was made from.
type Sheet struct {
	Tests []Test
	b     *harness.Build
	net   *circuit.Net
	o     Options
	web   *web
	rank  map[string]int // of places
	byID  map[string]int
	copper
}

// New makes the tests of a build. Cost: linear in its wires, but for the pairs of each connector, see Order.
func New(b *harness.Build, n *circuit.Net, o Options) *Sheet {
	s := &Sheet{b: b, net: n, o: o, web: weave(b, n), rank: map[string]int{}, byID: map[string]int{}}
	places := b.Places.All()
	for i := range places {
		s.rank[places[i].ID] = i + 1
	}
	s.measure()
	s.gate()
	s.seating()
	s.crimps()
	s.through()
	s.screens()
	s.isolation()
	s.rails()
	s.crossing()
	s.together()
	s.load()
	s.devices()
	s.plugged()
	s.power()
	for i := range s.Tests {
		s.byID[s.Tests[i].ID] = i
	}
	return s
}

// Test returns a test by its id.
func (s *Sheet) Test(id string) (t *Test, ok bool) {
	i, ok := s.byID[id]
	if !ok {
		return nil, false
	}
	return &s.Tests[i], true
}

func (s *Sheet) add(t Test) { s.Tests = append(s.Tests, t) }

// yes adds a thing to do.
func (s *Sheet) yes(g Group, phase int, key, name, do, care, source string) {
	s.add(Test{ID: id("yes", key), Group: g, Phase: phase, Name: name, Do: do, Care: care, Ask: Yes, Source: source})
}

const practice = "common practice"

func (s *Sheet) gate() {
	for _, g := range []struct{ key, name, do string }{
		{"battery", "Battery off", "Take the battery's negative off, and lay it where it cannot spring back."},
		{"controller", "Controller unplugged", "Unplug the controller. A meter's current can hurt it, and through it every pin is joined to every other."},
		{"devices", "Every device unplugged", "Unplug every device. With injectors plugged in, isolation reads 12 ohm through them."},
		{"fuses", "Fuses and relays out", "Pull every fuse and every relay: what they join must be told apart."},
		{"taps", "Off the car's wires", "Take our wires off the car's own wiring, or they read through its lamps and clocks."},
		{"leads", "Meter's leads held together", "Hold the two probes together. What the meter shows then is its leads: it is taken off every reading."},
	} {
		s.yes(Gate, 0, "gate "+g.key, g.name, g.do, "", practice)
	}
}

// seating asks for each pin of the controller, then for each place whose terminals were made here.
func (s *Sheet) seating() {
	for _, p := range s.net.Seating() {
		s.add(Test{ID: id("seat", p.Lead.ID), Group: Seating, Name: "Pin " + p.Cavity + " sits", Do: "Pull the lead lightly: the pin stays, level with its neighbours, and the lock is closed.",
			A: Point(p.Terminal.ID), Of: harness.Ref{Kind: harness.KindLead, ID: p.Lead.ID}, Place: p.Terminal.Place, Ask: Yes, Source: practice})
	}
	made := map[string]int{}
	for i := range s.web.nodes {
		n := &s.web.nodes[i]
		if _, led := s.net.Lead(n.terminal.ID); n.terminal.ID != "" && !led && len(n.wires) > 0 {
			made[n.place] += len(n.wires)
		}
	}
	for _, p := range s.b.Places.All() {
		if n := made[p.ID]; n > 0 {
			s.add(Test{ID: id("tug", p.ID), Group: Seating, Name: "Hand tug: " + p.Name, Place: p.ID, Ask: Yes, Source: practice, Of: harness.Ref{Kind: harness.KindPlace, ID: p.ID},
				Do: "Pull at each of the " + unit.Shown(float64(n)) + " wires by hand, one by one: none moves in its crimp, none comes out of the plug. Never the pull test on the loom itself."})
		}
	}
}

// crimps asks for a sample of each terminal on each size that is crimped here.
func (s *Sheet) crimps() {
	type kind struct{ size, crimp string }
	var kinds []kind
	for i := range s.web.wires {
		size := s.size(i)
		if !size.Known() {
			continue
		}
		for _, end := range [2]harness.TagEnd{harness.FromEnd, harness.ToEnd} {
			k := kind{size.String(), string(supply.EndOf(s.b, s.web.wires[i], end))}
			if k.crimp != "" && !slices.Contains(kinds, k) {
				kinds = append(kinds, k)
			}
		}
	}
	sorting.By(kinds, func(x, y kind) int { return cmp.Or(cmp.Compare(x.size, y.size), cmp.Compare(x.crimp, y.crimp)) })
	for _, k := range kinds {
		size, _ := unit.ParseSize(k.size)
		t := Test{ID: id("crimp", k.crimp, k.size), Group: Seating, Name: "Crimp sample: " + k.crimp + " on " + k.size, Sample: k.size, Crimp: k.crimp, Ask: Number, Unit: "N", size: size,
			Do: "Crimp a " + k.crimp + " on a scrap of this wire with the tool and die of the job, pull it until it gives way, and key what it held. One for each tool."}
		if least, by, err := wire.Pull(size, wire.Standard(s.b.Settings.CrimpBy)); err == nil {
			t.Low, t.Source = number(least), string(by)
		} else {
			t.Source = err.Error()
		}
		s.add(t)
	}
}

// silentOhm is what counts as not joined. Source: 1 megohm, a car maker's manual as builders quote it.
const silentOhm = 1e6

// silent adds a test that two points are not joined.
func (s *Sheet) silent(g Group, a, b Point, place string, of harness.Ref, name string) {
	x, y := a, b
	if y < x {
		x, y = y, x
	}
	s.add(Test{ID: id("apart", string(g), string(x), string(y)), Group: g, Name: name, A: a, B: b, Place: place, Of: of, Ask: Silent, Unit: "ohm",
		Low: number(silentOhm), Source: "over 1 megohm counts as open: a car maker's manual as builders quote it"})
}

// screens asks of each shield that it touches none of its cores, and is grounded at one end only.
func (s *Sheet) screens() {
	leads := s.b.Leads.All()
	for i := range leads {
		drain := &leads[i]
		if drain.Signal != harness.ShieldDrain || drain.Shield == "" || !drain.There() || drain.Decision == harness.Remove {
			continue
		}
		t, _ := s.b.Terminals.Get(drain.Terminal)
		of := harness.Ref{Kind: harness.KindLead, ID: drain.ID}
		for k := range leads {
			core := &leads[k]
			if core.Shield == drain.Shield && core.ID != drain.ID && core.There() && core.Terminal != "" {
				s.silent(Screens, Point(core.Terminal), Point(drain.Terminal), t.Place, of, "")
			}
		}
		s.add(Test{ID: id("one end", drain.ID), Group: Screens, Name: "Shield " + drain.Shield + " ends free", A: Point(drain.Terminal), Place: t.Place, Of: of, Ask: Yes,
			Do: "Look at the far end: the braid is cut back and insulated there. It is grounded at the controller only.", Source: "grounded at one end only: " + practice})
	}
}

// isolation asks the supplies apart, the worst first.
func (s *Sheet) isolation() {
	at := s.panelPlace()
	for _, p := range [][2]Point{{SupplyRail, GroundRail}, {FiveRail, GroundRail}, {SupplyRail, FiveRail}} {
		if s.has(p[0]) && s.has(p[1]) {
			s.silent(Isolation, p[0], p[1], at, harness.Ref{}, "")
		}
	}
}

func (s *Sheet) has(rail Point) bool {
	return slices.ContainsFunc(s.web.nets, func(n net) bool { return n.rail == rail })
}

func (s *Sheet) panelPlace() string {
	for _, p := range s.b.Places.All() {
		if p.Kind == harness.Panel {
			return p.ID
		}
	}
	return ""
}

// loose returns where each net that belongs to no rail is best reached, by place.
func (s *Sheet) loose() (all []int) {
	for i := range s.web.nets {
		if n := &s.web.nets[i]; n.rail == "" {
			all = append(all, s.web.access(n))
		}
	}
	s.walk(all)
	return all
}

// walk sorts nodes by place, then as they stand in their connector.
func (s *Sheet) walk(all []int) {
	slices.SortStableFunc(all, func(x, y int) int { return s.rank[s.web.nodes[x].place] - s.rank[s.web.nodes[y].place] })
}

// rails asks each net against each rail. Place by place, one probe stays clipped to a rail while the other goes from pin to
// pin, there and back again, so that one of the two always stays.
func (s *Sheet) rails() {
	var rails []Point
	for _, r := range []Point{GroundRail, SupplyRail, FiveRail} {
		if s.has(r) {
			rails = append(rails, r)
		}
	}
	all := s.loose()
	for len(all) > 0 {
		place := s.web.nodes[all[0]].place
		n := 1
		for n < len(all) && s.web.nodes[all[n]].place == place {
			n++
		}
		here := all[:n]
		all = all[n:]
		for _, r := range rails {
			for _, at := range here {
				s.silent(Rails, s.web.nodes[at].point, r, place, harness.Ref{}, "")
			}
			slices.Reverse(here)
		}
		slices.Reverse(rails)
	}
}

// crossing asks of pins beside each other in a plug that they are not joined, where no test before this one does. Two nets
// are asked once, wherever they are neighbours.
func (s *Sheet) crossing() {
	type key struct{ place, connector string }
	var groups []key
	pairs := map[key][][2]int{}
	asked := map[[2]int]bool{}
	for _, p := range s.Neighbours() {
		x, y := s.web.nodes[p[0]].net, s.web.nodes[p[1]].net
		if x > y {
			x, y = y, x
		}
		if x == y || asked[[2]int{x, y}] || s.apart(x, y) {
			continue
		}
		asked[[2]int{x, y}] = true
		k := key{s.web.nodes[p[0]].place, s.web.nodes[p[0]].terminal.Connector}
		if len(pairs[k]) == 0 {
			groups = append(groups, k)
		}
		pairs[k] = append(pairs[k], p)
	}
	for _, k := range groups {
		at := map[int]int{}
		var graph []Pair
		for _, p := range pairs[k] {
			for _, n := range p {
				if _, had := at[n]; !had {
					at[n] = len(at)
				}
			}
			graph = append(graph, Pair{at[p[0]], at[p[1]]})
		}
		for _, i := range Order(graph, len(at)) {
			p := pairs[k][i]
			s.silent(Crossing, s.web.nodes[p[0]].point, s.web.nodes[p[1]].point, k.place, harness.Ref{}, "")
		}
	}
}

// apart reports whether another group asks two nets apart already.
func (s *Sheet) apart(x, y int) bool {
	a, b := s.web.nets[x].rail, s.web.nets[y].rail
	switch {
	case a != "" && b != "":
		return a != b
	case a != "" || b != "":
		return true
	}
	for i := range s.Tests {
		if t := &s.Tests[i]; t.Group == Screens && t.Ask == Silent {
			p, q := s.netOf(t.A), s.netOf(t.B)
			if p == x && q == y || p == y && q == x {
				return true
			}
		}
	}
	return false
}

func (s *Sheet) netOf(p Point) int {
	if k, ok := s.web.at[p]; ok {
		return s.web.nodes[k].net
	}
	return -1
}

// Neighbours returns the nodes that stand beside each other in a plug: side by side and one above the other where its rows and
// columns are known, else as they follow each other.
func (s *Sheet) Neighbours() (pairs [][2]int) {
	b := s.b
	seen := map[string]bool{}
	for _, c := range b.Connectors.All() {
		v := s.net.Face(c, c.Face)
		at := map[[2]int]int{}
		for _, cell := range v.Cells {
			seen[cell.Terminal.ID] = true
			if k, ok := s.web.at[Point(cell.Terminal.ID)]; ok {
				at[[2]int{cell.Row, cell.Column}] = k + 1
			}
		}
		for r := 1; r <= v.Rows; r++ {
			for col := 1; col <= v.Columns; col++ {
				k := at[[2]int{r, col}]
				for _, far := range [2]int{at[[2]int{r, col + 1}], at[[2]int{r + 1, col}]} {
					if k > 0 && far > 0 {
						pairs = append(pairs, [2]int{k - 1, far - 1})
					}
				}
			}
		}
	}
	last := map[string]int{}
	for i := range s.web.nodes {
		t := s.web.nodes[i].terminal
		p, _ := b.Places.Get(t.Place)
		if t.ID == "" || seen[t.ID] || p.Kind == harness.Ground || p.Kind == harness.Supply || p.Kind == harness.CarWire {
			continue
		}
		key := t.Place + " " + t.Connector
		if before, had := last[key]; had {
			pairs = append(pairs, [2]int{before - 1, i})
		}
		last[key] = i + 1
	}
	return pairs
}

// together asks each net against all others at once, for those who have a plug or a comb that ties them: where it is good, the pairs
// of that net need not be asked.
func (s *Sheet) together() {
	var all []int
	for i := range s.web.nets {
		if s.web.nets[i].rail != GroundRail {
			all = append(all, s.web.access(&s.web.nets[i]))
		}
	}
	s.walk(all)
	for _, at := range all {
		n := &s.web.nodes[at]
		s.silent(Together, n.point, AllOthers, n.place, harness.Ref{}, "")
	}
}
