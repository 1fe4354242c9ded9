package wire

import (
	"math"
	"sync"

	"loomwright/calc/unit"
)

// marine is the amperes by gauge (0, -1, -2, -3 are 1/0 to 4/0) and class of insulation, 30 °C around, alone.
//
// Source: 33 CFR 183.425 table 5.
var (
	marineClasses = [7]int{60, 75, 80, 90, 105, 125, 200}
	marine        = []marineRow{
		{18, [7]float64{10, 10, 15, 20, 20, 25, 25}},
		{16, [7]float64{15, 15, 20, 25, 25, 30, 35}},
		{14, [7]float64{20, 20, 25, 30, 35, 40, 45}},
		{12, [7]float64{25, 25, 35, 40, 45, 50, 55}},
		{10, [7]float64{40, 40, 50, 55, 60, 70, 70}},
		{8, [7]float64{55, 65, 70, 70, 80, 90, 100}},
		{6, [7]float64{80, 95, 100, 100, 120, 125, 135}},
		{4, [7]float64{105, 125, 130, 135, 160, 170, 180}},
		{3, [7]float64{120, 145, 150, 155, 180, 195, 210}},
		{2, [7]float64{140, 170, 175, 180, 210, 225, 240}},
		{1, [7]float64{165, 195, 210, 210, 245, 265, 280}},
		{0, [7]float64{195, 230, 245, 245, 285, 305, 325}},
		{-1, [7]float64{225, 265, 285, 285, 330, 355, 370}},
		{-2, [7]float64{260, 310, 330, 330, 385, 410, 430}},
		{-3, [7]float64{300, 360, 385, 385, 445, 475, 510}},
	}
	marineEngine = [7]float64{0.58, 0.75, 0.78, 0.82, 0.85, 0.89, 1} // note 1, 50 °C; from memory but for 105 °C
)

type marineRow struct {
	gauge int
	amps  [len(marineClasses)]float64
}

// marineBundle is the factor for wires that carry current side by side.
//
// Source: 33 CFR 183.425 table 5 note 2, as the Coast Guard's guideline reprints it. The law asks for it from 50 V up only;
// using it at 12 V is our choice, as ABYC E-11 does, because heat does not ask for volts.
func marineBundle(wires int) float64 {
	switch {
	case wires <= 2:
		return 1
	case wires == 3:
		return 0.7
	case wires <= 6:
		return 0.6
	case wires <= 24:
		return 0.5
	}
	return 0.4
}

// aviation105 and aviation200 are amperes by gauge for insulation of 105 and 200 °C: 70 °C around, 33 wires or more (9
// from size 8 up), the bundle carrying 20 % of what it may.
//
// Source: AC 43.13-1B CHG 1 table 11-9.
var (
	aviation105 = column{
		{24, 2.5}, {22, 3}, {20, 4}, {18, 6}, {16, 7}, {14, 10}, {12, 13}, {10, 17}, {8, 38}, {6, 50}, {4, 68}, {2, 95},
		{1, 113}, {0, 128}, {-1, 147}, {-2, 172}, {-3, 204},
	}
	aviation200 = column{
		{24, 5}, {22, 6}, {20, 9}, {18, 12}, {16, 14}, {14, 18}, {12, 25}, {10, 32}, {8, 71}, {6, 97}, {4, 133}, {2, 179},
		{1, 210}, {0, 243}, {-1, 285}, {-2, 335}, {-3, 395},
	}
)

// freeAir is amperes in free air by gauge at a rise of 100 K, brought there with the root of the rise.
//
// Source: AC 43.13-1B CHG 1 par. 11-68 (14 AWG: 47 A at 150 K) and 11-69 (from memory: 22 AWG 16.2 A and 20 AWG 21.5 A at
// 140 K, 12 AWG 68 A at 175 K).
var freeAir = []struct {
	gauge      int
	amps, rise float64 // A at a rise of so many K
}{{22, 16.2, 140}, {20, 21.5, 140}, {14, 47, 150}, {12, 68, 175}}

// bundleCurves are points read off the curves. A bundle of no more wires and no more current bears at least as much.
//
// Source: AC 43.13-1B CHG 1 par. 11-68 (8 wires); par. 11-69, from memory (35 and 12 wires).
var bundleCurves = []struct {
	wires           int
	loading, factor float64
}{{1, 1, 1}, {8, 0.6, 0.6}, {35, 0.2, 0.52}, {12, 1, 0.43}}

// altitudes are points of the altitude curve. Source: AC 43.13-1B CHG 1 par. 11-68 (20000 ft); the others from memory.
var altitudes = []struct{ metres, factor float64 }{{0, 1}, {20000 * foot, 0.91}, {35000 * foot, 0.86}}

func altitudeFactor(metres float64) float64 {
	for i, p := range altitudes[1:] {
		if q := altitudes[i]; metres <= p.metres {
			return q.factor + (p.factor-q.factor)*max(0, metres-q.metres)/(p.metres-q.metres)
		}
	}
	return altitudes[len(altitudes)-1].factor
}

// step is an entry of a table by size.
type step struct {
	size       unit.Size
	area, amps float64
}

// tables are the tables as between walks them, made when the first size is looked up.
var tables = sync.OnceValue(func() *stepTables {
	t := &stepTables{aviation105: steps(aviation105), aviation200: steps(aviation200)}
	for i := range t.marine {
		of := make(column, len(marine))
		for j, row := range marine {
			of[j] = cell{row.gauge, row.amps[i]}
		}
		t.marine[i] = steps(of)
	}
	free := make(column, len(freeAir))
	for i, row := range freeAir {
		free[i] = cell{row.gauge, row.amps * math.Sqrt(100/row.rise)}
	}
	t.freeAir = steps(free)
	return t
})

type stepTables struct {
	marine                            [len(marineClasses)][]step
	aviation105, aviation200, freeAir []step
}

// steps returns a table by gauge, which has thin wires first.
func steps(table column) []step {
	all := make([]step, len(table))
	for i, row := range table {
		all[i] = step{unit.AWG(row.key), unit.AWG(row.key).Area(), row.value}
	}
	return all
}

// between looks a size up in a table. A size that lies between two of the table gets what lies between theirs on a
// straight line of logarithms over the areas.
//
// Source: our choice, because amperes grow with a power of the area, and because "the next thinner one" would give 0.5 mm2
// no more than 22 AWG. The areas are those of the gauges and of the metric names.
func (a *account) between(table []step, name, source string) (float64, error) {
	size, area := a.u.Size, a.u.Size.Area()
	thin, thick := table[0], table[len(table)-1]
	switch {
	case area < thin.area:
		return 0, unknown(a.what, "%s begins at %v", source, thin.size)
	case area > thick.area:
		return 0, unknown(a.what, "%s ends at %v", source, thick.size)
	}
	i := 0
	for i+1 < len(table) && table[i+1].area <= area {
		i++
	}
	low := table[i]
	if low.area == area {
		a.add(unit.Term{Name: name, Value: low.amps, Unit: "A", Source: source})
		return low.amps, nil
	}
	high := table[i+1]
	v := low.amps * math.Pow(high.amps/low.amps, math.Log(area/low.area)/math.Log(high.area/low.area))
	a.add(unit.Term{Name: name + ", " + low.size.String(), Value: low.amps, Unit: "A", Source: source})
	a.add(unit.Term{Name: name + ", " + high.size.String(), Value: high.amps, Unit: "A", Source: source})
	a.add(unit.Term{Name: "between them, " + size.String(), Formula: "by the logarithm of the area", Value: v, Unit: "A", Source: "our choice"})
	return v, nil
}
