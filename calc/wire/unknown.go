package wire

import (
	"fmt"
	"math"

	"loomwright/calc/unit"
)

// UnknownError says that something cannot be told, and why. Every error of this package is one.
type UnknownError struct {
	What    string // "the resistance of 0.6 mm2"
	Because string // "ISO 6722-1 has no such size"
}

func (e *UnknownError) Error() string { return "wire: " + e.What + " is unknown, because " + e.Because }

func unknown(what, because string, args ...any) error {
	return &UnknownError{what, fmt.Sprintf(because, args...)}
}

// Coldest and Hottest bound the temperatures that are taken: copper's resistance is a straight line between them within
// half a per cent. Source: our choice.
const (
	Coldest = -100
	Hottest = 400
)

// inRange is an error if v is not a number from low to high.
func inRange(what, name string, v, low, high float64) error {
	switch {
	case math.IsNaN(v):
		return unknown(what, "the %s is not a number", name)
	case v < low:
		return unknown(what, "the %s of %s is below %s", name, unit.Shown(v), unit.Shown(low))
	case v > high:
		return unknown(what, "the %s of %s is above %s", name, unit.Shown(v), unit.Shown(high))
	}
	return nil
}

// MostAmps and MostVolts bound what is taken. Source: our choice, far above any car.
const (
	MostAmps  = 1e6
	MostVolts = 1e4
)
