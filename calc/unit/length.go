package unit

// Length is a length in whole nanometres, in the manner of time.Duration.
//
// Both 1 mm (1 000 000 nm) and 1/64 in (396 875 nm) are whole numbers, so a build can be switched between
// millimetres and inches for ever without drift.
//
// Source: 1 in = 25.4 mm exactly (international yard and pound agreement of 1959; ISO 80000-3).
type Length int64

// The lengths that others are multiples of.
const (
	Nanometre  Length = 1
	Millimetre        = 1_000_000 * Nanometre
	Centimetre        = 10 * Millimetre
	Metre             = 1000 * Millimetre
	Inch              = 25_400_000 * Nanometre
	Foot              = 12 * Inch
)

// System is the unit a build is written in. The zero value stands for millimetres.
type System string

// The two systems in use at benches.
const (
	Metric   System = "mm"
	Imperial System = "in"
)
