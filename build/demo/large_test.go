package demo

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"testing"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/rules"
	"loomwright/calc/unit"
)

// large is a build of so many wires: 3 runs for 10 wires, in a tree from the controller outward; every fourth wire is fed by a
// fuse and has a load and a ground, the others go from the controller to a device.
func large(t testing.TB, wires int) *harness.Build {
	t.Helper()
	rng := rand.New(rand.NewPCG(uint64(wires), 5))
	b := harness.NewBuild(id(harness.KindSettings, "large", strconv.Itoa(wires)))
	runs := wires * 3 / 10
	place := func(i int) string { return id(harness.KindPlace, "large", strconv.Itoa(i)) }
	put := func(kind harness.Kind, name string, i int, record any) string {
		key := id(kind, "large "+name, strconv.Itoa(i))
		harnesstest.Put(t, b, kind, key, record)
		return key
	}
	harnesstest.Put(t, b, harness.KindSettings, b.Settings.ID, harness.Settings{Title: "large", Volts: 12})
	kinds := make([]harness.PlaceKind, runs+1)
	parents := make([]int, runs+1)
	for i := 1; i <= runs; i++ {
		kinds[i] = harness.Device
		parents[i] = rng.IntN(i)
		if i > 20 {
			parents[i] = rng.IntN(i / 2)
		}
	}
	for i := 1; i <= runs; i++ {
		kinds[parents[i]] = harness.Split
	}
	kinds[0], kinds[1] = harness.Controller, harness.Panel
	var devices []int
	for i := range kinds {
		harnesstest.Put(t, b, harness.KindPlace, place(i), harness.Place{Name: fmt.Sprintf("Place %d", i), Kind: kinds[i], Status: harness.Mounted, Order: float64(i)})
		if kinds[i] == harness.Device {
			devices = append(devices, i)
		}
		if i == 0 {
			continue
		}
		run := put(harness.KindRun, "run", i, harness.Run{A: place(parents[i]), B: place(i), Corners: rng.IntN(3), Order: float64(i)})
		length := unit.Length(80+rng.IntN(600)) * unit.Millimetre
		for n := range 2 {
			put(harness.KindReading, "reading "+strconv.Itoa(n), i, harness.Reading{Places: []string{place(parents[i]), place(i)}, Runs: []string{run}, Value: length + unit.Length(n)*unit.Millimetre})
		}
	}
	ground := devices[len(devices)-1]
	sizes := []string{"0.35 mm2", "0.5 mm2", "0.75 mm2", "1.0 mm2", "1.5 mm2", "2.5 mm2"}
	colours := unit.ColourNames()
	battery := put(harness.KindPart, "battery", 0, harness.Part{Place: place(1), Kind: harness.Battery, Name: "battery"})
	for i, name := range []string{"+", "-"} {
		put(harness.KindTerminal, "pole", i, harness.Terminal{Place: place(1), Part: battery, Name: name})
	}
	end := func(i int, at int, circuit, part string, signal harness.Signal) harness.End {
		name := strconv.Itoa(i)
		if part != "" {
			name = "out"
		}
		return harness.End{Place: place(at), Terminal: put(harness.KindTerminal, "terminal", i, harness.Terminal{Place: place(at), Name: name, Circuit: circuit, Part: part, Signal: signal})}
	}
	for i := range wires {
		w := harness.Wire{Name: fmt.Sprintf("W%d", i+1), Function: fmt.Sprintf("function %d", i+1), Size: sizes[rng.IntN(len(sizes))], Base: colours[rng.IntN(len(colours))], Order: float64(i), Insulation: harness.Class125}
		device := devices[rng.IntN(len(devices))]
		switch i % 4 {
		case 0:
			rating, amps := 10.0, 3.0
			if i%40 == 0 {
				amps = 40 // and that is found
			}
			fuse := put(harness.KindPart, "fuse", i, harness.Part{Place: place(1), Kind: harness.Fuse, Name: fmt.Sprintf("F%d", i), Rating: &rating, Feed: battery})
			circuit := put(harness.KindCircuit, "circuit", i, harness.Circuit{Name: w.Function, Signal: harness.SupplyIn, Class: harness.Switching, Feed: []string{fuse}, Amps: &amps})
			w.From, w.To = end(4*i, 1, circuit, fuse, harness.SupplyIn), end(4*i+1, device, circuit, "", harness.SupplyIn)
		case 1:
			circuit := put(harness.KindCircuit, "circuit", i, harness.Circuit{Name: w.Function, Signal: harness.PowerGround, Class: harness.Switching})
			w.From, w.To = end(4*i, device, circuit, "", harness.PowerGround), end(4*i+1, ground, circuit, "", harness.PowerGround)
		default:
			circuit := put(harness.KindCircuit, "circuit", i, harness.Circuit{Name: w.Function, Signal: harness.AnalogueIn, Class: harness.Sensing})
			w.From, w.To = end(4*i, 0, circuit, "", harness.AnalogueIn), end(4*i+1, device, circuit, "", harness.AnalogueIn)
		}
		put(harness.KindWire, "wire", i, w)
	}
	return b
}

// BenchmarkLarge works builds of 100 to 3000 wires out from nothing, as BenchmarkWhole does the demo.
func BenchmarkLarge(b *testing.B) {
	for _, n := range []int{100, 300, 1000, 3000} {
		state := large(b, n)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				workOut(b, state)
			}
		})
	}
}

// workOut works a build out: adjustment, ways, bundles, the length of every wire, all findings.
func workOut(b *testing.B, state *harness.Build) {
	settled := cut.Settle(state)
	lengths := map[string]cut.Result{}
	wires := state.Wires.All()
	known := 0
	for i := range wires {
		r := cut.Length(state, settled.Graph, wires[i])
		if r.Known() {
			known++
		}
		lengths[wires[i].ID] = r
	}
	if known < len(wires)*9/10 {
		b.Fatalf("the length of %d wires of %d is known", known, len(wires))
	}
	if len(rules.Check(state, settled.Graph, rules.Options{Length: func(w harness.Wire) cut.Result { return lengths[w.ID] }})) == 0 {
		b.Fatal("nothing is found")
	}
}

// BenchmarkLook is what a wire's card asks of the rules, and all findings after it.
func BenchmarkLook(b *testing.B) {
	state := build(b, 0).State()
	settled := cut.Settle(state)
	lengths := map[string]cut.Result{}
	for _, w := range state.Wires.All() {
		lengths[w.ID] = cut.Length(state, settled.Graph, w)
	}
	first := state.Wires.All()[0].ID
	b.Run("card", func(b *testing.B) {
		for b.Loop() {
			rules.Look(state, settled.Graph, rules.Options{Length: func(w harness.Wire) cut.Result { return lengths[w.ID] }}).Wire(first)
		}
	})
	b.Run("findings", func(b *testing.B) {
		for b.Loop() {
			rules.Look(state, settled.Graph, rules.Options{Length: func(w harness.Wire) cut.Result { return lengths[w.ID] }}).Findings()
		}
	})
}
