package wire

import (
	"math"
	"testing"

	"loomwright/calc/unit"
)

func TestMass(t *testing.T) {
	copper, whole, ok := Mass(unit.SquareMillimetres(1000), 21*unit.Millimetre/10)
	// 8.89 g of copper; insulation 3.464 − 1.333 mm² at 1.4: 2.98 g. Trade tables give about 12 g for such a wire.
	if !ok || math.Abs(copper-8.9) > 0.1 || math.Abs(whole-copper-2.98) > 0.02 {
		t.Errorf("1 mm² weighs %v g, %v with its insulation, %v", copper, whole, ok)
	}
	if _, _, ok := Mass(unit.Size{}, unit.Millimetre); ok {
		t.Error("a wire of no size weighs something")
	}
	if _, _, ok := Mass(unit.SquareMillimetres(1000), 0); ok {
		t.Error("a wire of no diameter weighs something")
	}
}
