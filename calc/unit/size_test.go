package unit

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// table reads a reference table: one map a row, by column.
func table(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/reference/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d rows, %v", name, len(all), err)
	}
	var rows []map[string]string
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, c := range cells {
			row[all[0][i]] = c
		}
		rows = append(rows, row)
	}
	return rows
}

func TestParseSize(t *testing.T) {
	tests := []struct{ text, want string }{
		{"18", "18 AWG"}, {"18 AWG", "18 AWG"}, {"awg18", "18 AWG"}, {"AWG 18", "18 AWG"}, {"18awg", "18 AWG"}, {"#18", "18 AWG"},
		{"18 ga", "18 AWG"}, {"18 gauge", "18 AWG"}, {" 18\t AWG ", "18 AWG"}, {"8", "8 AWG"}, {"4 AWG", "4 AWG"}, {"1 awg", "1 AWG"},
		{"2/0", "2/0 AWG"}, {"00", "2/0 AWG"}, {"0 AWG", "1/0 AWG"}, {"1/0", "1/0 AWG"}, {"4/0 awg", "4/0 AWG"},
		{"0.75", "0.75 mm2"}, {"0,75 mm2", "0.75 mm2"}, {"0.75mm²", "0.75 mm2"}, {"0,75 qmm", "0.75 mm2"}, {"0.75 sq mm", "0.75 mm2"},
		{"0.750", "0.75 mm2"}, {"1.0", "1.0 mm2"}, {"1 mm2", "1.0 mm2"}, {"1,5", "1.5 mm2"}, {"16 mm2", "16 mm2"}, {"0.35", "0.35 mm2"},
		{"0.125 mm^2", "0.125 mm2"}, {"25 mm2", "25 mm2"},
	}
	for _, tt := range tests {
		got, err := ParseSize(tt.text)
		if err != nil || got.String() != tt.want {
			t.Errorf("ParseSize(%q) = %q, %v; want %q", tt.text, got, err, tt.want)
		}
		if again, err := ParseSize(got.String()); err != nil || again != got {
			t.Errorf("%q reads back as %q, %v", got, again, err)
		}
	}
	refused := []struct {
		text string
		want error
	}{
		{"", ErrBlank}, {"  ", ErrBlank}, {"1", ErrAmbiguous}, {"6", ErrAmbiguous}, {"36", ErrNotSize}, {"99 awg", ErrNotSize},
		{"0.75 mm", ErrNotSize}, {"0.001", ErrNotSize}, {"400 mm2", ErrNotSize}, {"thin", ErrNotSize}, {"-18", ErrNotSize},
		{"0.5.5", ErrNotSize}, {"5/0", ErrNotSize}, {"1.5 awg", ErrNotSize}, {".75", ErrNotSize}, {"0,75,5", ErrNotSize},
		{strings.Repeat("1", 50), ErrNotSize}, {"0.75\x00", ErrNotSize},
	}
	for _, tt := range refused {
		got, err := ParseSize(tt.text)
		var e *ParseError
		if got.Known() || !errors.Is(err, tt.want) || !errors.As(err, &e) || e.Text != tt.text {
			t.Errorf("ParseSize(%q) = %q, %v; want %v", tt.text, got, err, tt.want)
		}
	}
}

func TestAreaOfGauges(t *testing.T) {
	for _, row := range table(t, "awg.csv") {
		s, err := ParseSize(row["awg"] + " AWG")
		if err != nil {
			t.Errorf("%s: %v", row["awg"], err)
			continue
		}
		want, err := strconv.ParseFloat(row["area_mm2"], 64)
		if err != nil || math.Abs(s.Area()-want) > 0.0006*want {
			t.Errorf("%v: %.4f mm2, want %v (%s)", s, s.Area(), row["area_mm2"], row["source"])
		}
	}
}

func TestCompareSizes(t *testing.T) {
	size := func(s string) Size {
		v, err := ParseSize(s)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	order := []Size{{}, size("24"), size("0.35"), size("20"), size("0.75"), size("18"), size("1.0"), size("16"), size("1 awg"), size("4/0")}
	for i, a := range order {
		for j, b := range order {
			if got := a.Compare(b); got != max(-1, min(1, i-j)) {
				t.Errorf("%q against %q: %d", a, b, got)
			}
		}
	}
}

func FuzzParseSize(f *testing.F) {
	for _, s := range []string{"18", "2/0", "0,75 mm2", "#18", "1.0", "00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSize(text)
		if (err == nil) != s.Known() {
			t.Fatalf("%q: %q, %v", text, s, err)
		}
		if err == nil {
			if again, err := ParseSize(s.String()); err != nil || again != s || s.Area() <= 0 {
				t.Fatalf("%q = %q, which reads back as %q, %v", text, s, again, err)
			}
		}
	})
}
