package demo

import (
	"testing"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// changes are what accepting a proposal puts into the log.
func changes(b *harness.Build, r circuit.Records) (all []storage.Change) {
	for _, c := range r.Circuits {
		old, _ := b.Circuits.Any(c.ID)
		all = append(all, storage.Put(harness.KindCircuit, c.ID, old, c))
	}
	for _, t := range r.Terminals {
		old, _ := b.Terminals.Any(t.ID)
		all = append(all, storage.Put(harness.KindTerminal, t.ID, old, t))
	}
	for _, j := range r.Joints {
		old, _ := b.Joints.Any(j.ID)
		all = append(all, storage.Put(harness.KindJoint, j.ID, old, j))
	}
	for _, w := range r.Wires {
		old, _ := b.Wires.Any(w.ID)
		all = append(all, storage.Put(harness.KindWire, w.ID, old, w))
	}
	return all
}

// TestTwoPhonesAcceptOneProposal accepts the same proposals on two phones and merges both ways: each wire and joint is
// there once, nothing is open, and nothing is proposed any more.
func TestTwoPhonesAcceptOneProposal(t *testing.T) {
	base := build(t, 0)
	const at = "2026-05-01T08:00:00Z"
	wire := func(l *storage.Log, device string, list ...storage.Change) {
		t.Helper()
		if _, err := l.Commit(device, at, list); err != nil {
			t.Fatal(err)
		}
	}
	// The injectors' feed is taken apart, so that there is something to propose.
	joint := id(harness.KindJoint, "Injector feed")
	var apart []storage.Change
	for _, w := range base.State().Wires.All() {
		if w.From.Joint == joint || w.To.Joint == joint {
			apart = append(apart, storage.Delete(harness.KindWire, w.ID))
		}
	}
	wire(base, "bench-phone", append(apart, storage.Delete(harness.KindJoint, joint))...)
	phones := [2]*storage.Log{}
	for i, device := range []string{"phone-one", "phone-two"} {
		l := storage.New(BuildID)
		if _, err := l.Add(base.Lines()); err != nil {
			t.Fatal(err)
		}
		proposed := circuit.Wires(l.State(), nil)
		if len(proposed) != 1 || len(proposed[0].Put.Wires) != 5 {
			t.Fatalf("%d proposals: %+v", len(proposed), proposed)
		}
		wire(l, device, changes(l.State(), proposed[0].Put)...)
		phones[i] = l
	}
	before := phones[0].State().Wires.Len()
	if m, err := phones[0].Merge("phone-one", at, phones[1].Lines()); err != nil || len(m.Conflicts) > 0 {
		t.Fatalf("conflicts %+v, %v", m.Conflicts, err)
	}
	if m, err := phones[1].Merge("phone-two", at, phones[0].Lines()); err != nil || len(m.Conflicts) > 0 {
		t.Fatalf("conflicts %+v, %v", m.Conflicts, err)
	}
	for _, l := range phones {
		b := l.State()
		if b.Wires.Len() != before || len(l.Problems()) > 0 {
			t.Errorf("%d wires, want %d; problems %v", b.Wires.Len(), before, l.Problems())
		}
		if again := circuit.Wires(b, nil); len(again) > 0 {
			t.Errorf("proposed again: %+v", again)
		}
	}
	sameLiving(t, phones[0].State(), phones[1].State())
}
