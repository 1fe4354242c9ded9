package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/unit"
)

// world builds a build from short lines: "run ab a b", "split ab ax xb", "join ax xb ab2", "read r1 500 ab bc",
// "tape", "guess" and "built" like read, "out r1". Readings are taken in the order of the lines.
func world(t testing.TB, lines string) *harness.Build {
	t.Helper()
	b := harness.NewBuild("b")
	put := func(kind harness.Kind, id string, record any) {
		t.Helper()
		harnesstest.Put(t, b, kind, id, record)
	}
	minute := 0
	for line := range strings.Lines(lines) {
		f := strings.Fields(line)
		if len(f) == 0 {
			continue
		}
		switch f[0] {
		case "run":
			put(harness.KindRun, f[1], harness.Run{A: f[2], B: f[3]})
		case "split", "gone":
			r, _ := b.Runs.Any(f[1])
			r.Gone, r.Became = true, f[2:]
			put(harness.KindRun, f[1], r)
		case "join":
			for _, id := range f[1 : len(f)-1] {
				r, _ := b.Runs.Any(id)
				r.Gone, r.Became = true, f[len(f)-1:]
				put(harness.KindRun, id, r)
			}
		case "out":
			r, _ := b.Readings.Get(f[1])
			r.Out, r.OutWhy = true, "the string had slipped"
			put(harness.KindReading, f[1], r)
		case "read", "tape", "guess", "built":
			minute++
			r := harness.Reading{Runs: f[3:], At: fmt.Sprintf("2026-05-01T10:%02d:00Z", minute)}
			if _, err := fmt.Sscan(f[2], &r.Value); err != nil {
				t.Fatal(err)
			}
			r.Value *= unit.Millimetre
			r.Method = map[string]harness.Method{"read": harness.ByString, "tape": harness.ByTape, "guess": harness.ByGuess, "built": harness.AsBuilt}[f[0]]
			put(harness.KindReading, f[1], r)
		default:
			t.Fatalf("unknown line %q", line)
		}
	}
	return b
}

// say writes what is known of a run in one line.
func say(l *Lengths, run string) string {
	k, ok := l.Run(run)
	if !ok {
		return strings.TrimSpace(fmt.Sprint(k.Why, " ", strings.Join(append(k.With, k.Readings...), " ")))
	}
	a := l.Explain(run)
	s := fmt.Sprint(k.Length.Format(unit.Metric), " ", a.How)
	for _, t := range a.Terms {
		s += fmt.Sprintf(" %+.3g%s", t.Weight, t.Reading)
	}
	if a.Split != "" {
		s += " of " + a.Split
	}
	return s + " " + string(k.Quality)
}

const street = `
run ab a b
run bc b c
run cd c d
run de d e
`

func TestAdjust(t *testing.T) {
	tests := []struct {
		name, build string
		want        map[string]string
	}{
		{"nothing read", street, map[string]string{"ab": "no reading", "zz": "no run"}},
		{"run by run", street + "read r1 500 ab\nread r2 300 bc", map[string]string{
			"ab": "500 mm reading +1r1 once", "bc": "300 mm reading +1r2 once", "cd": "no reading"}},
		{"both of two count, nearly the same", street + "tape r1 500 ab\ntape r2 506 ab", map[string]string{"ab": "503 mm mean +0.5r2 +0.5r1 checked"}},
		{"thrown out", street + "read r1 500 ab\nread r2 510 ab\nout r1", map[string]string{"ab": "510 mm reading +1r2 once"}},
		{"a guess never moves a reading", street + "read r1 500 ab\nguess r2 600 ab\nguess r3 400 bc", map[string]string{
			"ab": "500 mm reading +1r1 once", "bc": "400 mm reading +1r3 guessed"}},
		{"nor by a longer path", street + "guess r1 900 ab\nguess r2 1000 ab bc\nread r3 300 bc", map[string]string{
			"ab": "900 mm reading +1r1 guessed", "bc": "300 mm reading +1r3 once"}},
		{"of two guesses the later", street + "guess r1 900 ab\nguess r2 1000 ab", map[string]string{"ab": "1000 mm reading +1r2 guessed"}},
		{"an as-built reading never moves one of the way", street + "read r1 500 ab\nbuilt r2 520 ab\nbuilt r3 300 bc\nguess r4 310 bc", map[string]string{
			"ab": "500 mm reading +1r1 once", "bc": "300 mm reading +1r3 once"}},
		{"a sum parted by a guess", street + "read r1 800 ab bc\nguess r2 300 ab", map[string]string{
			"ab": "300 mm reading +1r2 guessed", "bc": "500 mm difference +1r1 -1r2 guessed"}},
		{"marks along one string", street + "read m1 410 ab\nread m2 760 ab bc\nread m3 1180 ab bc cd", map[string]string{
			"ab": "410 mm reading +1m1 once", "bc": "350 mm difference +1m2 -1m1 once", "cd": "420 mm difference +1m3 -1m2 once",
			"de": "no reading"}},
		{"marks whose first was missed", street + "read m2 760 ab bc\nread m3 1180 ab bc cd", map[string]string{
			"ab": "together bc", "bc": "together ab", "cd": "420 mm difference +1m3 -1m2 once"}},
		{"three readings that only together settle", street + "read r1 500 ab bc\nread r2 700 bc cd\nread r3 600 ab cd", map[string]string{
			"ab": "200 mm solved +0.5r3 +0.5r1 -0.5r2 once", "bc": "300 mm solved +0.5r2 +0.5r1 -0.5r3 once",
			"cd": "400 mm solved +0.5r2 +0.5r3 -0.5r1 once"}},
		{"a check spreads over what it checks", street + "tape r1 500 ab\ntape r2 300 bc\ntape r3 806 ab bc", map[string]string{
			"ab": "502 mm adjusted +0.667r1 +0.333r3 -0.333r2 checked", "bc": "302 mm adjusted +0.667r2 +0.333r3 -0.333r1 checked"}},
		{"a reading outlives a split", street + "run ax a x\nrun xb x b\nread r1 500 ab\nsplit ab ax xb", map[string]string{
			"ab": "no run", "ax": "together xb", "xb": "together ax"}},
		{"part of a split", street + "run ax a x\nrun xb x b\nread r1 500 ab\nsplit ab ax xb\nread r2 180 ax", map[string]string{
			"ax": "180 mm reading +1r2 once", "xb": "320 mm split part +1r1 -1r2 of ab once"}},
		{"a split of a split", street + "run ax a x\nrun xb x b\nrun xy x y\nrun yb y b\nread r1 500 ab\nsplit ab ax xb\nsplit xb xy yb\nread r2 180 ax\nread r3 20 yb",
			map[string]string{"xy": "300 mm split part +1r1 -1r2 -1r3 of ab once"}},
		{"joined runs add up", street + "run ac a c\nread r1 500 ab\nread r2 300 bc\njoin ab bc ac", map[string]string{
			"ac": "800 mm sum +1r1 +1r2 once"}},
		{"joined, half of it read", street + "run ac a c\nread r1 500 ab\njoin ab bc ac", map[string]string{"ac": "together bc"}},
		{"joined, and read since", street + "run ac a c\ntape r1 500 ab\ntape r2 300 bc\njoin ab bc ac\ntape r3 794 ac", map[string]string{
			"ac": "796 mm adjusted +0.667r3 +0.333r1 +0.333r2 checked"}},
		{"joined, inside a longer reading", street + "run ac a c\nread r1 500 ab\nread r2 300 bc\nread r3 1200 ab bc cd\njoin ab bc ac", map[string]string{
			"ac": "800 mm sum +1r1 +1r2 once", "cd": "400 mm difference +1r3 -1r1 -1r2 once"}},
		{"joined and split again elsewhere", street + "run ac a c\nrun ay a y\nrun yc y c\nread r1 500 ab\nread r2 300 bc\njoin ab bc ac\nsplit ac ay yc\nread r3 100 ay",
			map[string]string{"yc": "700 mm solved +1r1 +1r2 -1r3 once"}},
		{"a run gone for good still parts a reading", street + "read r1 500 ab\nread r2 800 ab bc\ngone ab", map[string]string{
			"bc": "300 mm difference +1r2 -1r1 once"}},
		{"a difference of zero", street + "read r1 500 ab\nread r2 500 ab bc", map[string]string{
			"ab": "500 mm reading +1r1 once", "bc": "contradicted r1 r2"}},
		{"a difference below zero, and what rests on it", street + "read r1 500 ab\nread r2 400 ab bc\nread r3 900 bc cd", map[string]string{
			"ab": "500 mm reading +1r1 once", "bc": "contradicted r1 r2", "cd": "contradicted r1 r2 r3"}},
		{"solved below zero takes what rests on its readings along", street + "read r1 100 ab bc\nread r2 300 bc cd\nread r3 80 ab cd", map[string]string{
			"ab": "contradicted r1 r2 r3", "bc": "contradicted r1 r2 r3", "cd": "contradicted r1 r2 r3"}},
		{"a check that leaves nothing of its runs is set aside", street + "read r1 500 ab\nread r2 60 bc\nread r3 20 ab bc", map[string]string{
			"ab": "500 mm reading +1r1 disagreeing", "bc": "60 mm reading +1r2 disagreeing"}},
		{"became in a circle", "run p a b\nrun q a b\nrun s a b\ngone p q s\ngone q p s\nread r1 100 p", map[string]string{"s": "no reading"}},
		{"became runs that lead elsewhere", street + "run xy x y\nrun yz y z\nread r1 500 ab\nsplit ab xy yz", map[string]string{
			"xy": "no reading"}},
	}
	for _, tt := range tests {
		l := Adjust(world(t, tt.build), nil)
		for run, want := range tt.want {
			if got := say(l, run); got != want {
				t.Errorf("%s: %s is %q, want %q", tt.name, run, got, want)
			}
		}
	}
}

func TestPath(t *testing.T) {
	tests := []struct {
		name, build, path, want string
	}{
		{"all known", street + "tape r1 500 ab\ntape r2 300 bc", "ab bc", "800 mm ± 2.83"},
		{"none", street, "", "0 mm ± 0.00"},
		{"one missing", street + "read r1 500 ab", "ab bc", "500 mm missing bc"},
		{"known together", street + "tape r1 800 ab bc", "ab bc", "800 mm ± 2.00"},
		{"half of what is known together", street + "read r1 800 ab bc", "ab cd", "0 mm missing ab cd"},
		{"marks: the ends of a string, not the steps between", street + "tape m1 410 ab\ntape m2 760 ab bc\ntape m3 1180 ab bc cd", "ab bc cd", "1180 mm ± 2.00"},
		{"there and back", street + "tape r1 500 ab", "ab ab", "1000 mm ± 4.00"},
		{"a longer reading over the path", street + "tape r1 500 ab\ntape r2 300 bc\ntape r3 830 ab bc", "ab bc", "820 mm ± 1.63 longer r3 10 mm"},
		{"longer readings of its runs", street + "tape r1 500 ab\ntape r2 300 bc\ntape r3 770 ab bc", "ab bc", "780 mm ± 1.63 longer r1 10 mm longer r2 10 mm"},
		{"one that was thrown out", street + "tape r1 500 ab\ntape r2 300 bc\ntape r3 830 ab bc\nout r3", "ab bc", "800 mm ± 2.83"},
		{"one that was set aside", street + "read r1 500 ab\ntape r2 800 ab bc\ntape r4 9000 ab\nread r5 310 bc", "ab bc", "800.7 mm ± 1.93 longer r4 8505.2 mm longer r5 4.2 mm"},
		{"a longer guess", street + "tape r1 500 ab\ntape r2 300 bc\nguess r3 900 ab bc", "ab bc", "800 mm ± 2.83"},
		{"a reading that leaves the path", street + "tape r1 500 ab\ntape r2 300 bc\ntape r3 803 ab bc", "bc", "301 mm ± 1.63"},
		{"a contradicted sum", street + "read r1 100 ab bc\nread r2 300 bc cd\nread r3 80 ab cd", "ab bc", "0 mm missing ab bc"},
		{"passing a run that is not there", street, "zz", "0 mm missing zz"},
	}
	for _, tt := range tests {
		s := Adjust(world(t, tt.build), nil).Path(strings.Fields(tt.path))
		got := s.Length.Format(unit.Metric)
		if len(s.Missing) > 0 {
			got += " missing " + strings.Join(s.Missing, " ")
		} else {
			got += fmt.Sprintf(" ± %.2f", s.Sigma.MM())
		}
		for _, c := range s.Longer {
			got += " longer " + c.Reading + " " + c.Diff().Format(unit.Metric)
		}
		if got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

// Of readings that overlap, those count that together add most.
func TestLongerReadingsDoNotOverlap(t *testing.T) {
	l := Adjust(world(t, street+`tape r1 100 ab
tape r2 100 bc
tape r3 100 cd
tape r4 100 de
tape r5 220 ab bc
tape r6 250 bc cd
tape r7 240 cd de`), nil)
	longer := l.Path([]string{"ab", "bc", "cd", "de"}).Longer
	for i, c := range longer {
		if i > 0 && slices.ContainsFunc(c.Runs, func(id string) bool { return slices.Contains(longer[i-1].Runs, id) }) {
			t.Errorf("%v and %v overlap", longer[i-1], c)
		}
	}
	total := unit.Length(0)
	for _, c := range longer {
		total += c.Diff()
	}
	for _, f := range l.Fits() {
		if more := -f.Residual; more > total+4 { // each run is rounded up to a nanometre
			t.Errorf("%s alone adds %v, all of %+v %v", f.Reading, more, longer, total)
		}
	}
}

func TestChecksAreGraded(t *testing.T) {
	b := world(t, street+"read r1 500 ab\nread r2 300 bc\nread r3 400 cd\nread r4 809 ab bc\nread r5 520 ab\nread r6 440 cd")
	var got []string
	for _, c := range Adjust(b, nil).Checks() {
		got = append(got, fmt.Sprint(c.Reading, " ", c.Diff().Format(unit.Metric), " ", c.Misfit()))
	}
	// Each beside what the others say: 500 beside 520 and 509 is over 10 mm and 1 %; 400 beside 440 over 25 mm and 3 %.
	want := []string{"r1 -16.5 mm 1", "r2 0.9 mm 0", "r3 -40 mm 2", "r4 -0.9 mm 0", "r5 17.2 mm 1", "r6 40 mm 2"}
	if !slices.Equal(got, want) {
		t.Errorf("checks %v, want %v", got, want)
	}
}

func TestReadingsThatSayNothingAreNamed(t *testing.T) {
	b := world(t, street)
	put := func(id string, r harness.Reading) {
		object, _ := harness.Encode(r)
		if _, err := b.Put(harness.KindReading, id, object); err != nil {
			t.Fatal(err)
		}
	}
	const mm = unit.Millimetre
	put("1", harness.Reading{Runs: []string{"ab"}})
	put("2", harness.Reading{Places: []string{"a"}, Value: mm})
	put("3", harness.Reading{Places: []string{"a", "c"}, Value: mm})
	put("4", harness.Reading{Runs: []string{"zz"}, Value: mm})
	put("5", harness.Reading{Runs: []string{"ab"}, Places: []string{"a", "c"}, Value: mm})
	put("6", harness.Reading{Runs: []string{"ab", "ab"}, Value: mm})
	put("7", harness.Reading{Places: []string{"d", "e"}, Value: 120 * mm}) // settles which run by itself
	l := Adjust(b, nil)
	want := []Unused{{"1", NoValue}, {"2", NoPath}, {"3", NoPath}, {"4", LostRun}, {"5", MovedRun}, {"6", PassTwice}}
	if !reflect.DeepEqual(l.Unused(), want) {
		t.Errorf("unused %v, want %v", l.Unused(), want)
	}
	if k, ok := l.Run("de"); !ok || k.Length != 120*mm {
		t.Errorf("de: %+v", k)
	}
	if n, of := l.Measured(); n != 1 || of != 4 {
		t.Errorf("measured %d of %d", n, of)
	}
}

// Against the truth: readings of random paths, exact, are solved to the lengths they were taken from; and a run is left
// open exactly where the rank of the equations says that it is.
func TestAdjustFindsTheTruthAndNoMore(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	for trial := range 400 {
		n := 2 + rng.IntN(12)
		truth := make([]int, n)
		var text strings.Builder
		for i := range n {
			truth[i] = 1 + rng.IntN(900)
			fmt.Fprintf(&text, "run %d p%d p%d\n", i, i, i+1)
		}
		var rows [][]float64
		for m := range rng.IntN(2 * n) {
			row := make([]float64, n)
			sum, runs := 0, ""
			for _, i := range rng.Perm(n)[:1+rng.IntN(min(n, 4))] {
				row[i], sum, runs = 1, sum+truth[i], runs+fmt.Sprint(" ", i)
			}
			rows = append(rows, row)
			fmt.Fprintf(&text, "read m%d %d%s\n", m, sum, runs)
		}
		l := Adjust(world(t, text.String()), nil)
		base := rank(rows, n)
		for i := range n {
			unitRow := make([]float64, n)
			unitRow[i] = 1
			settled := rank(append(slices.Clone(rows), unitRow), n) == base && len(rows) > 0
			k, ok := l.Run(fmt.Sprint(i))
			if ok != settled {
				t.Fatalf("trial %d: run %d: known %v, but the rank says %v\n%s", trial, i, say(l, k.Run), settled, &text)
			}
			if ok && k.Length != unit.Length(truth[i])*unit.Millimetre {
				t.Fatalf("trial %d: run %d is %v, truth %d\n%s", trial, i, k.Length, truth[i], &text)
			}
			sum := 0.0
			for _, term := range l.Explain(k.Run).Terms {
				sum += term.Weight * term.Value.MM()
			}
			if ok && math.Abs(sum-k.Length.MM()) > 1e-6 {
				t.Fatalf("trial %d: run %d: terms add up to %v", trial, i, sum)
			}
		}
		for _, f := range l.Fits() {
			if f.Residual != 0 {
				t.Fatalf("trial %d: %+v, though every reading is exact", trial, f)
			}
		}
		if len(l.Suspicions()) > 0 || !l.Closure().Holds() {
			t.Fatalf("trial %d: exact readings are suspected: %+v", trial, l.Suspicions())
		}
	}
}

func rank(rows [][]float64, n int) int {
	if len(rows) == 0 {
		return 0
	}
	m := mat.NewDense(len(rows), n, nil)
	for i, r := range rows {
		m.SetRow(i, r)
	}
	var svd mat.SVD
	svd.Factorize(m, mat.SVDNone)
	return svd.Rank(1e-9)
}
