package survey

import (
	"cmp"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// apart is how many standard deviations of a new reading two answers must differ to be told apart. Source: our choice;
// half of that to either side errs in one case of fifteen.
const apart = 3

// settle finds the one reading that best tells apart which of a set is wrong: any stretch of the paths they passed, in
// one piece. It supposes each wrong in turn and asks what the rest would say of the stretch; readings that make it say
// the same stay together. The best leaves the fewest on average; of equals, that of the fewest runs and then the shorter.
func (h *hunt) settle(set []int) (runs []string, leaves int) {
	if len(set) < 2 {
		return nil, len(set)
	}
	best, length := 0, 0.0
	for _, path := range h.stretches(set) {
		shares := h.n.active(h.l.book.shares(path))
		at := sum(shares, h.l.x).mm()
		for _, s := range shares {
			at += float64(s.n) * h.x[s.col]
		}
		answers := make([]float64, len(set))
		for i, k := range set {
			o := h.n.obs[k]
			answers[i] = at + h.cov(shares, o.act)*o.weight()*h.v[k]/h.r[k]
		}
		slices.Sort(answers)
		reading := harness.Reading{Value: unit.Length(max(0, at) * float64(unit.Millimetre))}
		gap := apart * Sigma(h.l.settings, reading).MM()
		score, most, size := 0, 0, 0
		for i := range answers {
			if i > 0 && answers[i]-answers[i-1] > gap {
				score, size = score+size*size, 0
			}
			size++
			most = max(most, size)
		}
		score += size * size
		if runs == nil || cmp.Or(cmp.Compare(score, best), cmp.Compare(len(path), len(runs)), cmp.Compare(at, length-1e-6)) < 0 {
			runs, leaves, best, length = path, most, score, at
		}
	}
	return runs, leaves
}

// mostStretches bounds the search: of a longer path only stretches that begin or end where it does, and single runs, are
// proposed. Source: our choice, to keep the cost linear there.
const mostStretches = 16

// stretches returns the paths that the readings of a set passed and the stretches of them, all in living runs.
func (h *hunt) stretches(set []int) (paths [][]string) {
	seen := map[string]bool{}
	for _, k := range set {
		runs := h.n.obs[k].runs
		for i := range runs {
			for j := i + 1; j <= len(runs); j++ {
				if len(runs) > mostStretches && i > 0 && j < len(runs) && j > i+1 {
					continue
				}
				path := runs[i:j]
				key := pathKey(path)
				if seen[key] || !h.l.living(path) {
					continue
				}
				seen[key] = true
				paths = append(paths, path)
			}
		}
	}
	return paths
}

// living reports whether all runs of a path live.
func (l *Lengths) living(path []string) bool {
	for _, id := range path {
		if c, ok := l.book.columns[id]; !ok || c >= len(l.runs) {
			return false
		}
	}
	return true
}
