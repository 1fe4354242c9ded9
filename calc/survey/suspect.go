package survey

import (
	"math"
	"slices"

	"loomwright/calc/unit"
)

// The bounds of the search for a wrong reading.
//
// Source: Baarda, A Testing Procedure for Use in Geodetic Networks (1968): each standardised residual against 3.29, which
// chance passes once in a thousand. Likelihood: two readings whose squared standardised residuals differ by less than
// 3.84 cannot be told apart with 95 in 100 (the quantile of chi-square of one degree of freedom).
const (
	Critical = 3.2905
	Alike    = 3.8415
)

// mostWrong is how many wrong readings are looked for. Source: our choice; where there are more, all of it is read again.
const mostWrong = 12

// Suspicion is a reading that is most likely wrong, or a set of readings one of which is.
type Suspicion struct {
	Readings []string    // those the data cannot tell apart, the most likely first
	Runs     []string    // what Readings[0] passes, in order
	W        float64     // standardised residual of Readings[0], when those named before it are left out
	Gross    unit.Length // how much too much Readings[0] says, if it is the wrong one
	Settle   []string    // the runs to read once more, in one reading from end to end, that tells most of them apart
	Leaves   int         // how many of Readings are left in doubt after that, at worst
}

// Significant reports whether it is more than chance.
func (s Suspicion) Significant() bool { return s.W > Critical }

// Suspicions returns the readings that are most likely wrong, the worst first. Each is looked for as if the first of
// every suspicion before it were thrown out; but none is: that is for a person to do.
//
// Source: Baarda (1968), iterative data snooping.
func (l *Lengths) Suspicions() []Suspicion { return l.doubts }

// MostLikely returns the reading that would be the first suspect even if it fits; ok is false if no reading checks
// another.
func (l *Lengths) MostLikely() (s Suspicion, ok bool) {
	h := l.hunt()
	set, w := h.lead()
	if len(set) == 0 {
		return s, false
	}
	return h.name(set, w), true
}

// search looks for wrong readings.
func (l *Lengths) search() (all []Suspicion) {
	h := l.hunt()
	for range mostWrong {
		set, w := h.lead()
		if w <= Critical {
			break
		}
		all = append(all, h.name(set, w))
		h.leaveOut(set[0])
	}
	return all
}

// hunt is the network as it would be without some of its readings.
type hunt struct {
	l    *Lengths
	n    *network
	q    [][]float64 // by part, as there; a part that lost a reading has a copy
	own  []bool      // by part: q is a copy
	x    []float64   // by column, mm: what leaving readings out adds to the lengths
	left []bool      // by observation
	v, r []float64   // residual in mm and redundancy, by observation
}

func (l *Lengths) hunt() *hunt {
	n := l.net
	h := &hunt{l: l, n: n, q: make([][]float64, len(n.parts)), own: make([]bool, len(n.parts)), x: make([]float64, len(n.part)),
		left: make([]bool, len(n.obs)), v: make([]float64, len(n.obs)), r: make([]float64, len(n.obs))}
	for i := range n.parts {
		h.q[i] = n.parts[i].q
	}
	for k, o := range n.obs {
		if o.used {
			h.v[k], h.r[k] = l.residual(o), o.redundancy
		}
	}
	return h
}

// w is the standardised residual; 0 of one that nothing checks.
func (h *hunt) w(k int) float64 {
	if h.left[k] || h.r[k] <= unchecked {
		return 0
	}
	return math.Abs(h.v[k]) / (h.n.obs[k].sigma * math.Sqrt(h.r[k]))
}

// cov is the covariance of two settled sums, in mm².
func (h *hunt) cov(a, b []share) (sum float64) {
	for _, s := range a {
		i := h.n.part[s.col]
		row := h.q[i][h.n.slot[s.col]*len(h.n.parts[i].cols):]
		for _, t := range b {
			if h.n.part[t.col] == i {
				sum += float64(s.n*t.n) * row[h.n.slot[t.col]]
			}
		}
	}
	return sum
}

// lead returns the readings that are most likely wrong and cannot be told apart, with the greatest standardised residual
// among them; none if no reading checks another. A reading is one of them if its residual is alike and if, without the
// first of them, it fits.
func (h *hunt) lead() (set []int, w float64) {
	first := -1
	for k := range h.n.obs {
		if x := h.w(k); x > w*(1+1e-9) {
			first, w = k, x
		}
	}
	if first < 0 {
		return nil, 0
	}
	a := h.n.obs[first]
	f := a.weight() / h.r[first]
	for k, o := range h.n.obs {
		x := h.w(k)
		if x == 0 || w*w-x*x > Alike {
			continue
		}
		if k != first {
			c := h.cov(o.act, a.act)
			v := h.v[k] + c*f*h.v[first]
			r := h.r[k] - o.weight()*c*c*f
			if r > unchecked && math.Abs(v) > Critical*o.sigma*math.Sqrt(r) {
				continue
			}
		}
		set = append(set, k)
	}
	byNumber(set, h.w)
	return set, w
}

// leaveOut takes a reading out. Cost: the square of the columns of its part, and the runs that the readings there pass.
func (h *hunt) leaveOut(k int) {
	o := h.n.obs[k]
	i := h.n.part[o.act[0].col]
	p := &h.n.parts[i]
	n := len(p.cols)
	if !h.own[i] {
		h.q[i], h.own[i] = slices.Clone(h.q[i]), true
	}
	f, v := o.weight()/h.r[k], h.v[k]
	g := make([]float64, n)
	for _, s := range o.act {
		add(g, float64(s.n), h.q[i][h.n.slot[s.col]*n:][:n])
	}
	for c, x := range g {
		add(h.q[i][c*n:(c+1)*n], f*x, g)
		h.x[p.cols[c]] += f * v * x
	}
	h.left[k] = true
	for _, j := range p.obs {
		other := h.n.obs[j]
		c := 0.0
		for _, s := range other.act {
			c += float64(s.n) * g[h.n.slot[s.col]]
		}
		h.v[j] += c * f * v
		h.r[j] = max(0, h.r[j]-other.weight()*c*c*f)
	}
}

// name puts a set of readings into a suspicion.
func (h *hunt) name(set []int, w float64) Suspicion {
	s := Suspicion{Runs: h.n.obs[set[0]].runs, W: w, Gross: nearest(-h.v[set[0]] / h.r[set[0]])}
	for _, k := range set {
		s.Readings = append(s.Readings, h.n.obs[k].reading)
	}
	s.Settle, s.Leaves = h.settle(set)
	return s
}

// frail returns the columns that a reading which nothing checks has a part in.
func (l *Lengths) frail() map[int]bool {
	frail := map[int]bool{}
	for i := range l.net.parts {
		p := &l.net.parts[i]
		for _, j := range p.obs {
			o := l.net.obs[j]
			if o.redundancy > unchecked {
				continue
			}
			for k, g := range l.net.gain(p, o.act) {
				if g *= o.weight(); g > 1e-9 || g < -1e-9 {
					frail[p.cols[k]] = true
				}
			}
		}
	}
	return frail
}

// quality grades a run whose length is known.
func (l *Lengths) quality(run string, act []share, guess bool, frail map[int]bool) Quality {
	if guess {
		return Guessed
	}
	if l.disputed[run] {
		return Disagreeing
	}
	for _, s := range act {
		if frail[s.col] {
			return Once
		}
	}
	return Checked
}

// dispute notes the runs that suspected readings pass, and those of readings that were set aside.
func (l *Lengths) dispute() {
	bad := map[string]bool{}
	for _, s := range l.doubts {
		for _, id := range s.Readings {
			bad[id] = true
		}
	}
	l.disputed = map[string]bool{}
	for _, o := range l.net.obs {
		if o.aside || bad[o.reading] {
			for _, run := range o.runs {
				l.disputed[run] = true
			}
		}
	}
}
