package cut

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

func length(mm float64) *unit.Length {
	l := unit.Length(mm * 1e6)
	return &l
}

// bay is read to a millimetre, so that margins are the least there are. It is a controller that hinges 150 mm, a grommet, two splits and a coolant sensor in a line, a knock sensor beside
// it, and a ground by a second way.
//
//	ecu --612-- grommet --305, 2 corners-- s3 --418-- s4 --185-- coolant
//	                                        \--?-- knock   \--90, moves, drip-- ground
func bay(t testing.TB) *harness.Build {
	b := harness.NewBuild("b")
	for i, p := range []harness.Place{
		{Name: "ECU", Kind: harness.Controller, Travel: length(150)},
		{Name: "Grommet", Kind: harness.PassThrough},
		{Name: "S3", Kind: harness.Split},
		{Name: "S4", Kind: harness.Split},
		{Name: "Coolant", Kind: harness.Device},
		{Name: "Knock", Kind: harness.Device},
		{Name: "Ground", Kind: harness.Ground},
		{Name: "Panel", Kind: harness.Panel},
	} {
		p.Order = float64(i)
		harnesstest.Put(t, b, harness.KindPlace, strings.ToLower(p.Name), p)
	}
	for i, r := range []struct {
		harness.Run
		mm float64
	}{
		{harness.Run{A: "ecu", B: "grommet", Loom: "main"}, 612},
		{harness.Run{A: "grommet", B: "s3", Corners: 2, Loom: "main"}, 305},
		{harness.Run{A: "s3", B: "s4", Loom: "main"}, 418},
		{harness.Run{A: "s4", B: "coolant", Loom: "main"}, 185},
		{harness.Run{A: "s3", B: "knock", Loom: "main"}, 0},
		{harness.Run{A: "s4", B: "ground", Moves: true, Drip: true, Loom: "main"}, 90},
	} {
		id := fmt.Sprint("run", i+1)
		r.Order = float64(i)
		harnesstest.Put(t, b, harness.KindRun, id, r.Run)
		if r.mm > 0 {
			harnesstest.Put(t, b, harness.KindReading, "of "+id, harness.Reading{Runs: []string{id}, Value: *length(r.mm), Sigma: length(1)})
		}
	}
	harnesstest.Put(t, b, harness.KindJoint, "j", harness.Joint{Place: "s3"})
	harnesstest.Put(t, b, harness.KindLead, "lead", harness.Lead{Size: "0.5", Length: length(2000)})
	harnesstest.Put(t, b, harness.KindLead, "unmeasured", harness.Lead{Size: "0.5"})
	return b
}

func graph(b *harness.Build) *route.Graph { return route.New(b, survey.Adjust(b, nil)) }

func withBundles(b *harness.Build, bundles survey.Bundles) *route.Graph {
	return route.New(b, survey.Adjust(b, bundles))
}

func wire(from, to string) harness.Wire {
	end := func(s string) harness.End {
		if s == "j" {
			return harness.End{Joint: s}
		}
		return harness.End{Place: s}
	}
	return harness.Wire{Record: harness.Record{ID: "w"}, From: end(from), To: end(to)}
}

func say(r Result) string {
	var parts []string
	for _, t := range r.Terms {
		parts = append(parts, fmt.Sprintf("%s %s", t.Kind, strings.TrimSuffix(t.Value.Format(unit.Metric), " mm")))
	}
	return strings.Join(parts, ", ")
}

// Worked by hand from the default of each term.
func TestLength(t *testing.T) {
	tests := []struct {
		name     string
		wire     harness.Wire
		terms    string
		exact    float64
		sum      float64
		least    float64
		withLead bool
	}{
		{name: "added wire, controller to device", wire: wire("ecu", "coolant"),
			terms: "run 612, run 305, run 418, run 185, travel 150, pass-through 15, corners 28, pass-through 15, breakout 30, " +
				"strip and crimp 15, rework 25, service loop 100, strip and crimp 15, rework 25, margin 10.6, tail 200, rounding 1.4",
			exact: 2148.6, sum: 2150, least: 1520 + 150 + 58 + 15}, // margin 3 + 1520/200
		{name: "the same as a lead: nothing at its terminated end", wire: wire("ecu", "coolant"), withLead: true,
			terms: "run 612, run 305, run 418, run 185, travel 150, pass-through 15, corners 28, pass-through 15, breakout 30, " +
				"service loop 100, strip and crimp 15, rework 25, margin 10.6, tail 200, rounding 1.4",
			exact: 2108.6, sum: 2110, least: 1743},
		{name: "joint to ground", wire: wire("j", "ground"),
			terms: "run 418, run 90, movement 75, drip loop 60, breakout 15, splice end 30, strip and crimp 15, rework 25, " +
				"margin 5.5, tail 200, rounding 1.5",
			exact: 933.54, sum: 935, least: 418 + 90 + 135 + 15}, // margin 3 + 508/200 = 5.54
		{name: "device to joint", wire: wire("coolant", "j"),
			terms: "run 185, run 418, breakout 15, strip and crimp 15, rework 25, splice end 30, margin 6, tail 200, rounding 1",
			exact: 603 + 15 + 40 + 30 + 6.015 + 200, sum: 895, least: 185 + 418 + 30},
		{name: "inside one place", wire: wire("panel", "panel"),
			terms: "strip and crimp 15, rework 25, strip and crimp 15, rework 25", exact: 80, sum: 80, least: 15},
	}
	for _, tt := range tests {
		b := bay(t)
		if tt.withLead {
			tt.wire.Lead = "lead"
		}
		r := Length(b, graph(b), tt.wire)
		if got := say(r); got != tt.terms {
			t.Errorf("%s:\n got %s\nwant %s", tt.name, got, tt.terms)
		}
		if r.Exact != *length(tt.exact) || r.Sum != *length(tt.sum) || r.Least != *length(tt.least) || !r.Known() {
			t.Errorf("%s: exact %v, sum %v, least %v; want %v, %v, %v", tt.name, r.Exact, r.Sum, r.Least, tt.exact, tt.sum, tt.least)
		}
	}
}

func TestAllowanceOfAShop(t *testing.T) {
	tests := []struct {
		name       string
		settings   harness.Settings
		terms      string
		sum, least float64
		below      float64
	}{
		{"flat", harness.Settings{AllowBy: harness.AllowFlat}, "run 612, run 305, run 418, run 185, flat 100", 1620, 1535, 528.6},
		{"flat of one's own", harness.Settings{AllowBy: harness.AllowFlat, AllowFlat: length(10)},
			"run 612, run 305, run 418, run 185, flat 10", 1530, 1530, 618.6},
		{"per cent", harness.Settings{AllowBy: harness.AllowPercent}, "run 612, run 305, run 418, run 185, percent 304, rounding 6", 1830, 1535, 324.6},
		{"per cent of one's own", harness.Settings{AllowBy: harness.AllowPercent, AllowPercent: new(float64)},
			"run 612, run 305, run 418, run 185", 1520, 1520, 628.6},
		{"a flat amount below zero is not used", harness.Settings{AllowBy: harness.AllowFlat, AllowFlat: length(-10)},
			"run 612, run 305, run 418, run 185, flat 100", 1620, 1535, 528.6},
		{"inches round up to a whole one", harness.Settings{AllowBy: harness.AllowFlat, Unit: unit.Imperial},
			"run 612, run 305, run 418, run 185, flat 100, rounding 5.6", 1625.6, 1535, 528.6}, // 64 in
	}
	for _, tt := range tests {
		b := bay(t)
		b.Settings = tt.settings
		r := Length(b, graph(b), wire("ecu", "coolant"))
		if got := say(r); got != tt.terms || r.Sum != *length(tt.sum) || r.Least != *length(tt.least) {
			t.Errorf("%s: %s = %v, least %v; want %s = %v, least %v", tt.name, got, r.Sum, r.Least, tt.terms, tt.sum, tt.least)
		}
		if len(r.Notes) != 1 || r.Notes[0].Kind != ShopBelow || r.Notes[0].Value != *length(tt.below) {
			t.Errorf("%s: notes %+v, want below by %v", tt.name, r.Notes, tt.below)
		}
	}
}

func TestUnknownIsSaid(t *testing.T) {
	b := bay(t)
	g := graph(b)
	r := Length(b, g, wire("ecu", "knock"))
	if r.Known() || r.Sum != 0 || r.Exact != 0 || r.Least != 0 || !slices.Equal(r.Missing, []string{"run5"}) {
		t.Errorf("with a run that is not measured: %+v", r)
	}
	r = Length(b, g, wire("ecu", "panel"))
	if r.Known() || r.Problem == nil || r.Problem.Trouble != route.NoRuns || r.Sum != 0 {
		t.Errorf("to a place without runs: %+v", r)
	}
	w := wire("ecu", "coolant")
	w.Twist, w.Lead = "crank", "sold"
	var kinds []NoteKind
	for _, n := range Length(b, g, w).Notes {
		kinds = append(kinds, n.Kind)
	}
	if want := []NoteKind{TwistUnknown, LostLead}; !slices.Equal(kinds, want) {
		t.Errorf("notes %v, want %v", kinds, want)
	}
}

func TestReadTogetherAndLonger(t *testing.T) {
	b := bay(t)
	harnesstest.Put(t, b, harness.KindReading, "of run3", harness.Reading{Record: harness.Record{Gone: true}})
	harnesstest.Put(t, b, harness.KindReading, "of run4", harness.Reading{Record: harness.Record{Gone: true}})
	harnesstest.Put(t, b, harness.KindReading, "both", harness.Reading{Runs: []string{"run3", "run4"}, Value: *length(603)})
	harnesstest.Put(t, b, harness.KindReading, "check", harness.Reading{Runs: []string{"run1", "run2"}, Value: *length(937), Sigma: length(1)})
	r := Length(b, graph(b), wire("ecu", "coolant"))
	// 20 mm more than 612 + 305, a third of it on each run; the last third is 6.7 mm, and the margin makes up for it.
	want := "run 618.7, run 311.7, runs together 603, travel 150"
	if got := say(r); !strings.HasPrefix(got, want) || !strings.Contains(got, "margin 13.6, ") {
		t.Errorf("%s, want %s", got, want)
	}
	if r.Terms[2].Name != "S3 to S4, S4 to Coolant" {
		t.Errorf("name %q", r.Terms[2].Name)
	}
}

func TestLead(t *testing.T) {
	// As a lead, the wire to the coolant sensor needs 2108.6 mm: 1908.6 without its tail, 1743 at least.
	tests := []struct {
		name             string
		supplied         float64
		verdict          Verdict
		spare, left, eat float64
		by               float64
	}{
		{"long", 2300, Reaches, 191.4, 0, 0, 0},
		{"just the full tail", 2108.6, Reaches, 0, 0, 0, 0},
		{"less tail", 2000, ReachesShortTail, 0, 91.4, 0, 0},
		{"no tail, room for two gone", 1900, ReachesShortTail, 0, 0, 8.6, 0},
		{"one strip and crimp", 1743, ReachesShortTail, 0, 0, 165.6, 0},
		{"truly short", 1683, TrulyShort, 0, 0, 0, 60},
	}
	for _, tt := range tests {
		b := bay(t)
		harnesstest.Put(t, b, harness.KindLead, "lead", harness.Lead{Length: length(tt.supplied)})
		w := wire("ecu", "coolant")
		w.Lead = "lead"
		a := Lead(b, graph(b), w)
		if a.Verdict != tt.verdict || a.Spare != *length(tt.spare) || a.Left != *length(tt.left) || a.Eats != *length(tt.eat) ||
			a.By != *length(tt.by) || (len(a.Mends) > 0) != (tt.verdict == TrulyShort) {
			t.Errorf("%s: %+v", tt.name, a)
		}
	}
}

func TestLeadUnknown(t *testing.T) {
	b := bay(t)
	g := graph(b)
	for _, tt := range []struct {
		lead, to string
		want     Because
	}{
		{"", "coolant", NoLead}, {"sold", "coolant", NoLead}, {"unmeasured", "coolant", NoLength},
		{"lead", "panel", NotRouted}, {"lead", "knock", NotMeasured},
	} {
		w := wire("ecu", tt.to)
		w.Lead = tt.lead
		if a := Lead(b, g, w); a.Verdict != Unknown || a.Because != tt.want {
			t.Errorf("lead %q to %s: %s because %s, want %s", tt.lead, tt.to, a.Verdict, a.Because, tt.want)
		}
	}
}

func TestMendsComeInOrder(t *testing.T) {
	b := bay(t)
	harnesstest.Put(t, b, harness.KindRun, "short cut", harness.Run{A: "ecu", B: "s4", Loom: "power", Order: 9})
	harnesstest.Put(t, b, harness.KindReading, "of short cut", harness.Reading{Runs: []string{"short cut"}, Value: *length(1200)})
	harnesstest.Put(t, b, harness.KindLead, "lead", harness.Lead{Length: length(1600), Size: "20 AWG"})
	harnesstest.Put(t, b, harness.KindLead, "free", harness.Lead{Length: length(2200), Size: "0.75"})
	harnesstest.Put(t, b, harness.KindLead, "free and shorter", harness.Lead{Length: length(2000), Size: "20 AWG"})
	harnesstest.Put(t, b, harness.KindLead, "thin", harness.Lead{Length: length(2200), Size: "22 AWG"})
	harnesstest.Put(t, b, harness.KindLead, "stub", harness.Lead{Length: length(1800), Size: "20 AWG"})
	harnesstest.Put(t, b, harness.KindLead, "taken", harness.Lead{Length: length(2200), Size: "20 AWG"})
	harnesstest.Put(t, b, harness.KindLead, "of no size", harness.Lead{Length: length(2200)})
	harnesstest.Put(t, b, harness.KindWire, "other", harness.Wire{Lead: "taken"})
	w := wire("ecu", "coolant")
	w.Lead, w.Looms, w.Function = "lead", []string{"main"}, "Crankshaft signal"
	harnesstest.Put(t, b, harness.KindWire, "w", w)
	a := Lead(b, graph(b), w)
	if a.Verdict != TrulyShort || a.By != *length(143) {
		t.Fatalf("%s by %v", a.Verdict, a.By)
	}
	var kinds []MendKind
	for _, m := range a.Mends {
		kinds = append(kinds, m.Kind)
	}
	if want := []MendKind{OtherRoute, MoveController, OtherLead, NewLead, SpliceOn}; !slices.Equal(kinds, want) {
		t.Fatalf("mends %v, want %v", kinds, want)
	}
	// By the short cut: 1200 + 185 + 150 + 15 = 1550, which a lead of 1600 reaches.
	if m := a.Mends[0]; !m.Enough || !slices.Equal(m.Path.Runs, []string{"short cut", "run4"}) || m.Length != *length(193) {
		t.Errorf("other route: %+v", m)
	}
	if m := a.Mends[2]; !slices.Equal(m.Leads, []string{"free and shorter", "free"}) {
		t.Errorf("other leads: %v", m.Leads)
	}
	if m := a.Mends[4]; !m.Sensitive {
		t.Error("a splice in a crank lead needs a reason")
	}
}

func TestSensitive(t *testing.T) {
	for function, want := range map[string]bool{
		"Cam": true, "camshaft +": true, "Crank signal": true, "knock 1": true, "CAM/CRANK ground": true,
		"cabin fan": false, "Camera": false, "coolant": false, "": false,
	} {
		if got := Sensitive(function); got != want {
			t.Errorf("Sensitive(%q) = %v", function, got)
		}
	}
}

func TestAfter(t *testing.T) {
	tests := []struct {
		was, now, least float64
		short, over     float64
		truly, notKnown bool
	}{
		{was: 1240, now: 1285, least: 1100, short: 45},
		{was: 1240, now: 1285, least: 1250, short: 45, truly: true},
		{was: 1240, now: 1200, least: 1100, over: 40},
		{was: 1240, notKnown: true},
	}
	for _, tt := range tests {
		r := Result{Sum: *length(tt.now), Least: *length(tt.least)}
		if tt.notKnown {
			r.Missing = []string{"run"}
		}
		got := After(harness.Done{Length: *length(tt.was)}, r)
		want := Change{*length(tt.was), *length(tt.now), !tt.notKnown, *length(tt.short), *length(tt.over), tt.truly}
		if got != want {
			t.Errorf("After(%v, %v) = %+v, want %+v", tt.was, tt.now, got, want)
		}
	}
	if got := AfterTrim(harness.Done{Length: *length(1900)}, Result{Exact: *length(2108.6), Tail: *length(200)}); got.Short != *length(8.6) {
		t.Errorf("AfterTrim: %+v", got)
	}
}

// Properties of random trees with random flags and settings: terms are not below zero and add up; the sum is rounded up
// from them; and when one run is read longer, no wire gets shorter.
func TestAddingLengthNeverShortensACut(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 4))
	kinds := harness.PlaceKinds
	maybe := func(limit int) *unit.Length {
		if rng.IntN(2) == 0 {
			return nil
		}
		l := unit.Length(rng.IntN(limit)) * 777_777
		return &l
	}
	for trial := range 200 {
		n := 3 + rng.IntN(20)
		b := harness.NewBuild("b")
		b.Settings.AllowBy = []harness.AllowBy{harness.AllowTerms, harness.AllowFlat, harness.AllowPercent}[trial%3]
		b.Settings.Unit = []unit.System{unit.Metric, unit.Imperial}[trial%2]
		for _, p := range []**unit.Length{&b.Settings.StripCrimp, &b.Settings.Tail, &b.Settings.Movement, &b.Settings.CornerEach, &b.Settings.AllowFlat} {
			*p = maybe(300)
		}
		read := func(i int, v unit.Length) {
			harnesstest.Put(t, b, harness.KindReading, fmt.Sprint("m", i), harness.Reading{Runs: []string{fmt.Sprint(i)}, Value: v})
		}
		values := make([]unit.Length, n)
		for i := range n {
			harnesstest.Put(t, b, harness.KindPlace, fmt.Sprint("p", i), harness.Place{Kind: kinds[rng.IntN(len(kinds))], Travel: maybe(100)})
			if i == 0 {
				continue
			}
			harnesstest.Put(t, b, harness.KindRun, fmt.Sprint(i), harness.Run{A: fmt.Sprint("p", i), B: fmt.Sprint("p", rng.IntN(i)),
				Corners: rng.IntN(5) - 1, Moves: rng.IntN(4) == 0, Drip: rng.IntN(4) == 0})
			values[i] = unit.Length(1 + rng.Int64N(int64(2*unit.Metre)))
			read(i, values[i])
		}
		var wires []harness.Wire
		for range 8 {
			wires = append(wires, wire(fmt.Sprint("p", rng.IntN(n)), fmt.Sprint("p", rng.IntN(n))))
		}
		var before []Result
		g := graph(b)
		for _, w := range wires {
			r := Length(b, g, w)
			before = append(before, r)
			sum := unit.Length(0)
			for _, term := range r.Terms {
				if sum += term.Value; term.Value < 0 || term.Name == "" || term.Reason == "" || term.Source == "" || term.Of == "" {
					t.Fatalf("trial %d: term %+v", trial, term)
				}
			}
			if sum != r.Sum || r.Exact > r.Sum || r.Least > r.Exact || r.Sum-r.Exact >= unit.Inch {
				t.Fatalf("trial %d: terms add up to %v: %+v", trial, sum, r)
			}
		}
		i := 1 + rng.IntN(n-1)
		read(i, values[i]+1+unit.Length(rng.Int64N(int64(unit.Metre))))
		g = graph(b)
		for j, w := range wires {
			after := Length(b, g, w)
			if after.Sum < before[j].Sum || after.Exact < before[j].Exact || after.Least < before[j].Least {
				t.Fatalf("trial %d: run %d got longer, and %s became %v after %v", trial, i, say(after), after.Sum, before[j].Sum)
			}
		}
	}
}

func TestDefaultsAreComplete(t *testing.T) {
	seen := map[TermKind]bool{}
	for _, d := range Defaults {
		if seen[d.Kind] || d.Source == "" || d.Name == "" || (d.Value <= 0) == (d.Percent <= 0) {
			t.Errorf("default %+v", d)
		}
		seen[d.Kind] = true
		if d.Kind == Percent {
			continue
		}
		if v, source := Allowance(harness.Settings{}, d.Kind); v != d.Value || source != d.Source {
			t.Errorf("Allowance(%s) = %v from %q", d.Kind, v, source)
		}
	}
	// Each default, but the percentage, gives way to one field of the settings.
	replaced := map[TermKind]string{}
	for i := range reflect.TypeFor[harness.Settings]().NumField() {
		var own harness.Settings
		f := reflect.TypeFor[harness.Settings]().Field(i)
		if f.Type != reflect.TypeFor[*unit.Length]() {
			continue
		}
		value := unit.Length(123_456_000)
		reflect.ValueOf(&own).Elem().Field(i).Set(reflect.ValueOf(&value))
		for _, d := range Defaults {
			if v, _ := Allowance(own, d.Kind); v != value || d.Kind == Percent {
				continue
			}
			if other := replaced[d.Kind]; other != "" {
				t.Errorf("%s and %s are both %s", other, f.Name, d.Kind)
			}
			replaced[d.Kind] = f.Name
		}
	}
	if len(replaced) != len(Defaults)-1 {
		t.Errorf("the settings replace %v of %d defaults", replaced, len(Defaults)-1)
	}
	if p, source := AllowancePercent(harness.Settings{}); p != 20 || source != Defaults[len(Defaults)-1].Source {
		t.Errorf("AllowancePercent = %v from %q", p, source)
	}
}

// A thousand wires of a build, each a lead that reaches, is short of tail, or is cut to length.
func BenchmarkThousandWires(b *testing.B) {
	w := bay(b)
	for i := range 1000 {
		x := wire("ecu", []string{"coolant", "ground", "j"}[i%3])
		if i%2 == 0 {
			x.Lead = "lead"
		}
		harnesstest.Put(b, w, harness.KindWire, fmt.Sprint("w", i), x)
	}
	lengths := survey.Adjust(w, nil)
	for b.Loop() {
		g := route.New(w, lengths)
		for _, x := range w.Wires.All() {
			Lead(w, g, x)
		}
	}
}
