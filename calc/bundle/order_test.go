package bundle

import (
	"math"
	"reflect"
	"strings"
	"testing"
)

func TestLayUp(t *testing.T) {
	parts := []Part{{ID: "near", Diameter: 2, Rank: 0.5}, {ID: "far", Diameter: 2, Rank: 3}, {ID: "thin", Diameter: 1, Rank: 0.5},
		{ID: "pair", Rank: 2, Parts: []Part{{ID: "x", Diameter: 2}, {ID: "y", Diameter: 2}}}, {ID: "mid", Diameter: 2, Rank: 1}}
	var order, in []string
	last := 0
	for _, s := range LayUp(parts) {
		order, in = append(order, s.ID), append(in, s.Parts...)
		if s.Layer < last {
			t.Errorf("%s is in layer %d after %d", s.ID, s.Layer, last)
		}
		last = s.Layer
	}
	if got := strings.Join(order, " "); got != "far pair mid near thin" || strings.Join(in, " ") != "x y" {
		t.Errorf("%s, with %v", got, in)
	}
	layers := map[int]int{}
	for _, s := range LayUp(make19()) {
		layers[s.Layer]++
	}
	if want := map[int]int{0: 1, 1: 6, 2: 12}; !reflect.DeepEqual(layers, want) {
		t.Errorf("layers of 19: %v, want %v (full rounds)", layers, want)
	}
	if len(LayUp(nil)) != 0 || len(LayUp([]Part{{ID: "?"}})) != 1 {
		t.Error("nothing, or one unknown")
	}
}

func make19() (parts []Part) {
	for i := range 19 {
		parts = append(parts, Part{ID: string(rune('a' + i)), Diameter: 1.6})
	}
	return parts
}

func TestThread(t *testing.T) {
	plug, bundle := Bulk{"connector", 22}, Bulk{"bundle", 9}
	for _, c := range []struct {
		name  string
		slide Slide
		want  When
		from  int
		stops int
	}{
		{"passes the connector", Slide{Bore: 25.4, Ends: [2][]Bulk{{plug, bundle}, {plug}}}, Later, 0, 0},
		{"passes from the bare end", Slide{Bore: 12.7, Ends: [2][]Bulk{{plug}, {bundle}}}, Later, 1, 1},
		{"passes from neither", Slide{Bore: 12.7, Ends: [2][]Bulk{{plug}, {bundle, plug}}}, Now, 0, 2},
		{"opens", Slide{Open: true, Ends: [2][]Bulk{{plug}, {plug}}}, Later, 0, 0},
		{"bore unknown", Slide{Ends: [2][]Bulk{{plug}, {plug}}}, NotSure, 0, 0},
		{"one end unknown", Slide{Bore: 12.7, Ends: [2][]Bulk{{plug}, {{"boot", 0}}}}, NotSure, 0, 1},
		{"one end unknown, the other passes", Slide{Bore: 12.7, Ends: [2][]Bulk{{{"boot", 0}}, {bundle}}}, Later, 1, 0},
		{"too thick whatever the unknown", Slide{Bore: 12.7, Ends: [2][]Bulk{{plug, {"boot", 0}}, {plug}}}, Now, 0, 2},
		{"nothing at the end", Slide{Bore: 12.7}, Later, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Thread([]Slide{c.slide})[0]
			if got.When != c.want || got.From != c.from || len(got.Stops) != c.stops || len(got.Terms) == 0 {
				t.Errorf("%+v", got)
			}
		})
	}
}

func TestPulls(t *testing.T) {
	plug, branch := Bulk{"connector", 30}, Bulk{"branch folded", 16}
	for _, c := range []struct {
		name    string
		in      Through
		passes  bool
		from    int
		largest string
		grommet GrommetOn
		tooBig  int
	}{
		{"from the side with the large plug", Through{Hole: 25, Bore: 12.7, Bundle: 10, Sides: [2][]Bulk{{plug}, {branch}}}, true, 0, "branch folded", OnBefore, 0},
		{"the other way round", Through{Hole: 25, Bore: 19.1, Bundle: 10, Sides: [2][]Bulk{{branch}, {plug}}}, true, 1, "branch folded", InPanel, 0},
		{"neither way", Through{Hole: 25, Bore: 19.1, Bundle: 10, Sides: [2][]Bulk{{plug}, {plug}}}, false, 0, "connector", OnBefore, 1},
		{"nothing made yet", Through{Hole: 25, Bore: 12.7, Bundle: 10}, true, 0, "bundle", InPanel, 0},
		{"bundle too thick for its grommet", Through{Hole: 25, Bore: 9.5, Bundle: 10}, true, 0, "bundle", GrommetToo, 0},
		{"slit grommet", Through{Hole: 25, Bore: 12.7, Slit: true, Bundle: 10, Sides: [2][]Bulk{{plug}, {branch}}}, true, 0, "branch folded", SlitOn, 0},
		{"no grommet", Through{Hole: 9, Bundle: 10}, false, 0, "bundle", NoGrommet, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Pulls(c.in)
			if !got.Known || got.Passes != c.passes || got.From != c.from || got.Largest.Name != c.largest || got.Grommet != c.grommet || len(got.TooBig) != c.tooBig {
				t.Errorf("%+v", got)
			}
			if math.Abs(got.Room-(c.in.Hole-got.Largest.Size)) > 1e-12 {
				t.Errorf("room %v", got.Room)
			}
		})
	}
	got := Pulls(Through{Bundle: 10, Sides: [2][]Bulk{{{"boot", 0}}, nil}})
	if got.Known || got.Passes || !reflect.DeepEqual(got.Unknown, []string{"hole", "boot"}) {
		t.Errorf("unknown: %+v", got)
	}
}

func TestFolded(t *testing.T) {
	if got := Folded(10, 6); got != 16 {
		t.Errorf("%v, want 16: side by side", got)
	}
	if got := Folded(10, 0); got != 0 {
		t.Errorf("%v with an unknown branch, want 0", got)
	}
}

func TestDraw(t *testing.T) {
	b := lay(t, []Part{{ID: "a", Diameter: 2}, {ID: "s", Wall: 0.5, Parts: []Part{{ID: "b", Diameter: 1}, {ID: "c", Diameter: 1}}}, {ID: "t", Parts: []Part{{ID: "d", Diameter: 1}, {ID: "e", Diameter: 1}}}})
	s := Draw(b, 0.8)
	var kinds, letters []string
	for _, r := range s.Rings {
		kinds, letters = append(kinds, string(r.Kind)), append(letters, r.Letter)
		if r.X-r.R < -1e-9 || r.Y-r.R < -1e-9 || r.X+r.R > s.Width+1e-9 || r.Y+r.R > s.Height+1e-9 || r.R <= 0 {
			t.Errorf("outside the picture: %+v", r)
		}
	}
	if got := strings.Join(kinds, " "); got != "cover bundle wire sleeve inside wire wire group wire wire" {
		t.Error(got)
	}
	if got := strings.Join(letters, ""); got != "ABCDE" {
		t.Error(got)
	}
	if s.Width != b.Diameter+1.6 || len(Draw(Bundle{}, 1).Rings) != 0 {
		t.Errorf("width %v", s.Width)
	}
}

func TestLetter(t *testing.T) {
	for n, want := range map[int]string{0: "A", 7: "H", 8: "J", 23: "Z", 24: "AA", 25: "AB", 24 + 24*24 - 1: "ZZ", 24 + 24*24: "AAA"} {
		if got := Letter(n); got != want {
			t.Errorf("%d: %s, want %s", n, got, want)
		}
	}
}
