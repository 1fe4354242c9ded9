package tag

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// Clean returns text as it may be shown: one line, valid UTF-8, without control, direction (bidi) and other
// invisible signs, runs of spaces made one, at most max signs and then "…".
func Clean(text string, max int) string {
	var b strings.Builder
	n, space := 0, false
	for _, r := range text {
		switch {
		case unicode.IsSpace(r):
			space = n > 0
			continue
		case r == utf8.RuneError, !unicode.IsGraphic(r):
			continue
		}
		if space {
			b.WriteByte(' ')
			n++
			space = false
		}
		if n >= max {
			b.WriteString("…")
			break
		}
		b.WriteRune(r)
		n++
	}
	return b.String()
}

// alphanumeric is the set of the QR alphanumeric mode.
//
// Source: ISO/IEC 18004, table 5.
const alphanumeric = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"

// folds are signs that have a reading in the alphanumeric set. Signs of other alphabets stay as they are.
var folds = sync.OnceValue(func() map[rune]string {
	return map[rune]string{
		'À': "A", 'Á': "A", 'Â': "A", 'Ã': "A", 'Ä': "AE", 'Å': "A", 'Ā': "A", 'Ă': "A", 'Ą': "A", 'Æ': "AE",
		'Ç': "C", 'Ć': "C", 'Č': "C", 'Ď': "D", 'Đ': "D", 'Ð': "D",
		'È': "E", 'É': "E", 'Ê': "E", 'Ë': "E", 'Ē': "E", 'Ę': "E", 'Ě': "E", 'Ė': "E", 'Ğ': "G", 'Ģ': "G",
		'Ì': "I", 'Í': "I", 'Î': "I", 'Ï': "I", 'İ': "I", 'Ī': "I", 'Į': "I", 'Ķ': "K", 'Ł': "L", 'Ļ': "L", 'Ľ': "L",
		'Ñ': "N", 'Ń': "N", 'Ň': "N", 'Ņ': "N",
		'Ò': "O", 'Ó': "O", 'Ô': "O", 'Õ': "O", 'Ö': "OE", 'Ø': "O", 'Ő': "O", 'Œ': "OE", 'Ŕ': "R", 'Ř': "R",
		'Ś': "S", 'Š': "S", 'Ş': "S", 'Ș': "S", 'ẞ': "SS", 'ß': "SS", 'Ť': "T", 'Ţ': "T", 'Ț': "T",
		'Ù': "U", 'Ú': "U", 'Û': "U", 'Ü': "UE", 'Ū': "U", 'Ů': "U", 'Ű': "U", 'Ų': "U", 'Ý': "Y", 'Ÿ': "Y",
		'Ź': "Z", 'Ż': "Z", 'Ž': "Z", 'Þ': "TH",
		'¹': "1", '²': "2", '³': "3", '½': "1/2", '¼': "1/4", '¾': "3/4", '×': "X", '·': "-", '•': "-",
		'\u2126': "OHM", 'µ': "U", '°': " DEG", '&': "+", '_': "-", '–': "-", '—': "-", '−': "-", '‐': "-", '‑': "-",
		'→': "-", '>': "-", '±': "+-", '≥': " MIN ", '≤': " MAX ", '€': "EUR",
	}
})

// fold returns one field of a words tag: upper case, in the alphanumeric set where it has a reading there, with
// nothing that looks like an address or a scheme. A colon and a doubled slash go, and a dot stays only between
// two digits, because phones make links of addresses anywhere in a text.
func fold(text string) string {
	var b strings.Builder
	text = Clean(text, 200)
	greek := strings.ContainsFunc(text, func(r rune) bool { return r != 'Ω' && unicode.Is(unicode.Greek, r) })
	for _, r := range text {
		if r != 'µ' { // its capital is a Greek letter
			r = unicode.ToUpper(r)
		}
		switch s, ok := folds()[r]; {
		case ok:
			b.WriteString(s)
		case r == 'Ω' && !greek:
			b.WriteString("OHM")
		case r == ':':
			b.WriteByte('-')
		case r < utf8.RuneSelf && !strings.ContainsRune(alphanumeric, r):
			b.WriteByte(' ')
		default:
			b.WriteRune(r)
		}
	}
	signs := []rune(b.String())
	digit := func(i int) bool { return i >= 0 && i < len(signs) && signs[i] >= '0' && signs[i] <= '9' }
	for i, r := range signs {
		switch {
		case r == '.' && !(digit(i-1) && digit(i+1)):
			signs[i] = ' '
		case r == '/' && i > 0 && signs[i-1] == '/':
			signs[i] = ' '
		}
	}
	return strings.Join(strings.Fields(string(signs)), " ")
}
