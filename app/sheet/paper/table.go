package paper

import (
	"strings"

	"loomwright/app/sheet"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
)

// The measures of a printed list, in millimetres and points.
//
// Source: our choice, 8 pt for reading at a bench; 12 mm of margin for the punch and for printers.
const (
	edge        = 12.0
	cellType    = 8.0
	smallCell   = 6.5 // of lists with more than manyColumns
	manyColumns = 16  // shares
	cellPad     = 1.0
	titleType   = 14.0
	longestCell = 300 // signs of a cell; the whole text is in the other formats
	portraitW   = 7   // columns of share 1 that are readable across a portrait page
)

// printedRow is a row with its cells broken into lines.
type printedRow struct {
	cells   [][]string
	source  []sheet.Cell
	heading string // of a group, alone on its line
	bold    bool
	height  float64
}

// list is a table on paper.
type list struct{ sheet.Table }

// tablePart lays a table out on A4, upright or across as it needs, with the heading on every page. Columns with nothing in them are
// left out.
func tablePart(pdf *pen, table sheet.Table, b *harness.Build, o sheet.Options) part {
	t := list{table.Filled()}
	wide, high := paperSize(o)
	shares := t.shares()
	if shares > portraitW {
		wide, high = high, wide
	}
	columns := make([]float64, len(t.Columns))
	for i, c := range t.Columns {
		columns[i] = share(c) / shares * (wide - 2*edge)
	}
	pages := t.paginate(pdf, columns, high)
	return part{title: t.Title, wide: wide, high: high, pages: len(pages), foot: "Loomwright · " + lengthsIn(b), draw: func(n int) error {
		y := pdf.pageHead(t.Title, b, o, wide)
		for _, row := range pages[n] {
			t.printRow(pdf, row, columns, y)
			y += row.height
		}
		if n == len(pages)-1 {
			for _, line := range t.noteLines(pdf, wide) {
				y += t.points() * sheet.Point * sheet.Leading
				pdf.write(edge, y, line, t.points(), false)
			}
		}
		return nil
	}}
}

// points is the size of type that the cells are set in.
func (t list) points() float64 {
	if t.shares() > manyColumns {
		return smallCell
	}
	return cellType
}

// shares is the width of all columns together.
func (t list) shares() (sum float64) {
	for _, c := range t.Columns {
		sum += share(c)
	}
	return sum
}

// share is the part of the width that a column takes.
func share(c sheet.Column) float64 {
	if c.Wide <= 0 {
		return 1
	}
	return c.Wide
}

// lengthsIn says in which unit the lengths of a page are.
func lengthsIn(b *harness.Build) string {
	if sheet.LengthUnit(b.Settings.Unit) == "in" {
		return "lengths in inches"
	}
	return "lengths in mm"
}

const headHeight = 15.0 // title lines and the rule under them

// pageHead writes title, build, revision and date, and returns where the page goes on.
func (p *pen) pageHead(title string, b *harness.Build, o sheet.Options, wide float64) (y float64) {
	p.write(edge, edge+5, title, titleType, true)
	name := sheet.Title(b)
	if b.Settings.Car != "" {
		name += ", " + b.Settings.Car
	}
	p.write(edge, edge+10, clip(name, wide-2*edge, func(s string) float64 { return p.width(s, 9, false) }), 9, false)
	p.writeRight(wide-edge, edge+5, stateOf(o), 9, false)
	p.SetLineWidth(0.4)
	p.Line(edge, edge+12.5, wide-edge, edge+12.5)
	return edge + headHeight
}

// stateOf is revision and date.
func stateOf(o sheet.Options) string {
	var words []string
	if o.Revision != "" {
		words = append(words, "rev "+o.Revision)
	}
	if o.Date != "" {
		words = append(words, o.Date)
	}
	return strings.Join(words, " · ")
}

// clip shortens a text to a width.
func clip(text string, width float64, measure func(string) float64) string {
	if measure(text) <= width {
		return text
	}
	signs := []rune(text)
	for len(signs) > 0 && measure(string(signs)+"…") > width {
		signs = signs[:len(signs)-1]
	}
	return string(signs) + "…"
}

// swatchWidth is the room of a colour swatch before its letters.
const swatchWidth = 6.5

// breakRow breaks the cells of a row into lines.
func (t list) breakRow(pdf *pen, cells []sheet.Cell, columns []float64, bold bool) printedRow {
	row := printedRow{source: cells, bold: bold}
	lines := 1
	for i, c := range cells {
		room := columns[i] - 2*cellPad
		if c.Colour[0] != "" {
			room -= swatchWidth
		}
		if t.Columns[i].Tick && !bold {
			c.Text = "□"
			if cells[i].Text != "" {
				c.Text = "☑"
			}
		}
		broken, _ := sheet.Wrap(tag.Clean(c.Text, longestCell), room, func(s string) float64 { return pdf.width(s, t.points(), bold) })
		row.cells = append(row.cells, broken)
		lines = max(lines, len(broken))
	}
	row.height = float64(lines)*t.points()*sheet.Point*sheet.Leading + 1.4
	return row
}

// headings is the row of column titles.
func (t list) headings(pdf *pen, columns []float64) printedRow {
	var cells []sheet.Cell
	for _, c := range t.Columns {
		cells = append(cells, sheet.Cell{Text: c.Heading()})
	}
	return t.breakRow(pdf, cells, columns, true)
}

// paginate deals the rows out to pages, each page with the column titles first. A group's heading stays with its first
// row, and notes that do not fit under the last row get a page of their own.
func (t list) paginate(pdf *pen, columns []float64, high float64) [][]printedRow {
	head := t.headings(pdf, columns)
	bottom := high - edge - 2
	var pages [][]printedRow
	y := bottom + 1
	add := func(rows ...printedRow) {
		need := 0.0
		for _, r := range rows {
			need += r.height
		}
		if y+need > bottom {
			pages = append(pages, []printedRow{head})
			y = edge + headHeight + head.height
		}
		pages[len(pages)-1] = append(pages[len(pages)-1], rows...)
		y += need
	}
	for _, g := range t.Groups {
		var before []printedRow
		if g.Title != "" {
			before = append(before, printedRow{heading: g.Title, height: t.points()*sheet.Point*sheet.Leading + 4})
		}
		for _, cells := range g.Rows {
			add(append(before, t.breakRow(pdf, cells, columns, false))...)
			before = nil
		}
		if g.Total != nil {
			add(append(before, t.breakRow(pdf, g.Total, columns, true))...)
			before = nil
		}
		if before != nil {
			add(before...)
		}
	}
	if len(pages) == 0 {
		pages = [][]printedRow{{head}}
		y = edge + headHeight + head.height
	}
	wide := 2 * edge
	for _, c := range columns {
		wide += c
	}
	if notes := float64(len(t.noteLines(pdf, wide))+1) * t.points() * sheet.Point * sheet.Leading; y+notes > bottom && len(t.Notes) > 0 {
		pages = append(pages, []printedRow{head})
	}
	return pages
}

func (t list) noteLines(pdf *pen, wide float64) []string {
	var out []string
	for _, n := range t.Notes {
		lines, _ := sheet.Wrap("· "+n, wide-2*edge, func(s string) float64 { return pdf.width(s, t.points(), false) })
		out = append(out, lines...)
	}
	return out
}

// printRow draws a row at y with a thin rule under it.
func (t list) printRow(pdf *pen, row printedRow, columns []float64, y float64) {
	line := t.points() * sheet.Point * sheet.Leading
	right := edge
	for _, c := range columns {
		right += c
	}
	if row.heading != "" {
		pdf.write(edge+cellPad, y+row.height-1.4, clip(row.heading, right-edge, func(s string) float64 { return pdf.width(s, t.points()+1, true) }), t.points()+1, true)
	}
	x := edge
	for i, lines := range row.cells {
		at := x + cellPad
		if c := row.source[i].Colour; c[0] != "" {
			pdf.swatch(at, y+0.9, c[0], c[1])
			at += swatchWidth
		}
		for n, s := range lines {
			base := y + 0.5 + float64(n)*line + sheet.Ascent*line
			if t.Columns[i].Number {
				pdf.writeRight(x+columns[i]-cellPad, base, s, t.points(), row.bold)
			} else {
				pdf.write(at, base, s, t.points(), row.bold)
			}
		}
		x += columns[i]
	}
	width := 0.1
	if row.bold {
		width = 0.3
	}
	pdf.SetLineWidth(width)
	pdf.Line(edge, y+row.height, right, y+row.height)
}
