package session_test

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"

	"loomwright/app/session/sessiontest"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/rules"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// demo is a kept build with 150 wires.
const demo = "../../testdata/builds/roadster.build"

// TestKeptEqualsAnew edits the demo at random, and holds all that is worked out of it and kept from edit to edit against the same
// worked out of nothing: ways, lengths, bundles, numbers, findings. What is asked for after an edit is chosen at random too, so that
// several edits come between two times that a thing is worked out.
func TestKeptEqualsAnew(t *testing.T) {
	const seed, edits = 3, 60
	rng := rand.New(rand.NewPCG(seed, seed))
	s := sessiontest.Start(t, nil)
	s.File(demo)
	for n := range edits {
		what := edit(s, rng)
		if rng.IntN(3) == 0 {
			continue
		}
		b := s.B()
		if w := some(rng, b.Wires.All()); rng.IntN(4) == 0 {
			w.Size = "2.5 mm2"
			s.Foresee(w)
		}
		anew := cut.Settle(b)
		if rng.IntN(2) == 0 && !reflect.DeepEqual(s.Bundles(), anew.Bundles) {
			t.Fatalf("seed %d, edit %d, %s: the bundles differ", seed, n, what)
		}
		if got, want := s.Lengths().All(), anew.Graph.Lengths().All(); !reflect.DeepEqual(got, want) {
			t.Fatalf("seed %d, edit %d, %s: the runs differ", seed, n, what)
		}
		looked := rules.Look(b, anew.Graph, rules.Options{})
		for _, w := range b.Wires.All() {
			if got, want := s.Cut(w), cut.Length(b, anew.Graph, w); !reflect.DeepEqual(got, want) {
				t.Fatalf("seed %d, edit %d, %s: the length of %s is %+v, anew %+v", seed, n, what, w.Name, got, want)
			}
			if rng.IntN(10) > 0 {
				continue
			}
			if got, want := fmt.Sprintf("%#v", s.Looked().Wire(w.ID)), fmt.Sprintf("%#v", looked.Wire(w.ID)); got != want { // as text: not a number equals itself
				t.Fatalf("seed %d, edit %d, %s: the numbers of %s are %s, anew %s", seed, n, what, w.Name, got, want)
			}
		}
		if rng.IntN(3) == 0 && !reflect.DeepEqual(s.Looked().Findings(), looked.Findings()) {
			t.Fatalf("seed %d, edit %d, %s: the findings differ", seed, n, what)
		}
	}
}

// edit makes one edit, or takes one back, and says which.
func edit(s *sessiontest.Bench, rng *rand.Rand) string {
	b := s.B()
	w := some(rng, b.Wires.All())
	sizes := []string{"0.35 mm2", "0.5 mm2", "0.75 mm2", "1.0 mm2", "2.5 mm2", "20 AWG", ""}
	switch n := rng.IntN(20); n {
	case 0, 1, 2, 3, 4:
		w.Size = some(rng, sizes)
		return put(s, harness.KindWire, w.ID, b.Wires, w)
	case 5:
		w.Twist = some(rng, []string{"", "a", "b"})
		return put(s, harness.KindWire, w.ID, b.Wires, w)
	case 6:
		w.Insulation = some(rng, []harness.Insulation{"", harness.Class125})
		return put(s, harness.KindWire, w.ID, b.Wires, w)
	case 7:
		w.Looms = nil
		return put(s, harness.KindWire, w.ID, b.Wires, w)
	case 8:
		w.Via = []string{some(rng, b.Places.All()).ID}
		return put(s, harness.KindWire, w.ID, b.Wires, w)
	case 9:
		w.To = some(rng, b.Wires.All()).To
		return put(s, harness.KindWire, w.ID, b.Wires, w)
	case 10:
		d := unit.Length(rng.IntN(4)+1) * unit.Millimetre
		w.Outside = &d
		return put(s, harness.KindWire, w.ID, b.Wires, w)
	case 11:
		must(s, storage.Delete(harness.KindWire, w.ID))
		return "wire deleted"
	case 12:
		return put(s, harness.KindWire, s.FreshID(), b.Wires, harness.Wire{Name: fmt.Sprint("X", rng.IntN(1000)), From: w.From, To: w.To, Size: "1.5 mm2", Order: w.Order + 0.5})
	case 13:
		l := some(rng, b.Leads.All())
		l.Size = some(rng, sizes)
		return put(s, harness.KindLead, l.ID, b.Leads, l)
	case 14:
		x := some(rng, b.Terminals.All())
		x.Place = some(rng, b.Places.All()).ID
		return put(s, harness.KindTerminal, x.ID, b.Terminals, x)
	case 15:
		amps := rng.Float64() * 20
		p := some(rng, b.Places.All())
		p.Amps = &amps
		return put(s, harness.KindPlace, p.ID, b.Places, p)
	case 16:
		r := some(rng, b.Runs.All())
		r.Hot, r.Corners = !r.Hot, rng.IntN(4)
		return put(s, harness.KindRun, r.ID, b.Runs, r)
	case 17:
		r := some(rng, b.Readings.All())
		r.Value += unit.Length(rng.IntN(20)) * unit.Millimetre
		return put(s, harness.KindReading, r.ID, b.Readings, r)
	case 18:
		wide := 2 * unit.Millimetre
		return put(s, harness.KindCaliper, s.FreshID(), b.Calipers, harness.Caliper{Size: some(rng, sizes[:5]), Outside: &wide})
	}
	s.Undo(s.Ctx)
	return "taken back"
}

func some[T any](rng *rand.Rand, all []T) T { return all[rng.IntN(len(all))] }

func put[T any](s *sessiontest.Bench, kind harness.Kind, id string, all harness.Table[T], record T) string {
	old, _ := all.Any(id)
	c := storage.Put(kind, id, old, record)
	must(s, c)
	return fmt.Sprintf("%s %s %s", kind, id, c.Set)
}

func must(s *sessiontest.Bench, c storage.Change) {
	s.T.Helper()
	if err := s.Do(c); err != nil {
		s.T.Fatal(err)
	}
}
