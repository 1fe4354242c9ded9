package bundle

import (
	"encoding/csv"
	"math"
	"os"
	"reflect"
	"strconv"
	"strings"
	"testing"
)

// covers reads the reference sizes.
func covers(t *testing.T) [][]string {
	t.Helper()
	f, err := os.Open("../../testdata/reference/heat_shrink_and_loom.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return lines[1:]
}

// TestUsual: every size of the reference list is there, with its numbers, and no other.
func TestUsual(t *testing.T) {
	kinds := map[string]CoverKind{"heat_shrink_2:1": Shrink2, "heat_shrink_3:1_adhesive": Shrink3, "split_loom_nominal_id": SlitTube,
		"corrugated_tube_NW": Corrugated, "braided_sleeve_range": Braid, "grommet": GrommetFor}
	left := map[string]Stock{}
	for _, s := range Usual() {
		left[string(s.Kind)+s.Name] = s
	}
	for _, line := range covers(t) {
		kind, ok := kinds[line[0]]
		if !ok {
			continue
		}
		s, ok := left[string(kind)+line[1]]
		delete(left, string(kind)+line[1])
		numbers := map[float64]bool{0: true, s.Inside: true, s.Least: true, s.Wall: true, s.Hole: true, s.Panel: true}
		for _, text := range strings.FieldsFunc(strings.Join(line[2:6], " "), func(r rune) bool { return r != '.' && (r < '0' || r > '9') }) {
			if x, err := strconv.ParseFloat(text, 64); err == nil && !numbers[x] {
				t.Errorf("%s %s: %v is not in %+v", line[0], line[1], x, s)
			}
		}
		if !ok || s.Source == "" || s.Inside <= 0 {
			t.Errorf("%s %s: %+v (%s: %s)", line[0], line[1], s, line[7], line[6])
		}
	}
	if len(left) > 0 {
		t.Errorf("not on the reference list: %v", left)
	}
}

// TestChooseReference: the worked choices, which are made with margins of 5 %.
func TestChooseReference(t *testing.T) {
	n := 0
	for _, line := range covers(t) {
		if line[0] != "select_2:1_example" {
			continue
		}
		n++
		d, err := strconv.ParseFloat(strings.TrimPrefix(line[5], "object diameter "), 64)
		if err != nil {
			t.Fatal(err)
		}
		c := Choose(Shrink2, d, 0, Usual(), Fit{Over: 1.05, Onto: 0.95})
		if !c.OK || c.Stock.Name != line[1] {
			t.Errorf("over %v: %q, want %q (%s: %s)", d, c.Stock.Name, line[1], line[7], line[6])
		}
	}
	if n < 5 {
		t.Errorf("%d worked choices", n)
	}
}

func TestChoose(t *testing.T) {
	own := []Stock{{Kind: SlitTube, Name: "13", Inside: 13}, {Kind: SlitTube, Name: "10", Inside: 10}}
	for _, c := range []struct {
		name      string
		kind      CoverKind
		d, passes float64
		stock     []Stock
		want      string // "" is none
	}{
		{"heat-shrink, 1.2 × and under 0.9 ×", Shrink2, 5, 0, Usual(), "1/4 in"},
		{"heat-shrink that must pass a terminal", Shrink2, 5, 6.5, Usual(), ""},
		{"3:1 passes the same terminal", Shrink3, 5, 6.5, Usual(), "9/3"},
		{"slit tube 80 % full", SlitTube, 8.4, 0, Usual(), "3/8 in"},
		{"slit tube a little more", SlitTube, 8.6, 0, Usual(), "1/2 in"},
		{"own list, not in order", SlitTube, 8, 0, own, "10"},
		{"own list has no braid", Braid, 8, 0, own, ""},
		{"braid", Braid, 10, 0, Usual(), "1/4 in"},
		{"braid over a connector", Braid, 10, 15, Usual(), "3/8 in"},
		{"thick braid", Braid, 60, 0, Usual(), ""},
		{"grommet with room to grow", GrommetFor, 10, 0, Usual(), "12.7 mm inside"},
		{"unknown diameter", Shrink2, 0, 0, Usual(), ""},
		{"no number", Shrink2, math.NaN(), 0, Usual(), ""},
		{"too thick for all", Corrugated, 40, 0, Usual(), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Choose(c.kind, c.d, c.passes, c.stock, Fit{})
			if got.OK != (c.want != "") || got.Stock.Name != c.want {
				t.Errorf("got %q, want %q: %+v", got.Stock.Name, c.want, got.Terms)
			}
			if len(got.Terms) == 0 {
				t.Error("no reason")
			}
		})
	}
	if got := Choose(Shrink2, 5, 0, Usual(), Fit{}); math.Abs(got.Outside-6.28) > 1e-9 {
		t.Errorf("outside %v, want 5 and two walls of 0.64", got.Outside)
	}
}

func TestBend(t *testing.T) {
	if r, _ := Bend(12, false); r != 120 {
		t.Errorf("%v, want 10 × (AC 43.13-1B)", r)
	}
	if r, _ := Bend(12, true); r != 36 {
		t.Errorf("%v, want 3 × at a terminal strip", r)
	}
}

func TestMass(t *testing.T) {
	r := Run{ID: "r", Length: 2, Cover: 20, Wires: []Wire{{ID: "a", Copper: 9, Mass: 12, Sleeve: "s"}, {ID: "b", Copper: 9, Mass: 12, Sleeve: "s"}, {ID: "c", Copper: 4}}}
	w := Mass(r, []Sleeve{{ID: "s", Mass: 5, In: "o"}, {ID: "o"}})
	if w.Copper != 44 || w.Loom != 48+10+40 || !reflect.DeepEqual(w.Unknown, []string{"o", "c"}) {
		t.Errorf("%+v", w)
	}
	sum := 0.0
	for _, term := range w.Terms[2:] {
		sum += term.Value
	}
	if sum != w.Loom {
		t.Errorf("the terms come to %v, the loom to %v", sum, w.Loom)
	}
	if r.Length = 0; len(Mass(r, nil).Unknown) < 3 {
		t.Error("with no length all is unknown")
	}
}
