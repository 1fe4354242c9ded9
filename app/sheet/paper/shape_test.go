package paper

import (
	"archive/zip"
	"bytes"
	"fmt"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"loomwright/app/sheet"
	"loomwright/app/sheet/sheettest"
	"loomwright/calc/bundle"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/tag"
)

// overs is how thick each run of a build is over its cover, in millimetres, from the packing itself.
func overs(t *testing.T, b *harness.Build) map[string]float64 {
	t.Helper()
	l := loom.New(b, cut.Settle(b).Graph)
	all, err := l.Pack(bundle.NewPaced(bundle.Quick, nil))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]float64{}
	for i, p := range all {
		out[l.Runs[i].ID] = l.Facts(l.Runs[i], p).Over
	}
	return out
}

// inked returns the first and last column with ink of a part of a picture, in pixels; -1 for none.
func (g grey) inked(x0, y0, x1, y1 int) (from, to int) {
	from, to = -1, -1
	for x := max(x0, 0); x < min(x1, g.w); x++ {
		for y := max(y0, 0); y < min(y1, g.h); y++ {
			if g.dots[y*g.w+x] < 128 {
				if from < 0 {
					from = x
				}
				to = x
				break
			}
		}
	}
	return from, to
}

// On the printed page, drawn at 600 dots per inch, the round of a collar, the tail behind it, the gap of a flag, the square and the
// length of a tape are true to a tenth of a millimetre.
func TestSizesOfBundleTags(t *testing.T) {
	if testing.Short() {
		t.Skip("needs poppler-utils")
	}
	b := demo(t)
	codes, plugs := sheettest.Tagged(t, b)
	codes = append(codes, plugs...)
	over := overs(t, b)
	const dpi, near = 600, 0.1
	of := float64(dpi) / 25.4
	seen := map[string]int{}
	for _, name := range []string{"a4-3x8", "tape-24"} {
		g, ok := sheet.GridNamed(name)
		if !ok {
			t.Fatal(name)
		}
		o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Grid: g, Payload: tag.Code, Only: codes, Connectors: sheet.Folded}}
		plan, err := sheet.PlanTags(b, o)
		if err != nil {
			t.Fatal(err)
		}
		dir := t.TempDir()
		file := filepath.Join(dir, "tags.pdf")
		if err := os.WriteFile(file, written(t, "tags", b, o), 0o644); err != nil {
			t.Fatal(err)
		}
		if out, err := exec.Command("pdftoppm", "-r", fmt.Sprint(dpi), "-gray", file, filepath.Join(dir, "page")).CombinedOutput(); err != nil {
			t.Fatalf("pdftoppm: %v\n%s", err, out)
		}
		names, err := filepath.Glob(filepath.Join(dir, "page*.pgm"))
		if err != nil || len(names) != plan.Pages {
			t.Fatalf("%d pages, %v; want %d", len(names), err, plan.Pages)
		}
		slices.Sort(names)
		page, img := 0, grey{}
		for _, l := range plan.Labels {
			if l.Page != page {
				page, img = l.Page, readGrey(t, names[l.Page-1])
			}
			at := func(mm float64) int { return int(math.Round(mm * of)) }
			is := func(what string, px int, want float64) {
				t.Helper()
				if got := float64(px) / of; math.Abs(got-want) > near {
					t.Errorf("%s on %s, %s: %.2f mm, want %.2f", l.Name, name, what, got, want)
				}
			}
			round := math.Pi * over[l.Tag.Subject]
			long := l.W
			switch {
			case l.Round > 0:
				seen["collar "+name]++
				from, to := img.inked(at(l.X), at(l.Y+0.2), at(l.X+l.W), at(l.Y+0.8)) // the tick alone is so near the edge
				is("once round", (from+to+1)/2-at(l.X), round)
				if _, to := img.inked(at(l.X), at(l.Y+1.5), at(l.X+l.W), at(l.Y+l.H-1.5)); float64(to)/of > l.X+round {
					t.Errorf("%s on %s: ink on the tail", l.Name, name)
				}
				long = round + 10
			case l.Fold > 0 && l.Kind == tag.OnBundle:
				seen["flag "+name]++
				from, to := img.inked(at(l.X), at(l.Y+0.2), at(l.X+l.W), at(l.Y+0.8))
				is("the fold", (from+to+1)/2-at(l.X), l.W/2)
				if from, _ := img.inked(at(l.Fold-round/2+near), at(l.Y+1.5), at(l.Fold+round/2-near), at(l.Y+l.H-1.5)); from >= 0 {
					t.Errorf("%s on %s: ink in the gap of %.1f mm", l.Name, name, round)
				}
				long = round + 50
			case l.Fold > 0:
				seen["connector "+name]++
				long = g.LabelW.MM()
			}
			if name == "tape-24" {
				is("the tape", img.w, long)
				is("across the tape", img.h, 24)
			}
			if q := l.Square; q != nil {
				border := tag.QuietZone * q.Module()
				x, y, side := l.SquareX+border, l.SquareY+border, q.Width()-2*border
				from, to := img.inked(at(x-border/2), at(y), at(x+side+border/2), at(y+side))
				is("the square", to+1-from, side)
				is("where it begins", from-at(l.X), x-l.X)
			}
		}
	}
	for _, what := range []string{"collar a4-3x8", "collar tape-24", "flag a4-3x8", "flag tape-24", "connector a4-3x8", "connector tape-24"} {
		if seen[what] == 0 {
			t.Errorf("no %s was measured: %v", what, seen)
		}
	}
}

// Pictures of tags for bundles are as long as the tape that they take.
func TestPicturesOfBundleTags(t *testing.T) {
	b := demo(t)
	codes, _ := sheettest.Tagged(t, b)
	over := overs(t, b)
	g, _ := sheet.GridNamed("tape-12")
	for _, dpi := range []int{180, 300} {
		o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Grid: g, DPI: dpi, Payload: tag.Code, Only: codes}}
		plan, err := sheet.PlanTags(b, o)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := WriteAs(&out, "tags", sheet.ZIP, b, o, nil); err != nil {
			t.Fatal(err)
		}
		archive, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
		if err != nil || len(archive.File) != len(codes) {
			t.Fatalf("%d pictures, %v", len(archive.File), err)
		}
		collars := 0
		for i, f := range archive.File {
			r, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			size, err := png.DecodeConfig(r)
			if err != nil {
				t.Fatal(err)
			}
			l := plan.Labels[i]
			want := math.Pi*over[l.Tag.Subject] + 50
			if l.Round > 0 {
				collars++
				want -= 40
			}
			if got := float64(size.Width) / float64(dpi) * 25.4; math.Abs(got-want) > 0.1 {
				t.Errorf("%s at %d dpi: %.2f mm, want %.2f", f.Name, dpi, got, want)
			}
		}
		if collars == 0 {
			t.Error("no collar was measured")
		}
	}
}
