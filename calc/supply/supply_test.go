package supply

import (
	"os"
	"strings"
	"testing"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

const mm = unit.Millimetre

// put stores a record.
func put(t testing.TB, b *harness.Build, kind harness.Kind, id string, record any) {
	t.Helper()
	if err := b.Apply([]harness.Put{{Ref: harness.Ref{Kind: kind, ID: id}, Record: record}}); err != nil {
		t.Fatal(err)
	}
}

// small is a controller, a split and two devices 1 m and 500 mm beyond, with two added wires and a lead of 1.2 m.
func small(t testing.TB) *harness.Build {
	t.Helper()
	b := harness.NewBuild("small")
	put(t, b, harness.KindSettings, "small", harness.Settings{Unit: unit.Metric})
	for i, p := range []harness.Place{{Name: "Controller", Kind: harness.Controller}, {Name: "Split", Kind: harness.Split},
		{Name: "Pump", Kind: harness.Device}, {Name: "Crank sensor", Kind: harness.Device}} {
		p.Order = float64(i)
		put(t, b, harness.KindPlace, []string{"c", "s", "p", "k"}[i], p)
	}
	for i, r := range []struct {
		id, a, b string
		mm       int
	}{{"cs", "c", "s", 1000}, {"sp", "s", "p", 500}, {"sk", "s", "k", 600}} {
		put(t, b, harness.KindRun, r.id, harness.Run{A: r.a, B: r.b, Order: float64(i)})
		put(t, b, harness.KindReading, r.id, harness.Reading{Places: []string{r.a, r.b}, Runs: []string{r.id}, Value: unit.Length(r.mm) * mm, Method: harness.ByTape})
	}
	put(t, b, harness.KindWire, "w1", harness.Wire{Name: "W1", Function: "pump", From: harness.End{Place: "c"}, To: harness.End{Place: "p"}, Size: "1.0 mm2", Base: "red", Order: 1})
	put(t, b, harness.KindWire, "w2", harness.Wire{Name: "W2", Function: "pump ground", From: harness.End{Place: "c"}, To: harness.End{Place: "p"}, Size: "1.0 mm2", Base: "red", Order: 2})
	put(t, b, harness.KindWire, "w3", harness.Wire{Name: "W3", From: harness.End{Place: "c"}, To: harness.End{Place: "p"}, Base: "red", Order: 3})
	length := 1300 * mm
	put(t, b, harness.KindLead, "l", harness.Lead{Legend: "CRANK", Size: "0.5 mm2", Base: "blue", Length: &length})
	put(t, b, harness.KindWire, "w4", harness.Wire{Name: "W4", Function: "crank signal", From: harness.End{Place: "c"}, To: harness.End{Place: "k"}, Lead: "l", Order: 4})
	return b
}

func planned(b *harness.Build) Planned { return Plan(b, cut.Settle(b).Graph, nil) }

func TestPlanFromHand(t *testing.T) {
	b := small(t)
	p := planned(b)
	if len(p.Groups) != 1 || len(p.Groups[0].Pieces) != 2 || len(p.Open) != 1 || p.Open[0].Missing != "size" {
		t.Fatalf("%+v", p)
	}
	g := p.Groups[0]
	need := g.Pieces[0].Length
	if g.Plan.Bought < 2*need || g.Above() != 0 {
		t.Errorf("bought %v for two of %v", g.Plan.Bought, need)
	}
	// An offcut that holds one of them, three of one record; a spool of another colour is left alone.
	put(t, b, harness.KindStock, "o", harness.Stock{Size: "1.0", Base: "red", Length: need + 500*mm, Count: 3})
	put(t, b, harness.KindStock, "x", harness.Stock{Size: "1.0", Base: "green", Length: 50 * unit.Metre})
	g = planned(b).Groups[0]
	if g.Plan.Bought != 0 || len(g.Hand) != 3 {
		t.Errorf("%+v", g.Plan)
	}
	from, ok := g.From(g.Pieces[0])
	if !ok || from.ID != "o" {
		t.Errorf("cut from %+v, %v", from, ok)
	}
	// A wire of a class is not cut from wire of which none is known.
	w, _ := b.Wires.Get("w1")
	w.Insulation = harness.Class125
	put(t, b, harness.KindWire, "w1", w)
	if p := planned(b); len(p.Groups) != 2 || p.Groups[1].Insulation != harness.Class125 || p.Groups[1].Plan.Bought == 0 {
		t.Errorf("%+v", p.Groups)
	}
}

// Cutting a piece takes it off what it is cut from, and giving it back makes that as long as before.
func TestTakeAndGiveBack(t *testing.T) {
	b := small(t)
	put(t, b, harness.KindStock, "o", harness.Stock{Size: "1.0 mm2", Base: "red", Length: 2500 * mm, Count: 2})
	p := planned(b).Groups[0].Pieces[0]
	taken := Take(b, p, "o", 1500*mm, "2026-05-12T10:00:00Z", func() string { return "rest" })
	if taken.Wire.Cut == nil || taken.Wire.Stock != "rest" || len(taken.Stocks) != 2 || taken.Stocks[0].Count != 1 ||
		taken.Stocks[1].Length != 998*mm || taken.Stocks[1].Gone {
		t.Fatalf("%+v", taken)
	}
	put(t, b, harness.KindWire, p.Wire.ID, taken.Wire)
	for _, s := range taken.Stocks {
		put(t, b, harness.KindStock, s.ID, s)
	}
	again := planned(b).Groups[0]
	if len(again.Cut) != 1 || len(again.Hand) != 2 {
		t.Fatalf("%+v", again)
	}
	back := GiveBack(b, again.Cut[0])
	if back.Wire.Cut != nil || len(back.Stocks) != 1 || back.Stocks[0].Length != 2500*mm {
		t.Errorf("%+v", back)
	}
	// What is too short to keep is gone, and comes back with the piece.
	put(t, b, harness.KindStock, "short", harness.Stock{Size: "1.0 mm2", Base: "red", Length: 1600 * mm})
	taken = Take(b, again.Pieces[0], "short", 1500*mm, "", nil)
	if !taken.Stocks[0].Gone || taken.Stocks[0].Length != 98*mm {
		t.Errorf("%+v", taken.Stocks)
	}
}

// A lead that is too short is spliced at the branch that it reaches; the piece is planned once a person says so.
func TestExtensions(t *testing.T) {
	b := small(t)
	g := cut.Settle(b).Graph
	all := Extensions(b, g, nil)
	if len(all) != 1 || all[0].At != "s" || !all[0].Sensitive || all[0].Chosen || all[0].Short <= 0 || all[0].Length < 600*mm || all[0].Length > 1100*mm {
		t.Fatalf("%+v", all)
	}
	w := all[0].Wire
	w.ExtendAt, w.ExtendWhy = "s", "no other lead is free"
	put(t, b, harness.KindWire, w.ID, w)
	_, p, ok := planned(b).Find(w.ID, true)
	if !ok || p.Length != all[0].Length || p.Key.Base != "blue" || p.Key.Size != "0.5 mm2" {
		t.Errorf("%+v, %v", p, ok)
	}
}

func TestRemovedAndCutUp(t *testing.T) {
	b := small(t)
	l, _ := b.Leads.Get("l")
	l.Decision = harness.Remove
	put(t, b, harness.KindLead, "l", l)
	if _, up := Removed(b); len(up) != 1 || up[0] {
		t.Fatal("a removed lead is cut up without being asked for")
	}
	s := CutUp(l)
	put(t, b, harness.KindStock, s.ID, s)
	if _, up := Removed(b); !up[0] || s.Length != 1300*mm {
		t.Errorf("%+v", s)
	}
}

func demo(t testing.TB) *harness.Build {
	t.Helper()
	f, err := os.Open("../../testdata/builds/roadster.build")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	log, err := storage.Decode(f, func(string, []byte) error { return nil })
	if err != nil {
		t.Fatal(err)
	}
	return log.State()
}

// The demo has something of every sort but what it does not need, nothing is bought less than it is needed, and what is not
// known says what is missing.
func TestShopDemo(t *testing.T) {
	b := demo(t)
	lines := Shop(FactsOf(b, cut.Settle(b), nil))
	sorts := map[Sort]int{}
	for _, l := range lines {
		sorts[l.Sort]++
		if l.Missing == "" && l.Buy+l.Hand < l.Need-1e-9 {
			t.Errorf("%+v", l)
		}
		t.Logf("%s | %s %s %s | need %.2f spare %.2f hand %.2f buy %.2f | %s | %s", l.Sort, l.Name, l.Base, l.Tracer, l.Need, l.Spare, l.Hand, l.Buy, l.Why, l.Missing)
	}
	for _, s := range []Sort{WireSort, CoverSort, ShrinkSort, PinSort, SealSort, SpliceSort, PartSort, StripSort, RubberSort, TieSort, TagSort} {
		if sorts[s] == 0 {
			t.Errorf("nothing of %s", s)
		}
	}
}

// Terminals get a fifth more, rounded up, and per cents of the build's own.
func TestSpares(t *testing.T) {
	b := small(t)
	find := func(name string) Line {
		for _, l := range Shop(FactsOf(b, cut.Settle(b), nil)) {
			if strings.Contains(l.Name, name) && l.Sort == PinSort {
				return l
			}
		}
		t.Fatalf("no %s", name)
		return Line{}
	}
	if l := find("terminal for 1.0 mm2"); l.Need != 4 || l.Buy != 5 { // W1 and W2, both ends; 4.8
		t.Errorf("%+v", l)
	}
	half := 50.0
	put(t, b, harness.KindSettings, "small", harness.Settings{Unit: unit.Metric, SparePins: &half})
	if l := find("terminal for 1.0 mm2"); l.Buy != 6 {
		t.Errorf("%+v", l)
	}
}

func BenchmarkPlanDemo(b *testing.B) {
	build := demo(b)
	settled := cut.Settle(build)
	for b.Loop() {
		Shop(FactsOf(build, settled, nil))
	}
}
