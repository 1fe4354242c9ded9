package unit

import (
	"errors"
	"testing"

	"github.com/go-json-experiment/json"
)

// half is 14 1/2 in, which is 368.3 mm exactly.
const half = 14*Inch + Inch/2

func TestParseLength(t *testing.T) {
	mm := func(tenths int64) Length { return Length(tenths) * Millimetre / 10 }
	tests := []struct {
		text   string
		def    System
		want   Length
		source string
	}{
		{"368", Metric, mm(3680), "a bare number is the build's unit"},
		{"368", "", mm(3680), "no unit chosen: millimetres"},
		{"368", Imperial, 368 * Inch, "never guessed per number"},
		{"368 mm", Imperial, mm(3680), "unit typed beats default"},
		{"368MM", Imperial, mm(3680), "case does not matter"},
		{"36.8 cm", Metric, mm(3680), "1 cm = 10 mm"},
		{"36,8 cm", Metric, mm(3680), "decimal comma"},
		{"36,8", Metric, mm(368), "decimal comma"},
		{"0.37 m", Metric, mm(3700), "1 m = 1000 mm"},
		{"0,37m", Imperial, mm(3700), "1 m = 1000 mm"},
		{",5 m", Metric, mm(5000), "no zero before the comma"},
		{"14.", Metric, mm(140), "a point and nothing after it, as when typing goes on"},
		{"1 m 20 cm", Metric, mm(12000), "sum of units"},
		{"1 234 mm", Metric, mm(12340), "space between thousands"},
		{"1\u202f234,5", Metric, mm(12345), "narrow space between thousands"},
		{"1,234.5", Metric, mm(12345), "the last sign is the decimal one"},
		{"1.234,5", Metric, mm(12345), "the last sign is the decimal one"},
		{"1,234,500 mm", Metric, mm(12345000), "two commas can only part thousands"},
		{"1.234", Metric, 1234 * Millimetre / 1000, "a point is decimal"},
		{"0,375", Imperial, 3 * Inch / 8, "no thousands begin with zero"},
		{"12,3456", Metric, 123456 * Millimetre / 10000, "four decimals are no thousands"},
		{"1234,567", Metric, 1234567 * Millimetre / 1000, "four digits before are no thousands"},
		{"14 1/2", Imperial, half, "14 1/2 × 25.4"},
		{"14-1/2", Imperial, half, ""},
		{`14-1/2"`, Metric, half, ""},
		{`14 1/2"`, Metric, half, ""},
		{"14 1/2 in", Metric, half, ""},
		{"14 1/2in.", Metric, half, ""},
		{"14 1/2”", Metric, half, "curly quote"},
		{"14 1/2″", Metric, half, "double prime"},
		{"14 1/2''", Metric, half, "two straight quotes"},
		{"14.5", Imperial, half, ""},
		{"14,5 inches", Metric, half, ""},
		{"14½", Imperial, half, ""},
		{"14 ½ inch", Metric, half, ""},
		{"14 1⁄2 in", Metric, half, "fraction slash"},
		{"14–1/2 in", Metric, half, "en dash"},
		{`1' 2 1/2"`, Metric, half, "12 + 2 1/2"},
		{`1'-2 1/2"`, Metric, half, ""},
		{`1'2½"`, Metric, half, ""},
		{"1’ 2 1/2”", Metric, half, "curly"},
		{"1′ 2 1/2″", Metric, half, "primes"},
		{"1' 2 1/2", Metric, half, "a bare number after feet is inches"},
		{"1 ft 2.5 in", Metric, half, ""},
		{"1ft. 2.5in.", Metric, half, ""},
		{"1 foot 2-1/2 inches", Metric, half, ""},
		{"1' 1/2", Metric, 12*Inch + Inch/2, "feet and a fraction of an inch"},
		{"1.5 ft", Metric, 18 * Inch, ""},
		{"1 1/2'", Metric, 18 * Inch, ""},
		{"3/64", Imperial, 3 * 396_875, "1/64 in = 396 875 nm"},
		{"⅜", Imperial, 3 * Inch / 8, ""},
		{"⅟2 in", Metric, Inch / 2, "one over"},
		{"14 1/2", Metric, mm(145), "a fraction is of the build's unit"},
		{"16/14", Imperial, 29_028_571, "25 400 000 × 16/14 = 29 028 571.4"},
		{"14.333333 in", Metric, 364_066_658, "25 400 000 × 14.333333 = 364 066 658.2"},
		{"10 000 m", Metric, Longest, ""},
	}
	for _, tt := range tests {
		got, err := ParseLength(tt.text, tt.def)
		if err != nil || got != tt.want {
			t.Errorf("ParseLength(%q, %q) = %v, %v; want %v (%s)", tt.text, tt.def, got, err, tt.want, tt.source)
		}
	}
}

func TestParseLengthKnowsEveryVulgarFraction(t *testing.T) {
	tape := map[rune]Length{'½': 32, '¼': 16, '¾': 48, '⅛': 8, '⅜': 24, '⅝': 40, '⅞': 56}
	for r := range vulgar() {
		got, err := ParseLength("14"+string(r), Imperial)
		if n, ok := tape[r]; ok {
			if want := 14*Inch + n*Inch/64; err != nil || got != want {
				t.Errorf("14%c = %v, %v; want %v", r, got, err, want)
			}
		} else if !errors.Is(err, ErrFraction) {
			t.Errorf("14%c = %v, %v; want ErrFraction", r, got, err)
		}
	}
}

func TestParseLengthRefuses(t *testing.T) {
	tests := []struct {
		text       string
		want       error
		understood string
	}{
		{"", ErrBlank, ""},
		{" \t\u00a0", ErrBlank, ""},
		{"0", ErrZero, "0"},
		{"0 mm", ErrZero, "0 mm"},
		{"0' 0\"", ErrZero, "0' 0\""},
		{"-5", ErrNegative, "5"},
		{"−5 1/2", ErrNegative, "5 1/2"},
		{"14 3/17", ErrFraction, "14"},
		{"3/17", ErrFraction, ""},
		{"14 1/128", ErrFraction, "14"},
		{"5/0", ErrFraction, ""},
		{"1/2/3", ErrFraction, "1/2"},
		{"14 1 /", ErrFraction, "14"},
		{"14 1/", ErrFraction, "14"},
		{"14 5/4", ErrFraction, "14"},
		{"14.5 1/2", ErrFraction, "14.5"},
		{"14 .5/2", ErrFraction, "14"},
		{"14 1", ErrNotLength, "14"},
		{"14 - 15", ErrNotLength, "14"},
		{"14 gauge", ErrNotLength, "14"},
		{"14 in 1/2", ErrNotLength, "14 in 1/2"},
		{"1' 14\"", ErrNotLength, "1'"},
		{"1'234", ErrNotLength, "1'"},
		{"1.5' 2\"", ErrNotLength, "1.5'"},
		{"2\" 1'", ErrNotLength, "2\""},
		{"1 m 20", ErrNotLength, "1 m 20"},
		{"1 ft 3 cm", ErrNotLength, "1 ft"},
		{"1.2.3", ErrNotLength, ""},
		{"1,23,456", ErrNotLength, ""},
		{".", ErrNotLength, ""},
		{"/2", ErrNotLength, ""},
		{"mm", ErrNotLength, ""},
		{"abc", ErrNotLength, ""},
		{"NaN", ErrNotLength, ""},
		{"Inf", ErrNotLength, ""},
		{"1e3", ErrNotLength, "1"},
		{"0x10", ErrNotLength, "0"},
		{"3 \x00", ErrNotLength, "3"},
		{"2-Jan", ErrNotLength, "2"},
		{"10001 m", ErrTooLong, ""},
		{"9999999 m", ErrTooLong, ""},
		{"99999999999999999999", ErrTooLong, ""},
		{"1 m 99999999 mm", ErrTooLong, "1 m"},
		{"1.2345678901234", ErrNotLength, ""},
		{"1111111111111111111111111111111111111111111111111111111111111111111111111111111111111111111111111111111", ErrNotLength, ""},
	}
	for _, tt := range tests {
		got, err := ParseLength(tt.text, Metric)
		var e *ParseError
		if got != 0 || !errors.Is(err, tt.want) || !errors.As(err, &e) {
			t.Errorf("ParseLength(%q) = %v, %v; want %v", tt.text, got, err, tt.want)
			continue
		}
		if e.Understood != tt.understood || e.Text != tt.text || e.Reason == "" {
			t.Errorf("ParseLength(%q): %+v; want understood %q", tt.text, e, tt.understood)
		}
	}
}

func TestParseLengthAsks(t *testing.T) {
	tests := []struct {
		text           string
		def            System
		comma, grouped Length
	}{
		{"1,234", Metric, 1234 * Millimetre / 1000, 1234 * Millimetre},
		{"12,500", Imperial, 12*Inch + Inch/2, 12500 * Inch},
		{"1,500 m", Metric, 1500 * Millimetre, 1500 * Metre},
	}
	for _, tt := range tests {
		_, err := ParseLength(tt.text, tt.def)
		var e *ParseError
		if !errors.Is(err, ErrAmbiguous) || !errors.As(err, &e) || len(e.Readings) != 2 ||
			e.Readings[0] != tt.comma || e.Readings[1] != tt.grouped {
			t.Errorf("ParseLength(%q) = %v, readings %v; want %v or %v", tt.text, err, e.Readings, tt.comma, tt.grouped)
		}
	}
	// Where one of the two cannot be, there is nothing to ask.
	if got, err := ParseLength("12,500 m", Metric); err != nil || got != 12500*Millimetre {
		t.Errorf("12,500 m = %v, %v; want 12.5 m, for 12.5 km is no harness", got, err)
	}
	if got, err := ParseLength("1' 2,125", Metric); err != nil || got != 14*Inch+Inch/8 {
		t.Errorf("1' 2,125 = %v, %v; want 14 1/8 in", got, err)
	}
	var e *ParseError
	if _, err := ParseLength("-4", Imperial); !errors.As(err, &e) || e.Value != -4*Inch {
		t.Errorf("the value of a negative length is lost: %+v", e)
	}
}

func TestFormatsReadBack(t *testing.T) {
	for i := range Length(64 * 150) {
		l := (i + 1) * Inch / 64
		for _, sys := range []System{Metric, Imperial} {
			if got, err := ParseLength(l.Exact(sys), sys); err != nil || got != l {
				t.Fatalf("%d/64 in: Exact(%s) = %q reads back as %v, %v", i+1, sys, l.Exact(sys), got, err)
			}
		}
		if l%(Inch/16) == 0 {
			main, other := l.Both(Imperial)
			if got, err := ParseLength(main, Metric); err != nil || got != l {
				t.Fatalf("%q reads back as %v, %v (beside %q)", main, got, err, other)
			}
		}
	}
	for i := range Length(120_000) {
		l := (i + 1) * Millimetre / 10
		for _, text := range []string{l.Format(Metric), l.Grouped(Metric), l.Exact(Metric), l.Exact(Imperial)} {
			if got, err := ParseLength(text, Imperial); err != nil || got != l {
				t.Fatalf("%d tenths: %q reads back as %v, %v", i+1, text, got, err)
			}
		}
	}
}

func TestFormat(t *testing.T) {
	tests := []struct {
		l                       Length
		metric, grouped, inches string
	}{
		{0, "0 mm", "0 mm", "0 in"},
		{half, "368.3 mm", "368.3 mm", "14 1/2 in"},
		{412 * Millimetre, "412 mm", "412 mm", "16 1/4 in"}, // 16.220 in = 16 3.5/16, halfway up
		{1234 * Millimetre, "1234 mm", "1 234 mm", "48 9/16 in"},
		{1234567 * Millimetre, "1234567 mm", "1 234 567 mm", "48605 in"},
		{Inch / 64, "0.4 mm", "0.4 mm", "0 in"},
		{Inch / 32, "0.8 mm", "0.8 mm", "1/16 in"},
		{Inch / 16, "1.6 mm", "1.6 mm", "1/16 in"},
		{Millimetre / 20, "0.1 mm", "0.1 mm", "0 in"},
		{-1500 * Millimetre, "-1500 mm", "-1 500 mm", "-59 1/16 in"},
		{-Inch / 2, "-12.7 mm", "-12.7 mm", "-1/2 in"},
	}
	for _, tt := range tests {
		if m, g, i := tt.l.Format(Metric), tt.l.Grouped(Metric), tt.l.Format(Imperial); m != tt.metric || g != tt.grouped || i != tt.inches {
			t.Errorf("%d nm: %q, %q, %q; want %q, %q, %q", int64(tt.l), m, g, i, tt.metric, tt.grouped, tt.inches)
		}
	}
}

func TestRoundCut(t *testing.T) {
	tests := []struct {
		l    Length
		sys  System
		want Length
	}{
		{0, Metric, 0},
		{1, Metric, 5 * Millimetre},
		{411 * Millimetre, Metric, 415 * Millimetre},
		{415 * Millimetre, Metric, 415 * Millimetre},
		{Metre, Metric, Metre},
		{Metre + 1, Metric, 1010 * Millimetre},
		{14*Inch + Inch/64, Imperial, 14*Inch + Inch/4},
		{36 * Inch, Imperial, 36 * Inch},
		{36*Inch + Inch/64, Imperial, 37 * Inch},
	}
	for _, tt := range tests {
		if got := tt.l.RoundCut(tt.sys); got != tt.want {
			t.Errorf("%v.RoundCut(%s) = %v, want %v", tt.l, tt.sys, got, tt.want)
		}
	}
	for _, sys := range []System{Metric, Imperial} {
		last := Length(0)
		for l := Length(0); l < 3*Metre; l += 777_777 {
			got := l.RoundCut(sys)
			if got < l || got < last {
				t.Fatalf("%v.RoundCut(%s) = %v after %v: it must never be shorter", l, sys, got, last)
			}
			last = got
		}
	}
}

func TestLengthIsAnIntegerInJSON(t *testing.T) {
	out, err := json.Marshal(half)
	if err != nil || string(out) != "368300000" {
		t.Errorf("Marshal = %s, %v", out, err)
	}
	var l Length
	for _, bad := range []string{"1.5", `"5"`, "1e3", "9223372036854775808"} {
		if err := json.Unmarshal([]byte(bad), &l); err == nil {
			t.Errorf("%s was taken as a length: %d", bad, l)
		}
	}
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"14 1/2", `1'-2 1/2"`, "36,8 cm", "1,234", "14 3/17", "5/0", "½", "1 m 20", "-0", "1 234,5"} {
		f.Add(s, true)
		f.Add(s, false)
	}
	f.Fuzz(func(t *testing.T, text string, imperial bool) {
		sys := Metric
		if imperial {
			sys = Imperial
		}
		l, err := ParseLength(text, sys)
		if err != nil {
			var e *ParseError
			if !errors.As(err, &e) || e.Text != text || e.Reason == "" || l != 0 {
				t.Fatalf("%q: %v, %#v", text, l, err)
			}
			return
		}
		if l <= 0 || l > Longest {
			t.Fatalf("%q = %d nm, out of range", text, int64(l))
		}
		if again, err := ParseLength(l.Exact(sys), sys); err != nil || again != l {
			t.Fatalf("%q = %v, but %q = %v, %v", text, l, l.Exact(sys), again, err)
		}
	})
}
