package prove

import (
	"math"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// kelvin is 0 °C. Source: exact by definition.
const kelvin = 273.15

// PointOf is a thermistor at a temperature: from least to most ohms.
type PointOf struct{ Celsius, Low, High float64 }

// near is how far from its only point a thermistor is still judged by it, K. Source: our choice.
const near = 3

// Thermistor returns what a thermistor should have at a temperature, from points that its papers give: between two of them the
// logarithm of the ohms is a straight line over 1/T. ok is false with no points, and more than a tenth of their span outside
// them. Cost: linear in the points.
//
// Source: the B value law of IEC 60539-1, R = R0 exp(B (1/T - 1/T0)), from memory.
func Thermistor(points []PointOf, celsius float64) (low, high float64, ok bool) {
	p := slices.Clone(points)
	sorting.By(p, func(x, y PointOf) int {
		if x.Celsius < y.Celsius {
			return -1
		}
		return 1
	})
	n := len(p)
	switch {
	case n == 0 || math.IsNaN(celsius):
		return 0, 0, false
	case n == 1:
		return p[0].Low, p[0].High, math.Abs(celsius-p[0].Celsius) <= near
	}
	rim := (p[n-1].Celsius - p[0].Celsius) / 10
	if celsius < p[0].Celsius-rim || celsius > p[n-1].Celsius+rim || rim <= 0 {
		return 0, 0, false
	}
	i := 1
	for i < n-1 && p[i].Celsius < celsius {
		i++
	}
	a, b := p[i-1], p[i]
	share := (1/(celsius+kelvin) - 1/(a.Celsius+kelvin)) / (1/(b.Celsius+kelvin) - 1/(a.Celsius+kelvin))
	between := func(x, y float64) float64 { return x * math.Pow(y/x, share) }
	return between(a.Low, b.Low), between(a.High, b.High), a.Low > 0 && b.Low > 0
}

// Divider returns the volts over a sensor that a pull-up feeds. Source: Ohm's law.
func Divider(volts, pullUp, ohms float64) float64 { return volts * ohms / (pullUp + ohms) }

// expects returns what was entered for a device in a unit.
func expects(b *harness.Build, place, unit string) (all []harness.Expect) {
	rows := b.Expects.All()
	for i := range rows {
		if rows[i].Place == place && rows[i].Unit == unit {
			all = append(all, rows[i])
		}
	}
	return all
}
