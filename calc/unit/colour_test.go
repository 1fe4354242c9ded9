package unit

import (
	"strings"
	"testing"
)

func TestParseColour(t *testing.T) {
	tests := []struct{ text, base, tracer, code string }{
		{"rd/wht", "red", "white", "RD/WH"},
		{"R-W", "red", "white", "RD/WH"},
		{"R/W", "red", "white", "RD/WH"},
		{"rot/weiss", "red", "white", "RD/WH"},
		{"rot-weiß", "red", "white", "RD/WH"},
		{"red white", "red", "white", "RD/WH"},
		{"RED WITH WHITE", "red", "white", "RD/WH"},
		{"white on red", "red", "white", "RD/WH"},
		{"RDWH", "red", "white", "RD/WH"},
		{"yellow/green", "yellow", "green", "YE/GN"},
		{"GNYE", "green", "yellow", "GN/YE"},
		{"sw/bl", "black", "blue", "BK/BU"},
		{"ge/gr", "yellow", "grey", "YE/GY"},
		{"br/ws", "brown", "white", "BN/WH"},
		{"gray", "grey", "", "GY"},
		{"Purple", "violet", "", "VT"},
		{"orange", "orange", "", "OG"},
		{" BU ", "blue", "", "BU"},
		{"", "", "", ""},
		{"bl/wh", "bl", "white", "bl/WH"}, // black or blue
		{"gr", "gr", "", "gr"},            // green or grey
		{"B/R", "B", "red", "B/RD"},       // black or blue
		{"mauve/wh", "mauve", "white", "mauve/WH"},
		{"light blue", "light blue", "", "light blue"},
		{"red/tartan", "red", "tartan", "RD/tartan"},
		{"red/", "red/", "", "red/"},
		{"-", "-", "", "-"},
	}
	for _, tt := range tests {
		got := ParseColour(tt.text)
		if got.Base != tt.base || got.Tracer != tt.tracer || got.Code() != tt.code {
			t.Errorf("ParseColour(%q) = %+v, code %q; want %q, %q, %q", tt.text, got, got.Code(), tt.base, tt.tracer, tt.code)
		}
	}
}

// Every code of the two standards is the colour that they say; German codes that mean something else outside German
// charts need a German one beside them.
func TestColourCodesOfStandards(t *testing.T) {
	seen := 0
	for _, row := range table(t, "wire_colours.csv") {
		want, _, _ := strings.Cut(row["colour"], " (")
		code := row["code"]
		switch {
		case code == "GNYE":
			if got := ParseColour(code); got.String() != "green/yellow" {
				t.Errorf("%s = %v", code, got)
			}
		case strings.HasPrefix(row["system"], "IEC"):
			if got := ParseColour(code); got.Base != want || got.Code() != code {
				t.Errorf("%s = %q, code %q; want %q (%s)", code, got, got.Code(), want, row["source"])
			}
		default:
			for _, beside := range []string{"sw", "rt"} {
				if got := ParseColour(beside + "/" + code); got.Tracer != want {
					t.Errorf("%s/%s = %q; want tracer %q (%s)", beside, code, got, want, row["source"])
				}
			}
		}
		seen++
	}
	if seen < 20 {
		t.Errorf("only %d codes", seen)
	}
}

func TestColourNamesReadBack(t *testing.T) {
	for _, base := range ColourNames() {
		for _, tracer := range append(ColourNames(), "") {
			c := Colour{base, tracer}
			if got := ParseColour(c.String()); got != c {
				t.Errorf("%v reads back as %v", c, got)
			}
			if got := ParseColour(c.Code()); got != c {
				t.Errorf("%s reads back as %v, want %v", c.Code(), got, c)
			}
		}
	}
}

func FuzzParseColour(f *testing.F) {
	for _, s := range []string{"rd/wht", "R-W", "white on red", "GNYE", "/", "İ on Ⱥ"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c := ParseColour(text)
		if strings.TrimSpace(text) != "" && c.Base == "" {
			t.Fatalf("%q lost its colour", text)
		}
		known := func(name string) bool { return ColourCode(name) != name }
		if known(c.Base) && known(c.Tracer) && ParseColour(c.String()) != c {
			t.Fatalf("%q = %v, which reads back as %v", text, c, ParseColour(c.String()))
		}
	})
}
