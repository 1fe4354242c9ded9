package survey

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/unit"
)

// car is a seeded route like that of a car: a tree of runs from a controller, with true lengths, and its readings.
type car struct {
	rng    *rand.Rand
	parent []int // by place; the run of a place leads to its parent
	depth  []int
	truth  []float64 // mm, of the run of a place
	b      *harness.Build
	n      int // readings
}

// newCar grows a tree of so many runs: half of the places hang at the last split, the others at any before.
func newCar(t testing.TB, seed uint64, runs int) *car {
	c := &car{rng: rand.New(rand.NewPCG(seed, 99)), b: harness.NewBuild("b")}
	c.parent, c.depth, c.truth = []int{-1}, []int{0}, []float64{0}
	splits := []int{0}
	for i := 1; i <= runs; i++ {
		at := splits[len(splits)-1]
		if c.rng.IntN(2) == 0 {
			at = splits[c.rng.IntN(len(splits))]
		}
		if c.rng.IntN(3) == 0 {
			splits = append(splits, i)
		}
		c.parent, c.depth = append(c.parent, at), append(c.depth, c.depth[at]+1)
		c.truth = append(c.truth, 70+c.rng.ExpFloat64()*280)
		c.put(t, harness.KindRun, c.run(i), harness.Run{A: c.place(at), B: c.place(i), Order: float64(i)})
	}
	return c
}

func (c *car) run(i int) string   { return fmt.Sprintf("r%03d", i) }
func (c *car) place(i int) string { return fmt.Sprintf("p%03d", i) }

func (c *car) put(t testing.TB, kind harness.Kind, id string, record any) {
	t.Helper()
	harnesstest.Put(t, c.b, kind, id, record)
}

// way returns the places whose runs lead from one place to another, in order.
func (c *car) way(a, b int) (up []int) {
	var down []int
	for a != b {
		if c.depth[a] >= c.depth[b] {
			up, a = append(up, a), c.parent[a]
		} else {
			down, b = append(down, b), c.parent[b]
		}
	}
	slices.Reverse(down)
	return append(up, down...)
}

// read takes a reading of a way by string, with its error, and off times its standard deviation.
func (c *car) read(t testing.TB, way []int, off float64) (id string) {
	c.n++
	id = fmt.Sprintf("m%04d", c.n)
	r := harness.Reading{At: fmt.Sprintf("2026-05-01T%02d:%02d:%02dZ", c.n/3600, c.n/60%60, c.n%60)}
	truth := 0.0
	for _, i := range way {
		r.Runs = append(r.Runs, c.run(i))
		truth += c.truth[i]
	}
	r.Value = unit.Length(truth * 1e6)
	sigma := Sigma(c.b.Settings, r).MM()
	r.Value += unit.Length((c.rng.NormFloat64() + off) * sigma * 1e6)
	r.Value = max(r.Value, unit.Millimetre)
	c.put(t, harness.KindReading, id, r)
	return id
}

// leaves are the places where nothing hangs.
func (c *car) leaves() (ends []int) {
	for i := range c.parent {
		if i > 0 && !slices.Contains(c.parent, i) {
			ends = append(ends, i)
		}
	}
	return ends
}

// checks returns end-to-end ways that together pass as many runs as they can: each from the controller or a leaf to a leaf.
func (c *car) checks(n int) (ways [][]int) {
	ends := append([]int{0}, c.leaves()...)
	passed := map[int]bool{}
	for range n {
		var best []int
		most := -1
		for range 60 {
			way := c.way(ends[c.rng.IntN(len(ends))], ends[c.rng.IntN(len(ends))])
			fresh := 0
			for _, i := range way {
				if !passed[i] {
					fresh++
				}
			}
			if len(way) > 1 && fresh > most {
				best, most = way, fresh
			}
		}
		for _, i := range best {
			passed[i] = true
		}
		ways = append(ways, best)
	}
	return ways
}

const (
	carRuns   = 40
	carChecks = 8
	blunder   = 8 // standard deviations
	least     = 95
)

func cars(t *testing.T) uint64 {
	if testing.Short() {
		return 200
	}
	return 1000
}

// Every run read twice, 8 checks, one reading 8 standard deviations off: its run is named first in 95 of 100.
func TestBlunderIsTracedToItsRun(t *testing.T) {
	first, found, all := 0, 0, cars(t)
	for seed := range all {
		c := newCar(t, seed, carRuns)
		var ways [][]int
		for i := range carRuns {
			ways = append(ways, []int{i + 1}, []int{i + 1})
		}
		ways = append(ways, c.checks(carChecks)...)
		wrong := c.rng.IntN(len(ways))
		sign := float64(c.rng.IntN(2)*2 - 1)
		for i, way := range ways {
			off := 0.0
			if i == wrong {
				off = blunder * sign
			}
			c.read(t, way, off)
		}
		l := Adjust(c.b, nil)
		var runs []string
		for _, i := range ways[wrong] {
			runs = append(runs, c.run(i))
		}
		s, ok := l.MostLikely()
		if ok && slices.Equal(s.Runs, runs) {
			first++
			if s.Significant() {
				found++
			}
		}
	}
	t.Logf("%d networks of %d runs, each read twice, %d checks, one blunder of %d sigma: its run named first in %.1f %%, beyond chance in %.1f %%",
		all, carRuns, carChecks, blunder, 100*float64(first)/float64(all), 100*float64(found)/float64(all))
	if first*100 < least*int(all) {
		t.Errorf("named first in %d of %d", first, all)
	}
}

// Every run read once, 8 checks, one reading that a check passes 8 standard deviations off: the set named holds it in 95 of
// 100, and nothing else than what the data cannot tell from it.
func TestBlunderIsInTheSetThatIsNamed(t *testing.T) {
	in, size, twins, all := 0, 0, 0, cars(t)
	var sizes []int
	for seed := range all {
		c := newCar(t, seed, carRuns)
		var ways [][]int
		for i := range carRuns {
			ways = append(ways, []int{i + 1})
		}
		checks := c.checks(carChecks)
		ways = append(ways, checks...)
		wrong := 0
		for {
			wrong = c.rng.IntN(len(ways))
			if wrong >= carRuns || slices.ContainsFunc(checks, func(way []int) bool { return slices.Contains(way, wrong+1) }) {
				break
			}
		}
		sign := float64(c.rng.IntN(2)*2 - 1)
		id := ""
		for i, way := range ways {
			off := 0.0
			if i == wrong {
				off = blunder * sign
			}
			if got := c.read(t, way, off); i == wrong {
				id = got
			}
		}
		l := Adjust(c.b, nil)
		s, ok := l.MostLikely()
		if !ok {
			t.Fatalf("seed %d: nothing is checked", seed)
		}
		if slices.Contains(s.Readings, id) {
			in++
		}
		size += len(s.Readings)
		sizes = append(sizes, len(s.Readings))
		twins += sameResidual(l, id)
		if seed < 100 {
			forced(t, c, l, s, seed)
		}
	}
	slices.Sort(sizes)
	t.Logf("%d networks of %d runs, each read once, %d checks, one blunder of %d sigma: the set named holds it in %.1f %%; its size is %d at the median, %.1f on average, of %d readings; %.1f on average have the same residual as the blunder",
		all, carRuns, carChecks, blunder, 100*float64(in)/float64(all), sizes[len(sizes)/2], float64(size)/float64(all), carRuns+carChecks, float64(twins)/float64(all))
	if in*100 < least*int(all) {
		t.Errorf("the set holds it in %d of %d", in, all)
	}
}

// sameResidual counts the readings whose standardised residual equals that of one, itself among them.
func sameResidual(l *Lengths, id string) (n int) {
	w := 0.0
	for _, f := range l.Fits() {
		if f.Reading == id {
			w = f.W
		}
	}
	for _, f := range l.Fits() {
		if f.Checkable() && f.W > w*(1-1e-6) && f.W < w*(1+1e-6) {
			n++
		}
	}
	return n
}

// forced asks the data anew, with each reading thrown out in turn: the set must be exactly those without which the rest
// fits about as well as without the best of them, and the best of them fits.
func forced(t *testing.T, c *car, l *Lengths, s Suspicion, seed uint64) {
	t.Helper()
	chi := map[string]float64{}
	best := ""
	for _, f := range l.Fits() {
		if !f.Checkable() {
			continue
		}
		without := c.without(t, f.Reading)
		chi[f.Reading] = without.Closure().Chi2
		if best == "" || chi[f.Reading] < chi[best] {
			best = f.Reading
		}
	}
	var want []string
	rest := map[string]float64{}
	for _, f := range c.without(t, best).Fits() {
		rest[f.Reading] = f.W
	}
	for id, x := range chi {
		if x-chi[best] <= Alike && (id == best || rest[id] <= Critical) {
			want = append(want, id)
		}
	}
	got := slices.Clone(s.Readings)
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("seed %d: the set is %v, the data force %v", seed, got, want)
	}
}

func (c *car) without(t *testing.T, reading string) *Lengths {
	r, _ := c.b.Readings.Get(reading)
	r.Out = true
	c.put(t, harness.KindReading, reading, r)
	l := Adjust(c.b, nil)
	r.Out = false
	c.put(t, harness.KindReading, reading, r)
	return l
}
