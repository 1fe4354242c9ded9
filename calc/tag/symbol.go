package tag

import (
	"fmt"
	"strings"

	qrcode "github.com/skip2/go-qrcode"
)

// Level is how much of a QR square may be lost: about 7, 15, 25 and 30 per cent of its codewords.
//
// Source: ISO/IEC 18004, section 7.5.1.
type Level int

// The levels of error correction.
const (
	LevelL Level = iota
	LevelM
	LevelQ
	LevelH
)

func (l Level) String() string { return string("LMQH"[l&3]) }

// MaxVersion is the largest QR version that is made: 57 modules, more than any tag of this size can print.
const MaxVersion = 10

// QuietZone is the white border of a QR square, in modules on each side.
//
// Source: ISO/IEC 18004, section 6.3.8.
const QuietZone = 4

// FloorLevel is the least level that a tag is made with.
//
// Source: our choice, because oil, rub and heat take part of a tag under a bonnet and level L bears only 7 %.
const FloorLevel = LevelM

// dataCodewords of versions 1 to 10 at levels L, M, Q, H.
//
// Source: ISO/IEC 18004, table 7.
var dataCodewords = [MaxVersion][4]int{
	{19, 16, 13, 9}, {34, 28, 22, 16}, {55, 44, 34, 26}, {80, 64, 48, 36}, {108, 86, 62, 46},
	{136, 108, 76, 60}, {156, 124, 88, 66}, {194, 154, 110, 86}, {232, 182, 132, 100}, {274, 216, 154, 122},
}

// Mode is how signs are packed.
type Mode int

// The modes that are used; each holds the signs of the ones before it.
const (
	Numeric Mode = iota
	Alphanumeric
	Byte
)

func (m Mode) String() string { return [...]string{"numeric", "alphanumeric", "byte"}[m] }

// ModeOf returns the plainest mode that holds every sign of a text.
func ModeOf(text string) (m Mode) {
	for i := range len(text) {
		m = max(m, modeOf(text[i]))
	}
	return m
}

// countBits is the length of the count of signs: versions 1 to 9, and 10.
//
// Source: ISO/IEC 18004, table 3.
func countBits(m Mode, version int) int {
	if version <= 9 {
		return [...]int{10, 9, 8}[m]
	}
	return [...]int{12, 11, 16}[m]
}

// segmentBits is what n signs of one mode need, with the four bits that name the mode.
//
// Source: ISO/IEC 18004, sections 7.4.3 to 7.4.5.
func segmentBits(m Mode, n, version int) int {
	head := 4 + countBits(m, version)
	switch m {
	case Numeric:
		return head + n/3*10 + [...]int{0, 4, 7}[n%3]
	case Alphanumeric:
		return head + n/2*11 + n%2*6
	}
	return head + 8*n
}

// Capacity returns how many signs of one mode fit a version at a level; 0 for a version that is not made.
func Capacity(version int, l Level, m Mode) int {
	if version < 1 || version > MaxVersion {
		return 0
	}
	room := 8 * dataCodewords[version-1][l]
	n := 0
	for segmentBits(m, n+1, version) <= room {
		n++
	}
	return n
}

func modeOf(c byte) Mode {
	switch {
	case c >= '0' && c <= '9':
		return Numeric
	case strings.IndexByte(alphanumeric, c) >= 0:
		return Alphanumeric
	}
	return Byte
}

// bits is what a text needs when it is split into stretches of one mode, each taking in the ones behind it where
// that is shorter, or in one stretch if that is shorter still: the way the encoder does it, which a test holds it to.
func bits(text string, version int) int {
	type stretch struct {
		mode Mode
		n    int
	}
	var all []stretch
	highest := Numeric
	for _, c := range []byte(text) {
		m := modeOf(c)
		highest = max(highest, m)
		if k := len(all) - 1; k >= 0 && all[k].mode == m {
			all[k].n++
		} else {
			all = append(all, stretch{m, 1})
		}
	}
	split := 0
	for i := 0; i < len(all); {
		s := all[i]
		for i++; i < len(all) && all[i].mode <= s.mode; i++ {
			if segmentBits(s.mode, s.n+all[i].n, version) >= segmentBits(s.mode, s.n, version)+segmentBits(all[i].mode, all[i].n, version) {
				break
			}
			s.n += all[i].n
		}
		split += segmentBits(s.mode, s.n, version)
	}
	return min(split, segmentBits(highest, len(text), version))
}

// Symbol is a QR square before it is printed.
type Symbol struct {
	Text    string
	Version int
	Level   Level
}

// NewSymbol returns the smallest square that holds the text at the level or better: the level is then raised as
// far as the version allows, because that costs nothing.
func NewSymbol(text string, floor Level) (Symbol, error) {
	if text == "" {
		return Symbol{}, fmt.Errorf("tag: no text for a QR square")
	}
	for version := 1; version <= MaxVersion; version++ {
		need := bits(text, version)
		for l := LevelH; l >= floor; l-- {
			if need <= 8*dataCodewords[version-1][l] {
				return Symbol{text, version, l}, nil
			}
		}
	}
	return Symbol{}, fmt.Errorf("tag: text of %d bytes: more than version %d holds at level %s", len(text), MaxVersion, floor)
}

// Modules is how many modules a side has, without the quiet zone.
//
// Source: ISO/IEC 18004, section 6.3.1.
func (s Symbol) Modules() int { return 17 + 4*s.Version }

// Side is how many modules a side has with the quiet zone.
func (s Symbol) Side() int { return s.Modules() + 2*QuietZone }

// Bitmap returns the modules, true is dark, as rows from the top, without the quiet zone.
func (s Symbol) Bitmap() ([][]bool, error) {
	level := [...]qrcode.RecoveryLevel{qrcode.Low, qrcode.Medium, qrcode.High, qrcode.Highest}[s.Level&3]
	q, err := qrcode.NewWithForcedVersion(s.Text, s.Version, level)
	if err != nil {
		return nil, fmt.Errorf("tag: QR square of %q: %w", Clean(s.Text, 40), err)
	}
	q.DisableBorder = true
	return q.Bitmap(), nil
}
