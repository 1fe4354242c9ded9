package survey

import (
	"cmp"
	"slices"

	"loomwright/calc/sorting"
	"loomwright/calc/unit"
)

// Sum is the length of a path.
type Sum struct {
	Length  unit.Length // of all its runs, if Missing is empty; else of those that are known
	Corners unit.Length // the part of Length that corrects a thin string pulled round corners
	Sigma   unit.Length // standard deviation of Length, with all covariances; 0 if Missing is not empty
	Missing []string    // runs whose length is needed and not known, in path order
	Guess   bool
	Longer  []Check // readings along the path that say more than its adjusted length; they do not overlap
}

// Path adds up the runs of a path. Runs that are known only together count as known where the path passes them all.
//
// Longer holds the readings, guesses and those that were thrown out apart, that cover stretches of the path and say more
// than its adjusted length; Sum of such a check is that length. Of those that overlap, the ones that together add most. A
// path is never shorter than what was read along it.
//
// Cost: the square of the runs it passes.
func (l *Lengths) Path(runs []string) Sum {
	var s Sum
	var unknown []string
	for _, id := range runs {
		k, ok := l.Run(id)
		if !ok {
			unknown = append(unknown, id)
			continue
		}
		s.Length += k.Length
		s.Corners += k.Corners
		s.Guess = s.Guess || k.Guess
	}
	if len(unknown) > 0 {
		shares, ok := l.together(unknown)
		if !ok {
			s.Missing = unknown
			s.Longer = l.longer(runs)
			return s
		}
		s.Length += sum(shares, l.x).length()
		s.Corners += sum(shares, l.corners).length()
		s.Guess = s.Guess || l.guess(shares)
	}
	act := l.net.active(l.book.shares(runs))
	s.Sigma = root(l.net.cov(act, act))
	s.Longer = l.longer(runs)
	return s
}

// together returns runs that are not known one by one as a sum, if readings settle it and it is above zero.
func (l *Lengths) together(runs []string) (act []share, ok bool) {
	act, ok = l.sum(runs)
	return act, ok && sum(act, l.x).length() > 0
}

// excess is the longest reading of a path, where it says more than the adjusted length.
type excess struct {
	check Check
	key   string
}

// index finds the readings that say more than the adjusted lengths, by the first run they pass.
func (l *Lengths) index() {
	best := map[string]*excess{}
	for i, o := range l.net.obs {
		if o.out || o.class != measured || !l.fits[i].Known || !l.living(o.runs) {
			continue
		}
		c := Check{Reading: o.reading, Runs: o.runs, Value: o.value + o.corner}
		sure := true
		for _, id := range o.runs {
			k := l.known[id]
			sure = sure && k.Measured()
			c.Sum += k.Length
		}
		if !sure {
			act, ok := l.together(o.runs)
			if !ok {
				continue
			}
			c.Sum = sum(act, l.x).length()
		}
		// What rounding up to a nanometre adds to each run is no shortfall.
		if c.Diff() <= 0 {
			continue
		}
		key := pathKey(o.runs)
		if old := best[key]; old == nil || c.Value > old.check.Value {
			best[key] = &excess{c, key}
		}
	}
	l.over = map[string][]*excess{}
	for _, o := range l.net.obs {
		key := pathKey(o.runs)
		if e := best[key]; e != nil && e.check.Reading == o.reading {
			l.over[o.runs[0]] = append(l.over[o.runs[0]], e)
		}
	}
}

// longer finds the readings to add to a path: of the stretches of the path that they cover, those without overlap and
// with the greatest sum of differences.
func (l *Lengths) longer(runs []string) []Check {
	type interval struct {
		from, to int // runs[from:to]
		check    Check
	}
	var at map[string]int
	var intervals []interval
	for _, id := range runs {
		for _, e := range l.over[id] {
			if at == nil {
				at = make(map[string]int, len(runs))
				for i, id := range runs {
					at[id] = i
				}
				if len(at) != len(runs) {
					return nil // it passes a run twice
				}
			}
			from, to, all := len(runs), 0, true
			for _, id := range e.check.Runs {
				i, ok := at[id]
				all = all && ok
				from, to = min(from, i), max(to, i+1)
			}
			if all && to-from == len(e.check.Runs) {
				intervals = append(intervals, interval{from, to, e.check})
			}
		}
	}
	if len(intervals) == 0 {
		return nil
	}
	sorting.By(intervals, func(a, b interval) int { return cmp.Or(a.to-b.to, a.from-b.from) })
	best := make([]unit.Length, len(runs)+1) // of runs[:i]
	take := make([]int, len(runs)+1)         // the interval that ends at i, +1
	next := 0
	for i := 1; i <= len(runs); i++ {
		best[i] = best[i-1]
		for ; next < len(intervals) && intervals[next].to == i; next++ {
			if v := best[intervals[next].from] + intervals[next].check.Diff(); v > best[i] {
				best[i], take[i] = v, next+1
			}
		}
	}
	var out []Check
	for i := len(runs); i > 0; {
		if take[i] == 0 {
			i--
			continue
		}
		chosen := intervals[take[i]-1]
		out = append(out, chosen.check)
		i = chosen.from
	}
	slices.Reverse(out)
	return out
}
