package sheet

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/route"
)

// Format is how a list or drawing is written.
type Format string

// The formats.
const (
	CSV  Format = "csv"
	JSON Format = "json"
	PDF  Format = "pdf"
	SVG  Format = "svg"
	ZIP  Format = "zip"  // of tags: a PNG for each label
	HTML Format = "html" // of the record: one page that needs nothing else
)

// Kind is a list or drawing that can be made of a build.
type Kind struct {
	Name    string // as typed on the command line
	Title   string // as printed
	Formats []Format
	Heavy   bool // made by package paper in every format
}

// Options is what the writers need besides the build. Written as JSON it is what an Order carries.
type Options struct {
	Date     string // printed on every page, as given; empty is left out
	Revision string // the same

	Font   Font `json:"-"` // for PDF and for planning tags
	Letter bool // PDF lists on Letter and not on A4

	Semicolon bool // CSV: ";" between cells, as spreadsheets expect where the comma is the decimal sign
	BOM       bool // CSV: a byte order mark, by which spreadsheets know UTF-8

	Thorough bool // bundles are packed as well as it goes, which takes seconds a run

	ByBranch bool // cut list: grouped by branch and not by size and colour

	Tags  TagOptions
	Board BoardOptions

	Graph *route.Graph `json:"-"` // of the build in this state, if it is there already; nil makes one
}

// BoardOptions is what the board is laid on and printed on. The zero value is a bench of 2400 by 1200 mm on A4.
type BoardOptions struct {
	Width, Height float64 // of the bench, mm; 0 is the usual one
	Paper         Paper
	Bar           float64 // what a bar of 100 mm measured on this printer, mm; 0 is 100
}

// Paper is what a board is printed on.
type Paper string

// The papers.
const (
	A4         Paper = ""
	A3         Paper = "a3"
	Letter     Paper = "letter"
	OneLongOne Paper = "long" // one page as large as the bench
)

// LongestPage is the longest side of a page that every program which reads PDF can show, in mm: 14 400 units of 1/72 inch.
// Source: ISO 32000-1, Annex C.
const LongestPage = 5080

// Font is the type that PDF is set in: two TrueType files. They are files of the site, not part of the program. Planning
// tags reads from them how wide a text is.
type Font struct {
	Regular, Bold []byte
}

// What a caller of Write may have to say to a person.
var (
	ErrKind   = errors.New("sheet: no such list or drawing")
	ErrFormat = errors.New("sheet: not a format of this list or drawing")
	ErrFont   = errors.New("sheet: paper needs the font files")
)

// maker makes one kind: it has a table, or it draws an SVG.
type maker struct {
	Kind
	table func(*harness.Build, Options) (Table, error)
	draw  func(io.Writer, *harness.Build, Options) error
}

var (
	tableFormats   = []Format{CSV, JSON, PDF}
	drawingFormats = []Format{PDF, SVG}
)

// Kinds lists every list and drawing, in the order a person is offered them.
func Kinds() []Kind {
	var out []Kind
	for _, m := range makers() {
		out = append(out, m.Kind)
	}
	return out
}

func find(kind string) (maker, error) {
	var names []string
	for _, m := range makers() {
		if m.Name == kind {
			return m, nil
		}
		names = append(names, m.Name)
	}
	return maker{}, fmt.Errorf("%w: %q; there are %s", ErrKind, kind, strings.Join(names, ", "))
}

// TableOf returns the table of a kind that has one, as the screens show it.
func TableOf(kind string, b *harness.Build, o Options) (Table, error) {
	m, err := find(kind)
	if err != nil {
		return Table{}, err
	}
	if m.table == nil {
		return Table{}, fmt.Errorf("%w: %q is no table", ErrFormat, kind)
	}
	return m.table(b, o)
}

// Write writes a list or drawing in any format but PDF, which package paper writes, as it does all of a heavy kind. Nothing is written if the error is
// ErrKind, ErrFormat, ErrFont or tag.ErrTooSmall.
func Write(w io.Writer, kind string, format Format, b *harness.Build, o Options) error {
	m, err := find(kind)
	if err != nil {
		return err
	}
	if !slices.Contains(m.Formats, format) {
		return fmt.Errorf("%w: %s as %q; there are %v", ErrFormat, kind, format, m.Formats)
	}
	if format == PDF || format == ZIP || m.Heavy {
		return fmt.Errorf("%w: %s as %s is written by package paper", ErrFormat, kind, format)
	}
	if m.draw != nil {
		return m.draw(w, b, o)
	}
	t, err := m.table(b, o)
	if err != nil {
		return err
	}
	return t.Write(w, format, b, o)
}
