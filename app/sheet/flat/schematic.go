package flat

import (
	"math"
	"strings"

	"loomwright/app/sheet"
	"loomwright/calc/board"
	"loomwright/calc/harness"
)

// Schematic draws the harness on one page, not to scale: each tree from where it begins, the run with most wires first, with the length, the
// wires and the cover of every run. Width and height are those of the page in mm.
func Schematic(b *harness.Build, o sheet.Options, width, height float64) Drawing {
	x := plan(b)
	d := Drawing{Width: width, Height: height, Title: sheet.Title(b) + ", schematic"}
	children := make([][]int, len(x.Plan.Parent))
	for i, p := range x.Plan.Parent {
		if p < 0 {
			continue
		}
		at := len(children[p])
		for at > 0 && x.Plan.Weight[children[p][at-1]] < x.Plan.Weight[i] {
			at--
		}
		children[p] = append(children[p][:at], append([]int{i}, children[p][at:]...)...)
	}
	const margin, head, indent = 12.0, 18.0, 6.0
	left := x.Left()
	rows := float64(max(1, len(x.Plan.Places)+len(left)))
	high := min(7, (height-2*margin-head)/rows)
	points := min(9, high/sheet.Point*0.72)
	y := margin + head
	d.Texts = append(d.Texts, Text{X: margin, Y: margin + 6, Points: 14, Bold: true, Left: true, Text: sheet.Title(b) + ": schematic, not to scale"},
		Text{X: margin, Y: margin + 12, Points: 9, Left: true, Text: strings.Join(filled(b.Settings.Car, revision(o), o.Date, "lengths in "+sheet.LengthUnit(b.Settings.Unit)), " · ")})
	rowOf := make([]float64, len(x.Plan.Places))
	var draw func(i, depth int)
	draw = func(i, depth int) {
		at := margin + float64(depth)*indent
		rowOf[i] = y
		mid := y - high*0.3
		text := x.name(i) + " (" + string(x.place(i).Kind) + ")"
		if p := x.Plan.Parent[i]; p >= 0 {
			from := margin + float64(depth-1)*indent + 1
			d.Lines = append(d.Lines, Line{Width: 0.2 + 0.06*math.Sqrt(float64(x.Plan.Weight[i])),
				Points: []board.Point{{X: from, Y: rowOf[p] + high*0.15}, {X: from, Y: mid}, {X: at - 0.8, Y: mid}}})
			text += ": " + x.run(i)
		}
		d.Texts = append(d.Texts, Text{X: at, Y: y, Points: points, Bold: depth == 0, Left: true, Text: text})
		y += high
		for _, c := range children[i] {
			draw(c, depth+1)
		}
	}
	for i, p := range x.Plan.Parent {
		if p < 0 {
			draw(i, 0)
		}
	}
	for _, s := range left {
		d.Texts = append(d.Texts, Text{X: margin, Y: y, Points: points, Left: true, Text: "not in it: " + s})
		y += high
	}
	return d
}
