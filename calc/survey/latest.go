package survey

import (
	"cmp"
	"math/big"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Latest works out the length of every living run from the last reading of each path. A guess counts only where its path
// has no other reading.
//
// A run's own reading settles it. Then whatever a longer reading leaves for one unknown run is that run's, shorter paths
// first and of two as long the later reading first; then sets of readings that only together settle a run. All of it is
// exact. A reading that would make a run zero or less is named in Contradictions and not used. The result is the same
// whatever the order in which the build was put together.
//
// Cost: readings × runs of each, as many times as one settled run leads to the next; then n³ in the runs that are
// entangled, which are few.
func Latest(b *harness.Build) *Lengths {
	l := &Lengths{known: map[string]Known{}}
	s := newSystem(b)
	used := l.gather(b, s)
	s.propagate()
	s.eliminate()
	l.open = s
	l.contradictions = s.contradictions
	for _, r := range b.Runs.All() {
		l.runs = append(l.runs, r.ID)
		l.known[r.ID] = s.describe(r.ID)
	}
	l.check(s, used)
	return l
}

// gather fills the system with one equation for each path that was read and each run that others were joined to. It
// returns the readings used, first to last.
func (l *Lengths) gather(b *harness.Build, s *system) []record {
	t := &tracer{b: b}
	last := map[string]int{} // pathKey to its place in all
	var all []record
	for _, r := range inOrder(b) {
		runs, because := t.path(r)
		if because != "" {
			l.unused = append(l.unused, Unused{r.ID, because})
			continue
		}
		key := pathKey(runs)
		if i, ok := last[key]; ok {
			if r.Method == harness.ByGuess && all[i].Method != harness.ByGuess {
				continue
			}
			all[i].ID = ""
		}
		last[key] = len(all)
		all = append(all, record{r, runs})
	}
	all = slices.DeleteFunc(all, func(r record) bool { return r.ID == "" })

	into, from := t.joined()
	for _, id := range into {
		run, ok := b.Runs.Any(id)
		if !ok || !t.chain(from[id], run.A, run.B) {
			continue
		}
		e := &equation{}
		for _, part := range t.parts(run, nil) {
			e.add(s.column(part), 1)
		}
		for _, was := range from[id] {
			r, _ := b.Runs.Any(was)
			for _, part := range t.parts(r, nil) {
				e.add(s.column(part), -1)
			}
		}
		s.equations = append(s.equations, e)
	}
	for i, r := range all {
		e := &equation{reading: r.ID, later: i}
		for _, id := range r.runs {
			e.add(s.column(id), 1)
		}
		s.readings[r.ID] = r
		s.equations = append(s.equations, e)
	}
	slices.SortStableFunc(s.equations, func(a, b *equation) int {
		return cmp.Or(cmp.Compare(len(a.coef), len(b.coef)), cmp.Compare(b.later, a.later))
	})
	return all
}

// check compares the readings with the runs they pass, where other readings settled those.
func (l *Lengths) check(s *system, used []record) {
	for _, r := range used {
		sum, all, own := unit.Length(0), true, false
		for _, id := range r.runs {
			c := s.columns[id]
			if s.value[c] == nil {
				all = false
				break
			}
			sum += ceil(s.value[c])
			own = own || s.combo[c][r.ID] != nil
		}
		if all && !own {
			l.checks = append(l.checks, Check{r.ID, r.runs, r.Value, sum, r.Method == harness.ByGuess})
		}
	}
}

// together returns the length of runs that are not known one by one, if the readings settle their sum.
func (l *Lengths) together(runs []string) (sum unit.Length, guess, ok bool) {
	row := map[int]*big.Rat{}
	for _, id := range runs {
		c, found := l.open.columns[id]
		if !found || row[c] != nil {
			return 0, false, false
		}
		row[c] = big.NewRat(1, 1)
	}
	value, from, ok := l.open.express(row)
	if !ok || value.Sign() <= 0 {
		return 0, false, false
	}
	for id := range from {
		guess = guess || l.open.readings[id].Method == harness.ByGuess
	}
	return ceil(value), guess, true
}

// ceil returns a length in whole nanometres, rounded up.
func ceil(v *big.Rat) unit.Length {
	q, r := new(big.Int).DivMod(v.Num(), v.Denom(), new(big.Int))
	if r.Sign() > 0 {
		q.Add(q, big.NewInt(1))
	}
	return unit.Length(q.Int64())
}
