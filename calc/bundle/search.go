package bundle

import "math"

// search looks for ever tighter packings of one set of circles. It hops: change a good packing a little, let it settle
// while the circles are still soft, keep it if it is tighter or hardly looser; and begin anew where nothing helps any more.
//
// Source: basin hopping with exchanges of circles of similar size, after Grosso, Jamali, Locatelli, Schoen, Solving the
// problem of packing equal and unequal circles in a circular container, Journal of Global Optimization 47, 2010. That the
// hops are judged while soft is our choice: it was the better way at every time allowed.
type search struct {
	r     []float64 // radii, largest first, in parts that make the container about 1
	relax *relaxer
	rng   random
	equal bool // all of one size
	mean  float64

	now        []float64 // the soft packing that is being changed
	nowR, nowV float64   // the radius it is heading for, and what it is worth while soft
	top        []float64 // the best since the last beginning
	topR       float64
	starts     int
	stiff      float64
	stuck      int  // hops since then
	polished   bool // top has had its chance to be the best
	best       []float64
	bestR      float64 // without overlaps
}

// How the search goes about it: our choice, the best of those tried on the reference packings.
const (
	seed      = 163 // nothing special
	softTol   = 1e-2
	softSteps = 80
	patience  = 60   // hops without success before it begins anew
	near      = 3    // an exchange is with one of so many next smaller circles
	polishIn  = 1.02 // a soft packing may gain so much on another while it is polished
	warmEqual = 0.006
	warmMixed = 0.001 // how much looser a packing may be to be kept, at most
)

// stiffness of the circles in one beginning after the other, see relaxer; the container is 1. Mostly soft; but now and then
// the best packing is none of those that are best while soft.
var stiffness = [...]float64{7, 7, 7, 7, 30, 7, 100}

func newSearch(r []float64) *search {
	m := 2*len(r) + 1
	s := &search{r: r, relax: newRelaxer(r), rng: random(len(r) + seed), topR: math.Inf(1), bestR: math.Inf(1), polished: true,
		now: make([]float64, m), top: make([]float64, m), best: make([]float64, m), equal: r[0] == r[len(r)-1]}
	for _, r := range r {
		s.mean += r / float64(len(s.r))
	}
	return s
}

// run goes on until work is spent, and leaves the best so far in best.
func (s *search) run(work int) {
	for end := s.relax.work + work; s.relax.work < end; {
		s.hop()
	}
	s.finish()
}

// hop tries one change, or begins anew.
func (s *search) hop() {
	e, slack := s.relax, 0.0
	if math.IsInf(s.topR, 1) || s.stuck > patience {
		s.finish()
		s.scatter()
		s.stiff = stiffness[s.starts%len(stiffness)]
		s.starts++
		s.nowR, s.nowV, s.topR, s.stuck = math.Inf(1), math.Inf(1), math.Inf(1), 0
	} else {
		copy(e.v, s.now)
		s.change()
		slack = warmMixed * s.rng.unit() * s.rng.unit()
		if s.equal {
			slack *= warmEqual / warmMixed
		}
	}
	s.stuck++
	e.forget()
	e.gather(e.v, 0.7*s.mean)
	if !e.relax(s.stiff, softTol, softSteps, s.nowV+slack) {
		return
	}
	R := e.heading(s.stiff)
	if !(R <= s.nowR+slack-1e-7) {
		return
	}
	s.nowR, s.nowV = R, e.last
	copy(s.now, e.v)
	if R < s.topR {
		s.topR, s.stuck, s.polished = R, 0, false
		copy(s.top, e.v)
	}
}

// scatter puts the circles anywhere.
func (s *search) scatter() {
	v, n := s.relax.v, s.relax.n
	for i := range n {
		v[i], v[n+i] = s.anywhere(max(0.1, 1-s.r[i]))
	}
	v[2*n] = 1
}

// anywhere returns a point within a distance of the middle.
func (s *search) anywhere(within float64) (x, y float64) {
	sin, cos := math.Sincos(2 * math.Pi * s.rng.unit())
	d := within * math.Sqrt(s.rng.unit())
	return d * cos, d * sin
}

// change makes one change to the state in the relaxer: mostly two circles of similar size change places, sometimes two of
// any size, sometimes one jumps. Large circles change places more often, small ones jump more often.
func (s *search) change() {
	const similar, any, jump = 3.0, 0.3, 0.5 // how often
	n := s.relax.n
	if s.equal {
		s.jump(s.rng.below(n))
		return
	}
	i, j := min(s.rng.below(n), s.rng.below(n)), n
	switch pick := s.rng.unit() * (similar + any + jump); {
	case pick < similar:
		for j = i; j < n && s.r[j] == s.r[i]; j++ {
		}
		j += s.rng.below(near)
	case pick < similar+any:
		j = s.rng.below(n)
	}
	if j >= n || s.r[i] == s.r[j] {
		s.jump(max(s.rng.below(n), s.rng.below(n)))
		return
	}
	v := s.relax.v
	v[i], v[j], v[n+i], v[n+j] = v[j], v[i], v[n+j], v[n+i]
}

// jump puts circle i where there is most room of a few places.
func (s *search) jump(i int) {
	const places = 12
	v, n := s.relax.v, s.relax.n
	R := v[2*n]
	atX, atY, most := v[i], v[n+i], math.Inf(-1)
	for range places {
		x, y := s.anywhere(R)
		room := R - math.Sqrt(x*x+y*y)
		for j := range n {
			dx, dy, reach := v[j]-x, v[n+j]-y, room+s.r[j]
			if d := dx*dx + dy*dy; j != i && d < reach*reach {
				room = math.Sqrt(d) - s.r[j]
			}
		}
		if room > most {
			most, atX, atY = room, x, y
		}
	}
	v[i], v[n+i] = atX, atY
	s.relax.work += places * n
}

// finish polishes the best since the last beginning, if it can be the best of all.
func (s *search) finish() {
	if s.polished || s.topR > s.bestR*polishIn {
		return
	}
	s.polished = true
	copy(s.relax.v, s.top)
	if R := s.relax.polish(s.mean); R < s.bestR {
		s.bestR = R
		copy(s.best, s.relax.v)
	}
}
