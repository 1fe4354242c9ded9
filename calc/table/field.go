package table

import (
	"strings"
	"sync"
)

// Field is what a column holds.
type Field string

// The fields of a pin list.
const (
	Unused          Field = ""
	Connector       Field = "connector"
	Cavity          Field = "cavity"
	ConnectorCavity Field = "connector and cavity" // "A-12": both in one cell
	Legend          Field = "printed legend"
	Function        Field = "function"
	SignalField     Field = "signal"
	DirectionField  Field = "direction"
	Size            Field = "size"
	Colour          Field = "colour" // base and tracer in one cell
	Base            Field = "base colour"
	Tracer          Field = "tracer"
	Length          Field = "length"
	Group           Field = "twist or shield group"
	Insulation      Field = "insulation"
	Note            Field = "note"
)

// Fields lists them in the order a person is offered them.
var Fields = []Field{Connector, Cavity, ConnectorCavity, Legend, Function, SignalField, DirectionField, Size, Colour, Base,
	Tracer, Length, Group, Insulation, Note, Unused}

// headings holds the words of a heading for each field, in English and German, folded as foldHeading does.
//
// Source: common practice.
var headings = []struct {
	field Field
	words string
}{
	{ConnectorCavity, "connector pin|connector cavity|plug pin|conn pin|stecker pin|connector and pin|connector and cavity"},
	{Connector, "connector|connector name|conn|plug|header|socket|housing|connector id|stecker|steckverbinder"},
	{Cavity, "cavity|cav|pin|pins|pin no|pin nr|pin number|pin #|#|no|nr|way|terminal|contact|position|pos|cavity no|cavity number|ecu pin|controller pin|" +
		"kammer|kontakt|klemme|pin nummer|stift"},
	{Legend, "legend|printed legend|printed|print|printed text|printed on wire|marking|wire marking|label|wire label|wire print|imprint|aufdruck|beschriftung"},
	{Function, "function|assigned function|functions|pin function|description|desc|signal name|name|use|used for|purpose|circuit|assignment|signal|" +
		"funktion|bezeichnung|beschreibung|belegung|default function"},
	{SignalField, "signal kind|signal type|type|pin type|kind|io type|signal class|signal art|art|typ|signaltyp"},
	{DirectionField, "direction|dir|in out|io|i o|input output|richtung"},
	{Size, "size|gauge|awg|ga|wire size|wire gauge|cross section|cross sectional area|csa|mm2|mm²|sq mm|sqmm|section|conductor|conductor size|querschnitt|wire area|area"},
	{Colour, "colour|color|wire colour|wire color|col|clr|colours|colors|lead colour|lead color|farbe|aderfarbe|base tracer|colour base tracer|color base tracer"},
	{Base, "base|base colour|base color|main colour|main color|primary colour|primary color|colour 1|color 1|grundfarbe"},
	{Tracer, "tracer|tracer colour|tracer color|stripe|stripe colour|stripe color|trace|second colour|second color|secondary colour|secondary color|colour 2|color 2|kennfarbe"},
	{Length, "length|len|lead length|supplied length|wire length|cut length|loom length|länge|laenge|leitungslänge"},
	{Group, "twist|shield|screen|twist group|shield group|twisted with|twist shield|pair|group|twisted pair|gruppe|verdrillt"},
	{Insulation, "insulation|insulation class|temp|temperature|wire type|temp class|temperature class|isolation"},
	{Note, "note|notes|remark|remarks|comment|comments|info|bemerkung|bemerkungen|notiz|kommentar|hinweis"},
}

// headingField is headings by word. It is made when the first list is read, as most starts of the app read none.
var headingField = sync.OnceValue(func() map[string]Field {
	fields := map[string]Field{}
	for _, f := range Fields {
		if f != Unused {
			fields[string(f)] = f
		}
	}
	for _, h := range headings {
		for _, w := range strings.Split(h.words, "|") {
			fields[w] = h.field
		}
	}
	return fields
})

// headingUnit is a unit as it stands in a heading, in brackets or after the word; "" if it is none.
func headingUnit(fold string) string {
	switch fold {
	case "mm", "millimetres", "millimeters":
		return "mm"
	case "cm", "m", "in", "ft":
		return fold
	case "metres", "meters":
		return "m"
	case "inch", "inches":
		return "in"
	case "feet":
		return "ft"
	case "awg", "ga", "gauge":
		return "AWG"
	case "mm2", "mm²", "sq mm", "sqmm", "qmm":
		return "mm2"
	}
	return ""
}

// foldHeading returns the words of a heading in lower case with one space between them; signs part words.
func foldHeading(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return strings.ContainsRune(" \t\r\n\u00a0.,:;/()[]{}-_–+&*'\"", r)
	}), " ")
}

// heading reads a heading: the field it names, and the unit it gives to bare numbers ("mm", "AWG"); Unused if it names
// none.
func heading(cell string) (Field, string) {
	fold := foldHeading(cell)
	if fold == "" || len(fold) > 60 {
		return Unused, ""
	}
	unit := headingUnit(fold)
	if f, ok := headingField()[fold]; ok {
		return f, unit
	}
	// "Length (mm)", "Wire size AWG": the unit goes, the rest is a heading.
	parts := strings.Split(fold, " ")
	for n := 1; n <= 2 && n < len(parts); n++ {
		tail := strings.Join(parts[len(parts)-n:], " ")
		if u := headingUnit(tail); u != "" {
			if f, ok := headingField()[strings.Join(parts[:len(parts)-n], " ")]; ok {
				return f, u
			}
		}
	}
	return Unused, ""
}
