package unit

import (
	"errors"
	"fmt"
	"math/bits"
	"strings"
	"sync"
	"unicode"
)

// Longest is the longest length that is read: far above any harness and any spool, so that a slip of the finger is
// refused and sums of many thousand lengths stay far from overflow. Source: our choice.
const Longest = 10_000 * Metre

// Why a text is not a length or a size. A *ParseError wraps exactly one of them.
var (
	ErrBlank     = errors.New("blank")               // nothing typed: not measured
	ErrZero      = errors.New("zero")                // a length of zero, read without doubt
	ErrNegative  = errors.New("negative")            // a length below zero, read without doubt
	ErrAmbiguous = errors.New("ambiguous")           // two lengths are meant equally well: ask
	ErrFraction  = errors.New("not a tape fraction") // 14 3/17, 5/0, 1/2/3
	ErrTooLong   = errors.New("too long")            // above Longest
	ErrNotLength = errors.New("not a length")        // anything else
	ErrNotSize   = errors.New("not a size")          // from ParseSize
)

// ParseError says what of a text was understood, and why the rest was not.
type ParseError struct {
	Text       string   // as typed
	Understood string   // the part before the trouble, tidied; empty if nothing was
	Reason     string   // what is wrong, in plain words, lower case, no full stop
	Value      Length   // with ErrNegative: what was read
	Readings   []Length // with ErrAmbiguous: the two lengths it may be, the decimal comma first
	Err        error    // one of the errors above
}

func (e *ParseError) Error() string { return fmt.Sprintf("unit: %q: %s", e.Text, e.Reason) }
func (e *ParseError) Unwrap() error { return e.Err }

// ParseLength reads a length as people type it; def is what a bare number means (zero: millimetres).
//
//	368   368 mm   36.8 cm   36,8 cm   0.37 m   1 234 mm   1,234.5 mm   1 m 20 cm
//	14 1/2   14-1/2"   14½ in   14.5"   1' 2 1/2"   1'-2 1/2"   1 ft 2.5 in   16/14 in
//
// A unit that is typed beats def. Quotes may be straight, curly or primes. A comma is a decimal comma, except where it
// can only part thousands; where it may be either (1,234) the error is ErrAmbiguous with both lengths. A point is
// always a decimal point, except before a decimal comma (1.234,5). The fraction of a mixed number is a tape's: halves to
// sixty-fourths; a fraction alone may be any if it is one or more (16/14). After feet a bare number is inches, and inches
// after feet are fewer than 12.
//
// The result is above zero and exact; only what no tape shows (more than five decimals of an inch, nine of a metre,
// sevenths) is rounded, to the nearest nanometre. Every error is a *ParseError.
func ParseLength(text string, def System) (Length, error) {
	refuse := func(err error, understood, format string, args ...any) error {
		return &ParseError{Text: text, Understood: understood, Reason: fmt.Sprintf(format, args...), Err: err}
	}
	if strings.TrimSpace(text) == "" {
		return 0, refuse(ErrBlank, "", "nothing typed")
	}
	if len(text) > 100 {
		return 0, refuse(ErrNotLength, "", "too many signs for a length")
	}
	s := tidy(text)
	negative := strings.HasPrefix(s, "-")
	if negative {
		s = strings.TrimSpace(s[1:])
	}
	p := &parser{tokens: lex(s), text: s, def: def}
	value, err := p.length()
	if p.ambiguous {
		// The comma once more, now as a mark between thousands.
		q := &parser{tokens: p.tokens, text: s, def: def, thousands: true}
		other, err2 := q.length()
		switch {
		case err == nil && err2 == nil:
			e := refuse(ErrAmbiguous, "", "the comma may be a decimal comma or part thousands").(*ParseError)
			e.Readings = []Length{value, other}
			return 0, e
		case err != nil:
			value, err = other, err2
		}
	}
	if err != nil {
		t := err.(*trouble)
		return 0, refuse(t.err, t.understood, "%s", t.reason)
	}
	if negative {
		e := refuse(ErrNegative, s, "a length is not below zero").(*ParseError)
		e.Value = -value
		return 0, e
	}
	if value == 0 {
		return 0, refuse(ErrZero, s, "the length is zero")
	}
	return value, nil
}

// vulgar holds the fractions that are one sign, and the ligature of a one above a stroke.
var vulgar = sync.OnceValue(func() map[rune]string {
	return map[rune]string{
		'½': "1/2", '⅓': "1/3", '⅔': "2/3", '¼': "1/4", '¾': "3/4", '⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5",
		'⅙': "1/6", '⅚': "5/6", '⅐': "1/7", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8", '⅑': "1/9", '⅒': "1/10",
		'↉': "0/3", '⅟': "1/",
	}
})

// tidy returns the text in lower case with one sign for each meaning: ' for feet, " for inches, - / and plain spaces.
func tidy(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch r {
		case '\'', '‘', '’', '‛', '′', 'ʹ', '´', '`':
			b.WriteByte('\'')
		case '"', '“', '”', '‟', '″', 'ʺ', '〃':
			b.WriteByte('"')
		case '-', '−', '–', '—', '‐', '‑', '‒':
			b.WriteByte('-')
		case '/', '⁄', '∕', '／':
			b.WriteByte('/')
		default:
			if f, ok := vulgar()[r]; ok {
				b.WriteString(" " + f)
			} else if unicode.IsSpace(r) || r == '\u200b' {
				b.WriteByte(' ')
			} else {
				b.WriteRune(unicode.ToLower(r))
			}
		}
	}
	return strings.TrimSpace(strings.ReplaceAll(b.String(), "''", `"`))
}

// A token of a length. Kinds: '0' a number, 'a' a word or a mark, and the signs / and - themselves.
type token struct {
	kind  byte
	text  string
	at    int  // offset in the tidied text
	space bool // a space stands before it
}

func lex(s string) []token {
	class := func(r rune) byte {
		switch {
		case r >= '0' && r <= '9', r == '.', r == ',':
			return '0'
		case r == '/', r == '-', r == '\'', r == '"':
			return byte(r)
		case r == ' ':
			return ' '
		}
		return 'a'
	}
	var tokens []token
	space := false
	for i := 0; i < len(s); {
		first := class([]rune(s[i:])[0])
		end := len(s)
		for j, r := range s[i:] {
			if j > 0 && (class(r) != first || first == '/' || first == '-' || first == '\'' || first == '"') {
				// A point after a letter belongs to the word: "in." and "ft.".
				if first == 'a' && r == '.' && !strings.HasSuffix(s[i:i+j], ".") {
					continue
				}
				end = i + j
				break
			}
		}
		switch first {
		case ' ':
			space = true
		default:
			kind := first
			if kind == '\'' || kind == '"' {
				kind = 'a'
			}
			tokens = append(tokens, token{kind, s[i:end], i, space})
			space = false
		}
		i = end
	}
	return tokens
}

var lengthUnits = sync.OnceValue(func() map[string]Length {
	return map[string]Length{
		"mm": Millimetre, "millimetre": Millimetre, "millimetres": Millimetre, "millimeter": Millimetre, "millimeters": Millimetre,
		"cm": Centimetre, "centimetre": Centimetre, "centimetres": Centimetre, "centimeter": Centimetre, "centimeters": Centimetre,
		"m": Metre, "metre": Metre, "metres": Metre, "meter": Metre, "meters": Metre,
		"in": Inch, "inch": Inch, "inches": Inch, `"`: Inch, "zoll": Inch,
		"ft": Foot, "foot": Foot, "feet": Foot, "'": Foot,
	}
})

// trouble is a ParseError without the text.
type trouble struct {
	err                error
	understood, reason string
}

func (t *trouble) Error() string { return t.reason }

type parser struct {
	tokens    []token
	text      string
	def       System
	thousands bool // a doubtful comma parts thousands
	ambiguous bool // a doubtful comma was met
	next      int
}

func (p *parser) peek(n int) token {
	if p.next+n < len(p.tokens) {
		return p.tokens[p.next+n]
	}
	return token{at: len(p.text)}
}

func (p *parser) fail(err error, at int, format string, args ...any) error {
	return &trouble{err, strings.TrimSpace(p.text[:at]), fmt.Sprintf(format, args...)}
}

// length reads one or more terms, each a number and a unit, from large to small: 1 ft 2 1/2 in.
func (p *parser) length() (Length, error) {
	var sum, last Length
	for {
		start := p.peek(0).at
		n, err := p.number()
		if err != nil {
			return 0, err
		}
		u, err := p.unit(last)
		if err != nil {
			return 0, err
		}
		if last != 0 && (u >= last || (last == Foot) != (u == Inch)) {
			return 0, p.fail(ErrNotLength, start, "a smaller unit of the same kind was expected here")
		}
		v, ok := n.times(u)
		if !ok || v > Longest-sum {
			return 0, p.fail(ErrTooLong, start, "more than %d km", Longest/(1000*Metre))
		}
		if last == Foot && v >= Foot {
			return 0, p.fail(ErrNotLength, start, "the inches after feet are 12 or more")
		}
		if sum += v; p.next == len(p.tokens) {
			return sum, nil
		}
		if !n.whole {
			return 0, p.fail(ErrNotLength, p.peek(0).at, "nothing can follow a part of a unit")
		}
		last = u
		if p.peek(0).kind == '-' && p.peek(1).kind == '0' {
			p.next++ // 1'-2"
		}
	}
}

// unit reads a unit, or takes the one that a bare number has here.
func (p *parser) unit(last Length) (Length, error) {
	t := p.peek(0)
	if t.kind == 'a' {
		if u, ok := lengthUnits()[strings.TrimSuffix(t.text, ".")]; ok {
			p.next++
			return u, nil
		}
		return 0, p.fail(ErrNotLength, t.at, "%q is not a unit of length", t.text)
	}
	if p.next < len(p.tokens) {
		switch {
		case t.kind == '/':
			return 0, p.fail(ErrFraction, t.at, "a second stroke: one fraction at a time")
		case t.kind == '-':
			return 0, p.fail(ErrNotLength, t.at, "the stroke stands before no fraction: type one length")
		}
		return 0, p.fail(ErrNotLength, t.at, "two numbers with no unit between them")
	}
	switch {
	case last == Foot:
		return Inch, nil
	case last != 0:
		return 0, p.fail(ErrNotLength, t.at, "the last number has no unit")
	case p.def == Imperial:
		return Inch, nil
	}
	return Millimetre, nil
}

// number is a number as typed: num/den, exact.
type number struct {
	num, den uint64
	whole    bool // typed without a fraction or decimals
}

// times returns the number of u, rounded to the nearest nanometre, and false if it is above Longest.
func (n number) times(u Length) (Length, bool) {
	hi, lo := bits.Mul64(n.num, uint64(u))
	lo, carry := bits.Add64(lo, n.den/2, 0)
	if hi += carry; hi >= n.den {
		return 0, false
	}
	q, _ := bits.Div64(hi, lo, n.den)
	return Length(q), q <= uint64(Longest)
}

// number reads 368, 36.8, 1 234, 14 1/2, 14-1/2 or 1/2.
func (p *parser) number() (number, error) {
	t := p.peek(0)
	if t.kind != '0' {
		if p.next == len(p.tokens) {
			return number{}, p.fail(ErrNotLength, t.at, "a number is missing")
		}
		return number{}, p.fail(ErrNotLength, t.at, "%q is not a number", t.text)
	}
	p.next++
	if p.peek(0).kind == '/' {
		return p.fraction(t, false)
	}
	n, err := p.decimal(t)
	if err != nil {
		return n, err
	}
	f := 0 // where the fraction of a mixed number would begin
	if p.peek(0).kind == '-' {
		f = 1
	}
	if p.peek(f).kind != '0' || p.peek(f+1).kind != '/' {
		return n, nil
	}
	if !n.whole {
		return n, p.fail(ErrFraction, p.peek(f).at, "decimals and a fraction in one number")
	}
	t = p.peek(f)
	p.next += f + 1
	part, err := p.fraction(t, true)
	if err != nil {
		return part, err
	}
	return number{num: n.num*part.den + part.num, den: part.den}, nil
}

// fraction reads the rest of a fraction whose numerator is t. The fraction of a mixed number is less than one.
func (p *parser) fraction(t token, mixed bool) (number, error) {
	p.next++ // the stroke
	d := p.peek(0)
	if d.kind != '0' {
		return number{}, p.fail(ErrFraction, t.at, "the fraction %s/ is not finished", t.text)
	}
	p.next++
	num, ok1 := digits(t.text, 6)
	den, ok2 := digits(d.text, 6)
	switch {
	case !ok1 || !ok2:
		return number{}, p.fail(ErrFraction, t.at, "%s/%s is not a fraction of whole numbers", t.text, d.text)
	case den == 0:
		return number{}, p.fail(ErrFraction, t.at, "%s/%s divides by zero", t.text, d.text)
	case mixed && num >= den:
		return number{}, p.fail(ErrFraction, t.at, "%s/%s is one or more, after a whole number", t.text, d.text)
	case num < den && (den > 64 || den&(den-1) != 0):
		return number{}, p.fail(ErrFraction, t.at, "%s/%s is not on a tape: halves, quarters, down to 64ths", t.text, d.text)
	}
	return number{num: num, den: den}, nil
}

func digits(s string, most int) (n uint64, ok bool) {
	if len(s) == 0 || len(s) > most {
		return 0, false
	}
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return 0, false
		}
		n = 10*n + uint64(s[i]-'0')
	}
	return n, true
}

// decimal reads the number that begins with t, with spaces, commas or points between thousands and either sign
// before decimals.
func (p *parser) decimal(t token) (number, error) {
	whole, part, ok := p.split(t.text)
	spaced := len(whole) <= 3 && !strings.HasPrefix(whole, "0") && whole == t.text
	for ok && spaced {
		next := p.peek(0)
		if next.kind != '0' || !next.space || p.peek(1).kind == '/' {
			break
		}
		three, rest, _ := strings.Cut(strings.ReplaceAll(next.text, ",", "."), ".")
		if len(three) != 3 || strings.Contains(rest, ".") {
			break
		}
		p.next++
		whole += three
		part, spaced = rest, three == next.text
	}
	const most = 9
	a, ok1 := digits(strings.TrimLeft(whole, "0")+"0", most+1)
	b, ok2 := digits(part+"0", 13)
	if !ok {
		return number{}, p.fail(ErrNotLength, t.at, "%s: points and commas are not where they belong", t.text)
	}
	if !ok1 {
		return number{}, p.fail(ErrTooLong, t.at, "%s: too many digits", t.text)
	}
	if !ok2 {
		return number{}, p.fail(ErrNotLength, t.at, "%s: too many decimals", t.text)
	}
	den := uint64(1)
	for range len(part) {
		den *= 10
	}
	hi, lo := bits.Mul64(a/10, den)
	if hi != 0 || lo+b/10 < lo {
		return number{}, p.fail(ErrTooLong, t.at, "%s: too many digits", t.text)
	}
	return number{num: lo + b/10, den: den, whole: part == ""}, nil
}

// split parts a number into its whole digits and its decimals. It is false where commas and points make no sense.
func (p *parser) split(s string) (whole, part string, ok bool) {
	points, commas := strings.Count(s, "."), strings.Count(s, ",")
	at := strings.LastIndexAny(s, ".,")
	switch {
	case at < 0:
		return s, "", true
	case points+commas == 1:
		whole, part = s[:at], s[at+1:]
		if commas == 1 && len(part) == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0' {
			p.ambiguous = true
			if p.thousands {
				return whole + part, "", true
			}
		}
		return whole, part, whole+part != ""
	case points == 0 || commas == 0:
		whole = s // all of them part thousands
	default:
		// The last is the decimal sign, and there is one of it; the others part thousands.
		whole, part = s[:at], s[at+1:]
		if strings.Contains(whole, s[at:at+1]) {
			return "", "", false
		}
	}
	groups := strings.FieldsFunc(whole, func(r rune) bool { return r == '.' || r == ',' })
	if len(groups) != strings.Count(whole, ".")+strings.Count(whole, ",")+1 || len(groups[0]) > 3 {
		return "", "", false
	}
	for _, g := range groups[1:] {
		if len(g) != 3 {
			return "", "", false
		}
	}
	return strings.Join(groups, ""), part, true
}
