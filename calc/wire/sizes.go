package wire

import (
	"loomwright/calc/sorting"
	"loomwright/calc/unit"
)

// column is a column of a table by size. It is a list and not a map, because a list of constants is there without any
// work when the program starts, and none has more than two dozen rows.
type column []cell

type cell struct {
	key   int // a gauge, 0, -1, -2, -3 being 1/0 to 4/0; or hundredths of a square millimetre
	value float64
}

func (c column) at(key int) (value float64, ok bool) {
	for _, cell := range c {
		if cell.key == key {
			return cell.value, true
		}
	}
	return 0, false
}

// iso6722 is the largest resistance in ohm/km at 20 °C, by hundredths of a square millimetre.
//
// Source: ISO 6722-1:2011 (the same in DIN 72551-6 but for 0.35), from memory.
var iso6722 = column{
	{13, 136}, {22, 84.4}, {35, 54.4}, {50, 37.1}, {75, 24.7}, {100, 18.5}, {125, 14.9}, {150, 12.7}, {200, 9.42},
	{250, 7.6}, {300, 6.15}, {400, 4.7}, {500, 3.94}, {600, 3.14}, {800, 2.38}, {1000, 1.82}, {1200, 1.52}, {1600, 1.16},
	{2000, 0.955}, {2500, 0.743},
}

// class5 is the same for flexible cable. Source: IEC 60228 class 5, plain copper.
var class5 = column{
	{50, 39}, {75, 26}, {100, 19.5}, {150, 13.3}, {250, 7.98}, {400, 4.95}, {600, 3.3}, {1000, 1.91}, {1600, 1.21},
	{2500, 0.78}, {3500, 0.554}, {5000, 0.386}, {7000, 0.272}, {9500, 0.206},
}

// leastMils is the least conductor in circular mils by gauge; 0, -1, -2, -3 are 1/0 to 4/0.
//
// Source: SAE J1127/J1128 conductor table, from memory, as ABYC E-11 uses it.
var leastMils = column{
	{20, 1072}, {18, 1537}, {16, 2336}, {14, 3702}, {12, 5833}, {10, 9343}, {8, 14810}, {6, 25910}, {4, 37360},
	{2, 62450}, {1, 77790}, {0, 98980}, {-1, 125100}, {-2, 158600}, {-3, 205500},
}

// stranded is ohm/1000 ft at 75 °C by gauge. Source: NFPA 70 chapter 9 table 8, uncoated copper; 18 and 16 from memory.
var stranded = column{
	{18, 7.95}, {16, 4.99}, {14, 3.14}, {12, 1.98}, {10, 1.24}, {8, 0.778}, {6, 0.491}, {4, 0.308}, {3, 0.245},
	{2, 0.194}, {1, 0.154}, {0, 0.122}, {-1, 0.0967}, {-2, 0.0766}, {-3, 0.0608},
}

// tinned is ohm/1000 ft at 20 °C by gauge, tinnedMils the conductor in circular mils.
//
// Source: AC 43.13-1B CHG 1 table 11-9. Size 24 is a high-strength alloy.
var (
	tinned = column{
		{24, 28.4}, {22, 16.2}, {20, 9.88}, {18, 6.23}, {16, 4.81}, {14, 3.06}, {12, 2.02}, {10, 1.26}, {8, 0.70},
		{6, 0.44}, {4, 0.28}, {2, 0.18}, {1, 0.15}, {0, 0.12}, {-1, 0.09}, {-2, 0.07}, {-3, 0.06},
	}
	tinnedMils = column{
		{24, 475}, {22, 755}, {20, 1216}, {18, 1900}, {16, 2426}, {14, 3831}, {12, 5874}, {10, 9354}, {8, 16983},
		{6, 26818}, {4, 42615}, {2, 66500}, {1, 81700}, {0, 104500}, {-1, 133000}, {-2, 166500}, {-3, 210900},
	}
)

// Sizes lists the sizes of a table, thin first. Solid is offered as the even gauges from 24 that are sold, and 1; Usual
// is those and ISO6722 together.
func Sizes(table Table) []unit.Size {
	var sizes []unit.Size
	gauges := func(of column) {
		for _, row := range of {
			sizes = append(sizes, unit.AWG(row.key))
		}
	}
	areas := func(of column) {
		for _, row := range of {
			sizes = append(sizes, unit.SquareMillimetres(row.key*10))
		}
	}
	switch table {
	case Usual:
		gauges(tinned)
		areas(iso6722)
	case Solid, Aviation:
		gauges(tinned)
	case Stranded:
		gauges(stranded)
	case SAE:
		gauges(leastMils)
	case ISO6722:
		areas(iso6722)
	case Class5:
		areas(class5)
	}
	sorting.By(sizes, unit.Size.Compare)
	return sizes
}
