package circuit

import (
	"slices"
	"testing"

	"loomwright/calc/harness"
)

func ids(kind harness.Kind, name string) string { return harness.ProposedID(kind, "test", name) }

// started returns a build with a starter in it and everything that is proposed from it.
func started(t testing.TB, s Starter) *harness.Build {
	t.Helper()
	b := harness.NewBuild("b")
	r := s.Records(ids)
	put(t, b, r)
	return b
}

func put(t testing.TB, b *harness.Build, r Records) {
	t.Helper()
	if err := r.Into(b); err != nil {
		t.Fatal(err)
	}
}

func accept(t testing.TB, b *harness.Build, all []Proposal) {
	t.Helper()
	for _, p := range all {
		put(t, b, p.Put)
	}
}

// Every terminal that a device's kind needs is joined, to what it needs; grounded through its body counts.
func TestStartersAreComplete(t *testing.T) {
	for _, s := range Starters {
		t.Run(s.Key, func(t *testing.T) {
			b := started(t, s)
			made := Wires(b, nil)
			for _, p := range made {
				if p.What == "" || p.Why == "" || p.ID == "" || p.Of.ID == "" {
					t.Errorf("proposal %+v", p)
				}
			}
			accept(t, b, made)
			for _, f := range Judge(b, nil) {
				if f.Rule != PlaceUndecided {
					t.Errorf("%s: %s", f.Rule, f.What)
				}
			}
			n := NewNet(b)
			needed := 0
			for _, terminal := range b.Terminals.All() {
				if n.Needed(terminal) {
					needed++
					if len(n.Wires(terminal.ID)) == 0 {
						t.Errorf("%s is not joined", n.Name(terminal))
					}
				}
			}
			if needed < 30 {
				t.Errorf("%d terminals are needed: nothing was looked at", needed)
			}
			if again := Wires(b, nil); len(again) != 0 {
				t.Errorf("proposed again: %+v", again[0])
			}
			names := map[string]bool{}
			for _, w := range b.Wires.All() {
				if names[w.Name] || w.Name == "" {
					t.Errorf("wire %q is there twice", w.Name)
				}
				names[w.Name] = true
			}
		})
	}
}

// The ids of a starter are asked for once each.
func TestStarterIDs(t *testing.T) {
	for _, s := range Starters {
		seen := map[string]bool{}
		r := s.Records(func(kind harness.Kind, name string) string {
			id := string(kind) + " " + name
			if seen[id] {
				t.Errorf("%s: asked twice for %q", s.Key, id)
			}
			seen[id] = true
			return id
		})
		if r.Len() != len(seen) {
			t.Errorf("%s: %d records, %d ids", s.Key, r.Len(), len(seen))
		}
	}
}

func TestDevices(t *testing.T) {
	keys := map[string]bool{}
	for _, d := range Devices {
		if keys[d.Key] {
			t.Errorf("%q is there twice", d.Key)
		}
		keys[d.Key] = true
		var all []string
		for _, n := range d.Needs {
			if slices.Contains(all, n.Name) {
				t.Errorf("%s has %q twice", d.Key, n.Name)
			}
			all = append(all, n.Name)
		}
		if d.Source == "" || d.Amps.Low > d.Amps.High || d.Peak.Low > d.Peak.High || d.Ohms.Low > d.Ohms.High {
			t.Errorf("%+v", d)
		}
	}
}
