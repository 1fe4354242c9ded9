package survey

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/unit"
)

// bend reads a chain whose middle run has two corners: ab 500, bc 300 and cd 400 by string, and bc once more by tape.
func bentStreet(t *testing.T, edit func(id string, r *harness.Reading)) *harness.Build {
	b := world(t, street+"read r1 500 ab\nread r2 300 bc\nread r3 400 cd")
	put := func(kind harness.Kind, id string, record any) {
		t.Helper()
		harnesstest.Put(t, b, kind, id, record)
	}
	r, _ := b.Runs.Get("bc")
	r.Corners = 2
	put(harness.KindRun, "bc", r)
	for _, x := range b.Readings.All() {
		if edit != nil {
			edit(x.ID, &x)
			put(harness.KindReading, x.ID, x)
		}
	}
	return b
}

func count(n int) *int { return &n }

func millimetres(mm float64) *unit.Length {
	l := unit.Length(mm * 1e6)
	return &l
}

func TestCorners(t *testing.T) {
	const mm = unit.Millimetre
	bundles := Bundles{"ab": 10 * mm, "bc": 20 * mm, "cd": 20 * mm}
	for _, tt := range []struct {
		name    string
		bundles Bundles
		edit    func(id string, r *harness.Reading)
		want    map[string]float64 // what the corners of a run add, mm
		flat    []string
	}{
		{"the bundle is not known", nil, nil, map[string]float64{"bc": 0}, []string{"r2"}},
		// Source: 20 mm loom, 3 mm string: 13 mm a corner; 0.785 × 17 = 13.345.
		{"the corners of the run", bundles, nil, map[string]float64{"ab": 0, "bc": 26.69, "cd": 0}, nil},
		{"a rope as thick as the loom reads right", bundles, func(id string, r *harness.Reading) { r.Thick = millimetres(20) }, map[string]float64{"bc": 0}, nil},
		{"one that is thicker is left as it was read", bundles, func(id string, r *harness.Reading) { r.Thick = millimetres(30) }, map[string]float64{"bc": 0}, nil},
		{"the reading says three", bundles, func(id string, r *harness.Reading) { r.Corners = count(3) },
			map[string]float64{"ab": 3 * 0.785 * 7, "bc": 3 * 13.345, "cd": 3 * 13.345}, nil},
		{"the reading says none", bundles, func(id string, r *harness.Reading) { r.Corners = count(0) }, map[string]float64{"bc": 0}, nil},
		{"off a drawing there are none", bundles, func(id string, r *harness.Reading) { r.Method = harness.ByDrawing }, map[string]float64{"bc": 0}, nil},
		{"a tape has no thickness", bundles, func(id string, r *harness.Reading) { r.Method = harness.ByTape }, map[string]float64{"bc": 2 * 0.785 * 20}, nil},
	} {
		b := bentStreet(t, tt.edit)
		l := Adjust(b, tt.bundles)
		for run, want := range tt.want {
			k, ok := l.Run(run)
			if math.Abs(k.Corners.MM()-want) > 1e-5 || !ok || k.Bundled != (tt.bundles[run] > 0) {
				t.Errorf("%s: %s has %v for corners, want %v mm", tt.name, run, k.Corners, want)
			}
			if plain, _ := Adjust(b, nil).Run(run); k.Read() != plain.Length {
				t.Errorf("%s: %s without corners is %v, as read %v", tt.name, run, k.Read(), plain.Length)
			}
		}
		if got := l.Uncorrected(); !slices.Equal(got, tt.flat) {
			t.Errorf("%s: not corrected are %v, want %v", tt.name, got, tt.flat)
		}
		again := Adjust(b, Bundles{"bc": 5 * mm}).WithBundles(tt.bundles)
		if !reflect.DeepEqual(again.All(), l.All()) || !reflect.DeepEqual(again.Fits(), l.Fits()) {
			t.Errorf("%s: with other bundles at first it is\n%+v\nnot\n%+v", tt.name, again.All(), l.All())
		}
	}
}

// A string over several runs is corrected by the bundle of each, and the part of the correction on each run follows the
// adjustment.
func TestCornersOfALongString(t *testing.T) {
	b := bentStreet(t, func(id string, r *harness.Reading) {
		if id == "r3" {
			r.Runs, r.Value = []string{"ab", "bc", "cd"}, 1200*unit.Millimetre
		}
	})
	bundles := Bundles{"bc": 20 * unit.Millimetre, "cd": 15 * unit.Millimetre}
	l := Adjust(b, bundles)
	cd, _ := l.Run("cd")
	if cd.Length != 400*unit.Millimetre || cd.Corners != 0 {
		t.Errorf("cd is %v, %v of it for corners: the string lost as much on bc as bc's own reading", cd.Length, cd.Corners)
	}
	s := l.Path([]string{"ab", "bc", "cd"})
	if want := 1_226_690_000 * unit.Nanometre; s.Length != want || s.Corners != want-1200*unit.Millimetre {
		t.Errorf("the way is %v, %v of it for corners, want %v", s.Length, s.Corners, want)
	}
	if d, ok := l.Bundle("bc"); !ok || d != 20*unit.Millimetre {
		t.Errorf("the bundle is %v", d)
	}
}

// A bundle that makes a run come out at zero or less is seen.
func TestBundlesCanContradict(t *testing.T) {
	b := bentStreet(t, func(id string, r *harness.Reading) {
		switch id {
		case "r2":
			r.Corners, r.Value = count(0), 300*unit.Millimetre
		case "r3":
			r.Runs, r.Value, r.Corners = []string{"bc", "cd"}, 310*unit.Millimetre, count(0)
		}
	})
	l := Adjust(b, nil)
	if k, ok := l.Run("cd"); !ok || k.Length != 10*unit.Millimetre {
		t.Fatalf("cd is %+v", k)
	}
	b = bentStreet(t, func(id string, r *harness.Reading) {
		if id == "r3" {
			r.Runs, r.Value, r.Corners = []string{"bc", "cd"}, 310*unit.Millimetre, count(0)
		}
	})
	if l = Adjust(b, nil).WithBundles(Bundles{"bc": 20 * unit.Millimetre}); l.known["cd"].Why != Contradicted || len(l.Contradictions()) != 1 {
		t.Errorf("cd is %+v", l.known["cd"])
	}
}

func TestSigma(t *testing.T) {
	const mm = unit.Millimetre
	own := harness.Settings{SigmaString: &harness.Spread{Fixed: 10 * mm}, SigmaTape: &harness.Spread{Fixed: -mm}}
	for _, tt := range []struct {
		name string
		s    harness.Settings
		r    harness.Reading
		want float64
	}{
		{"string", harness.Settings{}, harness.Reading{Value: 1000 * mm}, 7},
		{"tape", harness.Settings{}, harness.Reading{Value: 1000 * mm, Method: harness.ByTape}, 2},
		{"a long guess", harness.Settings{}, harness.Reading{Value: 1000 * mm, Method: harness.ByGuess}, 100},
		{"a short guess", harness.Settings{}, harness.Reading{Value: 100 * mm, Method: harness.ByGuess}, 30},
		{"a drawing", harness.Settings{}, harness.Reading{Value: 500 * mm, Method: harness.ByDrawing}, 15},
		{"as built", harness.Settings{}, harness.Reading{Value: 500 * mm, Method: harness.AsBuilt}, 3},
		{"a method of another version", harness.Settings{}, harness.Reading{Value: 1000 * mm, Method: "laser"}, 7},
		{"set in the build", own, harness.Reading{Value: 1000 * mm}, 10},
		{"set to nonsense in the build", own, harness.Reading{Value: 1000 * mm, Method: harness.ByTape}, 2},
		{"its own", own, harness.Reading{Value: 1000 * mm, Sigma: millimetres(1.5)}, 1.5},
		{"its own, below zero", harness.Settings{}, harness.Reading{Value: 1000 * mm, Sigma: millimetres(-1)}, 7},
		{"too good to be true", harness.Settings{}, harness.Reading{Value: 1000 * mm, Sigma: millimetres(0.001)}, 0.5},
		{"too bad to be of use", harness.Settings{}, harness.Reading{Value: unit.Longest, Method: harness.ByGuess}, 1000},
	} {
		if got := Sigma(tt.s, tt.r).MM(); math.Abs(got-tt.want) > 1e-6 {
			t.Errorf("%s: %v mm, want %v", tt.name, got, tt.want)
		}
	}
	for _, d := range Spreads {
		if s, source := SpreadOf(harness.Settings{}, d.Method); s != d.Spread || source != d.Source || d.Name == "" || source == "" {
			t.Errorf("the default of %q is %+v from %q", d.Method, s, source)
		}
	}
}

func TestHelpful(t *testing.T) {
	for _, tt := range []struct {
		name, build   string
		runs, settles []string
		run           string
	}{
		{"no runs", "", nil, nil, ""},
		{"the one that settles most", street + "read m2 760 ab bc\nread m3 1180 ab bc cd", []string{"ab"}, []string{"ab", "bc"}, ""},
		{"any, where each settles itself", street, []string{"ab"}, []string{"ab"}, ""},
		{"the least certain", street + "tape r1 500 ab\ntape r2 300 bc\nguess r3 900 cd\ntape r4 100 de", []string{"cd"}, nil, "cd"},
		{"a string is less certain than a tape, and of equals the first", street + "tape r1 500 ab\nread r2 500 bc\nread r3 500 cd\nread r4 500 de", []string{"bc"}, nil, "bc"},
	} {
		h, ok := Adjust(world(t, tt.build), nil).Helpful()
		if ok != (len(tt.runs) > 0) || !slices.Equal(h.Runs, tt.runs) || !slices.Equal(h.Settles, tt.settles) || h.Run != tt.run || h.Run != "" && h.Then >= h.Before {
			t.Errorf("%s: %+v", tt.name, h)
		}
	}
	// After tells what the reading, once taken, does.
	text := street + "read r1 500 ab\nread r2 300 bc\nread r3 803 ab bc"
	l := Adjust(world(t, text), nil)
	got, ok := l.After([]string{"ab", "bc"}, []string{"ab"})
	k, _ := l.Run("ab")
	b := world(t, text)
	object, _ := harness.Encode(harness.Reading{Runs: []string{"ab"}, Value: k.Length})
	if _, err := b.Put(harness.KindReading, "r4", object); err != nil {
		t.Fatal(err)
	}
	if want := Adjust(b, nil).Path([]string{"ab", "bc"}).Sigma; !ok || math.Abs(got.MM()-want.MM()) > 1e-5 {
		t.Errorf("after one more reading it would be ± %v, and it is ± %v", got, want)
	}
	if _, ok := l.After([]string{"cd"}, []string{"ab"}); ok {
		t.Error("what is not known has a standard deviation")
	}
}
