package joint

import (
	"encoding/csv"
	"errors"
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

func route(t testing.TB, places int, runs ...Run) *Route {
	t.Helper()
	r, err := NewRoute(places, runs)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func everywhere(places int) []bool {
	all := make([]bool, places)
	for i := range all {
		all[i] = true
	}
	return all
}

// A trunk with a controller at one end and three devices on branches: the splice is made at the split, and only there where
// it is allowed.
func TestSmallJoint(t *testing.T) {
	// 0 controller - 1 split - 2 pass-through - 3 split; devices 4 at 1, 5 and 6 at 3
	r := route(t, 7, Run{0, 1, 500 * mm}, Run{1, 2, 300 * mm}, Run{2, 3, 200 * mm}, Run{1, 4, 100 * mm}, Run{3, 5, 150 * mm}, Run{3, 6, 250 * mm})
	for _, c := range []struct {
		name    string
		ends    []int
		splice  []int
		length  unit.Length
		splices []Splice
		star    unit.Length
	}{
		{"at both splits", []int{0, 4, 5, 6}, []int{0, 1, 3}, 1500 * mm, []Splice{{1, 3, 0}, {3, 3, 0}}, (600 + 1150 + 1250) * mm},
		{"at the far split only", []int{0, 4, 5, 6}, []int{3}, (1000 + 600 + 150 + 250) * mm, []Splice{{3, 4, 0}}, 3000 * mm},
		{"behind the controller only", []int{0, 4, 5, 6}, []int{0}, 3000 * mm, []Splice{{0, 4, 0}}, 3000 * mm},
		{"two ends need none", []int{4, 6}, nil, 850 * mm, nil, 850 * mm},
		{"two ends at one place", []int{5, 5, 6}, []int{5, 3}, 400 * mm, []Splice{{5, 3, 0}}, 400 * mm},
	} {
		net := Net{Ends: c.ends, Splice: make([]bool, 7)}
		for _, p := range c.splice {
			net.Splice[p] = true
		}
		tree, err := r.Tree(net)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		slices.SortFunc(tree.Splices, func(a, b Splice) int { return a.Place - b.Place })
		if tree.Length != c.length || !slices.Equal(tree.Splices, c.splices) || tree.Star != c.star || tree.Saved() != c.star-c.length {
			t.Errorf("%s: %v with %v, star %v; want %v with %v, star %v", c.name, tree.Length, tree.Splices, tree.Star, c.length, c.splices, c.star)
		}
	}
	tree, err := r.Tree(Net{Ends: []int{0, 4, 5}, Splice: everywhere(7), Taken: []int{0, 2}})
	if err != nil || len(tree.Splices) != 1 || tree.Splices[0].Offset != 2*Pitch {
		t.Errorf("beside two splices: %v, %v", tree.Splices, err)
	}
}

func TestErrors(t *testing.T) {
	r := route(t, 4, Run{0, 1, mm}, Run{1, 2, mm})
	for _, c := range []struct {
		name string
		net  Net
		want error
	}{
		{"nothing", Net{}, ErrFewEnds},
		{"one end", Net{Ends: []int{1}}, ErrFewEnds},
		{"an end that no run reaches", Net{Ends: []int{0, 3}}, ErrApart},
		{"no place for a splice", Net{Ends: []int{0, 1, 2}, Splice: []bool{false, false, false, true}}, ErrNoSplice},
		{"an end at no place", Net{Ends: []int{0, 9}}, ErrRoute},
		{"a splice at no place", Net{Ends: []int{0, 1, 2}, Splice: everywhere(9)}, ErrRoute},
	} {
		if _, err := r.Tree(c.net); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	for _, run := range []Run{{0, 5, mm}, {-1, 0, mm}, {0, 1, -1}} {
		if _, err := NewRoute(2, []Run{run}); !errors.Is(err, ErrRoute) {
			t.Errorf("%v: %v", run, err)
		}
	}
}

// brute tries every set of up to ends−2 allowed places, which is as many as a tree has meetings. It has nothing of the
// search for the best tree in it but the shortest spanning tree.
func brute(r *Route, net Net) unit.Length {
	var allowed []int
	for p, ok := range net.Splice {
		if ok {
			allowed = append(allowed, p)
		}
	}
	best := far
	var try func(from int, chosen []int)
	try = func(from int, chosen []int) {
		if len(chosen) > 0 {
			sum := unit.Length(len(net.Ends)+len(chosen)-1) * net.Each
			in := []int{chosen[0]}
			for len(in) < len(chosen) {
				next, least := -1, 2*far
				for _, c := range chosen {
					if slices.Contains(in, c) {
						continue
					}
					for _, i := range in {
						if l := r.length(i, c); l < least {
							next, least = c, l
						}
					}
				}
				in = append(in, next)
				sum += least
			}
			for _, e := range net.Ends {
				least := far
				for _, c := range chosen {
					least = min(least, r.length(c, e))
				}
				sum += least
			}
			best = min(best, sum)
		}
		if len(chosen) < len(net.Ends)-2 {
			for i := from; i < len(allowed); i++ {
				try(i+1, append(slices.Clone(chosen), allowed[i]))
			}
		}
	}
	try(0, nil)
	return best
}

// random returns a route that hangs together, with some loops, and a net on it.
func random(rng *rand.Rand, places, ends int, allowed float64) (*Route, Net) {
	var runs []Run
	for p := 1; p < places; p++ {
		runs = append(runs, Run{rng.IntN(p), p, unit.Length(1+rng.IntN(500)) * mm})
	}
	for range places / 2 {
		runs = append(runs, Run{rng.IntN(places), rng.IntN(places), unit.Length(1+rng.IntN(800)) * mm})
	}
	r, err := NewRoute(places, runs)
	if err != nil {
		panic(err)
	}
	net := Net{Splice: make([]bool, places)}
	for range ends {
		net.Ends = append(net.Ends, rng.IntN(places))
	}
	for p := range places {
		net.Splice[p] = rng.Float64() < allowed
	}
	return r, net
}

// check tells what is wrong with a tree: pieces that are no ways, ends that are not joined, places that are not allowed.
func check(r *Route, net Net, tree Tree) error {
	var sum unit.Length
	n := len(net.Ends)
	joined := make([]int, n+len(tree.Splices))
	for i := range joined {
		joined[i] = i
	}
	root := func(i int) int {
		for joined[i] != i {
			i = joined[i]
		}
		return i
	}
	wires := make([]int, len(tree.Splices))
	count := make([]int, n)
	for i, p := range tree.Pieces {
		var node, place [2]int
		for k, at := range [2]Point{p.From, p.To} {
			switch {
			case at.End >= 0 && at.Splice < 0:
				node[k], place[k] = at.End, net.Ends[at.End]
				count[at.End]++
			case at.End < 0 && at.Splice >= 0:
				node[k], place[k] = n+at.Splice, tree.Splices[at.Splice].Place
				wires[at.Splice]++
			default:
				return fmt.Errorf("piece %d: point %+v", i, at)
			}
		}
		if p.Places[0] != place[0] || p.Places[len(p.Places)-1] != place[1] || len(p.Places) != len(p.Runs)+1 {
			return fmt.Errorf("piece %d goes over %v from %d to %d", i, p.Places, place[0], place[1])
		}
		var l unit.Length
		for k, run := range p.Runs {
			if a, b := r.runs[run].A, r.runs[run].B; !(a == p.Places[k] && b == p.Places[k+1] || b == p.Places[k] && a == p.Places[k+1]) {
				return fmt.Errorf("piece %d: run %d does not join its places", i, run)
			}
			l += r.runs[run].Length
		}
		if l != p.Length {
			return fmt.Errorf("piece %d: %v, its runs %v", i, p.Length, l)
		}
		sum += l
		a, b := root(node[0]), root(node[1])
		if a == b {
			return fmt.Errorf("piece %d closes a ring", i)
		}
		joined[a] = b
	}
	for i := range joined {
		if root(i) != root(0) {
			return fmt.Errorf("point %d is not joined", i)
		}
	}
	for e, c := range count {
		if c != 1 {
			return fmt.Errorf("end %d has %d wires", e, c)
		}
	}
	for i, s := range tree.Splices {
		if !net.Splice[s.Place] || s.Wires != wires[i] || s.Wires < 3 {
			return fmt.Errorf("splice %d: %+v with %d wires, allowed %v", i, s, wires[i], net.Splice[s.Place])
		}
	}
	switch {
	case sum+unit.Length(len(tree.Pieces))*net.Each != tree.Length:
		return fmt.Errorf("length %v, pieces %v", tree.Length, sum)
	case tree.Lower > tree.Length:
		return fmt.Errorf("lower bound %v above %v", tree.Lower, tree.Length)
	case len(tree.Splices) > 0 && tree.Length > tree.OneSplice:
		return fmt.Errorf("longer, %v, than with one splice, %v", tree.Length, tree.OneSplice)
	case tree.Exact != (tree.Lower == tree.Length):
		return fmt.Errorf("exact is %v, bound %v of %v", tree.Exact, tree.Lower, tree.Length)
	}
	return nil
}

func TestExactEqualsBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 500))
	for trial := range 500 {
		ends := 3 + rng.IntN(4)
		r, net := random(rng, 5+rng.IntN(12), ends, 0.2+0.6*rng.Float64())
		net.Splice[rng.IntN(r.places)] = true
		if trial%2 == 1 {
			net.Each = unit.Length(rng.IntN(200)) * mm
		}
		tree, err := r.Tree(net)
		if err != nil {
			t.Fatalf("trial %d: %v", trial, err)
		}
		if err := check(r, net, tree); err != nil {
			t.Fatalf("trial %d: %v", trial, err)
		}
		if want := brute(r, net); tree.Length != want || !tree.Exact {
			t.Fatalf("trial %d, %d ends: %v, want %v", trial, ends, tree.Length, want)
		}
		s := newSearch(r, net.Ends, allowedOf(net), 0)
		if low := s.lower(far); low > tree.Length {
			t.Fatalf("trial %d: lower bound %v above the shortest, %v", trial, low, tree.Length)
		}
	}
}

func allowedOf(net Net) (allowed []int) {
	for p, ok := range net.Splice {
		if ok {
			allowed = append(allowed, p)
		}
	}
	return allowed
}

// What the method for many ends loses against the shortest tree, where both can be had.
func TestHeuristicAgainstExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	worst, sum, best := 1.0, 0.0, 0
	worstLow, sumLow := 1.0, 0.0
	const trials = 100
	for trial := range trials {
		r, net := random(rng, 60, 8, 0.6)
		for _, e := range net.Ends {
			net.Splice[e] = true
		}
		tree, err := r.Tree(net)
		if err != nil {
			t.Fatal(err)
		}
		s := newSearch(r, net.Ends, allowedOf(net), 0)
		first := s.cost(s.start()).length
		got := s.cost(s.improve(s.start())).length
		if got < tree.Length || first < got || float64(first) > 2*(1-1.0/8)*float64(tree.Length) {
			t.Fatalf("trial %d: shortest %v, found %v, at first %v", trial, tree.Length, got, first)
		}
		ratio := float64(got) / float64(tree.Length)
		worst, sum = max(worst, ratio), sum+ratio
		if got == tree.Length {
			best++
		}
		low := float64(s.lower(far)) / float64(tree.Length)
		worstLow, sumLow = min(worstLow, low), sumLow+low
	}
	t.Logf("found/shortest: mean %.4f, worst %.4f, shortest in %d of %d; bound/shortest: mean %.4f, worst %.4f",
		sum/trials, worst, best, trials, sumLow/trials, worstLow)
	if worst > 1.1 || sum/trials > 1.01 {
		t.Errorf("found/shortest: mean %.4f, worst %.4f", sum/trials, worst)
	}
}

// published reads the table of published instances.
func published(t *testing.T) (rows []map[string]string) {
	t.Helper()
	f, err := os.Open("../../testdata/reference/steiner.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) < 5 {
		t.Fatal(len(all), err)
	}
	for _, row := range all[1:] {
		m := map[string]string{}
		for i, name := range all[0] {
			m[name] = row[i]
		}
		rows = append(rows, m)
	}
	return rows
}

// In the published problems wires may meet anywhere, and one unit is a millimetre.
func TestPublished(t *testing.T) {
	number := func(s string) int {
		n, err := strconv.Atoi(s)
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	for _, row := range published(t) {
		places := number(row["nodes"])
		var runs []Run
		for _, e := range strings.Split(row["edges"], "; ") {
			f := strings.Fields(e)
			runs = append(runs, Run{number(f[0]) - 1, number(f[1]) - 1, unit.Length(number(f[2])) * mm})
		}
		net := Net{Splice: everywhere(places)}
		for _, p := range strings.Fields(row["terminals"]) {
			net.Ends = append(net.Ends, number(p)-1)
		}
		r := route(t, places, runs...)
		want := unit.Length(number(row["optimum"])) * mm
		tree, err := r.Tree(net)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(r, net, tree); err != nil {
			t.Errorf("%s: %v", row["instance"], err)
		}
		t.Logf("%s, %d ends: %v, at least %v; published %v", row["instance"], len(net.Ends), tree.Length, tree.Lower, want)
		if tree.Length < want || tree.Lower > want || float64(tree.Length) > 1.02*float64(want) {
			t.Errorf("%s: %v, at least %v; published %v", row["instance"], tree.Length, tree.Lower, want)
		}
		if len(net.Ends) <= 9 { // one more than is asked of it
			s := newSearch(r, net.Ends, allowedOf(net), 0)
			var chosen []int
			for _, p := range exact(r, net.Ends, s.allowed, 0) {
				chosen = append(chosen, s.index[p])
			}
			if got := s.cost(chosen).length; got != want {
				t.Errorf("%s: exact %v; published %v", row["instance"], got, want)
			}
		}
	}
}

// Properties of many ends: a sound tree; what no tree with splices anywhere goes below, none with fewer places does;
// on a route without loops the tree is known to be the shortest; and the same again.
func TestManyEnds(t *testing.T) {
	rng := rand.New(rand.NewPCG(60, 200))
	for trial := range 30 {
		r, net := random(rng, 80, 9+rng.IntN(40), 0.5)
		net.Splice[0] = true
		tree, err := r.Tree(net)
		if err != nil {
			t.Fatal(err)
		}
		if err := check(r, net, tree); err != nil {
			t.Fatalf("trial %d: %v", trial, err)
		}
		again, err := r.Tree(net)
		if err != nil || !reflect.DeepEqual(again, tree) {
			t.Fatalf("trial %d: twice, and not the same", trial)
		}
		net.Splice = everywhere(r.places)
		free, err := r.Tree(net)
		if err != nil || free.Lower > tree.Length || free.Factor <= 1 || free.Factor >= 2 {
			t.Fatalf("trial %d: at least %v with splices anywhere, %v with fewer places; factor %v, %v", trial, free.Lower, tree.Length, free.Factor, err)
		}
		// Without loops, each run between ends is used once.
		branches := route(t, r.places, r.runs[:r.places-1]...)
		plain, err := branches.Tree(net)
		if err != nil || !plain.Exact || check(branches, net, plain) != nil {
			t.Fatalf("trial %d: without loops: %v, bound %v, %v", trial, plain.Length, plain.Lower, err)
		}
	}
}

// A ground joint of sixty ends on a route of two hundred places with loops.
func BenchmarkGroundJoint(b *testing.B) {
	rng := rand.New(rand.NewPCG(60, 1))
	r, net := random(rng, 200, 60, 0.7)
	for _, e := range net.Ends {
		net.Splice[e] = true
	}
	var tree Tree
	for b.Loop() {
		clear(r.ways) // nothing is remembered
		var err error
		if tree, err = r.Tree(net); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(tree.Length)/float64(tree.Lower), "length/bound")
}

func BenchmarkExact(b *testing.B) {
	r, net := random(rand.New(rand.NewPCG(8, 1)), 200, 8, 1)
	for b.Loop() {
		clear(r.ways)
		if _, err := r.Tree(net); err != nil {
			b.Fatal(err)
		}
	}
}
