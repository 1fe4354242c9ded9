package sheet

import (
	"strings"
	"unicode"
)

// Point is the unit of type in millimetres; perMillimetre is the same the other way round.
const (
	Point         = 1 / perMillimetre
	perMillimetre = 72 / 25.4
)

// Printable replaces what a font has no sign for in any case: signs beyond the first plane become a box, and those
// that cannot be seen are left out.
func Printable(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r > 0xffff:
			return '□'
		case r == ' ', r == '\u00a0':
			return ' '
		case !unicode.IsGraphic(r) || unicode.Is(unicode.Zs, r):
			return -1
		}
		return r
	}, text)
}

// Wrap breaks a text into lines no wider than width, at spaces and behind / and dashes, and inside a word only where it
// alone is too wide, which torn reports. An empty text is one empty line. The width of a text is the sum of those of
// its signs, as the fonts have no kerning. Cost: linear in the text.
func Wrap(text string, width float64, measure func(string) float64) (lines []string, torn bool) {
	signs := []rune(text)
	known := map[rune]float64{}
	from, end, used := 0, 0, 0.0 // the line begins at from, may end at end (0: nowhere yet), and is used wide
	cut := func(at int) {
		lines = append(lines, strings.TrimRight(string(signs[from:at]), " \n"))
		from, end, used = at, 0, 0
	}
	for i := 0; i < len(signs); i++ {
		r := signs[i]
		space := r == ' ' || r == '\n'
		if space && i == from {
			from++
			continue
		}
		w, ok := known[r]
		if !ok {
			w = measure(string(r))
			known[r] = w
		}
		used += w
		switch {
		case used <= width || space || i == from:
		case end > from:
			cut(end)
			i = from - 1
			continue
		default:
			torn = true
			cut(i)
			i--
			continue
		}
		if space || r == '/' || r == '-' {
			end = i + 1
		}
	}
	if from < len(signs) || len(lines) == 0 {
		cut(len(signs))
	}
	return lines, torn
}
