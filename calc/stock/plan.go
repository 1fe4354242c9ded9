package stock

import (
	"errors"
	"fmt"
	"slices"

	"loomwright/calc/sorting"
	"loomwright/calc/unit"
)

// MostCuts is how many pieces are planned at once. Source: our choice, far above the wires of one kind in a harness.
const MostCuts = 1000

// Why there is no plan.
var (
	ErrLength  = errors.New("not above zero, or too long")
	ErrTooMany = errors.New("too many pieces")
)

// Supply is what pieces can be cut from.
type Supply struct {
	OnHand []unit.Length // offcuts, and spools with what is left on them: each once, and free
	Spools []unit.Length // sizes that can be bought, as many as needed; none: wire is bought by the metre, in one length
	Step   unit.Length   // by the metre: what is sold is a multiple of it; zero is to the length
	Kerf   unit.Length   // lost at each cut
	Useful unit.Length   // a rest of this length or more is kept; a shorter one is scrap
}

// Plan is how every piece is cut.
type Plan struct {
	Stocks  []Stock     // those on hand in their order, then what is bought, long ones first
	Uncut   []int       // pieces that are longer than any spool and have no place on hand, by index
	Bought  unit.Length // in all
	Lower   unit.Length // no plan for the pieces that are not in Uncut buys less
	Optimal bool        // Bought is Lower
	Scrap   unit.Length // rests that are too short to keep
}

// Stock is one length of wire and what is cut from it.
type Stock struct {
	OnHand int // index into Supply.OnHand; -1 if it is bought
	Length unit.Length
	Cuts   []int       // pieces by index, long ones first
	Left   unit.Length // what remains after the last cut
	Kept   bool        // it is long enough to keep
}

// Cut plans the pieces. Of plans that buy equally little, one that begins fewer of the lengths on hand, and shorter ones,
// is preferred, not searched for. The same input gives the same plan. The error wraps ErrLength or ErrTooMany.
//
// Up to a few dozen pieces the plan is mostly proven; Optimal says so. Cost: bounded; about a second for the hardest of
// 250 pieces.
func Cut(cuts []unit.Length, s Supply) (Plan, error) {
	if len(cuts) > MostCuts || len(s.OnHand) > MostCuts || len(s.Spools) > 20 {
		return Plan{}, fmt.Errorf("stock: %d pieces, %d lengths on hand, %d sizes: %w", len(cuts), len(s.OnHand), len(s.Spools), ErrTooMany)
	}
	for _, group := range [3][]unit.Length{cuts, s.OnHand, s.Spools} {
		for _, l := range group {
			if l <= 0 || l > unit.Longest {
				return Plan{}, fmt.Errorf("stock: length %v: %w", l, ErrLength)
			}
		}
	}
	if s.Kerf < 0 || s.Kerf > unit.Metre || s.Step < 0 || s.Step > unit.Longest || s.Useful < 0 {
		return Plan{}, fmt.Errorf("stock: kerf %v, step %v, least rest %v: %w", s.Kerf, s.Step, s.Useful, ErrLength)
	}
	var plan Plan
	var longest unit.Length
	for _, l := range append(slices.Clone(s.OnHand), s.Spools...) {
		longest = max(longest, l)
	}
	var fit []int
	for i, l := range cuts {
		if len(s.Spools) == 0 || l <= longest {
			fit = append(fit, i)
		} else {
			plan.Uncut = append(plan.Uncut, i)
		}
	}
	p := newProblem(cuts, fit, s)
	bins, lower := p.solve()
	p.tidy(&bins)
	if left := p.uncut(bins); len(left) > 0 {
		// Pieces that only a length on hand could hold, and none did. The bound is that of the others, planned anew.
		plan.Uncut = append(plan.Uncut, left...)
		slices.Sort(plan.Uncut)
		fit = slices.DeleteFunc(fit, func(i int) bool { return slices.Contains(plan.Uncut, i) })
		others := newProblem(cuts, fit, s)
		anew, bound := others.solve()
		others.tidy(&anew)
		lower = bound
		bins = slices.DeleteFunc(bins, func(b bin) bool { return p.kinds[b.kind].uncut })
		if len(others.uncut(anew)) == 0 && others.priceAll(anew) <= p.priceAll(bins) {
			p, bins = others, anew
		}
	}
	p.write(&plan, bins, s)
	plan.Lower = min(p.bought(lower, s), plan.Bought)
	plan.Optimal = plan.Lower == plan.Bought
	return plan, nil
}

// uncut returns the pieces that a plan leaves out.
func (p *problem) uncut(bins []bin) (left []int) {
	taken := make([]int, len(p.who))
	for _, b := range bins {
		if !p.kinds[b.kind].uncut {
			continue
		}
		for i, n := range b.pattern {
			left = append(left, p.who[i][taken[i]:taken[i]+n]...)
			taken[i] += n
		}
	}
	for i, n := range taken { // the others come after them
		p.who[i] = append(slices.Clone(p.who[i][n:]), p.who[i][:n]...)
	}
	return left
}

// write turns bins into lengths of wire.
func (p *problem) write(plan *Plan, bins []bin, s Supply) {
	add := func(hand int, length unit.Length, cuts []int) {
		st := Stock{OnHand: hand, Length: length, Cuts: cuts, Left: length}
		for _, c := range cuts {
			st.Left -= p.cuts[c] + s.Kerf
		}
		st.Left = max(st.Left, 0) // the last cut may be the end of the stock
		if st.Kept = st.Left > 0 && st.Left >= s.Useful; !st.Kept {
			plan.Scrap += st.Left
		}
		if hand < 0 {
			plan.Bought += length
		}
		plan.Stocks = append(plan.Stocks, st)
	}
	taken := make([]bool, len(s.OnHand))
	var metre []int
	for _, b := range bins {
		k := p.kinds[b.kind]
		cuts := p.take(b.pattern)
		switch {
		case k.metre:
			metre = append(metre, cuts...)
		case k.limited:
			for i, l := range s.OnHand {
				if l == k.length && !taken[i] {
					taken[i] = true
					add(i, l, cuts)
					break
				}
			}
		default:
			add(-1, k.length, cuts)
		}
	}
	if len(metre) > 0 {
		slices.SortStableFunc(metre, func(a, b int) int { return int(p.cuts[b] - p.cuts[a]) })
		var sum unit.Length
		for _, c := range metre {
			sum += p.cuts[c] + s.Kerf
		}
		add(-1, (sum - s.Kerf).RoundUp(s.Step), metre)
	}
	sorting.By(plan.Stocks, func(a, b Stock) int {
		switch {
		case (a.OnHand < 0) != (b.OnHand < 0):
			return b.OnHand - a.OnHand
		case a.OnHand >= 0:
			return a.OnHand - b.OnHand
		case a.Length != b.Length:
			return int(b.Length - a.Length)
		}
		return a.Cuts[0] - b.Cuts[0]
	})
}

// bought turns a bound in the costs of the problem into the length that is bought at least.
func (p *problem) bought(lower int, s Supply) unit.Length {
	if lower <= 0 {
		return 0
	}
	if len(s.Spools) > 0 {
		return unit.Length(lower) * p.money
	}
	return max(unit.Length(lower)*p.money-s.Kerf, 1).RoundUp(s.Step)
}
