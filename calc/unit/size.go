package unit

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Size is the size of a conductor: a metric area or an American wire gauge. The zero value is "not known". Two sizes of
// the two systems are never equal, only larger or smaller: 1.0 mm2 is not AWG 1, nor quite AWG 18.
type Size struct {
	micro int32 // area in thousandths of a square millimetre; 0 for a gauge
	gauge int8  // of a gauge: 4 + the number, so that 4/0 is 1, 1/0 is 4, AWG 18 is 22; else 0
}

// AWG returns the size of a gauge number; 0, -1, -2 and -3 are 1/0 to 4/0.
func AWG(n int) Size { return Size{gauge: int8(4 + n)} }

// SquareMillimetres returns the metric size of an area in thousandths of a square millimetre; not known if that is not
// above zero.
func SquareMillimetres(thousandths int) Size { return Size{micro: int32(max(thousandths, 0))} }

// Gauge returns the gauge number, and false for a metric size.
func (s Size) Gauge() (n int, ok bool) { return int(s.gauge) - 4, s.gauge != 0 }

// Known is false for the zero value.
func (s Size) Known() bool { return s != Size{} }

// Area returns the conductor's area in square millimetres, 0 if not known. Of a gauge it is that of a solid wire.
//
// Source: ASTM B258, d = 0.005 in × 92^((36−n)/39).
func (s Size) Area() float64 {
	if n, ok := s.Gauge(); ok {
		d := 0.005 * 25.4 * math.Pow(92, float64(36-n)/39)
		return math.Pi / 4 * d * d
	}
	return float64(s.micro) / 1000
}

// Compare orders sizes by area, thin first; what is not known comes before all.
func (s Size) Compare(t Size) int {
	return cmp.Or(cmp.Compare(s.Area(), t.Area()), cmp.Compare(s.gauge, t.gauge))
}

// String is the canonical text, which ParseSize reads back: "0.75 mm2", "18 AWG", "2/0 AWG"; empty if not known.
func (s Size) String() string {
	if n, ok := s.Gauge(); ok {
		if n <= 0 {
			return fmt.Sprintf("%d/0 AWG", 1-n)
		}
		return fmt.Sprintf("%d AWG", n)
	}
	if s.micro == 0 {
		return ""
	}
	text := strconv.Itoa(int(s.micro / 1000))
	if part := s.micro % 1000; part != 0 {
		text += strings.TrimRight(fmt.Sprintf(".%03d", part), "0")
	} else if s.micro < 10_000 {
		text += ".0" // 1.0 mm2, so that nobody takes it for a gauge
	}
	return text + " mm2"
}

var (
	areaUnits  = []string{"square millimetres", "square millimetre", "sq. mm", "sq mm", "sqmm", "mm^2", "mm²", "mm2", "qmm"}
	gaugeWords = []string{"gauge", "awg", "ga.", "ga", "#"}
)

// ParseSize reads a conductor size and returns it in canonical form: "18", "18 AWG", "AWG18", "#18", "2/0", "0.75",
// "0,75 mm2", "1.0".
//
// With no unit typed, a number with decimals is square millimetres and a whole number from 8 to 30 is a gauge (nobody
// writes a loom wire of 16 mm2 as "16"). Whole numbers below 8 are sizes in both systems, so they are refused with
// ErrAmbiguous. A blank text is ErrBlank. Errors are *ParseError.
func ParseSize(text string) (Size, error) {
	refuse := func(err error, format string, args ...any) (Size, error) {
		return Size{}, &ParseError{Text: text, Reason: fmt.Sprintf(format, args...), Err: err}
	}
	s := strings.ToLower(strings.Join(strings.Fields(text), " "))
	if s == "" {
		return refuse(ErrBlank, "nothing typed")
	}
	if len(s) > 40 {
		return refuse(ErrNotSize, "too many signs for a size")
	}
	unit := ""
	for _, u := range areaUnits {
		if rest, ok := strings.CutSuffix(s, u); ok {
			s, unit = strings.TrimSpace(rest), "mm2"
			break
		}
	}
	for _, u := range gaugeWords {
		rest, ok := strings.CutSuffix(s, u)
		if !ok {
			rest, ok = strings.CutPrefix(s, u)
		}
		if ok && unit == "" {
			s, unit = strings.TrimSpace(rest), "awg"
			break
		}
	}
	if n, ok := gaugeNumber(s); ok && unit != "mm2" {
		switch {
		case unit == "" && n >= 1 && n < 8:
			return refuse(ErrAmbiguous, "%d mm2 or %d AWG", n, n)
		case n > 40, unit == "" && n > 30:
			return refuse(ErrNotSize, "there is no wire of gauge %d in a loom", n)
		}
		return AWG(n), nil
	}
	if unit == "awg" {
		return refuse(ErrNotSize, "%q is not a gauge number", s)
	}
	micro, ok := thousandths(strings.Replace(s, ",", ".", 1))
	switch {
	case !ok:
		return refuse(ErrNotSize, "%q is neither a gauge nor square millimetres", s)
	case micro < 10 || micro > 300_000:
		return refuse(ErrNotSize, "square millimetres of loom wire are between 0.01 and 300")
	}
	return Size{micro: micro}, nil
}

// gaugeNumber reads 18, 2/0 or 00.
func gaugeNumber(s string) (n int, ok bool) {
	if zeros, ok := strings.CutSuffix(s, "/0"); ok {
		n, ok := digits(zeros, 1)
		return 1 - int(n), ok && n >= 1 && n <= 4
	}
	if s != "" && len(s) <= 4 && strings.Trim(s, "0") == "" {
		return 1 - len(s), true
	}
	u, ok := digits(s, 2)
	return int(u), ok && s[0] != '0'
}

// thousandths reads a decimal number with up to three decimals.
func thousandths(s string) (int32, bool) {
	whole, part, _ := strings.Cut(s, ".")
	if len(part) > 3 || whole == "" {
		return 0, false
	}
	a, ok1 := digits(whole, 4)
	b, ok2 := digits(part+strings.Repeat("0", 3-len(part)), 3)
	return int32(a*1000 + b), ok1 && ok2
}
