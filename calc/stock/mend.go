package stock

import "slices"

// mend takes a few bins of a plan apart and searches for a better way to cut what was in them, from those, from what is
// unused on hand and from what can be bought; and again with others. A way that costs the same is taken too, so that the
// plan does not stay where it is. Which bins, is drawn by lot from numbers that are the same each time.
func (p *problem) mend(bins []bin, lower int) []bin {
	cost := p.priceAll(bins)
	lot := uint64(1)
	draw := func(n int) int {
		// Source: Knuth, MMIX, the multiplier and increment of its linear congruential generator.
		lot = lot*6364136223846793005 + 1442695040888963407
		return int((lot >> 33) % uint64(n))
	}
	for range partRounds {
		if cost <= lower {
			break
		}
		most, need := p.stocked(), make([]int, len(p.need))
		for _, b := range bins {
			most[b.kind]--
		}
		pieces, was := 0, 0
		open := slices.Clone(bins)
		for tries := 0; tries < 8 && len(open) > 0; tries++ {
			i := draw(len(open))
			b := open[i]
			part := b.pattern
			if p.kinds[b.kind].single() { // one piece of it
				size := draw(len(part))
				for part[size] == 0 {
					size = (size + 1) % len(part)
				}
				part = make([]int, len(part))
				part[size] = 1
			}
			n := 0
			for _, v := range part {
				n += v
			}
			if pieces+n > mostSearched {
				continue
			}
			pieces += n
			was += p.price(bin{b.kind, part})
			left := 0
			remain := slices.Clone(b.pattern)
			for k, v := range part {
				need[k] += v
				remain[k] -= v
				left += remain[k]
			}
			if left > 0 {
				open[i].pattern = remain
				continue
			}
			most[b.kind]++
			open = slices.Delete(open, i, i+1)
		}
		better, _ := p.search(need, most, was+1, partTries)
		if better == nil {
			continue
		}
		bins = append(open, better...)
		cost = p.priceAll(bins)
	}
	return bins
}
