package survey

import (
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// One check over three single readings: nothing tells which of the four is wrong, all are named, and so is the reading that
// halves them. With that reading there are two, and so on to one.
func TestWhatCannotBeToldApartIsNamedWhole(t *testing.T) {
	text := street + "tape r1 500 ab\ntape r2 300 bc\ntape r3 400 cd\ntape r4 1260 ab bc cd\n"
	l := Adjust(world(t, text), nil)
	all := l.Suspicions()
	if len(all) != 1 {
		t.Fatalf("%d suspicions, want 1: %+v", len(all), all)
	}
	s := all[0]
	if got := slices.Sorted(slices.Values(s.Readings)); !slices.Equal(got, []string{"r1", "r2", "r3", "r4"}) {
		t.Errorf("suspected are %v", got)
	}
	for _, f := range l.Fits() {
		near(t, "the standardised residual of "+f.Reading, f.W, s.W, 1e-9)
		near(t, "the redundancy of "+f.Reading, f.Redundancy, 0.25, 1e-9)
		if gross := f.Gross.MM(); math.Abs(gross) != 60 {
			t.Errorf("%s would be off by %v mm, want 60", f.Reading, gross)
		}
	}
	// A quarter of the 60 mm is on each reading: 15 mm, against 2 mm × √(1/4).
	near(t, "the standardised residual", s.W, 15, 1e-6)
	if !slices.Equal(s.Settle, []string{"bc", "cd"}) || s.Leaves != 2 {
		t.Errorf("to settle it: %v, which leaves %d", s.Settle, s.Leaves)
	}
	for _, id := range []string{"ab", "bc", "cd"} {
		if k, _ := l.Run(id); k.Quality != Disagreeing {
			t.Errorf("%s is %s", id, k.Quality)
		}
	}
	if l.Closure().Holds() || l.Closure().DoF != 1 {
		t.Errorf("the closure holds: %+v", l.Closure())
	}

	// It turns out that bc and cd are right, so ab or the check is wrong.
	text += "tape r5 701 bc cd\n"
	s = Adjust(world(t, text), nil).Suspicions()[0]
	if got := slices.Sorted(slices.Values(s.Readings)); !slices.Equal(got, []string{"r1", "r4"}) || s.Leaves != 1 {
		t.Errorf("then %v are suspected, and %v leaves %d", got, s.Settle, s.Leaves)
	}
	// It is ab, which is 60 mm longer.
	text += "tape r6 560 ab\n"
	s = Adjust(world(t, text), nil).Suspicions()[0]
	if !slices.Equal(s.Readings, []string{"r1"}) || !slices.Equal(s.Runs, []string{"ab"}) {
		t.Errorf("then %v is suspected", s.Readings)
	}
	near(t, "how far off it is", s.Gross.MM(), -60, 1.5)
	l = Adjust(world(t, text+"out r1\n"), nil)
	if len(l.Suspicions()) > 0 || !l.Closure().Holds() {
		t.Errorf("with it thrown out %+v is suspected", l.Suspicions())
	}
	if f := fitOf(l, "r1"); f.Use != ThrownOut || math.Abs(f.Gross.MM()+60) > 1.5 {
		t.Errorf("what was thrown out is still compared: %+v", f)
	}
}

func fitOf(l *Lengths, reading string) Fit {
	for _, f := range l.Fits() {
		if f.Reading == reading {
			return f
		}
	}
	return Fit{}
}

// Two readings of one run: both are named, and a third settles it.
func TestTwoReadingsOfOneRun(t *testing.T) {
	l := Adjust(world(t, street+"tape r1 500 ab\ntape r2 540 ab"), nil)
	s := l.Suspicions()[0]
	if len(s.Readings) != 2 || !slices.Equal(s.Settle, []string{"ab"}) || s.Leaves != 1 {
		t.Errorf("%+v", s)
	}
	l = Adjust(world(t, street+"tape r1 500 ab\ntape r2 540 ab\ntape r3 501 ab"), nil)
	if s := l.Suspicions()[0]; !slices.Equal(s.Readings, []string{"r2"}) || len(s.Settle) > 0 || s.Leaves != 1 {
		t.Errorf("%+v", s)
	}
}

// Several wrong readings are named one after the other, and none is left out of the lengths for that.
func TestSeveralBlunders(t *testing.T) {
	c := newCar(t, 12, 20)
	for i := 1; i <= 20; i++ {
		c.read(t, []int{i}, 0)
		c.read(t, []int{i}, 0)
		if i == 4 || i == 9 || i == 15 {
			c.read(t, []int{i}, 30)
		} else {
			c.read(t, []int{i}, 0)
		}
	}
	l := Adjust(c.b, nil)
	var runs []string
	for _, s := range l.Suspicions() {
		runs = append(runs, strings.Join(s.Runs, "+"))
	}
	slices.Sort(runs)
	if want := []string{"r004", "r009", "r015"}; !slices.Equal(runs, want) {
		t.Errorf("suspected are %v, want %v", runs, want)
	}
	for _, f := range l.Fits() {
		if f.Use != Used {
			t.Errorf("%s is %s", f.Reading, f.Use)
		}
	}
}

// The search as if readings were thrown out says the same as throwing them out.
func TestSearchEqualsThrowingOut(t *testing.T) {
	for seed := range uint64(30) {
		c := newCar(t, seed, 15)
		for i := 1; i <= 15; i++ {
			for range 2 {
				off := 0.0
				if c.rng.IntN(6) == 0 {
					off = 20
				}
				c.read(t, []int{i}, off)
			}
		}
		for _, way := range c.checks(10) {
			c.read(t, way, 0)
		}
		l := Adjust(c.b, nil)
		h := l.hunt()
		for _, s := range l.Suspicions() {
			best, worst := "", 0.0
			again := Adjust(c.b, nil)
			for _, f := range again.Fits() {
				if f.Use == Used && f.Checkable() && f.W > worst*(1+1e-9) {
					best, worst = f.Reading, f.W
				}
			}
			if !slices.Contains(s.Readings, best) || math.Abs(s.W-worst) > 1e-6*worst {
				t.Fatalf("seed %d: %v with %v, the adjustment says %s with %v", seed, s.Readings, s.W, best, worst)
			}
			k := slices.IndexFunc(h.n.obs, func(o *observation) bool { return o.reading == s.Readings[0] })
			h.leaveOut(k)
			r, _ := c.b.Readings.Get(s.Readings[0])
			r.Out = true
			c.put(t, harness.KindReading, r.ID, r)
			without := Adjust(c.b, nil)
			for i, o := range h.n.obs {
				f := fitOf(without, o.reading)
				if f.Use == Used && math.Abs(f.Residual.MM()-h.v[i]) > 1e-5 {
					t.Fatalf("seed %d: residual of %s is %v, thrown out %v", seed, o.reading, h.v[i], f.Residual)
				}
			}
		}
	}
}

// Whatever the order and the names under which readings are put in, all comes out the same.
func TestOrderAndNamesChangeNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for seed := range uint64(12) {
		c := newCar(t, seed, 30)
		for i := 1; i <= 30; i++ {
			c.read(t, []int{i}, 0)
			if i%2 == 0 {
				c.read(t, []int{i}, float64(i%7))
			}
		}
		for _, way := range c.checks(8) {
			c.read(t, way, 0)
		}
		first := Adjust(c.b, nil)
		for range 4 {
			b := harness.NewBuild("b")
			again := &car{b: b}
			runs, readings := slices.Clone(c.b.Runs.All()), slices.Clone(c.b.Readings.All())
			rng.Shuffle(len(runs), func(i, j int) { runs[i], runs[j] = runs[j], runs[i] })
			rng.Shuffle(len(readings), func(i, j int) { readings[i], readings[j] = readings[j], readings[i] })
			names := map[string]string{}
			for _, r := range runs {
				again.put(t, harness.KindRun, r.ID, r)
			}
			for i, j := range rng.Perm(len(readings)) {
				id := "x" + readings[j].ID
				names[readings[i].ID] = id
				again.put(t, harness.KindReading, id, readings[i])
			}
			other := Adjust(b, nil)
			if !reflect.DeepEqual(first.All(), other.All()) || first.Closure() != other.Closure() {
				t.Fatalf("seed %d:\n%+v\n%+v", seed, first.All(), other.All())
			}
			for i, s := range first.Suspicions() {
				o := other.Suspicions()[i]
				if s.W != o.W || s.Gross != o.Gross || !slices.Equal(s.Runs, o.Runs) || !slices.Equal(s.Settle, o.Settle) || len(s.Readings) != len(o.Readings) {
					t.Fatalf("seed %d:\n%+v\n%+v", seed, s, o)
				}
			}
		}
	}
}

func TestContradictions(t *testing.T) {
	for _, tt := range []struct {
		name, build string
		want        []Contradiction
	}{
		{"nothing tells which", street + "read r1 500 ab\nread r2 400 ab bc", []Contradiction{{Run: "bc", Value: -100 * unit.Millimetre, Readings: []string{"r1", "r2"}}}},
		{"a check that was keyed in with a sign too few", street + "tape r1 500 ab\ntape r2 60 bc\ntape r3 56 ab bc",
			[]Contradiction{{Run: "bc", Value: -108 * unit.Millimetre, Readings: []string{"r1", "r2", "r3"}, Aside: "r3"}}},
		{"the one that all others speak against", street + "tape r1 500 ab\ntape r2 60 bc\ntape r3 560 ab bc\ntape r4 5000 ab\ntape r5 61 bc",
			[]Contradiction{{Run: "bc", Value: -502_125_000 * unit.Nanometre, Readings: []string{"r1", "r2", "r3", "r4", "r5"}, Aside: "r4"}}},
	} {
		l := Adjust(world(t, tt.build), nil)
		got := l.Contradictions()
		if len(got) != len(tt.want) {
			t.Errorf("%s: %+v", tt.name, got)
			continue
		}
		for i, w := range tt.want {
			g := got[i]
			if g.Run != w.Run || g.Aside != w.Aside || !slices.Equal(g.Readings, w.Readings) || g.Value < w.Value-unit.Millimetre || g.Value > w.Value+unit.Millimetre {
				t.Errorf("%s: %+v, want %+v", tt.name, g, w)
			}
			if w.Aside != "" && fitOf(l, w.Aside).Use != SetAside {
				t.Errorf("%s: %+v", tt.name, fitOf(l, w.Aside))
			}
		}
	}
}
