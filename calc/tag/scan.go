package tag

import (
	"net/url"
	"strings"
)

// Class is what a scanned or typed text turned out to be.
type Class string

// The classes of text. The first four give a code.
const (
	OurLink   Class = "our link"   // the address of this app and a code
	OtherLink Class = "other link" // a code behind another address: a copy of the app served elsewhere, perhaps
	BareCode  Class = "code"
	CodeWords Class = "words"   // a code and words behind it
	Damaged   Class = "damaged" // made like a code, but a sign is wrong or missing
	Foreign   Class = "foreign" // not a tag of ours
	TooLong   Class = "too long"
	Empty     Class = "empty"
)

// MaxScan is how many bytes of a scanned text are looked at; a longer one is not a tag of ours.
//
// Source: our choice; the longest tag is a link of MaxAddress signs or MaxWords signs of four bytes.
const MaxScan = 400

// Scan is the result of reading a tag. Text is safe to show; nothing of it may be opened or followed.
type Scan struct {
	Class   Class
	Code    string   // with the first four classes
	Text    string   // what was read, cleaned and shortened for showing
	Repairs []string // with Damaged: codes that it may have been, likeliest first
	Err     error    // with Damaged: ErrLength, ErrSign or ErrCheckSign
}

// Found reports whether there is a code.
func (s Scan) Found() bool { return s.Code != "" }

// Parse says what a scanned or typed text is. own is the address of this app; the zero Address matches no link.
func Parse(scanned string, own Address) Scan {
	s := Scan{Text: Clean(scanned, 80)}
	text := strings.TrimSpace(scanned)
	switch {
	case len(scanned) > MaxScan:
		s.Class = TooLong
		return s
	case s.Text == "":
		s.Class = Empty
		return s
	}
	if base, fragment, ok := link(text); ok {
		ours := own.base != "" && sameAddress(base, own.base)
		code := Normalise(fragment)
		switch err := Check(code); {
		case err == nil && ours:
			s.Class, s.Code = OurLink, code
		case err == nil:
			s.Class, s.Code = OtherLink, code
		case ours && nearlyCode(code):
			s.Class, s.Err, s.Repairs = Damaged, err, Repair(code)
		default:
			s.Class = Foreign
		}
		return s
	}
	code := Normalise(text)
	err := Check(code)
	if err == nil {
		s.Class, s.Code = BareCode, code
		return s
	}
	if first, rest, ok := strings.Cut(text, " "); ok && strings.TrimSpace(rest) != "" {
		if first = strings.ToUpper(first); Check(first) == nil {
			s.Class, s.Code = CodeWords, first
			return s
		}
	}
	if nearlyCode(code) {
		s.Class, s.Err, s.Repairs = Damaged, err, Repair(code)
		return s
	}
	s.Class = Foreign
	return s
}

// link splits a web address at its fragment.
func link(text string) (base, fragment string, ok bool) {
	scheme, _, ok := strings.Cut(text, "://")
	if !ok || !(strings.EqualFold(scheme, "https") || strings.EqualFold(scheme, "http")) {
		return "", "", false
	}
	base, fragment, _ = strings.Cut(text, "#")
	return base, fragment, true
}

// sameAddress compares two addresses without regard to the case of scheme and host, and to the slash and file name
// at the end.
func sameAddress(base, own string) bool {
	u, err := url.Parse(base)
	if err != nil || u.User != nil {
		return false
	}
	path := strings.TrimSuffix(u.EscapedPath(), "index.html")
	if !strings.HasSuffix(path, "/") {
		path += "/"
	}
	return strings.ToLower(u.Scheme+"://"+u.Host)+path == own
}

// nearlyCode reports whether a normalised text is made like a code: seven to nine letters and digits.
func nearlyCode(code string) bool {
	if len(code) < CodeLength-1 || len(code) > CodeLength+1 {
		return false
	}
	for _, c := range []byte(code) {
		if !(c >= '0' && c <= '9' || c >= 'A' && c <= 'Z') {
			return false
		}
	}
	return true
}
