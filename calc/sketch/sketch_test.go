package sketch

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
)

// build makes a build from lines: "Name=kind" is a place, "Name=kind < Parent" a place and a run to it, "+ A < B" a run.
// Names are ids too.
func build(t testing.TB, lines string) *harness.Build {
	t.Helper()
	b := harness.NewBuild("b")
	put := func(kind harness.Kind, id string, record any) {
		t.Helper()
		harnesstest.Put(t, b, kind, id, record)
	}
	order := 0.0
	for line := range strings.Lines(strings.TrimSpace(lines)) {
		order++
		name, parent, _ := strings.Cut(strings.TrimSpace(line), " < ")
		if far, ok := strings.CutPrefix(name, "+ "); ok {
			name = far
		} else {
			var kind string
			name, kind, _ = strings.Cut(name, "=")
			put(harness.KindPlace, name, harness.Place{Name: name, Kind: harness.PlaceKind(kind), Order: order})
		}
		if parent != "" {
			put(harness.KindRun, fmt.Sprint("run ", order), harness.Run{A: parent, B: name, Order: order})
		}
	}
	return b
}

// roadster is a route of 40 places: a main loom with a panel, an engine side and a nose, a loop, an island, and a place
// that no run leads to.
const roadster = `
Controller=controller
Bulkhead grommet=pass-through < Controller
S1=split < Bulkhead grommet
S2=split < S1
Throttle position=device < S2
S3=split < S2
Injector rail=split < S3
Injector 1=device < Injector rail
Injector 2=device < Injector rail
Injector 3=device < Injector rail
Injector 4=device < Injector rail
S4=split < S3
Knock sensor=device < S4
Coolant temperature=device < S4
S5=split < S4
Crank sensor=device < S5
Cam sensor=device < S5
Oil pressure=device < S5
Alternator=device < S5
Engine ground=ground < S4
Coil split=split < S3
Coil 1=device < Coil split
Coil 2=device < Coil split
Coil 3=device < Coil split
Coil 4=device < Coil split
Fuse panel=panel < S1
Battery=supply < Fuse panel
Main relay=device < Fuse panel
Fuel pump relay=device < Fuse panel
Nose split=split < S1
Radiator fan=device < Nose split
Horn=device < Nose split
Left headlamp=device < Nose split
Right headlamp=device < Nose split
Diagnostic plug=inline connector < Controller
Dash connector=inline connector < Controller
Lambda sensor=device < S2
Fuel pump=device
Tank split=split < Fuel pump
Starter feed=car wire
+ Fuse panel < Nose split`

// randomTree is a controller and n-1 places, each joined to one of the last reach before it, with names of all lengths.
func randomTree(rng *rand.Rand, n, reach int) []string {
	lines := []string{"p0=controller"}
	names := []string{"p0"}
	words := strings.Fields("Throttle Coolant Oil Air pressure temperature sensor relay Fan lamp Left Right Horn pump rail switch")
	for i := 1; i < n; i++ {
		name := fmt.Sprint("p", i)
		for range rng.IntN(4) {
			name += " " + words[rng.IntN(len(words))]
		}
		kind := []string{"device", "split", "device", "panel", "pass-through"}[rng.IntN(5)]
		lines = append(lines, fmt.Sprintf("%s=%s < %s", name, kind, names[max(0, len(names)-1-rng.IntN(reach))]))
		names = append(names, name)
	}
	return lines
}

// polyline samples an edge.
func polyline(e Edge) []Point {
	var out []Point
	for i := 0; i+3 < len(e.Points); i += 3 {
		for k := range 12 {
			out = append(out, at(e.Points[i:i+4], float64(k)/12))
		}
	}
	return append(out, e.Points[len(e.Points)-1])
}

// cross reports whether two stretches cross in their insides.
func cross(a, b, c, d Point) bool {
	turn := func(p, q, r Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	const eps = 1e-6
	opposite := func(u, v float64) bool { return u > eps && v < -eps || u < -eps && v > eps }
	return opposite(turn(a, b, c), turn(a, b, d)) && opposite(turn(c, d, a), turn(c, d, b))
}

// faults lists what a drawing must not have.
func faults(d Drawing) []string {
	var all []string
	say := func(format string, args ...any) { all = append(all, fmt.Sprintf(format, args...)) }
	lines := make([][]Point, len(d.Edges))
	for i, e := range d.Edges {
		if !e.Extra {
			lines[i] = polyline(e)
		}
	}
	for i := range lines {
		for j := range i {
			for k := 1; k < len(lines[i]); k++ {
				for m := 1; m < len(lines[j]); m++ {
					if cross(lines[i][k-1], lines[i][k], lines[j][m-1], lines[j][m]) {
						say("runs %q and %q cross at %.0f", d.Edges[i].Run, d.Edges[j].Run, lines[i][k])
					}
				}
			}
		}
	}
	for i, n := range d.Nodes {
		if b := n.box(); b.left < 0 || b.right > d.W || b.top < 0 || b.bottom > d.H || n.X-n.R < 0 || n.X+n.R > d.W {
			say("%q is off the paper", n.Place)
		}
		for j, m := range d.Nodes {
			if j < i && math.Hypot(n.X-m.X, n.Y-m.Y) < n.R+m.R+1 {
				say("%q stands on %q", n.Place, m.Place)
			}
			if j < i && n.box().overlaps(m.box()) {
				say("the names of %q and %q meet", n.Place, m.Place)
			}
			if n.box().overlaps(m.mark()) {
				say("the name of %q lies on %q", n.Place, m.Place)
			}
		}
		for j, e := range d.Edges {
			if e.Extra {
				continue
			}
			if n.box().overlaps(e.Length.lengthBox()) {
				say("the name of %q meets the length of %q", n.Place, e.Run)
			}
			for _, p := range lines[j] {
				if n.box().overlaps(box{p.X - 1, p.Y - 1, p.X + 1, p.Y + 1}) {
					say("run %q passes through the name of %q", e.Run, n.Place)
					break
				}
			}
		}
	}
	return all
}

func TestLayoutIsReadable(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	for trial := range 150 {
		n, reach := 10+rng.IntN(71), 1+rng.IntN(12)
		lines := randomTree(rng, n, reach)
		d := Layout(build(t, strings.Join(lines, "\n")), Options{Width: []float64{0, 340, 390, 800}[trial%4]})
		if f := faults(d); len(f) > 0 {
			t.Fatalf("trial %d, %d places:\n%s", trial, n, strings.Join(f[:min(len(f), 6)], "\n"))
		}
		if len(d.Nodes) != n || len(d.Edges) != n-1 {
			t.Fatalf("trial %d: %d nodes and %d edges of %d places", trial, len(d.Nodes), len(d.Edges), n)
		}
	}
}

func TestRoadster(t *testing.T) {
	b := build(t, roadster)
	d := Layout(b, Options{})
	if f := faults(d); len(f) > 0 {
		t.Fatal(strings.Join(f, "\n"))
	}
	if d.W != 390 || d.H > 1000 || len(d.Nodes) != 40 || len(d.Edges) != 38 {
		t.Errorf("%d nodes and %d edges on %.0f × %.0f", len(d.Nodes), len(d.Edges), d.W, d.H)
	}
	for i, r := range b.Runs.All() {
		e := d.Edges[i]
		if e.Run != r.ID || e.Extra != (r.A == "Nose split" && r.B == "Fuse panel") {
			t.Errorf("edge %d: %+v", i, e)
		}
	}
	loop := d.Edges[len(d.Edges)-1]
	for _, n := range d.Nodes {
		if n.box().overlaps(loop.Length.lengthBox()) || n.mark().overlaps(loop.Length.lengthBox()) {
			t.Errorf("the length of the loop lies on %q", n.Place)
		}
	}
	islands := map[string]int{"Controller": 0, "Alternator": 0, "Fuel pump": 1, "Tank split": 1, "Starter feed": -1}
	for place, want := range islands {
		if n, ok := d.Node(place); !ok || n.Island != want {
			t.Errorf("%s is on island %d", place, n.Island)
		}
	}
	if !reflect.DeepEqual(d, Layout(b, Options{})) {
		t.Error("the same build gave two drawings")
	}
}

func TestNearest(t *testing.T) {
	d := Layout(build(t, roadster), Options{})
	for _, n := range d.Nodes {
		if got, away := d.Nearest(n.X, n.Y); got != n.Place || away != 0 {
			t.Errorf("on %q: %q, %v away", n.Place, got, away)
		}
		b := n.box()
		if got, away := d.Nearest((b.left+b.right)/2, (b.top+b.bottom)/2); got != n.Place || away != 0 {
			t.Errorf("on the name of %q: %q, %v away", n.Place, got, away)
		}
	}
	if got, away := d.Nearest(d.W/2, -50); got != "Controller" || away < 40 {
		t.Errorf("above the paper: %q, %v away", got, away)
	}
	if got, away := (Drawing{}).Nearest(1, 1); got != "" || !math.IsInf(away, 1) {
		t.Errorf("on an empty drawing: %q, %v away", got, away)
	}
}

func TestEmptyAndLoose(t *testing.T) {
	if d := Layout(build(t, ""), Options{}); len(d.Nodes) != 0 || d.W != 390 || d.H != 0 {
		t.Errorf("an empty build: %+v", d)
	}
	d := Layout(build(t, "a=device\nb=device\nc=a very long name for a place that must be broken=device\nd=split"), Options{})
	if f := faults(d); len(f) > 0 || len(d.Nodes) != 4 {
		t.Errorf("loose places: %v", f)
	}
	d = Layout(build(t, "a=controller\nb=device < a\n+ b < a\n+ b < a\n+ a < a"), Options{})
	if len(d.Edges) != 3 || !d.Edges[1].Extra || !d.Edges[2].Extra || reflect.DeepEqual(d.Edges[1].Points, d.Edges[2].Points) {
		t.Errorf("three runs between two places: %+v", d.Edges)
	}
	d = Layout(build(t, roadster), Options{Root: "S3"})
	if n, _ := d.Node("S3"); n.Run != "" || n.Y > 60 {
		t.Errorf("a root of one's own: %+v", n)
	}
}

// A place that is added at the end of the order moves the others little: most stay on their side and nearly where they
// were, and the rest of the drawing keeps its order from top to bottom.
func TestAddingAPlaceMovesLittle(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	var turned, jumped, all int
	for range 200 {
		lines := randomTree(rng, 20+rng.IntN(40), 1+rng.IntN(8))
		before := Layout(build(t, strings.Join(lines, "\n")), Options{})
		parent, _, _ := strings.Cut(lines[rng.IntN(len(lines))], "=")
		after := Layout(build(t, strings.Join(append(lines, "new=device < "+parent), "\n")), Options{})
		for _, n := range before.Nodes {
			m, _ := after.Node(n.Place)
			all++
			if n.Name.Anchor != m.Name.Anchor {
				turned++
			}
			if math.Abs(n.X-m.X) > 40 || math.Abs(n.Y-m.Y) > 2*rowHeight {
				jumped++
			}
		}
	}
	t.Logf("of %d places %d turned over, %d jumped", all, turned, jumped)
	if turned > all/10 || jumped > all/10 {
		t.Errorf("of %d places %d turned over, %d jumped", all, turned, jumped)
	}
}

func TestWrap(t *testing.T) {
	tests := []struct {
		name string
		most float64
		want []string
	}{
		{"Horn", 100, []string{"Horn"}},
		{"Coolant temperature", 90, []string{"Coolant", "temperature"}},
		{"Exhaust gas temperature two", 90, []string{"Exhaust gas", "temperature…"}},
		{"Kraftstoffpumpenrelais", 80, []string{"Kraftstoffp…"}},
		{"", 50, []string{""}},
	}
	for _, tt := range tests {
		if got := wrap(tt.name, tt.most); !slices.Equal(got, tt.want) {
			t.Errorf("wrap(%q, %v) = %q, want %q", tt.name, tt.most, got, tt.want)
		}
	}
}

func BenchmarkLayout(b *testing.B) {
	rng := rand.New(rand.NewPCG(6, 6))
	w := build(b, strings.Join(randomTree(rng, 300, 9), "\n")+"\n"+"+ p0 < p0")
	for b.Loop() {
		Layout(w, Options{})
	}
}
