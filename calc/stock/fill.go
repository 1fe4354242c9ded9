package stock

// filler fills one stock after another as full as can be.
type filler struct {
	p    *problem
	from []int32 // by units filled: 1 + the copy that came last, 0 if it cannot be filled so
	kind []int   // by copy: its size
}

// fill returns the pieces of need that fill a room best, long ones before short ones; with first, the longest piece that
// fits is among them. It is nil if no piece fits. Cost: pieces × units.
func (f *filler) fill(need []int, room int, first bool) []int {
	p := f.p
	pattern := make([]int, len(need))
	start := 0
	if first {
		for start < len(need) && (need[start] == 0 || p.size[start] > room) {
			start++
		}
		if start == len(need) {
			return nil
		}
		pattern[start]++
		room -= p.size[start]
	}
	if cap(f.from) < room+1 {
		f.from = make([]int32, room+1)
	}
	from := f.from[:room+1]
	clear(from)
	f.kind = f.kind[:0]
	full := 0 // the most that is filled so far
	for i := start; i < len(need) && full < room; i++ {
		size := p.size[i]
		for range need[i] - pattern[i] {
			if size > room || full == room {
				break
			}
			f.kind = append(f.kind, i)
			copyNumber := int32(len(f.kind))
			news := false
			for c := min(room, full+size); c >= size; c-- {
				if from[c] == 0 && (c == size || from[c-size] != 0) {
					from[c] = copyNumber
					news = true
					full = max(full, c)
				}
			}
			if !news {
				break
			}
		}
	}
	for c := full; c > 0; {
		i := f.kind[from[c]-1]
		pattern[i]++
		c -= p.size[i]
	}
	if full == 0 && !first {
		return nil
	}
	return pattern
}

// greedy makes a plan for what is needed: the stock on hand first, then what is bought, each filled as full as can be.
type greedy struct {
	descending bool // long lengths on hand first
	first      bool // the longest piece that is left goes into each
	buy        int  // the kind that is bought; -1 is whichever wastes least
}

// ways lists the orders that are tried.
func (p *problem) ways() (all []greedy) {
	buys := []int{-1}
	for i, k := range p.kinds {
		if !k.limited && !k.single() {
			buys = append(buys, i)
		}
	}
	for _, buy := range buys {
		for _, descending := range []bool{false, true} {
			for _, first := range []bool{true, false} {
				all = append(all, greedy{descending, first, buy})
			}
		}
	}
	return all
}

// run returns the bins. need and most are used up.
func (g greedy) run(f *filler, need, most []int) (bins []bin) {
	p := f.p
	put := func(kind int, pattern []int) {
		bins = append(bins, bin{kind, pattern})
		for i, n := range pattern {
			need[i] -= n
		}
	}
	for n := range p.kinds {
		k := n
		if g.descending {
			k = len(p.kinds) - 1 - n
		}
		for p.kinds[k].limited && most[k] > 0 {
			pattern := f.fill(need, p.kinds[k].room, g.first)
			if pattern == nil {
				break
			}
			most[k]--
			put(k, pattern)
		}
	}
	for {
		rest, longest := 0, 0
		for i, n := range need {
			rest += n * p.size[i]
			if n > 0 && longest == 0 {
				longest = p.size[i]
			}
		}
		if rest == 0 {
			return bins
		}
		best, waste := -1, 0.0
		var pattern []int
		for k, kind := range p.kinds {
			if kind.limited || kind.single() || kind.room < longest {
				continue
			}
			if rest <= kind.room { // all that is left, in the shortest that holds it
				best, pattern = k, append([]int(nil), need...)
				break
			}
			if g.buy >= 0 && best >= 0 && g.buy != k {
				continue
			}
			try := f.fill(need, kind.room, g.first)
			used := 0
			for i, n := range try {
				used += n * p.size[i]
			}
			if w := float64(kind.cost) / float64(used); best < 0 || w < waste || g.buy == k {
				best, waste, pattern = k, w, try
			}
		}
		if best < 0 { // by the metre, or left uncut
			best, pattern = len(p.kinds)-1, make([]int, len(need))
			for i, n := range need {
				if n > 0 && p.kinds[best].uncut {
					pattern[i] = 1 // the longest; the others may still fit
					break
				}
				pattern[i] = n
			}
		}
		put(best, pattern)
	}
}
