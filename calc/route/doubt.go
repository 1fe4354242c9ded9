package route

import (
	"slices"

	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// Doubt is why a length that was keyed in looks like a slip of the finger. The zero value is no doubt.
type Doubt string

// The reasons to ask once.
const (
	TooLong   Doubt = "too long"   // over Longest
	TenTimes  Doubt = "ten times"  // about ten times the usual, or more: one sign too many?
	Tenth     Doubt = "tenth"      // about a tenth of the usual, or less: one sign too few?
	OtherUnit Doubt = "other unit" // 25.4 times off the usual: the other unit?
)

// fewest is the number of measured runs from which there is a usual length. Source: our choice; the middle of three is
// the first that one slip cannot move.
const fewest = 3

// Doubtful compares a length with the runs that are measured already and says why it looks wrong. usual is their
// median, 0 while there are too few.
//
// Source: common practice (ask once over 3 m; a factor of about 25.4 against the neighbours is a mixed unit). The bounds
// are our choice: runs of one loom differ by less than ten times their median either way in most cars, so a factor from 9
// is asked about, and from 20 to 32, or its inverse, is called a mixed unit.
func Doubtful(value unit.Length, lengths *survey.Lengths) (why Doubt, usual unit.Length) {
	var known []unit.Length
	for _, k := range lengths.All() {
		if k.Measured() && !k.Guess {
			known = append(known, k.Length)
		}
	}
	if len(known) >= fewest {
		slices.Sort(known)
		usual = known[(len(known)-1)/2]
	}
	switch {
	case usual > 0 && (within(value, usual, 20, 32) || within(usual, value, 20, 32)):
		return OtherUnit, usual
	case value > Longest:
		return TooLong, usual
	case usual > 0 && value >= 9*usual:
		return TenTimes, usual
	case usual > 0 && usual >= 9*value:
		return Tenth, usual
	}
	return "", usual
}

// LongestWay is how long a reading over several runs is likely to be at most. Source: common practice (a wire over 8 m is
// asked about once).
const LongestWay = 8 * unit.Metre

// DoubtfulOver compares a length that was keyed in for several runs, read in one, with what is known of them together, and
// says why it looks wrong. usual is their sum, 0 if it is not known. Of one run it is Doubtful, unless the run is measured.
//
// Source: as of Doubtful. A mixed unit is 25.4 times off, give or take what a reading may be off: a fifth to either side
// is our choice.
func DoubtfulOver(value unit.Length, runs []string, lengths *survey.Lengths) (why Doubt, usual unit.Length) {
	s := lengths.Path(runs)
	if len(s.Missing) > 0 || s.Length <= 0 {
		if len(runs) == 1 {
			return Doubtful(value, lengths)
		}
		if value > LongestWay {
			return TooLong, 0
		}
		return "", 0
	}
	usual = s.Length
	switch {
	case within(value, usual, 20, 32) || within(usual, value, 20, 32):
		return OtherUnit, usual
	case value >= 9*usual:
		return TenTimes, usual
	case usual >= 9*value:
		return Tenth, usual
	case len(runs) == 1 && value > Longest || value > LongestWay:
		return TooLong, usual
	}
	return "", usual
}

// within tells whether a is from low to high times b.
func within(a, b unit.Length, low, high int64) bool {
	return a >= unit.Length(low)*b && a <= unit.Length(high)*b
}
