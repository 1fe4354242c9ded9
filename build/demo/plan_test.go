package demo

import (
	"slices"
	"testing"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
)

// TestFindings looks at every finding over the demo: each is true of the car.
func TestFindings(t *testing.T) {
	b := build(t, 0).State()
	got := []string{}
	for _, f := range circuit.Judge(b, route.New(b, survey.Adjust(b, nil))) {
		got = append(got, f.Rule+": "+f.What)
		if f.Subject.ID == "" || f.Fix.At.ID == "" || f.Fix.Do == "" || f.Severity == 0 || f.Source == "" {
			t.Errorf("%+v", f)
		}
	}
	want := []string{
		"place undecided: Purge valve: nobody decided where it goes",
		"place undecided: Diagnostic plug: nobody decided where it goes",
		"place undecided: Rear ground: nobody decided where it goes",
	}
	if !slices.Equal(got, want) {
		t.Errorf("findings:\n%q\nwant\n%q", got, want)
	}
}

// TestNothingIsProposed holds that the demo's wires join all that its circuits ask for.
func TestNothingIsProposed(t *testing.T) {
	b := build(t, 0).State()
	for _, p := range circuit.Wires(b, nil) {
		t.Errorf("%s: %s", p.Kind, p.What)
	}
	if r := circuit.Gather(b); r.Len() > 0 {
		t.Errorf("%d records would change when the circuits are gathered again: %+v", r.Len(), r)
	}
}

// TestWiresFollowFromThePlan takes all wires and joints away and proposes them anew: the same terminals are joined.
func TestWiresFollowFromThePlan(t *testing.T) {
	drawn := build(t, 0).State()
	b := drawn.Clone()
	for _, w := range b.Wires.All() {
		forget(t, b, harness.KindWire, w.ID)
	}
	for _, j := range b.Joints.All() {
		forget(t, b, harness.KindJoint, j.ID)
	}
	g := route.New(b, survey.Adjust(b, nil))
	for _, p := range circuit.Wires(b, g) {
		if err := p.Put.Into(b); err != nil {
			t.Fatal(err)
		}
	}
	if again := circuit.Wires(b, g); len(again) > 0 {
		t.Errorf("proposed again: %s", again[0].What)
	}
	before, after := circuit.NewNet(drawn), circuit.NewNet(b)
	for _, c := range b.Circuits.All() {
		ends := after.Ends(c.ID)
		for _, end := range ends {
			if after.Joined(ends[0].ID, end.ID) != before.Joined(ends[0].ID, end.ID) {
				t.Errorf("%s: %s is not joined as it was drawn", c.Name, after.Name(end))
			}
		}
	}
	for _, f := range circuit.Judge(b, route.New(b, survey.Adjust(b, nil))) {
		if f.Rule != circuit.PlaceUndecided {
			t.Errorf("%s: %s", f.Rule, f.What)
		}
	}
	if n, was := b.Wires.Len(), drawn.Wires.Len(); n < was-10 || n > was+10 {
		t.Errorf("%d wires follow, %d were drawn", n, was)
	}
}

func forget(t *testing.T, b *harness.Build, kind harness.Kind, id string) {
	t.Helper()
	if _, err := b.Put(kind, id, []byte(`{"gone":true}`)); err != nil {
		t.Fatal(err)
	}
}

// TestTagsStay holds that what was printed for the version before still resolves to the same.
func TestTagsStay(t *testing.T) {
	b := build(t, 0).State()
	old := earlier(t).State()
	for _, was := range old.Tags.All() {
		now, ok := b.Tags.Get(was.ID)
		if !ok || now != was {
			t.Errorf("tag %s became %+v", was.Code, now)
		}
	}
	for _, was := range old.Wires.All() {
		now, ok := b.Wires.Get(was.ID)
		if now.Circuit = ""; !ok || now.Name != was.Name || now.From != was.From || now.To != was.To || now.Order != was.Order {
			t.Errorf("wire %s became %+v", was.Name, now)
		}
	}
}

func TestPlan(t *testing.T) {
	b := build(t, 0).State()
	c := circuit.Count(b)
	if want := (circuit.Counts{Leads: 60, Use: 56, Keep: 2, Remove: 1, Empty: 1, Done: 4, ToDo: 56, Removed: 1}); c != want {
		t.Errorf("counts %+v, want %+v", c, want)
	}
	n := circuit.NewNet(b)
	for _, p := range n.Kept() {
		if p.Ends != "capped at Controller split" {
			t.Errorf("%s is kept at %q", p.Cavity, p.Ends)
		}
	}
	panel := n.Panel(id(harness.KindPlace, "Fuse panel"))
	for _, w := range panel.Ways {
		if w.Fed == "" || len(w.Feeds) == 0 || w.Spare {
			t.Errorf("%s is fed by %q and feeds %q", w.Part.Name, w.Fed, w.Feeds)
		}
	}
	if len(panel.Ways) != 16 || panel.Free != 5 {
		t.Errorf("%d ways, %d positions are free", len(panel.Ways), panel.Free)
	}
	for _, c := range b.Circuits.All() {
		if c.Name == "" || c.Class == harness.NoClass && c.Signal != harness.PowerGround && c.Signal != harness.SupplyIn {
			t.Errorf("circuit %+v", c)
		}
	}
}
