package sheet

import (
	"errors"
	"fmt"

	"loomwright/calc/unit"
)

// Grid is a sheet of labels: where each label lies on the page. All of it can be edited.
type Grid struct {
	Name         string // "a4-3x8"; "custom" when edited
	Title        string
	PageW, PageH unit.Length
	Cols, Rows   int
	LabelW       unit.Length
	LabelH       unit.Length
	Left, Top    unit.Length // of the first label
	PitchX       unit.Length // from one label's left edge to the next; not below LabelW
	PitchY       unit.Length
}

const tenth = unit.Millimetre / 10

// Grids lists the sheets that are known, in the order a person is offered them.
//
// Source: common practice for label sheets. A4 3 × 7 and Letter 3 × 10 are published geometry; the others are from
// memory, centred on the page: print on plain paper first and hold it against the sheet.
func Grids() []Grid {
	a4 := Grid{PageW: 210 * unit.Millimetre, PageH: 297 * unit.Millimetre}
	letter := Grid{PageW: 17 * unit.Inch / 2, PageH: 11 * unit.Inch}
	tape := func(mm int64) Grid {
		g := SingleLabel(tapeLabel, unit.Length(mm)*unit.Millimetre)
		g.Name, g.Title = fmt.Sprintf(tapePrefix+"%d", mm), fmt.Sprintf("Tape of %d mm, labels of %d mm", mm, int64(tapeLabel/unit.Millimetre))
		return g
	}
	return []Grid{
		a4.with("a4-3x8", "A4, 3 × 8 of 63.5 × 33.9 mm", 3, 8, 635*tenth, 339*tenth, 25*tenth),
		a4.with("a4-3x7", "A4, 3 × 7 of 63.5 × 38.1 mm", 3, 7, 635*tenth, 381*tenth, 25*tenth).at(72*tenth, 1515*tenth/10),
		a4.with("a4-5x13", "A4, 5 × 13 of 38.1 × 21.2 mm", 5, 13, 381*tenth, 212*tenth, 25*tenth),
		letter.with("letter-3x10", "Letter, 3 × 10 of 2 5/8 × 1 in", 3, 10, 21*unit.Inch/8, unit.Inch, unit.Inch/8),
		letter.with("letter-4x20", "Letter, 4 × 20 of 1 3/4 × 1/2 in", 4, 20, 7*unit.Inch/4, unit.Inch/2, 5*unit.Inch/16),
		tape(6), tape(9), tape(12), tape(18), tape(24),
	}
}

// tapeLabel is how long a label on a tape is: a flag round a wire with two faces; one for a bundle is as long as that needs.
// Source: our choice.
const tapeLabel = 60 * unit.Millimetre

// tapePrefix begins the names of tapes.
const tapePrefix = "tape-"

// GridNamed returns a known sheet.
func GridNamed(name string) (Grid, bool) {
	for _, g := range Grids() {
		if g.Name == name {
			return g, true
		}
	}
	return Grid{}, false
}

// SingleLabel returns a page that is one label, for printers of label rolls and for the drawing of one tag.
func SingleLabel(width, height unit.Length) Grid {
	g := Grid{PageW: width, PageH: height}
	return g.with("single", "One label a page", 1, 1, width, height, 0)
}

// with returns the sheet with a centred grid; the gap is between columns, rows touch.
func (g Grid) with(name, title string, cols, rows int, width, height, gap unit.Length) Grid {
	g.Name, g.Title, g.Cols, g.Rows = name, title, cols, rows
	g.LabelW, g.LabelH, g.PitchX, g.PitchY = width, height, width+gap, height
	g.Left = (g.PageW - unit.Length(cols)*g.PitchX + gap) / 2
	g.Top = (g.PageH - unit.Length(rows)*g.PitchY) / 2
	return g
}

func (g Grid) at(left, top unit.Length) Grid {
	g.Left, g.Top = left, top
	return g
}

// Check returns nil if the labels lie on the page and beside each other.
func (g Grid) Check() error {
	bad := func(cause string) error { return fmt.Errorf("sheet: label grid %q: %s", g.Name, cause) }
	const most = 2 * unit.Metre
	for _, l := range []unit.Length{g.PageW, g.PageH, g.LabelW, g.LabelH, g.PitchX, g.PitchY} {
		if l <= 0 || l > most {
			return bad("page, label and pitch must be above 0 and at most 2 m")
		}
	}
	switch {
	case g.Cols < 1 || g.Rows < 1 || g.Cols > 200 || g.Rows > 200:
		return bad("1 to 200 columns and rows")
	case g.LabelW < 5*unit.Millimetre || g.LabelH < 5*unit.Millimetre:
		return bad("a label under 5 mm carries no readable text")
	case g.Cols > 1 && g.PitchX < g.LabelW, g.Rows > 1 && g.PitchY < g.LabelH:
		return bad("the pitch is less than the label: labels would overlap")
	case g.Left < 0 || g.Top < 0,
		g.Left+unit.Length(g.Cols-1)*g.PitchX+g.LabelW > g.PageW+tenth,
		g.Top+unit.Length(g.Rows-1)*g.PitchY+g.LabelH > g.PageH+tenth:
		return bad("the labels do not fit on the page")
	}
	return nil
}

// PerPage is how many labels a page has.
func (g Grid) PerPage() int { return g.Cols * g.Rows }

// slot returns the top left corner of a label in millimetres, counted from 0 in reading order.
func (g Grid) slot(n int) (x, y float64) {
	return (g.Left + unit.Length(n%g.Cols)*g.PitchX).MM(), (g.Top + unit.Length(n/g.Cols)*g.PitchY).MM()
}

// ErrNoTags says that there is nothing to print.
var ErrNoTags = errors.New("sheet: the build has no tags to print")
