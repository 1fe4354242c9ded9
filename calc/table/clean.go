package table

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// clearSigns takes away what nobody sees: byte order marks, signs of no width and of direction, soft hyphens; spaces of
// other kinds become plain ones.
func clearSigns(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\u00a0', r == '\u2007', r == '\u202f', r == '\u2028', r == '\u2029', r == '\f', r == '\v', r == '\u0085':
			return ' '
		case r == '\u00ad', unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, s)
}

// clean returns a cell as a person means it, on one line, and marks what was done to it.
func (r *Row) clean(field Field, cell string) string {
	s := clearSigns(cell)
	trimmed := strings.Trim(s, " ")
	if plain := Unguard(trimmed); plain != trimmed {
		r.fault(Prefix, field, cell, "a ' stands before the text, as lists write it to stop formulas", plain, "nothing, if the text is right")
		trimmed = plain
	} else if len(trimmed) > 1 && trimmed[0] == '=' {
		r.fault(Formula, field, cell, "it begins as a formula", trimmed, "it was kept as text and not worked out; type the value if another is meant")
	}
	control := false
	s = strings.Map(func(c rune) rune {
		switch {
		case c == '\t' || c == '\n' || c == '\r':
			return ' '
		case unicode.IsControl(c):
			control = true
			return -1
		}
		return c
	}, trimmed)
	s = strings.Join(strings.Fields(s), " ")
	if control {
		r.fault(ControlSigns, field, cell, "signs that are no text are in it", s, "copy the cell again, or type it")
	}
	if n := utf8.RuneCountInString(s); n > MaxCell {
		s = string([]rune(s)[:MaxCell])
		r.fault(LongCell, field, cell, "it is longer than a cell of a list", s, "shorten it; a quote may be missing in this row or the one before")
	}
	if strings.ContainsRune(s, utf8.RuneError) || garbled(s) {
		r.fault(LostSigns, field, cell, "signs were lost or changed on the way", s, "choose another alphabet, or type the cell")
	}
	return s
}

// garbled finds UTF-8 that was read as Windows-1252 and saved so: "Ã¼", "Âµ", "â€“".
func garbled(s string) bool {
	runes := []rune(s)
	for i, c := range runes[:max(len(runes)-1, 0)] {
		next := runes[i+1]
		if (c == 'Ã' || c == 'Â') && next >= 0x80 && next <= 0xbf || c == 'Ã' && strings.ContainsRune("¼¶¤Ÿ–œ", next) || c == 'â' && next == '€' {
			return true
		}
	}
	return false
}

// months are their names, in English and German, with a space around each.
const months = " jan feb mar apr may jun jul aug sep oct nov dec mär mai okt dez sept january february march april june july august " +
	"september october november december "

// damage tells what a spreadsheet may have made of a cell that is no text for it: a date of 1-2, a power of ten of 12E3. It
// is empty if nothing shows.
func damage(s string) string {
	if strings.HasPrefix(s, "#") && (strings.HasSuffix(s, "!") || strings.HasSuffix(s, "?") || s == "#N/A" || strings.Trim(s, "#") == "" && len(s) > 2) {
		return "a spreadsheet left its error here instead of the value"
	}
	parts := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return strings.ContainsRune("-./ ", r) })
	named, numbers := 0, 0
	for _, p := range parts {
		switch {
		case strings.Contains(months, " "+p+" "):
			named++
		case isNumber(p):
			numbers++
		}
	}
	if n := len(parts); named == 1 && numbers >= 1 && n <= 3 && named+numbers == n || n == 3 && numbers == 3 && dateSized(parts) && len(s) >= 8 {
		return "a date: a spreadsheet makes one of texts such as 1-2 or 1/2"
	}
	mantissa, power, ok := strings.Cut(strings.ToUpper(s), "E+")
	if ok && isNumber(power) && isNumber(strings.NewReplacer(".", "", ",", "").Replace(mantissa)) {
		return "a power of ten: a spreadsheet makes one of names such as 12E3"
	}
	return ""
}

func dateSized(parts []string) bool {
	for _, p := range parts {
		if len(p) > 4 {
			return false
		}
	}
	return len(parts[0]) == 4 || len(parts[2]) == 4
}
