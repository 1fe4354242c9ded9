package sheet

import (
	"errors"
	"math"
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

func plan(t *testing.T, b *harness.Build, tags TagOptions) TagPlan {
	t.Helper()
	p, err := PlanTags(b, Options{Font: fonts(t), Tags: tags})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestGridsFitTheirPages(t *testing.T) {
	for _, c := range []struct {
		name       string
		labels     int
		left, top  float64 // mm
		lastRight  float64
		lastBottom float64
		source     string
	}{
		{"a4-3x8", 24, 7.25, 12.9, 202.75, 284.1, "common practice, from memory: centred"},
		{"a4-3x7", 21, 7.2, 15.15, 202.7, 281.85, "published geometry: top 15.15, left 7.2, gap 2.5"},
		{"a4-5x13", 65, 4.75, 10.7, 205.25, 286.3, "common practice, from memory: centred"},
		{"letter-3x10", 30, 4.7625, 12.7, 211.1375, 266.7, "published geometry: 2 5/8 x 1 in, gap 1/8"},
		{"letter-4x20", 80, 7.14375, 12.7, 208.75625, 266.7, "common practice, from memory: centred"},
	} {
		g, ok := GridNamed(c.name)
		if !ok || g.Check() != nil || g.PerPage() != c.labels {
			t.Errorf("%s: %+v, %v", c.name, g, g.Check())
			continue
		}
		x, y := g.slot(0)
		lx, ly := g.slot(c.labels - 1)
		for _, v := range [][2]float64{{x, c.left}, {y, c.top}, {lx + g.LabelW.MM(), c.lastRight}, {ly + g.LabelH.MM(), c.lastBottom}} {
			if math.Abs(v[0]-v[1]) > 1e-9 {
				t.Errorf("%s: %v mm, want %v (%s)", c.name, v[0], v[1], c.source)
			}
		}
		if g.ruler() == (Ruler{}) {
			t.Errorf("%s has no room for the ruler", c.name)
		}
	}
	if _, ok := GridNamed("a4-9x9"); ok {
		t.Error("a sheet that is not known was found")
	}
}

func TestGridCheckRefuses(t *testing.T) {
	good := Grids()[0]
	for name, change := range map[string]func(*Grid){
		"no columns":         func(g *Grid) { g.Cols = 0 },
		"negative margin":    func(g *Grid) { g.Left = -unit.Millimetre },
		"overlap":            func(g *Grid) { g.PitchX = g.LabelW - 1 },
		"off the page":       func(g *Grid) { g.Top += 20 * unit.Millimetre },
		"no page":            func(g *Grid) { g.PageW = 0 },
		"tiny labels":        func(g *Grid) { g.LabelH = unit.Millimetre },
		"numbers that flood": func(g *Grid) { g.LabelW, g.PitchX = math.MaxInt64, math.MaxInt64 },
	} {
		g := good
		change(&g)
		if g.Check() == nil {
			t.Errorf("%s: %+v was taken", name, g)
		}
	}
}

func TestPlanStartsAtALabelAndKeepsToTheGrid(t *testing.T) {
	b := seeded(t, 20)
	all := plan(t, b, TagOptions{})
	later := plan(t, b, TagOptions{Start: 24, OffsetX: unit.Millimetre, OffsetY: -unit.Millimetre})
	if all.Labels[0].Page != 1 || all.Labels[0].Slot != 1 || later.Labels[0].Slot != 24 || later.Labels[1].Page != 2 || later.Labels[1].Slot != 1 {
		t.Errorf("first labels: %+v; from 24: %+v", all.Labels[0], later.Labels[:2])
	}
	x, y := all.Grid.slot(23)
	if got := later.Labels[0]; math.Abs(got.X-x-1) > 1e-9 || math.Abs(got.Y-y+1) > 1e-9 {
		t.Errorf("label 24 moved by 1 mm lies at %v, %v; without at %v, %v", got.X, got.Y, x, y)
	}
	if len(all.Labels) != b.Tags.Len() || all.Pages != (b.Tags.Len()+23)/24 {
		t.Errorf("%d labels on %d pages for %d tags", len(all.Labels), all.Pages, b.Tags.Len())
	}
	for _, start := range []int{25, 1000} {
		if _, err := PlanTags(b, Options{Font: fonts(t), Tags: TagOptions{Start: start}}); err == nil {
			t.Errorf("a sheet of 24 begins at label %d", start)
		}
	}
}

// Squares lie on whole dots and inside their labels, and text lies inside as well, on every sheet.
func TestPlanStaysInsideTheLabels(t *testing.T) {
	b := bench(t)
	width, err := fonts(t).Measure()
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range Grids() {
		for _, dpi := range []int{203, 300, 600} {
			for _, style := range []WireTag{Flag, Tape, Tube} {
				o := TagOptions{Grid: g, DPI: dpi, Wires: style, Address: "https://harness.example/app-1/"}
				o.BundlesPlain = g.LabelH < 12*unit.Millimetre // a tape too narrow for a square
				if o.BundlesPlain && style != Tube {
					continue
				}
				for _, l := range plan(t, b, o).Labels {
					if q := l.Square; q != nil {
						for _, v := range []float64{l.SquareX, l.SquareY, q.Module()} {
							if dots := v * float64(dpi) / 25.4; math.Abs(dots-math.Round(dots)) > 1e-6 {
								t.Fatalf("%s at %d dpi: %v mm is not on a dot", g.Name, dpi, v)
							}
						}
						dot := q.Dot()
						if l.SquareX < l.X-dot || l.SquareY < l.Y-dot || l.SquareX+q.Width() > l.X+l.W || l.SquareY+q.Width() > l.Y+l.H {
							t.Fatalf("%s at %d dpi: the square of %s leaves its label", g.Name, dpi, l.Tag.Code)
						}
						if l.Fold > 0 && l.SquareX+q.Width() > l.Fold {
							t.Fatalf("%s: the square of %s lies on the fold", g.Name, l.Tag.Code)
						}
					}
					text := ""
					for _, line := range l.Lines {
						text += line.Text + "|"
						if w := width(line.Text, line.Points, line.Bold); line.X < l.X || line.X+w > l.X+l.W+0.05 || line.Y < l.Y || line.Y > l.Y+l.H {
							t.Fatalf("%s, %s: the line %q leaves its label", g.Name, style, line.Text)
						}
					}
					if !strings.Contains(text, tag.Format(l.Tag.Code)) {
						t.Fatalf("%s, %s: the code %s is not in %q", g.Name, style, l.Tag.Code, text)
					}
				}
			}
		}
	}
}

func TestWhichTagsHaveASquare(t *testing.T) {
	b := bench(t)
	for _, c := range []struct {
		name    string
		tags    TagOptions
		wires   bool
		bundles bool
	}{
		{"as it is", TagOptions{}, true, true},
		{"round thin wires", TagOptions{Wires: Tape}, false, true},
		{"tubes", TagOptions{Wires: Tube}, false, true},
		{"plain bundles", TagOptions{BundlesPlain: true}, true, false},
	} {
		for _, l := range plan(t, b, c.tags).Labels {
			if want := l.Wire && c.wires || !l.Wire && c.bundles; (l.Square != nil) != want || (l.Why == "") != want {
				t.Errorf("%s: %s has a square: %v (%s), want %v", c.name, l.Name, l.Square != nil, l.Why, want)
			}
		}
	}
	put(t, b, harness.KindWire, "fat", harness.Wire{Name: "W1000", Size: "25 mm2", Order: 1000})
	put(t, b, harness.KindTag, "fat", harness.Tag{Code: "7K3F9Q2M", On: harness.KindWire, Subject: "fat"})
	fat := plan(t, b, TagOptions{Wires: Tape, Only: []string{"7K3F9Q2M"}, Width: 85 * unit.Millimetre / 10})
	if fat.Labels[0].Square == nil {
		t.Errorf("a cable of 8.7 mm carries a square of 8.5 mm: %s", fat.Labels[0].Why)
	}
}

func TestTooSmallIsRefusedWithTheReason(t *testing.T) {
	b := seeded(t, 5)
	for name, tags := range map[string]TagOptions{
		"a narrow square": {Width: 4 * unit.Millimetre},
		"large modules":   {Smallest: unit.Millimetre},
		"a small label":   {Grid: SingleLabel(10*unit.Millimetre, 5*unit.Millimetre)},
		"a long address":  {Address: "https://a-host-with-a-long-name.example/and/a/long/path/of/lower/case/", DPI: 203, Width: 9 * unit.Millimetre},
	} {
		p, err := PlanTags(b, Options{Font: fonts(t), Tags: tags})
		if !errors.Is(err, tag.ErrTooSmall) || !strings.Contains(err.Error(), " mm") || len(p.Labels) != 0 {
			t.Errorf("%s: %v, %d labels; want tag.ErrTooSmall with numbers and no labels", name, err, len(p.Labels))
		}
	}
	if _, err := PlanTags(b, Options{Font: fonts(t), Tags: TagOptions{Payload: tag.Link}}); err == nil {
		t.Error("links without an address were planned")
	}
}

func TestPlanLeavesOutWhatIsGoneAndSaysSo(t *testing.T) {
	b := seeded(t, 5)
	before := len(plan(t, b, TagOptions{}).Labels)
	w, _ := b.Wires.Get("w001")
	w.Gone = true
	put(t, b, harness.KindWire, w.ID, w)
	rec := b.Tags.All()[len(b.Tags.All())-1]
	rec.Retired = true
	put(t, b, harness.KindTag, rec.ID, rec)
	put(t, b, harness.KindTag, "lost", harness.Tag{Code: "7K3F9Q2M", On: harness.KindWire, Subject: "never"})
	p := plan(t, b, TagOptions{Address: "http://192.168.1.7/"})
	if len(p.Labels) != before-3 {
		t.Errorf("%d labels, want %d: two of a deleted wire and one retired are left out", len(p.Labels), before-3)
	}
	notes := strings.Join(p.Notes, "\n")
	for _, want := range []string{"2 tags are left out: what they were on is deleted", "1 tag is left out: this build does not know", "1 tag is not made yet"} {
		if !strings.Contains(notes, want) {
			t.Errorf("notes lack %q:\n%s", want, notes)
		}
	}
	if len(p.Warnings) != 2 {
		t.Errorf("warnings %v, want private and plain http", p.Warnings)
	}
	if one := plan(t, b, TagOptions{Only: []string{rec.Code}}); len(one.Labels) != 1 {
		t.Errorf("a retired tag asked for by its code: %d labels", len(one.Labels))
	}
}

// Sizes in the drawing are exact: the page, and the ruler.
func TestDrawnSheetIsExactMillimetres(t *testing.T) {
	b := seeded(t, 3)
	svg := string(written(t, "tags", SVG, b, Options{Font: fonts(t)}))
	if !strings.Contains(svg, `width="210mm" height="297mm" viewBox="0 0 210 297"`) || !strings.Contains(svg, "M15 286.1L115 286.1") || !strings.Contains(svg, "print at 100 %") {
		t.Errorf("the drawing of a sheet lacks its size or its ruler of 100 mm: %.400s", svg)
	}
}
