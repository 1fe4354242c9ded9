package table

import (
	"errors"
	"fmt"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// What is read at most. Source: our choice; a large controller has 200 pins, and a slip of the finger picks a photo album.
const (
	MaxBytes   = 4 << 20
	MaxRows    = 5000
	MaxColumns = 40
	MaxCell    = 300 // signs

	maxLine = MaxColumns * MaxCell // bytes
)

// Why a source is refused whole.
var (
	ErrEmpty   = errors.New("nothing in it")
	ErrTooBig  = errors.New("too big")
	ErrNotText = errors.New("not a text")
)

// NoHeading as Options.Heading says that the list has no headings.
const NoHeading = -1

// Options are what a person has set instead of a guess. The zero value guesses everything.
type Options struct {
	Encoding  Encoding
	Separator Separator
	Heading   int         // number of the row of headings, NoHeading, or 0
	Columns   []Field     // by column from the left; nil to guess. With Words and Lines also the order in which cells come
	Unit      unit.System // of a bare length where no heading gives one; zero is millimetres

	// What a person has said of single rows, by number. They are kept through every other change of the options that leaves
	// the rows as they are split.
	Mended map[int]map[int]string // by row and column from 0: the cell as it should be; "" is not known
	Shared map[int]string         // a second wire in a terminal that has one, and the reason
	Out    map[int]bool           // left out
}

// Why a column has its field.
type Why string

// The reasons.
const (
	ByHeading Why = "heading"
	ByContent Why = "content"
	ByPerson  Why = "chosen"
)

// Column is one column and what it is taken for.
type Column struct {
	Heading string
	Field   Field
	Unit    string // of bare numbers, from the heading: "mm", "in", "AWG", "mm2"
	Why     Why    // empty where nothing was found out
}

// Kind is what a row of the source is.
type Kind string

// The kinds of row. Only Good rows are pins to take; Bad rows become good when a cell is mended or left out.
const (
	Good    Kind = "good"
	Bad     Kind = "bad"
	Blank   Kind = "blank"
	Title   Kind = "title"         // a text over the list or over a group of rows
	Heading Kind = "heading"       // the headings, also where a page repeats them
	Page    Kind = "page"          // a page number, or a text that each page repeats
	Section Kind = "section"       // names the connector of the rows below
	Total   Kind = "total"         // a sum
	LeftOut Kind = "left out"      // by the person
	Part    Kind = "part of a row" // belongs to the row Of
)

// Row is one row of the source. Numbers begin at 1 and have no gap.
type Row struct {
	Number int
	Line   int // its first line in the text; a cell in quotes may hold several
	Is     Kind
	Of     int      // of a Part: the row it belongs to
	Cells  []string // by column, as in the source; of a Part and others that are no pins, as they were split
	Pin    Pin      // of a Good or Bad row, with what could be read
	Faults []Fault

	quoteOpen bool
}

// Pin is what a row says of one pin. Empty is "not said".
type Pin struct {
	_          [0]func() // never compared: that saves a function for each length of a list
	Connector  string
	Cavity     string
	Legend     string // as printed on the lead
	Function   string
	Signal     harness.Signal
	Direction  harness.Direction
	Size       unit.Size
	Colour     unit.Colour
	Length     *unit.Length // nil is not known
	Group      string       // leads with the same text are twisted or shielded together
	Insulation string
	Note       string
	Shared     string // why the terminal has two wires; empty if it has one
}

// Result is a source, read.
type Result struct {
	Encoding  Encoding
	Separator Separator
	Heading   int // number of the row of headings, 0 if there is none
	Columns   []Column
	Rows      []Row
	Notes     []string // what was guessed or left out, for people
}

// Pins returns the pins of the good rows, in the order of rows.
func (r *Result) Pins() []Pin {
	var pins []Pin
	for _, row := range r.Rows {
		if row.Is == Good {
			pins = append(pins, row.Pin)
		}
	}
	return pins
}

// Count returns how many rows are of a kind.
func (r *Result) Count(is Kind) (n int) {
	for _, row := range r.Rows {
		if row.Is == is {
			n++
		}
	}
	return n
}

// Read reads a pin list. The result has every row of the source in order, and is the same for the same bytes and options.
// The error wraps ErrEmpty, ErrTooBig or ErrNotText; faults of rows are no errors. Cost: linear in the bytes, and for text
// without separators in words × columns.
func Read(data []byte, o Options) (*Result, error) {
	if len(data) > MaxBytes {
		return nil, fmt.Errorf("table: %d bytes: %w: more than %d MB", len(data), ErrTooBig, MaxBytes>>20)
	}
	if name := foreign(data); name != "" {
		return nil, fmt.Errorf("table: %w: it is %s; save it as CSV, or copy the cells and paste them", ErrNotText, name)
	}
	text, encoding := decode(data, o.Encoding)
	switch {
	case strings.TrimSpace(text) == "":
		return nil, fmt.Errorf("table: %w", ErrEmpty)
	case strings.Count(text, "\x00") > len(text)/20:
		return nil, fmt.Errorf("table: %w: it holds many zero bytes", ErrNotText)
	}
	all := lines(text)
	if n := len(all); n > 2*MaxRows {
		return nil, fmt.Errorf("table: %d lines: %w: more than %d", n, ErrTooBig, 2*MaxRows)
	}
	for i, line := range all {
		if len(line) > maxLine {
			return nil, fmt.Errorf("table: line %d with %d bytes: %w: more than %d", i+1, len(line), ErrTooBig, maxLine)
		}
	}
	rd := &reader{options: o, result: &Result{Encoding: encoding, Separator: o.Separator}}
	if rd.result.Separator == "" {
		rd.result.Separator = rd.sniffSeparator(text)
	}
	rd.records = split(text, rd.result.Separator)
	if len(rd.records) > MaxRows {
		return nil, fmt.Errorf("table: %d rows: %w: more than %d", len(rd.records), ErrTooBig, MaxRows)
	}
	for _, r := range rd.records {
		if len(r.cells) > MaxColumns && rd.result.Separator != Words {
			return nil, fmt.Errorf("table: row with %d cells: %w: more than %d", len(r.cells), ErrTooBig, MaxColumns)
		}
	}
	rd.trimPipes()
	rd.findHeading()
	rd.findColumns()
	rd.sort()
	rd.place()
	rd.pins()
	rd.judge()
	rd.explain()
	return rd.result, nil
}

// reader holds a list while it is read.
type reader struct {
	options Options
	result  *Result
	records []record
	heading int // index of the row of headings, -1 for none
	span    int // how many rows the headings take; with Lines as many as there are columns
	section string
}

func (rd *reader) loose() bool { return rd.result.Separator.loose() }

// trimPipes takes away the empty first and last column that a table framed with pipes has.
func (rd *reader) trimPipes() {
	if rd.result.Separator != Pipe {
		return
	}
	framed := 0
	for _, r := range rd.records {
		if !r.blank() && (strings.TrimSpace(r.cells[0]) != "" || len(r.cells) < 3) {
			return
		}
		if n := len(r.cells); n > 2 && strings.TrimSpace(r.cells[n-1]) == "" {
			framed++
		}
	}
	for i, r := range rd.records {
		if n := len(r.cells); n > 2 {
			if framed > 0 && strings.TrimSpace(r.cells[n-1]) == "" {
				r.cells = r.cells[:n-1]
			}
			rd.records[i].cells = r.cells[1:]
		}
	}
}

// explain says what was guessed and what is left out.
func (rd *reader) explain() {
	r := rd.result
	note := func(format string, args ...any) { r.Notes = append(r.Notes, fmt.Sprintf(format, args...)) }
	if rd.options.Encoding == "" && r.Encoding != UTF8 {
		note("the text was taken as %s; choose another alphabet if signs look wrong", r.Encoding)
	}
	if rd.options.Separator == "" && r.Separator.loose() {
		note("no sign between cells: cells were told apart by %s", r.Separator)
	}
	if r.Heading == 0 && rd.options.Heading == 0 {
		note("no headings were found; the columns were told by what is in them")
	}
	cavity := false
	for i, c := range r.Columns {
		cavity = cavity || c.Field == Cavity || c.Field == ConnectorCavity
		switch {
		case c.Field == Unused && c.Heading != "":
			note("column %d (%s) is not used", i+1, short(c.Heading))
		case c.Field == Unused:
			note("column %d is not used", i+1)
		case c.Why == ByContent:
			note("column %d was taken for %s by what is in it", i+1, c.Field)
		}
	}
	if !cavity {
		note("no column was found for the cavity; choose it")
	}
}
