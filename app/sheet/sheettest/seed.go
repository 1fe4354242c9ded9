// Package sheettest has builds that lists and drawings are tested with, and the type they are set in.
package sheettest

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

// Module is the folder of the module, whichever of its packages is tested.
func Module(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	for err == nil {
		if _, missing := os.Stat(filepath.Join(dir, "go.mod")); missing == nil {
			return dir
		}
		if dir == filepath.Dir(dir) {
			t.Fatal("the test does not run inside the module")
		}
		dir = filepath.Dir(dir)
	}
	t.Fatal(err)
	return ""
}

// Fonts returns the type of the site, its regular and its bold file.
func Fonts(t testing.TB) (regular, bold []byte) {
	t.Helper()
	for name, into := range map[string]*[]byte{"sheet.ttf": &regular, "sheet-bold.ttf": &bold} {
		data, err := os.ReadFile(filepath.Join(Module(t), "web", "fonts", name))
		if err != nil {
			t.Fatal(err)
		}
		*into = data
	}
	return regular, bold
}

// Millimetres is a length as records hold one that may be missing.
func Millimetres(mm int64) *unit.Length {
	l := unit.Length(mm) * unit.Millimetre
	return &l
}

// Seeded is a made-up build with so many wires, always the same: a trunk of splits with devices on short runs.
func Seeded(t testing.TB, wires int) *harness.Build {
	t.Helper()
	random := rand.New(rand.NewPCG(42, 1))
	b := harness.NewBuild("seeded")
	harnesstest.Put(t, b, harness.KindSettings, "seeded", harness.Settings{Title: "Kit roadster", Car: "inline four", Volts: 12})
	harnesstest.Put(t, b, harness.KindLoom, "main", harness.Loom{Name: "main"})
	harnesstest.Put(t, b, harness.KindPlace, "ecu", harness.Place{Name: "Controller", Kind: harness.Controller, Status: harness.Mounted})
	last := "ecu"
	const splits, devices = 8, 24
	read := func(run, from, to string, mm int64) {
		harnesstest.Put(t, b, harness.KindRun, run, harness.Run{A: from, B: to, Loom: "main", Order: float64(len(run))})
		harnesstest.Put(t, b, harness.KindReading, "read-"+run, harness.Reading{Places: []string{from, to}, Runs: []string{run}, Text: fmt.Sprint(mm), Value: *Millimetres(mm), At: "2026-05-12T10:00:00Z"})
	}
	for i := range splits {
		id := fmt.Sprintf("split%d", i+1)
		kind := harness.Split
		if i == 1 {
			kind = harness.PassThrough
		}
		harnesstest.Put(t, b, harness.KindPlace, id, harness.Place{Name: fmt.Sprintf("Split %d", i+1), Kind: kind, Order: float64(i + 1)})
		read("run-"+id, last, id, 200+random.Int64N(400))
		last = id
	}
	for i := range devices {
		id := fmt.Sprintf("device%d", i+1)
		harnesstest.Put(t, b, harness.KindPlace, id, harness.Place{Name: fmt.Sprintf("Injector %d", i+1), Kind: harness.Device, Order: float64(100 + i)})
		read("run-"+id, fmt.Sprintf("split%d", i%splits+1), id, 80+random.Int64N(300))
	}
	colours := unit.ColourNames()
	sizes := []string{"0.35", "0.5", "0.75", "1.0", "20 AWG", ""}
	source := rand.NewChaCha8([32]byte{42})
	for i := range wires {
		id := fmt.Sprintf("w%03d", i+1)
		device := fmt.Sprintf("device%d", random.IntN(devices)+1)
		for _, end := range []struct{ place, connector, name string }{{"ecu", string(rune('A' + i/60)), fmt.Sprint(i%60 + 1)}, {device, "", fmt.Sprint(i%6 + 1)}} {
			harnesstest.Put(t, b, harness.KindTerminal, id+end.place, harness.Terminal{Place: end.place, Connector: end.connector, Name: end.name})
		}
		w := harness.Wire{
			Name: fmt.Sprintf("W%d", i+1), Function: []string{"Coolant temperature", "Injector supply", "Sensor ground", "Knock signal, shield at the controller"}[random.IntN(4)],
			From: harness.End{Terminal: id + "ecu"}, To: harness.End{Terminal: id + device}, Size: sizes[random.IntN(len(sizes))],
			Base: colours[random.IntN(len(colours))], Order: float64(i),
		}
		if random.IntN(2) == 0 {
			w.Tracer = colours[random.IntN(len(colours))]
		}
		if i%3 == 0 {
			w.Lead = "lead-" + id
			harnesstest.Put(t, b, harness.KindLead, w.Lead, harness.Lead{Terminal: id + "ecu", Legend: "out " + w.Name, Size: "0.5", Base: w.Base, Length: Millimetres(2000 + 500*int64(i%4))})
		}
		harnesstest.Put(t, b, harness.KindWire, id, w)
	}
	used := map[string]bool{}
	for i, missing := range tag.Missing(b) {
		code, err := tag.NewCode(source, func(c string) bool { return used[c] })
		if err != nil {
			t.Fatal(err)
		}
		used[code] = true
		missing.Code = code
		harnesstest.Put(t, b, harness.KindTag, fmt.Sprintf("tag%04d", i), missing)
	}
	return b
}

// Bench is a small build with something of everything that a list can say.
func Bench(t testing.TB) *harness.Build {
	t.Helper()
	b := Seeded(t, 12)
	w, _ := b.Wires.Get("w002")
	w.Cut = &harness.Done{Length: *Millimetres(1240), At: "2026-05-12T10:00:00Z"}
	harnesstest.Put(t, b, harness.KindWire, w.ID, w)
	w, _ = b.Wires.Get("w001")
	w.Trimmed = &harness.Done{Length: *Millimetres(900), At: "2026-05-13T10:00:00Z"}
	w.Function = "=cmd|' /C calc'!A0"
	harnesstest.Put(t, b, harness.KindWire, w.ID, w)
	w, _ = b.Wires.Get("w003")
	w.To, w.Note = harness.End{}, "end not chosen"
	harnesstest.Put(t, b, harness.KindWire, w.ID, w)
	w, _ = b.Wires.Get("w005")
	w.To = harness.End{Place: "lost"}
	harnesstest.Put(t, b, harness.KindWire, w.ID, w)
	harnesstest.Put(t, b, harness.KindPlace, "far", harness.Place{Name: "Rear lamp <left> & \"right\"", Kind: harness.Device, Travel: Millimetres(150), Order: 300})
	harnesstest.Put(t, b, harness.KindRun, "run-far", harness.Run{A: "split8", B: "far", Hot: true, Moves: true, Corners: 2, Order: 99})
	harnesstest.Put(t, b, harness.KindWire, "w900", harness.Wire{Name: "W900", Function: "Lamp", From: harness.End{Place: "ecu"}, To: harness.End{Place: "far"}, Size: "1.0", Base: "white", Order: 900})
	harnesstest.Put(t, b, harness.KindReading, "again", harness.Reading{Places: []string{"ecu", "split1", "split2"}, Runs: []string{"run-split1", "run-split2"}, Text: "1200", Value: *Millimetres(1200), Method: harness.ByTape, At: "2026-05-14T09:30:00Z"})
	return b
}

// Odd is Bench with texts made to break writers.
func Odd(t testing.TB) *harness.Build {
	t.Helper()
	odd := Bench(t)
	for i, name := range []string{"", "😀 emoji", "שלום", "\x00\u202e\u0007", strings.Repeat("longword", 300), "a\tb\r\nc", "é Ω Ж", "<script>alert(1)</script>"} {
		id := string(rune('a' + i))
		harnesstest.Put(t, odd, harness.KindPlace, id, harness.Place{Name: name, Kind: harness.Device, Order: 500, Note: name})
		harnesstest.Put(t, odd, harness.KindWire, id, harness.Wire{Name: name, Function: name, From: harness.End{Place: "ecu"}, To: harness.End{Place: id}, Size: name, Base: name, Tracer: name, Lead: name, Twist: name, Order: 500})
		harnesstest.Put(t, odd, harness.KindTag, id, harness.Tag{Code: "7K3F9Q2M", On: harness.KindPlace, Subject: id})
		harnesstest.Put(t, odd, harness.KindReading, id, harness.Reading{Places: []string{id, "lost"}, Text: name, Method: harness.Method(name), At: name})
		harnesstest.Put(t, odd, harness.KindRun, id, harness.Run{A: id, B: "lost", Loom: name})
	}
	return odd
}
