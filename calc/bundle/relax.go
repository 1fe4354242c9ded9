package bundle

import "math"

// relaxer pushes overlapping circles apart in a container that wants to be small. A state is a slice of 2n+1 numbers: all
// x, all y, and the radius of the container, centred at 0. It minimises
//
//	radius + stiff/2 · Σ depth²
//
// over the depths to which circles overlap each other or the wall, by a quasi-Newton method.
//
// Source: L-BFGS, Nocedal and Wright, Numerical Optimization, 2nd ed., algorithm 7.4, with a backtracking line search
// (algorithm 3.1); multipliers as in their section 17.4.
type relaxer struct {
	n           int
	r           []float64 // radii, largest first
	pairs, kept []pair    // those close enough to touch soon
	upTo        []int     // where the pairs of each circle with those before it end
	wall        []float64 // multiplier of each circle against the wall
	at          []float64 // the state for which the pairs were gathered
	skin        float64   // pairs closer than this were gathered
	last        float64   // what is minimised, of the last relaxed state
	depth       float64   // Σ depth² of the last evaluation

	v, g, trial, grad, dir []float64
	s, y                   [memory][]float64
	rho, alpha             [memory]float64
	work                   int // what was spent: numbers looked at
}

type pair struct {
	i, j  int32
	reach float64 // the sum of the two radii
	held  float64 // multiplier: the force it carries
}

const memory = 4 // of the quasi-Newton method: our choice, more was not faster

func newRelaxer(r []float64) *relaxer {
	n := len(r)
	m := 2*n + 1
	e := &relaxer{n: n, r: r, upTo: make([]int, n), wall: make([]float64, n), at: make([]float64, m), v: make([]float64, m), g: make([]float64, m),
		trial: make([]float64, m), grad: make([]float64, m), dir: make([]float64, m)}
	for k := range e.s {
		e.s[k], e.y[k] = make([]float64, m), make([]float64, m)
	}
	return e
}

// gather lists the pairs within skin of touching. Those that carry a force keep it.
func (e *relaxer) gather(v []float64, skin float64) {
	e.kept = e.kept[:0]
	for _, p := range e.pairs {
		if p.held > 0 {
			e.kept = append(e.kept, p)
		}
	}
	kept := e.kept
	e.pairs, e.skin = e.pairs[:0], skin
	x, y := v[:e.n], v[e.n:2*e.n]
	for i := range x {
		xi, yi, ri := x[i], y[i], e.r[i]+skin
		for j := range i {
			dx, dy, reach := xi-x[j], yi-y[j], ri+e.r[j]
			if dx*dx+dy*dy >= reach*reach {
				continue
			}
			p := pair{i: int32(i), j: int32(j), reach: reach - skin}
			for len(kept) > 0 && (kept[0].i < p.i || kept[0].i == p.i && kept[0].j < p.j) {
				kept = kept[1:]
			}
			if len(kept) > 0 && kept[0].i == p.i && kept[0].j == p.j {
				p.held = kept[0].held
			}
			e.pairs = append(e.pairs, p)
		}
		e.upTo[i] = len(e.pairs)
	}
	copy(e.at, v)
	e.work += e.n * e.n / 2
}

// forget drops the forces.
func (e *relaxer) forget() {
	e.pairs = e.pairs[:0]
	clear(e.upTo)
	clear(e.wall)
}

// stale reports whether a pair that was not gathered could touch by now.
func (e *relaxer) stale(v []float64) bool {
	x, y, ax, ay := v[:e.n], v[e.n:2*e.n], e.at[:e.n], e.at[e.n:2*e.n]
	limit := e.skin * e.skin / 4
	for i := range x {
		dx, dy := x[i]-ax[i], y[i]-ay[i]
		if dx*dx+dy*dy > limit {
			return true
		}
	}
	return false
}

// value returns what is minimised, and its gradient in g.
func (e *relaxer) value(v, g []float64, stiff float64) float64 {
	n := e.n
	x, y, R := v[:n], v[n:2*n], v[2*n]
	gx, gy := g[:n], g[n:2*n]
	clear(g)
	sum, push := 0.0, 0.0
	soft := 1 / stiff
	from := 0
	for i, to := range e.upTo {
		xi, yi, pullX, pullY := x[i], y[i], 0.0, 0.0
		of := e.pairs[from:to]
		for k := range of {
			p := &of[k]
			j := p.j
			dx, dy := xi-x[j], yi-y[j]
			reach := p.reach + p.held*soft
			d2 := dx*dx + dy*dy
			if d2 >= reach*reach {
				continue
			}
			d := math.Sqrt(d2)
			if d < 1e-12 {
				dx, d = 1e-12, 1e-12
			}
			depth := reach - d
			sum += depth * depth
			f := stiff * depth / d
			pullX += f * dx
			pullY += f * dy
			gx[j] += f * dx
			gy[j] += f * dy
		}
		gx[i] -= pullX
		gy[i] -= pullY
		from = to
	}
	for i := range x {
		d2 := x[i]*x[i] + y[i]*y[i]
		room := R - e.r[i] - e.wall[i]*soft
		if room > 0 && d2 <= room*room {
			continue
		}
		d := math.Sqrt(d2)
		depth := d - room
		sum += depth * depth
		push += depth
		if d > 0 {
			f := stiff * depth / d
			gx[i] += f * x[i]
			gy[i] += f * y[i]
		}
	}
	g[2*n] = 1 - stiff*push
	e.depth = sum
	e.work += len(e.pairs) + 8*n // with what the method itself does with as many numbers
	return R + stiff/2*sum
}

// relax minimises from the state in v, in at most steps steps, until no component of the gradient is above tol. It gives
// up, and returns false, when it will hardly come below goal.
func (e *relaxer) relax(stiff, tol float64, steps int, goal float64) bool {
	const (
		every = 5   // steps between two looks at the goal
		ahead = 3.0 // it may still come down by so many times what it did since the last look
	)
	f := e.value(e.v, e.g, stiff)
	before, reached := f, true
	kept, next := 0, 0
	far := e.r[0] / 2
	for step := range steps {
		if step%every == every-1 {
			if f-ahead*(before-f) > goal {
				reached = false
				break
			}
			before = f
		}
		if longest(e.g) < tol {
			break
		}
		e.direction(kept, next, stiff)
		down := dot(e.dir, e.g)
		if down >= 0 { // the memory misleads
			kept = 0
			e.direction(kept, next, stiff)
			down = dot(e.dir, e.g)
		}
		t := 1.0
		if big := longest(e.dir); big > far {
			t = far / big
		}
		ft, ok := e.along(t, f, down, stiff)
		if !ok {
			if kept == 0 {
				break
			}
			kept = 0
			f = e.value(e.v, e.g, stiff)
			continue
		}
		s, y := e.s[next], e.y[next]
		copy(s, e.trial)
		add(s, -1, e.v)
		copy(y, e.grad)
		add(y, -1, e.g)
		if sy := dot(s, y); sy > 0 {
			e.rho[next] = 1 / sy
			next = (next + 1) % memory
			kept = min(kept+1, memory)
		}
		e.v, e.trial, e.g, e.grad = e.trial, e.v, e.grad, e.g
		f = ft
	}
	e.last = e.value(e.v, e.g, stiff)
	return reached
}

// along goes down the direction, at first by t of it, and leaves the new state in trial and its gradient in grad.
func (e *relaxer) along(t, f, down, stiff float64) (ft float64, ok bool) {
	const tries = 25
	for range tries {
		copy(e.trial, e.v)
		add(e.trial, t, e.dir)
		if e.stale(e.trial) {
			e.gather(e.trial, e.skin)
		}
		ft = e.value(e.trial, e.grad, stiff)
		if ft <= f+1e-4*t*down {
			return ft, true
		}
		q := -down / (2 * (ft - f - t*down)) * t // the minimum of the parabola through both, in parts of t
		t *= min(0.5, max(0.1, q))
	}
	return ft, false
}

// heading returns the radius that the last relaxed state would have without overlaps.
//
// Source: derived: with a force f = stiff · depth in each contact, closing it costs f²/stiff of radius to second order.
func (e *relaxer) heading(stiff float64) float64 { return e.v[2*e.n] + stiff*e.depth }

// direction fills dir with the way down that the memory suggests.
func (e *relaxer) direction(kept, next int, stiff float64) {
	dir := e.dir
	for k, x := range e.g {
		dir[k] = -x
	}
	for a := 1; a <= kept; a++ {
		k := (next - a + memory) % memory
		e.alpha[k] = e.rho[k] * dot(e.s[k], dir)
		add(dir, -e.alpha[k], e.y[k])
	}
	scale := 1 / stiff
	if kept > 0 {
		k := (next - 1 + memory) % memory
		scale = 1 / (e.rho[k] * dot(e.y[k], e.y[k]))
	}
	for k := range dir {
		dir[k] *= scale
	}
	for a := kept; a >= 1; a-- {
		k := (next - a + memory) % memory
		add(dir, e.alpha[k]-e.rho[k]*dot(e.y[k], dir), e.s[k])
	}
}
