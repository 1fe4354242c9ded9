package kit

import (
	"errors"
	"fmt"

	"loomwright/calc/unit"
)

// Typed is what an entry means: its length, and a line that shows it in both units, or says what is wrong with it.
type Typed struct {
	Length unit.Length
	OK     bool
	Line   string
	Err    error
}

// Read reads an entry. def is what a bare number means.
func Read(text string, def unit.System) Typed {
	l, err := unit.ParseLength(text, def)
	if err != nil {
		return Typed{Line: explainLength(err), Err: err}
	}
	main, other := l.Both(def)
	return Typed{Length: l, OK: true, Line: main + " = " + other}
}

func explainLength(err error) string {
	var p *unit.ParseError
	if !errors.As(err, &p) {
		return ""
	}
	switch {
	case errors.Is(err, unit.ErrBlank):
		return "nothing typed yet"
	case errors.Is(err, unit.ErrZero):
		return "0 is no length: if two places are one, merge them"
	case errors.Is(err, unit.ErrAmbiguous) && len(p.Readings) == 2:
		return fmt.Sprintf("%s may be %s or %s: type it without the comma", p.Text, p.Readings[0].Format(unit.Metric), p.Readings[1].Format(unit.Metric))
	}
	if p.Understood != "" {
		return fmt.Sprintf("understood %s, then: %s", p.Understood, p.Reason)
	}
	return p.Reason
}

// IsZero tells whether an entry was read without doubt as a length of zero.
func IsZero(err error) bool { return errors.Is(err, unit.ErrZero) }
