// Package tape is a string with marks on it, laid along the route and read off a tape.
//
// A mark says how far it is from the beginning of the string, so it is kept as one reading from there to the mark, over
// all the runs between: the number as it was typed, and what the tape showed at the beginning. What the tape or the eye
// does to one mark then never adds up along the string, which is why strings are marked.
//
// The readings of one string count as independent. That is true of reading the marks off. It is not of laying the string:
// what the string was off before one mark it is off at all marks after it. The difference of two marks is known better
// than it counts for here, so the margin of a run in the middle of a string is on the safe side; that of the way from the
// beginning is as it should be. Source: our choice.
package tape

import (
	"errors"
	"slices"

	"loomwright/app/kit"
	"loomwright/calc/unit"
)

// String is a string that begins at a place.
type String struct {
	From  string `json:"from,omitzero"` // place
	Zero  string `json:"zero,omitzero"` // what the tape shows there, as typed; empty is 0
	Marks []Mark `json:"marks,omitzero"`
	Done  bool   `json:"done,omitzero"` // it was taken up and read: the next mark is on another one
}

// Mark is one mark. It need not be at the next place: a string may pass places that it is not marked at.
type Mark struct {
	Places  []string `json:"places"`           // passed since the mark before, that of the mark the last
	Runs    []string `json:"runs"`             // passed since the mark before, one for each of Places
	Text    string   `json:"text,omitzero"`    // as read off the tape; empty is not read yet
	Reading string   `json:"reading,omitzero"` // the record it became; empty is none yet
	Was     string   `json:"was,omitzero"`     // the record before it was corrected, for when that is undone
}

// Place is the place of the mark.
func (m Mark) Place() string { return m.Places[len(m.Places)-1] }

// End is the place of the last mark, or where the string begins.
func (s String) End() string {
	if len(s.Marks) == 0 {
		return s.From
	}
	return s.Marks[len(s.Marks)-1].Place()
}

// Passes reports whether the string passes a place, or begins there.
func (s String) Passes(place string) bool {
	return place == s.From || slices.ContainsFunc(s.Marks, func(m Mark) bool { return slices.Contains(m.Places, place) })
}

// Path is what the string passes up to a mark: places, and runs, one fewer.
func (s String) Path(mark int) (places, runs []string) {
	places = []string{s.From}
	for _, m := range s.Marks[:mark+1] {
		places, runs = append(places, m.Places...), append(runs, m.Runs...)
	}
	return places, runs
}

// With is the string with one more mark.
func (s String) With(m Mark) String {
	s.Marks = append(slices.Clone(s.Marks), m)
	return s
}

// Typed is the string with another text at a mark.
func (s String) Typed(mark int, text string) String {
	s.Marks = slices.Clone(s.Marks)
	s.Marks[mark].Text = text
	return s
}

// Swapped is the string with the texts of two marks swapped.
func (s String) Swapped(i, j int) String {
	s.Marks = slices.Clone(s.Marks)
	s.Marks[i].Text, s.Marks[j].Text = s.Marks[j].Text, s.Marks[i].Text
	return s
}

// Start is what the tape shows at the beginning. A tape may begin at 0.
func (s String) Start(sys unit.System) (at unit.Length, ok bool) {
	return ReadZero(s.Zero, sys)
}

// ReadZero reads what a tape shows at the beginning of a string: nothing typed is 0.
func ReadZero(text string, sys unit.System) (at unit.Length, ok bool) {
	typed := kit.Read(text, sys)
	if typed.OK || kit.IsZero(typed.Err) || errors.Is(typed.Err, unit.ErrBlank) {
		return typed.Length, true
	}
	return 0, false
}

// Row is a mark as it is read.
type Row struct {
	Read  bool        // a length can be read from the text
	At    unit.Length // what the tape shows
	Value unit.Length // from the beginning of the string
	Since unit.Length // from the last mark before it that is read
	Wrong string      // why nothing can be read; empty if nothing is typed
}

// Rows reads all marks.
func (s String) Rows(sys unit.System) []Row {
	zero, _ := s.Start(sys)
	last := zero
	rows := make([]Row, len(s.Marks))
	for i, m := range s.Marks {
		typed := kit.Read(m.Text, sys)
		switch {
		case typed.OK:
			rows[i] = Row{Read: true, At: typed.Length, Value: typed.Length - zero, Since: typed.Length - last}
			last = typed.Length
		case kit.IsZero(typed.Err):
			rows[i] = Row{Read: true, Value: -zero, Since: -last}
			last = 0
		case !errors.Is(typed.Err, unit.ErrBlank):
			rows[i].Wrong = typed.Line
		}
	}
	return rows
}

// Beginning stands for the beginning of the string in a Fall.
const Beginning = -1

// Fall is two marks of which the later is not beyond the earlier. Numbers along a string only grow.
type Fall struct {
	Earlier, Later int  // marks; Earlier may be Beginning
	Swap           bool // with their numbers swapped both would fit
}

// Falls returns the falling pairs, each a mark and the last one before it that is read.
func (s String) Falls(sys unit.System) []Fall {
	var falls []Fall
	for _, p := range s.pairs(sys) {
		f := Fall{Earlier: p[0], Later: p[1]}
		f.Swap = f.Earlier != Beginning && s.Swapped(f.Earlier, f.Later).fits(sys, f.Earlier, f.Later)
		falls = append(falls, f)
	}
	return falls
}

// fits reports whether neither of two marks takes part in a fall.
func (s String) fits(sys unit.System, i, j int) bool {
	return !slices.ContainsFunc(s.pairs(sys), func(p [2]int) bool {
		return p[0] == i || p[0] == j || p[1] == i || p[1] == j
	})
}

// pairs returns the falling pairs, earlier and later.
func (s String) pairs(sys unit.System) [][2]int {
	var pairs [][2]int
	before := Beginning
	for i, row := range s.Rows(sys) {
		if !row.Read {
			continue
		}
		if row.Since <= 0 {
			pairs = append(pairs, [2]int{before, i})
		}
		before = i
	}
	return pairs
}
