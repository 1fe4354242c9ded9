package kit

import "testing"

func TestNumbersAreSaidInOnePiece(t *testing.T) {
	for text, want := range map[string]string{
		"Cut to 1 850 mm, mark both ends W31": "Cut to 1850 millimetres, mark both ends W31",
		"0.5 mm², red":                        "0.5 square millimetres, red",
		"A14 12 850 mm":                       "A14 12850 millimetres",
		"W3 1 850 mm. A":                      "W3 1850 millimetres. A",
	} {
		if got := Spoken(text); got != want {
			t.Errorf("%q is said %q, want %q", text, got, want)
		}
	}
}
