package e2e

import (
	"bytes"
	"context"
	"fmt"
	"testing"

	"github.com/google/uuid"

	"loomwright/build/browser"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/steps"
	"loomwright/calc/supply"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// smallLoom is a build to be made at the bench: a controller of four leads, one of which is pulled, a grommet, a branch, two devices
// and a ground, with two wires that are cut from an offcut on hand, and its tags.
func smallLoom(t *testing.T) *storage.Log {
	t.Helper()
	id := func(kind harness.Kind, name string) string {
		return uuid.NewSHA1(uuid.NameSpaceOID, []byte("small loom "+string(kind)+name)).String()
	}
	log := storage.New(id(harness.KindSettings, ""))
	var changes []storage.Change
	order := 0.0
	next := func() float64 { order++; return order }
	put := func(kind harness.Kind, name string, c storage.Change) string {
		changes = append(changes, c)
		return id(kind, name)
	}
	changes = append(changes, storage.Put(harness.KindSettings, id(harness.KindSettings, ""), harness.Settings{}, harness.Settings{Title: "Small loom", Volts: 12}))
	place := func(name string, kind harness.PlaceKind) string {
		return put(harness.KindPlace, name, storage.Put(harness.KindPlace, id(harness.KindPlace, name), harness.Place{}, harness.Place{Name: name, Kind: kind, Status: harness.Mounted, Order: next()}))
	}
	controller, grommet, split := place("Controller", harness.Controller), place("Grommet", harness.PassThrough), place("Branch", harness.Split)
	sensor, valve, ground := place("Sensor", harness.Device), place("Valve", harness.Device), place("Ground", harness.Ground)
	run := func(name, a, b string, mm int) {
		r := put(harness.KindRun, name, storage.Put(harness.KindRun, id(harness.KindRun, name), harness.Run{}, harness.Run{A: a, B: b, Order: next()}))
		put(harness.KindReading, name, storage.Put(harness.KindReading, id(harness.KindReading, name), harness.Reading{}, harness.Reading{Places: []string{a, b}, Runs: []string{r}, Text: fmt.Sprint(mm), Unit: unit.Metric, Value: unit.Length(mm) * unit.Millimetre}))
	}
	run("one", controller, grommet, 300)
	run("two", grommet, split, 400)
	run("three", split, sensor, 250)
	run("four", split, valve, 350)
	run("five", split, ground, 200)
	terminal := func(place, name string) string {
		return put(harness.KindTerminal, place+name, storage.Put(harness.KindTerminal, id(harness.KindTerminal, place+name), harness.Terminal{}, harness.Terminal{Place: place, Name: name, Order: next()}))
	}
	long := 2 * unit.Metre
	lead := func(cavity string, decision harness.Decision) (lead, at string) {
		at = terminal(controller, cavity)
		return put(harness.KindLead, cavity, storage.Put(harness.KindLead, id(harness.KindLead, cavity), harness.Lead{}, harness.Lead{Terminal: at, Legend: "IN " + cavity, Size: "0.5 mm2", Base: "white", Length: &long, Signal: harness.AnalogueIn, Decision: decision, Order: next()})), at
	}
	code := 0
	wire := func(name, lead string, from, to harness.End) {
		w := put(harness.KindWire, name, storage.Put(harness.KindWire, id(harness.KindWire, name), harness.Wire{}, harness.Wire{Name: name, Function: "function of " + name, Size: "0.5 mm2", Base: "white", Lead: lead, From: from, To: to, Order: next()}))
		for _, end := range []harness.TagEnd{harness.FromEnd, harness.ToEnd} {
			code++
			put(harness.KindTag, name+string(end), storage.Put(harness.KindTag, id(harness.KindTag, name+string(end)), harness.Tag{}, harness.Tag{Code: fmt.Sprintf("TAG%05d", code), On: harness.KindWire, Subject: w, End: end}))
		}
	}
	lead1, at1 := lead("1", harness.Use)
	lead2, at2 := lead("2", harness.Use)
	lead("3", harness.Remove)
	wire("W1", lead1, harness.End{Place: controller, Terminal: at1}, harness.End{Place: sensor, Terminal: terminal(sensor, "signal")})
	wire("W2", lead2, harness.End{Place: controller, Terminal: at2}, harness.End{Place: valve, Terminal: terminal(valve, "drive")})
	wire("W3", "", harness.End{Place: sensor, Terminal: terminal(sensor, "ground")}, harness.End{Place: ground, Terminal: terminal(ground, "lug 1")})
	wire("W4", "", harness.End{Place: valve, Terminal: terminal(valve, "ground")}, harness.End{Place: ground, Terminal: terminal(ground, "lug 2")})
	put(harness.KindTag, "split", storage.Put(harness.KindTag, id(harness.KindTag, "split"), harness.Tag{}, harness.Tag{Code: "TAG00099", On: harness.KindPlace, Subject: split}))
	put(harness.KindStock, "offcut", storage.Put(harness.KindStock, id(harness.KindStock, "offcut"), harness.Stock{}, harness.Stock{Size: "0.5 mm2", Base: "white", Length: 3 * unit.Metre, Order: 1}))
	if _, err := log.Commit("bench", "2026-05-12T08:00:00Z", changes); err != nil {
		t.Fatal(err)
	}
	return log
}

// TestTheBench makes a whole small loom by the steps, from the battery to the last tag, one tap a step: in the middle the browser is
// killed, later the page is loaded again, and the work goes on where it was. The offcut on hand is shorter afterwards by what was
// cut from it, and a sample that held too little does not count.
func TestTheBench(t *testing.T) {
	if testing.Short() {
		t.Skip("needs a browser")
	}
	log := smallLoom(t)
	var file bytes.Buffer
	if err := storage.Encode(&file, log, nil); err != nil {
		t.Fatal(err)
	}
	b := log.State()
	all := steps.Build(supply.FactsOf(b, cut.Settle(b), nil), nil)
	if len(all) < 50 {
		t.Fatalf("%d steps: too few for a loom", len(all))
	}
	h := newHost(t, appSite(t), "/")
	profile := t.TempDir()
	start := func() (*person, func()) {
		ctx, stop, err := browser.Start(context.Background(), browser.Options{Profile: profile})
		if err != nil {
			t.Fatal(err)
		}
		return &person{screen: screen{t, ctx}}, stop
	}
	p, stop := start()
	p.open(h.url("/"))
	p.upload("Open a file", "small.build", file.Bytes())
	p.see("Small loom")
	p.tap("Open it")
	p.see("What goes where")
	p.offlineReady()
	h.stop()
	p.tap("Make", "Steps")
	p.see("0 of " + fmt.Sprint(len(all)) + " steps done")
	p.tap("Begin: Battery off")
	p.see("Take the negative cable off first")

	big := func() string {
		return eval[string](p.screen, `document.querySelector(".big.word").textContent + ": " + document.querySelector(".lede").textContent`)
	}
	failed := false
	for i := range all {
		s := &all[i]
		if s.Done {
			t.Fatalf("%s is done from the beginning", s.ID)
		}
		p.see(neatly(s.What))
		switch {
		case i == len(all)/3:
			p.saved()
			if n, err := browser.Kill(p.ctx); err != nil || n < 3 {
				t.Fatalf("%d processes killed, %v", n, err)
			}
			stop()
			p, stop = start()
			p.open(h.url("/"))
			p.tap("Carry on with")
			p.tap("Make", "Steps")
			p.see(fmt.Sprint(i) + " of " + fmt.Sprint(len(all)) + " steps done")
			p.tap("Go on: " + neatly(s.Big))
			p.see(neatly(s.What))
		case i == len(all)*2/3:
			p.saved()
			p.reload()
			p.see(neatly(s.What))
		}
		was := big()
		if s.Does == steps.PullSample {
			p.see("It must hold")
			if !failed {
				failed = true
				p.tap("2", "OK")
				p.see("2 N is too little. It is kept.")
			}
			p.tap("9", "5", "OK")
		} else if s.Length > 0 {
			p.tap(s.Length.Grouped(unit.Metric) + ", done")
		} else {
			p.tap("Done")
		}
		if i < len(all)-1 {
			p.until(`document.querySelector(".big.word") && document.querySelector(".big.word").textContent + ": " + document.querySelector(".lede").textContent !== ` + fmt.Sprintf("%q", was))
		}
	}
	p.see("All done.")
	p.saved()
	if !failed {
		t.Error("no crimp was sampled")
	}
	p.tap("Stock")
	left := 3 * unit.Metre
	for i := range all {
		if all[i].Does == steps.CutsWire {
			left -= all[i].Length + supply.DefaultKerf
		}
	}
	p.see("white offcut " + left.Grouped(unit.Metric))
	p.reload()
	p.see("white offcut " + left.Grouped(unit.Metric))
	stop()
}

// neatly is a text of the steps as the page shows it.
func neatly(text string) string {
	return string(bytes.ReplaceAll([]byte(text), []byte("mm2"), []byte("mm²")))
}
