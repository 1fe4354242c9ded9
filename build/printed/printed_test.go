package printed

import (
	"context"
	"fmt"
	"image"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"loomwright/app/sheet"
	"loomwright/app/sheet/sheettest"
	"loomwright/build/browser"
	"loomwright/build/scanning"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// address is one of 30 signs.
const address = "https://harness.example/app-1/"

func fonts(t testing.TB) (f sheet.Font) {
	t.Helper()
	f.Regular, f.Bold = sheettest.Fonts(t)
	return f
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

// tab is a browser of the test's own.
func tab(t *testing.T) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("needs a browser, poppler-utils and zbar-tools")
	}
	ctx, stop, err := browser.Start(context.Background(), browser.Options{Profile: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(stop)
	return ctx
}

// both returns how many of the labels with a square are read by both decoders, and reports those that are not.
func both(t *testing.T, tab context.Context, labels []Label, payload tag.Payload) (read int) {
	t.Helper()
	own, err := tag.ParseAddress(address)
	if err != nil {
		t.Fatal(err)
	}
	var squares []Label
	var pictures []*image.Gray
	for _, l := range labels {
		if l.Square != nil {
			squares = append(squares, l)
			pictures = append(pictures, l.Image)
		}
	}
	zbar, err := ZBar(pictures)
	if err != nil {
		t.Fatal(err)
	}
	ships, err := scanning.Texts(tab, sheettest.Module(t), pictures)
	if err != nil {
		t.Fatal(err)
	}
	class := map[tag.Payload]tag.Class{tag.Link: tag.OurLink, tag.Code: tag.BareCode, tag.Words: tag.CodeWords}[payload]
	right := func(texts []string, code string) bool {
		return len(texts) == 1 && tag.Parse(texts[0], own).Class == class && tag.Parse(texts[0], own).Code == code
	}
	for i, l := range squares {
		if right(zbar[i], l.Tag.Code) && right(ships[i], l.Tag.Code) {
			read++
			continue
		}
		t.Errorf("%s on %s: zbarimg read %q, the reader that ships %q", l.Tag.Code, l.Name, zbar[i], ships[i])
	}
	return read
}

// every returns the codes of each nth tag in use.
func every(b *harness.Build, n int) (codes []string) {
	for i, rec := range b.Tags.All() {
		if i%n == 0 && !rec.Retired {
			codes = append(codes, rec.Code)
		}
	}
	return codes
}

// Every tag of the demo, as a link of a 30-character address and as a code, is at most 12 mm wide and read back by both
// decoders from the page at the resolution it was made for, and from pictures at every resolution that label printers have.
func TestEveryTagOfTheDemoIsRead(t *testing.T) {
	tab, b := tab(t), demo(t)
	type medium struct {
		name string
		make func(*harness.Build, sheet.Options) (sheet.TagPlan, []Label, error)
		dpi  int
		grid sheet.Grid
	}
	label := sheet.SingleLabel(60*unit.Millimetre, 24*unit.Millimetre)
	media := []medium{{"sheet", Pages, 300, sheet.Grid{}}, {"sheet", Pages, 203, sheet.Grid{}}}
	for _, dpi := range []int{180, 203, 300, 600} {
		media = append(media, medium{"picture", Pictures, dpi, label})
	}
	for _, m := range media {
		for _, payload := range []tag.Payload{tag.Link, tag.Code} {
			t.Run(fmt.Sprintf("%s, %s at %d dpi", m.name, payload, m.dpi), func(t *testing.T) {
				o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Grid: m.grid, DPI: m.dpi, Payload: payload, Address: address}}
				plan, labels, err := m.make(b, o)
				if err != nil {
					t.Fatal(err)
				}
				if plan.Widest > 12 || plan.Squares != len(plan.Labels) || plan.Squares < 300 {
					t.Errorf("%d squares on %d labels, up to %.2f mm wide", plan.Squares, len(plan.Labels), plan.Widest)
				}
				n := both(t, tab, labels, payload)
				t.Logf("%d of %d tags read by both; modules %.3f to %.3f mm, up to %.2f mm wide", n, plan.Squares, plan.Least, plan.Most, plan.Widest)
			})
		}
	}
}

// On every sheet and tape every kind of text is read by both, from each ninth tag of the demo, on a page that is used from its
// last label on and moved by parts of a dot.
func TestEverySheetIsRead(t *testing.T) {
	tab, b := tab(t), demo(t)
	custom := sheet.Grid{Name: "custom", PageW: 100 * unit.Millimetre, PageH: 60 * unit.Millimetre, Cols: 2, Rows: 2, LabelW: 45 * unit.Millimetre,
		LabelH: 20 * unit.Millimetre, Left: 3 * unit.Millimetre, Top: 4 * unit.Millimetre, PitchX: 48 * unit.Millimetre, PitchY: 22 * unit.Millimetre}
	only := every(b, 9)
	for _, grid := range append(sheet.Grids(), custom) {
		if grid.LabelH < 12*unit.Millimetre {
			continue // which carries text alone: see TestNarrowTapes of the sheets
		}
		for _, payload := range tag.Payloads {
			o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Grid: grid, Start: grid.PerPage(), OffsetX: unit.Millimetre / 2, OffsetY: -unit.Millimetre / 3,
				Payload: payload, Address: address, Only: only}}
			_, labels, err := Pages(b, o)
			if err != nil {
				t.Errorf("%s, %s: %v", grid.Name, payload, err)
				continue
			}
			if n := both(t, tab, labels, payload); n != len(only) {
				t.Errorf("%s, %s: %d of %d tags were read by both", grid.Name, payload, n, len(only))
			}
		}
	}
}

// A decoder that is given paper without a code says nothing, and one with a code says it once, in the order of the pictures.
func TestDecodersSayWhatIsThere(t *testing.T) {
	tab, b := tab(t), demo(t)
	o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Payload: tag.Code, Only: every(b, 100)}}
	_, labels, err := Pages(b, o)
	if err != nil {
		t.Fatal(err)
	}
	empty := image.NewGray(image.Rect(0, 0, 300, 200))
	var pictures []*image.Gray
	var want [][]string
	for _, l := range labels {
		pictures = append(pictures, empty, l.Image)
		want = append(want, nil, []string{l.Tag.Code})
	}
	zbar, err := ZBar(pictures)
	if err != nil {
		t.Fatal(err)
	}
	ships, err := scanning.Texts(tab, sheettest.Module(t), pictures)
	if err != nil {
		t.Fatal(err)
	}
	for i := range want {
		if !slices.Equal(zbar[i], want[i]) || !slices.Equal(ships[i], want[i]) {
			t.Errorf("picture %d: zbarimg %q, the reader that ships %q, want %q", i, zbar[i], ships[i], want[i])
		}
	}
}

// Tags of bundles and connectors, in each of their shapes, are read by both from sheets, tapes and pictures.
func TestTagsOfBundlesAndConnectorsAreRead(t *testing.T) {
	tab, b := tab(t), demo(t)
	bundles, connectors := sheettest.Tagged(t, b)
	only := append(bundles, connectors...)
	tape, _ := sheet.GridNamed("tape-12")
	for _, m := range []struct {
		name string
		make func(*harness.Build, sheet.Options) (sheet.TagPlan, []Label, error)
		tags sheet.TagOptions
	}{
		{"sheet", Pages, sheet.TagOptions{DPI: 300, Connectors: sheet.Plate}},
		{"sheet of flags", Pages, sheet.TagOptions{DPI: 203, Bundles: sheet.BundleFlag, Connectors: sheet.Folded}},
		{"tape", Pages, sheet.TagOptions{Grid: tape, DPI: 300, Connectors: sheet.Folded}},
		{"tape, pictures", Pictures, sheet.TagOptions{Grid: tape, DPI: 180, Connectors: sheet.Plate}},
	} {
		for _, payload := range tag.Payloads {
			o := sheet.Options{Font: fonts(t), Tags: m.tags}
			o.Tags.Payload, o.Tags.Address, o.Tags.Only = payload, address, only
			plan, labels, err := m.make(b, o)
			if err != nil {
				t.Errorf("%s, %s: %v", m.name, payload, err)
				continue
			}
			if n := both(t, tab, labels, payload); n != len(only) || plan.Doubtful > 0 {
				t.Errorf("%s, %s: %d of %d tags were read by both, %d are doubtful", m.name, payload, n, len(only), plan.Doubtful)
			}
		}
	}
}

// Collars are round their bundles when they are read: those of the demo, as a phone sees them, in nine of ten.
func TestCollarsAreReadByAPhone(t *testing.T) {
	tab, b := tab(t), demo(t)
	bundles, _ := sheettest.Tagged(t, b)
	tape, _ := sheet.GridNamed("tape-12")
	var all []tried
	for _, dpi := range printers {
		for _, payload := range tag.Payloads {
			o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Grid: tape, DPI: dpi, Payload: payload, Address: address, Only: bundles}}
			plan, err := sheet.PlanTags(b, o)
			if err != nil {
				t.Fatal(err)
			}
			for _, l := range plan.Labels {
				if l.Round > 0 {
					all = append(all, tried{string(payload), held(*l.Square, l.Round/math.Pi, false)})
				}
			}
		}
	}
	for why, n := range seen(t, tab, all, 2) {
		if 10*n.ships < 9*n.tries {
			t.Errorf("%s: %d of %d were read", why, n.ships, n.tries)
		}
		t.Logf("%s: %d of %d were read", why, n.ships, n.tries)
	}
}
