package stock

import (
	"slices"

	"loomwright/calc/unit"
)

// problem is the pieces and the stock in whole units. Pieces of one length are one size with a need. A kerf is part of each
// piece and of each stock length, as the last cut of a stock may be its end.
type problem struct {
	cuts    []unit.Length
	kerf    unit.Length
	who     [][]int // by size: the pieces that are still to be written, by index into cuts
	size    []int   // distinct lengths, long ones first; rounded up to units
	low     []int   // the same rounded down, for bounds
	need    []int
	kinds   []kind
	money   unit.Length // what one unit of cost is
	each    []int       // by size: the cost of a piece by the metre
	penalty int         // the cost of a piece left uncut
}

// kind is a kind of stock: a length on hand (of which there are most), a spool to buy, the metre, or leaving a piece uncut.
type kind struct {
	length  unit.Length
	room    int // in units, rounded down
	cost    int // 0 on hand; of the metre and of pieces left uncut by size
	limited bool
	most    int
	metre   bool // each piece costs its length
	uncut   bool // each piece costs more than all that can be bought
}

// single reports whether the kind takes one piece at a time.
func (k kind) single() bool { return k.metre || k.uncut }

// bin is one stock of a kind, with how many pieces of each size are cut from it.
type bin struct {
	kind    int
	pattern []int
}

// Rooms are counted in at most this many units, and units times pieces are at most mostWork. Source: our choice; finer
// units do not make plans better by a length that a tape shows.
const (
	mostUnits = 8192
	mostWork  = 1 << 21
)

func newProblem(cuts []unit.Length, fit []int, s Supply) *problem {
	p := &problem{cuts: cuts, kerf: s.Kerf}
	fit = slices.Clone(fit)
	slices.SortStableFunc(fit, func(a, b int) int { return int(cuts[b] - cuts[a]) })
	hand := slices.Sorted(slices.Values(s.OnHand))
	spools := slices.Compact(slices.Sorted(slices.Values(s.Spools)))
	var grain, longest unit.Length
	for _, i := range fit {
		grain = gcd(grain, cuts[i]+s.Kerf)
	}
	all := append(slices.Clone(hand), spools...)
	for _, l := range all {
		longest = max(longest, l+s.Kerf)
	}
	limit := unit.Length(min(mostUnits, mostWork/max(len(fit), 1)))
	if grain == 0 || longest/grain > limit {
		grain = longest/limit + 1
	}
	for _, i := range fit {
		l := cuts[i] + s.Kerf
		up := int((l + grain - 1) / grain)
		// Sizes that are one in units but not in length stay apart, so that what is bought by the metre is exact.
		if n := len(p.size); n == 0 || cuts[p.who[n-1][0]] != cuts[i] {
			p.size, p.low = append(p.size, up), append(p.low, int(l/grain))
			p.need, p.who = append(p.need, 0), append(p.who, nil)
		}
		n := len(p.size) - 1
		p.need[n]++
		p.who[n] = append(p.who[n], i)
	}
	for _, l := range hand {
		if n := len(p.kinds); n > 0 && p.kinds[n-1].length == l {
			p.kinds[n-1].most++
			continue
		}
		p.kinds = append(p.kinds, kind{length: l, room: int((l + s.Kerf) / grain), limited: true, most: 1})
	}
	p.money = 0
	if len(spools) == 0 {
		for _, i := range fit {
			p.money = gcd(p.money, cuts[i]+s.Kerf)
		}
		p.kinds = append(p.kinds, kind{metre: true})
	}
	for _, l := range spools {
		p.money = gcd(p.money, l)
	}
	p.money = max(p.money, 1)
	for i := range p.size {
		p.each = append(p.each, int((cuts[p.who[i][0]]+s.Kerf)/p.money))
	}
	for _, l := range spools {
		p.kinds = append(p.kinds, kind{length: l, room: int((l + s.Kerf) / grain), cost: int(l / p.money)})
	}
	if len(spools) > 0 {
		p.kinds = append(p.kinds, kind{uncut: true})
		for _, k := range p.kinds {
			p.penalty = max(p.penalty, k.cost)
		}
		p.penalty = 1 + p.penalty*len(fit)
	}
	return p
}

// price is what a bin costs.
func (p *problem) price(b bin) int {
	k := p.kinds[b.kind]
	if !k.single() {
		return k.cost
	}
	sum := 0
	for i, n := range b.pattern {
		if n > 0 {
			sum += n * p.priceEach(k, i)
		}
	}
	return sum
}

// priceEach is what one piece costs in a kind that takes single pieces.
func (p *problem) priceEach(k kind, size int) int {
	if k.metre {
		return p.each[size]
	}
	return p.penalty
}

func (p *problem) priceAll(bins []bin) (sum int) {
	for _, b := range bins {
		sum += p.price(b)
	}
	return sum
}

// take hands out pieces for a pattern.
func (p *problem) take(pattern []int) (cuts []int) {
	for i, n := range pattern {
		cuts = append(cuts, p.who[i][:n]...)
		p.who[i] = p.who[i][n:]
	}
	return cuts
}

// stocked returns how many there are of each kind.
func (p *problem) stocked() []int {
	most := make([]int, len(p.kinds))
	for i, k := range p.kinds {
		most[i] = k.most
	}
	return most
}

func gcd(a, b unit.Length) unit.Length {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
