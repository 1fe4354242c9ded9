package paper

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"loomwright/app/sheet"
	"loomwright/app/sheet/flat"
	"loomwright/app/sheet/sheettest"
	"loomwright/calc/board"
)

// raster returns a part of the first page of a PDF, which lies at x and y and is wide and high mm, at so many dots per inch.
func raster(t *testing.T, file string, x, y, wide, high float64, dpi int) grey {
	t.Helper()
	dots := func(mm float64) string { return fmt.Sprint(int(math.Round(mm / 25.4 * float64(dpi)))) }
	out := filepath.Join(t.TempDir(), "part")
	if said, err := exec.Command("pdftoppm", "-r", fmt.Sprint(dpi), "-gray", "-singlefile", "-x", dots(x), "-y", dots(y), "-W", dots(wide), "-H", dots(high), file, out).CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v: %s; apt-get install poppler-utils, or run the tests with -short", err, said)
	}
	return readGrey(t, out+".pgm")
}

// Each run of the demo is as long on paper as in its data: the line is drawn alone on a page as large as the bench, and the ends of its
// stretches are looked for in the picture of it.
func TestRunsAreAsLongOnPaper(t *testing.T) {
	if testing.Short() {
		t.Skip("needs pdftoppm")
	}
	x, err := flat.Of(demo(t), sheet.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !x.Layout.Fits || x.Layout.Bench != (board.Bench{Width: 2400, Height: 1200}) {
		t.Errorf("the demo is laid on %v", x.Layout.Bench)
	}
	const dpi, margin = 300, 3.0
	worst, runs := 0.0, 0
	for i, line := range x.Layout.Lines {
		if len(line) < 2 {
			continue
		}
		runs++
		var pdf bytes.Buffer
		d := flat.Drawing{Width: x.Layout.Bench.Width, Height: x.Layout.Bench.Height, Lines: []flat.Line{{Points: line, Width: 0.2}}}
		o := sheet.Options{Font: fonts(t), Board: sheet.BoardOptions{Paper: sheet.OneLongOne}}
		if err := writeDrawing(&pdf, d, o, nil); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "run.pdf")
		if err := os.WriteFile(file, pdf.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		left, top, right, bottom := math.Inf(1), math.Inf(1), 0.0, 0.0
		for _, p := range line {
			left, top, right, bottom = min(left, p.X), min(top, p.Y), max(right, p.X), max(bottom, p.Y)
		}
		left, top = math.Floor(left-margin), math.Floor(top-margin)
		picture := raster(t, file, left, top, right-left+margin, bottom-top+margin, dpi)
		sum := 0.0
		for k := 1; k < len(line); k++ {
			from, to := 0.0, 0.0 // beyond a bend lies the next stretch, which at a small angle looks like this one
			if k == 1 {
				from = 1
			}
			if k == len(line)-1 {
				to = 1
			}
			sum += stretchIn(picture, line[k-1], line[k], from, to, math.Round(left/25.4*dpi), math.Round(top/25.4*dpi), dpi)
		}
		worst = max(worst, math.Abs(sum-x.Plan.Length[i]))
		if math.Abs(sum-x.Plan.Length[i]) > 0.3 {
			t.Errorf("run %d is %.2f mm on paper, want %.2f", i, sum, x.Plan.Length[i])
		}
	}
	if runs < 45 {
		t.Errorf("%d runs are drawn", runs)
	}
	t.Logf("%d runs, the worst is off by %.2f mm", runs, worst)
}

// stretchIn measures how far the dark dots near a stretch reach along it, in mm, at most so far beyond its ends. The corner of the picture is at left and top, in dots.
func stretchIn(g grey, a, b board.Point, before, after, left, top float64, dpi int) float64 {
	long := math.Hypot(b.X-a.X, b.Y-a.Y)
	dx, dy := (b.X-a.X)/long, (b.Y-a.Y)/long
	low, high := math.Inf(1), math.Inf(-1)
	mm := 25.4 / float64(dpi)
	for y := range g.h {
		for x := range g.w {
			if g.dots[y*g.w+x] < 128 {
				px, py := (left+float64(x)+0.5)*mm-a.X, (top+float64(y)+0.5)*mm-a.Y
				along, across := px*dx+py*dy, -px*dy+py*dx
				if math.Abs(across) < 0.15 && along > -before && along < long+after {
					low, high = min(low, along), max(high, along)
				}
			}
		}
	}
	return high - low + mm*0.5
}

// The sheets hold all of the drawing: each point of each line is on a sheet, away from what is cut off, and neighbours share their lap.
func TestSheetsCoverTheBoard(t *testing.T) {
	x, err := flat.Of(demo(t), sheet.Options{})
	if err != nil {
		t.Fatal(err)
	}
	d := x.Draw(sheet.Options{})
	for _, o := range []sheet.BoardOptions{{}, {Paper: sheet.A3}, {Paper: sheet.Letter}, {Bar: 98}} {
		p := tiles(d, o)
		if p.step[0]+lap != p.room[0] || p.step[1]+lap != p.room[1] {
			t.Errorf("%v: neighbours share %.1f and %.1f mm", o, p.room[0]-p.step[0], p.room[1]-p.step[1])
		}
		if len(p.full) >= p.cols*p.rows {
			t.Errorf("%v: no sheet is left out of %d by %d", o, p.cols, p.rows)
		}
		for _, l := range d.Lines {
			for _, at := range l.Points {
				if at.X < 0 || at.Y < 0 || at.X > d.Width || at.Y > d.Height {
					continue // beyond the bench
				}
				held := false
				for _, s := range p.full {
					x, y := at.X-float64(s.col)*p.step[0], at.Y-float64(s.row)*p.step[1]
					held = held || x >= 0 && y >= 0 && x <= p.room[0] && y <= p.room[1]
				}
				if !held {
					t.Fatalf("%v: nothing holds %v", o, at)
				}
			}
		}
	}
}

// A printer that prints 98 mm for 100 gets everything larger by as much, the bar too.
func TestTheBarCorrectsThePrinter(t *testing.T) {
	if testing.Short() {
		t.Skip("needs pdftoppm")
	}
	for bar, want := range map[float64]float64{0: 100, 98: 100 * 100 / 98.0, 101: 100 * 100 / 101.0} {
		var pdf bytes.Buffer
		if err := Write(&pdf, "board", demo(t), sheet.Options{Font: fonts(t), Board: sheet.BoardOptions{Bar: bar}}, nil); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "board.pdf")
		if err := os.WriteFile(file, pdf.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		const dpi = 300
		out := filepath.Join(t.TempDir(), "second")
		if said, err := exec.Command("pdftoppm", "-r", fmt.Sprint(dpi), "-gray", "-singlefile", "-f", "2", "-l", "2", file, out).CombinedOutput(); err != nil {
			t.Fatalf("pdftoppm: %v: %s", err, said)
		}
		g := readGrey(t, out+".pgm")
		longest := 0 // run of dark dots at the foot
		for y := g.h - g.h/8; y < g.h; y++ {
			run := 0
			for x := range g.w {
				if run++; g.dots[y*g.w+x] >= 128 {
					run = 0
				}
				longest = max(longest, run)
			}
		}
		if got := float64(longest) / dpi * 25.4; math.Abs(got-want) > 0.4 {
			t.Errorf("bar %v: it is %.2f mm long, want %.2f", bar, got, want)
		}
	}
}

// What is said before printing is what is printed, and the lists hold every run that is laid.
func TestTheBoardIsSaidFirst(t *testing.T) {
	b := demo(t)
	var said bytes.Buffer
	if err := WriteAs(&said, "board", sheet.JSON, b, sheet.Options{}, nil); err != nil {
		t.Fatal(err)
	}
	var a flat.Answer
	if err := json.Unmarshal(said.Bytes(), &a); err != nil {
		t.Fatal(err)
	}
	var pdf bytes.Buffer
	pages := 0
	if err := Write(&pdf, "board", b, sheet.Options{Font: fonts(t)}, func(_, of int) { pages = of }); err != nil {
		t.Fatal(err)
	}
	if a.Sheets < 20 || pages != a.Sheets+1 || !a.Fits {
		t.Errorf("%d sheets are said, %d pages are printed, fits: %v", a.Sheets, pages, a.Fits)
	}
	x, err := flat.Of(b, sheet.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var list, plain bytes.Buffer
	if err := WriteAs(&list, "benchlist", sheet.CSV, b, sheet.Options{}, nil); err != nil {
		t.Fatal(err)
	}
	if err := WriteAs(&plain, "schematic", sheet.SVG, b, sheet.Options{}, nil); err != nil {
		t.Fatal(err)
	}
	marks := strings.Split(strings.TrimSpace(list.String()), "\n")[1:]
	if len(marks) != len(x.Plan.Places) {
		t.Errorf("the bench list has %d rows for %d places: %.300s", len(marks), len(x.Plan.Places), list.String())
	}
	if n := strings.Count(plain.String(), "<text"); n < len(x.Plan.Places) {
		t.Errorf("the schematic has %d texts for %d places", n, len(x.Plan.Places))
	}
}

// A build with nothing known, and one with texts made to break writers, are laid out too.
func TestOddBoards(t *testing.T) {
	for _, kind := range []string{"board", "schematic"} {
		var out bytes.Buffer
		if err := WriteAs(&out, kind, sheet.SVG, sheettest.Odd(t), sheet.Options{}, nil); err != nil {
			t.Errorf("%s: %v", kind, err)
		}
		if strings.Contains(out.String(), "<left>") || strings.Contains(out.String(), "<script") {
			t.Errorf("%s: a person's text is not escaped", kind)
		}
	}
}

// A PDF's page has at most 14 400 units of 1/72 inch a side. Source: ISO 32000-1, Annex C.
func TestAPageLongerThanPDFAllowsIsRefused(t *testing.T) {
	o := sheet.Options{Font: fonts(t), Board: sheet.BoardOptions{Paper: sheet.OneLongOne}}
	for _, c := range []struct {
		width float64
		ok    bool
	}{{14400 * 25.4 / 72, true}, {5081, false}} {
		if err := writeDrawing(io.Discard, flat.Drawing{Width: c.width, Height: 600}, o, nil); (err == nil) != c.ok {
			t.Errorf("%g mm: %v", c.width, err)
		}
	}
}
