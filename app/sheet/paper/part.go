package paper

import (
	"fmt"
	"io"

	"codeberg.org/go-pdf/fpdf"

	"loomwright/app/sheet"
	"loomwright/app/sheet/flat"
	"loomwright/calc/harness"
)

// part is a list or drawing that is laid out on pages and not drawn yet.
type part struct {
	title      string
	wide, high float64 // of its pages, mm
	pages      int
	foot       string            // at the left of the last line
	draw       func(n int) error // the page n, from 0, which is there and empty
}

// paperSize is that of a sheet of paper, upright.
func paperSize(o sheet.Options) (wide, high float64) {
	if o.Letter {
		return 215.9, 279.4
	}
	return 210, 297
}

// page begins a page of a part, with its foot: which page it is, of how many.
func (p *pen) page(x part, n, of int) {
	p.AddPageFormat("P", fpdf.SizeType{Wd: x.wide, Ht: x.high})
	foot := x.high - edge + 4
	p.write(edge, foot, x.foot, 7, false)
	p.writeRight(x.wide-edge, foot, fmt.Sprintf("page %d of %d", n, of), 7, false)
}

// writePart writes a part as a file of its own.
func writePart(w io.Writer, pdf *pen, x part, title string, told Progress) error {
	pdf.SetTitle(title, true)
	for n := range x.pages {
		told.page(n+1, x.pages)
		pdf.page(x, n+1, x.pages)
		if err := x.draw(n); err != nil {
			return err
		}
	}
	return pdf.flush(w)
}

// tableOf is sheet.TableOf with the tables that are made here.
func tableOf(kind string, b *harness.Build, o sheet.Options) (sheet.Table, error) {
	if kind == "benchlist" {
		return flat.BenchList(b, o)
	}
	return sheet.TableOf(kind, b, o)
}

// partOf lays out a kind: a table, or one of the drawings.
func partOf(pdf *pen, kind string, b *harness.Build, o sheet.Options) (part, error) {
	switch kind {
	case "route":
		return routePart(pdf, b, o), nil
	case "sections":
		return sectionsPart(pdf, b, o), nil
	case "strips":
		wide, high := paperSize(o)
		pages := flat.Strips(b, o, wide, high)
		return part{title: "Panel strips", wide: wide, high: high, pages: max(1, len(pages)), foot: "Loomwright", draw: func(n int) error {
			if len(pages) == 0 {
				pdf.write(edge, edge+5, "No panel has a part with a position yet.", 9, false)
				return nil
			}
			pdf.flat(pages[n], 0, 0, 1)
			return nil
		}}, nil
	case "schematic":
		wide, high := paperSize(o)
		d := flat.Schematic(b, o, wide, high)
		return part{title: "Schematic", wide: wide, high: high, pages: 1, foot: "Loomwright · " + lengthsIn(b), draw: func(int) error {
			pdf.flat(d, 0, 0, 1)
			return nil
		}}, nil
	}
	t, err := tableOf(kind, b, o)
	if err != nil {
		return part{}, err
	}
	return tablePart(pdf, t, b, o), nil
}
