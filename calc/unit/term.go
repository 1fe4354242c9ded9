package unit

import (
	"math"
	"strconv"
	"strings"
)

// Term is one value of an account: what a result is made of, so that a person can follow it with a pencil.
type Term struct {
	_       [0]func() // never compared: that saves a function for each length of a list
	Name    string    // what it is: "fault current"
	Formula string    // how it comes from the terms before it, in words; empty for a value that went in
	Value   float64   // in Unit; not used where Text is set
	Unit    string    // "A", "ohm", "°C"; empty for a bare number
	Text    string    // a value that is no number: "0.5 mm2", "PVC"
	Source  string    // document and edition, "common practice", or who said it
	Of, ID  string    // the kind and id of the record it comes from, where whoever asked set them
	Card    string    // the key of the figure that explains it, where it is one of its own
}

// String is the value with its unit as it is shown: "12.5 A", "0.5 mm2".
func (t Term) String() string {
	if t.Text != "" {
		return t.Text
	}
	return strings.TrimSpace(Shown(t.Value) + " " + t.Unit)
}

// Shown returns a number to three significant digits, without an exponent and without zeros at its end: "0.0333", "12.5",
// "1250". Whole numbers keep all digits. Halfway goes away from zero. What is not finite is "unknown".
func Shown(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "unknown"
	}
	if v == 0 {
		return "0"
	}
	digits := 2 - int(math.Floor(math.Log10(math.Abs(v))))
	digits = min(max(digits, 0), 12)
	scale := math.Pow10(digits)
	if scaled := v * scale; math.Abs(scaled) < 1<<52 {
		v = math.Round(scaled*(1+1e-15)) / scale
	}
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if digits > 0 {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
