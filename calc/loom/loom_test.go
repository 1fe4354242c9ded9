package loom

import (
	"errors"
	"math"
	"strconv"
	"testing"

	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

const mil = unit.Millimetre

// tee is a controller, a hole, a split, and two devices of which one is farther: c –200– h –300– s –400– near, s –900– far.
// Four wires go to each.
func tee(t testing.TB) *harness.Build {
	b := harness.NewBuild("b")
	for i, p := range []harness.Place{{Name: "c", Kind: harness.Controller}, {Name: "h", Kind: harness.PassThrough}, {Name: "s", Kind: harness.Split}, {Name: "near", Kind: harness.Device}, {Name: "far", Kind: harness.Device}} {
		p.Order = float64(i)
		harnesstest.Put(t, b, harness.KindPlace, p.Name, p)
	}
	harnesstest.Put(t, b, harness.KindLoom, "main", harness.Loom{Name: "main", Cover: harness.Cover(bundle.Braid)})
	for i, r := range []struct {
		id, a, b string
		mm       int64
	}{{"r1", "h", "c", 200}, {"r2", "h", "s", 300}, {"r3", "s", "near", 400}, {"r4", "s", "far", 900}} {
		harnesstest.Put(t, b, harness.KindRun, r.id, harness.Run{A: r.a, B: r.b, Loom: "main", Order: float64(i)})
		harnesstest.Put(t, b, harness.KindReading, "m"+r.id, harness.Reading{Places: []string{r.a, r.b}, Runs: []string{r.id}, Value: unit.Length(r.mm) * mil})
	}
	for i := range 8 {
		to, size := "near", "0.5 mm2"
		if i%2 == 1 {
			to, size = "far", "0.75 mm2"
		}
		harnesstest.Put(t, b, harness.KindWire, "w"+strconv.Itoa(i), harness.Wire{Name: "W" + strconv.Itoa(i), From: harness.End{Place: "c"}, To: harness.End{Place: to}, Size: size, Order: float64(i)})
	}
	return b
}

func graph(b *harness.Build) *route.Graph { return route.New(b, survey.Adjust(b, nil)) }

func packed(t testing.TB, b *harness.Build, shelf *bundle.Shelf) (*Looms, []bundle.Packed, func(run string) float64) {
	t.Helper()
	l := New(b, graph(b))
	all, err := l.Pack(shelf)
	if err != nil {
		t.Fatal(err)
	}
	return l, all, func(run string) float64 {
		for _, p := range all {
			if p.Run == run && p.Bundle.Known() {
				return p.Bundle.Diameter
			}
		}
		return 0
	}
}

func TestRuns(t *testing.T) {
	b := tee(t)
	l, all, d := packed(t, b, bundle.NewPaced(bundle.Quick, nil))
	r, _ := l.Run("r1")
	if r.Near != "c" || r.Far != "h" || len(r.Wires) != 8 || r.Length != 200*mil {
		t.Errorf("%+v", r.Run)
	}
	if w := r.Wires[1]; w.Leaves != "far" || w.Rest != 1200*mil || !w.Sure || w.Outside != 19*mil/10 {
		t.Errorf("W1: leaves at %s after %v, %v thick", w.Leaves, w.Rest, w.Outside)
	}
	// Four equal circles: (1 + √2) d.
	if want := (1 + math.Sqrt2) * 1.6; math.Abs(d("r3")-want) > 1e-6 {
		t.Errorf("four wires of 1.6 mm: %v mm, want %v", d("r3"), want)
	}
	if d("r1") != d("r2") || d("r1") <= d("r3") {
		t.Errorf("trunk %v and %v, branch %v", d("r1"), d("r2"), d("r3"))
	}
	for i, p := range all {
		if p.Run != l.Runs[i].ID {
			t.Errorf("%d: %s beside %s", i, p.Run, l.Runs[i].ID)
		}
	}
	steps := r.Lay()
	if len(steps) != 8 || steps[0].ID != "w1" || steps[0].Layer != 0 || steps[7].ID != "w6" {
		t.Errorf("laid up %v: what leaves last goes into the core", steps)
	}
}

func TestFacts(t *testing.T) {
	b := tee(t)
	l, all, d := packed(t, b, bundle.NewPaced(bundle.Quick, nil))
	f := l.Facts(l.Runs[0], all[0])
	if f.Cover != harness.Cover(bundle.Braid) || !f.ByLoom || !f.Choice.OK || math.Abs(f.Bend-10*d("r1")) > 1e-9 || !f.Grommet.OK {
		t.Errorf("%+v", f)
	}
	// 4 × 0.5 and 4 × 0.75 mm² over 0.2 m at 8.89 g/cm³.
	if want := 5 * 0.2 * 8.89; math.Abs(f.Weight.Copper-want) > 0.02*want {
		t.Errorf("%v g of copper, want %v", f.Weight.Copper, want)
	}
	if len(f.Weight.Unknown) != 1 {
		t.Errorf("not weighed: %v, want the braid", f.Weight.Unknown)
	}
	mass := 12.0
	harnesstest.Put(t, b, harness.KindCoverSize, "own", harness.CoverSize{Kind: harness.Cover(bundle.Braid), Name: "mine", Inside: 20 * mil, Mass: &mass})
	l = New(b, graph(b))
	if g := l.Facts(l.Runs[0], all[0]); g.Choice.Stock.Name != "mine" || len(g.Weight.Unknown) != 0 || math.Abs(g.Weight.Loom-f.Weight.Loom-2.4) > 1e-9 {
		t.Errorf("own list: %+v", g.Choice)
	}
	if !Own(b, bundle.Braid) || Own(b, bundle.Shrink2) || len(Copy(bundle.Shrink2)) < 5 {
		t.Error("own kinds")
	}
	harnesstest.Put(t, b, harness.KindRun, "r1", harness.Run{A: "h", B: "c", Loom: "main", Cover: harness.NoCover})
	l = New(b, graph(b))
	if f := l.Facts(l.Runs[0], all[0]); f.Cover != harness.NoCover || f.ByLoom {
		t.Errorf("the run's own choice: %q", f.Cover)
	}
}

func TestUnknownStaysUnknown(t *testing.T) {
	b := tee(t)
	harnesstest.Put(t, b, harness.KindWire, "w9", harness.Wire{Name: "W9", From: harness.End{Place: "c"}, To: harness.End{Place: "far"}, Order: 9})
	l, all, _ := packed(t, b, bundle.NewPaced(bundle.Quick, nil))
	f := l.Facts(l.Runs[0], all[0])
	if f.Bend != 0 || f.Grommet.OK || f.Choice.OK || f.Over != 0 || len(f.Missing()) != 1 || f.Missing()[0].Name != "W9" {
		t.Errorf("bend %v, missing %v", f.Bend, f.Missing())
	}
	if g := l.Facts(l.Runs[2], all[2]); g.Bend == 0 {
		t.Error("the branch without it is known")
	}
}

// One wire that gets thicker packs only the runs it is in.
func TestOneWirePacksItsRunsOnly(t *testing.T) {
	b := tee(t)
	shelf := bundle.NewPaced(bundle.Quick, nil)
	_, before, _ := packed(t, b, shelf)
	n := shelf.Len()
	if n != 3 { // the trunk twice the same, and two branches
		t.Fatalf("%d packings", n)
	}
	w, _ := b.Wires.Get("w0")
	w.Size = "1.0 mm2"
	harnesstest.Put(t, b, harness.KindWire, w.ID, w)
	_, after, _ := packed(t, b, shelf)
	if shelf.Len() != n+2 {
		t.Errorf("%d new packings, want the trunk and one branch", shelf.Len()-n)
	}
	for i, changed := range []bool{true, true, true, false} {
		if (before[i].Bundle.Diameter != after[i].Bundle.Diameter) != changed {
			t.Errorf("run %d: %v and then %v", i, before[i].Bundle.Diameter, after[i].Bundle.Diameter)
		}
	}
}

func TestPackingStops(t *testing.T) {
	calls := 0
	l := New(tee(t), graph(tee(t)))
	_, err := l.Pack(bundle.NewPaced(bundle.Quick, func() bool { calls++; return calls < 3 }))
	if !errors.Is(err, bundle.ErrStopped) || calls != 3 {
		t.Errorf("%v after %d", err, calls)
	}
}

func TestHole(t *testing.T) {
	b := tee(t)
	hole, bore, across := 12*mil, 9*mil, 30*mil
	set := func(id string, f func(*harness.Place)) {
		p, _ := b.Places.Get(id)
		f(&p)
		harnesstest.Put(t, b, harness.KindPlace, id, p)
	}
	set("h", func(p *harness.Place) { p.Hole, p.Bore = &hole, &bore })
	pull := func() bundle.Pull {
		l, _, d := packed(t, b, bundle.NewPaced(bundle.Quick, nil))
		h := l.Holes[0]
		if len(l.Holes) != 1 || h.Beside != [2]string{"c", "s"} || len(h.Bundle.Wires) != 8 {
			t.Fatalf("%+v", h)
		}
		together, err := h.Diameter(bundle.NewPaced(bundle.Quick, nil).Pack)
		if err != nil || together != d("r1") {
			t.Fatalf("%v in the hole, %v in the run: %v", together, d("r1"), err)
		}
		return l.Pull(h, together, d)
	}
	if p := pull(); p.Known || len(p.Unknown) != 1 {
		t.Errorf("the controller's plug is not known: %+v", p.Unknown)
	}
	set("c", func(p *harness.Place) { p.Across = &across })
	if p := pull(); !p.Known || !p.Passes || p.From != 0 || p.Grommet == bundle.GrommetToo {
		t.Errorf("pulled from the controller's side: %+v", p)
	}
	set("h", func(p *harness.Place) { p.Pull = "s" })
	if p := pull(); p.From != 1 || p.Passes || len(p.TooBig) != 1 {
		t.Errorf("pulled from the engine's side, the plug comes through: %+v", p)
	}
	set("c", func(p *harness.Place) { p.Made = harness.No })
	if p := pull(); !p.Passes {
		t.Errorf("made afterwards: %+v", p)
	}
}

func TestThreads(t *testing.T) {
	b := tee(t)
	across := 30 * mil
	for _, id := range []string{"c", "near", "far"} {
		p, _ := b.Places.Get(id)
		p.Across = &across
		harnesstest.Put(t, b, harness.KindPlace, id, p)
	}
	l, all, d := packed(t, b, bundle.NewPaced(bundle.Quick, nil))
	threads := l.Threads(l.Facts(l.Runs[0], all[0]), d)
	if len(threads) != 1 || threads[0].When != bundle.Now {
		t.Errorf("braid does not pass plugs of 30 mm: %+v", threads)
	}
	harnesstest.Put(t, b, harness.KindLoom, "main", harness.Loom{Cover: harness.Cover(bundle.SlitTube)})
	l, all, d = packed(t, b, bundle.NewPaced(bundle.Quick, nil))
	if threads := l.Threads(l.Facts(l.Runs[0], all[0]), d); threads[0].When != bundle.Later {
		t.Errorf("slit tube opens: %+v", threads)
	}
}
