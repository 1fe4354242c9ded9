package table

import (
	"fmt"
	"strings"
)

// FaultKind names what is wrong with a row.
type FaultKind string

// The faults. With those that are Bad a row is left out until it is mended; the others are to be looked at.
const (
	NoCavity      FaultKind = "no cavity"
	Several       FaultKind = "several cavities"
	Duplicate     FaultKind = "cavity twice"
	BadSize       FaultKind = "size not read"
	BadLength     FaultKind = "length not read"
	TooManyCells  FaultKind = "too many cells"
	ControlSigns  FaultKind = "control signs"
	LongCell      FaultKind = "cell too long"
	OpenQuote     FaultKind = "open quote"
	Damaged       FaultKind = "changed by a spreadsheet"
	TooFewCells   FaultKind = "too few cells"
	UnknownColour FaultKind = "colour not known"
	UnknownSignal FaultKind = "signal not known"
	Unlikely      FaultKind = "unlikely length"
	Formula       FaultKind = "formula"
	Prefix        FaultKind = "prefix taken off"
	LostSigns     FaultKind = "signs lost"
	Ditto         FaultKind = "as above"
	Doubled       FaultKind = "two tracers"
)

// Bad reports whether a row with this fault is left out until it is mended.
func (k FaultKind) Bad() bool {
	switch k {
	case NoCavity, Several, Duplicate, BadSize, BadLength, TooManyCells, ControlSigns, LongCell, OpenQuote, Damaged:
		return true
	}
	return false
}

// Fault is one thing that is wrong with a row, or that was taken in a way that a person should see.
type Fault struct {
	Kind       FaultKind
	Field      Field  // of the cell; Unused if it is the row
	Cell       string // as it stands in the source
	What       string // in plain words, lower case, no full stop
	Understood string // what was made of the cell; empty if nothing
	Do         string // what to do now
	Row        int    // another row that is meant, or 0
}

// String is the whole fault on one line: what is wrong, what was understood, what to do.
func (f Fault) String() string {
	var parts []string
	if f.Field != Unused {
		parts = append(parts, fmt.Sprintf("%s %q: %s", f.Field, short(f.Cell), f.What))
	} else {
		parts = append(parts, f.What)
	}
	if f.Understood != "" {
		parts = append(parts, "understood: "+short(f.Understood))
	}
	return strings.Join(append(parts, f.Do), "; ")
}

// short cuts a text to what fits on two lines of a phone.
func short(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

func (r *Row) fault(kind FaultKind, field Field, cell, what, understood, do string) {
	r.Faults = append(r.Faults, Fault{Kind: kind, Field: field, Cell: cell, What: what, Understood: understood, Do: do})
	if kind.Bad() {
		r.Is = Bad
	}
}
