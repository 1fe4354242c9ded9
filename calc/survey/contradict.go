package survey

import (
	"cmp"
	"slices"

	"loomwright/calc/sorting"
	"loomwright/calc/unit"
)

// single is a settled run, living or gone, as a sum of columns.
type single struct {
	run string
	act []share
}

// singles returns the settled runs, living ones first.
func (l *Lengths) singles() (all []single) {
	for _, run := range l.book.names {
		if shares := l.book.shares([]string{run}); l.settled(shares) {
			all = append(all, single{run, l.net.active(shares)})
		}
	}
	return all
}

// shortest returns the settled runs that come out at zero or less.
func (l *Lengths) shortest() (bad []single) {
	for _, s := range l.singles() {
		if sum(s.act, l.x).length() <= 0 {
			bad = append(bad, s)
		}
	}
	return bad
}

// setAside looks for a reading without which fewer runs come out at zero or less, sets it aside, names it, and reports
// whether it did. Of several it takes the one that leaves the fewest such runs, then the one that fits worst, then the
// one over most runs.
func (l *Lengths) setAside() bool {
	bad := l.shortest()
	if len(bad) == 0 {
		return false
	}
	all := l.singles()
	var best *observation
	fewest := len(bad)
	worst := 0.0
	for i, o := range l.net.obs {
		if !o.used || o.class != measured || o.redundancy <= unchecked {
			continue
		}
		f := o.weight() * l.residual(o) / o.redundancy
		left := 0
		for _, s := range all {
			if sum(s.act, l.x).mm()+l.net.cov(s.act, o.act)*f < 1e-6 {
				left++
			}
		}
		w := l.fits[i].W
		if left > fewest || left == fewest && best == nil {
			continue
		}
		if left < fewest || w > worst*(1+1e-7) || w > worst*(1-1e-7) && len(o.runs) > len(best.runs) {
			best, fewest, worst = o, left, w
		}
	}
	if best == nil {
		return false
	}
	from := bad[0]
	for _, s := range bad {
		if sum(s.act, l.x).mm() < sum(from.act, l.x).mm() {
			from = s
		}
	}
	readings := l.basis(from.act)
	readings = readings[:min(len(readings), mostNamed)]
	if !slices.Contains(readings, best.reading) {
		readings = append(readings, best.reading)
	}
	slices.Sort(readings)
	l.against = append(l.against, Contradiction{from.run, sum(from.act, l.x).length(), readings, best.reading})
	best.aside = true
	return true
}

// mostNamed is how many readings a contradiction names: those that weigh most. Source: our choice.
const mostNamed = 8

// basis returns the readings that have a part in a settled sum, those that weigh most first.
func (l *Lengths) basis(act []share) []string {
	var ids []string
	for _, t := range l.terms(act) {
		ids = append(ids, t.Reading)
	}
	return ids
}

// contradict takes back the length of runs that come out at zero or less, and of those that rest on all the same readings.
func (l *Lengths) contradict() {
	bad := l.shortest()
	if len(bad) == 0 {
		return
	}
	based := map[string][]string{}
	for _, s := range l.singles() {
		ids := l.basis(s.act)
		slices.Sort(ids)
		based[s.run] = ids
	}
	for _, s := range bad {
		readings := based[s.run]
		value := sum(s.act, l.x).length()
		l.against = append(l.against, Contradiction{Run: s.run, Value: value, Readings: readings})
		for _, r := range l.runs {
			ids, ok := based[r.ID]
			if _, done := l.known[r.ID]; ok && !done && contains(ids, readings) {
				l.known[r.ID] = Known{Run: r.ID, Why: Contradicted, Readings: ids}
			}
		}
	}
}

// contains reports whether a sorted list has all of another.
func contains(all, some []string) bool {
	for _, s := range some {
		if _, ok := slices.BinarySearch(all, s); !ok {
			return false
		}
	}
	return true
}

// Term is one reading's part in a length.
type Term struct {
	Reading string
	Weight  float64     // 1 added, -1 taken away, or a share of it
	Value   unit.Length // as read, and its corners
}

// terms writes a settled sum as readings, each with its weight, the heaviest first and added before taken away.
func (l *Lengths) terms(act []share) (terms []Term) {
	for _, o := range l.net.obs {
		if !o.used {
			continue
		}
		if w := l.net.cov(act, o.act) * o.weight(); w > 1e-9 || w < -1e-9 {
			terms = append(terms, Term{o.reading, w, o.value + o.corner})
		}
	}
	sorting.By(terms, func(a, b Term) int {
		if added := a.Weight > 0; added != (b.Weight > 0) {
			if added {
				return -1
			}
			return 1
		}
		x, y := max(a.Weight, -a.Weight), max(b.Weight, -b.Weight)
		if x-y < 1e-9 && y-x < 1e-9 {
			return cmp.Compare(b.Value, a.Value)
		}
		return cmp.Compare(y, x)
	})
	return terms
}
