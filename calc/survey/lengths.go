package survey

import (
	"cmp"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/unit"
)

// Why a run is not measured.
type Why string

// The reasons. The zero value is a run that is measured.
const (
	NoReading    Why = "no reading"   // no reading passes it
	Together     Why = "together"     // readings pass it, but only together with other runs that are not known: With
	Contradicted Why = "contradicted" // readings give it a length of zero or less: Readings
	NoRun        Why = "no run"       // there is no such run
)

// Quality is how well the length of a run is known.
type Quality string

// From the worst to the best. The zero value is a run that is not measured.
const (
	Guessed     Quality = "guessed"     // it rests on a guess
	Disagreeing Quality = "disagreeing" // a reading that passes it is most likely wrong
	Once        Quality = "once"        // nothing would show if one of its readings were wrong
	Checked     Quality = "checked"     // without any one of its readings the others still settle it
)

// Known is what is known of the length of one run.
type Known struct {
	Run      string
	Length   unit.Length // adjusted, the corners included; above zero if measured, else 0 and without meaning
	Corners  unit.Length // the part of Length that corrects a thin string pulled round corners; not always above zero
	Sigma    unit.Length // standard deviation
	Quality  Quality
	Guess    bool // it rests on a guess
	Bundled  bool // its bundle is known: its corners are corrected as far as readings have any, and need no allowance
	Why      Why
	With     []string // with Together: the other runs, some may be gone
	Readings []string // with Contradicted: the readings that cannot all be right
}

// Measured reports whether the length is known.
func (k Known) Measured() bool { return k.Why == "" }

// Read is the length before the corners are corrected: what routes are chosen by.
func (k Known) Read() unit.Length { return k.Length - k.Corners }

// Contradiction is a set of readings that would make a run no longer than nothing.
type Contradiction struct {
	Run      string
	Value    unit.Length // zero or less
	Readings []string
	Aside    string // the one of them that was set aside, so that no run is; empty where nothing tells which
}

// Unused is a reading that says nothing about the runs there are.
type Unused struct {
	Reading string
	Because Because
}

// Because is why a reading says nothing.
type Because string

// The causes.
const (
	NoValue   Because = "no value"     // zero or less
	NoPath    Because = "no path"      // it names no runs, and its places do not settle which
	LostRun   Because = "lost run"     // it names a run that the build never had
	MovedRun  Because = "moved run"    // a run it passes does not end where it did
	PassTwice Because = "passes twice" // it passes one run two times
)

// Lengths holds what is known of every run. Make one with Adjust; it does not change with the build.
type Lengths struct {
	runs     []harness.Run // living, in order
	settings harness.Settings
	bundles  Bundles
	book     *book
	net      *network
	x        []value // by column, mm adjusted
	corners  []value // by column: the part of x that corrects corners
	fits     []Fit   // by observation of net
	known    map[string]Known
	doubts   []Suspicion
	against  []Contradiction
	disputed map[string]bool      // runs that suspected readings pass
	over     map[string][]*excess // by the first run of their path
}

// Adjust works out the length of every living run from all readings by weighted least squares, each with its standard
// deviation by Sigma. bundles are the diameters of the runs as far as they are known.
//
// Repeats count together: a correction is the old reading deleted and a new one made. A reading that a person threw out
// is not used, and nothing else is left out but for this: an as-built reading, and after those a guess, counts only where
// nothing before it settles its path, so it never moves what was measured; and a reading that would make a run no longer
// than nothing is set aside and named in Contradictions. What is settled is worked out without rounding: a run that no
// reading reaches, or only together with others, is not measured, and the reason is said. The result is the same whatever
// the order in which the build was put together.
//
// Cost: n³/2 in the runs that readings tie together, and for each reading the square of the runs it passes.
func Adjust(b *harness.Build, bundles Bundles) *Lengths {
	l := &Lengths{runs: slices.Clone(b.Runs.All()), settings: b.Settings, bundles: bundles, book: newBook(b)}
	l.work()
	return l
}

// WithBundles returns the same with other diameters of the runs. What readings settle and how well stays; only the
// lengths are solved for again, unless a run comes out at zero or less.
func (l *Lengths) WithBundles(bundles Bundles) *Lengths {
	again := &Lengths{runs: l.runs, settings: l.settings, bundles: bundles, book: l.book.clone(), net: l.net}
	if len(l.against) > 0 {
		again.work()
		return again
	}
	again.net = l.net.over(again.book.obs)
	again.book.correct(bundles)
	again.solve()
	if again.shortest() != nil {
		again.work()
		return again
	}
	again.finish()
	return again
}

// work adjusts from the start.
func (l *Lengths) work() {
	for _, o := range l.book.obs {
		o.aside = false
	}
	l.against = nil
	l.book.correct(l.bundles)
	for {
		l.net = newNetwork(len(l.book.names), slices.Clone(l.book.obs))
		l.solve()
		if !l.setAside() {
			break
		}
	}
	l.finish()
}

// solve sets the lengths of the columns and how the readings fit.
func (l *Lengths) solve() {
	l.x = l.net.solve(func(o *observation) unit.Length { return o.value + o.corner })
	l.corners = make([]value, len(l.x))
	for _, o := range l.net.obs {
		if o.corner != 0 {
			l.corners = l.net.solve(func(o *observation) unit.Length { return o.corner })
			break
		}
	}
	l.fit()
}

// finish says what follows from the lengths.
func (l *Lengths) finish() {
	l.known = make(map[string]Known, len(l.runs))
	l.contradict()
	l.doubts = l.search()
	l.dispute()
	frail := l.frail()
	for _, r := range l.runs {
		l.known[r.ID] = l.describe(r.ID, frail)
	}
	l.index()
}

// describe says what is known of a run; contradicted ones are known already.
func (l *Lengths) describe(id string, frail map[int]bool) Known {
	k, done := l.known[id]
	if done {
		return k
	}
	k = Known{Run: id, Bundled: l.book.bundle(l.bundles, id) > 0}
	shares := l.book.shares([]string{id})
	if !l.settled(shares) {
		with := map[int]bool{}
		for _, s := range shares {
			if len(l.net.space.row[s.col]) != 1 {
				with[s.col] = true
			}
			for _, c := range l.net.space.with(s.col) {
				with[c] = true
			}
		}
		delete(with, l.book.columns[id])
		k.Why = NoReading
		for c := range with {
			k.Why, k.With = Together, append(k.With, l.book.names[c])
		}
		slices.Sort(k.With)
		return k
	}
	act := l.net.active(shares)
	k.Length, k.Corners = sum(act, l.x).length(), sum(act, l.corners).length()
	k.Sigma = root(l.net.cov(act, act))
	k.Guess = l.guess(act)
	k.Quality = l.quality(id, act, k.Guess, frail)
	return k
}

// settled reports whether the readings determine a sum.
func (l *Lengths) settled(shares []share) bool {
	single := true
	for _, s := range shares {
		single = single && len(l.net.space.row[s.col]) == 1
	}
	return single || l.net.space.settles(lineOf(shares))
}

// guess reports whether a settled sum rests on a guess or an as-built reading.
func (l *Lengths) guess(act []share) bool {
	for _, o := range l.net.obs {
		if o.used && o.class == guessed && l.net.weighs(o, act) {
			return true
		}
	}
	return false
}

// weighs reports whether a settled sum would change if the only reading of its kind did.
func (n *network) weighs(o *observation, act []share) bool {
	w := n.cov(act, o.act) * o.weight()
	return w > 1e-9 || w < -1e-9
}

// Run returns what is known of a living run; ok is whether its length is known.
func (l *Lengths) Run(id string) (k Known, ok bool) {
	k, found := l.known[id]
	if !found {
		return Known{Run: id, Why: NoRun}, false
	}
	return k, k.Measured()
}

// All returns every living run, in the order of runs.
func (l *Lengths) All() []Known {
	all := make([]Known, len(l.runs))
	for i, r := range l.runs {
		all[i] = l.known[r.ID]
	}
	return all
}

// Measured counts the living runs whose length is known, of how many.
func (l *Lengths) Measured() (n, of int) {
	for _, k := range l.known {
		if k.Measured() {
			n++
		}
	}
	return n, len(l.runs)
}

// Contradictions returns the runs that would be no longer than nothing.
func (l *Lengths) Contradictions() []Contradiction { return l.against }

// Unused returns the readings that say nothing about the runs there are, in the order they were taken.
func (l *Lengths) Unused() []Unused { return l.book.unused }

// Uncorrected returns the readings that went round corners and are as they were read, because a bundle is not known.
func (l *Lengths) Uncorrected() []string { return l.book.flat(l.bundles) }

// Bundle returns the diameter of a run that the lengths were adjusted with; ok is whether it is known.
func (l *Lengths) Bundle(run string) (d unit.Length, ok bool) {
	d = l.book.bundle(l.bundles, run)
	return d, d > 0
}

// clone returns a copy whose corners and use can change.
func (k *book) clone() *book {
	c := *k
	c.obs = make([]*observation, len(k.obs))
	for i, o := range k.obs {
		copied := *o
		c.obs[i] = &copied
	}
	return &c
}

// over returns the network with its observations exchanged for copies of them.
func (n *network) over(obs []*observation) *network {
	c := *n
	c.obs = slices.Clone(obs)
	slices.SortFunc(c.obs, compare)
	return &c
}

// byNumber sorts readings the worst first, in a way that rounding does not change.
func byNumber[T any](all []T, of func(T) float64) {
	sorting.By(all, func(a, b T) int {
		x, y := of(a), of(b)
		if d := x - y; d < 1e-7*(x+y) && -d < 1e-7*(x+y) {
			return 0
		}
		return cmp.Compare(y, x)
	})
}
