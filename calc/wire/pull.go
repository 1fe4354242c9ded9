package wire

import (
	"strings"

	"loomwright/calc/unit"
)

// Standard is a standard that says what a crimp must hold.
type Standard string

// The standards.
const (
	UsualPull Standard = "" // UL486A for a gauge, IEC60352 for square millimetres
	UL486A    Standard = "UL 486A"
	Military  Standard = "MIL-T-7928"
	NASA      Standard = "NASA-STD-8739.4"
	IEC60352  Standard = "IEC 60352-2"
)

// PullStandards lists the standards in the order a person is offered them.
var PullStandards = []Standard{UL486A, Military, NASA, IEC60352}

// The least force in newtons that a crimp must hold, by standard and canonical size.
//
// Source: UL 486A as a maker's terminal specification prints it (newtons at 4.45 for a pound; 3, 1, 3/0 and 4/0 AWG from
// memory); MIL-T-7928 / SAE AS7928 as another prints it (above 10 AWG from memory); NASA-STD-8739.4 change 6 table 13-1
// (for other sizes it asks for 60 % of the wire's own strength); IEC 60352-2 table 1, all from memory.
var (
	ul486a = []pull{
		{"26 AWG", 13.4}, {"24 AWG", 22.3}, {"22 AWG", 35.6}, {"20 AWG", 57.9}, {"18 AWG", 89}, {"16 AWG", 133.5},
		{"14 AWG", 222.5}, {"12 AWG", 311.5}, {"10 AWG", 356}, {"8 AWG", 400.5}, {"6 AWG", 445}, {"4 AWG", 623},
		{"3 AWG", 712}, {"2 AWG", 801}, {"1 AWG", 890}, {"1/0 AWG", 1112.5}, {"2/0 AWG", 1335}, {"3/0 AWG", 1557},
		{"4/0 AWG", 2002},
	}
	military = []pull{
		{"26 AWG", 31.1}, {"24 AWG", 44.5}, {"22 AWG", 66.7}, {"20 AWG", 84.5}, {"18 AWG", 169}, {"16 AWG", 222.5},
		{"14 AWG", 311.5}, {"12 AWG", 489.3}, {"10 AWG", 667.2}, {"8 AWG", 1001}, {"6 AWG", 1334}, {"4 AWG", 1779},
		{"2 AWG", 2447}, {"1 AWG", 2891}, {"1/0 AWG", 3114}, {"2/0 AWG", 3336}, {"3/0 AWG", 3670}, {"4/0 AWG", 3892},
	}
	nasa     = []pull{{"24 AWG", 36}, {"22 AWG", 57}}
	iec60352 = []pull{
		{"0.05 mm2", 6}, {"0.08 mm2", 11}, {"0.12 mm2", 15}, {"0.14 mm2", 18}, {"0.22 mm2", 28}, {"0.25 mm2", 32},
		{"0.32 mm2", 40}, {"0.5 mm2", 60}, {"0.75 mm2", 85}, {"0.82 mm2", 90}, {"1.0 mm2", 108}, {"1.3 mm2", 135},
		{"1.5 mm2", 150}, {"2.1 mm2", 200}, {"2.5 mm2", 230}, {"3.3 mm2", 275}, {"4.0 mm2", 310}, {"5.3 mm2", 355},
		{"6.0 mm2", 360}, {"8.4 mm2", 370}, {"10 mm2", 380},
	}
)

type pull struct {
	size    string // canonical
	newtons float64
}

// pulls returns the table of a standard, thin wires first; ok is false for no standard.
func pulls(s Standard) (table []pull, ok bool) {
	switch s {
	case UL486A:
		return ul486a, true
	case Military:
		return military, true
	case NASA:
		return nasa, true
	case IEC60352:
		return iec60352, true
	}
	return nil, false
}

// Pull returns the least force that a crimp on a wire of this size must hold, and the standard that was used. A size
// that the standard does not have is an *UnknownError that names the sizes it has.
func Pull(size unit.Size, standard Standard) (newtons float64, by Standard, err error) {
	what := "the pull force of a crimp on " + size.String()
	if !size.Known() {
		return 0, "", unknown("the pull force", "the size is not known")
	}
	if standard == UsualPull {
		standard = UL486A
		if _, isGauge := size.Gauge(); !isGauge {
			standard = IEC60352
		}
	}
	table, ok := pulls(standard)
	if !ok {
		return 0, "", unknown(what, "there is no standard %q here, there are %s", string(standard), pullNames())
	}
	for _, p := range table {
		if p.size == size.String() {
			return p.newtons, standard, nil
		}
	}
	return 0, "", unknown(what, "%s has no such size, it has %s", string(standard), sizeNames(table))
}

func pullNames() string {
	names := make([]string, len(PullStandards))
	for i, s := range PullStandards {
		names[i] = string(s)
	}
	return strings.Join(names, ", ")
}

func sizeNames(table []pull) string {
	names := make([]string, len(table))
	for i, p := range table {
		names[i] = p.size
	}
	return strings.Join(names, ", ")
}

// ParseStandard reads a standard's name as people write it: "UL 486A", "ul486a", "MIL-T-7928", "AS7928", "IEC 60352-2",
// "NASA-STD-8739.4". Empty is UsualPull.
func ParseStandard(text string) (Standard, error) {
	if strings.TrimSpace(text) == "" {
		return UsualPull, nil
	}
	key := strings.ToLower(strings.Join(strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" -._/", r) }), ""))
	for _, known := range []struct {
		part string
		is   Standard
	}{{"ul486a", UL486A}, {"7928", Military}, {"87394", NASA}, {"603522", IEC60352}} {
		if strings.Contains(key, known.part) {
			return known.is, nil
		}
	}
	return "", unknown("the pull force", "there is no standard %q here, there are %s", text, pullNames())
}
