package board

import "math"

// Bench is the size of a bench in mm.
type Bench struct{ Width, Height float64 }

// Layout is a harness laid flat.
type Layout struct {
	Bench Bench     // it is laid on: the one asked for if it fits, else Need
	Fits  bool      // on the bench asked for
	Need  Bench     // that this layout takes, its rim included
	At    []Point   // by place
	Lines [][]Point // by place: the run that leads there; nil where a tree begins
	Bends int       // in all lines
	Sharp float64   // the least angle between two lines at a place, in degrees; 180 where no place has two
	Clear float64   // lines are at least so far apart, but for those that follow each other along the harness
}

// Lay lays trees on a bench: no two lines touch but where they are joined, each is exactly as long as its run, all keep
// the Rim of the bench. A line is straight where it can be, else bent once, else folded. Angles at a place are at least 15
// degrees, unless more than 22 runs meet there.
//
// What does not fit is laid on the smallest larger bench, of about the same shape, on which it was found to fit; as a last
// resort in straight lines on as large a bench as that takes, with angles that may be smaller. The same tree and bench give
// the same layout. Cost: the square of the runs, times the layouts tried, of which there are at most some hundred.
func Lay(t Tree, bench Bench) (Layout, error) {
	if err := t.check(); err != nil {
		return Layout{}, err
	}
	s := shapeOf(t)
	for _, clear := range [...]float64{30, 20, 12, 6} {
		if a := s.best(bench, clear, 3*len(starts)); a != nil {
			return a.layout(bench), nil
		}
	}
	// Anything may be asked for as a bench; begin with one on which the longest run goes once.
	longest := 4 * Rim
	for i, p := range t.Parent {
		if p >= 0 {
			longest = max(longest, t.Length[i]/4+2*Rim)
		}
	}
	larger := Bench{max(bench.Width, 4*Rim), max(bench.Height, 4*Rim)}
	if !(bench.Width < math.Inf(1)) || !(bench.Height < math.Inf(1)) {
		larger = Bench{longest, longest}
	}
	const tries, growth = 24, 1.15
	for range tries {
		larger.Width, larger.Height = larger.Width*growth, larger.Height*growth
		if larger.Width*larger.Height < longest*longest {
			continue
		}
		if a := s.best(larger, 12, 3); a != nil {
			return a.layout(bench), nil
		}
	}
	l := Layout{}
	l.Lines, l.At = s.wedges()
	l.settle(s, bench)
	return l, nil
}

// best tries some layouts and returns the one that reads best, nil if none fits. What could not be placed is placed earlier
// the next time.
//
// Source: squeaky wheel optimisation, Joslin and Clements, Journal of Artificial Intelligence Research 10, 1999.
func (s *shape) best(bench Bench, clear float64, tries int) *attempt {
	var best *attempt
	urgent := make([]int, len(s.Parent))
	for i := range tries {
		noise := 0.0
		if i >= len(starts) {
			noise = 1.5
		}
		a, stuck := s.try(bench, clear, i, noise, urgent)
		for ; stuck != none; stuck = s.Parent[stuck] {
			urgent[stuck]++
		}
		if a != nil && (best == nil || a.cost < best.cost) {
			best = a
		}
	}
	return best
}

func (a *attempt) layout(asked Bench) Layout {
	l := Layout{At: a.at, Lines: a.lines, Clear: a.clear}
	l.settle(a.shape, asked)
	return l
}

// settle moves a layout to where it lies and measures it.
func (l *Layout) settle(s *shape, asked Bench) {
	low, high := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	include := func(p Point) {
		low, high = Point{min(low.X, p.X), min(low.Y, p.Y)}, Point{max(high.X, p.X), max(high.Y, p.Y)}
	}
	for i, line := range l.Lines {
		include(l.At[i])
		for _, p := range line {
			include(p)
		}
		l.Bends += max(0, len(line)-2)
	}
	if len(l.At) == 0 {
		l.Bench, l.Fits, l.Sharp = asked, true, 180
		return
	}
	size := high.minus(low)
	l.Need = Bench{size.X + 2*Rim, size.Y + 2*Rim}
	const hair = 1e-6
	l.Fits = l.Need.Width <= asked.Width+hair && l.Need.Height <= asked.Height+hair
	l.Bench = l.Need
	to := Point{Rim, Rim}
	if l.Fits {
		l.Bench = asked
		to = Point{(asked.Width - size.X) / 2, (asked.Height - size.Y) / 2}
	}
	by := to.minus(low)
	for i := range l.At {
		l.At[i] = l.At[i].plus(by)
		for k := range l.Lines[i] {
			l.Lines[i][k] = l.Lines[i][k].plus(by)
		}
	}
	l.Sharp = l.sharpest(s)
}

// sharpest returns the least angle between two lines at a place, in degrees.
func (l *Layout) sharpest(s *shape) float64 {
	most := -1.0 // cosine
	for i := range l.At {
		var out []Point
		add := func(from, to Point) {
			d := to.minus(from)
			out = append(out, d.times(1/d.length()))
		}
		if line := l.Lines[i]; line != nil {
			add(line[len(line)-1], line[len(line)-2])
		}
		for _, c := range s.children[i] {
			add(l.Lines[c][0], l.Lines[c][1])
		}
		for k, d := range out {
			for _, e := range out[:k] {
				most = max(most, d.dot(e))
			}
		}
	}
	return math.Acos(max(-1, min(1, most))) * 180 / math.Pi
}
