package paper

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loomwright/app/sheet"
	"loomwright/app/sheet/sheettest"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// decode rasterises a PDF at so many dots per inch, cuts each label out as a phone held over it sees it, and returns
// every code that an independent decoder reads.
func decode(t *testing.T, pdf []byte, plan sheet.TagPlan, dpi int) []string {
	t.Helper()
	for tool, from := range map[string]string{"pdftoppm": "poppler-utils", "zbarimg": "zbar-tools"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Fatalf("%s is missing: apt-get install %s, or run the tests with -short", tool, from)
		}
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "tags.pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", fmt.Sprint(dpi), "-gray", file, filepath.Join(dir, "page")).CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v\n%s", err, out)
	}
	pages, err := filepath.Glob(filepath.Join(dir, "page*.pgm"))
	if err != nil || len(pages) != plan.Pages {
		t.Fatalf("%d pages, %v; want %d", len(pages), err, plan.Pages)
	}
	slices.Sort(pages)
	args := []string{"--raw", "-q", "-Sdisable", "-Sqrcode.enable"}
	page, dots := 0, float64(dpi)/25.4
	var img grey
	for i, l := range plan.Labels {
		if l.Page != page {
			page = l.Page
			img = readGrey(t, pages[page-1])
		}
		if l.Square == nil {
			continue
		}
		cut := img.cut(int(l.X*dots), int(l.Y*dots), int(l.W*dots), int(l.H*dots))
		name := filepath.Join(dir, fmt.Sprintf("label%04d.pgm", i))
		if err := os.WriteFile(name, cut.encode(), 0o644); err != nil {
			t.Fatal(err)
		}
		args = append(args, name)
	}
	var quiet *exec.ExitError // with status 4 where one picture has no code; the caller counts
	out, err := exec.Command("zbarimg", args...).Output()
	if err != nil && !(errors.As(err, &quiet) && quiet.ExitCode() == 4) {
		t.Fatalf("zbarimg: %v", err)
	}
	return strings.Split(strings.TrimRight(string(out), "\n"), "\n")
}

// grey is a picture of one byte a dot.
type grey struct {
	w, h int
	dots []byte
}

func readGrey(t *testing.T, file string) grey {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var g grey
	var top int
	if _, err := fmt.Sscanf(string(data[:min(len(data), 40)]), "P5\n%d %d\n%d\n", &g.w, &g.h, &top); err != nil || top != 255 || len(data) < g.w*g.h {
		t.Fatalf("%s: %v, largest %d", file, err, top)
	}
	g.dots = data[len(data)-g.w*g.h:]
	return g
}

// cut returns a part of the picture, white where it reaches over the edge.
func (g grey) cut(x, y, w, h int) grey {
	out := grey{w, h, bytes.Repeat([]byte{255}, w*h)}
	for r := range h {
		for c := range w {
			if sx, sy := x+c, y+r; sx >= 0 && sx < g.w && sy >= 0 && sy < g.h {
				out.dots[r*w+c] = g.dots[sy*g.w+sx]
			}
		}
	}
	return out
}

func (g grey) encode() []byte {
	return append(fmt.Appendf(nil, "P5\n%d %d\n255\n", g.w, g.h), g.dots...)
}

// demo is the build that the app shows to begin with.
func demo(t testing.TB) *harness.Build {
	t.Helper()
	f, err := os.Open(filepath.Join(sheettest.Module(t), "testdata", "builds", "roadster.build"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	log, err := storage.Decode(f, nil)
	if err != nil {
		t.Fatal(err)
	}
	return log.State()
}

// Every square of a whole build, as links of a 30-character address and as codes, is at most 12 mm wide and is read
// back from the printed page, at the resolution it was made for.
func TestEveryTagDecodes(t *testing.T) {
	if testing.Short() {
		t.Skip("needs poppler-utils and zbar-tools")
	}
	for name, b := range map[string]*harness.Build{"seeded": sheettest.Seeded(t, 150), "demo": demo(t)} {
		for _, dpi := range []int{300, 203} {
			for _, payload := range []tag.Payload{tag.Link, tag.Code} {
				t.Run(fmt.Sprintf("%s, %s at %d dpi", name, payload, dpi), func(t *testing.T) { everyTagDecodes(t, b, dpi, payload) })
			}
		}
	}
}

func everyTagDecodes(t *testing.T, b *harness.Build, dpi int, payload tag.Payload) {
	const address = "https://harness.example/app-1/"
	if len(address) != 30 {
		t.Fatalf("the address has %d signs", len(address))
	}
	own, err := tag.ParseAddress(address)
	if err != nil {
		t.Fatal(err)
	}
	o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{DPI: dpi, Payload: payload, Address: address}}
	plan, err := sheet.PlanTags(b, o)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]bool{}
	for _, l := range plan.Labels {
		want[l.Tag.Code] = true
	}
	if plan.Widest > 12 || plan.Squares != len(plan.Labels) || len(want) != len(plan.Labels) || plan.Squares < 300 {
		t.Errorf("%d squares on %d labels with %d codes, up to %.2f mm wide", plan.Squares, len(plan.Labels), len(want), plan.Widest)
	}
	var pdf bytes.Buffer
	if err := Write(&pdf, "tags", b, o, nil); err != nil {
		t.Fatal(err)
	}
	class := map[tag.Payload]tag.Class{tag.Link: tag.OurLink, tag.Code: tag.BareCode}[payload]
	for _, s := range decode(t, pdf.Bytes(), plan, dpi) {
		scan := tag.Parse(s, own)
		if scan.Class != class || !want[scan.Code] {
			t.Errorf("read %q: %+v", s, scan)
		}
		delete(want, scan.Code)
	}
	if len(want) > 0 {
		t.Errorf("%d of %d tags were not read", len(want), plan.Squares)
	}
	t.Logf("%d tags on %d pages, modules %.3f to %.3f mm, up to %.2f mm wide", plan.Squares, plan.Pages, plan.Least, plan.Most, plan.Widest)
}

// The other sheets, words, offsets and a used sheet are read as well.
func TestOtherSheetsDecode(t *testing.T) {
	if testing.Short() {
		t.Skip("needs poppler-utils and zbar-tools")
	}
	b := sheettest.Seeded(t, 20)
	custom := sheet.Grid{Name: "custom", PageW: 100 * unit.Millimetre, PageH: 60 * unit.Millimetre, Cols: 2, Rows: 2, LabelW: 45 * unit.Millimetre,
		LabelH: 20 * unit.Millimetre, Left: 3 * unit.Millimetre, Top: 4 * unit.Millimetre, PitchX: 48 * unit.Millimetre, PitchY: 22 * unit.Millimetre}
	for _, grid := range append(sheet.Grids(), custom, sheet.SingleLabel(60*unit.Millimetre, 25*unit.Millimetre)) {
		for _, payload := range tag.Payloads {
			o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Grid: grid, Start: grid.PerPage(), OffsetX: unit.Millimetre / 2, OffsetY: -unit.Millimetre / 3,
				Payload: payload, Address: "https://harness.example/app-1/"}}
			plan, err := sheet.PlanTags(b, o)
			if errors.Is(err, tag.ErrTooSmall) && grid.LabelH < 12*unit.Millimetre {
				continue // which TestNarrowTapes looks at
			}
			if err != nil {
				t.Errorf("%s, %s: %v", grid.Name, payload, err)
				continue
			}
			var pdf bytes.Buffer
			if err := Write(&pdf, "tags", b, o, nil); err != nil {
				t.Fatal(err)
			}
			if n := distinctCodes(decode(t, pdf.Bytes(), plan, 300), b); n != b.Tags.Len() {
				t.Errorf("%s, %s: %d of %d tags were read", grid.Name, payload, n, b.Tags.Len())
			}
		}
	}
}

func distinctCodes(found []string, b *harness.Build) int {
	known := map[string]bool{}
	for _, rec := range b.Tags.All() {
		known[rec.Code] = true
	}
	seen := map[string]bool{}
	for _, s := range found {
		if scan := tag.Parse(s, tag.Address{}); known[scan.Code] {
			seen[scan.Code] = true
		}
	}
	return len(seen)
}
