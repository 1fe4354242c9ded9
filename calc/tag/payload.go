package tag

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Payload is what kind of text stands behind a QR square.
type Payload string

// The kinds of payload.
const (
	Link  Payload = "link"  // the app's address and the code: any phone camera opens the app
	Code  Payload = "code"  // the code alone: the smallest square, read by the app's own scanner
	Words Payload = "words" // upper-case plain text: read by any phone, with no app and no network
)

// Payloads lists every kind in the order a person is offered them.
var Payloads = []Payload{Link, Code, Words}

// Subject is what a words tag says, each field as the build has it. All but Code may be empty.
type Subject struct {
	Code     string
	Function string
	From, To string
	Size     string
	Colour   string
}

// MaxWords is the most signs a words tag holds.
//
// Source: our choice, because 90 signs of the alphanumeric set fill version 4 at level M (ISO/IEC 18004, table 7),
// which is 10.3 mm wide with its quiet zone at 0.25 mm a module.
const MaxWords = 90

// Text returns the text of a QR square of this kind. Link needs an address, see ParseAddress; the others do not
// look at it. The code is checked.
func (p Payload) Text(address Address, s Subject) (string, error) {
	if err := Check(s.Code); err != nil {
		return "", err
	}
	switch p {
	case Link:
		if address.base == "" {
			return "", fmt.Errorf("tag: link for %s: no address of the app is set", s.Code)
		}
		return address.Link(s.Code), nil
	case Code:
		return s.Code, nil
	case Words:
		return words(s), nil
	}
	return "", fmt.Errorf("tag: payload %q is not link, code or words", Clean(string(p), 20))
}

// words joins the fields behind the code. A text that would be too long loses the end of its function first, then
// of its ends; the code, the size and the colour always stay.
func words(s Subject) string {
	function, from, to := fold(s.Function), fold(s.From), fold(s.To)
	wire := strings.TrimSpace(fold(s.Size) + " " + fold(s.Colour))
	join := func() string {
		var parts []string
		for _, f := range [...]struct{ before, text string }{{"", s.Code}, {"", function}, {"FROM ", from}, {"TO ", to}, {"", wire}} {
			if f.text != "" {
				parts = append(parts, f.before+f.text)
			}
		}
		return strings.Join(parts, " ")
	}
	for _, field := range []*string{&function, &from, &to, &wire} {
		if over := utf8.RuneCountInString(join()) - MaxWords; over > 0 {
			*field = shorten(*field, over)
		}
	}
	return join()
}

// shorten takes at least n signs off the end of a text, or all of them.
func shorten(text string, n int) string {
	signs := []rune(text)
	if n >= len(signs) {
		return ""
	}
	return strings.TrimRight(string(signs[:len(signs)-n]), " -/+")
}
