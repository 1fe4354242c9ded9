package stock

import (
	"math"
	"slices"

	"loomwright/calc/sorting"
	"loomwright/calc/unit"
)

// solve returns bins for all pieces, and a cost that no plan goes below.
func (p *problem) solve() (best []bin, lower int) {
	if len(p.size) == 0 {
		return nil, 0
	}
	f := &filler{p: p}
	least := -1
	keep := func(bins []bin) {
		if c := p.priceAll(bins); least < 0 || c < least {
			best, least = slices.Clone(bins), c
		}
	}
	for _, g := range p.ways() {
		keep(g.run(f, slices.Clone(p.need), p.stocked()))
	}
	if lower = p.byLength(); lower >= least {
		return best, least
	}
	l := newLinear(p)
	l.solve(p.need, p.stocked())
	lower = max(lower, l.bound(p.need, p.stocked()))
	for _, most := range []float64{0.9, 0.6, 0.99, 0.75} {
		if least > lower {
			p.dive(l, f, most, func(bins []bin) bool { keep(bins); return least <= lower })
		}
	}
	if least > lower {
		bins, all := p.search(p.need, p.stocked(), least, wholeTries)
		if bins != nil {
			keep(bins)
		}
		if all && slices.Equal(p.size, p.low) { // units that are not rounded
			lower = least
		}
	}
	if least > lower {
		keep(p.mend(slices.Clone(best), lower))
	}
	return best, min(lower, least)
}

// byLength is the bound of a plan without any waste.
func (p *problem) byLength() int {
	var rest unit.Length
	for i, n := range p.need {
		rest += unit.Length(n) * (p.cuts[p.who[i][0]] + p.kerf)
	}
	for _, k := range p.kinds {
		if k.limited {
			rest -= unit.Length(k.most) * (k.length + p.kerf)
		}
	}
	if rest <= 0 {
		return 0
	}
	if p.kinds[len(p.kinds)-1].metre {
		return int((rest + p.money - 1) / p.money)
	}
	// Bought lengths hold themselves and a kerf each: the shortest gains most by it.
	for _, k := range p.kinds {
		if !k.limited && !k.single() {
			bought := float64(rest) * (float64(k.length) / float64(k.length+p.kerf))
			return int(math.Ceil(bought / float64(p.money) * (1 - 1e-12)))
		}
	}
	return 0
}

// dive takes the patterns of the linear plan that are whole or nearly so, and plans the rest anew, until nothing is left.
// On the way each part is filled up by hand; done is told every whole plan and ends the dive.
func (p *problem) dive(l *linear, f *filler, nearly float64, done func([]bin) bool) {
	need, most := slices.Clone(p.need), p.stocked()
	var bins []bin
	put := func(c, times int) bool {
		b := l.columns[c]
		took := false
		for range times {
			pattern := make([]int, len(need))
			any := false
			for i, n := range b.pattern {
				pattern[i] = min(n, need[i])
				any = any || pattern[i] > 0
			}
			if !any || b.kind < l.hand && most[b.kind] == 0 {
				break
			}
			if b.kind < l.hand {
				most[b.kind]--
			}
			for i, n := range pattern {
				need[i] -= n
			}
			bins = append(bins, bin{b.kind, pattern})
			took = true
		}
		return took
	}
	for {
		left := 0
		for _, n := range need {
			left += n
		}
		if left == 0 {
			done(bins)
			return
		}
		l.solve(need, most)
		type part struct {
			column int
			times  float64
		}
		var parts []part
		for r, c := range l.basis {
			if c >= 0 && l.x[r] > 1e-4 {
				parts = append(parts, part{c, l.x[r]})
			}
		}
		sorting.By(parts, func(a, b part) int {
			fa, fb := a.times-float64(int(a.times)), b.times-float64(int(b.times))
			switch {
			case fa > fb:
				return -1
			case fa < fb:
				return 1
			}
			return a.column - b.column
		})
		took := false
		for _, q := range parts {
			if n := int(q.times + 1e-4); n > 0 {
				took = put(q.column, n) || took
			}
		}
		for _, q := range parts {
			if n := int(q.times + 1e-4); q.times-float64(n) >= nearly {
				took = put(q.column, 1) || took
			}
		}
		for _, q := range parts {
			if took {
				break
			}
			took = put(q.column, 1)
		}
		for _, g := range p.ways()[:min(2, len(p.ways()))] {
			rest := g.run(f, slices.Clone(need), slices.Clone(most))
			if done(append(slices.Clone(bins), rest...)) {
				return
			}
		}
		if !took {
			return
		}
	}
}
