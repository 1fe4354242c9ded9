package tag

import (
	"testing"

	"loomwright/calc/unit"
)

func square(t *testing.T, text string, dpi, dots int) Square {
	t.Helper()
	s, err := NewSymbol(text, FloorLevel)
	if err != nil {
		t.Fatal(err)
	}
	return Square{s, dpi, dots}
}

const exampleLink = "https://harness.example/app-1/#7K3F9Q2M"

// The numbers of times read are what build/printed measured.
func TestGrade(t *testing.T) {
	for _, c := range []struct {
		text      string
		dpi, dots int
		diameter  float64 // mm; 0 is flat
		want      Grade
		source    string
	}{
		{good, 300, 3, 0, Scans, "0.254 mm, 12 of 12"},
		{good, 203, 2, 0, Scans, "0.2502 mm, two dots of 203 to the inch, 12 of 12"},
		{good, 600, 5, 0, Doubtful, "0.212 mm"},
		{good, 300, 2, 0, Doubtful, "0.169 mm, 10 of 12"},
		{good, 180, 1, 0, WillNot, "0.141 mm, 4 of 12"},
		{good, 203, 1, 0, WillNot, "0.125 mm, 1 of 12"},
		{good, 300, 3, 9.5, Scans, "the dark part takes 18 in a hundred of the round, 12 of 12 at 20"},
		{good, 300, 3, 6, Doubtful, "28 in a hundred, 11 of 12 at 30"},
		{good, 300, 3, 4.8, WillNot, "35 in a hundred, 0 of 12"},
		{good, 300, 6, 8.1, WillNot, "42 in a hundred, 0 of 8"},
		{exampleLink, 300, 3, 13.1, Scans, "18 in a hundred, 11 of 12 at 20"},
		{exampleLink, 300, 3, 8, Doubtful, "29 in a hundred"},
		{exampleLink, 300, 6, 15.2, WillNot, "31 in a hundred, 0 of 8 at 32: level M corrects half of what H does"},
		{good, 300, 2, 60, Doubtful, "round something thick it is as good as flat"},
		{good, 300, 2, 4.5, WillNot, "small and round"},
		{good, 300, 4, 2, WillNot, "no thin wire carries one"},
		{good, 300, 4, 0.01, WillNot, "many times round"},
	} {
		q := square(t, c.text, c.dpi, c.dots)
		got := q.Flat()
		if c.diameter > 0 {
			got = q.Grade(unit.Length(c.diameter * 1e6))
		}
		if got != c.want {
			t.Errorf("modules of %.3f mm at level %s round %g mm: %s, want %s (%s)", q.Module(), q.Level, c.diameter, got, c.want, c.source)
		}
	}
	if got := square(t, good, 300, 4).Grade(0); got != WillNot {
		t.Errorf("round something whose thickness is not known: %s", got)
	}
}

// Of the sizes that a print can make, the surest is taken, and of those the largest.
func TestRound(t *testing.T) {
	for _, c := range []struct {
		diameter float64
		dots     int
		grade    Grade
	}{
		{20, 5, Scans}, {10, 3, Scans}, {8, 5, Doubtful}, {5.2, 3, Doubtful}, {3, 5, WillNot},
	} {
		s := square(t, good, 300, 1).Symbol
		q, grade, err := s.Round(Print{DPI: 300, Width: 13 * unit.Millimetre}, unit.Length(c.diameter*1e6))
		if err != nil || q.Dots != c.dots || grade != c.grade || q.Grade(unit.Length(c.diameter*1e6)) != grade {
			t.Errorf("round %g mm: %d dots, %s, %v; want %d, %s", c.diameter, q.Dots, grade, err, c.dots, c.grade)
		}
	}
	if q, grade, err := square(t, good, 300, 1).Round(Print{DPI: 300, Width: 13 * unit.Millimetre, Smallest: unit.Millimetre / 3}, 10*unit.Millimetre); err != nil || q.Dots != 5 || grade != Doubtful {
		t.Errorf("with a least module of a third of a millimetre: %d dots, %s, %v", q.Dots, grade, err)
	}
	if _, _, err := square(t, good, 300, 1).Round(Print{DPI: 300, Width: 3 * unit.Millimetre}, 20*unit.Millimetre); err == nil {
		t.Error("a square of 3 mm was made")
	}
}
