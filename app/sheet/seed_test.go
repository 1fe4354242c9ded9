package sheet

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

var golden = flag.Bool("golden", false, "write the golden files anew instead of comparing with them")

// compare holds what was written against the golden file.
func compare(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("../../testdata/golden", name)
	if *golden {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v; go test ./app/sheet -golden writes it", err)
	}
	if string(got) != string(want) {
		t.Errorf("%s differs from the golden file; go test ./app/sheet -golden writes it anew, then read the difference.\ngot:\n%s", name, got)
	}
}

// fonts returns the type of the site.
func fonts(t testing.TB) Font {
	t.Helper()
	var f Font
	for name, into := range map[string]*[]byte{"sheet.ttf": &f.Regular, "sheet-bold.ttf": &f.Bold} {
		data, err := os.ReadFile(filepath.Join("../../web/fonts", name))
		if err != nil {
			t.Fatal(err)
		}
		*into = data
	}
	return f
}

func put(t testing.TB, b *harness.Build, kind harness.Kind, id string, record any) {
	t.Helper()
	object, err := harness.Encode(record)
	if err == nil {
		_, err = b.Put(kind, id, object)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func millimetres(mm int64) *unit.Length {
	l := unit.Length(mm) * unit.Millimetre
	return &l
}

// seeded is a made-up build with so many wires, always the same: a trunk of splits with devices on short runs.
func seeded(t testing.TB, wires int) *harness.Build {
	t.Helper()
	random := rand.New(rand.NewPCG(42, 1))
	b := harness.NewBuild("seeded")
	put(t, b, harness.KindSettings, "seeded", harness.Settings{Title: "Kit roadster", Car: "inline four", Volts: 12})
	put(t, b, harness.KindLoom, "main", harness.Loom{Name: "main"})
	put(t, b, harness.KindPlace, "ecu", harness.Place{Name: "Controller", Kind: harness.Controller, Status: harness.Mounted})
	last := "ecu"
	const splits, devices = 8, 24
	read := func(run, from, to string, mm int64) {
		put(t, b, harness.KindRun, run, harness.Run{A: from, B: to, Loom: "main", Order: float64(len(run))})
		put(t, b, harness.KindReading, "read-"+run, harness.Reading{Places: []string{from, to}, Runs: []string{run}, Text: fmt.Sprint(mm), Value: *millimetres(mm), At: "2026-05-12T10:00:00Z"})
	}
	for i := range splits {
		id := fmt.Sprintf("split%d", i+1)
		kind := harness.Split
		if i == 1 {
			kind = harness.PassThrough
		}
		put(t, b, harness.KindPlace, id, harness.Place{Name: fmt.Sprintf("Split %d", i+1), Kind: kind, Order: float64(i + 1)})
		read("run-"+id, last, id, 200+random.Int64N(400))
		last = id
	}
	for i := range devices {
		id := fmt.Sprintf("device%d", i+1)
		put(t, b, harness.KindPlace, id, harness.Place{Name: fmt.Sprintf("Injector %d", i+1), Kind: harness.Device, Order: float64(100 + i)})
		read("run-"+id, fmt.Sprintf("split%d", i%splits+1), id, 80+random.Int64N(300))
	}
	colours := unit.ColourNames()
	sizes := []string{"0.35", "0.5", "0.75", "1.0", "20 AWG", ""}
	source := rand.NewChaCha8([32]byte{42})
	for i := range wires {
		id := fmt.Sprintf("w%03d", i+1)
		device := fmt.Sprintf("device%d", random.IntN(devices)+1)
		for _, end := range []struct{ place, connector, name string }{{"ecu", string(rune('A' + i/60)), fmt.Sprint(i%60 + 1)}, {device, "", fmt.Sprint(i%6 + 1)}} {
			put(t, b, harness.KindTerminal, id+end.place, harness.Terminal{Place: end.place, Connector: end.connector, Name: end.name})
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
			put(t, b, harness.KindLead, w.Lead, harness.Lead{Terminal: id + "ecu", Legend: "out " + w.Name, Size: "0.5", Base: w.Base, Length: millimetres(2000 + 500*int64(i%4))})
		}
		put(t, b, harness.KindWire, id, w)
	}
	used := map[string]bool{}
	for i, missing := range tag.Missing(b) {
		code, err := tag.NewCode(source, func(c string) bool { return used[c] })
		if err != nil {
			t.Fatal(err)
		}
		used[code] = true
		missing.Code = code
		put(t, b, harness.KindTag, fmt.Sprintf("tag%04d", i), missing)
	}
	return b
}
