package wire

import (
	"math"

	"loomwright/calc/unit"
)

// metric is the largest outside diameter of a thin-wall vehicle wire in hundredths of a millimetre, by area in
// hundredths of a square millimetre.
//
// Source: ISO 6722-1:2011, thin-wall cables, from memory; the values of 0.13, 0.22, 1.25, 5, 8, 12, 16 and 20 mm2 are
// less sure.
var metric = map[int]unit.Length{
	13: 105, 22: 120, 35: 140, 50: 160, 75: 190, 100: 210, 125: 230, 150: 240, 200: 280, 250: 300, 300: 340, 400: 370,
	500: 420, 600: 430, 800: 500, 1000: 600, 1200: 650, 1600: 720, 2000: 780, 2500: 870,
}

// gauge is the usual outside diameter of a thin-wall wire in hundredths of a millimetre, by American wire gauge.
//
// Source: common practice, from memory: within 0.1 mm of the conductor and two nominal walls of SAE J1128 thin wall.
var gauge = map[int]unit.Length{22: 160, 20: 180, 18: 200, 16: 230, 14: 270, 12: 330, 10: 400}

// The sources that OutsideDiameter names.
const (
	SourceMetric = "ISO 6722-1 thin wall, largest, from memory"
	SourceGauge  = "common practice for thin wall, from memory"
)

// OutsideDiameter returns how thick a thin-wall wire of this size is over its insulation, and where the value comes
// from. It is a table value: a caliper on the real wire beats it. A size that is not in the table, or not a size, is
// not known: ok is false and nothing is guessed between two sizes.
func OutsideDiameter(size string) (d unit.Length, source string, ok bool) {
	s, err := unit.ParseSize(size)
	if err != nil || !s.Known() {
		return 0, "", false
	}
	if n, isGauge := s.Gauge(); isGauge {
		d, ok = gauge[n]
		source = SourceGauge
	} else {
		hundredths := s.Area() * 100
		if whole := math.Round(hundredths); math.Abs(hundredths-whole) < 1e-6 {
			d, ok = metric[int(whole)]
		}
		source = SourceMetric
	}
	if !ok {
		return 0, "", false
	}
	return d * unit.Millimetre / 100, source, true
}
