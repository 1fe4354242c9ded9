package survey

import (
	"math"
	"slices"

	"loomwright/calc/unit"
)

// Band is how much too long a finished branch may be; it may not be too short.
type Band struct {
	Under   unit.Length // of branches shorter than this; 0 of all that are longer
	Plus    unit.Length
	Percent float64 // of the branch, in place of Plus
}

// Bands is the table that finished branches are judged by where a person sets no other.
//
// Source: the industry length table for harnesses as shops quote it (IPC/WHMA-A-620, from memory): under 1 ft -0 +1 in, to
// 5 ft +2 in, to 10 ft +4 in, to 25 ft +6 in, over that +5 %.
var Bands = []Band{
	{Under: unit.Foot, Plus: unit.Inch},
	{Under: 5 * unit.Foot, Plus: 2 * unit.Inch},
	{Under: 10 * unit.Foot, Plus: 4 * unit.Inch},
	{Under: 25 * unit.Foot, Plus: 6 * unit.Inch},
	{Percent: 5},
}

// Over returns how much too long a branch may be: 0 where no band holds.
func Over(sheet unit.Length, bands []Band) unit.Length {
	for _, b := range bands {
		if b.Under == 0 || sheet < b.Under {
			return b.Plus + unit.Length(math.Floor(float64(sheet)*b.Percent/100))
		}
	}
	return 0
}

// Verdict is what came of a finished branch.
type Verdict string

// The verdicts. Only Short cannot be mended by trimming.
const (
	Unknown Verdict = ""
	Passed  Verdict = "passed"
	Short   Verdict = "short"
	Long    Verdict = "long"
)

// Branch is a finished branch beside the sheet it was made by.
type Branch struct {
	Reading  string
	Runs     []string
	Measured unit.Length
	Known    bool        // the sheet's length is known
	Sheet    unit.Length // what it should be
	Diff     unit.Length // Measured less Sheet
	Plus     unit.Length // how much too long it may be
	Verdict  Verdict
}

// AsBuilt compares the as-built readings, the latest of each path, with the lengths of the sheet: the adjusted runs, and
// what added says that each is made longer by (nil: nothing). A sheet whose length rests on as-built readings is unknown,
// since it would judge itself. The sheet counts in whole millimetres, rounded down: no tape shows less.
func (l *Lengths) AsBuilt(added func(run string) unit.Length, bands []Band) []Branch {
	latest := map[string]*observation{}
	for _, o := range l.net.obs {
		if o.class == built && !o.out {
			if old := latest[pathKey(o.runs)]; old == nil || o.later > old.later {
				latest[pathKey(o.runs)] = o
			}
		}
	}
	var all []*observation
	for _, o := range latest {
		all = append(all, o)
	}
	slices.SortFunc(all, func(a, b *observation) int { return a.later - b.later })
	out := make([]Branch, len(all))
	for i, o := range all {
		b := Branch{Reading: o.reading, Runs: o.runs, Measured: o.value}
		s := l.Path(o.runs)
		b.Known = len(s.Missing) == 0 && !l.onBuilt(o.runs)
		if b.Known {
			b.Sheet = s.Length
			for _, id := range o.runs {
				if added != nil {
					b.Sheet += added(id)
				}
			}
			b.Diff, b.Plus = b.Measured-b.Sheet, Over(b.Sheet, bands)
			switch {
			case b.Measured < b.Sheet/unit.Millimetre*unit.Millimetre:
				b.Verdict = Short
			case b.Diff > b.Plus:
				b.Verdict = Long
			default:
				b.Verdict = Passed
			}
		}
		out[i] = b
	}
	return out
}

// onBuilt reports whether the length of a path rests on an as-built reading.
func (l *Lengths) onBuilt(runs []string) bool {
	act, ok := l.sum(runs)
	for _, o := range l.net.obs {
		if ok && o.used && o.class == built && l.net.weighs(o, act) {
			return true
		}
	}
	return false
}
