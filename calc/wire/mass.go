package wire

import (
	"math"

	"loomwright/calc/unit"
)

// What a wire weighs beside its copper.
//
// Source: common practice, from memory: strands fill about three quarters of the circle round them; insulation of vehicle
// wire has 1.3 to 1.5 g/cm³.
const (
	strandFill        = 0.75
	insulationDensity = 1.4 // g/cm³, which is mg/mm³
)

// Mass returns the grams in a metre of wire of this size and diameter over its insulation: of its copper, and of the whole. A
// size that no table has or a diameter that is not known makes it unknown: ok is false.
func Mass(size unit.Size, outside unit.Length) (copper, whole float64, ok bool) {
	c, err := Of(size, Usual)
	if err != nil || outside <= 0 {
		return 0, 0, false
	}
	insulation := math.Pi/4*outside.MM()*outside.MM() - c.Area/strandFill
	return c.Copper(), c.Copper() + insulationDensity*max(0, insulation), true
}
