package paper

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"codeberg.org/go-pdf/fpdf"

	"loomwright/app/sheet"
	"loomwright/app/sheet/flat"
	"loomwright/calc/board"
	"loomwright/calc/harness"
)

// The measures of a tiled board, in mm. Source: our choice; most printers reach within 5 mm of the edge.
const (
	tileEdge = 8.0
	tileFoot = 14.0 // under the drawing: the name of the sheet and the bar
	lap      = 15.0 // that neighbours share
	barLong  = 100.0
)

// tiling is how a board is cut into sheets.
type tiling struct {
	wide, high float64 // of the paper
	step       [2]float64
	room       [2]float64 // of the bench on one sheet
	cols, rows int
	scale      float64 // of everything, so that this printer prints it at full size
	full       []tile  // sheets with something on them, row by row
}

// tile is a sheet by its column and row, from 0.
type tile struct{ col, row int }

// name is the sheet's letter and number: row B, column 3.
func (t tile) name() string {
	letter := ""
	for r := t.row; ; r = r/26 - 1 {
		letter = string(rune('A'+r%26)) + letter
		if r < 26 {
			return letter + strconv.Itoa(t.col+1)
		}
	}
}

// tiles cuts a drawing. A sheet on which nothing of the drawing lies is left out.
func tiles(d flat.Drawing, o sheet.BoardOptions) tiling {
	t := tiling{wide: 210, high: 297, scale: 1}
	switch o.Paper {
	case sheet.A3:
		t.wide, t.high = 297, 420
	case sheet.Letter:
		t.wide, t.high = 215.9, 279.4
	}
	t.wide, t.high = t.high, t.wide // across: a bench is wider than deep
	if o.Bar > 0 {
		t.scale = min(2, max(0.5, barLong/o.Bar))
	}
	t.room = [2]float64{(t.wide - 2*tileEdge) / t.scale, (t.high - 2*tileEdge - tileFoot) / t.scale}
	t.step = [2]float64{t.room[0] - lap, t.room[1] - lap}
	t.cols = max(1, int(math.Ceil((d.Width-lap)/t.step[0])))
	t.rows = max(1, int(math.Ceil((d.Height-lap)/t.step[1])))
	for row := range t.rows {
		for col := range t.cols {
			x, y := float64(col)*t.step[0], float64(row)*t.step[1]
			if on(d, x, y, x+t.room[0], y+t.room[1]) {
				t.full = append(t.full, tile{col, row})
			}
		}
	}
	return t
}

// on reports whether something of a drawing lies in a box.
func on(d flat.Drawing, x1, y1, x2, y2 float64) bool {
	for _, l := range d.Lines {
		for i := 1; i < len(l.Points); i++ {
			if crosses(l.Points[i-1], l.Points[i], x1, y1, x2, y2) {
				return true
			}
		}
	}
	for _, t := range d.Texts {
		if half := float64(len(t.Text)); t.X+half > x1 && t.X-half < x2 && t.Y+half > y1 && t.Y-half < y2 {
			return true
		}
	}
	return false
}

// crosses reports whether a stretch has a point in a box.
//
// Source: Liang and Barsky, ACM Transactions on Graphics 3, 1984.
func crosses(a, b board.Point, x1, y1, x2, y2 float64) bool {
	from, to := 0.0, 1.0
	for _, c := range [4][2]float64{{a.X - b.X, a.X - x1}, {b.X - a.X, x2 - a.X}, {a.Y - b.Y, a.Y - y1}, {b.Y - a.Y, y2 - a.Y}} {
		p, q := c[0], c[1]
		switch {
		case p == 0:
			if q < 0 {
				return false
			}
		case p < 0:
			from = max(from, q/p)
		default:
			to = min(to, q/p)
		}
	}
	return from <= to
}

// answerBoard says how many sheets a board takes.
func answerBoard(w io.Writer, b *harness.Build, o sheet.Options) error {
	x, err := flat.Of(b, o)
	if err != nil {
		return err
	}
	a := flat.Answer{Fits: x.Layout.Fits, Bench: [2]float64{x.Layout.Bench.Width, x.Layout.Bench.Height}, Left: x.Left(), Sheets: 1}
	if o.Board.Paper != sheet.OneLongOne {
		a.Sheets = len(tiles(x.Draw(o), o.Board).full)
	}
	return a.JSON(w)
}

// writeBoard writes the board at full size: on one page as large as the bench, or on sheets to be taped together, with a map of them first.
func writeBoard(w io.Writer, b *harness.Build, o sheet.Options, told Progress) error {
	x, err := flat.Of(b, o)
	if err != nil {
		return err
	}
	return writeDrawing(w, x.Draw(o), o, told)
}

func writeDrawing(w io.Writer, d flat.Drawing, o sheet.Options, told Progress) error {
	if o.Board.Paper == sheet.OneLongOne {
		if max(d.Width, d.Height) > sheet.LongestPage {
			return fmt.Errorf("sheet: one page of %.0f × %.0f mm is larger than the %d mm that PDF allows; take sheets, or SVG", d.Width, d.Height, sheet.LongestPage)
		}
		pdf, err := newPages(d.Width, d.Height, o)
		if err != nil {
			return err
		}
		pdf.SetTitle(d.Title, true)
		told.page(1, 1)
		pdf.AddPageFormat("P", fpdf.SizeType{Wd: d.Width, Ht: d.Height})
		pdf.flat(d, 0, 0, 1)
		return pdf.flush(w)
	}
	t := tiles(d, o.Board)
	pdf, err := newPages(t.wide, t.high, o)
	if err != nil {
		return err
	}
	pdf.SetTitle(d.Title, true)
	size := fpdf.SizeType{Wd: t.wide, Ht: t.high}
	told.page(1, len(t.full)+1)
	pdf.AddPageFormat("P", size)
	pdf.sheetMap(d, t)
	for n, at := range t.full {
		told.page(n+2, len(t.full)+1)
		pdf.AddPageFormat("P", size)
		pdf.ClipRect(tileEdge, tileEdge, t.room[0]*t.scale, t.room[1]*t.scale, false)
		pdf.flat(d, tileEdge-float64(at.col)*t.step[0]*t.scale, tileEdge-float64(at.row)*t.step[1]*t.scale, t.scale)
		pdf.ClipEnd()
		pdf.registers(t)
		foot := t.high - tileEdge - 1
		pdf.write(tileEdge, foot, fmt.Sprintf("%s · sheet %d of %d · %s", at.name(), n+1, len(t.full), d.Title), 9, true)
		pdf.bar(t.wide-tileEdge-barLong*t.scale, foot, t.scale)
	}
	return pdf.flush(w)
}

// flat draws shapes, their corner at left and top, so many times as large.
func (p *pen) flat(d flat.Drawing, left, top, scale float64) {
	p.SetLineCapStyle("butt")
	p.SetLineJoinStyle("round")
	p.SetFillColor(255, 255, 255)
	for _, l := range d.Lines {
		p.SetLineWidth(l.Width * scale)
		for i, at := range l.Points {
			if i == 0 {
				p.MoveTo(left+at.X*scale, top+at.Y*scale)
			} else {
				p.LineTo(left+at.X*scale, top+at.Y*scale)
			}
		}
		if l.Closed {
			p.DrawPath("DF")
		} else {
			p.DrawPath("D")
		}
	}
	for _, t := range d.Texts {
		x, y := left+t.X*scale, top+t.Y*scale
		if t.Angle != 0 {
			p.TransformBegin()
			p.TransformRotate(-t.Angle, x, y)
		}
		if !t.Left {
			p.write(x-p.width(t.Text, t.Points*scale, t.Bold)/2, y, t.Text, t.Points*scale, t.Bold)
		} else {
			p.write(x, y, t.Text, t.Points*scale, t.Bold)
		}
		if t.Angle != 0 {
			p.TransformEnd()
		}
	}
}

// registers are crosses at the same spots of the bench on neighbouring sheets: at the four corners, in the middle of what they share.
func (p *pen) registers(t tiling) {
	p.SetLineWidth(0.15)
	in := lap / 2 * t.scale
	for _, x := range []float64{tileEdge + in, tileEdge + t.room[0]*t.scale - in} {
		for _, y := range []float64{tileEdge + in, tileEdge + t.room[1]*t.scale - in} {
			p.Line(x-4, y, x+4, y)
			p.Line(x, y-4, x, y+4)
		}
	}
}

// bar is what shows whether the printer keeps the size.
func (p *pen) bar(x, y, scale float64) {
	p.SetLineWidth(0.3)
	long := barLong * scale
	p.Line(x, y, x+long, y)
	for _, at := range []float64{0, long / 2, long} {
		p.Line(x+at, y-3, x+at, y)
	}
	p.write(x+4, y-1.5, "this bar is 100 mm", 7, false)
}

// sheetMap is the first page: which sheet lies where.
func (p *pen) sheetMap(d flat.Drawing, t tiling) {
	p.write(edge, edge+5, d.Title, titleType, true)
	p.write(edge, edge+11, fmt.Sprintf("%d sheets of %s by %s mm. Print at full size, not fitted to the page. Lay neighbours so that their crosses meet.", len(t.full), sheetMM(t.wide), sheetMM(t.high)), 9, false)
	p.write(edge, edge+16, "If the bar of a sheet is not 100 mm long, key in what it measures, and print again.", 9, false)
	scale := min((t.wide-2*edge)/d.Width, (t.high-2*edge-28)/d.Height)
	left, top := edge, edge+22
	p.flat(flat.Drawing{Lines: d.Lines}, left, top, scale)
	p.SetLineWidth(0.1)
	p.Rect(left, top, d.Width*scale, d.Height*scale, "D")
	for _, at := range t.full {
		x, y := left+float64(at.col)*t.step[0]*scale, top+float64(at.row)*t.step[1]*scale
		p.Rect(x, y, t.step[0]*scale, t.step[1]*scale, "D")
		p.write(x+1, y+3.5, at.name(), 8, true)
	}
}

func sheetMM(v float64) string { return strconv.FormatFloat(math.Round(v), 'f', 0, 64) }
