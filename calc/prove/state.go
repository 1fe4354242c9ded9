package prove

import (
	"cmp"
	"math"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// Judge says what a reading is worth. A thermistor is judged at the temperature, from the points that were entered for it.
// Without limits the answer is NoOutcome: a person decides. An infinite reading is an open path.
func (s *Sheet) Judge(t *Test, value, celsius float64) harness.Outcome {
	low, high := s.Bounds(t, celsius)
	switch {
	case math.IsNaN(value) || low == nil && high == nil:
		return harness.NoOutcome
	case low != nil && value < *low, high != nil && value > *high:
		return harness.Failed
	}
	return harness.Passed
}

// Bounds returns the limits of a test at a temperature.
func (s *Sheet) Bounds(t *Test, celsius float64) (low, high *float64) {
	if t.Low == nil && t.High == nil {
		if l, h, ok := Thermistor(s.curve(t), celsius); ok {
			return &l, &h
		}
	}
	return t.Low, t.High
}

// State is what came of every test so far.
type State struct {
	s       *Sheet
	results map[string][]harness.Result // by test, the first first
	samples map[string]harness.Outcome  // by terminal and size
	tied    map[int]bool                // nets that are good against all others
}

// Read looks through the results. Cost: linear in them.
func (s *Sheet) Read() *State {
	x := &State{s: s, results: map[string][]harness.Result{}, samples: map[string]harness.Outcome{}, tied: map[int]bool{}}
	rows := s.b.Results.All()
	for i := range rows {
		x.results[rows[i].Test] = append(x.results[rows[i].Test], rows[i])
	}
	for _, all := range x.results {
		sorting.By(all, func(a, b harness.Result) int { return cmp.Or(cmp.Compare(a.Turn, b.Turn), cmp.Compare(a.ID, b.ID)) })
	}
	samples := s.b.Samples.All()
	for i := range samples {
		o := harness.Failed
		if samples[i].Good() {
			o = harness.Passed
		}
		key := samples[i].Terminal + " " + samples[i].Size
		if x.samples[key] != harness.Passed {
			x.samples[key] = o
		}
	}
	for i := range s.Tests {
		if t := &s.Tests[i]; t.Group == Together && x.last(t) == harness.Passed {
			x.tied[s.netOf(t.A)] = true
		}
	}
	return x
}

// History returns every result of a test, the first first.
func (x *State) History(t *Test) []harness.Result { return x.results[t.ID] }

// last is what the last result of a test says.
func (x *State) last(t *Test) harness.Outcome {
	all := x.results[t.ID]
	if len(all) == 0 {
		return harness.NoOutcome
	}
	r := all[len(all)-1]
	if t.what != "" && r.What != t.what {
		return harness.NoOutcome // it says another thing now
	}
	return r.Outcome
}

// Of returns what came of a test, last. A pin that was checked to sit, a sample of a crimp that was pulled, and a pair of a net
// that is good against all others are good without a result of their own.
func (x *State) Of(t *Test) harness.Outcome {
	if o := x.last(t); o != harness.NoOutcome {
		return o
	}
	switch {
	case t.Group == Seating && t.Of.Kind == harness.KindLead:
		if l, ok := x.s.b.Leads.Get(t.Of.ID); ok && l.Seated != "" {
			return harness.Passed
		}
	case t.Unit == "N":
		return x.samples[t.Crimp+" "+t.Sample]
	case t.Group == Rails || t.Group == Crossing:
		if x.tied[x.s.netOf(t.A)] || x.tied[x.s.netOf(t.B)] {
			return harness.Passed
		}
	case t.Group == Together:
		if x.pairsGood(t) {
			return harness.Passed
		}
	}
	return harness.NoOutcome
}

// pairsGood reports whether every pair of a net that Rails and Crossing ask is good: then it need not be tied to all others.
func (x *State) pairsGood(t *Test) bool {
	n, any := x.s.netOf(t.A), false
	for i := range x.s.Tests {
		p := &x.s.Tests[i]
		if p.Group != Rails && p.Group != Crossing || x.s.netOf(p.A) != n && x.s.netOf(p.B) != n {
			continue
		}
		if x.last(p) != harness.Passed {
			return false
		}
		any = true
	}
	return any
}

// Count is how far a group is.
type Count struct{ All, Good, Bad, Skipped int }

// Left is how many tests are to be done.
func (c Count) Left() int { return c.All - c.Good - c.Bad - c.Skipped }

// Count counts the tests that match.
func (x *State) Count(match func(*Test) bool) (c Count) {
	for i := range x.s.Tests {
		t := &x.s.Tests[i]
		if !match(t) {
			continue
		}
		c.All++
		switch x.Of(t) {
		case harness.Passed, harness.NotApplicable:
			c.Good++
		case harness.Failed:
			c.Bad++
		case harness.Skipped:
			c.Skipped++
		}
	}
	return c
}

// Ready reports whether every test of a group is good or does not apply. What comes before the first test always applies: a
// meter in a circuit with its battery on is a hazard, whatever the reason.
func (x *State) Ready(g Group) bool {
	if g == Gate {
		for i := range x.s.Tests {
			if t := &x.s.Tests[i]; t.Group == Gate && x.Of(t) != harness.Passed {
				return false
			}
		}
		return true
	}
	c := x.Count(func(t *Test) bool { return t.Group == g })
	return c.Good == c.All
}

// Repairs returns the tests that failed last, by place, in the order of the work.
func (x *State) Repairs() (all []*Test) {
	for i := range x.s.Tests {
		if x.Of(&x.s.Tests[i]) == harness.Failed {
			all = append(all, &x.s.Tests[i])
		}
	}
	slices.SortStableFunc(all, func(a, b *Test) int { return x.s.rank[a.Place] - x.s.rank[b.Place] })
	return all
}

// Next returns the test after another in its group that is still to be done, nil where none is left. after may be nil. Skipped ones
// come again when nothing else is left.
func (x *State) Next(g Group, after *Test) *Test {
	var first, skipped *Test
	passed := after == nil
	for i := range x.s.Tests {
		t := &x.s.Tests[i]
		if t.Group != g {
			continue
		}
		o := x.Of(t)
		if t == after {
			passed = true
			continue
		}
		switch {
		case o == harness.Skipped && skipped == nil:
			skipped = t
		case o != harness.NoOutcome:
		case passed:
			return t
		case first == nil:
			first = t
		}
	}
	if first == nil {
		return skipped
	}
	return first
}

// Blocked says why a test must not be done yet; empty is that it may.
func (x *State) Blocked(t *Test) string {
	switch t.Group {
	case Gate:
		return ""
	case Power:
	case Plugged:
		if t.Ask != Yes {
			for i := range x.s.Tests {
				if p := &x.s.Tests[i]; p.Group == Plugged && p.Ask == Yes && x.Of(p) != harness.Passed {
					return "first: " + p.Name
				}
			}
		}
		return ""
	case Devices:
		return ""
	default:
		if t.Group != Seating && !x.Ready(Gate) {
			return "first: battery off, everything unplugged, fuses and relays out"
		}
		return ""
	}
	if n := len(x.coldFaults()); n > 0 {
		return "first: what failed cold must be repaired and tested again"
	}
	for _, g := range []Group{Through, Isolation} {
		if !x.Ready(g) {
			return "first: " + string(g)
		}
	}
	for i := range x.s.Tests {
		p := &x.s.Tests[i]
		if p.Group != Power || p.Phase >= t.Phase && !(p.Phase == t.Phase && p.Phase == fuses && p != t) {
			continue
		}
		if p.Phase == t.Phase { // fuses: in their order
			if x.s.byID[p.ID] > x.s.byID[t.ID] {
				continue
			}
		}
		if o := x.Of(p); o != harness.Passed && o != harness.NotApplicable {
			return "first: " + x.s.Title(p)
		}
	}
	return ""
}

func (x *State) coldFaults() (all []*Test) {
	for _, t := range x.Repairs() {
		if t.Group != Power && t.Group != Devices {
			all = append(all, t)
		}
	}
	return all
}

// Record returns the result of a test that is done now; the caller adds id, time and who.
func (x *State) Record(t *Test, o harness.Outcome, value *float64, celsius float64) harness.Result {
	r := harness.Result{Test: t.ID, What: x.s.Title(t), Outcome: o, Turn: 1, Value: value, Unit: t.Unit}
	if t.what != "" {
		r.What = t.what
	}
	if all := x.results[t.ID]; len(all) > 0 {
		r.Turn = all[len(all)-1].Turn + 1
	}
	if t.Ask == Yes {
		r.Unit = ""
		return r
	}
	r.Low, r.High = x.s.Bounds(t, celsius)
	r.Celsius = &celsius
	return r
}
