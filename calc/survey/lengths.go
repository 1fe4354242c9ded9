package survey

import (
	"cmp"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// How a run's length was got.
type How string

// From the plainest to the least plain. The zero value is a run that is not measured.
const (
	OwnReading How = "reading"    // its own latest reading
	SumOf      How = "sum"        // readings of the runs that were joined to make it
	Difference How = "difference" // a longer reading less what is known of it
	SplitPart  How = "split part" // the reading of a run that was split, less the other parts
	Solved     How = "solved"     // several readings that only together settle it
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

// Known is what is known of the length of one run.
type Known struct {
	Run      string
	Length   unit.Length // above zero if measured, else 0 and without meaning
	How      How
	Terms    []Term // Length is the sum of Num/Den × the value of each, rounded up to a nanometre
	Guess    bool   // a term is a guess
	Split    string // with SplitPart: the run that was split
	Why      Why
	With     []string // with Together: the other runs, some may be gone
	Readings []string // with Contradicted: the readings that cannot all be right
}

// Measured reports whether the length is known.
func (k Known) Measured() bool { return k.How != "" }

// Term is one reading's part in a length.
type Term struct {
	Reading  string
	Num, Den int64 // 1/1 added, -1/1 taken away; Den is above zero
	Value    unit.Length
}

// Check is a reading beside the sum of the runs it passes, which other readings settled.
type Check struct {
	Reading string
	Runs    []string    // living runs, or gone ones that nothing replaced, in the order passed
	Value   unit.Length // as read
	Sum     unit.Length // of the runs
	Guess   bool
}

// Diff is how much more the reading says than the runs.
func (c Check) Diff() unit.Length { return c.Value - c.Sum }

// Misfit is how badly a check closes.
type Misfit int

// The grades of a closure.
const (
	Closes Misfit = iota
	Look          // over 10 mm and over 1 %
	Again         // over 25 mm and over 3 %: read it once more
)

// Misfit grades the difference. Both bounds must be passed, so that 5 mm on a short run, which no string reads better,
// is not a warning.
//
// Source: 10 mm or 1 % and 25 mm or 3 % are a proposal of common practice; taking the larger is our choice.
func (c Check) Misfit() Misfit {
	d := max(c.Diff(), -c.Diff())
	switch {
	case d > 25*unit.Millimetre && d > c.Value/100*3:
		return Again
	case d > 10*unit.Millimetre && d > c.Value/100:
		return Look
	}
	return Closes
}

// Contradiction is a set of readings that would make a run no longer than nothing. The last of Readings was not used.
type Contradiction struct {
	Run      string
	Value    unit.Length // zero or less
	Readings []string
}

// Unused is a reading that says nothing about the runs there are.
type Unused struct {
	Reading string
	Because Because
}

// Because is why a reading is not used.
type Because string

// The causes. A reading that a later one of the same path replaced is not listed: that is how a reading is corrected.
const (
	NoValue   Because = "no value"     // zero or less
	NoPath    Because = "no path"      // it names no runs, and its places do not settle which
	LostRun   Because = "lost run"     // it names a run that the build never had
	MovedRun  Because = "moved run"    // a run it passes does not end where it did
	PassTwice Because = "passes twice" // it passes one run two times
)

// Lengths holds what is known of every run. Make one with Latest; it does not change with the build.
type Lengths struct {
	runs           []string // living, in order
	known          map[string]Known
	checks         []Check
	contradictions []Contradiction
	unused         []Unused
	open           *system // equations that settle sums but not single runs
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
	for i, id := range l.runs {
		all[i] = l.known[id]
	}
	return all
}

// Measured counts the living runs whose length is known, of how many.
func (l *Lengths) Measured() (n, of int) {
	for _, id := range l.runs {
		if l.known[id].Measured() {
			n++
		}
	}
	return n, len(l.runs)
}

// Checks returns the readings that other readings already settle, in the order they were taken.
func (l *Lengths) Checks() []Check { return l.checks }

// Contradictions returns the readings that were not used because a run would come out at zero or less.
func (l *Lengths) Contradictions() []Contradiction { return l.contradictions }

// Unused returns the readings that say nothing about the runs there are, in the order they were taken.
func (l *Lengths) Unused() []Unused { return l.unused }

// Sum is the length of a path.
type Sum struct {
	Length  unit.Length // of all its runs, if Missing is empty; else of those that are known
	Missing []string    // runs whose length is needed and not known, in path order
	Guess   bool
	Longer  []Check // readings along the path that say more than its runs; they do not overlap
}

// Path adds up the runs of a path. Runs that are known only together count as known where the path passes them all.
//
// Longer holds the readings, guesses apart, that cover stretches of the path and are longer than their runs: of those
// that overlap, the ones that together add most. A path is never shorter than what was read along it.
func (l *Lengths) Path(runs []string) Sum {
	var s Sum
	var unknown []string
	for _, id := range runs {
		k, ok := l.Run(id)
		if !ok {
			unknown = append(unknown, id)
			continue
		}
		s.Length += k.Length
		s.Guess = s.Guess || k.Guess
	}
	if len(unknown) > 0 {
		if rest, guess, ok := l.together(unknown); ok {
			s.Length += rest
			s.Guess = s.Guess || guess
		} else {
			s.Missing = unknown
		}
	}
	s.Longer = l.longer(runs)
	return s
}

// longer finds the checks to add to a path: of the intervals of the path that they cover, those without overlap and with
// the greatest sum of differences. Cost: checks × their runs, then path × checks.
func (l *Lengths) longer(runs []string) []Check {
	at := make(map[string]int, len(runs))
	for i, id := range runs {
		at[id] = i
	}
	type interval struct {
		from, to int // runs[from:to]
		check    Check
	}
	var intervals []interval
	for _, c := range l.checks {
		if c.Diff() <= 0 || c.Guess || len(at) != len(runs) {
			continue
		}
		from, to, all := len(runs), 0, true
		for _, id := range c.Runs {
			i, ok := at[id]
			all = all && ok
			from, to = min(from, i), max(to, i+1)
		}
		if all && to-from == len(c.Runs) {
			intervals = append(intervals, interval{from, to, c})
		}
	}
	slices.SortStableFunc(intervals, func(a, b interval) int { return cmp.Compare(a.to, b.to) })
	best := make([]unit.Length, len(runs)+1) // of runs[:i]
	take := make([]int, len(runs)+1)         // the interval that ends at i, +1
	next := 0
	for i := 1; i <= len(runs); i++ {
		best[i] = best[i-1]
		for ; next < len(intervals) && intervals[next].to == i; next++ {
			if v := best[intervals[next].from] + intervals[next].check.Diff(); v > best[i] {
				best[i], take[i] = v, next+1
			}
		}
	}
	var out []Check
	for i := len(runs); i > 0; {
		if take[i] == 0 {
			i--
			continue
		}
		chosen := intervals[take[i]-1]
		out = append(out, chosen.check)
		i = chosen.from
	}
	slices.Reverse(out)
	return out
}

// record is a reading with its place in time.
type record struct {
	harness.Reading
	runs []string // passed, split runs replaced by their parts
}
