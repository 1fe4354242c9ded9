package survey

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// world builds a build from short lines: "run ab a b", "split ab ax xb", "join ax xb ab2", "read r1 500 ab bc",
// "guess r1 500 ab". Readings are taken in the order of the lines.
func world(t testing.TB, lines string) *harness.Build {
	t.Helper()
	b := harness.NewBuild("b")
	put := func(kind harness.Kind, id string, record any) {
		t.Helper()
		object, err := harness.Encode(record)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := b.Put(kind, id, object); err != nil {
			t.Fatal(err)
		}
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
		case "read", "guess":
			minute++
			r := harness.Reading{Runs: f[3:], At: fmt.Sprintf("2026-05-01T10:%02d:00Z", minute)}
			if _, err := fmt.Sscan(f[2], &r.Value); err != nil {
				t.Fatal(err)
			}
			r.Value *= unit.Millimetre
			if f[0] == "guess" {
				r.Method = harness.ByGuess
			}
			put(harness.KindReading, f[1], r)
		default:
			t.Fatalf("unknown line %q", line)
		}
	}
	return b
}

// say writes what is known of a run in one line.
func say(k Known) string {
	if !k.Measured() {
		return strings.TrimSpace(fmt.Sprint(k.Why, " ", strings.Join(append(k.With, k.Readings...), " ")))
	}
	s := fmt.Sprint(k.Length.Format(unit.Metric), " ", k.How)
	for _, t := range k.Terms {
		n := fmt.Sprintf("%+d", t.Num)
		if t.Den != 1 {
			n += fmt.Sprintf("/%d", t.Den)
		}
		s += " " + n + t.Reading
	}
	if k.Split != "" {
		s += " of " + k.Split
	}
	if k.Guess {
		s += " guess"
	}
	return s
}

const line = `
run ab a b
run bc b c
run cd c d
run de d e
`

func TestLatest(t *testing.T) {
	tests := []struct {
		name, build string
		want        map[string]string
	}{
		{"nothing read", line, map[string]string{"ab": "no reading", "zz": "no run"}},
		{"run by run", line + "read r1 500 ab\nread r2 300 bc", map[string]string{
			"ab": "500 mm reading +1r1", "bc": "300 mm reading +1r2", "cd": "no reading"}},
		{"the latest counts", line + "read r1 500 ab\nread r2 510 ab", map[string]string{"ab": "510 mm reading +1r2"}},
		{"a guess never replaces a reading", line + "read r1 500 ab\nguess r2 600 ab\nguess r3 400 bc", map[string]string{
			"ab": "500 mm reading +1r1", "bc": "400 mm reading +1r3 guess"}},
		{"a reading replaces a guess", line + "guess r1 600 ab\nread r2 500 ab", map[string]string{"ab": "500 mm reading +1r2"}},
		{"marks along one string", line + "read m1 410 ab\nread m2 760 ab bc\nread m3 1180 ab bc cd", map[string]string{
			"ab": "410 mm reading +1m1", "bc": "350 mm difference +1m2 -1m1", "cd": "420 mm difference +1m3 -1m2",
			"de": "no reading"}},
		{"marks whose first was missed", line + "read m2 760 ab bc\nread m3 1180 ab bc cd", map[string]string{
			"ab": "together bc", "bc": "together ab", "cd": "420 mm difference +1m3 -1m2"}},
		{"three readings that only together settle", line + "read r1 500 ab bc\nread r2 700 bc cd\nread r3 600 ab cd", map[string]string{
			"ab": "200 mm solved +1/2r3 +1/2r1 -1/2r2", "bc": "300 mm solved +1/2r2 +1/2r1 -1/2r3",
			"cd": "400 mm solved +1/2r2 +1/2r3 -1/2r1"}},
		{"a reading outlives a split", line + "run ax a x\nrun xb x b\nread r1 500 ab\nsplit ab ax xb", map[string]string{
			"ab": "no run", "ax": "together xb", "xb": "together ax"}},
		{"part of a split", line + "run ax a x\nrun xb x b\nread r1 500 ab\nsplit ab ax xb\nread r2 180 ax", map[string]string{
			"ax": "180 mm reading +1r2", "xb": "320 mm split part +1r1 -1r2 of ab"}},
		{"a split of a split", line + "run ax a x\nrun xb x b\nrun xy x y\nrun yb y b\nread r1 500 ab\nsplit ab ax xb\nsplit xb xy yb\nread r2 180 ax\nread r3 20 yb",
			map[string]string{"xy": "300 mm split part +1r1 -1r2 -1r3 of ab"}},
		{"joined runs add up", line + "run ac a c\nread r1 500 ab\nread r2 300 bc\njoin ab bc ac", map[string]string{
			"ac": "800 mm sum +1r1 +1r2"}},
		{"joined, half of it read", line + "run ac a c\nread r1 500 ab\njoin ab bc ac", map[string]string{"ac": "together bc"}},
		{"joined, and read since", line + "run ac a c\nread r1 500 ab\nread r2 300 bc\njoin ab bc ac\nread r3 790 ac", map[string]string{
			"ac": "790 mm reading +1r3"}},
		{"joined, inside a longer reading", line + "run ac a c\nread r1 500 ab\nread r2 300 bc\nread r3 1200 ab bc cd\njoin ab bc ac", map[string]string{
			"ac": "800 mm sum +1r1 +1r2", "cd": "400 mm difference +1r3 -1r1 -1r2"}},
		{"joined and split again elsewhere", line + "run ac a c\nrun ay a y\nrun yc y c\nread r1 500 ab\nread r2 300 bc\njoin ab bc ac\nsplit ac ay yc\nread r3 100 ay",
			map[string]string{"yc": "700 mm solved +1r1 +1r2 -1r3"}},
		{"a run gone for good still parts a reading", line + "read r1 500 ab\nread r2 800 ab bc\ngone ab", map[string]string{
			"bc": "300 mm difference +1r2 -1r1"}},
		{"a difference of zero", line + "read r1 500 ab\nread r2 500 ab bc", map[string]string{
			"ab": "500 mm reading +1r1", "bc": "contradicted r1 r2"}},
		{"a difference below zero", line + "read r1 500 ab\nread r2 400 ab bc\nread r3 900 bc cd", map[string]string{
			"bc": "contradicted r1 r2", "cd": "together bc"}},
		{"solved below zero takes its readings along", line + "read r1 100 ab bc\nread r2 300 bc cd\nread r3 80 ab cd", map[string]string{
			"ab": "contradicted r1 r2 r3", "bc": "contradicted r1 r2 r3", "cd": "contradicted r1 r2 r3"}},
		{"became in a circle", "run p a b\nrun q a b\nrun s a b\ngone p q s\ngone q p s\nread r1 100 p", map[string]string{"s": "no reading"}},
		{"became runs that lead elsewhere", line + "run xy x y\nrun yz y z\nread r1 500 ab\nsplit ab xy yz", map[string]string{
			"xy": "no reading"}},
	}
	for _, tt := range tests {
		l := Latest(world(t, tt.build))
		for run, want := range tt.want {
			k, ok := l.Run(run)
			if got := say(k); got != want || ok != k.Measured() {
				t.Errorf("%s: %s is %q, want %q", tt.name, run, got, want)
			}
		}
	}
}

func TestPath(t *testing.T) {
	tests := []struct {
		name, build, path, want string
	}{
		{"all known", line + "read r1 500 ab\nread r2 300 bc", "ab bc", "800 mm"},
		{"none", line, "", "0 mm"},
		{"one missing", line + "read r1 500 ab", "ab bc", "500 mm missing bc"},
		{"known together", line + "read r1 800 ab bc", "ab bc", "800 mm"},
		{"half of what is known together", line + "read r1 800 ab bc", "ab cd", "0 mm missing ab cd"},
		{"a longer reading over the path", line + "read r1 500 ab\nread r2 300 bc\nread r3 830 ab bc", "ab bc", "800 mm longer r3 30 mm"},
		{"a shorter reading over the path", line + "read r1 500 ab\nread r2 300 bc\nread r3 790 ab bc", "ab bc", "800 mm"},
		{"a longer guess", line + "read r1 500 ab\nread r2 300 bc\nguess r3 900 ab bc", "ab bc", "800 mm"},
		{"a reading that leaves the path", line + "read r1 500 ab\nread r2 300 bc\nread r3 830 ab bc", "bc", "300 mm"},
		{"two that overlap: the ones that add most", line +
			"read r1 100 ab\nread r2 100 bc\nread r3 100 cd\nread r4 100 de\nread r5 220 ab bc\nread r6 250 bc cd\nread r7 240 cd de",
			"ab bc cd de", "400 mm longer r5 20 mm longer r7 40 mm"},
		{"a contradicted sum", line + "read r1 100 ab bc\nread r2 300 bc cd\nread r3 80 ab cd", "ab bc", "0 mm missing ab bc"},
		{"passing a run that is not there", line, "zz", "0 mm missing zz"},
	}
	for _, tt := range tests {
		s := Latest(world(t, tt.build)).Path(strings.Fields(tt.path))
		got := s.Length.Format(unit.Metric)
		if len(s.Missing) > 0 {
			got += " missing " + strings.Join(s.Missing, " ")
		}
		for _, c := range s.Longer {
			got += " longer " + c.Reading + " " + c.Diff().Format(unit.Metric)
		}
		if got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

func TestChecksAreGraded(t *testing.T) {
	b := world(t, line+"read r1 500 ab\nread r2 300 bc\nread r3 400 cd\nread r4 809 ab bc\nread r5 715 bc cd\nread r6 1240 ab bc cd")
	var got []string
	for _, c := range Latest(b).Checks() {
		got = append(got, fmt.Sprint(c.Reading, " ", c.Diff().Format(unit.Metric), " ", c.Misfit()))
	}
	// 9 mm of 809 closes; 15 mm of 715 is over 10 mm and 1 %; 40 mm of 1240 is over 25 mm and 3 %.
	want := []string{"r4 9 mm 0", "r5 15 mm 1", "r6 40 mm 2"}
	if !slices.Equal(got, want) {
		t.Errorf("checks %v, want %v", got, want)
	}
}

func TestReadingsThatSayNothingAreNamed(t *testing.T) {
	b := world(t, line)
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
	l := Latest(b)
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
func TestLatestFindsTheTruthAndNoMore(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	for trial := range 300 {
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
		l := Latest(world(t, text.String()))
		base := rank(rows, n)
		for i := range n {
			unitRow := make([]float64, n)
			unitRow[i] = 1
			settled := rank(append(slices.Clone(rows), unitRow), n) == base && len(rows) > 0
			k, ok := l.Run(fmt.Sprint(i))
			if ok != settled {
				t.Fatalf("trial %d: run %d: known %v, but the rank says %v\n%s", trial, i, say(k), settled, &text)
			}
			if ok && k.Length != unit.Length(truth[i])*unit.Millimetre {
				t.Fatalf("trial %d: run %d is %v, truth %d\n%s", trial, i, say(k), truth[i], &text)
			}
			if ok && !sumsUp(k) {
				t.Fatalf("trial %d: run %d: terms do not add up: %+v", trial, i, k)
			}
		}
		for _, c := range l.Checks() {
			if c.Diff() != 0 {
				t.Fatalf("trial %d: %+v differs, though every reading is exact", trial, c)
			}
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

func sumsUp(k Known) bool {
	den := int64(1)
	for _, t := range k.Terms {
		den *= t.Den
	}
	sum := int64(0)
	for _, t := range k.Terms {
		sum += t.Num * (den / t.Den) * int64(t.Value/unit.Millimetre)
	}
	return sum == den*int64(k.Length/unit.Millimetre) && k.Length%unit.Millimetre == 0
}

func TestLatestIsTheSameInAnyOrder(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(line+`
read r1 500 ab
read r2 790 ab bc
read r3 1200 ab bc cd
read r4 700 bc cd
read r5 905 cd de`), "\n")
	first := Latest(world(t, strings.Join(lines, "\n")))
	rng := rand.New(rand.NewPCG(1, 2))
	for range 20 {
		// Reverse the runs' lines only: the readings keep their time.
		runs := slices.Clone(lines[:4])
		rng.Shuffle(len(runs), func(i, j int) { runs[i], runs[j] = runs[j], runs[i] })
		again := Latest(world(t, strings.Join(append(runs, lines[4:]...), "\n")))
		if !reflect.DeepEqual(first.All(), again.All()) || !reflect.DeepEqual(first.Checks(), again.Checks()) {
			t.Fatalf("%+v\n%+v", first.All(), again.All())
		}
	}
}

// 300 runs, as a walk leaves them (thirty strings of ten marks, and a check of each), as one string with 300 marks, and
// with every reading entangled with the next.
func BenchmarkLatest(b *testing.B) {
	var walk, marks, tangled strings.Builder
	for i := range 300 {
		for _, text := range []*strings.Builder{&walk, &marks, &tangled} {
			fmt.Fprintf(text, "run %d p%d p%d\n", i, i, i+1)
		}
	}
	for i := range 300 {
		fmt.Fprintf(&walk, "read m%d %d", i, 100*(i%10+1))
		for j := i - i%10; j <= i; j++ {
			fmt.Fprintf(&walk, " %d", j)
		}
		if i%10 == 9 {
			fmt.Fprintf(&walk, "\nread c%d 205 %d %d", i, i-1, i)
		}
		fmt.Fprintf(&marks, "read m%d %d", i, 100*(i+1))
		for j := range i + 1 {
			fmt.Fprintf(&marks, " %d", j)
		}
		walk.WriteString("\n")
		marks.WriteString("\n")
		fmt.Fprintf(&tangled, "read m%d 300 %d %d\n", i, i, (i+1)%300)
	}
	tangled.WriteString("read x 300 297 299\n")
	for _, w := range []struct{ name, text string }{{"walk", walk.String()}, {"marks", marks.String()}, {"tangled", tangled.String()}} {
		build := world(b, w.text)
		b.Run(w.name, func(b *testing.B) {
			for b.Loop() {
				Latest(build)
			}
		})
	}
}
