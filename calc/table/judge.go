package table

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"loomwright/calc/unit"
)

// judge finds what shows only when rows are seen together: a cavity twice, a length that is out of line.
func (rd *reader) judge() {
	first := map[string]int{}
	var lengths []unit.Length
	for i := range rd.result.Rows {
		row := &rd.result.Rows[i]
		if row.Is != Good && row.Is != Bad {
			continue
		}
		if row.Pin.Length != nil {
			lengths = append(lengths, *row.Pin.Length)
		}
		if row.Pin.Cavity == "" {
			continue
		}
		key := foldCavity(row.Pin.Connector) + "\x00" + foldCavity(row.Pin.Cavity)
		other, twice := first[key]
		if !twice {
			first[key] = row.Number
			continue
		}
		if row.Pin.Shared = rd.options.Shared[row.Number]; row.Pin.Shared != "" {
			continue
		}
		name := row.Pin.Cavity
		if row.Pin.Connector != "" {
			name = row.Pin.Connector + " " + name
		}
		row.fault(Duplicate, Cavity, name, fmt.Sprintf("row %d has this cavity already", other), "",
			"correct the cavity, or take the row as a second wire in a shared terminal, with a reason")
		row.Faults[len(row.Faults)-1].Row = other
	}
	slices.Sort(lengths)
	for i := range rd.result.Rows {
		row := &rd.result.Rows[i]
		l := row.Pin.Length
		if l == nil {
			continue
		}
		what := ""
		// Inches among millimetres or the other way round, told by neighbours; our choice: from five lengths on, and where
		// the other unit would bring it to within two and a half times the middle one.
		if n := len(lengths); n >= 5 {
			middle := lengths[n/2]
			inches, millimetres := float64(*l)*25.4/float64(middle), float64(*l)/25.4/float64(middle)
			switch {
			case inches > 0.4 && inches < 2.5:
				what = "it is far shorter than the others, as if it were inches"
			case millimetres > 0.4 && millimetres < 2.5:
				what = "it is far longer than the others, as if it were millimetres"
			}
		}
		// Source: common practice; hardly a wire in a car is longer.
		if what == "" && *l > 8*unit.Metre {
			what = "it is longer than wires in a car are"
		}
		if what != "" {
			row.fault(Unlikely, Length, l.String(), what, l.Format(unit.Metric), "look at the list once more; it is taken as it stands")
		}
	}
}

// foldCavity returns what cavities are compared by: upper case, without spaces, dashes and leading zeros.
func foldCavity(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.Is(unicode.Pd, r) || r == '.' {
			return -1
		}
		return unicode.ToUpper(r)
	}, s)
	var b strings.Builder
	digits := false
	for i, r := range s {
		if r == '0' && !digits && i+1 < len(s) && s[i+1] >= '0' && s[i+1] <= '9' {
			continue
		}
		digits = r >= '0' && r <= '9'
		b.WriteRune(r)
	}
	return b.String()
}
