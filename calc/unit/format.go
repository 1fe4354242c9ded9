package unit

import (
	"fmt"
	"strconv"
	"strings"
)

// Format returns the length as it is shown: "368 mm" or "368.5 mm" to the nearest tenth, "14 1/2 in" to the nearest
// sixteenth. Halfway goes away from zero.
func (l Length) Format(sys System) string {
	n, u := l.Figures(sys)
	return n + " " + u
}

// Figures returns the number and the unit of Format apart, for a big numeral with a small unit beside it.
func (l Length) Figures(sys System) (number, unit string) {
	if sys == Imperial {
		return inches(l, 16), "in"
	}
	return tenths(l), "mm"
}

// Grouped is Format with a space between thousands of millimetres: "1 234 mm". ParseLength reads it back.
func (l Length) Grouped(sys System) string {
	n, u := l.Figures(sys)
	if u == "mm" {
		whole, part, _ := strings.Cut(n, ".")
		sign := ""
		if strings.HasPrefix(whole, "-") {
			sign, whole = "-", whole[1:]
		}
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + " " + whole[i:]
		}
		if n = sign + whole; part != "" {
			n += "." + part
		}
	}
	return n + " " + u
}

// Both returns the length in the build's unit and in the other one.
func (l Length) Both(sys System) (main, other string) {
	if sys == Imperial {
		return l.Format(Imperial), l.Format(Metric)
	}
	return l.Format(Metric), l.Format(Imperial)
}

// Exact returns a text that ParseLength reads back as exactly this length: all decimals of a millimetre, or inches and
// a fraction down to 1/64 where the length is one, else millimetres.
func (l Length) Exact(sys System) string {
	if sys == Imperial && l%(Inch/64) == 0 {
		return inches(l, 64) + " in"
	}
	sign, n := "", l
	if l < 0 {
		sign, n = "-", -l
	}
	s := strconv.FormatInt(int64(n/Millimetre), 10)
	if part := n % Millimetre; part != 0 {
		s += strings.TrimRight(fmt.Sprintf(".%06d", int64(part)), "0")
	}
	return sign + s + " mm"
}

// String is Exact in millimetres, for messages and tests.
func (l Length) String() string { return l.Exact(Metric) }

// MM returns the length in millimetres, for drawings and formulas that are not exact anyway.
func (l Length) MM() float64 { return float64(l) / float64(Millimetre) }

// RoundUp returns the least multiple of step that is not below l; l itself if step is not above zero.
func (l Length) RoundUp(step Length) Length {
	if step <= 0 {
		return l
	}
	q := l / step
	if l%step > 0 {
		q++
	}
	return q * step
}

// RoundCut rounds a length to cut up to what is easily read off a tape: 5 mm up to 1 m and 10 mm over it, or 1/4 in up
// to a yard and 1 in over it.
//
// Source: common practice (up to 5 or 10 mm under 1 m, 25 or 50 mm over; up to 1/4 in, then 1 in); 10 mm over 1 m is our
// choice, because the longer steps waste wire and a tape shows centimetres as well there.
func (l Length) RoundCut(sys System) Length {
	small, large, limit := 5*Millimetre, 10*Millimetre, Metre
	if sys == Imperial {
		small, large, limit = Inch/4, Inch, 3*Foot
	}
	if l <= limit {
		return l.RoundUp(small)
	}
	return l.RoundUp(large)
}

// divide returns l/step to the nearest whole number, halves away from zero.
func divide(l, step Length) int64 {
	if l < 0 {
		return -divide(-l, step)
	}
	q := l / step
	if l%step >= (step+1)/2 {
		q++
	}
	return int64(q)
}

func tenths(l Length) string {
	t := divide(l, Millimetre/10)
	sign := ""
	if t < 0 {
		sign, t = "-", -t
	}
	s := sign + strconv.FormatInt(t/10, 10)
	if t%10 != 0 {
		s += "." + strconv.FormatInt(t%10, 10)
	}
	return s
}

// inches returns whole inches and a reduced fraction with a denominator up to den, a power of two.
func inches(l Length, den int64) string {
	n := divide(l, Inch/Length(den))
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	whole, part := n/den, n%den
	for part != 0 && part%2 == 0 {
		part, den = part/2, den/2
	}
	switch {
	case part == 0:
		return sign + strconv.FormatInt(whole, 10)
	case whole == 0:
		return fmt.Sprintf("%s%d/%d", sign, part, den)
	}
	return fmt.Sprintf("%s%d %d/%d", sign, whole, part, den)
}
