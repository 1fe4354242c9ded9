package cut

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/unit"
)

// The words are the quantiles that they say.
func TestSurenesses(t *testing.T) {
	for _, s := range Surenesses {
		if k := distuv.UnitNormal.Quantile(s.Percent / 100); math.Abs(k-s.K) > 0.0006 {
			t.Errorf("%s: %v times the standard deviation, %v in 100 is %v", s.Word, s.K, s.Percent, k)
		}
	}
	for by, want := range map[harness.MarginBy]string{harness.MarginTight: "tight", "": "normal", harness.MarginSafe: "safe", "bold": "normal"} {
		if got := SurenessOf(harness.Settings{Margin: by}).Word; got != want {
			t.Errorf("a build that asks for %q gets %s", by, got)
		}
	}
}

func TestMarginOf(t *testing.T) {
	for _, tt := range []struct {
		by         harness.MarginBy
		way, sigma float64
		want       float64
	}{
		{"", 2000, 10, 23.26},
		{harness.MarginTight, 2000, 10, 16.45},
		{harness.MarginSafe, 2000, 10, 30.9},
		{"", 2000, 1, 13}, // 3 mm + 0.5 %
		{"", 0, 0, 3},
	} {
		if got := MarginOf(harness.Settings{Margin: tt.by}, *length(tt.way), *length(tt.sigma)); got != *length(tt.want) {
			t.Errorf("%q: %v ± %v mm gets %v, want %v", tt.by, tt.way, tt.sigma, got, tt.want)
		}
	}
}

// reading replaces the readings of bay: "run1 run2" read as so many mm, give or take.
func reading(t *testing.T, b *harness.Build, id, runs string, mm, sigma float64) {
	harnesstest.Put(t, b, harness.KindReading, id, harness.Reading{Runs: strings.Fields(runs), Value: *length(mm), Sigma: length(sigma)})
}

func term(r Result, kind TermKind) (t Term) {
	for _, x := range r.Terms {
		if x.Kind == kind {
			return x
		}
	}
	return t
}

// A check that says more than the runs: what the margin covers of it is not added twice, what it does not is a term, and
// the cut length is never below the check.
func TestNeverBelowWhatWasRead(t *testing.T) {
	const runs = 612 + 305 + 418 + 185
	for _, tt := range []struct {
		check, adjusted, margin, longer float64
	}{
		{runs, runs, 10.6, 0},
		{runs + 10, runs + 8, 10.64, 0},      // 2 mm less than read, which the margin covers
		{runs + 100, runs + 80, 11, 20 - 11}, // of 20 mm it covers 11
		{runs - 100, runs - 80, 10.2, 80 - 10.2},
	} {
		b := bay(t)
		reading(t, b, "check", "run1 run2 run3 run4", tt.check, 1)
		r := Length(b, graph(b), wire("ecu", "coolant"))
		if math.Abs(r.Path.Length.MM()-tt.adjusted) > 1e-5 {
			t.Fatalf("the way is %v, want %v", r.Path.Length, tt.adjusted)
		}
		if m, l := term(r, Margin).Value.MM(), term(r, LongerRead).Value.MM(); math.Abs(m-tt.margin) > 1e-5 || math.Abs(l-tt.longer) > 1e-5 {
			t.Errorf("a check of %v: margin %v and %v more, want %v and %v", tt.check, m, l, tt.margin, tt.longer)
		}
		read := max(tt.check, runs)
		if way := r.Of(OfRoute) + term(r, Margin).Value; way.MM() < read-1e-5 {
			t.Errorf("a check of %v: the way and its margin are %v, below %v", tt.check, way, read)
		}
		if want := read + 150 + 15 + 28 + 15 + 15; math.Abs(r.Least.MM()-want) > 1e-5 {
			t.Errorf("a check of %v: least %v, want %v", tt.check, r.Least, want)
		}
		// In a shop's allowance there is no margin to cover it.
		b.Settings.AllowBy = harness.AllowFlat
		r = Length(b, graph(b), wire("ecu", "coolant"))
		if got := r.Of(OfRoute).MM(); math.Abs(got-read) > 1e-5 {
			t.Errorf("a check of %v with a flat amount: the way is %v, want %v", tt.check, got, read)
		}
	}
	// Thrown out, it says nothing.
	b := bay(t)
	harnesstest.Put(t, b, harness.KindReading, "check", harness.Reading{Runs: []string{"run1", "run2"}, Value: *length(5000), Out: true, OutWhy: "a sign too many"})
	if r := Length(b, graph(b), wire("ecu", "coolant")); r.Route != *length(runs) {
		t.Errorf("with a reading thrown out the way is %v", r.Route)
	}
}

// The margin's reason has the numbers it is made of.
func TestMarginIsExplained(t *testing.T) {
	b := bay(t)
	for i, mm := range []float64{612, 305, 418, 185} {
		reading(t, b, fmt.Sprint("of run", i+1), fmt.Sprint("run", i+1), mm, 5)
	}
	m := term(Length(b, graph(b), wire("ecu", "coolant")), Margin)
	if m.Value != *length(23.26) || m.Reason != "2.33 × 10 mm: normal, long enough in 99 of 100" {
		t.Errorf("%v because %s", m.Value, m.Reason)
	}
	b.Settings.Margin = harness.MarginSafe
	if m = term(Length(b, graph(b), wire("ecu", "coolant")), Margin); m.Value != *length(30.9) || !strings.Contains(m.Reason, "safe") {
		t.Errorf("%v because %s", m.Value, m.Reason)
	}
}

// Reading a run once more saves what a build with that reading in it says.
func TestBenefit(t *testing.T) {
	b := bay(t)
	for i, mm := range []float64{612, 305, 418, 185} {
		reading(t, b, fmt.Sprint("of run", i+1), fmt.Sprint("run", i+1), mm, 20)
	}
	harnesstest.Put(t, b, harness.KindWire, "long", wire("ecu", "coolant"))
	harnesstest.Put(t, b, harness.KindWire, "short", wire("coolant", "s3"))
	harnesstest.Put(t, b, harness.KindWire, "nowhere", wire("ecu", "panel"))
	harnesstest.Put(t, b, harness.KindWire, "open", wire("ecu", "knock"))
	margin := func(w harness.Wire) unit.Length { return term(Length(b, graph(b), w), Margin).Value }
	before := []unit.Length{margin(wire("ecu", "coolant")), margin(wire("coolant", "s3"))}
	got := Benefit(b, graph(b), "run3")
	harnesstest.Put(t, b, harness.KindReading, "again", harness.Reading{Runs: []string{"run3"}, Value: *length(418)})
	saved := []unit.Length{before[0] - margin(wire("ecu", "coolant")), before[1] - margin(wire("coolant", "s3"))}
	if !slices.Equal(got.Wires, []string{"short", "long"}) || math.Abs((got.Most-saved[1]).MM()) > 1e-4 || math.Abs((got.Total-saved[0]-saved[1]).MM()) > 1e-4 {
		t.Errorf("%+v, want %v", got, saved)
	}
	var order []string
	all := Benefits(b, graph(b))
	for i, s := range all {
		order = append(order, s.Run)
		if i > 0 && s.Total > all[i-1].Total {
			t.Errorf("%+v before %+v", all[i-1], s)
		}
	}
	if len(order) == 0 || order[0] != "run4" {
		t.Errorf("the order is %v", order)
	}
	if s := Benefit(b, graph(b), "run5"); s.Total != 0 || s.Run != "run5" {
		t.Errorf("of a run that no wire takes: %+v", s)
	}
	b.Settings.AllowBy = harness.AllowFlat
	if Benefits(b, graph(b)) != nil {
		t.Error("a flat amount gets smaller")
	}
}

// Where the bundle is known, corners are what the adjustment says, and no allowance is added to them.
func TestCornersFromTheBundle(t *testing.T) {
	b := bay(t)
	g := graph(b)
	plain := Length(b, g, wire("ecu", "coolant"))
	g = withBundles(b, map[string]unit.Length{"run2": 20 * mm})
	r := Length(b, g, wire("ecu", "coolant"))
	if c := term(r, Corners); c.Value != *length(26.69) || c.Group != OfRun || !strings.Contains(c.Reason, "20 mm") {
		t.Errorf("%+v", c)
	}
	if r.Route != plain.Route || r.Exact-plain.Exact > 0 || plain.Exact-r.Exact > 2*mm {
		t.Errorf("the way is %v, was %v; in all %v, was %v", r.Route, plain.Route, r.Exact, plain.Exact)
	}
}
