package survey

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"loomwright/calc/unit"
)

// Observation is a sum of unknowns as it was observed, in millimetres: a reading of a path of runs, or a line of levels.
type Observation struct {
	Path  map[string]int64 // how often each unknown counts
	Value float64
	Sigma float64 // its standard deviation
}

// Solution is what observations say, in millimetres.
type Solution struct {
	Names        []string  // the unknowns, sorted
	Values       []float64 // of Names
	Sigmas       []float64 // of Names, from the sigmas of the observations alone
	Residuals    []float64 // of the observations: adjusted less observed
	Standardised []float64 // of the observations: the residual without its sign over its own sigma; NaN where nothing checks it
}

// Why observations say nothing.
var (
	ErrSingular    = errors.New("not settled by the observations")
	ErrObservation = errors.New("not an observation")
)

// Bounds of what Solve takes. Source: our choice, so that whole numbers do not overflow and weights stay within what the
// arithmetic can bear.
const (
	mostValue  = 1e9  // mm
	mostFactor = 1000 // of an unknown in a path
	mostRatio  = 1e4  // of the greatest sigma to the least
	mostNames  = 1000
)

// Solve adjusts observations by weighted least squares. It returns ErrSingular, naming the unknowns, if the observations
// leave some undetermined, and ErrObservation, naming its number from 1, for one without a path, with a value that is no
// number, or with a sigma that is not above zero. No observations have an empty solution. Cost: O(n³) in the unknowns.
//
// Source: Ghilani, Adjustment Computations, 6th ed., ch. 12 (differential levelling networks); the standardised residual
// as in ch. 21.
func Solve(observations []Observation) (Solution, error) {
	names := map[string]bool{}
	low, high := math.Inf(1), 0.0
	for i, o := range observations {
		bad := func(format string, args ...any) (Solution, error) {
			return Solution{}, fmt.Errorf("survey: observation %d: %w: %s", i+1, ErrObservation, fmt.Sprintf(format, args...))
		}
		some := false
		for _, name := range slices.Sorted(maps.Keys(o.Path)) {
			k := o.Path[name]
			if k > mostFactor || k < -mostFactor {
				return bad("%q counts %d times, the most is %d", name, k, mostFactor)
			}
			names[name], some = true, some || k != 0
		}
		switch {
		case !some:
			return bad("its path is empty")
		case !(math.Abs(o.Value) <= mostValue):
			return bad("its value of %v mm is out of range", o.Value)
		case !(o.Sigma > 0) || math.IsInf(o.Sigma, 1):
			return bad("its sigma of %v mm is not above zero", o.Sigma)
		}
		low, high = min(low, o.Sigma), max(high, o.Sigma)
	}
	if high > mostRatio*low {
		return Solution{}, fmt.Errorf("survey: sigmas from %v to %v mm: %w: one is more than %v times another", low, high, ErrObservation, mostRatio)
	}
	if len(names) > mostNames {
		return Solution{}, fmt.Errorf("survey: %d unknowns: %w: the most is %d", len(names), ErrObservation, mostNames)
	}
	s := Solution{Names: slices.Sorted(maps.Keys(names))}
	column := map[string]int{}
	for i, name := range s.Names {
		column[name] = i
	}
	scale := 1 / low // of sigmas, so that the weights are from 1 down
	var obs []*observation
	for _, o := range observations {
		all := map[int]int64{}
		for name, k := range o.Path {
			if k != 0 {
				all[column[name]] = k
			}
		}
		obs = append(obs, &observation{shares: sorted(all), value: unit.Length(math.Round(o.Value * 1e6)), sigma: o.Sigma * scale})
	}
	n := newNetwork(len(s.Names), slices.Clone(obs))
	var loose []string
	for i, name := range s.Names {
		if !n.space.settles(lineOf([]share{{i, 1}})) {
			loose = append(loose, name)
		}
	}
	if len(loose) > 0 {
		return Solution{}, fmt.Errorf("survey: %s: %w", strings.Join(loose, ", "), ErrSingular)
	}
	x := n.solve(func(o *observation) unit.Length { return o.value })
	for i := range s.Names {
		s.Values = append(s.Values, x[i].mm())
		s.Sigmas = append(s.Sigmas, math.Sqrt(max(0, n.cov([]share{{i, 1}}, []share{{i, 1}})))/scale)
	}
	for _, o := range obs {
		at := sum(o.act, x)
		v := (float64(at.whole-int64(o.value)) + at.rest) / float64(unit.Millimetre)
		s.Residuals = append(s.Residuals, v)
		w := math.NaN()
		if o.redundancy > unchecked {
			w = math.Abs(v) / (o.sigma / scale * math.Sqrt(o.redundancy))
		}
		s.Standardised = append(s.Standardised, w)
	}
	return s, nil
}
