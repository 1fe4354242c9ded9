package frames

import (
	"math"

	"loomwright/calc/tag"
)

// Nearest is how close a phone focuses, in millimetres.
//
// Source: common practice, the main cameras of phones focus from about 80 to 150 mm; ours is a good one, so that what it does
// not read no phone reads.
const Nearest = 100.0

// The spread of ink or heat over each edge of a printed module, in millimetres; below 0 it is thin.
//
// Source: our choice, because office and label printers are within a third of a dot of 300 dpi.
const (
	leastSpread = -0.01
	mostSpread  = 0.03
)

// Held is a printed symbol before a phone that is held as near as it focuses, by a hand that does its best: the code in the
// middle of the picture, tilted by up to 12°, sharp but for what a lens does, lit unevenly.
type Held struct {
	Symbol   tag.Symbol
	Module   float64 // millimetres, whole dots of its printer
	Diameter float64 // of what it is wrapped round, millimetres; 0 is flat
	Along    bool    // its rows lie along the wire, and not round it
	Seed     uint64
}

// Frame draws the picture. Other than those of the corpus it is not drawn again if nobody could read it.
func (h Held) Frame() (*Frame, error) {
	r := newRandom(h.Seed)
	s := plain(r)
	var err error
	if s.Modules, err = h.Symbol.Bitmap(); err != nil {
		return nil, err
	}
	s.Text, s.Version, s.Level = h.Symbol.Text, h.Symbol.Version, int(h.Symbol.Level)
	s.Pixels = focal * h.Module / Nearest
	s.OffX, s.OffY = r.in(-40, 40), r.in(-40, 40)
	s.Gain = r.in(leastSpread, mostSpread) / h.Module
	if h.Diameter > 0 {
		s.Round = float64(h.Symbol.Modules()) * h.Module / (math.Pi * h.Diameter)
		s.Along = h.Along
	}
	s.Seed = h.Seed
	return &Frame{Kind: "held", N: int(h.Seed), Scene: s, Image: s.Draw(), Drawn: 1}, nil
}
