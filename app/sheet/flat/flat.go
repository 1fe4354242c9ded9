// Package flat draws the harness laid flat at full size, for the bench: as shapes, which SVG and PDF are made of, and as lists that need
// no drawing. It is a package of its own because laying out takes long and weighs much: the app asks a program beside it.
package flat

import (
	"cmp"
	"encoding/json"
	"fmt"
	"html"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"loomwright/app/sheet"
	"loomwright/calc/board"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/supply"
	"loomwright/calc/unit"
)

// Board is a build laid flat.
type Board struct {
	Plan   board.Plan
	Layout board.Layout
	b      *harness.Build
	long   func(harness.Run) (mm float64, known bool)
	covers map[string]supply.Cover
}

// The bench that is meant where none is said: two doors on trestles. Source: our choice.
const (
	usualWidth  = 2400.0
	usualHeight = 1200.0
)

// Bench is the bench of the options, in mm.
func Bench(o sheet.BoardOptions) board.Bench {
	return board.Bench{Width: cmp.Or(o.Width, usualWidth), Height: cmp.Or(o.Height, usualHeight)}
}

// plan makes the trees of a build, with the cover of each run. A run lies as long as a wire in it is: as read, with its travel, movement,
// drip loop, corners and pass-throughs. Corners are a term of their own, so they are taken out of the adjusted length first.
func plan(b *harness.Build) *Board {
	settled := cut.Settle(b)
	carries := map[string]int{}
	for run, wires := range settled.Graph.PerRun() {
		carries[run] = len(wires)
	}
	x := &Board{b: b, covers: map[string]supply.Cover{}}
	sizes := loom.Stock(b)
	runs := b.Runs.All()
	for i := range runs {
		if i < len(settled.Bundles) {
			x.covers[runs[i].ID] = supply.CoverOf(b, runs[i], settled.Bundles[i], carries[runs[i].ID], sizes)
		}
	}
	x.long = func(r harness.Run) (float64, bool) {
		k, ok := settled.Graph.Lengths().Run(r.ID)
		if !ok || !k.Measured() {
			return 0, false
		}
		sum := k.Read()
		for _, t := range cut.RunTerms(b, settled.Graph.Lengths(), r) {
			sum += t.Value
		}
		return sum.MM(), true
	}
	x.Plan = board.New(b, x.long, carries)
	return x
}

// Of lays a build out.
func Of(b *harness.Build, o sheet.Options) (*Board, error) {
	x := plan(b)
	var err error
	if x.Layout, err = board.Lay(x.Plan.Tree, Bench(o.Board)); err != nil {
		return nil, fmt.Errorf("flat: %w", err)
	}
	return x, nil
}

func (x *Board) place(i int) harness.Place {
	p, _ := x.b.Places.Any(x.Plan.Places[i])
	return p
}

func (x *Board) name(i int) string {
	p := x.place(i)
	return cmp.Or(p.Name, string(p.Kind))
}

func (x *Board) mm(v float64) string {
	return unit.Length(math.Round(v * 1e6)).Grouped(x.b.Settings.Unit)
}

// run is what is written along a run.
func (x *Board) run(i int) string {
	words := []string{x.mm(x.Plan.Length[i]), number(x.Plan.Weight[i], "wire")}
	if c := x.covers[x.Plan.Runs[i]]; c.Kind != "" {
		words = append(words, strings.TrimSpace(string(c.Kind)+" "+c.Name))
	}
	return strings.Join(words, " · ")
}

func number(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + one + "s"
}

// runName is a run by its two places.
func (x *Board) runName(id string) string {
	r, _ := x.b.Runs.Any(id)
	a, _ := x.b.Places.Any(r.A)
	b, _ := x.b.Places.Any(r.B)
	return cmp.Or(a.Name, string(a.Kind)) + " to " + cmp.Or(b.Name, string(b.Kind))
}

// Left names what is not on the board, and why.
func (x *Board) Left() (out []string) {
	for _, id := range x.Plan.Unknown {
		out = append(out, x.runName(id)+": not measured")
	}
	for _, id := range x.Plan.Rings {
		r, _ := x.b.Runs.Any(id)
		mm, _ := x.long(r) // only a measured run can close a circle
		out = append(out, x.runName(id)+", "+x.mm(mm)+": closes a circle; lay it by hand")
	}
	return out
}

// Line is a line through points in mm.
type Line struct {
	Points []board.Point
	Width  float64
	Closed bool // filled with white, so that it covers what is under it
}

// Text is one line of type; its middle is at X, and it is turned about that by Angle degrees.
type Text struct {
	X, Y, Points, Angle float64
	Bold, Left          bool // Left begins at X
	Text                string
}

// Drawing is shapes on a bench, in mm from its top left.
type Drawing struct {
	Width, Height float64
	Lines         []Line
	Texts         []Text
	Title         string
}

// Sizes on the drawing, in mm and points. Source: our choice, by reading a print from half a metre.
const (
	runType   = 11.0
	placeType = 14.0
	smallType = 9.0
	tieEvery  = 250.0 // as it is bought, see supply
	tieBy     = 30.0  // from the places at its ends: our choice, it leaves room for the end of a cover
	tieInCar  = 150.0 // from a split that is decided in the car: common practice, covers and ties stop 150 to 300 mm short of it
	tieMark   = 4.0
	splitMark = 5.0
	plugWide  = 34.0
	plugHigh  = 16.0
	tolerance = 5.0 // of a split that is fixed on the bench: our choice
)

// Draw draws the board at full size.
func (x *Board) Draw(o sheet.Options) Drawing {
	l := &x.Layout
	d := Drawing{Width: l.Bench.Width, Height: l.Bench.Height, Title: sheet.Title(x.b) + ", board"}
	for i, line := range l.Lines {
		if len(line) < 2 {
			continue
		}
		d.Lines = append(d.Lines, Line{Points: line, Width: 0.6 + 0.3*math.Sqrt(float64(x.Plan.Weight[i]))})
		x.ties(&d, i, line)
		x.label(&d, i, line)
	}
	joints := map[string][]harness.Joint{}
	for _, j := range x.b.Joints.All() {
		joints[j.Place] = append(joints[j.Place], j)
	}
	for _, w := range x.b.Wires.All() {
		if w.ExtendAt != "" {
			joints[w.ExtendAt] = append(joints[w.ExtendAt], harness.Joint{Name: "of " + w.Name})
		}
	}
	for i := range x.Plan.Places {
		x.mark(&d, i, joints[x.Plan.Places[i]])
	}
	x.heading(&d, o)
	return d
}

// ties are short marks across a run of several wires: on both sides of each place, and between them at most tieEvery apart.
func (x *Board) ties(d *Drawing, i int, line []board.Point) {
	for _, far := range x.tied(i) {
		at, dir := along(line, far)
		across := board.Point{X: -dir.Y * tieMark, Y: dir.X * tieMark}
		d.Lines = append(d.Lines, Line{Points: []board.Point{{X: at.X - across.X, Y: at.Y - across.Y}, {X: at.X + across.X, Y: at.Y + across.Y}}, Width: 0.4})
	}
}

// tied is where along a run it is tied, in mm from its near end. A single wire is not, and nothing near a split that is decided in the
// car, so that it can still be moved.
func (x *Board) tied(i int) []float64 {
	if x.Plan.Weight[i] < 2 {
		return nil
	}
	ends := [2]float64{tieBy, tieBy}
	open := false
	for k, place := range [2]int{x.Plan.Parent[i], i} {
		if p := x.place(place); p.Kind == harness.Split && p.Fixed == harness.InCar {
			ends[k], open = tieInCar, true
		}
	}
	from, to := ends[0], x.Plan.Length[i]-ends[1]
	switch {
	case to < from && open:
		return nil
	case to < from:
		return []float64{x.Plan.Length[i] / 2}
	case to == from:
		return []float64{from}
	}
	n := math.Ceil((to - from) / tieEvery)
	out := []float64{from}
	for k := 1.0; k <= n; k++ {
		out = append(out, from+(to-from)*k/n)
	}
	return out
}

// along is the point so far along a line, and the direction there.
func along(line []board.Point, far float64) (at, dir board.Point) {
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		long := board.Length(line[i-1 : i+1])
		if far <= long || i == len(line)-1 {
			f := 0.0
			if long > 0 {
				f = far / long
				dir = board.Point{X: (b.X - a.X) / long, Y: (b.Y - a.Y) / long}
			}
			return board.Point{X: a.X + (b.X-a.X)*f, Y: a.Y + (b.Y-a.Y)*f}, dir
		}
		far -= long
	}
	return line[0], board.Point{X: 1}
}

// label writes along the longest stretch of a run, never upside down.
func (x *Board) label(d *Drawing, i int, line []board.Point) {
	best := 1
	for k := 1; k < len(line); k++ {
		if board.Length(line[k-1:k+1]) > board.Length(line[best-1:best+1]) {
			best = k
		}
	}
	a, b := line[best-1], line[best]
	angle := math.Atan2(b.Y-a.Y, b.X-a.X) * 180 / math.Pi
	if angle > 90 {
		angle -= 180
	} else if angle <= -90 {
		angle += 180
	}
	turn := angle * math.Pi / 180
	const off = 4.0
	d.Texts = append(d.Texts, Text{X: (a.X+b.X)/2 + off*math.Sin(turn), Y: (a.Y+b.Y)/2 - off*math.Cos(turn), Points: runType, Angle: angle, Text: x.run(i)})
}

// mark draws a place: a split as a circle, a pass-through as two bars, an end as the outline of its connector.
func (x *Board) mark(d *Drawing, i int, joints []harness.Joint) {
	p, at := x.place(i), x.Layout.At[i]
	line := x.Layout.Lines[i]
	words := []string{}
	switch p.Kind {
	case harness.Split, harness.Splice:
		d.Lines = append(d.Lines, ring(at, splitMark))
		if p.Kind == harness.Split {
			word := "±" + x.mm(tolerance)
			if p.Fixed == harness.InCar {
				word = "decided in the car: ties and covers stop short"
			}
			words = append(words, word)
		}
	case harness.PassThrough:
		_, dir := board.Point{}, board.Point{X: 1}
		if len(line) > 1 {
			_, dir = along(line, board.Length(line))
		}
		for _, off := range []float64{-2, 2} {
			c := board.Point{X: at.X + dir.X*off, Y: at.Y + dir.Y*off}
			d.Lines = append(d.Lines, Line{Points: []board.Point{{X: c.X - dir.Y*10, Y: c.Y + dir.X*10}, {X: c.X + dir.Y*10, Y: c.Y - dir.X*10}}, Width: 0.8})
		}
		words = append(words, "grommet")
	default:
		c := at
		if len(line) > 1 {
			_, dir := along(line, board.Length(line))
			c = board.Point{X: at.X + dir.X*plugWide/2, Y: at.Y + dir.Y*plugWide/2}
		}
		d.Lines = append(d.Lines, Line{Points: []board.Point{{X: c.X - plugWide/2, Y: c.Y - plugHigh/2}, {X: c.X + plugWide/2, Y: c.Y - plugHigh/2}, {X: c.X + plugWide/2, Y: c.Y + plugHigh/2}, {X: c.X - plugWide/2, Y: c.Y + plugHigh/2}, {X: c.X - plugWide/2, Y: c.Y - plugHigh/2}}, Width: 0.6, Closed: !slices.Contains(x.Plan.Parent, i)}) // what goes on shows through
		d.Lines = append(d.Lines, ring(at, 1.5))
		words = append(words, x.connectors(p)...)
		at = c
	}
	if len(joints) > 0 {
		var names []string
		for _, j := range joints {
			names = append(names, j.Name)
			x.splice(d, i, j.Offset.MM())
		}
		words = append(words, "splice "+strings.Join(names, ", "))
	}
	y := at.Y + plugHigh/2 + 6
	d.Texts = append(d.Texts, Text{X: at.X, Y: y, Points: placeType, Bold: true, Text: x.name(i)})
	if len(words) > 0 {
		d.Texts = append(d.Texts, Text{X: at.X, Y: y + 4.5, Points: smallType, Text: strings.Join(words, " · ")})
	}
}

// splice is a diamond on the run that leads to a place, so far before it as the splice is set off.
func (x *Board) splice(d *Drawing, i int, off float64) {
	at := x.Layout.At[i]
	if line := x.Layout.Lines[i]; len(line) > 1 {
		at, _ = along(line, max(0, board.Length(line)-off))
	}
	const r = 3.0
	d.Lines = append(d.Lines, Line{Width: 0.6, Closed: true, Points: []board.Point{{X: at.X, Y: at.Y - r}, {X: at.X + r, Y: at.Y}, {X: at.X, Y: at.Y + r}, {X: at.X - r, Y: at.Y}, {X: at.X, Y: at.Y - r}}})
}

// connectors names the connectors of a place with the side they are drawn from, as their record says. Where wires end on a stud or in a
// wire of the car there is none.
func (x *Board) connectors(p harness.Place) (words []string) {
	switch p.Kind {
	case harness.Ground, harness.Supply, harness.CarWire:
		return nil
	}
	all := x.b.Connectors.All()
	for i := range all {
		if all[i].Place != p.ID {
			continue
		}
		side := "side not known"
		if all[i].Face != harness.NoFace {
			side = "seen from the " + string(all[i].Face)
		}
		words = append(words, strings.TrimSpace("connector "+all[i].Name)+", "+side)
	}
	if len(words) == 0 {
		words = []string{"connector, side not known"}
	}
	return words
}

// ring is a circle as a line of short pieces.
func ring(c board.Point, r float64) Line {
	l := Line{Width: 0.6, Closed: true}
	const pieces = 24
	for i := range pieces + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / pieces)
		l.Points = append(l.Points, board.Point{X: c.X + r*cos, Y: c.Y + r*sin})
	}
	return l
}

// heading says what the drawing is, in the corner.
func (x *Board) heading(d *Drawing, o sheet.Options) {
	lines := []string{sheet.Title(x.b), strings.Join(filled(x.b.Settings.Car, revision(o), o.Date), " · "),
		"1:1, lengths in " + sheet.LengthUnit(x.b.Settings.Unit) + " · bench " + x.mm(d.Width) + " × " + x.mm(d.Height) + " · short bars are ties, diamonds splices"}
	for _, left := range x.Left() {
		lines = append(lines, "not drawn: "+left)
	}
	y := d.Height - 8 - 6*float64(len(lines)-1)
	for i, s := range lines {
		d.Texts = append(d.Texts, Text{X: 8, Y: y, Points: runType, Bold: i == 0, Left: true, Text: s})
		y += 6
	}
}

func revision(o sheet.Options) string {
	if o.Revision == "" {
		return ""
	}
	return "rev " + o.Revision
}

func filled(words ...string) (out []string) {
	for _, w := range words {
		if w != "" {
			out = append(out, w)
		}
	}
	return out
}

// SVG writes a drawing at full size.
func (d Drawing) SVG(w io.Writer) error {
	var out strings.Builder
	n := func(v float64) string { return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64) }
	text := func(s string) string { return html.EscapeString(sheet.Printable(s)) }
	fmt.Fprintf(&out, "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%smm\" height=\"%smm\" viewBox=\"0 0 %s %s\" font-family=\"'DejaVu Sans Condensed','DejaVu Sans',sans-serif\">\n<title>%s</title>\n<rect width=\"100%%\" height=\"100%%\" fill=\"#fff\"/>\n",
		n(d.Width), n(d.Height), n(d.Width), n(d.Height), text(d.Title))
	for _, l := range d.Lines {
		fill, path := "none", ""
		if l.Closed {
			fill = "#fff"
		}
		for i, p := range l.Points {
			path += string("ML"[min(i, 1)]) + n(p.X) + " " + n(p.Y)
		}
		fmt.Fprintf(&out, "<path d=\"%s\" fill=\"%s\" stroke=\"#000\" stroke-width=\"%s\"/>\n", path, fill, n(l.Width))
	}
	for _, t := range d.Texts {
		weight, anchor, turn := "", " text-anchor=\"middle\"", ""
		if t.Bold {
			weight = " font-weight=\"bold\""
		}
		if t.Left {
			anchor = ""
		}
		if t.Angle != 0 {
			turn = fmt.Sprintf(" transform=\"rotate(%s %s %s)\"", n(t.Angle), n(t.X), n(t.Y))
		}
		fmt.Fprintf(&out, "<text x=\"%s\" y=\"%s\" font-size=\"%s\"%s%s%s>%s</text>\n", n(t.X), n(t.Y), n(t.Points*sheet.Point), weight, anchor, turn, text(t.Text))
	}
	out.WriteString("</svg>\n")
	_, err := io.WriteString(w, out.String())
	return err
}

// Answer is what is said of a board before it is printed.
type Answer struct {
	Sheets int        // of paper, the map not counted
	Fits   bool       // on the bench that was asked for
	Bench  [2]float64 // it is laid on, mm
	Left   []string   // what is not on it, and why
}

// JSON writes the answer.
func (a Answer) JSON(w io.Writer) error { return json.NewEncoder(w).Encode(a) }

// BenchList is the harness as marks along one tape, for a bench with no drawing.
func BenchList(b *harness.Build, o sheet.Options) (sheet.Table, error) {
	x := plan(b)
	bench := Bench(o.Board)
	t := sheet.Table{Name: "benchlist", Title: "Bench list", Columns: []sheet.Column{
		{Key: "done", Title: "Done", Wide: 0.5, Tick: true}, {Key: "mark_mm", Title: "Mark at", Number: true}, {Key: "line", Title: "Tape line", Number: true, Wide: 0.6},
		{Key: "on_line_mm", Title: "On that line", Number: true}, {Key: "what", Title: "What", Wide: 3}, {Key: "side", Title: "Side", Wide: 0.7},
		{Key: "length_mm", Title: "Length", Number: true}, {Key: "wires", Title: "Wires", Number: true, Wide: 0.6}, {Key: "cover", Title: "Cover", Wide: 1.6},
	}}
	cover := func(i int) sheet.Cell {
		c := x.covers[x.Plan.Runs[i]]
		return sheet.Cell{Text: strings.TrimSpace(string(c.Kind) + " " + c.Name)}
	}
	length := func(mm float64) sheet.Cell {
		text, _ := unit.Length(math.Round(mm * 1e6)).Figures(b.Settings.Unit)
		return sheet.Cell{Text: text, Number: &mm}
	}
	count := func(n int) sheet.Cell {
		v := float64(n)
		return sheet.Cell{Text: strconv.Itoa(n), Number: &v}
	}
	var group *sheet.Group
	for _, m := range x.Plan.Marks(bench.Width) {
		what := x.name(m.Place) + " (" + string(x.place(m.Place).Kind) + ")"
		row := []sheet.Cell{{}, length(m.At), count(m.Line), length(m.On), {Text: what}, {Text: "on the tape"}, {}, {}, {}}
		if x.Plan.Parent[m.Place] < 0 {
			t.Groups = append(t.Groups, sheet.Group{Title: "From " + x.name(m.Place)})
			group = &t.Groups[len(t.Groups)-1]
		} else {
			row[6], row[7], row[8] = length(x.Plan.Length[m.Place]), count(x.Plan.Weight[m.Place]), cover(m.Place)
		}
		group.Rows = append(group.Rows, row)
		for _, br := range m.Branches {
			side := "right"
			if br.Left {
				side = "left"
			}
			from := x.name(x.Plan.Parent[br.Place])
			group.Rows = append(group.Rows, []sheet.Cell{{}, {}, {}, {}, {Text: strings.Repeat("– ", br.Depth+1) + x.name(br.Place) + ", from " + from}, {Text: side},
				length(x.Plan.Length[br.Place]), count(x.Plan.Weight[br.Place]), cover(br.Place)})
		}
	}
	t.Notes = append(t.Notes, "the tape is "+x.mm(bench.Width-2*board.Rim)+" long; where the trunk is longer it turns, and the next line counts from there",
		"a branch is as long as a wire in it lies: with travel, movement, drip loop, corners and pass-throughs")
	for _, left := range x.Left() {
		t.Notes = append(t.Notes, "not in the list: "+left)
	}
	return t, nil
}
