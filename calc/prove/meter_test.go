package prove

import (
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"loomwright/calc/circuit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// demo is the kept build.
func demo(t testing.TB) *harness.Build {
	t.Helper()
	file, err := os.Open("../../testdata/builds/roadster.build")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	log, err := storage.Decode(file, nil)
	if err != nil {
		t.Fatal(err)
	}
	return log.State()
}

func sheetOf(b *harness.Build) *Sheet {
	g := cut.Settle(b).Graph
	return New(b, circuit.NewNet(b), Options{Length: func(w harness.Wire) cut.Result { return cut.Length(b, g, w) }})
}

// fault is one thing that is wrong with a real harness.
type fault struct {
	kind string
	wire int    // of the sheet's web
	a, b int    // nodes that touch, or whose pins are swapped
	name string // for people
}

// meter knows the real harness: that of the sheet, with one fault.
type meter struct {
	s     *Sheet
	f     fault
	edges [][3]float64 // node, node, ohm
}

const badCrimp = 8.0 // ohm

func newMeter(s *Sheet, f fault) *meter {
	m := &meter{s: s, f: f}
	swap := func(n int) int {
		switch {
		case f.kind != "swapped":
		case n == f.a:
			return f.b
		case n == f.b:
			return f.a
		}
		return n
	}
	w := s.web
	for i := range w.wires {
		if f.kind == "open" && f.wire == i || f.kind == "no drain" && f.wire == i {
			continue
		}
		x := s.Expect(&Test{Wires: []string{w.wires[i].ID}}, 20)
		ohm := 0.01
		if x.Unknown == "" {
			ohm = x.Ohm
		}
		if f.kind == "crimp" && f.wire == i {
			ohm += badCrimp
		}
		m.edge(swap(w.from[i]), swap(w.to[i]), ohm)
	}
	var lug int = -1
	for i := range w.nodes {
		if w.grounded(w.nodes[i].terminal) {
			if lug >= 0 {
				m.edge(lug, i, 0.001)
			}
			lug = i
		}
	}
	if f.kind == "short" {
		m.edge(f.a, f.b, 0.05)
	}
	return m
}

func (m *meter) edge(a, b int, ohm float64) {
	m.edges = append(m.edges, [3]float64{float64(a), float64(b), ohm})
}

// nodes returns what a probe touches: a pin, or all that is bridged.
func (m *meter) nodes(p, other Point) (all []int) {
	w := m.s.web
	switch p {
	case SupplyRail, GroundRail, FiveRail:
		for i := range w.nodes {
			if w.nets[w.nodes[i].net].rail == p && w.nodes[i].terminal.ID != "" {
				all = append(all, i)
			}
		}
	case AllOthers:
		mine := m.s.netOf(other)
		for i := range w.nodes {
			if w.nodes[i].net != mine && w.nodes[i].terminal.ID != "" {
				all = append(all, i)
			}
		}
	default:
		return []int{w.at[p]}
	}
	return all
}

// ohms is the least resistance between two probes along one way: there are hardly any parallel ones.
func (m *meter) ohms(a, b Point) float64 {
	away := make([]float64, len(m.s.web.nodes))
	for i := range away {
		away[i] = math.Inf(1)
	}
	for _, n := range m.nodes(a, b) {
		away[n] = 0
	}
	for changed := true; changed; {
		changed = false
		for _, e := range m.edges {
			x, y := int(e[0]), int(e[1])
			if d := away[x] + e[2]; d < away[y]-1e-12 {
				away[y], changed = d, true
			}
			if d := away[y] + e[2]; d < away[x]-1e-12 {
				away[x], changed = d, true
			}
		}
	}
	least := math.Inf(1)
	for _, n := range m.nodes(b, a) {
		least = min(least, away[n])
	}
	return least
}

// alone is a path with nothing beside it.
func (m *meter) alone(t *Test) (ohm float64) {
	for _, id := range t.Wires {
		i := m.s.wireAt[id]
		switch {
		case m.f.kind == "open" && m.f.wire == i:
			return math.Inf(1)
		case m.f.kind == "crimp" && m.f.wire == i:
			ohm += badCrimp
		}
		ohm += 0.01
	}
	return ohm
}

// read is what the meter shows for a test, and false where it is no test of the harness with nothing plugged in.
func (m *meter) read(t *Test) (value float64, ok bool) {
	switch t.Group {
	case Through, Screens, Isolation, Rails, Crossing, Together:
		if t.Ask == Yes {
			return 0, false
		}
		v := m.ohms(t.A, t.B)
		if t.Care != "" && t.Ask == Beep { // one end is taken off: the wire alone
			v = m.alone(t)
		}
		if t.Ask == Beep {
			v = math.Round(v*10) / 10 // what a meter of 0.1 ohm shows
		}
		return v, true
	case Load:
		return math.Round(m.ohms(t.A, t.B)*t.amps*100) / 100, true
	}
	return 0, false
}

// run does every test and returns those that fail.
func (m *meter) run(t *testing.T) (failed []*Test) {
	t.Helper()
	for i := range m.s.Tests {
		test := &m.s.Tests[i]
		v, ok := m.read(test)
		if !ok {
			continue
		}
		switch m.s.Judge(test, v, 20) {
		case harness.Failed:
			failed = append(failed, test)
		case harness.NoOutcome:
			t.Errorf("%s: %g has no outcome", m.s.Title(test), v)
		}
	}
	return failed
}

// faults plants every kind of fault wherever it can be in the harness.
func faults(s *Sheet) (all []fault) {
	w := s.web
	for i := range w.wires {
		name := w.wires[i].Name + " " + w.wires[i].Function
		lead, _ := s.b.Leads.Get(w.wires[i].Lead)
		if lead.Signal == harness.ShieldDrain {
			all = append(all, fault{kind: "no drain", wire: i, name: name})
			continue
		}
		all = append(all, fault{kind: "open", wire: i, name: name}, fault{kind: "crimp", wire: i, name: name})
	}
	for _, p := range s.Neighbours() {
		x, y := w.nodes[p[0]], w.nodes[p[1]]
		if x.net == y.net {
			continue
		}
		name := s.PointName(x.point) + " and " + s.PointName(y.point)
		all = append(all, fault{kind: "short", a: p[0], b: p[1], name: "neighbours " + name})
		if len(x.wires) > 0 && len(y.wires) > 0 {
			all = append(all, fault{kind: "swapped", a: p[0], b: p[1], name: name})
		}
	}
	rails := map[Point]int{}
	for i := range w.nodes {
		if r := w.nets[w.nodes[i].net].rail; r != "" && w.nodes[i].terminal.ID != "" {
			rails[r] = i
		}
	}
	for i := range w.nets {
		n := &w.nets[i]
		for _, r := range []Point{SupplyRail, GroundRail, FiveRail} {
			if n.rail != r {
				all = append(all, fault{kind: "short", a: w.access(n), b: rails[r], name: s.PointName(w.nodes[w.access(n)].point) + " to " + string(r)})
			}
		}
	}
	return all
}

// concerns reports whether a test passes what is wrong.
func (m *meter) concerns(t *Test) bool {
	w := m.s.web
	switch m.f.kind {
	case "open", "crimp", "no drain":
		return slices.Contains(t.Wires, w.wires[m.f.wire].ID)
	}
	touched := func(n int) bool {
		x := w.nodes[n]
		for _, p := range [2]Point{t.A, t.B} {
			rail := w.nets[x.net].rail
			if m.s.netOf(p) == x.net || p == rail && rail != "" || p == AllOthers {
				return true
			}
		}
		return false
	}
	return touched(m.f.a) || touched(m.f.b)
}

func TestMeterFindsEveryPlantedFault(t *testing.T) {
	s := sheetOf(demo(t))
	if failed := newMeter(s, fault{}).run(t); len(failed) > 0 {
		t.Fatalf("%d tests fail on a good harness, first %s", len(failed), s.Title(failed[0]))
	}
	found := map[string]int{}
	for _, f := range faults(s) {
		m := newMeter(s, f)
		failed := m.run(t)
		if len(failed) == 0 {
			t.Errorf("%s, %s: no test fails", f.kind, f.name)
			continue
		}
		for _, test := range failed {
			if !m.concerns(test) {
				t.Errorf("%s, %s: %s fails too", f.kind, f.name, s.Title(test))
			}
		}
		found[f.kind]++
	}
	t.Log("found: ", fmt.Sprint(found), "of", len(faults(s)))
}

func TestPairsAloneFindEveryShort(t *testing.T) {
	s := sheetOf(demo(t))
	for _, f := range faults(s) {
		if f.kind != "short" {
			continue
		}
		m := newMeter(s, f)
		apart, tied := false, false
		for i := range s.Tests {
			test := &s.Tests[i]
			v, ok := m.read(test)
			if ok && test.Ask == Silent && s.Judge(test, v, 20) == harness.Failed {
				apart = apart || test.Group != Together
				tied = tied || test.Group == Together
			}
		}
		if !apart || !tied {
			t.Errorf("%s: found by pairs %v, against all others %v", f.name, apart, tied)
		}
	}
}

func TestEveryWireHasItsExpectedValue(t *testing.T) {
	s := sheetOf(demo(t))
	covered, joints := map[string]bool{}, map[string]bool{}
	unknown := 0
	for i := range s.Tests {
		test := &s.Tests[i]
		if test.Group != Through {
			continue
		}
		if test.High == nil || test.Source == "" {
			t.Errorf("%s: no tolerance", s.Title(test))
		}
		x := s.Expect(test, 20)
		if x.Unknown != "" {
			unknown++
		} else if x.Ohm <= 0 || x.Ohm > *test.High {
			t.Errorf("%s: expected %g ohm, limit %g", s.Title(test), x.Ohm, *test.High)
		}
		for _, id := range test.Wires {
			covered[id] = true
			w, _ := s.b.Wires.Get(id)
			joints[w.From.Joint], joints[w.To.Joint] = true, true
		}
	}
	for _, w := range s.b.Wires.All() {
		if !covered[w.ID] {
			t.Errorf("%s %s is in no test", w.Name, w.Function)
		}
	}
	for _, j := range s.b.Joints.All() {
		if !joints[j.ID] {
			t.Errorf("joint %s is in no test", j.Name)
		}
	}
	groups := map[Group]int{}
	for _, test := range s.Tests {
		groups[test.Group]++
	}
	t.Log(len(covered), "wires,", len(joints)-1, "joints; unknown lengths:", unknown, groups)
}
