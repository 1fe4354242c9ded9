package unit

import (
	"strings"
	"sync"
)

// Colour is the colour of a wire: its base and the stripe on it, as full English names ("red", "white"). A name that is
// not known is kept as it was typed. Empty is not known, or no stripe.
type Colour struct {
	Base, Tracer string
}

// colour is one colour with its names.
type colour struct {
	name   string
	code   string   // IEC 60757
	german string   // DIN 72551-7
	others []string // more names and codes with one meaning only
}

// The colours of wires. Source: codes IEC 60757:1983; German codes DIN 72551-7 (from memory); other names and short
// codes from common practice, those only that mean one colour wherever they are used.
var colours = []colour{
	{"black", "BK", "sw", []string{"blk", "schwarz"}},
	{"brown", "BN", "br", []string{"brn", "braun"}},
	{"red", "RD", "rt", []string{"r", "rot"}},
	{"orange", "OG", "or", []string{"o", "orn", "org", "orange"}},
	{"yellow", "YE", "ge", []string{"y", "yel", "ylw", "yl", "gelb"}},
	{"green", "GN", "gn", []string{"g", "grn", "grün", "gruen"}},
	{"blue", "BU", "bl", []string{"blu", "blau"}},
	{"violet", "VT", "vi", []string{"v", "vio", "vlt", "purple", "pur", "ppl", "violett", "lila"}},
	{"grey", "GY", "gr", []string{"gry", "gray", "slate", "grau"}},
	{"white", "WH", "ws", []string{"w", "wht", "weiss", "weiß"}},
	{"pink", "PK", "rs", []string{"p", "pnk", "rosa"}},
	{"gold", "GD", "", []string{"gld"}},
	{"turquoise", "TQ", "", []string{"trq", "türkis", "tuerkis"}},
	{"silver", "SR", "", []string{"slv", "silber"}},
}

// palette finds colours by what people write.
type palette struct {
	names, codes map[string]string // by what is written; by name
	// germanOnly holds the codes that mean another colour, or none, outside German charts: bl may be black or blue, gr green
	// or grey. They count only beside a name or code that is German without doubt.
	germanOnly map[string]string
	germanSure map[string]bool
}

var byWord = sync.OnceValue(func() palette {
	p := palette{map[string]string{}, map[string]string{}, map[string]string{"bl": "blue", "gr": "grey", "rs": "pink"}, map[string]bool{}}
	for _, c := range colours {
		p.codes[c.name] = c.code
		for _, key := range append([]string{c.name, strings.ToLower(c.code), c.german}, c.others...) {
			if key != "" && p.germanOnly[key] == "" {
				p.names[key] = c.name
			}
		}
	}
	for _, key := range []string{"sw", "rt", "ge", "ws", "schwarz", "rot", "gelb", "grün", "gruen", "blau", "violett", "grau", "weiss", "weiß", "braun"} {
		p.germanSure[key] = true
	}
	return p
})

// ColourNames lists the full names in the order of IEC 60757.
func ColourNames() []string {
	names := make([]string, len(colours))
	for i, c := range colours {
		names[i] = c.name
	}
	return names
}

// ColourCode returns the two letters of IEC 60757 for a full name ("red": "RD"), or the text itself if it is not one.
func ColourCode(name string) string {
	if code, ok := byWord().codes[name]; ok {
		return code
	}
	return name
}

// ParseColour reads a wire colour: "red", "RD", "rd/wht", "R-W", "rot/weiss", "yellow/green", "red with white", "GNYE".
// The first colour is the base, the second the tracer. What is not known is kept as typed, and a letter that means two
// colours (B) stays a letter; the tracer is never dropped. Blank gives the zero Colour.
func ParseColour(text string) Colour {
	text = strings.Join(strings.Fields(text), " ")
	base, tracer := splitColour(text)
	german := byWord().germanSure[strings.ToLower(base)] || byWord().germanSure[strings.ToLower(tracer)]
	return Colour{colourName(base, german), colourName(tracer, german)}
}

func colourName(part string, german bool) string {
	key := strings.ToLower(part)
	if german && byWord().germanOnly[key] != "" {
		return byWord().germanOnly[key]
	}
	if name, ok := byWord().names[key]; ok {
		return name
	}
	return part
}

// splitColour parts base and tracer at the first separator, at a space between two known colours, or between two codes
// of IEC 60757 written as one.
func splitColour(text string) (base, tracer string) {
	for _, sep := range []string{"/", " with ", " mit ", " on ", ";", ",", "-", "–"} {
		if i := strings.Index(strings.ToLower(text), sep); i > 0 && i+len(sep) < len(text) {
			base, tracer = strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+len(sep):])
			if sep == " on " { // "white on red": a white stripe on red
				base, tracer = tracer, base
			}
			if base != "" && tracer != "" {
				return base, tracer
			}
		}
	}
	if i := strings.IndexByte(text, ' '); i > 0 && known(text[:i]) && known(text[i+1:]) {
		return text[:i], text[i+1:]
	}
	if len(text) == 4 && isCode(text[:2]) && isCode(text[2:]) {
		return text[:2], text[2:]
	}
	return text, ""
}

func known(part string) bool {
	key := strings.ToLower(part)
	return byWord().names[key] != "" || byWord().germanOnly[key] != ""
}

func isCode(part string) bool {
	for _, c := range colours {
		if strings.EqualFold(c.code, part) {
			return true
		}
	}
	return false
}

// String is base/tracer in full names: "red/white".
func (c Colour) String() string {
	if c.Tracer == "" {
		return c.Base
	}
	return c.Base + "/" + c.Tracer
}

// Code is base/tracer in the letters of IEC 60757: "RD/WH". Names it has no letters for stay as they are.
func (c Colour) Code() string {
	return Colour{ColourCode(c.Base), ColourCode(c.Tracer)}.String()
}
