package figure

import (
	"errors"
	"testing"

	"loomwright/app/session/sessiontest"
	"loomwright/calc/cut"
	"loomwright/calc/unit"
)

func demo(t *testing.T) *sessiontest.Bench {
	t.Helper()
	s := sessiontest.Start(t, nil)
	s.File("../../testdata/builds/roadster.build")
	return s
}

func TestEveryFigureOfTheDemoHasTermsAndSource(t *testing.T) {
	s := demo(t)
	b := s.B()
	var keys []string
	for _, w := range b.Wires.All() {
		keys = append(keys, Cut(w.ID), Need(w.ID), Margin(w.ID))
		if _, ok := b.Leads.Get(w.Lead); ok {
			keys = append(keys, Lead(w.ID), Trim(w.ID))
		}
		if w.Cut != nil || w.Trimmed != nil {
			keys = append(keys, Done(w.ID))
		}
		for _, n := range s.Looked().Wire(w.ID) {
			keys = append(keys, Electric(w.ID, n.Key))
		}
		for i := range s.Cut(w).Terms {
			keys = append(keys, Term(w.ID, i))
		}
	}
	for _, r := range b.Runs.All() {
		keys = append(keys, Run(r.ID))
	}
	for _, r := range b.Readings.All() {
		keys = append(keys, Reading(r.ID))
	}
	batches, _ := cut.CutList(b, s.Graph(), cut.BySize, s.Cut)
	for i := Whole; i < len(batches); i++ {
		keys = append(keys, Total(cut.BySize, i))
	}
	seen := map[string]bool{}
	for len(keys) > 0 {
		key := keys[0]
		keys = keys[1:]
		if seen[key] {
			continue
		}
		seen[key] = true
		f := Of(s.Session, key)
		if err := f.Check(); err != nil {
			t.Errorf("%s: %v", key, err)
		}
		if len(key) > 64 {
			t.Errorf("%s: too long for an address", key)
		}
		for _, term := range f.Terms {
			if term.Card != "" {
				keys = append(keys, term.Card)
			}
		}
	}
	if len(seen) < 500 {
		t.Errorf("only %d figures: the demo is larger", len(seen))
	}
}

func TestFigureOfNothing(t *testing.T) {
	s := demo(t)
	for _, key := range []string{"", "cut", "cut.", "cut.nothing", "term.x", "total.size", "total.size.x", "total.size.99", "run.x", "fit.x", "drop"} {
		if f := Of(s.Session, key); !errors.Is(f.Check(), unit.ErrUnexplained) || f.What != "" {
			t.Errorf("%q: %+v", key, f)
		}
	}
}
