package stock

import (
	"slices"

	"loomwright/calc/unit"
)

// tidy makes a plan easier without buying more: a piece left uncut that does fit gets its length, bins that others can take
// in are emptied, and what is in a long one moves to a shorter one that holds it. Lengths are exact here.
func (p *problem) tidy(bins *[]bin) {
	all := *bins
	most := p.stocked()
	for _, b := range all {
		most[b.kind]--
	}
	length := func(pattern []int) (sum unit.Length) {
		for i, n := range pattern {
			if n > 0 {
				sum += unit.Length(n) * (p.cuts[p.who[i][0]] + p.kerf)
			}
		}
		return sum
	}
	spare := func(b bin) unit.Length { return p.kinds[b.kind].length + p.kerf - length(b.pattern) }
	// The least used are emptied first, the bought ones before those on hand.
	order := make([]int, 0, len(all))
	for i, b := range all {
		if !p.kinds[b.kind].single() {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		if ca, cb := p.kinds[all[a].kind].cost, p.kinds[all[b].kind].cost; ca != cb {
			return cb - ca
		}
		if la, lb := length(all[a].pattern), length(all[b].pattern); la != lb {
			return int(la/unit.Millimetre) - int(lb/unit.Millimetre)
		}
		return a - b
	})
	emptied := make([]bool, len(all))
	for _, i := range order {
		trial := make([]bin, len(all))
		for j, b := range all {
			trial[j] = bin{b.kind, slices.Clone(b.pattern)}
		}
		ok := true
		for size, n := range all[i].pattern {
			l := p.cuts[p.who[size][0]] + p.kerf
			for range n {
				best := -1
				for _, j := range order {
					if j != i && !emptied[j] && spare(trial[j]) >= l && (best < 0 || spare(trial[j]) < spare(trial[best])) {
						best = j
					}
				}
				if best < 0 {
					ok = false
					break
				}
				trial[best].pattern[size]++
			}
			if !ok {
				break
			}
		}
		if ok {
			copy(all, trial)
			all[i].pattern = make([]int, len(p.size))
			emptied[i] = true
			most[all[i].kind]++
		}
	}
	for i := range all {
		b := &all[i]
		k := p.kinds[b.kind]
		if emptied[i] || k.metre {
			continue
		}
		need := length(b.pattern)
		for j, other := range p.kinds {
			fits := !other.single() && other.length+p.kerf >= need && (!other.limited || most[j] > 0)
			if fits && (k.uncut || other.limited && !k.limited || other.limited == k.limited && other.length < k.length) {
				most[b.kind]++
				most[j]--
				b.kind = j
				break
			}
		}
	}
	kept := all[:0]
	for i, b := range all {
		if !emptied[i] {
			kept = append(kept, b)
		}
	}
	*bins = kept
}
