package board

import "math"

// The measures of placing, in mm and parts of a turn. Source: our choice, by looking at boards of 10 to 80 runs.
const (
	Rim        = 30.0 // from the edge of the bench to any line
	directions = 24   // of lines, 15 degrees apart, the least angle between two at a place
	follow     = 0.1
	foldWide   = 40.0  // between the passes of a fold, at least
	stretch    = 25.0  // of a folded line, each at least
	roomNear   = 150.0 // wanted round the place where a branch splits up
	tipNear    = 60.0  // wanted round an end
)

// stretched is one straight stretch of a line that lies already.
type stretched struct {
	a, b     Point
	run      int     // the place that its run leads to
	from, to float64 // along the run
}

// attempt is a layout that is being made.
type attempt struct {
	*shape
	bench   Bench
	clear   float64 // between lines that are far from each other along the harness
	noise   float64
	random  random
	dirs    []Point
	at      []Point
	lines   [][]Point
	heading []int   // by place: the direction of the line that leads there
	used    [][]int // by place: the directions in which lines leave it, the one back included
	laid    []stretched
	cost    float64
	way     []float64 // by place: how far along the harness it is from where a run begins that is being placed
}

// try lays everything on a bench, or gives up at a run: then it returns the place that run leads to. Branches with more
// urgency are placed before others.
func (s *shape) try(bench Bench, clear float64, start int, noise float64, urgent []int) (laid *attempt, stuck int) {
	n := len(s.Parent)
	a := &attempt{shape: s, bench: bench, clear: clear, noise: noise, random: random(start + 1), at: make([]Point, n), lines: make([][]Point, n),
		heading: make([]int, n), used: make([][]int, n), way: make([]float64, n)}
	// One place with many runs takes finer directions.
	turns := max(directions, s.most+2)
	for i := range turns {
		y, x := math.Sincos(2 * math.Pi * float64(i) / float64(turns))
		a.dirs = append(a.dirs, Point{x, y})
	}
	for i, root := range s.roots {
		if !a.begin(root, i == 0, start) {
			return nil, root
		}
		// The trunk first, then the branches, the large ones before the small ones; each with its own trunk.
		open := []int{}
		grow := func(from int) (stuck int) {
			for at := from; ; at = s.children[at][0] {
				if at != root && !a.place(at) {
					return at
				}
				if len(s.children[at]) == 0 {
					return none
				}
				open = append(open, s.children[at][1:]...)
			}
		}
		for next := root; ; {
			if stuck := grow(next); stuck != none {
				return nil, stuck
			}
			if len(open) == 0 {
				break
			}
			best := 0
			for i := range open {
				if u, v := urgent[open[i]], urgent[open[best]]; u > v || u == v && s.before(open[i], open[best]) {
					best = i
				}
			}
			next = open[best]
			open = append(open[:best], open[best+1:]...)
		}
	}
	return a, none
}

// none is no place.
const none = -1

// before reports which of two branches is placed first: those that split up, then the larger.
func (s *shape) before(a, b int) bool {
	if on := len(s.children[a]) > 0; on != (len(s.children[b]) > 0) {
		return on
	}
	return s.larger(a, b)
}

// starts is where the first place of a harness is tried, as parts of the bench.
var starts = [...]Point{{0, 0.5}, {0, 0.3}, {0, 0.7}, {0.5, 0.5}, {0, 0.12}, {0, 0.88}, {0.25, 0.5}, {0.5, 0.25}}

// begin finds the place where a tree begins.
func (a *attempt) begin(root int, first bool, start int) bool {
	wide, high := a.bench.Width-2*Rim, a.bench.Height-2*Rim
	if wide < 0 || high < 0 {
		return false
	}
	point := func(p Point) Point { return Point{Rim + p.X*wide, Rim + p.Y*high} }
	if first {
		a.at[root] = point(starts[start%len(starts)])
		return true
	}
	const across, down = 24, 12
	best, found := 0.0, false
	for i := range across + 1 {
		for j := range down + 1 {
			p := point(Point{float64(i) / across, float64(j) / down})
			near := a.near(p, roomNear)
			if near < a.clear {
				continue
			}
			for k := 0; k < 4; k++ {
				d := k * len(a.dirs) / 4
				score := 2*near/roomNear + a.ahead(p, a.dirs[d], a.reach[root])/max(1, a.reach[root]) + a.noise*a.random.unit()
				if !found || score > best {
					best, found = score, true
					a.at[root], a.heading[root] = p, d
				}
			}
		}
	}
	return found
}

// near returns how far a point is from everything, most at most.
func (a *attempt) near(p Point, most float64) float64 {
	d := min(most, min(min(p.X, a.bench.Width-p.X), min(p.Y, a.bench.Height-p.Y)))
	for i := range a.laid {
		l := &a.laid[i]
		if min(l.a.X, l.b.X)-p.X > d || p.X-max(l.a.X, l.b.X) > d || min(l.a.Y, l.b.Y)-p.Y > d || p.Y-max(l.a.Y, l.b.Y) > d {
			continue
		}
		d = min(d, fromSegment(p, l.a, l.b))
	}
	return d
}

// ahead returns how far it is from a point in a direction to the first line or the rim, most at most.
func (a *attempt) ahead(p, dir Point, most float64) float64 {
	edge := func(at, by, low, high float64) float64 {
		switch {
		case by > 1e-9:
			return (high - at) / by
		case by < -1e-9:
			return (low - at) / by
		}
		return most
	}
	d := min(most, min(edge(p.X, dir.X, Rim, a.bench.Width-Rim), edge(p.Y, dir.Y, Rim, a.bench.Height-Rim)))
	for i := range a.laid {
		l := &a.laid[i]
		s := l.b.minus(l.a)
		under := dir.cross(s)
		if under == 0 {
			continue
		}
		to := l.a.minus(p)
		t, u := to.cross(s)/under, to.cross(dir)/under
		if t > 1e-6 && t < d && u >= 0 && u <= 1 {
			d = t
		}
	}
	return max(0, d)
}

// gap is how many directions two directions are apart.
func (a *attempt) gap(d, e int) int {
	g := (d - e) % len(a.dirs)
	if g < 0 {
		g += len(a.dirs)
	}
	return min(g, len(a.dirs)-g)
}

// turned returns a direction so many steps on.
func (a *attempt) turned(d, by int) int { return ((d+by)%len(a.dirs) + len(a.dirs)) % len(a.dirs) }

// measure works out how far along the harness every place is from one.
func (a *attempt) measure(from int) {
	for i := range a.way {
		a.way[i] = -1
	}
	for at := from; at >= 0; at = a.Parent[at] {
		a.way[at] = a.depth[from] - a.depth[at]
	}
	for i, p := range a.Parent {
		switch {
		case a.way[i] >= 0:
		case p < 0:
			a.way[i] = math.Inf(1)
		default:
			a.way[i] = a.way[p] + a.Length[i]
		}
	}
}

// free reports whether a stretch may lie from p to q, which begins so far along a new run.
func (a *attempt) free(p, q Point, begins float64) bool {
	low, right, bottom := Rim-1e-9, a.bench.Width-Rim+1e-9, a.bench.Height-Rim+1e-9
	if q.X < low || q.Y < low || q.X > right || q.Y > bottom {
		return false
	}
	for i := range a.laid {
		l := &a.laid[i]
		far := a.way[l.run] + a.Length[l.run] - l.to
		if up := a.Parent[l.run]; up >= 0 {
			far = min(far, a.way[up]+l.from)
		}
		far += begins
		if far == 0 {
			continue // both begin at one place, in two directions
		}
		need := min(a.clear, follow*far)
		if apart(p, q, l.a, l.b, need) < need {
			return false
		}
	}
	return true
}

// option is a way to lay a run.
type option struct {
	line []Point
	last int // its last direction
	cost float64
}

// place lays the run that leads to a place.
func (a *attempt) place(to int) bool {
	from := a.Parent[to]
	a.measure(from)
	best := option{cost: math.Inf(1)}
	offer := func(o option) {
		if o.cost += a.noise * a.random.unit(); o.cost < best.cost && a.lies(o.line) {
			best = o
		}
	}
	a.straight(from, to, offer)
	if best.line == nil {
		a.bent(from, to, offer)
	}
	if best.line == nil {
		a.folded(from, to, offer)
	}
	if best.line == nil {
		return false
	}
	a.cost += best.cost
	a.lay(to, best)
	return true
}

// lies reports whether a whole line is free.
func (a *attempt) lies(line []Point) bool {
	begins := 0.0
	for i := 1; i < len(line); i++ {
		if !a.free(line[i-1], line[i], begins) {
			return false
		}
		begins += line[i].minus(line[i-1]).length()
	}
	return true
}

func (a *attempt) lay(to int, o option) {
	from := a.Parent[to]
	a.lines[to], a.at[to], a.heading[to] = o.line, o.line[len(o.line)-1], o.last
	along := 0.0
	for i := 1; i < len(o.line); i++ {
		l := stretched{a: o.line[i-1], b: o.line[i], run: to, from: along}
		along += l.b.minus(l.a).length()
		l.to = along
		if i == len(o.line)-1 {
			l.to = a.Length[to]
		}
		a.laid = append(a.laid, l)
	}
	a.used[from] = append(a.used[from], a.toward(o.line[1].minus(o.line[0])))
	a.used[to] = append(a.used[to], a.turned(o.last, len(a.dirs)/2))
}

// toward returns the direction of a line.
func (a *attempt) toward(v Point) int {
	best := 0
	for i, d := range a.dirs {
		if d.dot(v) > a.dirs[best].dot(v) {
			best = i
		}
	}
	return best
}

// apartAt returns how many steps a direction is from those taken at a place.
func (a *attempt) apartAt(place, d int) int {
	g := len(a.dirs)
	for _, u := range a.used[place] {
		g = min(g, a.gap(u, d))
	}
	return g
}
