package tag

import (
	"errors"
	"fmt"
	"math"

	"loomwright/calc/unit"
)

// The sizes of a module.
const (
	// LeastModule is below what is not printed: no phone is close enough to it.
	//
	// Source: measured on drawn pictures of printed tags, see build/printed: a phone with 1280 × 720 pixels across 65° that
	// focuses at 100 mm (our choice, a good one) has 1.5 pixels for it then, and reads a quarter of the pictures.
	LeastModule = 150 * unit.Millimetre / 1000

	// SureModule is what that phone reads always. A smaller one is printed with the word that it will not reliably scan.
	//
	// Source: measured likewise, 12 of 12 from 0.21 mm; 0.25 leaves room for wear and for a phone that focuses at 120 mm.
	SureModule = 250 * unit.Millimetre / 1000

	// EasyModule is what any phone reads close up; for a smaller one it must be a good print.
	//
	// Source: common practice for phone cameras, 0.33 mm.
	EasyModule = 330 * unit.Millimetre / 1000

	// DefaultWidth is how wide a square may be, quiet zone included.
	//
	// Source: our choice, the usual tape and flag of 12 mm.
	DefaultWidth = 12 * unit.Millimetre
)

// Print is what a square is printed with.
type Print struct {
	DPI      int         // dots of the printer per inch; 203, 300 and 600 are usual
	Width    unit.Length // the most a square may take, quiet zone included
	Smallest unit.Length // the least module; 0 is LeastModule
}

// ErrTooSmall says that a square would not be read: its modules are too small for phones or printers.
var ErrTooSmall = errors.New("tag: the QR square would be too small to read")

// Square is a QR square as it is printed: each module a whole number of the printer's dots, so that no edge is
// blurred.
type Square struct {
	Symbol
	DPI  int
	Dots int // per module and side
}

// Square returns the largest square for this print. The error is ErrTooSmall, with the module that fits, the least
// that is read and the width that would do.
func (s Symbol) Square(p Print) (Square, error) {
	if p.DPI < 100 || p.DPI > 2400 {
		return Square{}, fmt.Errorf("tag: %d dots per inch: a printer has 100 to 2400", p.DPI)
	}
	smallest := p.Smallest
	if smallest <= 0 {
		smallest = LeastModule
	}
	dot := float64(unit.Inch) / float64(p.DPI)
	// A millionth of a dot is given, so that a width of exactly so many dots is not lost to rounding.
	dots := int(float64(p.Width)/dot/float64(s.Side()) + 1e-6)
	need := func(least unit.Length) int { return int(math.Ceil(float64(least)/dot - 1e-6)) }
	q := Square{s, p.DPI, dots}
	if dots < need(smallest) {
		sure := Square{s, p.DPI, need(max(smallest, SureModule))}
		return Square{}, fmt.Errorf("%w: %d modules in %.1f mm at %d dpi make modules of %.2f mm, under %.2f mm no phone reads them: give it %.1f mm",
			ErrTooSmall, s.Side(), p.Width.MM(), p.DPI, q.Module(), smallest.MM(), math.Ceil(sure.Width()*10)/10)
	}
	return q, nil
}

// Dot is the size of a printer's dot in millimetres.
func (q Square) Dot() float64 { return 25.4 / float64(q.DPI) }

// Module is the size of a module in millimetres.
func (q Square) Module() float64 { return float64(q.Dots) * q.Dot() }

// Width is the side of the square in millimetres, quiet zone included.
func (q Square) Width() float64 { return float64(q.Side()) * q.Module() }

// Easy reports whether any phone reads it close up, and not only a good one from a good print.
func (q Square) Easy() bool { return q.Module() >= EasyModule.MM() }

// Reach is about how far away a phone can read it, in millimetres: ten times the width of the dark part.
//
// Source: common practice, reading distance about 10 × symbol width.
func (q Square) Reach() float64 { return 10 * float64(q.Modules()) * q.Module() }
