package survey

import (
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// After returns the standard deviation that a path would have if other runs were read once more, in one reading from end
// to end by string; ok is false if either is not known.
func (l *Lengths) After(path, read []string) (sigma unit.Length, ok bool) {
	a, okA := l.sum(path)
	b, okB := l.sum(read)
	if !okA || !okB {
		return 0, false
	}
	c := l.net.cov(a, b)
	return root(l.net.cov(a, a) - c*c/(l.net.cov(b, b)+l.anew(b))), true
}

// anew is the variance of a new reading of a settled sum by string, in mm².
func (l *Lengths) anew(act []share) float64 {
	s := Sigma(l.settings, harness.Reading{Value: sum(act, l.x).length()}).MM()
	return s * s
}

// sum returns a settled path as a sum of columns.
func (l *Lengths) sum(path []string) (act []share, ok bool) {
	for _, id := range path {
		if k, found := l.known[id]; !found || k.Why == Contradicted {
			return nil, false
		}
	}
	shares := l.book.shares(path)
	if len(shares) == 0 || !l.settled(shares) {
		return nil, false
	}
	return l.net.active(shares), true
}

// Help is the one reading that would tell most.
type Help struct {
	Runs    []string    // to read in one, from end to end
	Settles []string    // runs that would be measured then, Runs among them; empty where all are measured already
	Run     string      // where all are: the run that gets most certain
	Before  unit.Length // its standard deviation now
	Then    unit.Length // and after that
}

// Helpful returns the one extra reading that would help most: where runs are not measured, that of the run which settles
// most of them, in the order of runs; else the reading, of a run or of a path that was read before, which takes most off
// the variances of all runs together. ok is false if there are no runs.
//
// Cost: for each run that is not measured, all of those.
func (l *Lengths) Helpful() (h Help, ok bool) {
	var open []string
	for _, r := range l.runs {
		if k := l.known[r.ID]; k.Why == NoReading || k.Why == Together {
			open = append(open, r.ID)
		}
	}
	for _, id := range open {
		s := &space{row: slices.Clone(l.net.space.row), loose: slices.Clone(l.net.space.loose)}
		s.add(lineOf(l.book.shares([]string{id})))
		var settles []string
		for _, other := range open {
			if s.settles(lineOf(l.book.shares([]string{other}))) {
				settles = append(settles, other)
			}
		}
		if len(settles) > len(h.Settles) {
			h = Help{Runs: []string{id}, Settles: settles}
		}
	}
	if len(h.Settles) > 0 {
		return h, true
	}
	return l.surer()
}

// surer finds the reading that takes most off the variances.
func (l *Lengths) surer() (h Help, ok bool) {
	most := 0.0
	seen := map[string]bool{}
	try := func(path []string) {
		key := pathKey(path)
		act, known := l.sum(path)
		if seen[key] || !known || !l.living(path) {
			return
		}
		seen[key] = true
		variance := l.net.cov(act, act) + l.anew(act)
		less := 0.0
		for i := range l.net.parts {
			p := &l.net.parts[i]
			own := slices.DeleteFunc(slices.Clone(act), func(s share) bool { return l.net.part[s.col] != i })
			if len(own) == 0 {
				continue
			}
			for _, g := range l.net.gain(p, own) {
				less += g * g / variance
			}
		}
		if less > most*(1+1e-9) {
			most, ok = less, true
			h = Help{Runs: path}
		}
	}
	for _, r := range l.runs {
		try([]string{r.ID})
	}
	for _, o := range l.net.obs {
		if o.used {
			try(o.runs)
		}
	}
	if !ok {
		return h, false
	}
	gain := unit.Length(0)
	for _, r := range l.runs {
		k := l.known[r.ID]
		if then, known := l.After([]string{r.ID}, h.Runs); known && k.Measured() && k.Sigma-then > gain {
			gain = k.Sigma - then
			h.Run, h.Before, h.Then = r.ID, k.Sigma, then
		}
	}
	return h, true
}
