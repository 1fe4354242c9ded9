package bundle

import "math"

// polish makes the state in v a packing without overlap, the tightest in its surroundings, and returns its radius. mean is the
// mean of the radii.
//
// Source: augmented Lagrangian, Nocedal and Wright, Numerical Optimization, 2nd ed., framework 17.3: the forces become
// multipliers, so that the depths vanish without endless stiffness.
func (e *relaxer) polish(mean float64) float64 {
	e.forget()
	e.gather(e.v, mean)
	e.relax(polishStiff/10, 1e-4, 100, math.Inf(1))
	e.gather(e.v, mean/2)
	tol := 1e-4
	for range polishRounds {
		e.relax(polishStiff, tol, 100, math.Inf(1))
		e.hold(polishStiff)
		tol /= 10
	}
	return e.tight()
}

// Our choice: tight to about 1e-8 of the radius.
const (
	polishStiff  = 1000
	polishRounds = 5
)

// hold turns the forces into multipliers.
func (e *relaxer) hold(stiff float64) {
	x, y, R := e.v[:e.n], e.v[e.n:2*e.n], e.v[2*e.n]
	for k := range e.pairs {
		p := &e.pairs[k]
		p.held = max(0, p.held+stiff*(p.reach-math.Hypot(x[p.i]-x[p.j], y[p.i]-y[p.j])))
	}
	for i := range x {
		e.wall[i] = max(0, e.wall[i]+stiff*(math.Hypot(x[i], y[i])+e.r[i]-R))
	}
}

// tight scales the positions until the closest two just touch, and returns the radius that holds all.
func (e *relaxer) tight() float64 {
	x, y := e.v[:e.n], e.v[e.n:2*e.n]
	e.v[2*e.n] = touch(x, y, e.r)
	return e.v[2*e.n]
}

// touch scales positions until the closest two circles just touch, and returns the radius around 0 that holds all.
func touch(x, y, r []float64) (R float64) {
	scale := 0.0
	for i := range x {
		for j := range i {
			scale = max(scale, (r[i]+r[j])/max(1e-9*(r[i]+r[j]), math.Hypot(x[i]-x[j], y[i]-y[j])))
		}
	}
	for i := range x {
		x[i] *= scale
		y[i] *= scale
		R = max(R, math.Hypot(x[i], y[i])+r[i])
	}
	return R
}
