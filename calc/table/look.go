package table

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"loomwright/calc/unit"
)

// What a cell looks like, by itself. These tests are for guesses; what a cell says is read in pin.go.

// colourKnown reports whether all of a colour is known by name.
func colourKnown(c unit.Colour) bool {
	names := unit.ColourNames()
	return slices.Contains(names, c.Base) && (c.Tracer == "" || slices.Contains(names, c.Tracer))
}

func hasDigit(s string) bool { return strings.ContainsAny(s, "0123456789") }

func hasLetter(s string) bool { return strings.IndexFunc(s, unicode.IsLetter) >= 0 }

func isNumber(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

// cavityLike: up to five signs with a digit in them, letters before or after ("14", "A12", "87a"), or one or two letters.
func cavityLike(s string) bool {
	n := utf8.RuneCountInString(s)
	if n == 0 || n > 5 || strings.IndexFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) >= 0 {
		return false
	}
	return hasDigit(s) || n == 1 || n == 2 && strings.ToUpper(s) == s
}

// partCavity parts "A-12", "X1.12", "J1/12" and "A:12" into connector and cavity.
func partCavity(s string) (connector, cavity string, ok bool) {
	i := strings.LastIndexAny(s, "-./: ")
	if i <= 0 {
		return "", "", false
	}
	connector, cavity = strings.TrimSpace(s[:i]), strings.TrimSpace(s[i+1:])
	return connector, cavity, cavityLike(cavity) && connector != "" && len(connector) <= 12
}

// empty reports whether a cell says that there is nothing.
func empty(s string) bool {
	switch strings.ToLower(s) {
	case "", "-", "--", "---", "–", "—", "n/a", "na", "none", "nil", "tbd", "tba", "unknown", "?", "x", ".":
		return true
	}
	return false
}

func ditto(s string) bool {
	switch strings.ToLower(s) {
	case `"`, "''", "〃", "ditto", "do.", "dto.", "″", "”", "as above":
		return true
	}
	return false
}

// sizeScore tells how much a text looks like a size: 0 not at all, 3 with its unit.
func sizeScore(s, headUnit string) int {
	if !hasDigit(s) || len(s) > 24 {
		return 0
	}
	_, err := parseSize(s, headUnit)
	switch {
	case err != nil:
		return 0
	case hasLetter(s) || strings.Contains(s, "#"):
		return 3
	case headUnit != "" || strings.ContainsAny(s, ".,/"):
		return 2
	}
	return 1
}

// lengthScore likewise. A bare number under 40 is no length of a lead in millimetres.
func lengthScore(s, headUnit string) int {
	if !hasDigit(s) || len(s) > 32 {
		return 0
	}
	v, err := unit.ParseLength(withUnit(s, headUnit), unit.Metric)
	switch {
	case err != nil:
		return 0
	case hasLetter(s) || strings.ContainsAny(s, `'"`):
		return 3
	case headUnit != "":
		return 2
	case v >= 40*unit.Millimetre:
		return 1
	}
	return 0
}

// colourScore likewise: 3 for base and tracer.
func colourScore(s string) int {
	if s == "" || len(s) > 40 {
		return 0
	}
	c := unit.ParseColour(s)
	switch {
	case c.Base == "" || !colourKnown(c):
		return 0
	case c.Tracer != "":
		return 3
	case len(s) == 1:
		return 1
	}
	return 2
}

// withUnit puts the unit of the heading behind a number that has none of its own.
func withUnit(cell, headUnit string) string {
	if headUnit == "" || hasLetter(cell) || strings.ContainsAny(cell, `'"′″’”`) {
		return cell
	}
	return cell + " " + headUnit
}

func parseSize(cell, headUnit string) (unit.Size, error) {
	if headUnit != "" && !hasLetter(cell) && !strings.Contains(cell, "#") {
		cell += " " + headUnit
	}
	return unit.ParseSize(cell)
}
