package sheet

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"

	"codeberg.org/go-pdf/fpdf"
)

// pen writes a PDF in millimetres from the top left. It keeps the first error, as the library does.
type pen struct {
	*fpdf.Fpdf
}

const (
	family  = "sheet"
	perInch = 72.0 // points, of PDF
	point   = 25.4 / perInch
)

// newPen returns a pen without a page, for measuring. The error is ErrFont.
func newPen(f Font) (*pen, error) { return newPages(f, 210, 297, Options{}) }

// newPages returns a pen for pages of this size in millimetres. Nothing in the file depends on when or where it is
// made: the date is the one of the options, and tables of the file are sorted.
func newPages(f Font, width, height float64, o Options) (p *pen, err error) {
	for _, file := range [][]byte{f.Regular, f.Bold} {
		if len(file) < 12 || !bytes.Equal(file[:4], []byte{0, 1, 0, 0}) {
			return nil, fmt.Errorf("%w: %d bytes that are not TrueType", ErrFont, len(file))
		}
	}
	defer func() {
		if r := recover(); r != nil { // the library indexes into the file without looking
			p, err = nil, fmt.Errorf("%w: %v", ErrFont, r)
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
	pdf.AddUTF8FontFromBytes(family, "", f.Regular)
	pdf.AddUTF8FontFromBytes(family, "B", f.Bold)
	pdf.SetFont(family, "", 8)
	if err := pdf.Error(); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrFont, err)
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
	return p.GetStringWidth(printable(text))
}

// write sets one line; x and y are the left end of its base line.
func (p *pen) write(x, y float64, text string, points float64, bold bool) {
	if text == "" {
		return
	}
	p.font(points, bold)
	p.Text(x, y, printable(text))
}

// writeRight is write with the right end of the line.
func (p *pen) writeRight(x, y float64, text string, points float64, bold bool) {
	p.write(x-p.width(text, points, bold), y, text, points, bold)
}

// flush writes the finished file.
func (p *pen) flush(w io.Writer) error {
	if err := p.Output(w); err != nil {
		return fmt.Errorf("sheet: PDF: %w", err)
	}
	return nil
}

// printable replaces what a font has no sign for in any case: signs beyond the first plane become a box, and those
// that cannot be seen are left out.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r > 0xffff:
			return '□'
		case r == ' ', r == '\u00a0':
			return ' '
		case !unicode.IsGraphic(r) || unicode.Is(unicode.Zs, r):
			return -1
		}
		return r
	}, text)
}

// wrap breaks a text into lines no wider than width, at spaces and behind / and dashes, and inside a word only where it
// alone is too wide, which torn reports. An empty text is one empty line. The width of a text is the sum of those of
// its signs, as the fonts have no kerning. Cost: linear in the text.
func wrap(text string, width float64, measure func(string) float64) (lines []string, torn bool) {
	signs := []rune(text)
	known := map[rune]float64{}
	from, end, used := 0, 0, 0.0 // the line begins at from, may end at end (0: nowhere yet), and is used wide
	cut := func(at int) {
		lines = append(lines, strings.TrimRight(string(signs[from:at]), " \n"))
		from, end, used = at, 0, 0
	}
	for i := 0; i < len(signs); i++ {
		r := signs[i]
		space := r == ' ' || r == '\n'
		if space && i == from {
			from++
			continue
		}
		w, ok := known[r]
		if !ok {
			w = measure(string(r))
			known[r] = w
		}
		used += w
		switch {
		case used <= width || space || i == from:
		case end > from:
			cut(end)
			i = from - 1
			continue
		default:
			torn = true
			cut(i)
			i--
			continue
		}
		if space || r == '/' || r == '-' {
			end = i + 1
		}
	}
	if from < len(signs) || len(lines) == 0 {
		cut(len(signs))
	}
	return lines, torn
}
