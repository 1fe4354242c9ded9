package supply

import (
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// What a build that sets nothing of its own is cut and bought with.
const (
	DefaultKerf      = 2 * unit.Millimetre   // our choice: a side cutter crushes about so much, and the next piece begins square
	DefaultOffcut    = 300 * unit.Millimetre // our choice: a shorter rest serves as a sample for a crimp
	DefaultBuyStep   = unit.Metre            // wire by the metre is sold by whole metres
	DefaultSpareWire = 15.0                  // per cent. Source: common practice, a judgement
	DefaultSparePins = 20.0                  // per cent of terminals and seals. Source: the same
)

func lengthOr(own *unit.Length, other unit.Length, least unit.Length) unit.Length {
	if own != nil && *own >= least && *own <= unit.Longest {
		return *own
	}
	return other
}

// Kerf is what is lost at each cut.
func Kerf(s harness.Settings) unit.Length {
	return min(lengthOr(s.Kerf, DefaultKerf, 0), unit.Metre)
}

// Offcut is the shortest rest that is kept.
func Offcut(s harness.Settings) unit.Length { return lengthOr(s.Offcut, DefaultOffcut, 0) }

// BuyStep is what wire by the metre is sold in multiples of.
func BuyStep(s harness.Settings) unit.Length {
	return lengthOr(s.BuyStep, DefaultBuyStep, unit.Millimetre)
}

func percentOr(own *float64, other float64) float64 {
	if own != nil && *own >= 0 && *own <= 1000 {
		return *own
	}
	return other
}

// SpareWire is how many per cent of wire are bought beyond what is cut.
func SpareWire(s harness.Settings) float64 { return percentOr(s.SpareWire, DefaultSpareWire) }

// SparePins is how many per cent of terminals and seals are bought beyond what is needed.
func SparePins(s harness.Settings) float64 { return percentOr(s.SparePins, DefaultSparePins) }
