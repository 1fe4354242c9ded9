package sheet

import (
	"encoding/binary"
	"errors"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestWrap(t *testing.T) {
	signs := func(s string) float64 { return float64(utf8.RuneCountInString(s)) } // every sign is 1 wide
	for _, c := range []struct {
		in   string
		wide float64
		want string
		torn bool
	}{
		{"", 5, "", false},
		{"one", 5, "one", false},
		{"one two three", 7, "one two|three", false},
		{"one two three", 6, "one|two|three", false},
		{"  one   two ", 20, "one   two", false},
		{"YE/GN and RD-WH", 5, "YE/GN|and|RD-WH", false},
		{"YE/GN", 4, "YE/|GN", false},
		{"abcdefgh", 3, "abc|def|gh", true},
		{"a abcdefgh", 4, "a|abcd|efgh", true},
		{"no\u00a0break here", 9, "no\u00a0break|here", false},
		{"line\nbreak", 20, "line\nbreak", false},
		{"ab", 0.5, "a|b", true},
		{"Ωµé Ж", 3, "Ωµé|Ж", false},
	} {
		lines, torn := Wrap(c.in, c.wide, signs)
		if got := strings.Join(lines, "|"); got != c.want || torn != c.torn {
			t.Errorf("Wrap(%q, %v) = %q, %v; want %q, %v", c.in, c.wide, got, torn, c.want, c.torn)
		}
	}
	long := strings.Repeat("word ", 100_000)
	if lines, _ := Wrap(long, 50, signs); len(lines) != 10_000 {
		t.Errorf("%d lines, want 10 000", len(lines))
	}
}

// The fonts have every sign that lists and tags are written with, and width adds up sign by sign as wrap takes it to.
func TestFontsHaveWhatIsPrinted(t *testing.T) {
	width, err := fonts(t).Measure()
	if err != nil {
		t.Fatal(err)
	}
	const text = "Wire > W27 · 7K3F 9Q2M × ✓ ☑ □ – “needs” … ° Ω µ ² ½ ± € ÄÖÜäöüß éèêç ñ ø å ł ž ő Греческий ЖЩ Ελληνικά"
	for name, data := range map[string][]byte{"regular": fonts(t).Regular, "bold": fonts(t).Bold} {
		for _, r := range text {
			if !hasSign(data, uint16(r)) {
				t.Errorf("the %s font has no %q", name, r)
			}
		}
		if hasSign(data, '☃') {
			t.Errorf("the %s font has a snowman, so the check is worth nothing", name)
		}
	}
	for _, bold := range []bool{false, true} {
		sum := 0.0
		for _, r := range text {
			sum += width(string(r), 10, bold)
		}
		if got := width(text, 10, bold); got < sum-0.01 || got > sum+0.01 {
			t.Errorf("the text is %v mm wide, its signs %v", got, sum)
		}
	}
	if got := Printable("a\u0000b\u202ec😀\u00a0d"); got != "abc□ d" {
		t.Errorf("Printable = %q", got)
	}
}

// hasSign looks a sign up in the character map of a TrueType file, in its table of format 4.
//
// Source: ISO/IEC 14496-22 (Open Font Format), sections on the table directory and on cmap.
func hasSign(font []byte, r uint16) bool {
	u16 := func(at int) int { return int(binary.BigEndian.Uint16(font[at:])) }
	u32 := func(at int) int { return int(binary.BigEndian.Uint32(font[at:])) }
	for i := range u16(4) {
		entry := 12 + 16*i
		if string(font[entry:entry+4]) != "cmap" {
			continue
		}
		cmap := u32(entry + 8)
		for k := range u16(cmap + 2) {
			sub := cmap + u32(cmap+4+8*k+4)
			if u16(sub) != 4 {
				continue
			}
			segments := u16(sub+6) / 2
			ends := sub + 14
			starts := ends + 2*segments + 2
			deltas, offsets := starts+2*segments, starts+4*segments
			for n := range segments {
				first, last := u16(starts+2*n), u16(ends+2*n)
				if int(r) < first || int(r) > last {
					continue
				}
				if offset := u16(offsets + 2*n); offset != 0 {
					return u16(offsets+2*n+offset+2*(int(r)-first)) != 0
				}
				return uint16(int(r)+u16(deltas+2*n)) != 0
			}
		}
	}
	return false
}

// A file that is cut off, or is something else, is refused.
func TestDamagedFontsAreRefused(t *testing.T) {
	whole := fonts(t)
	for _, n := range []int{0, 3, 11, 12, 40, 200, 1000, len(whole.Bold) / 2, len(whole.Bold) - 5} {
		if _, err := (Font{Regular: whole.Regular, Bold: whole.Bold[:n]}).Measure(); !errors.Is(err, ErrFont) {
			t.Errorf("the first %d bytes of a font: %v, want ErrFont", n, err)
		}
	}
	if _, err := (Font{Regular: append([]byte{0, 1, 0, 0}, make([]byte, 100)...), Bold: whole.Bold}).Measure(); !errors.Is(err, ErrFont) {
		t.Errorf("zeros: %v, want ErrFont", err)
	}
}
