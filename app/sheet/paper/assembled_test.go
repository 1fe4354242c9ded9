package paper

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"loomwright/app/sheet"
	"loomwright/app/sheet/flat"
	"loomwright/calc/board"
)

// assembledDPI is fine enough to tell a tenth of a millimetre by the middle of a line.
const assembledDPI = 200

// assembled is the board as it is once its printed sheets are taped together, cross on cross.
type assembled struct {
	tiling
	pages []grey // of full
}

// assemble rasterises a printed board; its first page is the map.
func assemble(t *testing.T, pdf []byte, x tiling) assembled {
	t.Helper()
	dir := t.TempDir()
	file := filepath.Join(dir, "board.pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", fmt.Sprint(assembledDPI), "-gray", "-f", "2", file, filepath.Join(dir, "page")).CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v; apt-get install poppler-utils, or run the tests with -short\n%s", err, out)
	}
	names, err := filepath.Glob(filepath.Join(dir, "page*.pgm"))
	if err != nil || len(names) != len(x.full) {
		t.Fatalf("%d sheets, want %d; %v", len(names), len(x.full), err)
	}
	slices.Sort(names)
	a := assembled{tiling: x}
	for _, name := range names {
		a.pages = append(a.pages, readGrey(t, name))
	}
	return a
}

// dark returns how dark a sheet is at a point of the bench, 0 to 1, between its dots; ok is false off its drawing.
func (a assembled) dark(n int, p board.Point) (v float64, ok bool) {
	x, y := (p.X-float64(a.full[n].col)*a.step[0])*a.scale, (p.Y-float64(a.full[n].row)*a.step[1])*a.scale
	if x < 0.5 || y < 0.5 || x > a.room[0]*a.scale-0.5 || y > a.room[1]*a.scale-0.5 {
		return 0, false
	}
	const dots = assembledDPI / 25.4
	px, py := (tileEdge+x)*dots-0.5, (tileEdge+y)*dots-0.5
	fx, fy := px-math.Floor(px), py-math.Floor(py)
	page := a.pages[n]
	at := func(dx, dy int) float64 { return 1 - float64(page.dots[(int(py)+dy)*page.w+int(px)+dx])/255 }
	return (at(0, 0)*(1-fx)+at(1, 0)*fx)*(1-fy) + (at(0, 1)*(1-fx)+at(1, 1)*fx)*fy, true
}

// middle returns how far beside a line that passes a point in a direction its middle is printed, on each sheet that shows it there.
func (a assembled) middle(p, dir board.Point, reach float64) (off []float64) {
	const step = 0.02
	for n := range a.full {
		sum, weight, whole := 0.0, 0.0, true
		for s := -reach; s <= reach && whole; s += step {
			var v float64
			v, whole = a.dark(n, board.Point{X: p.X - dir.Y*s, Y: p.Y + dir.X*s})
			sum, weight = sum+v*s, weight+v
		}
		switch {
		case whole && weight == 0:
			off = append(off, math.Inf(1)) // it is not printed
		case whole:
			off = append(off, sum/weight)
		}
	}
	return off
}

// register reports whether a point lies near a cross.
func (a assembled) register(p board.Point) bool {
	const near = 6.0
	for i, v := range [2]float64{p.X, p.Y} {
		if k := math.Round((v - lap/2) / a.step[i]); math.Abs(v-lap/2-k*a.step[i]) > near {
			return false
		}
	}
	return true
}

// alone reports whether nothing but one line of the drawing lies near a point: anything else would move the middle of what is dark.
func alone(d *flat.Drawing, own int, p board.Point, near float64) bool {
	for _, t := range d.Texts {
		long := float64(len([]rune(t.Text)))*t.Points*sheet.Point*0.35 + 2
		x, y := p.X-t.X, p.Y-t.Y
		sin, cos := math.Sincos(t.Angle * math.Pi / 180)
		x, y = x*cos+y*sin, y*cos-x*sin
		if t.Left {
			x -= long
		}
		if math.Abs(x) < long && y > -t.Points*sheet.Point-near && y < t.Points*sheet.Point*0.3+near {
			return false
		}
	}
	for i, l := range d.Lines {
		for k := 1; i != own && k < len(l.Points); k++ {
			a, b := l.Points[k-1], l.Points[k]
			dx, dy := b.X-a.X, b.Y-a.Y
			f := 0.0
			if long := dx*dx + dy*dy; long > 0 {
				f = min(1, max(0, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/long))
			}
			if math.Hypot(p.X-a.X-f*dx, p.Y-a.Y-f*dy) < near+l.Width/2 {
				return false
			}
		}
	}
	return true
}

// read is what was read off the sheets.
type read struct {
	side, along, between float64 // the worst: of a line to its side, of a tie along its run, of two sheets at one point
	points, twice, ties  int
}

// The bar, on the sheets themselves: every line lies within 0.3 mm of where the layout has it, to its side, and every tie along it. So
// does every length between them. Sheets that share a lap show the same there, for each paper and for a printer that is off.
func TestSheetsPutTogetherAreTrue(t *testing.T) {
	if testing.Short() {
		t.Skip("needs pdftoppm")
	}
	b := demo(t)
	for _, o := range []sheet.BoardOptions{{}, {Bar: 98}, {Paper: sheet.A3}, {Paper: sheet.Letter}} {
		all := sheet.Options{Font: fonts(t), Board: o}
		x, err := flat.Of(b, all)
		if err != nil {
			t.Fatal(err)
		}
		d := x.Draw(all)
		a := assemble(t, written(t, "board", b, all), tiles(d, o))
		var r read
		unseen := 0
		for own, l := range d.Lines {
			run := !l.Closed && slices.ContainsFunc(x.Layout.Lines, func(line []board.Point) bool {
				return len(line) == len(l.Points) && line[0] == l.Points[0] && line[len(line)-1] == l.Points[len(l.Points)-1]
			})
			tie := !run && !l.Closed && l.Width == 0.4
			seen := 0
			for k := 1; k < len(l.Points) && (run || tie); k++ {
				p, q := l.Points[k-1], l.Points[k]
				long := board.Length(l.Points[k-1 : k+1])
				dir := board.Point{X: (q.X - p.X) / long, Y: (q.Y - p.Y) / long}
				from, step := 5.0, 5.0
				if tie {
					from, step = 0.8, long-1.6 // its two ends, clear of the run
				}
				reach := l.Width/2 + 0.8
				for s := from; s < long-0.5; s += step {
					at := board.Point{X: p.X + dir.X*s, Y: p.Y + dir.Y*s}
					if a.register(at) || !alone(&d, own, at, reach+0.2) {
						continue
					}
					off := a.middle(at, dir, reach)
					for _, v := range off {
						if seen++; tie {
							r.along, r.ties = max(r.along, math.Abs(v)), r.ties+1
						} else {
							r.side, r.points = max(r.side, math.Abs(v)), r.points+1
						}
						r.between = max(r.between, math.Abs(v-off[0]))
					}
					if len(off) > 1 {
						r.twice++
					}
				}
			}
			if run && seen == 0 && board.Length(l.Points) > 200 {
				unseen++
			}
		}
		if r.side > 0.15 || r.along > 0.15 || r.between > 0.15 || r.points < 1000 || r.twice < 50 || r.ties < 100 || unseen > 1 {
			t.Errorf("%+v: %+v, %d runs were seen nowhere", o, r, unseen)
		}
		t.Logf("%+v: %d sheets, %+v", o, len(a.full), r)
	}
}
