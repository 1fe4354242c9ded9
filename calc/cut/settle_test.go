package cut

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// cornered is two runs in a row with a reading of each, the first pulled round a corner, and wires through both.
func cornered(t *testing.T, sizes ...string) *harness.Build {
	t.Helper()
	b := harness.NewBuild("b")
	put := func(kind harness.Kind, id string, record any) {
		t.Helper()
		harnesstest.Put(t, b, kind, id, record)
	}
	for _, id := range []string{"p1", "p2", "p3"} {
		put(harness.KindPlace, id, harness.Place{Name: id})
	}
	put(harness.KindRun, "r1", harness.Run{A: "p1", B: "p2", Corners: 1})
	put(harness.KindRun, "r2", harness.Run{A: "p2", B: "p3"})
	thick := 2 * unit.Millimetre
	for run, places := range map[string][]string{"r1": {"p1", "p2"}, "r2": {"p2", "p3"}} {
		put(harness.KindReading, "on "+run, harness.Reading{Places: places, Runs: []string{run}, Value: 500 * unit.Millimetre, Thick: &thick})
	}
	for i, size := range sizes {
		id := string(rune('a' + i))
		put(harness.KindWire, id, harness.Wire{Name: id, From: harness.End{Place: "p1"}, To: harness.End{Place: "p3"}, Size: size})
	}
	return b
}

func settledLength(t *testing.T, l *survey.Lengths, run string) float64 {
	t.Helper()
	k, ok := l.Run(run)
	if !ok {
		t.Fatalf("%s is not measured: %+v", run, k)
	}
	return k.Length.MM()
}

func TestSettle(t *testing.T) {
	b := cornered(t, "1 mm2", "1 mm2")
	s := Settle(b)
	if len(s.Bundles) != 2 || !s.Bundles[0].Bundle.Known() {
		t.Fatalf("bundles %+v", s.Bundles)
	}
	// Two equal circles in one: twice the diameter. A corner of 90 degrees: π/4 × (bundle − string), from the arc on which
	// the middle of each is bent.
	d := s.Bundles[0].Bundle.Diameter
	want := 500 + math.Pi/4*(d-2)
	if got := settledLength(t, s.Graph.Lengths(), "r1"); math.Abs(got-want) > 0.01*math.Abs(want-500)+1e-6 {
		t.Errorf("with a corner %.4f mm, want %.4f", got, want)
	}
	if got := settledLength(t, s.Graph.Lengths(), "r2"); got != 500 {
		t.Errorf("without a corner %.4f mm", got)
	}
	r := Length(b, s.Graph, b.Wires.All()[0])
	if !slices.ContainsFunc(r.Terms, func(t Term) bool { return t.Value > 0 && t.Kind == Corners }) {
		t.Errorf("the correction is no term of its own: %+v", r.Terms)
	}
}

// A bundle with a wire whose size nobody said is not known, and corrects nothing.
func TestSettleUnknown(t *testing.T) {
	s := Settle(cornered(t, "1 mm2", ""))
	if got := settledLength(t, s.Graph.Lengths(), "r1"); s.Bundles[0].Bundle.Known() || got != 500 {
		t.Errorf("%.4f mm, %+v", got, s.Bundles[0].Bundle)
	}
}

// Settling again keeps the graph while no bundle changes, and equals settling anew.
func TestSettler(t *testing.T) {
	b := cornered(t, "1 mm2", "1 mm2")
	var keep Settler
	first := keep.Settle(b, true, true)
	set := func(size string) *route.Graph {
		t.Helper()
		if _, err := b.Put(harness.KindWire, "a", []byte(`{"name":"a","from":{"place":"p1"},"to":{"place":"p3"},"size":"`+size+`"}`)); err != nil {
			t.Fatal(err)
		}
		return keep.Settle(b, false, true)
	}
	if same := set("1 mm2"); same != first {
		t.Error("another graph for the same wires")
	}
	thick := set("4 mm2")
	if anew := Settle(b); settledLength(t, thick.Lengths(), "r1") != settledLength(t, anew.Graph.Lengths(), "r1") {
		t.Error("kept and anew differ")
	}
	if settledLength(t, thick.Lengths(), "r1") <= settledLength(t, first.Lengths(), "r1") {
		t.Error("a thicker bundle is not longer round its corner")
	}
}

// A new reading, and a run that comes or goes, settle as anew, the bundles too, whatever of them was kept.
func TestSettlerFollowsReadings(t *testing.T) {
	b := cornered(t, "1 mm2", "2.5 mm2")
	var keep Settler
	keep.Settle(b, true, true)
	steps := []struct{ kind, id, set string }{
		{"reading", "more", `{"places":["p1","p2"],"runs":["r1"],"value":530000000,"thick":2000000}`},
		{"run", "r3", `{"a":"p1","b":"p3"}`}, // no wire takes a way that is not measured
		{"reading", "short", `{"places":["p1","p3"],"runs":["r3"],"value":400000000,"thick":2000000}`}, // now all do
		{"run", "r3", `{"gone":true}`},
	}
	for _, step := range steps {
		if _, err := b.Put(harness.Kind(step.kind), step.id, []byte(step.set)); err != nil {
			t.Fatal(err)
		}
		g, anew := keep.Settle(b, true, false), Settle(b)
		for _, r := range b.Runs.All() {
			got, is := g.Lengths().Run(r.ID)
			want, measured := anew.Graph.Lengths().Run(r.ID)
			if got.Length != want.Length || is != measured {
				t.Errorf("after %s %s: %s is %v, anew %v", step.kind, step.id, r.ID, got.Length, want.Length)
			}
		}
		if !reflect.DeepEqual(keep.Bundles(), anew.Bundles) {
			t.Errorf("after %s %s: bundles differ", step.kind, step.id)
		}
	}
}

// What was foreseen of a size is packed when the wire has it, and is what it would be anew.
func TestForesee(t *testing.T) {
	b := cornered(t, "1 mm2", "2.5 mm2", "1 mm2", "1 mm2", "1 mm2")
	var keep Settler
	keep.Settle(b, true, true)
	w, _ := b.Wires.Get("a")
	w.Size = "4 mm2"
	thick, _, ok := Outside(b, w)
	if !ok || !keep.Foresee("a", thick) {
		t.Fatal("there is nothing to pack")
	}
	for keep.Foresee("a", thick) {
	}
	packed := keep.shelf.Len()
	harnesstest.Put(t, b, harness.KindWire, "a", w)
	keep.Settle(b, false, true)
	if n := keep.shelf.Len(); n != packed {
		t.Errorf("%d packings after the edit, %d before", n, packed)
	}
	if !reflect.DeepEqual(keep.Bundles(), Settle(b).Bundles) {
		t.Error("what was foreseen is not what it is anew")
	}
	if keep.Foresee("nobody", thick) {
		t.Error("a wire that is not there was packed")
	}
}
