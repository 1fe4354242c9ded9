package table

import (
	"bytes"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// Encoding is how bytes stand for signs.
type Encoding string

// The encodings that lists come in. The zero value is "find out".
const (
	UTF8        Encoding = "UTF-8"
	UTF16Little Encoding = "UTF-16 little endian"
	UTF16Big    Encoding = "UTF-16 big endian"
	Windows1252 Encoding = "Windows-1252"
)

// Encodings lists them in the order a person is offered them.
var Encodings = []Encoding{UTF8, Windows1252, UTF16Little, UTF16Big}

var marks = []struct {
	encoding Encoding
	bytes    string
}{{UTF8, "\xef\xbb\xbf"}, {UTF16Little, "\xff\xfe"}, {UTF16Big, "\xfe\xff"}}

// decode returns the text of a file without its byte order mark. Bytes that mean nothing in the encoding become U+FFFD.
func decode(data []byte, as Encoding) (text string, used Encoding) {
	if as == "" {
		as = sniffEncoding(data)
	}
	for _, m := range marks {
		if m.encoding == as {
			data = bytes.TrimPrefix(data, []byte(m.bytes))
		}
	}
	switch as {
	case UTF16Little:
		return fromUTF16(data, 0), as
	case UTF16Big:
		return fromUTF16(data, 1), as
	case Windows1252:
		return from1252(data), as
	}
	return strings.ToValidUTF8(string(data), "\uFFFD"), UTF8
}

// sniffEncoding goes by the byte order mark, then by zero bytes on one side of most pairs, then by whether most of
// what is not ASCII is UTF-8. What is none of these is Windows-1252, the alphabet of western spreadsheets.
func sniffEncoding(data []byte) Encoding {
	for _, m := range marks {
		if bytes.HasPrefix(data, []byte(m.bytes)) {
			return m.encoding
		}
	}
	head := data[:min(len(data), 4096)&^1]
	zeros := [2]int{}
	for i, c := range head {
		if c == 0 {
			zeros[i%2]++
		}
	}
	switch pairs := len(head) / 2; {
	case pairs > 1 && zeros[1] > pairs/2 && zeros[0] == 0:
		return UTF16Little
	case pairs > 1 && zeros[0] > pairs/2 && zeros[1] == 0:
		return UTF16Big
	}
	if long, broken := multibyte(data); broken == 0 || long > broken {
		return UTF8
	}
	return Windows1252
}

// multibyte counts the signs of several bytes in UTF-8 and the bytes that are none, as where a text was cut.
func multibyte(data []byte) (long, broken int) {
	for len(data) > 0 {
		switch r, n := utf8.DecodeRune(data); {
		case r == utf8.RuneError && n == 1:
			broken++
			data = data[1:]
		default:
			if n > 1 {
				long++
			}
			data = data[n:]
		}
	}
	return long, broken
}

// fromUTF16 reads pairs of bytes, the lower one at low, 0 or 1.
func fromUTF16(data []byte, low int) string {
	units := make([]uint16, 0, len(data)/2+1)
	for ; len(data) >= 2; data = data[2:] {
		units = append(units, uint16(data[low])|uint16(data[1-low])<<8)
	}
	text := string(utf16.Decode(units))
	if len(data) == 1 {
		text += "\uFFFD" // half a sign at the end
	}
	return text
}

// upper1252 holds the signs of bytes 0x80 to 0x9f. Source: Windows-1252 as registered with IANA, from memory.
var upper1252 = [32]rune{'€', utf8.RuneError, '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', utf8.RuneError, 'Ž',
	utf8.RuneError, utf8.RuneError, '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', utf8.RuneError, 'ž', 'Ÿ'}

func from1252(data []byte) string {
	var b strings.Builder
	b.Grow(len(data) + len(data)/8)
	for _, c := range data {
		if c >= 0x80 && c <= 0x9f {
			b.WriteRune(upper1252[c-0x80])
		} else {
			b.WriteRune(rune(c))
		}
	}
	return b.String()
}

// foreign names a file that is no text, by its first bytes; "" if it may be one.
//
// Source: the signatures of the formats' specifications (PKWARE APPNOTE, ISO 32000, PNG, JPEG, compound files), from memory.
func foreign(data []byte) string {
	for _, f := range []struct{ start, name string }{
		{"PK\x03\x04", "a spreadsheet or other packed file"}, {"\xd0\xcf\x11\xe0", "an old spreadsheet file"},
		{"%PDF-", "a PDF"}, {"\x89PNG", "a picture"}, {"\xff\xd8\xff", "a photo"}, {"\x1f\x8b", "a packed file"},
	} {
		if bytes.HasPrefix(data, []byte(f.start)) {
			return f.name
		}
	}
	return ""
}
