package survey

import (
	"maps"
	"math"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/unit"
)

// Bundles is the outer diameter of runs, by run. A run that is not in it, or is zero or less, is not known yet.
type Bundles map[string]unit.Length

// book is the readings of a build as observations, with what it takes to make them anew for other bundles.
type book struct {
	columns map[string]int // by run, living or gone
	names   []string       // of columns
	joined  map[int][]share
	corners map[string]int // of runs, 90 degrees each
	obs     []*observation
	bends   map[string]bend              // by reading that was pulled round corners
	was     map[string]map[string]string // by reading: of runs it passes as part of one that was split, that one
	heir    map[string]string            // by run that was joined: the run it became
	unused  []Unused
}

// bend is how a string went round corners.
type bend struct {
	stated bool // the reading says how many, else the runs do
	count  int
	thick  unit.Length
}

// newBook reads a build. Cost: linear in readings and the runs they pass.
func newBook(b *harness.Build) *book {
	k := &book{columns: map[string]int{}, joined: map[int][]share{}, corners: map[string]int{}, bends: map[string]bend{}, was: map[string]map[string]string{}, heir: map[string]string{}}
	t := &tracer{b: b}
	for _, r := range b.Runs.All() {
		k.column(r.ID)
	}
	var readings []record
	gone := map[string]bool{}
	for _, r := range inOrder(b) {
		runs, because := t.path(r)
		if because != "" {
			k.unused = append(k.unused, Unused{r.ID, because})
			continue
		}
		readings = append(readings, record{r, runs})
		for _, id := range runs {
			gone[id] = true
		}
	}
	into, from := t.joined()
	for _, id := range into {
		for _, was := range append(slices.Clone(from[id]), id) {
			if was != id {
				k.heir[was] = id
			}
			r, _ := b.Runs.Any(was)
			for _, part := range t.parts(r, nil) {
				gone[part] = true
			}
		}
	}
	for _, id := range slices.Sorted(maps.Keys(gone)) {
		k.column(id)
	}
	for id := range k.columns {
		r, _ := b.Runs.Any(id)
		k.corners[id] = max(0, min(r.Corners, mostCorners))
	}
	for _, id := range into {
		if run, ok := b.Runs.Any(id); ok && t.chain(from[id], run.A, run.B) {
			k.join(t, run, from[id])
		}
	}
	for i, r := range readings {
		k.observe(b.Settings, r, i)
		k.was[r.ID] = t.split(r)
	}
	return k
}

// mostCorners is how many corners a run or a reading has at most; more are a slip of the finger. Source: our choice.
const mostCorners = 1000

func (k *book) column(run string) int {
	c, ok := k.columns[run]
	if !ok {
		c = len(k.names)
		k.columns[run] = c
		k.names = append(k.names, run)
	}
	return c
}

// join notes that a run is as long as those that were joined to make it, by writing it as their sum.
func (k *book) join(t *tracer, run harness.Run, from []string) {
	zero := map[int]int64{}
	take := func(runs []string, sign int64) {
		for _, s := range k.shares(runs) {
			zero[s.col] += sign * s.n
		}
	}
	take(t.parts(run, nil), 1)
	for _, id := range from {
		r, _ := t.b.Runs.Any(id)
		take(t.parts(r, nil), -1)
	}
	pivot := -1
	for _, c := range slices.Sorted(maps.Keys(zero)) { // living runs have the first columns
		if n := zero[c]; n == 1 || n == -1 {
			pivot = c
			break
		}
	}
	if pivot < 0 {
		return // it says nothing, or nothing of a run by itself
	}
	by := -zero[pivot]
	var rest []share
	for _, c := range slices.Sorted(maps.Keys(zero)) {
		if c != pivot && zero[c] != 0 {
			rest = append(rest, share{c, by * zero[c]})
		}
	}
	for c, old := range k.joined {
		k.joined[c] = k.replace(old, pivot, rest)
	}
	k.joined[pivot] = rest
}

// replace writes a column of a sum as a sum of others.
func (k *book) replace(in []share, col int, rest []share) []share {
	all := map[int]int64{}
	for _, s := range in {
		if s.col != col {
			all[s.col] += s.n
			continue
		}
		for _, r := range rest {
			all[r.col] += s.n * r.n
		}
	}
	return sorted(all)
}

func sorted(all map[int]int64) []share {
	out := make([]share, 0, len(all))
	for _, c := range slices.Sorted(maps.Keys(all)) {
		if all[c] != 0 {
			out = append(out, share{c, all[c]})
		}
	}
	return out
}

// shares returns the sum of runs in columns. A run that the build never had is left out.
func (k *book) shares(runs []string) []share {
	all := make([]share, 0, len(runs))
	for _, id := range runs {
		c, ok := k.columns[id]
		if !ok {
			continue
		}
		if rest, joined := k.joined[c]; joined {
			all = append(all, rest...)
		} else {
			all = append(all, share{c, 1})
		}
	}
	sorting.By(all, func(a, b share) int { return a.col - b.col })
	out := all[:0]
	for _, s := range all {
		if n := len(out); n > 0 && out[n-1].col == s.col {
			out[n-1].n += s.n
		} else {
			out = append(out, s)
		}
	}
	return slices.DeleteFunc(out, func(s share) bool { return s.n == 0 })
}

// observe adds a reading.
func (k *book) observe(s harness.Settings, r record, later int) {
	o := &observation{reading: r.ID, runs: r.runs, shares: k.shares(r.runs), value: r.Value, sigma: Sigma(s, r.Reading).MM(), later: later, out: r.Out}
	if len(o.shares) == 0 {
		k.unused = append(k.unused, Unused{r.ID, NoPath})
		return
	}
	switch r.Method {
	case harness.ByGuess:
		o.class = guessed
	case harness.AsBuilt:
		o.class = built
	case harness.ByDrawing:
	default:
		n := 0
		for _, id := range r.runs {
			n += k.corners[id]
		}
		d := bend{false, n, thick(s, r.Reading)}
		if r.Corners != nil {
			d.stated, d.count = true, max(0, min(*r.Corners, mostCorners))
		}
		if d.count > 0 {
			k.bends[r.ID] = d
		}
	}
	k.obs = append(k.obs, o)
}

// Corner is what a string that is thinner than the loom, pulled round a corner of 90 degrees on its inside, reads short:
// 0.785 × (bundle − string). One that is thicker is left as it was read, because too short is the failure.
//
// Source: derived: a quarter of a turn on a radius that is (bundle − string)/2 smaller, π/4 = 0.785. The three digits are
// our choice, so that the figure beside it can be worked out by hand.
func Corner(bundle, thick unit.Length) unit.Length {
	return unit.Length(math.Ceil(float64(max(0, bundle-thick)) * 0.785))
}

// bundle returns the diameter of a run, or of the run it was joined to; 0 if it is not known.
func (k *book) bundle(bundles Bundles, run string) unit.Length {
	d := bundles[run]
	if d <= 0 {
		d = bundles[k.heir[run]]
	}
	return max(0, min(d, unit.Metre))
}

// correct sets what the corners add to each reading. Where the reading states as many corners as its runs have, each is
// corrected by the bundle of its run; else all by the thickest bundle on the way, because too short is the failure.
func (k *book) correct(bundles Bundles) {
	for _, o := range k.obs {
		o.corner = 0
		d, ok := k.bends[o.reading]
		if !ok {
			continue
		}
		sum, thickest, on := unit.Length(0), unit.Length(0), 0
		for _, id := range o.runs {
			on += k.corners[id]
			thickest = max(thickest, k.bundle(bundles, id))
		}
		for _, id := range o.runs {
			if bundle := k.bundle(bundles, id); bundle > 0 {
				sum += unit.Length(k.corners[id]) * Corner(bundle, d.thick)
			}
		}
		if on == d.count {
			o.corner = sum
		} else if thickest > 0 {
			o.corner = unit.Length(d.count) * Corner(thickest, d.thick)
		}
	}
}

// flat lists the readings whose corners could not be corrected, because a bundle on the way is not known.
func (k *book) flat(bundles Bundles) (readings []string) {
	for _, o := range k.obs {
		d, ok := k.bends[o.reading]
		if !ok || o.out {
			continue
		}
		on, missing, any := 0, false, false
		for _, id := range o.runs {
			on += k.corners[id]
			known := k.bundle(bundles, id) > 0
			any = any || known
			missing = missing || k.corners[id] > 0 && !known
		}
		if on == d.count && missing || on != d.count && !any {
			readings = append(readings, o.reading)
		}
	}
	slices.Sort(readings)
	return readings
}
