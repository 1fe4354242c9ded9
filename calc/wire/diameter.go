package wire

import (
	"loomwright/calc/unit"
)

// Wall is how thick the insulation is.
type Wall string

// The walls. The three of SAE J1128 are for gauges only.
const (
	ThinWall Wall = ""    // ISO 6722-1 thin wall; thin wall as it is sold by gauge
	TXL      Wall = "TXL" // SAE J1128 thin wall, cross-linked, nominal
	GXL      Wall = "GXL" // SAE J1128 general purpose, cross-linked, nominal
	SXL      Wall = "SXL" // SAE J1128 special purpose, cross-linked, nominal
)

// Walls lists the walls in the order a person is offered them.
var Walls = []Wall{ThinWall, TXL, GXL, SXL}

// metric is the largest outside diameter of a thin-wall vehicle wire in hundredths of a millimetre, by area in
// hundredths of a square millimetre.
//
// Source: ISO 6722-1:2011, thin-wall cables, from memory; the values of 0.13, 0.22, 1.25, 5, 8, 12, 16 and 20 mm2 are
// less sure.
var metric = column{
	{13, 105}, {22, 120}, {35, 140}, {50, 160}, {75, 190}, {100, 210}, {125, 230}, {150, 240}, {200, 280}, {250, 300},
	{300, 340}, {400, 370}, {500, 420}, {600, 430}, {800, 500}, {1000, 600}, {1200, 650}, {1600, 720}, {2000, 780},
	{2500, 870},
}

// gauge is the usual outside diameter of a thin-wall wire in hundredths of a millimetre, by American wire gauge.
//
// Source: common practice, from memory: within 0.1 mm of the conductor and two nominal walls of SAE J1128 thin wall.
var gauge = column{{22, 160}, {20, 180}, {18, 200}, {16, 230}, {14, 270}, {12, 330}, {10, 400}}

// The nominal diameters are the conductor and two nominal walls in hundredths of a millimetre, by gauge.
//
// Source: SAE J1128 wall table, from memory; TXL and GXL within 0.1 mm, SXL within 0.2 mm; none is a limit.
var (
	txl = column{{22, 157}, {20, 178}, {18, 203}, {16, 229}, {14, 267}, {12, 323}, {10, 394}}
	gxl = column{{20, 213}, {18, 239}, {16, 264}, {14, 302}, {12, 363}, {10, 450}, {8, 594}}
	sxl = column{{20, 244}, {18, 274}, {16, 310}, {14, 363}, {12, 419}, {10, 500}, {8, 625}}
)

func nominal(wall Wall) column {
	switch wall {
	case TXL:
		return txl
	case GXL:
		return gxl
	case SXL:
		return sxl
	}
	return nil
}

// The sources that diameters name.
const (
	SourceMetric  = "ISO 6722-1 thin wall, largest, from memory"
	SourceGauge   = "common practice for thin wall, from memory"
	SourceNominal = "SAE J1128 conductor and two nominal walls, from memory"
	SourceCaliper = "measured with a caliper"
)

// OutsideDiameter returns how thick a thin-wall wire of this size is over its insulation, and where the value comes
// from. It is a table value: a caliper on the real wire beats it. A size that is not in the table, or not a size, is
// not known: ok is false and nothing is guessed between two sizes.
func OutsideDiameter(size string) (d unit.Length, source string, ok bool) {
	s, err := unit.ParseSize(size)
	if err != nil {
		return 0, "", false
	}
	return Diameter(s, ThinWall, 0)
}

// Diameter returns how thick a wire is over its insulation, and where the value comes from: what a caliper read if that
// is above zero, else by size and wall from a table. What no table has is not known: ok is false.
func Diameter(size unit.Size, wall Wall, caliper unit.Length) (d unit.Length, source string, ok bool) {
	if caliper > 0 {
		return caliper, SourceCaliper, true
	}
	n, isGauge := size.Gauge()
	var hundredth float64
	switch {
	case !size.Known():
	case wall != ThinWall && isGauge:
		hundredth, ok = nominal(wall).at(n)
		source = SourceNominal
	case wall != ThinWall:
	case isGauge:
		hundredth, ok = gauge.at(n)
		source = SourceGauge
	default:
		hundredth, ok = metric.at(hundredths(size))
		source = SourceMetric
	}
	if !ok {
		return 0, "", false
	}
	return unit.Length(hundredth) * unit.Millimetre / 100, source, true
}
