package sheet

import (
	"strings"

	"loomwright/calc/tag"
)

// The sizes of type on a tag in points.
//
// Source: 8 to 10 pt are read at 40 to 60 cm, 6 pt in the hand (published guidance); 5 pt is common practice for one
// line along a thin wire.
const (
	largestType  = 10.0
	bundleType   = 12.0 // our choice for places, which are looked for from further away
	plateType    = 16.0 // our choice for bundles and connectors, likewise
	smallestType = 5.0
)

// leastText is how wide a piece of a label must be for text beside a square, in millimetres. Source: our choice, a code in two
// lines of small type.
const leastText = 10.0

// longest is how many signs of one paragraph are looked at; no label holds more.
const longest = 200

// Leading is the distance of two base lines in type sizes; Ascent is how far type reaches above its base line.
//
// Source: our choice, after the measures of the font.
const (
	Leading = 1.18
	Ascent  = 0.78
)

// paragraph is a piece of a tag's text.
type paragraph struct {
	text string
	bold bool
	keep bool // never shortened
}

// write sets the text of a label: this end first, then the code, then the function. It reports whether something had
// to be left out.
func (p *PlacedLabel) write(width func(text string, points float64, bold bool) float64) (shortened bool) {
	y, h := p.Y+margin, p.H-2*margin
	left := p.X + margin // of the text beside the square, or of what is there without one
	if p.Square != nil {
		left = p.SquareX + p.Square.Width()
	}
	largest := largestType
	switch p.Kind {
	case tag.OnBundle, tag.OnConnector:
		largest = plateType
	case tag.OnPlace:
		largest = bundleType
	}
	whole := func(x, right float64) {
		shortened = p.set(p.paragraphs(), x, y, right-x, h, largest, width) || shortened
	}
	switch {
	case p.Fold > 0:
		// The face with the square has room for the code beside it; the other face has the whole text.
		right := p.X + p.face
		if beside := right - left; p.Square == nil {
			whole(left, right-margin/2)
		} else if beside >= 7 {
			code := []paragraph{{text: tag.Clean(p.Name, longest), bold: true}, {text: tag.Format(p.Tag.Code), keep: true}}
			p.set(code, left, y, beside-margin/2, h, 8, width)
		}
		whole(p.X+p.W-p.face+margin/2, p.X+p.W-margin)
	case p.Round > 0:
		// What is read from one side is half of the round, so both halves say it.
		half := p.X + p.Round/2
		if half-left >= leastText {
			whole(left, half-margin)
		}
		whole(half, p.X+p.Round-margin)
	default:
		whole(left, p.X+p.face-margin)
	}
	return shortened
}

func (p *PlacedLabel) paragraphs() []paragraph {
	code := tag.Format(p.Tag.Code)
	if p.Name != "" && p.Wire {
		code += "  " + tag.Clean(p.Name, longest)
	}
	orUnknown := func(s string) string {
		if s == "" {
			return "?"
		}
		return tag.Clean(s, longest)
	}
	first := tag.Clean(p.Name, longest)
	if p.Wire || p.Far != "" {
		// A pin stays with its place, and the arrow with the far end.
		first = together(orUnknown(p.This)) + " >\u00a0" + together(orUnknown(p.Far))
	}
	return []paragraph{{text: first, bold: true}, {text: code, keep: true}, {text: tag.Clean(p.last(), longest)}}
}

// last is the line below the code: what a wire does, what lies in a bundle, how many ways a connector has.
func (p *PlacedLabel) last() string {
	var parts []string
	switch {
	case p.Kind == tag.OnBundle:
		if p.Loom != "" {
			parts = append(parts, "loom "+p.Loom)
		}
		parts = append(parts, counted(p.bundle.wires, "wire", "wires"))
	case p.Kind == tag.OnConnector && p.Ways > 0:
		if p.Plug != "" {
			parts = append(parts, "connector "+p.Plug)
		}
		parts = append(parts, counted(p.Ways, "way", "ways"))
	default:
		return p.Function
	}
	return strings.Join(parts, ", ")
}

func together(end string) string { return strings.ReplaceAll(end, " · ", "\u00a0·\u00a0") }

// set puts paragraphs into a box in the largest type that fits, in the middle of its height.
func (p *PlacedLabel) set(text []paragraph, x, y, w, h, largest float64, width func(string, float64, bool) float64) (shortened bool) {
	type line struct {
		text       string
		bold, keep bool
	}
	var lines []line
	points := largest
	for ; ; points -= 0.5 {
		lines = lines[:0]
		torn := false
		for _, t := range text {
			if t.text == "" {
				continue
			}
			broken, tears := Wrap(t.text, w, func(s string) float64 { return width(s, points, t.bold) })
			torn = torn || tears
			for _, s := range broken {
				lines = append(lines, line{s, t.bold, t.keep})
			}
		}
		if float64(len(lines))*points*Point*Leading <= h && !torn || points <= smallestType {
			break
		}
	}
	step := points * Point * Leading
	room := max(int(h/step+1e-9), 1)
	for len(lines) > room {
		// The last line that may go, goes, and the one before it says so.
		last := len(lines) - 1
		for last > 0 && lines[last].keep {
			last--
		}
		shortened = true
		lines = append(lines[:last], lines[last+1:]...)
		if before := last - 1; before >= 0 && !lines[before].keep {
			said := []rune(strings.TrimSuffix(lines[before].text, "…"))
			for len(said) > 1 && width(string(said)+"…", points, lines[before].bold) > w {
				said = said[:len(said)-1]
			}
			lines[before].text = string(said) + "…"
		}
		if last == 0 {
			break
		}
	}
	top := y + max(0, (h-float64(len(lines))*step)/2)
	for i, l := range lines {
		p.Lines = append(p.Lines, TagLine{x, top + float64(i)*step + Ascent*points*Point*Leading, points, l.bold, l.text})
	}
	return shortened
}
