package flat

import (
	"strings"

	"loomwright/app/sheet"
	"loomwright/calc/board"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Measures of a panel strip in mm. Source: our choice; it goes above or below a row of holders.
const (
	stripHigh = 9.0
	stripGap  = 5.0
	pageEdge  = 12.0
)

// stripRow is one row of a panel's grid: a cell for each position, at the pitch of the panel.
type stripRow struct {
	pitch float64
	cells []*harness.Part // nil is empty
}

// Strips draws a strip for each row of each panel's grid: what stands at each position, at the distance of the holders, to be cut out and
// stuck beside them. A row that is wider than the page goes on below. It returns a drawing for each page.
func Strips(b *harness.Build, o sheet.Options, width, height float64) []Drawing {
	var pages []Drawing
	y := height
	page := func() *Drawing { return &pages[len(pages)-1] }
	need := func(high float64) {
		if y+high > height-pageEdge || len(pages) == 0 {
			pages = append(pages, Drawing{Width: width, Height: height, Title: sheet.Title(b) + ", panel strips"})
			y = pageEdge + 10
			page().Texts = append(page().Texts, Text{X: pageEdge, Y: pageEdge + 5, Points: 12, Bold: true, Left: true,
				Text: strings.Join(filled(sheet.Title(b)+": panel strips, full size", revision(o), o.Date), " · ")})
		}
	}
	places := b.Places.All()
	for i := range places {
		rows := rowsOf(b, &places[i])
		if len(rows) == 0 {
			continue
		}
		need(stripHigh + 10)
		page().Texts = append(page().Texts, Text{X: pageEdge, Y: y + 4, Points: 9, Left: true, Text: places[i].Name})
		y += 7
		for _, r := range rows {
			fit := max(1, int((width-2*pageEdge)/r.pitch))
			for from := 0; from < len(r.cells); from += fit {
				need(stripHigh + stripGap)
				drawStrip(page(), r, from, min(from+fit, len(r.cells)), y)
				y += stripHigh + stripGap
			}
		}
	}
	return pages
}

// rowsOf is the grid of a panel, empty where nothing is arranged.
func rowsOf(b *harness.Build, p *harness.Place) (rows []stripRow) {
	pitch, _ := cut.Pitch(*p)
	parts := b.Parts.All()
	for i := range parts {
		x := &parts[i]
		if x.Place != p.ID || x.Row < 1 || x.Column < 1 || x.Row > harness.GridLimit || x.Column > harness.GridLimit {
			continue
		}
		for len(rows) < x.Row {
			rows = append(rows, stripRow{pitch: pitch.MM()})
		}
		r := &rows[x.Row-1]
		for len(r.cells) < x.Column {
			r.cells = append(r.cells, nil)
		}
		r.cells[x.Column-1] = x
	}
	return rows
}

func drawStrip(d *Drawing, r stripRow, from, to int, y float64) {
	for i, x := range r.cells[from:to] {
		left := pageEdge + float64(i)*r.pitch
		d.Lines = append(d.Lines, Line{Width: 0.2, Points: []board.Point{{X: left, Y: y}, {X: left + r.pitch, Y: y}, {X: left + r.pitch, Y: y + stripHigh}, {X: left, Y: y + stripHigh}, {X: left, Y: y}}})
		if x == nil {
			continue
		}
		under := x.Label
		if x.Rating != nil {
			under = strings.TrimSpace(unit.Shown(*x.Rating) + " A " + under)
		}
		d.Texts = append(d.Texts, Text{X: left + r.pitch/2, Y: y + 4.2, Points: fitted(x.Name, r.pitch, 10), Bold: true, Text: x.Name},
			Text{X: left + r.pitch/2, Y: y + 7.6, Points: fitted(under, r.pitch, 7), Text: under})
	}
}

// fitted is the size of type at which a text fits a width in mm, at most so large. A sign is taken to be 0.6 as wide as high, which the
// condensed type is not.
func fitted(text string, width, most float64) float64 {
	n := float64(len([]rune(text)))
	if n == 0 {
		return most
	}
	return max(3, min(most, (width-2)/(n*0.6*sheet.Point)))
}
