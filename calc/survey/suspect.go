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

// mostWrong is how many wrong readings are looked for in runs that readings tie together. Source: our choice; after
// that many, all of it is read again.
const mostWrong = 8

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
	for i := range l.net.parts {
		h := l.hunt(&l.net.parts[i])
		set, w := h.lead()
		if len(set) > 0 && (!ok || w > s.W*(1+1e-9)) {
			s, ok = h.name(set, w), true
		}
	}
	return s, ok
}

// search looks for wrong readings in every part.
func (l *Lengths) search() (all []Suspicion) {
	for i := range l.net.parts {
		h := l.hunt(&l.net.parts[i])
		for range mostWrong {
			set, w := h.lead()
			if len(set) == 0 || w <= Critical {
				break
			}
			all = append(all, h.name(set, w))
			h.leaveOut(set[0])
		}
	}
	byNumber(all, func(s Suspicion) float64 { return s.W })
	return all
}

// hunt is a part as it would be without some of its readings.
type hunt struct {
	l    *Lengths
	p    *part
	x    []float64 // by slot, mm, what leaving readings out adds to the lengths
	q    []float64
	own  bool // q is a copy
	left []bool
	v, r []float64 // residual in mm and redundancy, by place in p.obs
}

func (l *Lengths) hunt(p *part) *hunt {
	h := &hunt{l: l, p: p, q: p.q, x: make([]float64, len(p.cols)), left: make([]bool, len(p.obs))}
	h.v, h.r = make([]float64, len(p.obs)), make([]float64, len(p.obs))
	for k, i := range p.obs {
		h.v[k], h.r[k] = l.residual(l.net.obs[i]), l.net.obs[i].redundancy
	}
	return h
}

func (h *hunt) obs(k int) *observation { return h.l.net.obs[h.p.obs[k]] }

// w is the standardised residual; 0 of one that nothing checks.
func (h *hunt) w(k int) float64 {
	if h.left[k] || h.r[k] <= unchecked {
		return 0
	}
	return math.Abs(h.v[k]) / (h.obs(k).sigma * math.Sqrt(h.r[k]))
}

// cov is the covariance of two sums of columns of the part, in mm².
func (h *hunt) cov(a, b []share) (sum float64) {
	slot, n := h.l.net.slot, len(h.p.cols)
	for _, s := range a {
		row := h.q[slot[s.col]*n:]
		for _, t := range b {
			sum += float64(s.n*t.n) * row[slot[t.col]]
		}
	}
	return sum
}

// lead returns the places of the readings that are most likely wrong and cannot be told apart, with the greatest
// standardised residual among them; none if no reading checks another. A reading is one of them if its residual is alike
// and if, without the first of them, it fits.
func (h *hunt) lead() (set []int, w float64) {
	first := -1
	for k := range h.p.obs {
		if x := h.w(k); x > w*(1+1e-9) {
			first, w = k, x
		}
	}
	if first < 0 {
		return nil, 0
	}
	a := h.obs(first)
	f := a.weight() / h.r[first]
	for k := range h.p.obs {
		x := h.w(k)
		if x == 0 || w*w-x*x > Alike {
			continue
		}
		if k != first {
			o := h.obs(k)
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

// leaveOut takes a reading out of the part.
func (h *hunt) leaveOut(k int) {
	o, n := h.obs(k), len(h.p.cols)
	if !h.own {
		h.q, h.own = slices.Clone(h.q), true
	}
	f := o.weight() / h.r[k]
	v := h.v[k]
	g := make([]float64, n)
	for _, s := range o.act {
		row := h.q[h.l.net.slot[s.col]*n:]
		add(g, float64(s.n), row[:n])
	}
	for i, x := range g {
		add(h.q[i*n:(i+1)*n], f*x, g)
	}
	add(h.x, f*v, g)
	h.left[k] = true
	for j := range h.p.obs {
		other := h.obs(j)
		c := 0.0
		for _, s := range other.act {
			c += float64(s.n) * g[h.l.net.slot[s.col]]
		}
		h.v[j] += c * f * v
		h.r[j] = max(0, h.r[j]-other.weight()*c*c*f)
	}
}

// name puts a set of readings into a suspicion.
func (h *hunt) name(set []int, w float64) Suspicion {
	first := h.obs(set[0])
	s := Suspicion{Runs: first.runs, W: w, Gross: nearest(-h.v[set[0]] / h.r[set[0]])}
	for _, k := range set {
		s.Readings = append(s.Readings, h.obs(k).reading)
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
