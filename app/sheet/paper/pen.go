package paper

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"loomwright/app/sheet"
)

// pen writes a PDF in millimetres from the top left. It keeps the first error, as the library does.
type pen struct {
	*fpdf.Fpdf
}

// family is what the type is called inside the file.
const family = "sheet"

// newPages returns a pen for pages of this size in millimetres. Nothing in the file depends on when or where it is
// made: the date is the one of the options, and tables of the file are sorted. The error is sheet.ErrFont.
func newPages(width, height float64, o sheet.Options) (p *pen, err error) {
	for _, file := range [][]byte{o.Font.Regular, o.Font.Bold} {
		if len(file) < 12 || !bytes.Equal(file[:4], []byte{0, 1, 0, 0}) {
			return nil, fmt.Errorf("%w: %d bytes that are not TrueType", sheet.ErrFont, len(file))
		}
	}
	defer func() {
		if r := recover(); r != nil { // the library indexes into the file without looking
			p, err = nil, fmt.Errorf("%w: %v", sheet.ErrFont, r)
		}
	}()
	pdf := fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: width, Ht: height}})
	pdf.SetCatalogSort(true)
	made := dateOf(o.Date)
	pdf.SetCreationDate(made)
	pdf.SetModificationDate(made)
	pdf.SetProducer("Loomwright", true)
	pdf.SetMargins(0, 0, 0)
	pdf.SetAutoPageBreak(false, 0)
	pdf.SetCellMargin(0)
	pdf.AddUTF8FontFromBytes(family, "", o.Font.Regular)
	pdf.AddUTF8FontFromBytes(family, "B", o.Font.Bold)
	pdf.SetFont(family, "", 8)
	if err := pdf.Error(); err != nil {
		return nil, fmt.Errorf("%w: %w", sheet.ErrFont, err)
	}
	return &pen{Fpdf: pdf}, nil
}

// dateOf returns the date in a text that begins with one, else the first day of 2000: a PDF must carry a date, and
// this one is plainly not when it was made.
func dateOf(text string) time.Time {
	if len(text) >= len(time.DateOnly) {
		if t, err := time.Parse(time.DateOnly, text[:len(time.DateOnly)]); err == nil {
			return t
		}
	}
	return time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
}

func (p *pen) font(points float64, bold bool) {
	style := ""
	if bold {
		style = "B"
	}
	p.SetFont(family, style, points)
}

// width is how long a text is in millimetres.
func (p *pen) width(text string, points float64, bold bool) float64 {
	p.font(points, bold)
	return p.GetStringWidth(sheet.Printable(text))
}

// write sets one line; x and y are the left end of its base line.
func (p *pen) write(x, y float64, text string, points float64, bold bool) {
	if text == "" {
		return
	}
	p.font(points, bold)
	p.Text(x, y, sheet.Printable(text))
}

// writeRight is write with the right end of the line.
func (p *pen) writeRight(x, y float64, text string, points float64, bold bool) {
	p.write(x-p.width(text, points, bold), y, text, points, bold)
}

// flush writes the finished file.
func (p *pen) flush(w io.Writer) error {
	if err := p.Output(w); err != nil {
		return fmt.Errorf("paper: %w", err)
	}
	return nil
}
