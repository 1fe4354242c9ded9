package stock

import "slices"

// What is searched through at most. Source: our choice, so that it takes some tenths of a second on a phone.
const (
	mostSearched = 24     // pieces
	wholeTries   = 200000 // pieces put somewhere, for the whole plan
	partTries    = 1500   // and for a part of it
	partRounds   = 200    // parts
)

// search puts the pieces one after another, long ones first, into every bin that is open and every kind that can be
// opened, leaving off where the cost cannot get below limit, and altogether after so many tries. It returns a cheaper plan
// if there is one, and whether it has seen all. most is as it was afterwards.
func (p *problem) search(need, most []int, limit, mostTries int) (best []bin, all bool) {
	var pieces []int // sizes
	for i, n := range need {
		for range n {
			pieces = append(pieces, i)
		}
	}
	if len(pieces) > mostSearched {
		return nil, false
	}
	after := make([]int, len(pieces)+1) // units of the pieces from one on
	for i := len(pieces) - 1; i >= 0; i-- {
		after[i] = after[i+1] + p.low[pieces[i]]
	}
	cheapest := -1.0 // cost of a unit
	for _, k := range p.kinds {
		if !k.limited && !k.single() && k.room > 0 {
			if c := float64(k.cost) / float64(k.room); cheapest < 0 || c < cheapest {
				cheapest = c
			}
		}
	}
	if cheapest < 0 && p.kinds[len(p.kinds)-1].metre {
		cheapest = 1e18
		for i, e := range p.each {
			cheapest = min(cheapest, float64(e)/float64(max(p.low[i], 1)))
		}
	}
	type open struct{ kind, room int }
	var bins []open
	in := make([]int, len(pieces)) // by piece: its bin, or -1 - kind alone
	free := 0                      // room in bins that are open or on hand
	for i, k := range p.kinds {
		if k.limited {
			free += k.room * most[i]
		}
	}
	tries := 0
	var put func(i, cost, free int) bool
	put = func(i, cost, free int) bool {
		if i == len(pieces) {
			if cost < limit {
				limit = cost
				best = best[:0]
				for _, b := range bins {
					best = append(best, bin{b.kind, make([]int, len(need))})
				}
				for j, at := range in {
					if at < 0 {
						best = append(best, bin{-1 - at, make([]int, len(need))})
						at = len(best) - 1
					}
					best[at].pattern[pieces[j]]++
				}
			}
			return true
		}
		if tries++; tries > mostTries {
			return false
		}
		if over := after[i] - free; cost >= limit || over > 0 && float64(cost)+float64(over)*cheapest > float64(limit-1)+1e-6 {
			return true
		}
		size := p.size[pieces[i]]
		from := 0 // equal pieces go into bins in order
		if i > 0 && pieces[i-1] == pieces[i] && in[i-1] >= 0 {
			from = in[i-1]
		}
		for b := from; b < len(bins); b++ {
			same := slices.ContainsFunc(bins[from:b], func(o open) bool { return o == bins[b] })
			if bins[b].room < size || same {
				continue
			}
			bins[b].room -= size
			in[i] = b
			ok := put(i+1, cost, free-size)
			bins[b].room += size
			if !ok {
				return false
			}
		}
		for k, kind := range p.kinds {
			if kind.single() {
				in[i] = -1 - k
				if !put(i+1, cost+p.priceEach(kind, pieces[i]), free) {
					return false
				}
				continue
			}
			if kind.room < size || kind.limited && most[k] == 0 {
				continue
			}
			most[k]--
			bins = append(bins, open{k, kind.room - size})
			in[i] = len(bins) - 1
			more := free - size
			if !kind.limited {
				more += kind.room
			}
			ok := put(i+1, cost+kind.cost, more)
			bins = bins[:len(bins)-1]
			most[k]++
			if !ok {
				return false
			}
		}
		return true
	}
	all = put(0, 0, free)
	if len(best) == 0 {
		best = nil
	}
	return best, all
}
