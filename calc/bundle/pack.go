package bundle

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Point is a position in the cross-section, in the unit of the diameters.
type Point struct{ X, Y float64 }

// Packing is circles in a circle around 0. No two overlap and none leaves the circle by more than Tolerance × Diameter.
type Packing struct {
	Diameter float64
	Centres  []Point // of each circle, in the order of the diameters given
}

// Tolerance is how exact a packing is, in parts of its diameter.
const Tolerance = 1e-9

// Grade is how much is spent on a packing.
type Grade int

// The grades. Measured on equal, mixed and all-different circles: Rough is mostly within 5 %, Quick within 2 % and Thorough within
// 0.5 % of the best packing known; all-different circles by the dozen are the hardest, and Thorough within 1.5 % there.
const (
	Rough    Grade = iota // a first look at many runs at once
	Quick                 // what a screen waits for
	Thorough              // for print; see Search for doing it in pieces
)

// Work returns what a grade spends on circles of these diameters, in units of Search.Step: more for more circles, and more
// again where many sizes can change places.
//
// Source: our choice, because it holds the grades on the reference packings.
func (g Grade) Work(diameters []float64) int {
	sorted := slices.Sorted(slices.Values(diameters))
	kinds := len(slices.Compact(sorted))
	n := len(diameters)
	each := min(4*kinds+28, 112)
	if kinds > n/2 && kinds > 1 {
		each = 112
	}
	quick := min(n*each*1600, max(5_000_000, n*110_000))
	switch g {
	case Rough:
		return quick / 20
	case Thorough:
		if kinds > n/2 && kinds > 1 {
			return quick * 80
		}
		return quick * 40
	}
	return quick
}

// Pack puts circles of these diameters into the smallest circle it can find. The same diameters give the same diameter, in
// whatever order and unit they come, on every run. None, one, two and three circles are exact; more are searched for, and
// the result may be larger than the best there is, never smaller. It returns an error for a diameter that is not above zero.
//
// Cost: in proportion to the work of the grade; see BenchmarkPack.
func Pack(diameters []float64, grade Grade) (Packing, error) {
	s, err := NewSearch(diameters)
	if err != nil {
		return Packing{}, err
	}
	for g, spent := Rough, 0; g <= grade && !s.Exact(); g++ { // through the grades, so that a better one is never worse
		s.Step(g.Work(diameters) - spent)
		spent = g.Work(diameters)
	}
	return s.Packing(), nil
}

// Search packs one set of circles in steps, each as good as the last or better, so that a page can draw in between.
type Search struct {
	d     []float64 // as given
	order []int     // of d, largest first
	unit  float64   // of d in the unit of search
	exact Packing   // of up to three circles
	in    *search   // nil if exact
}

// NewSearch begins a search; its first packing comes with its first step. It returns an error for a diameter that is not
// above zero.
func NewSearch(diameters []float64) (*Search, error) {
	for i, d := range diameters {
		if !(d > 0) || math.IsInf(d, 1) {
			return nil, fmt.Errorf("bundle: circle %d: diameter %g is not above zero", i+1, d)
		}
	}
	s := &Search{d: slices.Clone(diameters), order: make([]int, len(diameters))}
	for i := range s.order {
		s.order[i] = i
	}
	slices.SortStableFunc(s.order, func(a, b int) int { return cmp.Compare(s.d[b], s.d[a]) })
	if len(diameters) <= 3 {
		s.exact = few(s.d, s.order)
		return s, nil
	}
	// Parts of the largest, rounded, so that the search goes the same way in every unit.
	const parts = 1 << 26
	r, squares := make([]float64, len(s.d)), 0.0
	top := s.d[s.order[0]]
	for k, i := range s.order {
		r[k] = max(1, math.Round(s.d[i]/top*parts)) / parts
		squares += r[k] * r[k]
	}
	const dense = 0.8 // the share of the container that is filled, roughly: with it the container is about 1
	scale := math.Sqrt(dense / squares)
	for k := range r {
		r[k] *= scale
	}
	s.unit = top / scale
	s.in = newSearch(r)
	return s, nil
}

// Exact reports whether the packing is the best there is, so that steps change nothing.
func (s *Search) Exact() bool { return s.in == nil }

// Step goes on searching until work is spent, about 4 ns each on a desktop and 10 ns in a browser, and reports whether the
// packing is better than before.
func (s *Search) Step(work int) bool {
	if s.in == nil {
		return false
	}
	was := s.in.bestR
	s.in.run(work)
	return s.in.bestR < was
}

// Packing returns the best so far; of more than three circles, nothing before the first step.
func (s *Search) Packing() Packing {
	if s.in == nil {
		return Packing{s.exact.Diameter, slices.Clone(s.exact.Centres)}
	}
	if math.IsInf(s.in.bestR, 1) {
		return Packing{}
	}
	n := len(s.d)
	x, y, r := make([]float64, n), make([]float64, n), make([]float64, n)
	for k, i := range s.order {
		x[k], y[k], r[k] = s.in.best[k]*s.unit/2, s.in.best[n+k]*s.unit/2, s.d[i]/2
	}
	p := Packing{Diameter: 2 * touch(x, y, r), Centres: make([]Point, n)}
	for k, i := range s.order {
		p.Centres[i] = Point{x[k], y[k]}
	}
	return p
}

// few packs up to three circles.
//
// Source: three that touch each other and the wall: Descartes' circle theorem, 1/R = 2√(ab+bc+ca) − (a+b+c) with
// a, b, c = 1/r. Where the third fits beside the two largest in line, it does not count.
func few(d []float64, order []int) Packing {
	p := Packing{Centres: make([]Point, len(d))}
	var r [3]float64
	for k, i := range order {
		r[k] = d[i] / 2
	}
	switch len(d) {
	case 0:
		return p
	case 1:
		p.Diameter = d[0]
		return p
	}
	R := r[0] + r[1]
	x0, x1 := r[0]-R, R-r[1]
	at := [3]Point{{x0, 0}, {x1, 0}}
	if len(d) == 3 {
		a, b, c := 1/r[0], 1/r[1], 1/r[2]
		if r[2] <= r[0]*r[1]*(r[0]+r[1])/(r[0]*r[0]+r[0]*r[1]+r[1]*r[1]) {
			at[2] = beside(at[0], at[1], r[0]+r[2], r[1]+r[2])
		} else {
			R = 1 / (2*math.Sqrt(a*b+b*c+c*a) - (a + b + c))
			at[0] = Point{r[0] - R, 0}
			at[1] = beside(Point{}, at[0], R-r[1], r[0]+r[1])
			at[2] = beside(Point{}, at[0], R-r[2], r[0]+r[2])
			at[2].Y = -at[2].Y
		}
	}
	p.Diameter = 2 * R
	for k, i := range order {
		p.Centres[i] = at[k]
	}
	return p
}

// beside returns the point at a distance of fromA from a and fromB from b, which lie on the x axis, above it.
func beside(a, b Point, fromA, fromB float64) Point {
	gap := b.X - a.X
	along := (fromA*fromA - fromB*fromB + gap*gap) / (2 * gap)
	return Point{a.X + along, math.Sqrt(max(0, fromA*fromA-along*along))}
}
