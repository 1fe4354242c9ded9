package circuit

import (
	"slices"
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/joint"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// rail is a fuse, two splits far apart, and two devices at each: fuse -1 m- s1 -3 m- s2, each device 200 mm from its split.
// The run between the splits goes over a pass-through.
func rail(t *testing.T) *small {
	t.Helper()
	s := &small{t, harness.NewBuild("b")}
	var r Records
	place := func(id string, kind harness.PlaceKind) {
		r.Places = append(r.Places, harness.Place{Record: rec(id), Name: strings.ToUpper(id), Kind: kind, Order: float64(len(r.Places) + 1)})
	}
	place("fuse", harness.Panel)
	for _, id := range []string{"s1", "hole", "s2"} {
		place(id, map[bool]harness.PlaceKind{true: harness.PassThrough, false: harness.Split}[id == "hole"])
	}
	r.Terminals = []harness.Terminal{{Record: rec("t-fuse"), Place: "fuse", Name: "out", Circuit: "feed"}}
	for _, id := range []string{"d1", "d2", "d3", "d4"} {
		place(id, harness.Device)
		r.Terminals = append(r.Terminals, harness.Terminal{Record: rec("t-" + id), Place: id, Name: "+", Circuit: "feed"})
	}
	r.Circuits = []harness.Circuit{{Record: rec("feed"), Name: "valve feed", Size: "1 mm2"}}
	s.put(r)
	for _, x := range []struct {
		a, b string
		mm   int
	}{{"fuse", "s1", 1000}, {"s1", "hole", 1500}, {"hole", "s2", 1500}, {"s1", "d1", 200}, {"s1", "d2", 200}, {"s2", "d3", 200}, {"s2", "d4", 200}} {
		id := x.a + "-" + x.b
		record(t, s.b, harness.KindRun, id, harness.Run{A: x.a, B: x.b})
		record(t, s.b, harness.KindReading, "m-"+id, harness.Reading{Places: []string{x.a, x.b}, Runs: []string{id}, Value: unit.Length(x.mm) * unit.Millimetre})
	}
	return s
}

func record(t *testing.T, b *harness.Build, kind harness.Kind, id string, r any) {
	t.Helper()
	object, err := harness.Encode(r)
	if err == nil {
		_, err = b.Put(kind, id, object)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func (s *small) graph() *route.Graph { return route.New(s.b, survey.Adjust(s.b, nil)) }

// Two splices at the two splits, a piece between them: 1000 + 4 × 200 + 3000 mm of way.
func TestTreeOfSplices(t *testing.T) {
	s := rail(t)
	g := s.graph()
	all := Wires(s.b, g)
	if len(all) != 1 || all[0].Kind != SharedWires || !all[0].Copper || all[0].What != "valve feed: 6 wires joined at S1, S2" {
		t.Fatalf("%+v", all)
	}
	other := rail(t)
	if again := Wires(other.b, other.graph()); again[0].Put.Joints[1].ID != all[0].Put.Joints[1].ID || again[0].Put.Wires[5].ID != all[0].Put.Wires[5].ID {
		t.Error("two phones make other records of one plan")
	}
	k, ok := NewNet(s.b).Compare(g).Of(s.b.Circuits.All()[0])
	if !ok || k.Made || k.Method != ExactMethod || k.Now.Length >= k.One.Length || k.One.Length >= k.Star.Length || len(k.Now.Wires) != 6 || len(k.Star.Wires) != 4 {
		t.Errorf("%v: %+v", ok, k)
	}
	accept(t, s.b, all)
	if again := Wires(s.b, s.graph()); len(again) > 0 {
		t.Fatalf("proposed again: %+v", again)
	}
	made, ok := NewNet(s.b).Compare(s.graph()).Of(s.b.Circuits.All()[0])
	if !ok || !made.Made || made.Now.Length != k.Now.Length || made.Saved() != k.Saved() {
		t.Errorf("as made %v, %v of wire; as proposed %v", ok, made.Now.Length, k.Now.Length)
	}
	names := map[string]bool{}
	for _, w := range s.b.Wires.All() {
		names[w.Name] = true
		if w.Circuit != "feed" || w.Source == "" || w.Size != "1 mm2" {
			t.Errorf("%+v", w)
		}
	}
	if len(names) != 6 || !NewNet(s.b).Joined("t-fuse", "t-d4") {
		t.Errorf("%s", s.state())
	}
}

// One more end is joined at the nearest splice that is there, and nothing else changes.
func TestOneMoreEndOfATree(t *testing.T) {
	s := rail(t)
	accept(t, s.b, Wires(s.b, s.graph()))
	before := s.state()
	s.put(Records{Terminals: []harness.Terminal{{Record: rec("t-d5"), Place: "d4", Name: "x", Circuit: "feed"}}})
	all := Wires(s.b, s.graph())
	if len(all) != 1 || len(all[0].Put.Wires) != 1 || len(all[0].Put.Joints) != 0 {
		t.Fatalf("%+v", all)
	}
	if j, _ := s.b.Joints.Get(all[0].Put.Wires[0].To.Joint); j.Place != "s2" {
		t.Errorf("joined at %q", j.Place)
	}
	accept(t, s.b, all)
	for _, w := range strings.Split(before, "; ") {
		if !strings.Contains(s.state(), w) {
			t.Errorf("changed: %s", w)
		}
	}
	if again := Wires(s.b, s.graph()); len(again) > 0 {
		t.Errorf("again: %+v", again)
	}
}

// Where a person chose the place there is one joint, and where something was edited or deleted nothing is planned anew.
func TestTreeLeavesPeopleAlone(t *testing.T) {
	s := rail(t)
	c, _ := s.b.Circuits.Get("feed")
	c.JoinAt = "s2"
	s.put(Records{Circuits: []harness.Circuit{c}})
	if all := Wires(s.b, s.graph()); len(all) != 1 || len(all[0].Put.Joints) != 1 || all[0].Put.Joints[0].Place != "s2" {
		t.Errorf("chosen: %+v", all)
	}
	for i := range 8 {
		s := rail(t)
		all := Wires(s.b, s.graph())
		accept(t, s.b, all)
		put := Records{}
		if i < 6 {
			w := all[0].Put.Wires[i]
			w.Gone = true
			put.Wires = []harness.Wire{w}
		} else {
			j := all[0].Put.Joints[i-6]
			j.Gone = true
			put.Joints = []harness.Joint{j}
		}
		s.put(put)
		for _, q := range Wires(s.b, s.graph()) {
			if q.Kind != StaleWire {
				t.Errorf("after %d was deleted: %+v", i, q)
			}
		}
	}
}

// No splice lies in a hole, where all runs move, or on a mount that lowers; several at one place are set off.
func TestSplicesWhereTheyMayBe(t *testing.T) {
	s := rail(t)
	for _, id := range []string{"s1-d1", "s1-d2", "fuse-s1", "s1-hole"} {
		r, _ := s.b.Runs.Get(id)
		r.Moves = true
		record(t, s.b, harness.KindRun, id, r)
	}
	p := Wires(s.b, s.graph())[0]
	for _, j := range p.Put.Joints {
		if j.Place == "s1" || j.Place == "hole" {
			t.Errorf("a splice at %q", j.Place)
		}
	}
	s = rail(t)
	ends := []harness.Terminal{}
	for _, id := range []string{"fuse", "d1", "d3", "d4"} {
		ends = append(ends, harness.Terminal{Record: rec("u-" + id), Place: id, Name: "-", Circuit: "ground"})
	}
	s.put(Records{Terminals: ends, Circuits: []harness.Circuit{{Record: rec("ground"), Name: "ground", Order: 1}}})
	all := Wires(s.b, s.graph())
	var off []unit.Length
	for _, q := range all {
		for _, j := range q.Put.Joints {
			if j.Place == "s2" {
				off = append(off, j.Offset)
			}
		}
	}
	slices.Sort(off)
	if !slices.Equal(off, []unit.Length{0, joint.Pitch}) {
		t.Errorf("offsets at one place: %v", off)
	}
}
