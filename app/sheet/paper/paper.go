// Package paper writes the lists and drawings of package sheet as PDF. It is a package of its own because the library
// behind it weighs as much as many pages of the app: in the browser it is a program of its own, which runs only while a
// file is being made.
package paper

import (
	"io"

	"loomwright/app/sheet"
	"loomwright/app/sheet/flat"
	"loomwright/calc/harness"
)

// Progress is told before each page is drawn, from 1. It may be nil.
type Progress func(page, pages int)

func (p Progress) page(n, of int) {
	if p != nil {
		p(n, of)
	}
}

// Write writes a list or drawing as PDF, set in the type of the options. The same build and options give the same bytes.
// Nothing is written if there is an error: sheet.ErrKind, sheet.ErrFormat, sheet.ErrFont, sheet.ErrNoTags and
// tag.ErrTooSmall are those that a person can do something about.
func Write(w io.Writer, kind string, b *harness.Build, o sheet.Options, told Progress) error {
	switch kind {
	case "tags":
		return writeTags(w, b, o, told)
	case "record":
		return writeRecord(w, b, o, told)
	case "board":
		return writeBoard(w, b, o, told)
	}
	wide, high := paperSize(o)
	pdf, err := newPages(wide, high, o)
	if err != nil {
		return err
	}
	x, err := partOf(pdf, kind, b, o)
	if err != nil {
		return err
	}
	return writePart(w, pdf, x, sheet.Title(b)+", "+x.title, told)
}

// WriteAs is Write in any format that a kind has.
func WriteAs(w io.Writer, kind string, format sheet.Format, b *harness.Build, o sheet.Options, told Progress) error {
	switch {
	case format == sheet.PDF:
		return Write(w, kind, b, o, told)
	case kind == "record" && format == sheet.HTML:
		return writeHTML(w, b, o, told)
	case kind == "tags" && format == sheet.ZIP:
		return writePictures(w, b, o, told)
	case kind == "board" && format == sheet.JSON:
		return answerBoard(w, b, o)
	case kind == "board" && format == sheet.SVG:
		x, err := flat.Of(b, o)
		if err != nil {
			return err
		}
		return x.Draw(o).SVG(w)
	case kind == "schematic" && format == sheet.SVG:
		wide, high := paperSize(o)
		return flat.Schematic(b, o, wide, high).SVG(w)
	case kind == "benchlist" && (format == sheet.CSV || format == sheet.JSON):
		t, err := flat.BenchList(b, o)
		if err != nil {
			return err
		}
		return t.Write(w, format, b, o)
	}
	return sheet.Write(w, kind, format, b, o)
}
