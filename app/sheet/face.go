package sheet

import (
	"encoding/binary"
	"fmt"
	"math"
)

// Measure returns a func that says how wide a text is in millimetres, set in so many points. Sizes are the sum of those of
// the signs, as the fonts have no kerning. The error is ErrFont.
func (f Font) Measure() (func(text string, points float64, bold bool) float64, error) {
	regular, err := readFace(f.Regular)
	if err != nil {
		return nil, err
	}
	heavy, err := readFace(f.Bold)
	if err != nil {
		return nil, err
	}
	return func(text string, points float64, bold bool) float64 {
		face := regular
		if bold {
			face = heavy
		}
		sum := 0
		for _, r := range Printable(text) {
			sum += int(face[r]) // never beyond the first plane
		}
		return float64(sum) * (points / perMillimetre) / perEm
	}, nil
}

// face is how wide the sign of each code is, in thousandths of the size of type, as PDF counts.
type face []uint16

const perEm = 1000

// fallback is the width of a sign that the font has not, where the font does not say one.
//
// Source: our choice, that of the PDF library.
const fallback = 500

// readFace reads the widths of a TrueType file: which sign has which glyph, and how far each glyph moves on.
//
// Source: ISO/IEC 14496-22 (Open Font Format): table directory, head, hhea, hmtx, and cmap in format 4.
func readFace(file []byte) (face, error) {
	t, err := tablesOf(file)
	if err != nil {
		return nil, err
	}
	em, metrics := t.u16("head", 18), t.u16("hhea", 34)
	if em == 0 || metrics == 0 {
		return nil, fmt.Errorf("%w: it has no widths", ErrFont)
	}
	width := func(glyph int) uint16 {
		advance := t.u16("hmtx", 4*min(glyph, metrics-1)) // the last one counts for all after it
		return uint16(math.Round(perEm / float64(em) * float64(advance)))
	}
	f := make(face, 1<<16)
	missing := width(0)
	if missing == 0 {
		missing = fallback
	}
	for i := range f {
		f[i] = missing
	}
	t.eachSign(func(sign, glyph int) { f[sign] = width(glyph) })
	if t.short {
		return nil, fmt.Errorf("%w: a table ends too early", ErrFont)
	}
	return f, nil
}

// tables is a TrueType file by the names of its tables.
type tables struct {
	parts map[string][]byte
	short bool // something was asked for that is not there
}

func tablesOf(file []byte) (*tables, error) {
	if len(file) < 12 || binary.BigEndian.Uint32(file) != 0x00010000 {
		return nil, fmt.Errorf("%w: %d bytes that are not TrueType", ErrFont, len(file))
	}
	t := &tables{parts: map[string][]byte{}}
	for entry := range int(binary.BigEndian.Uint16(file[4:])) {
		at := 12 + 16*entry
		if at+16 > len(file) {
			return nil, fmt.Errorf("%w: the list of its tables is cut off", ErrFont)
		}
		from, size := binary.BigEndian.Uint32(file[at+8:]), binary.BigEndian.Uint32(file[at+12:])
		end := uint64(from) + uint64(size)
		if end > uint64(len(file)) {
			return nil, fmt.Errorf("%w: table %q is cut off", ErrFont, file[at:at+4])
		}
		t.parts[string(file[at:at+4])] = file[from:end]
	}
	return t, nil
}

// u16 returns a number of a table, 0 where it ends before.
func (t *tables) u16(table string, at int) int {
	part := t.parts[table]
	if at < 0 || at+2 > len(part) {
		t.short = true
		return 0
	}
	return int(binary.BigEndian.Uint16(part[at:]))
}

// eachSign calls f with each sign of the first plane that has a glyph.
func (t *tables) eachSign(f func(sign, glyph int)) {
	cmap := func(at int) int { return t.u16("cmap", at) }
	for i := range cmap(2) {
		system, coding, at := cmap(4+8*i), cmap(6+8*i), cmap(8+8*i)<<16|cmap(10+8*i)
		if system != 0 && (system != 3 || coding != 1) || cmap(at) != 4 {
			continue // not Unicode, or another format
		}
		span := cmap(at + 6) // two bytes for each stretch of signs
		ends, starts := at+14, at+16+span
		for n := 0; n < span; n += 2 {
			first, last := cmap(starts+n), cmap(ends+n)
			delta, offset := cmap(starts+span+n), cmap(starts+2*span+n)
			for sign := max(first, 1); sign <= min(last, 0xfffe) && !t.short; sign++ {
				glyph := sign + delta
				if offset != 0 {
					if glyph = cmap(starts + 2*span + n + offset + 2*(sign-first)); glyph != 0 {
						glyph += delta
					}
				}
				if glyph &= 0xffff; glyph != 0 {
					f(sign, glyph)
				}
			}
		}
		return
	}
	t.short = true // no table that we read
}
