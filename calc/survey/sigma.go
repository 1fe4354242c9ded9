package survey

import (
	"math"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Spread is the standard deviation of a method as the app offers it.
type Spread struct {
	Method harness.Method
	Name   string
	harness.Spread
	Source string
}

// Spreads is the table of all methods, in the order of the settings.
//
// Source: string, tape and guess are a judgement of practice, from no measurement: 4 mm + 0.3 %, 2 mm, 10 % and at least
// 30 mm. The other two are our choice, as their sources say.
var Spreads = []Spread{
	{harness.ByString, "a string on the route", harness.Spread{Fixed: 4 * unit.Millimetre, Percent: 0.3},
		"judgement: 4 mm to lay it and read it, 0.3 % for its stretch and sag"},
	{harness.ByTape, "a tape on the route", harness.Spread{Fixed: 2 * unit.Millimetre},
		"judgement: 2 mm, the slop of a tape's hook and the reading"},
	{harness.ByGuess, "a guess", harness.Spread{Percent: 10, Least: 30 * unit.Millimetre},
		"judgement: 10 %, and at least 30 mm"},
	{harness.ByDrawing, "off a drawing", harness.Spread{Fixed: 10 * unit.Millimetre, Percent: 1},
		"our choice: 1 % for its scale, 10 mm for the bracket that was mounted elsewhere"},
	{harness.AsBuilt, "on the finished loom", harness.Spread{Fixed: 3 * unit.Millimetre},
		"our choice: a tape, and finding the centre of a covered breakout to 2 mm more"},
}

// The bounds of a standard deviation. Source: our choice. Nobody reads a route better than half a millimetre, and a
// reading that may be a metre off says nothing; between them, weights differ by less than the arithmetic can bear.
const (
	LeastSigma = unit.Millimetre / 2
	MostSigma  = unit.Metre
)

// DefaultThick is the diameter of the string of a build that does not say. Source: common practice (a 3 mm cord).
const DefaultThick = 3 * unit.Millimetre

// SpreadOf returns the spread that a build uses for a method, and where it comes from. A setting with a part below zero
// is not used.
func SpreadOf(s harness.Settings, m harness.Method) (spread harness.Spread, source string) {
	var own *harness.Spread
	switch m {
	case harness.ByString:
		own = s.SigmaString
	case harness.ByTape:
		own = s.SigmaTape
	case harness.ByGuess:
		own = s.SigmaGuess
	case harness.ByDrawing:
		own = s.SigmaDrawing
	case harness.AsBuilt:
		own = s.SigmaAsBuilt
	}
	if own != nil && own.Fixed >= 0 && own.Percent >= 0 && own.Percent <= 100 && own.Least >= 0 {
		return *own, "set in this build"
	}
	for _, d := range Spreads {
		if d.Method == m {
			return d.Spread, d.Source
		}
	}
	return Spreads[0].Spread, Spreads[0].Source // a method of a newer version: as a string
}

// Sigma returns the standard deviation of a reading: its own where it states one above zero, else by its method, within
// LeastSigma and MostSigma.
func Sigma(s harness.Settings, r harness.Reading) unit.Length {
	sigma := unit.Length(0)
	if r.Sigma != nil && *r.Sigma > 0 {
		sigma = *r.Sigma
	} else {
		d, _ := SpreadOf(s, r.Method)
		value := max(0, min(r.Value, unit.Longest))
		sigma = max(min(d.Fixed, MostSigma)+unit.Length(math.Ceil(float64(value)*d.Percent/100)), d.Least)
	}
	return max(LeastSigma, min(sigma, MostSigma))
}

// thick returns the diameter of the string that a reading was taken with.
func thick(s harness.Settings, r harness.Reading) unit.Length {
	for _, t := range []*unit.Length{r.Thick, s.StringThick} {
		if t != nil && *t >= 0 {
			return *t
		}
	}
	if r.Method == harness.ByTape {
		return 0
	}
	return DefaultThick
}
