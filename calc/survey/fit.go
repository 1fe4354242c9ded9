package survey

import (
	"math"
	"slices"

	"loomwright/calc/unit"
)

// Use is what part a reading has in the lengths.
type Use string

// The uses. A reading that says nothing about the runs there are is in Unused instead.
const (
	Used      Use = "used"
	NotNeeded Use = "not needed" // a guess or an as-built reading of what others settle
	ThrownOut Use = "thrown out" // by a person
	SetAside  Use = "set aside"  // with it a run would be no longer than nothing
)

// Fit is a reading beside what the adjustment makes of its path.
type Fit struct {
	Reading    string
	Runs       []string // the runs it passes, in order
	Use        Use
	Guess      bool
	Read       unit.Length // as read
	Corners    unit.Length // what is added for the corners that the string was pulled round
	Sigma      unit.Length // standard deviation of the reading
	Known      bool        // the path is settled; what follows has no meaning else
	Adjusted   unit.Length // the path's length from all readings that are used
	Residual   unit.Length // Adjusted less Read and Corners, to the nanometre
	Redundancy float64     // of one that is used: 0 if nothing checks it, to 1 if others know its path far better
	W          float64     // standardised residual: 1 is usual, over Critical is not chance; 0 where nothing checks it
	Gross      unit.Length // how much more it says than all the others do; 0 where nothing checks it
}

// Checkable reports whether other readings tell what this one tells.
func (f Fit) Checkable() bool { return f.Known && (f.Redundancy > unchecked || f.Use != Used) }

// fit compares every observation with the lengths.
func (l *Lengths) fit() {
	l.fits = make([]Fit, len(l.net.obs))
	for i, o := range l.net.obs {
		f := Fit{Reading: o.reading, Runs: o.runs, Use: Used, Guess: o.class == guessed, Read: o.value, Corners: o.corner,
			Sigma: unit.Length(math.Round(o.sigma * float64(unit.Millimetre)))}
		switch {
		case o.out:
			f.Use = ThrownOut
		case o.aside:
			f.Use = SetAside
		case !o.used:
			f.Use = NotNeeded
		}
		if f.Known = o.used || l.settled(o.shares); f.Known {
			at := sum(o.act, l.x)
			f.Adjusted = at.length()
			v := l.residual(o)
			f.Residual = nearest(v)
			f.Redundancy = o.redundancy
			switch {
			case !o.used: // the others do not know of it
				f.Gross, f.Redundancy = nearest(-v), 1
				f.W = math.Abs(v) / math.Sqrt(o.sigma*o.sigma+l.net.cov(o.act, o.act))
			case o.redundancy > unchecked:
				f.Gross = nearest(-v / o.redundancy)
				f.W = math.Abs(v) / (o.sigma * math.Sqrt(o.redundancy))
			}
		}
		l.fits[i] = f
	}
}

// residual is what the adjusted length is above what was read, in mm.
func (l *Lengths) residual(o *observation) float64 {
	at := sum(o.act, l.x)
	return (float64(at.whole-int64(o.value+o.corner)) + at.rest) / float64(unit.Millimetre)
}

func nearest(mm float64) unit.Length { return unit.Length(math.Round(mm * float64(unit.Millimetre))) }

// root returns the standard deviation of a variance in mm², rounded up.
func root(variance float64) unit.Length {
	return unit.Length(math.Ceil(math.Sqrt(max(0, variance)) * float64(unit.Millimetre)))
}

// Fits returns how each reading fits, in the order they were taken.
func (l *Lengths) Fits() []Fit {
	order := make([]int, len(l.fits))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int { return l.net.obs[i].later - l.net.obs[j].later })
	out := make([]Fit, len(order))
	for k, i := range order {
		out[k] = l.fits[i]
	}
	return out
}

// Check is a reading beside what all others say of its path.
type Check struct {
	Reading string
	Runs    []string    // living runs, or gone ones that nothing replaced, in the order passed
	Value   unit.Length // as read, and its corners
	Sum     unit.Length // what the others say
	Guess   bool
}

// Diff is how much more the reading says than the others.
func (c Check) Diff() unit.Length { return c.Value - c.Sum }

// Misfit is how badly a check closes.
type Misfit int

// The grades of a closure.
const (
	Closes Misfit = iota
	Look          // over 10 mm and over 1 %
	Again         // over 25 mm and over 3 %: read it once more
)

// Misfit grades the difference. Both bounds must be passed, so that 5 mm on a short run, which no string reads better,
// is not a warning.
//
// Source: 10 mm or 1 % and 25 mm or 3 % are a proposal of common practice; taking the larger is our choice.
func (c Check) Misfit() Misfit {
	d := max(c.Diff(), -c.Diff())
	switch {
	case d > 25*unit.Millimetre && d > c.Value/100*3:
		return Again
	case d > 10*unit.Millimetre && d > c.Value/100:
		return Look
	}
	return Closes
}

// Checks returns the readings that others check, in the order they were taken, those apart that were thrown out or set
// aside.
func (l *Lengths) Checks() []Check {
	var out []Check
	for _, f := range l.Fits() {
		if f.Checkable() && (f.Use == Used || f.Use == NotNeeded) {
			out = append(out, Check{f.Reading, f.Runs, f.Read + f.Corners, f.Read + f.Corners - f.Gross, f.Guess})
		}
	}
	return out
}

// Closure is the test of all readings together.
type Closure struct {
	Chi2  float64 // Σ (residual/σ)² of the readings that are used
	DoF   int     // degrees of freedom: readings used less what they settle
	Limit float64 // chance passes it in one case of twenty
	P     float64 // how likely chance gives Chi2 or more
}

// Holds reports whether the readings fit together as well as their standard deviations say.
func (c Closure) Holds() bool { return c.DoF == 0 || c.Chi2 <= c.Limit }

// Level is the probability of a false alarm in the test of all readings together. Source: common practice (5 %).
const Level = 0.05

// Closure tests all readings together.
//
// Source: Ghilani, Adjustment Computations, 6th ed., ch. 16 (the goodness of fit test), upper tail only: readings that
// fit better than expected are no fault.
func (l *Lengths) Closure() Closure {
	var c Closure
	for i, o := range l.net.obs {
		if o.used {
			v := l.fits[i].Residual.MM() / o.sigma
			c.Chi2 += v * v
			c.DoF++
		}
	}
	c.DoF -= l.net.space.rank()
	c.Limit, c.P = bound(c.DoF, Level), above(c.Chi2, c.DoF)
	return c
}
