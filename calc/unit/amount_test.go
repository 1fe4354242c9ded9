package unit

import "testing"

func TestParseAmount(t *testing.T) {
	for _, x := range []struct {
		text string
		want float64
		ok   bool
	}{
		{"0.2", 0.2, true}, {" 0,2 ", 0.2, true}, {"10", 10, true}, {"-5", -5, true},
		{"", 0, false}, {"nan", 0, false}, {"inf", 0, false}, {"1,234.5", 0, false}, {"12 V", 0, false}, {"100.1", 0, false}, {"-10.1", 0, false},
	} {
		if got, ok := ParseAmount(x.text, -10, 100); got != x.want || ok != x.ok {
			t.Errorf("ParseAmount(%q) = %v, %v", x.text, got, ok)
		}
	}
}
