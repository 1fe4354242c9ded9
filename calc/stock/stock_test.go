package stock

import (
	"encoding/csv"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"loomwright/calc/unit"
)

const mm = unit.Millimetre

// check tells what is wrong with a plan: a piece not cut once, a stock cut beyond its end, a bound above the plan.
func check(cuts []unit.Length, s Supply, p Plan) error {
	seen := make([]int, len(cuts))
	for _, i := range p.Uncut {
		seen[i]++
	}
	hand := make([]bool, len(s.OnHand))
	var bought, scrap unit.Length
	metre := 0
	for n, st := range p.Stocks {
		if len(st.Cuts) == 0 {
			return fmt.Errorf("stock %d is not cut", n)
		}
		sum := -s.Kerf
		for k, c := range st.Cuts {
			seen[c]++
			sum += cuts[c] + s.Kerf
			if k > 0 && cuts[c] > cuts[st.Cuts[k-1]] {
				return fmt.Errorf("stock %d: short pieces before long ones", n)
			}
		}
		if sum > st.Length {
			return fmt.Errorf("stock %d of %v is cut to %v", n, st.Length, sum)
		}
		if left := max(st.Length-sum-s.Kerf, 0); left != st.Left || st.Kept != (left > 0 && left >= s.Useful) {
			return fmt.Errorf("stock %d leaves %v, kept %v; want %v", n, st.Left, st.Kept, left)
		}
		if !st.Kept {
			scrap += st.Left
		}
		switch {
		case st.OnHand >= 0:
			if hand[st.OnHand] || s.OnHand[st.OnHand] != st.Length {
				return fmt.Errorf("stock %d: length on hand %d is used twice, or is another", n, st.OnHand)
			}
			hand[st.OnHand] = true
		case len(s.Spools) > 0 && !slices.Contains(s.Spools, st.Length):
			return fmt.Errorf("stock %d: %v cannot be bought", n, st.Length)
		case len(s.Spools) == 0:
			if metre++; metre > 1 || s.Step > 0 && st.Length%s.Step != 0 {
				return fmt.Errorf("stock %d: %v by the metre", n, st.Length)
			}
		}
		if st.OnHand < 0 {
			bought += st.Length
		}
	}
	for i, n := range seen {
		if n != 1 {
			return fmt.Errorf("piece %d is there %d times", i, n)
		}
	}
	switch {
	case bought != p.Bought || scrap != p.Scrap:
		return fmt.Errorf("bought %v, scrap %v; the stocks say %v and %v", p.Bought, p.Scrap, bought, scrap)
	case p.Lower > p.Bought, p.Optimal != (p.Lower == p.Bought):
		return fmt.Errorf("bought %v, at least %v, optimal %v", p.Bought, p.Lower, p.Optimal)
	}
	return nil
}

func cut(t testing.TB, cuts []unit.Length, s Supply) Plan {
	t.Helper()
	p, err := Cut(cuts, s)
	if err != nil {
		t.Fatal(err)
	}
	if err := check(cuts, s, p); err != nil {
		t.Fatalf("%v from %+v: %v", cuts, s, err)
	}
	return p
}

func lengths(mms ...int) (l []unit.Length) {
	for _, v := range mms {
		l = append(l, unit.Length(v)*mm)
	}
	return l
}

func TestCut(t *testing.T) {
	for _, c := range []struct {
		name   string
		cuts   []unit.Length
		supply Supply
		bought unit.Length
		stocks int
		scrap  unit.Length
		uncut  []int
	}{
		{name: "nothing to cut", supply: Supply{OnHand: lengths(500)}},
		{name: "all from what is on hand", cuts: lengths(900, 400, 300), supply: Supply{OnHand: lengths(1000, 700), Useful: 200 * mm}, stocks: 2, scrap: 100 * mm},
		{name: "the shorter length that holds it", cuts: lengths(400), supply: Supply{OnHand: lengths(2000, 450, 1000)}, stocks: 1, scrap: 0},
		{name: "the kerf makes it too long", cuts: lengths(500, 500), supply: Supply{OnHand: lengths(1000), Kerf: mm, Step: 100 * mm}, bought: 500 * mm, stocks: 2, scrap: 0},
		{name: "the last cut is the end", cuts: lengths(500, 499), supply: Supply{OnHand: lengths(1000), Kerf: mm}, stocks: 1},
		{name: "by the metre", cuts: lengths(700, 700, 700), supply: Supply{Step: unit.Metre, Kerf: 2 * mm}, bought: 3 * unit.Metre, stocks: 1},
		{name: "by the metre, to the length", cuts: lengths(700, 700), supply: Supply{Kerf: 2 * mm}, bought: 1402 * mm, stocks: 1},
		{name: "two sizes of spool", cuts: lengths(4000, 4000, 4000), supply: Supply{Spools: lengths(10000, 5000)}, bought: 15 * unit.Metre, stocks: 2},
		{name: "an offcut saves a spool", cuts: lengths(6000, 3000, 2000), supply: Supply{OnHand: lengths(2500), Spools: lengths(10000)}, bought: 10 * unit.Metre, stocks: 2},
		{name: "longer than any spool", cuts: lengths(12000, 3000), supply: Supply{Spools: lengths(10000)}, bought: 10 * unit.Metre, stocks: 1, uncut: []int{0}},
		{name: "only one of two has a place", cuts: lengths(12000, 12500, 3000), supply: Supply{OnHand: lengths(13000), Spools: lengths(10000)}, bought: 10 * unit.Metre, stocks: 2, uncut: []int{1}},
	} {
		p := cut(t, c.cuts, c.supply)
		if len(p.Uncut) == 1 && c.cuts[p.Uncut[0]] >= 12000*mm && c.uncut != nil {
			p.Uncut = c.uncut // either of two alike
		}
		if p.Bought != c.bought || len(p.Stocks) != c.stocks || c.supply.Useful > 0 && p.Scrap != c.scrap || !slices.Equal(p.Uncut, c.uncut) || !p.Optimal {
			t.Errorf("%s: %+v", c.name, p)
		}
	}
}

func TestErrors(t *testing.T) {
	for _, c := range []struct {
		name string
		cuts []unit.Length
		s    Supply
		want error
	}{
		{"a length of zero", lengths(0), Supply{}, ErrLength},
		{"a stock below zero", lengths(1), Supply{OnHand: lengths(-1)}, ErrLength},
		{"a spool longer than any", lengths(1), Supply{Spools: []unit.Length{unit.Longest + 1}}, ErrLength},
		{"a kerf below zero", lengths(1), Supply{Kerf: -1}, ErrLength},
		{"too many pieces", make([]unit.Length, MostCuts+1), Supply{}, ErrTooMany},
	} {
		if _, err := Cut(c.cuts, c.s); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
}

// brute tries every place of every piece and returns how little can be bought. Its only cleverness is to stop at a plan
// that buys more than one it has.
func brute(cuts []unit.Length, s Supply) unit.Length {
	type open struct {
		room   unit.Length
		length unit.Length
	}
	var bins []open
	for _, l := range s.OnHand {
		bins = append(bins, open{l + s.Kerf, 0})
	}
	best := unit.Length(1) << 60
	var put func(i int, bought, metre unit.Length)
	put = func(i int, bought, metre unit.Length) {
		total := bought
		if metre > 0 {
			total += (metre - s.Kerf).RoundUp(s.Step)
		}
		if total >= best {
			return
		}
		if i == len(cuts) {
			best = total
			return
		}
		l := cuts[i] + s.Kerf
		for b := range bins {
			if bins[b].room >= l {
				bins[b].room -= l
				put(i+1, bought, metre)
				bins[b].room += l
			}
		}
		if len(s.Spools) == 0 {
			put(i+1, bought, metre+l)
		}
		for _, spool := range s.Spools {
			if spool+s.Kerf >= l {
				bins = append(bins, open{spool + s.Kerf - l, spool})
				put(i+1, bought+spool, metre)
				bins = bins[:len(bins)-1]
			}
		}
	}
	put(0, 0, 0)
	return best
}

func randomSupply(rng *rand.Rand, hand int) Supply {
	s := Supply{Kerf: unit.Length(rng.IntN(3)) * mm, Useful: 200 * mm, Step: []unit.Length{0, 100 * mm, unit.Metre}[rng.IntN(3)]}
	for range rng.IntN(hand + 1) {
		s.OnHand = append(s.OnHand, unit.Length(10+rng.IntN(150))*10*mm)
	}
	for range rng.IntN(4) {
		s.Spools = append(s.Spools, unit.Length(100+20*rng.IntN(10))*10*mm)
	}
	return s
}

func TestEqualsBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 3))
	for trial := range 300 {
		s := randomSupply(rng, 3)
		var cuts []unit.Length
		for range 1 + rng.IntN(7) {
			cuts = append(cuts, unit.Length(5+rng.IntN(90))*10*mm)
		}
		p := cut(t, cuts, s)
		if want := brute(cuts, s); p.Bought != want || !p.Optimal || len(p.Uncut) > 0 {
			t.Fatalf("trial %d: %v from %+v: bought %v, at least %v, want %v", trial, cuts, s, p.Bought, p.Lower, want)
		}
	}
}

// Properties of larger cases: a sound plan; one piece less is never bounded above; and the same again.
func TestLargerCases(t *testing.T) {
	rng := rand.New(rand.NewPCG(40, 2))
	proven, gap := 0, unit.Length(0)
	const trials = 30
	for trial := range trials {
		s := randomSupply(rng, 10)
		var cuts []unit.Length
		for range 20 + rng.IntN(60) {
			cuts = append(cuts, unit.Length(30+rng.IntN(500))*[]unit.Length{5 * mm, unit.Inch / 4}[trial%2])
		}
		if trial%3 == 0 {
			s.Spools = lengths(10000, 25000)
		}
		p := cut(t, cuts, s)
		if p.Optimal {
			proven++
		}
		gap += p.Bought - p.Lower
		if !p.Optimal {
			t.Logf("trial %d: %d pieces, %d on hand, spools %v, step %v: bought %v, at least %v", trial, len(cuts), len(s.OnHand), s.Spools, s.Step, p.Bought, p.Lower)
		}
		if again := cut(t, cuts, s); !reflect.DeepEqual(again, p) {
			t.Fatalf("trial %d: twice, and not the same", trial)
		}
		if less := cut(t, cuts[1:], s); less.Lower > p.Bought {
			t.Fatalf("trial %d: with a piece less at least %v, with it %v are enough", trial, less.Lower, p.Bought)
		}
	}
	t.Logf("%d of %d proven; %v above the bounds in all", proven, trials, gap)
	if proven < trials*3/4 {
		t.Errorf("%d of %d proven", proven, trials)
	}
}

// instances is rows of the table of published problems under its headings: a browser has no files to read it from.
var instances = flag.String("instances", "", "published problems as CSV; empty reads the file")

// instance is a row of the table of published problems; one unit is a millimetre.
type instance struct {
	name, source string
	stock        unit.Length
	best         int
	cuts         []unit.Length
}

func published(t testing.TB) (all []instance) {
	t.Helper()
	table := *instances
	if table == "" {
		data, err := os.ReadFile("../../testdata/reference/cutting_stock.csv")
		if err != nil {
			t.Fatal(err)
		}
		table = string(data)
	}
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil || len(rows) < 2 || *instances == "" && len(rows) != 21 {
		t.Fatal(len(rows), err)
	}
	for _, row := range rows[1:] {
		number := func(s string) int {
			n, err := strconv.Atoi(s)
			if err != nil {
				t.Fatal(err)
			}
			return n
		}
		in := instance{name: row[0], stock: unit.Length(number(row[1])) * mm, best: number(row[3]), source: row[5]}
		for _, l := range strings.Fields(row[4]) {
			in.cuts = append(in.cuts, unit.Length(number(l))*mm)
		}
		if len(in.cuts) != number(row[2]) {
			t.Fatalf("%s: %d lengths, %s said", in.name, len(in.cuts), row[2])
		}
		all = append(all, in)
	}
	return all
}

func TestPublished(t *testing.T) {
	reached := 0
	for _, in := range published(t) {
		p := cut(t, in.cuts, Supply{Spools: []unit.Length{in.stock}})
		got, low := len(p.Stocks), int(p.Lower/in.stock)
		t.Logf("%s: %d stocks, at least %d, best known %d", in.name, got, low, in.best)
		if got <= in.best {
			reached++
		}
		if got > in.best+1 || low > in.best {
			t.Errorf("%s (%s): %d stocks, at least %d, best known %d", in.name, in.source, got, low, in.best)
		}
	}
	if reached < 18 {
		t.Errorf("best known reached on %d of 20", reached)
	}
}

func BenchmarkPublished(b *testing.B) {
	for _, in := range published(b) {
		b.Run(in.name, func(b *testing.B) {
			var p Plan
			for b.Loop() {
				p = cut(b, in.cuts, Supply{Spools: []unit.Length{in.stock}})
			}
			b.ReportMetric(float64(len(p.Stocks)), "stocks")
			b.ReportMetric(float64(p.Lower/in.stock), "lower")
			b.ReportMetric(float64(in.best), "known")
		})
	}
}
