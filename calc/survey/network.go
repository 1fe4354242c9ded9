package survey

import (
	"cmp"
	"math"
	"slices"

	"loomwright/calc/unit"
)

// share is how many times a column counts in a sum of runs.
type share struct {
	col int
	n   int64
}

// class is which readings go before which. A reading of a later class counts only where none before it settles its path,
// so it never moves a length that was measured.
type class int

// The classes.
const (
	measured class = iota // string, tape, drawing
	built                 // on the finished loom: how long that came out, not how long the way is
	guessed
)

// observation is a reading as the adjustment sees it: the sum of its shares is value and corner.
type observation struct {
	reading string
	runs    []string // passed, in order
	shares  []share  // by rising column
	value   unit.Length
	corner  unit.Length // added for the corners that a string was pulled round
	sigma   float64     // mm
	class   class
	later   int  // the greater, the later it was read
	out     bool // thrown out by a person
	aside   bool // set aside, because with it a run would be no longer than nothing

	used       bool
	act        []share // its shares of columns that have a row
	redundancy float64 // 0 where nothing else tells what it tells, to 1 where it tells nothing new
}

// weight is one over the variance, per mm².
func (o *observation) weight() float64 { return 1 / (o.sigma * o.sigma) }

// compare orders observations by what they say. The arithmetic goes in this order, so it comes out the same, to the last
// bit, in whatever order and under whatever names readings were put in.
func compare(a, b *observation) int {
	return cmp.Or(
		cmp.Compare(len(a.shares), len(b.shares)),
		slices.CompareFunc(a.shares, b.shares, func(x, y share) int { return cmp.Or(x.col-y.col, cmp.Compare(x.n, y.n)) }),
		cmp.Compare(a.value, b.value), cmp.Compare(a.sigma, b.sigma), cmp.Compare(a.class, b.class),
		cmp.Compare(a.reading, b.reading))
}

// unchecked is the redundancy under which a reading counts as the only one that tells what it tells. It is far above the
// rounding of the arithmetic, and far below that of any reading that another checks: the least is the ratio of two
// variances, 1/4 000 000.
const unchecked = 1e-8

// network is a set of observations: what they settle, and how well. It does not depend on their values.
type network struct {
	obs   []*observation // in the order of compare
	space *space
	slot  []int // by column: its place in its part
	part  []int // by column: its part; -1 of one without a row
	parts []part
}

// part is columns that observations tie together, with the inverse of their normal equations.
type part struct {
	cols []int
	obs  []int
	q    []float64 // len(cols)², mm²
}

// newNetwork works out what observations settle. Cost: n³/2 for n runs that readings tie together, and for each reading
// the square of the runs it passes.
func newNetwork(columns int, obs []*observation) *network {
	slices.SortFunc(obs, compare)
	n := &network{obs: obs, space: newSpace(columns), slot: make([]int, columns), part: make([]int, columns)}
	n.choose()
	n.tie()
	for i := range n.parts {
		n.normal(&n.parts[i])
	}
	for _, o := range n.obs {
		if o.used {
			o.redundancy = max(0, 1-n.cov(o.act, o.act)*o.weight())
		}
	}
	return n
}

// choose settles which observations are used: all that were measured, and of the others, class by class, those that tell
// what none before them told. Of two guesses the one of fewer runs goes first, then the later one.
func (n *network) choose() {
	for _, o := range n.obs {
		o.used = o.class == measured && !o.out && !o.aside
		if o.used {
			n.space.add(lineOf(o.shares))
		}
	}
	rest := slices.DeleteFunc(slices.Clone(n.obs), func(o *observation) bool { return o.class == measured || o.out || o.aside })
	slices.SortStableFunc(rest, func(a, b *observation) int {
		return cmp.Or(cmp.Compare(a.class, b.class), cmp.Compare(len(a.shares), len(b.shares)), cmp.Compare(b.later, a.later))
	})
	for _, o := range rest {
		o.used = n.space.add(lineOf(o.shares))
	}
	for _, o := range n.obs {
		o.act = n.active(o.shares)
	}
}

func lineOf(shares []share) line {
	l := make(line, len(shares))
	for i, s := range shares {
		l[i] = cell{s.col, residueOf(s.n)}
	}
	return l
}

// active returns the shares of columns that have a row. The others may be taken as zero: a sum that is settled has the
// same value whatever they are.
func (n *network) active(shares []share) []share {
	out := make([]share, 0, len(shares))
	for _, s := range shares {
		if n.space.row[s.col] != nil {
			out = append(out, s)
		}
	}
	return out
}

// tie parts the columns into those that observations tie together.
func (n *network) tie() {
	root := make([]int, len(n.part))
	for i := range root {
		root[i] = i
	}
	find := func(i int) int {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	for _, o := range n.obs {
		for _, s := range o.act {
			if a, b := find(o.act[0].col), find(s.col); o.used && a != b {
				root[max(a, b)] = min(a, b)
			}
		}
	}
	for c := range n.part {
		n.part[c] = -1
		if n.space.row[c] == nil {
			continue
		}
		r := find(c)
		if r == c {
			n.part[c] = len(n.parts)
			n.parts = append(n.parts, part{})
		}
		p := &n.parts[n.part[r]]
		n.part[c] = n.part[r]
		p.cols = append(p.cols, c)
	}
	ties := make([]int, len(n.part))
	for i, o := range n.obs {
		if o.used {
			p := &n.parts[n.part[o.act[0].col]]
			p.obs = append(p.obs, i)
			for _, s := range o.act {
				ties[s.col] += len(o.act) - 1
			}
		}
	}
	for i := range n.parts {
		cols := n.parts[i].cols
		slices.SortStableFunc(cols, func(a, b int) int { return ties[a] - ties[b] }) // few entries first: invert leaves fewer
		for slot, c := range cols {
			n.slot[c] = slot
		}
	}
}

// normal makes the normal equations of a part and inverts them.
//
// Source: Ghilani, Adjustment Computations, 6th ed., ch. 11 and 12 (weighted least squares; levelling networks).
func (n *network) normal(p *part) {
	k := len(p.cols)
	p.q = make([]float64, k*k)
	for _, i := range p.obs {
		o := n.obs[i]
		w := o.weight()
		for _, s := range o.act {
			for _, t := range o.act {
				p.q[n.slot[s.col]*k+n.slot[t.col]] += w * float64(s.n*t.n)
			}
		}
	}
	invert(p.q, k)
}

// cov returns the covariance of two settled sums, in mm²; both as active shares.
func (n *network) cov(a, b []share) (sum float64) {
	for _, s := range a {
		p := &n.parts[n.part[s.col]]
		row := p.q[n.slot[s.col]*len(p.cols):]
		for _, t := range b {
			if n.part[s.col] == n.part[t.col] {
				sum += float64(s.n*t.n) * row[n.slot[t.col]]
			}
		}
	}
	return sum
}

// gain returns, by slot, the covariance of each column of a part with a sum of its columns.
func (n *network) gain(p *part, a []share) []float64 {
	out := make([]float64, len(p.cols))
	for _, s := range a {
		row := p.q[n.slot[s.col]*len(p.cols):]
		add(out, float64(s.n), row[:len(out)])
	}
	return out
}

// value is a length in nanometres, exact in its whole part.
type value struct {
	whole int64
	rest  float64
}

// length returns whole nanometres, rounded up; what the arithmetic may be off by is not rounded up.
func (v value) length() unit.Length {
	near := math.Round(v.rest)
	if math.Abs(v.rest-near) > 1e-3 {
		near = math.Ceil(v.rest)
	}
	return unit.Length(v.whole + int64(near))
}

func (v value) mm() float64 { return (float64(v.whole) + v.rest) / float64(unit.Millimetre) }

// solve returns the adjusted length of each column, for what the observations read.
//
// What a first solution leaves is worked out in whole numbers and solved for again, so that lengths that readings settle
// without contradiction come out to the nanometre, and the others to about a thousandth of one.
func (n *network) solve(read func(*observation) unit.Length) []value {
	x := make([]value, len(n.part))
	for i := range n.parts {
		p := &n.parts[i]
		k := len(p.cols)
		step, right := make([]float64, k), make([]float64, k)
		for range 5 {
			clear(right)
			clear(step)
			for _, j := range p.obs {
				o := n.obs[j]
				left := int64(read(o))
				for _, s := range o.act {
					left -= s.n * x[s.col].whole
				}
				for _, s := range o.act {
					right[n.slot[s.col]] += o.weight() * float64(s.n) * float64(left)
				}
			}
			for c, f := range right {
				add(step, f, p.q[c*k:(c+1)*k])
			}
			still := true
			for c, col := range p.cols {
				near := math.Round(step[c])
				still = still && near == 0
				x[col].whole += int64(near)
				x[col].rest = step[c] - near
			}
			if still {
				break
			}
		}
	}
	return x
}

// sum adds up shares of columns.
func sum(shares []share, x []value) (v value) {
	for _, s := range shares {
		v.whole += s.n * x[s.col].whole
		v.rest += float64(s.n) * x[s.col].rest
	}
	return v
}
