package unit

import (
	"math"
	"testing"
)

func TestTerm(t *testing.T) {
	tests := []struct {
		term Term
		want string
	}{
		{Term{Value: 12.5, Unit: "A"}, "12.5 A"},
		{Term{Value: 0.033308, Unit: "ohm"}, "0.0333 ohm"},
		{Term{Value: 1234.5, Unit: "A"}, "1235 A"},
		{Term{Value: 99.96}, "100"},
		{Term{Value: 0.85}, "0.85"},
		{Term{Value: 29.75, Unit: "A"}, "29.8 A"},
		{Term{Value: -0.0005}, "-0.0005"},
		{Term{Value: 0, Unit: "K"}, "0 K"},
		{Term{Value: 1e-15}, "0"},
		{Term{Value: 360000, Unit: "s"}, "360000 s"},
		{Term{Value: math.Inf(1), Unit: "s"}, "unknown s"},
		{Term{Text: "0.5 mm2", Value: 3, Unit: "A"}, "0.5 mm2"},
	}
	for _, tt := range tests {
		if got := tt.term.String(); got != tt.want {
			t.Errorf("%+v is shown as %q, want %q", tt.term, got, tt.want)
		}
	}
}
