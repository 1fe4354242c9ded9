package demo

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
	"loomwright/storage"
)

var golden = flag.Bool("golden", false, "write the kept build file")

// kept is the file that the app offers as its demo.
var kept = filepath.Join("..", "..", "testdata", "builds", "roadster.build")

func build(t testing.TB, edits int) *storage.Log {
	t.Helper()
	log, err := Log(edits)
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func TestRealSize(t *testing.T) {
	b := build(t, 0).State()
	pins := 0
	for _, terminal := range b.Terminals.All() {
		if p, _ := b.Places.Get(terminal.Place); p.Kind == harness.Controller {
			pins++
		}
	}
	for _, c := range []struct {
		what      string
		got, want int
	}{
		{"controller pins", pins, 60}, {"places", b.Places.Len(), 40}, {"runs", b.Runs.Len(), 40},
		{"wires", b.Wires.Len(), 150}, {"looms", b.Looms.Len(), 3}, {"joints", b.Joints.Len(), 5},
		{"tags", b.Tags.Len(), 300 + 40},
	} {
		if c.got < c.want {
			t.Errorf("%d %s, want at least %d", c.got, c.what, c.want)
		}
	}
	for _, kind := range harness.PlaceKinds {
		if !slices.ContainsFunc(b.Places.All(), func(p harness.Place) bool { return p.Kind == kind }) {
			t.Errorf("no place of the kind %q", kind)
		}
	}
	for _, status := range []harness.PlaceStatus{harness.Open, harness.Decided, harness.Mounted} {
		if !slices.ContainsFunc(b.Places.All(), func(p harness.Place) bool { return p.Status == status }) {
			t.Errorf("no place with the status %q", status)
		}
	}
}

func TestNothingDangles(t *testing.T) {
	b := build(t, 0).State()
	for _, w := range b.Wires.All() {
		for _, end := range []harness.End{w.From, w.To} {
			place, ok := b.EndPlace(end)
			if _, found := b.Places.Get(place); !ok || !found {
				t.Errorf("wire %s %q ends at no place: %+v", w.Name, w.Function, end)
			}
			if end.Terminal != "" {
				if terminal, ok := b.Terminals.Get(end.Terminal); !ok || terminal.Place != end.Place {
					t.Errorf("wire %s %q ends at no terminal: %+v", w.Name, w.Function, end)
				}
			}
		}
		for _, loom := range w.Looms {
			if _, ok := b.Looms.Get(loom); !ok {
				t.Errorf("wire %s %q: no loom %q", w.Name, w.Function, loom)
			}
		}
		if w.Lead != "" {
			lead, ok := b.Leads.Get(w.Lead)
			if !ok || lead.Terminal != w.From.Terminal || lead.Size != w.Size || lead.Base != w.Base || lead.Tracer != w.Tracer {
				t.Errorf("wire %s %q is not as its lead %+v", w.Name, w.Function, lead)
			}
		}
	}
	for _, r := range b.Runs.All() {
		_, a := b.Places.Get(r.A)
		_, z := b.Places.Get(r.B)
		if _, loom := b.Looms.Get(r.Loom); !a || !z || !loom || r.A == r.B {
			t.Errorf("run %+v does not join two places in a loom", r)
		}
	}
	for _, r := range b.Readings.All() {
		for i, run := range r.Runs {
			found, ok := b.Runs.Get(run)
			if far, joins := found.OtherEnd(r.Places[i]); !ok || !joins || far != r.Places[i+1] {
				t.Errorf("reading %q: run %d does not join its places", r.Text, i)
			}
		}
	}
	for _, j := range b.Joints.All() {
		if _, ok := b.Places.Get(j.Place); !ok {
			t.Errorf("joint %q is made at no place", j.Name)
		}
	}
}

func TestNamesAreUnique(t *testing.T) {
	b := build(t, 0).State()
	seen := map[string]bool{}
	once := func(kind, name string) {
		if seen[kind+name] {
			t.Errorf("%s %q is there twice", kind, name)
		}
		seen[kind+name] = true
	}
	for _, p := range b.Places.All() {
		once("place", p.Name)
	}
	for _, w := range b.Wires.All() {
		once("wire", w.Name)
		once("function", w.Function)
	}
	for _, j := range b.Joints.All() {
		once("joint", j.Name)
	}
	for _, tag := range b.Tags.All() {
		once("code", tag.Code)
		once("tag of", tag.Subject+string(tag.End))
	}
	for _, terminal := range b.Terminals.All() {
		once("terminal", terminal.Place+terminal.Connector+":"+terminal.Name)
	}
	for _, w := range b.Wires.All() {
		for _, end := range []harness.TagEnd{harness.FromEnd, harness.ToEnd} {
			if !seen["tag of"+w.ID+string(end)] {
				t.Errorf("wire %s has no tag on its end %q", w.Name, end)
			}
		}
	}
}

// needs are the terminals that a device must have joined, by the beginning of its name.
//
// Source: common practice; a thermistor and a one-wire sender do not have supply, return and signal.
var needs = map[string]string{
	"Injector":               "supply,drive",
	"Coil":                   "supply,ground,trigger",
	"Throttle position":      "5 V,signal,ground",
	"Manifold pressure":      "5 V,signal,ground",
	"Cam position":           "5 V,signal,ground",
	"Road speed":             "5 V,signal,ground",
	"Oil sensor":             "5 V,pressure,temperature,ground",
	"Coolant temperature":    "signal,ground",
	"Intake air temperature": "signal,ground",
	"Crank position":         "signal,return",
	"Knock":                  "signal,return",
	"Idle valve":             "supply,drive",
	"Purge valve":            "supply,drive",
	"Wideband sensor":        "pump,common,nernst,trim,heat +,heat -",
	"Starter":                "30,50", // grounded through its body
	"Alternator":             "B+,lamp",
	"Radiator fans":          "1 +,1 -,2 +,2 -",
	"Switch panel":           "fan,launch,map,common",
	"Dash display":           "supply,ground,CAN high,CAN low",
	"Fuel pump":              "+,-",
	"Fuel level":             "signal,ground",
	"Relay panel":            "K1:30,K1:85,K1:86,K1:87,K2:30,K2:85,K2:86,K2:87,K3:30,K3:85,K3:86,K3:87,K4:30,K4:85,K4:86,K4:87,K5:30,K5:85,K5:86,K5:87",
}

func TestEveryDeviceIsJoined(t *testing.T) {
	b := build(t, 0).State()
	joined := map[string]int{} // wires at a terminal or in a joint
	for _, w := range b.Wires.All() {
		for _, end := range []harness.End{w.From, w.To} {
			joined[end.Terminal+end.Joint]++
		}
	}
	for _, p := range b.Places.All() {
		if p.Kind != harness.Device && p.Kind != harness.Panel {
			continue
		}
		ends, found := "", p.Kind == harness.Panel
		for name, list := range needs {
			if strings.HasPrefix(p.Name, name) {
				ends, found = list, true
			}
		}
		if !found {
			t.Errorf("nothing says what %q needs", p.Name)
		}
		for _, end := range list(ends) {
			if joined[terminalAt(p.Name, end)] == 0 {
				t.Errorf("%s: nothing is joined to %q", p.Name, end)
			}
		}
	}
	for _, terminal := range b.Terminals.All() {
		p, _ := b.Places.Get(terminal.Place)
		n := joined[terminal.ID]
		switch {
		case n == 0 && p.Kind != harness.Controller:
			t.Errorf("%s: nothing is joined to %s %s", p.Name, terminal.Connector, terminal.Name)
		case n > 1 && p.Kind != harness.TerminalStrip && p.Kind != harness.Inline:
			t.Errorf("%s: %d wires in %s %s", p.Name, n, terminal.Connector, terminal.Name)
		}
	}
	for _, j := range b.Joints.All() {
		if joined[j.ID] < 3 {
			t.Errorf("joint %q has %d wires", j.Name, joined[j.ID])
		}
	}
}

func TestTwistedTogetherGoTogether(t *testing.T) {
	b := build(t, 0).State()
	groups := map[string][]harness.Wire{}
	for _, w := range b.Wires.All() {
		if w.Twist != "" {
			groups[w.Twist] = append(groups[w.Twist], w)
		}
	}
	for _, name := range []string{"crank", "cam", "knock", "bus"} {
		if len(groups[name]) != 2 {
			t.Errorf("twist %q: %d wires", name, len(groups[name]))
		}
	}
	for name, pair := range groups {
		from, _ := b.EndPlace(pair[0].From)
		to, _ := b.EndPlace(pair[0].To)
		for _, w := range pair[1:] {
			f, _ := b.EndPlace(w.From)
			if z, _ := b.EndPlace(w.To); f != from || z != to || w.Size != pair[0].Size {
				t.Errorf("twist %q: %s does not go with %s", name, w.Name, pair[0].Name)
			}
		}
	}
}

func TestReadings(t *testing.T) {
	b := build(t, 0).State()
	times := map[string]int{}
	long := 0
	for _, r := range b.Readings.All() {
		if len(r.Runs) > 1 {
			long++
			continue
		}
		times[r.Runs[0]]++
	}
	unmeasured, twice := 0, 0
	for _, r := range b.Runs.All() {
		switch times[r.ID] {
		case 0:
			unmeasured++
		case 1:
		default:
			twice++
		}
	}
	if unmeasured < 2 || unmeasured > 3 || twice < 5 || long != 1 {
		t.Errorf("%d runs not measured, %d twice, %d readings over several runs", unmeasured, twice, long)
	}
}

// TestEveryWireHasAWay checks that each wire can be laid inside its looms, and that the route has nothing wrong with it
// but what a real one has: ways round both sides, and runs that nobody has measured yet.
func TestEveryWireHasAWay(t *testing.T) {
	b := build(t, 0).State()
	lengths := survey.Adjust(b, nil)
	g := route.New(b, lengths)
	unknown := 0
	for _, w := range b.Wires.All() {
		path, err := g.Wire(w)
		if err != nil {
			t.Errorf("wire %s %q: %v", w.Name, w.Function, err)
		}
		if len(path.Runs) == 0 {
			t.Errorf("wire %s %q stays at one place", w.Name, w.Function)
		}
		if !path.Measured() {
			unknown++
		}
	}
	if unknown < 2 || unknown > 15 {
		t.Errorf("%d wires of unknown length", unknown)
	}
	for _, i := range g.Issues() {
		if i.Kind != route.Loop && i.Kind != route.Unmeasured {
			t.Errorf("issue of the route: %+v", i)
		}
	}
	for _, k := range lengths.All() {
		if why, usual := route.Doubtful(k.Length, lengths); k.Measured() && why != "" {
			t.Errorf("run %s of %s: %s, usual is %s", k.Run, k.Length, why, usual)
		}
	}
}

func TestMostLeadsReach(t *testing.T) {
	b := build(t, 0).State()
	g := route.New(b, survey.Adjust(b, nil))
	count := map[cut.Verdict]int{}
	for _, w := range b.Wires.All() {
		if w.Lead != "" {
			count[cut.Lead(b, g, w).Verdict]++
		}
	}
	if count[cut.Reaches] < 30 || count[cut.ReachesShortTail] < 3 || count[cut.TrulyShort] < 2 || count[cut.TrulyShort] > 3 {
		t.Errorf("leads: %v", count)
	}
}

func TestOneCutWireIsShortNow(t *testing.T) {
	b := build(t, 0).State()
	g := route.New(b, survey.Adjust(b, nil))
	var short []string
	ticked := 0
	for _, w := range b.Wires.All() {
		var c cut.Change
		switch {
		case w.Cut != nil:
			c = cut.After(*w.Cut, cut.Length(b, g, w))
		case w.Trimmed != nil:
			c = cut.AfterTrim(*w.Trimmed, cut.Length(b, g, w))
		default:
			continue
		}
		ticked++
		if !c.Known || c.Truly || c.Over > 10*unit.Millimetre {
			t.Errorf("%s: %+v", w.Function, c)
		}
		if c.Short > 0 {
			short = append(short, w.Function+" by "+c.Short.Format(unit.Metric))
		}
	}
	if want := []string{"alternator output by 40 mm"}; !slices.Equal(short, want) || ticked != len(done) {
		t.Errorf("%d ticked, short now: %v, want %v", ticked, short, want)
	}
}

func TestKeptFile(t *testing.T) {
	var made bytes.Buffer
	if err := storage.Encode(&made, build(t, 0), nil); err != nil {
		t.Fatal(err)
	}
	if *golden {
		if err := os.WriteFile(kept, made.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	have, err := os.ReadFile(kept)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(have, made.Bytes()) {
		t.Errorf("%s is not what the tables say (%d bytes, %d made): run go test ./build/demo -golden and read the difference", kept, len(have), made.Len())
	}
}

func TestKeptFileOpensAndMergesOnce(t *testing.T) {
	data, err := os.ReadFile(kept)
	if err != nil {
		t.Fatal(err)
	}
	log, err := storage.Decode(bytes.NewReader(data), nil)
	if err != nil {
		t.Fatal(err)
	}
	if p, c := log.Problems(), log.Conflicts(); len(p) > 0 || len(c) > 0 {
		t.Errorf("problems %v, conflicts %v", p, c)
	}
	var again bytes.Buffer
	if err := storage.Encode(&again, log, nil); err != nil || !bytes.Equal(again.Bytes(), data) {
		t.Errorf("opened and written again, the file differs (%v)", err)
	}
	made := build(t, 0)
	other := storage.New(BuildID)
	for round, want := range []int{made.Len(), 0, 0} {
		merged, err := other.Merge("another-phone", "2026-05-01T08:00:00Z", log.Lines())
		if err != nil || merged.Added != want || len(merged.Conflicts) > 0 {
			t.Errorf("merge %d: %d added, want %d; conflicts %v, %v", round, merged.Added, want, merged.Conflicts, err)
		}
	}
	if other.Len() != made.Len()+1 {
		t.Errorf("%d lines after three merges of %d: the merge's own line is missing or there twice", other.Len(), made.Len())
	}
	sameLiving(t, log.State(), made.State())
}

// TestLongLogEndsTheSame checks that years of small corrections leave the build as it was.
func TestLongLogEndsTheSame(t *testing.T) {
	edits := 5000
	if testing.Short() {
		edits = 1000
	}
	short, long := build(t, 0), build(t, edits)
	if long.Len() < edits || long.Len() > edits+10 {
		t.Errorf("%d edits, asked for %d", long.Len(), edits)
	}
	if p, c := long.Problems(), long.Conflicts(); len(p) > 0 || len(c) > 0 {
		t.Errorf("problems %v, conflicts %v", p, c)
	}
	sameLiving(t, long.State(), short.State())
}

// sameLiving compares what lives in two builds. Readings are compared by their runs and values, because a corrected
// reading is another record.
func sameLiving(t *testing.T, got, want *harness.Build) {
	t.Helper()
	if !reflect.DeepEqual(got.Settings, want.Settings) {
		t.Errorf("settings %+v, want %+v", got.Settings, want.Settings)
	}
	same(t, "places", got.Places.All(), want.Places.All())
	same(t, "runs", got.Runs.All(), want.Runs.All())
	same(t, "looms", got.Looms.All(), want.Looms.All())
	same(t, "terminals", got.Terminals.All(), want.Terminals.All())
	same(t, "leads", got.Leads.All(), want.Leads.All())
	same(t, "wires", got.Wires.All(), want.Wires.All())
	same(t, "joints", got.Joints.All(), want.Joints.All())
	same(t, "tags", got.Tags.All(), want.Tags.All())
	same(t, "readings", values(got), values(want))
}

func same[T any](t *testing.T, what string, got, want []T) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%d %s, want %d", len(got), what, len(want))
		return
	}
	for i := range got {
		if !reflect.DeepEqual(got[i], want[i]) {
			t.Errorf("%s: %+v, want %+v", what, got[i], want[i])
		}
	}
}

func values(b *harness.Build) []string {
	var all []string
	for _, r := range b.Readings.All() {
		all = append(all, strings.Join(r.Runs, " ")+" "+r.Value.Exact(unit.Metric))
	}
	slices.Sort(all)
	return all
}

func BenchmarkLog(b *testing.B) {
	for _, edits := range []int{5_000, 20_000} {
		b.Run(strconv.Itoa(edits), func(b *testing.B) {
			for b.Loop() {
				if _, err := Log(edits); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
