package rules

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

const mm = unit.Millimetre

func number(v float64) *float64 { return &v }

// line is a lamp of 6 A, fed over a fuse and a splice, and a second lamp of 2 A at the splice.
func line(t testing.TB) *harness.Build {
	b := harness.NewBuild("b")
	harnesstest.Put(t, b, harness.KindSettings, "b", harness.Settings{Volts: 12})
	for i, p := range []harness.Place{{Name: "Battery", Kind: harness.Supply}, {Name: "Split", Kind: harness.Split}, {Name: "Lamp", Kind: harness.Device, Device: "main beam", Amps: number(6)},
		{Name: "Side lamp", Kind: harness.Device, Device: "main beam", Amps: number(2)}, {Name: "Body", Kind: harness.Ground}} {
		p.Status, p.Order = harness.Mounted, float64(i)
		harnesstest.Put(t, b, harness.KindPlace, p.Name, p)
	}
	for i, r := range [][2]string{{"Battery", "Split"}, {"Split", "Lamp"}, {"Split", "Side lamp"}, {"Split", "Body"}} {
		harnesstest.Put(t, b, harness.KindRun, fmt.Sprint("r", i), harness.Run{A: r[0], B: r[1], Order: float64(i)})
		harnesstest.Put(t, b, harness.KindReading, fmt.Sprint("m", i), harness.Reading{Places: r[:], Runs: []string{fmt.Sprint("r", i)}, Value: 1000 * mm})
	}
	harnesstest.Put(t, b, harness.KindPart, "battery", harness.Part{Place: "Battery", Kind: harness.Battery, Name: "battery"})
	harnesstest.Put(t, b, harness.KindPart, "fuse", harness.Part{Place: "Battery", Kind: harness.Fuse, Name: "F1", Rating: number(15), Feed: "battery"})
	for i, x := range []harness.Terminal{{Place: "Battery", Part: "battery", Name: "+"}, {Place: "Battery", Part: "battery", Name: "-"}, {Place: "Battery", Part: "fuse", Name: "out"},
		{Place: "Lamp", Name: "+"}, {Place: "Lamp", Name: "-"}, {Place: "Side lamp", Name: "+"}, {Place: "Side lamp", Name: "-"}, {Place: "Body", Name: "lug"}, {Place: "Body", Name: "lug 2"}} {
		x.Order = float64(i)
		harnesstest.Put(t, b, harness.KindTerminal, x.Place+x.Part+x.Name, x)
	}
	harnesstest.Put(t, b, harness.KindJoint, "j", harness.Joint{Name: "feed", Place: "Split"})
	for i, w := range []struct{ name, from, to string }{{"trunk", "Batteryfuseout", "j"}, {"lamp", "j", "Lamp+"}, {"side", "j", "Side lamp+"}, {"lamp ground", "Lamp-", "Bodylug"}, {"side ground", "Side lamp-", "Bodylug 2"}} {
		end := func(id string) harness.End {
			if id == "j" {
				return harness.End{Joint: "j"}
			}
			x, _ := b.Terminals.Get(id)
			return harness.End{Place: x.Place, Terminal: id}
		}
		harnesstest.Put(t, b, harness.KindWire, w.name, harness.Wire{Name: w.name, From: end(w.from), To: end(w.to), Size: "2.5 mm2", Insulation: harness.Class125, Order: float64(i)})
	}
	return b
}

func of(b *harness.Build) *facts {
	f := gather(b, route.New(b, survey.Adjust(b, nil)), Options{})
	return f
}

func found(b *harness.Build) []harness.Finding {
	return Check(b, route.New(b, survey.Adjust(b, nil)), Options{})
}

func with(all []harness.Finding, rule string) (some []harness.Finding) {
	for _, f := range all {
		if f.Rule == rule {
			some = append(some, f)
		}
	}
	return some
}

// TestCurrents holds what flows in each wire of a net: what lies beyond it, and no more.
func TestCurrents(t *testing.T) {
	b := line(t)
	f := of(b)
	for wire, want := range map[string]float64{"trunk": 8, "lamp": 6, "side": 2, "lamp ground": 6, "side ground": 2} {
		if w := f.wires[f.byID[wire]]; w.amps != want || w.heat != want || w.unsure {
			t.Errorf("%s carries %v, unsure %v; want %v", wire, w.amps, w.unsure, want)
		}
	}
	fuse, _ := b.Parts.Get("fuse")
	if g := f.guards(fuse); g.amps != 8 || len(g.wires) != 3 || len(g.ends) != 2 {
		t.Errorf("the fuse guards %+v", g)
	}
	c := f.chain(f.at["Lamp+"])
	if !c.complete || c.fuse.ID != "fuse" || len(c.wires) != 2 || f.wires[c.wires[0]].ID != "lamp" || len(c.above) != 0 {
		t.Errorf("%+v", c)
	}
	if all := found(b); len(all) != 0 {
		t.Errorf("%+v", all)
	}
}

// TestCircuitSaysItsCurrent holds that what a circuit says of its current beats the sum of its devices where all of it
// flows, and that a wire that is on half of the time is heated by the root of a half.
func TestCircuitSaysItsCurrent(t *testing.T) {
	b := line(t)
	harnesstest.Put(t, b, harness.KindCircuit, "c", harness.Circuit{Name: "lamps", Amps: number(10), Duty: number(0.25)})
	for _, id := range []string{"trunk", "lamp", "side"} {
		w, _ := b.Wires.Get(id)
		w.Circuit = "c"
		harnesstest.Put(t, b, harness.KindWire, id, w)
	}
	f := of(b)
	for wire, want := range map[string][2]float64{"trunk": {10, 5}, "lamp": {6, 3}, "side": {2, 1}} {
		if w := f.wires[f.byID[wire]]; w.amps != want[0] || w.heat != want[1] {
			t.Errorf("%s carries %v, heated by %v; want %v", wire, w.amps, w.heat, want)
		}
	}
}

// TestStarterRunsForSeconds holds that what a starter draws heats no wire, and that its cable needs no fuse.
func TestStarterRunsForSeconds(t *testing.T) {
	b := line(t)
	harnesstest.Put(t, b, harness.KindPlace, "Starter", harness.Place{Name: "Starter", Kind: harness.Device, Device: "starter", Amps: number(200), Status: harness.Mounted, Order: 9})
	harnesstest.Put(t, b, harness.KindRun, "r9", harness.Run{A: "Battery", B: "Starter", Order: 9})
	harnesstest.Put(t, b, harness.KindReading, "m9", harness.Reading{Places: []string{"Battery", "Starter"}, Runs: []string{"r9"}, Value: 900 * mm})
	harnesstest.Put(t, b, harness.KindTerminal, "Starter30", harness.Terminal{Place: "Starter", Name: "30", Order: 20})
	harnesstest.Put(t, b, harness.KindWire, "cable", harness.Wire{Name: "cable", From: harness.End{Terminal: "Batterybattery+"}, To: harness.End{Terminal: "Starter30"}, Size: "25 mm2", Insulation: harness.Class125, Order: 20})
	f := of(b)
	if w := f.wires[f.byID["cable"]]; w.amps != 200 || w.heat != 0 {
		t.Errorf("carries %v, heated by %v", w.amps, w.heat)
	}
	if all := with(found(b), Unfused); len(all) != 0 {
		t.Errorf("%+v", all)
	}
}

// TestLengthsAreTaken holds that lengths that are there already change nothing.
func TestLengthsAreTaken(t *testing.T) {
	b := large(t, 40, 12)
	g := route.New(b, survey.Adjust(b, nil))
	lengths := map[string]cut.Result{}
	for _, w := range b.Wires.All() {
		lengths[w.ID] = cut.Length(b, g, w)
	}
	kept := func(w harness.Wire) cut.Result { return lengths[w.ID] }
	if !reflect.DeepEqual(Check(b, g, Options{Length: kept}), Check(b, g, Options{})) {
		t.Error("they do")
	}
}

// TestVoltDropIsThatOfTheWires compares the finding with the sum over the wires, each with its own current.
func TestVoltDropIsThatOfTheWires(t *testing.T) {
	b := line(t)
	for _, id := range []string{"trunk", "lamp"} {
		w, _ := b.Wires.Get(id)
		w.Size = "0.75 mm2"
		harnesstest.Put(t, b, harness.KindWire, id, w)
	}
	f := of(b)
	want := 0.0
	for _, id := range []string{"trunk", "lamp", "lamp ground"} {
		w := f.wires[f.byID[id]]
		c, err := wire.Of(w.size, wire.Usual)
		if err != nil {
			t.Fatal(err)
		}
		want += w.amps * c.OhmAt(w.warm) * f.metal(&w).MM() / 1e6
	}
	f.drops()
	for _, l := range f.all {
		if l.Got != unit.Shown(want)+" V" {
			t.Errorf("%s, by hand %v V", l.Got, want)
		}
	}
	end := f.at["Lamp+"]
	l, _ := f.loss(end, f.nodes[end].terminal, -1)
	if math.Abs(l.drop.Volts-want) > 1e-9 {
		t.Errorf("%v V, by hand %v V", l.drop.Volts, want)
	}
}

// TestUnknownIsNotAFinding takes away what is known, one by one: nothing is found but that it is not checked.
func TestUnknownIsNotAFinding(t *testing.T) {
	for _, row := range []struct {
		name string
		blur func(b *harness.Build)
	}{
		{"no amperes", func(b *harness.Build) {
			p, _ := b.Places.Get("Lamp")
			p.Amps = nil
			harnesstest.Put(t, b, harness.KindPlace, "Lamp", p)
		}},
		{"no rating", func(b *harness.Build) {
			p, _ := b.Parts.Get("fuse")
			p.Rating = nil
			harnesstest.Put(t, b, harness.KindPart, "fuse", p)
		}},
		{"no size", func(b *harness.Build) {
			w, _ := b.Wires.Get("trunk")
			w.Size = ""
			harnesstest.Put(t, b, harness.KindWire, "trunk", w)
		}},
		{"a size of no table", func(b *harness.Build) {
			w, _ := b.Wires.Get("trunk")
			w.Size = "2.7 mm2"
			harnesstest.Put(t, b, harness.KindWire, "trunk", w)
		}},
		{"no insulation", func(b *harness.Build) {
			w, _ := b.Wires.Get("lamp")
			w.Insulation = ""
			harnesstest.Put(t, b, harness.KindWire, "lamp", w)
		}},
	} {
		b := line(t)
		row.blur(b)
		all := found(b)
		if len(all) != 1 || all[0].Rule != NotChecked || all[0].Severity != harness.Note {
			t.Errorf("%s: %+v", row.name, all)
		}
	}
}

// TestCarWireMayBeAnything holds that a wire of the car that nobody measured makes no short, and a live one does.
func TestCarWireMayBeAnything(t *testing.T) {
	for _, row := range []struct {
		name string
		tap  harness.Tap
		want int
	}{{"not measured", harness.Tap{}, 0}, {"a ground", harness.Tap{Run: harness.Grounded, Crank: harness.Grounded}, 0}, {"live", harness.Tap{Run: harness.Live}, 1}} {
		b := line(t)
		harnesstest.Put(t, b, harness.KindPlace, "Car", harness.Place{Name: "Car", Kind: harness.CarWire, Status: harness.Mounted, Order: 9})
		harnesstest.Put(t, b, harness.KindTerminal, "car", harness.Terminal{Place: "Car", Name: "31", Order: 20})
		harnesstest.Put(t, b, harness.KindTerminal, "lug 3", harness.Terminal{Place: "Body", Name: "lug 3", Order: 21})
		harnesstest.Put(t, b, harness.KindWire, "car", harness.Wire{Name: "car", From: harness.End{Terminal: "car"}, To: harness.End{Terminal: "lug 3"}, Size: "1.0 mm2", Order: 20})
		row.tap.Place, row.tap.Terminal = "Car", "car"
		harnesstest.Put(t, b, harness.KindTap, "tap", row.tap)
		if n := len(with(found(b), Shorted)); n != row.want {
			t.Errorf("%s: %d shorts", row.name, n)
		}
	}
}

// TestZones holds that pass-throughs part the engine bay from the rest, and that heat beats both.
func TestZones(t *testing.T) {
	b := harness.NewBuild("b")
	for _, p := range []harness.Place{{Name: "dash", Kind: harness.Device, Device: "display"}, {Name: "hole", Kind: harness.PassThrough}, {Name: "split", Kind: harness.Split},
		{Name: "injector", Kind: harness.Device, Device: "injector"}, {Name: "exhaust", Kind: harness.Split}} {
		harnesstest.Put(t, b, harness.KindPlace, p.Name, p)
	}
	for _, r := range []harness.Run{{A: "dash", B: "hole"}, {A: "hole", B: "split"}, {A: "split", B: "injector"}, {A: "split", B: "exhaust", Hot: true}} {
		harnesstest.Put(t, b, harness.KindRun, r.A+" "+r.B, r)
	}
	f := of(b)
	for run, want := range map[string]wire.Zone{"dash hole": wire.Cabin, "hole split": wire.EngineBay, "split injector": wire.EngineBay, "split exhaust": wire.NearExhaust} {
		if z := f.zones[run]; z.Zone != want || z.because == "" {
			t.Errorf("%s is in %q", run, z.Zone)
		}
	}
}

// TestStub holds how long a branch of a bus may be.
func TestStub(t *testing.T) {
	for _, row := range []struct {
		bits   float64
		want   unit.Length
		source string
	}{
		{1e6, 300 * mm, "ISO 11898-2, from memory"}, {500e3, 300 * mm, "our choice: the shorter of two"}, {250e3, 1000 * mm, "SAE J1939-11"}, {125e3, 1000 * mm, "our choice: as at 250 kbit/s"},
	} {
		if got := Stub(row.bits); got != row.want {
			t.Errorf("%v bit/s: %v, want %v by %s", row.bits, got, row.want, row.source)
		}
	}
}

func TestCelsius(t *testing.T) {
	for text, want := range map[harness.Insulation]int{"": 0, "105 C": 105, "125": 125, "T3": 0, "99999 C": 0} {
		if got := celsius(text); got != want {
			t.Errorf("%q: %d, want %d", text, got, want)
		}
	}
}

// TestOrder holds that the same build gives the same findings, the worst first.
func TestOrder(t *testing.T) {
	b := large(t, 60, 20)
	first := found(b)
	if len(first) < 5 {
		t.Fatalf("%d findings", len(first))
	}
	if !slices.IsSortedFunc(first, func(x, y harness.Finding) int { return int(x.Severity) - int(y.Severity) }) {
		t.Error("they are not by severity")
	}
	for range 5 {
		if again := found(b.Clone()); !reflect.DeepEqual(again, first) {
			t.Fatal("they differ from time to time")
		}
	}
}

// TestHostile holds that records that make no sense are survived.
func TestHostile(t *testing.T) {
	b := line(t)
	for i, object := range []string{`{"from":{"terminal":"Lamp+"},"to":{"terminal":"Lamp+"}}`, `{"from":{"joint":"j"},"to":{"joint":"j"},"size":"2.5 mm2"}`, `{}`,
		`{"from":{"terminal":"Lamp+"},"to":{"terminal":"Lamp-"}}`, `{"from":{"terminal":"gone"},"to":{"joint":"gone"}}`} {
		if _, err := b.Put(harness.KindWire, fmt.Sprint("bad", i), []byte(object)); err != nil {
			t.Fatal(err)
		}
	}
	for i, object := range []string{`{"kind":"fuse","feed":"bad1"}`, `{"kind":"fuse","feed":"bad0"}`, `{"kind":"relay","rating":-1}`, `{"kind":"battery","feed":"bad3"}`} {
		if _, err := b.Put(harness.KindPart, fmt.Sprint("bad", i), []byte(object)); err != nil {
			t.Fatal(err)
		}
	}
	for i, name := range []string{"out", "in", "87", "30", "-"} {
		harnesstest.Put(t, b, harness.KindTerminal, fmt.Sprint("bad", i), harness.Terminal{Part: fmt.Sprint("bad", i%4), Name: name, Place: "Lamp"})
		harnesstest.Put(t, b, harness.KindWire, fmt.Sprint("worse", i), harness.Wire{From: harness.End{Terminal: fmt.Sprint("bad", i)}, To: harness.End{Terminal: fmt.Sprint("bad", (i+2)%5)}, Size: "1.0 mm2"})
	}
	harnesstest.Put(t, b, harness.KindCircuit, "c", harness.Circuit{Signal: harness.SerialBus, Bitrate: number(-1e300), Resistors: []string{"x", "y"}})
	found(b)
	found(harness.NewBuild("empty"))
}

// large is a build of many loads on a tree of runs, each fed over a fuse of its own, with a sensor for every other.
func large(t testing.TB, wires, runs int) *harness.Build {
	b := harness.NewBuild("b")
	harnesstest.Put(t, b, harness.KindPlace, "p0", harness.Place{Name: "Panel", Kind: harness.Panel, Status: harness.Mounted})
	harnesstest.Put(t, b, harness.KindPlace, "ecu", harness.Place{Name: "Controller", Kind: harness.Controller, Status: harness.Mounted})
	harnesstest.Put(t, b, harness.KindRun, "to ecu", harness.Run{A: "p0", B: "ecu"})
	harnesstest.Put(t, b, harness.KindReading, "to ecu", harness.Reading{Places: []string{"p0", "ecu"}, Runs: []string{"to ecu"}, Value: 500 * mm})
	kinds := []string{"injector", "thermistor", "coil", "pick-up", "lamp"}
	for i := 1; i < runs; i++ {
		p := fmt.Sprint("p", i)
		up := fmt.Sprint("p", i/2)
		harnesstest.Put(t, b, harness.KindPlace, p, harness.Place{Name: "Place " + p, Kind: harness.Device, Device: kinds[i%len(kinds)], Amps: number(2), Status: harness.Mounted, Order: float64(i)})
		harnesstest.Put(t, b, harness.KindRun, "r"+p, harness.Run{A: up, B: p, Hot: i%7 == 0, Moves: i%11 == 0, Order: float64(i)})
		harnesstest.Put(t, b, harness.KindReading, "m"+p, harness.Reading{Places: []string{up, p}, Runs: []string{"r" + p}, Value: unit.Length(200+i%9*40) * mm})
	}
	for i := range wires {
		id, at := fmt.Sprint("w", i), fmt.Sprint("p", 1+i%(runs-1))
		from, to := "from"+id, "to"+id
		w := harness.Wire{Name: fmt.Sprint("W", i), Size: []string{"0.5 mm2", "0.75 mm2", "1.0 mm2", "2.5 mm2"}[i%4], Insulation: harness.Class125, Order: float64(i)}
		if i%2 == 0 {
			fuse := fmt.Sprint("F", i)
			harnesstest.Put(t, b, harness.KindPart, fuse, harness.Part{Place: "p0", Kind: harness.Fuse, Name: fuse, Rating: number([]float64{5, 10, 20}[i%3])})
			harnesstest.Put(t, b, harness.KindTerminal, from, harness.Terminal{Place: "p0", Part: fuse, Name: "out", Order: float64(i)})
			harnesstest.Put(t, b, harness.KindTerminal, to, harness.Terminal{Place: at, Name: "supply " + id, Signal: harness.SupplyIn, Order: float64(i)})
		} else {
			harnesstest.Put(t, b, harness.KindTerminal, from, harness.Terminal{Place: "ecu", Connector: "A", Name: fmt.Sprint(i), Order: float64(i)})
			harnesstest.Put(t, b, harness.KindLead, "l"+id, harness.Lead{Terminal: from, Signal: harness.AnalogueIn, Size: "0.5 mm2", Decision: harness.Use})
			harnesstest.Put(t, b, harness.KindTerminal, to, harness.Terminal{Place: at, Name: "signal " + id, Signal: harness.AnalogueIn, Order: float64(i)})
			w.Class, w.Lead = harness.Sensing, "l"+id
		}
		w.From, w.To = harness.End{Terminal: from}, harness.End{Terminal: to}
		harnesstest.Put(t, b, harness.KindWire, id, w)
	}
	return b
}

func BenchmarkCheck(b *testing.B) {
	for _, n := range [][2]int{{100, 30}, {300, 100}, {1000, 300}, {3000, 300}} {
		build := large(b, n[0], n[1])
		lengths := survey.Adjust(build, nil)
		b.Run(fmt.Sprintf("wires=%d/runs=%d", n[0], n[1]), func(b *testing.B) {
			for b.Loop() {
				Check(build, route.New(build, lengths), Options{})
			}
		})
	}
}

// The rules that the build names are those that wires are judged by.
func TestAmpacityByTheBuild(t *testing.T) {
	b := harness.NewBuild("b")
	g := route.New(b, survey.Adjust(b, nil))
	if f := gather(b, g, Options{}); f.o.Rules != wire.DefaultRules {
		t.Errorf("by %q where nobody chose", f.o.Rules)
	}
	b.Settings.Ampacity = string(wire.AviationTable)
	if f := gather(b, g, Options{}); f.o.Rules != wire.AviationTable {
		t.Errorf("by %q", f.o.Rules)
	}
	b.Settings.Ampacity = "a table of tomorrow"
	if f := gather(b, g, Options{}); f.o.Rules != wire.DefaultRules {
		t.Errorf("by %q where the name is not known", f.o.Rules)
	}
}

// TestNumbersAreThoseOfTheFindings holds that the numbers of a wire do not hang on whether the findings were asked for before.
func TestNumbersAreThoseOfTheFindings(t *testing.T) {
	b := line(t)
	w, _ := b.Wires.Get("trunk")
	w.Size = "0.35 mm2"
	harnesstest.Put(t, b, harness.KindWire, "trunk", w)
	g := route.New(b, survey.Adjust(b, nil))
	first, later := Look(b, g, Options{}), Look(b, g, Options{})
	if len(with(later.Findings(), Overload)) == 0 {
		t.Fatal("no wire is overloaded")
	}
	for _, w := range b.Wires.All() {
		if got, want := fmt.Sprintf("%#v", later.Wire(w.ID)), fmt.Sprintf("%#v", first.Wire(w.ID)); got != want {
			t.Errorf("of %s %s, before the findings %s", w.Name, got, want)
		}
	}
}
