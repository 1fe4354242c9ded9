package route

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

type world struct {
	t testing.TB
	b *harness.Build
}

func newWorld(t testing.TB) world { return world{t, harness.NewBuild("b")} }

func (w world) put(kind harness.Kind, id string, record any) {
	w.t.Helper()
	harnesstest.Put(w.t, w.b, kind, id, record)
}

// places makes devices, and a controller of the first; run "ab" joins a and b, mm long if above zero, in a loom.
func (w world) places(names string) world {
	for i, name := range strings.Fields(names) {
		p := harness.Place{Name: name, Kind: harness.Device, Order: float64(i)}
		if i == 0 {
			p.Kind = harness.Controller
		}
		w.put(harness.KindPlace, name, p)
	}
	return w
}

func (w world) run(id, a, b string, mm int, loom string) {
	w.put(harness.KindRun, id, harness.Run{A: a, B: b, Loom: loom, Order: float64(w.b.Runs.Len())})
	if mm > 0 {
		w.put(harness.KindReading, "of "+id, harness.Reading{Runs: []string{id}, Value: unit.Length(mm) * unit.Millimetre})
	}
}

func (w world) graph() *Graph { return New(w.b, survey.Adjust(w.b, nil)) }

func say(p Path, err error) string {
	var no *NoPath
	if errors.As(err, &no) {
		s := string(no.Trouble)
		for _, part := range []string{string(no.End), no.Place, strings.Join(no.Places, ","), strings.Join(no.Looms, ",")} {
			if part != "" {
				s += " " + part
			}
		}
		return s
	}
	s := fmt.Sprint(strings.Join(p.Runs, " "), " = ", p.Length.Format(unit.Metric))
	if !p.Measured() {
		s += " without " + strings.Join(p.Missing, " ")
	}
	return strings.TrimSpace(s)
}

// Two ways round from the controller c to d, a branch, a parallel run, and an island x-y.
//
//	c --100-- s --200-- d --?-- e      x -- y      z
//	 \--50-- t --?--/   s ==250== d
func kit(t testing.TB) world {
	w := newWorld(t).places("c s t d e x y z")
	w.run("cs", "c", "s", 100, "main")
	w.run("sd2", "s", "d", 250, "main")
	w.run("sd", "s", "d", 200, "power")
	w.run("ct", "c", "t", 50, "main")
	w.run("td", "t", "d", 0, "main")
	w.run("de", "d", "e", 0, "main")
	w.run("xy", "x", "y", 70, "main")
	return w
}

func TestPath(t *testing.T) {
	g := kit(t).graph()
	tests := []struct {
		name, from, to, looms, via, want string
	}{
		{"the shorter of two parallel runs", "c", "d", "", "", "cs sd = 300 mm"},
		{"inside one loom", "c", "d", "main", "", "cs sd2 = 350 mm"},
		{"inside two", "c", "d", "power main", "", "cs sd = 300 mm"},
		{"through a place", "c", "d", "", "t", "ct td = 50 mm without td"},
		{"through places, out and back", "x", "x", "", "y", "xy xy = 140 mm"},
		{"through a place and on by another run", "c", "s", "", "d", "cs sd sd2 = 550 mm"},
		{"through where it stands already", "c", "s", "", "c s", "cs = 100 mm"},
		{"measured even if unmeasured is nearer", "t", "d", "", "", "ct cs sd = 350 mm"},
		{"only with one that is not measured", "c", "e", "", "", "cs sd de = 300 mm without de"},
		{"from a place to itself", "d", "d", "", "", "= 0 mm"},
		{"to an island", "c", "y", "", "", "other island y x,y"},
		{"from an island", "x", "d", "", "", "other island x x,y"},
		{"to a place without runs", "c", "z", "", "", "no runs z"},
		{"only in a loom it may not use", "c", "d", "power", "", "other loom d main"},
		{"through a place that is gone", "c", "d", "", "q", "lost via q"},
		{"to a place that is gone", "c", "q", "", "", "lost end to q"},
		{"from a place that is gone", "q", "c", "", "", "lost end from q"},
	}
	for _, tt := range tests {
		if got := say(g.Path(tt.from, tt.to, strings.Fields(tt.looms), strings.Fields(tt.via))); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
	p, _ := g.Path("c", "e", nil, nil)
	if want := []string{"c", "s", "d", "e"}; !slices.Equal(p.Places, want) {
		t.Errorf("places %v, want %v", p.Places, want)
	}
}

func TestWireEnds(t *testing.T) {
	w := kit(t)
	w.put(harness.KindTerminal, "c14", harness.Terminal{Place: "c", Name: "14"})
	w.put(harness.KindTerminal, "old", harness.Terminal{Place: "c", Record: harness.Record{Gone: true}})
	w.put(harness.KindJoint, "j", harness.Joint{Place: "s"})
	w.put(harness.KindJoint, "nowhere", harness.Joint{})
	w.put(harness.KindJoint, "lost", harness.Joint{Place: "s", Record: harness.Record{Gone: true}})
	g := w.graph()
	tests := []struct {
		name     string
		from, to harness.End
		want     string
	}{
		{"terminal to place", harness.End{Terminal: "c14"}, harness.End{Place: "d"}, "cs sd = 300 mm"},
		{"a joint is at its place", harness.End{Joint: "j"}, harness.End{Place: "d"}, "sd = 200 mm"},
		{"a terminal that is gone leaves its place", harness.End{Place: "c", Terminal: "old"}, harness.End{Joint: "j"}, "cs = 100 mm"},
		{"nothing chosen", harness.End{Place: "c"}, harness.End{}, "no end to"},
		{"a joint without a place", harness.End{Joint: "nowhere"}, harness.End{Place: "d"}, "lost end from"},
		{"a joint that is gone", harness.End{Place: "c"}, harness.End{Joint: "lost"}, "lost end to"},
	}
	for _, tt := range tests {
		if got := say(g.Wire(harness.Wire{From: tt.from, To: tt.to})); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
	w.put(harness.KindWire, "w1", harness.Wire{From: harness.End{Place: "c"}, To: harness.End{Place: "d"}, Order: 2})
	w.put(harness.KindWire, "w2", harness.Wire{From: harness.End{Place: "c"}, To: harness.End{Place: "s"}, Via: []string{"d"}, Order: 1})
	w.put(harness.KindWire, "w3", harness.Wire{From: harness.End{Place: "c"}})
	want := map[string][]string{"cs": {"w2", "w1"}, "sd": {"w2", "w1"}, "sd2": {"w2"}}
	if got := w.graph().PerRun(); !reflect.DeepEqual(got, want) {
		t.Errorf("PerRun = %v, want %v", got, want)
	}
}

func TestIssues(t *testing.T) {
	w := kit(t)
	w.run("far", "c", "t", 3200, "main")
	w.run("self", "s", "s", 10, "main")
	w.run("stray", "s", "nobody", 10, "main")
	w.run("half", "s", "", 10, "attic")
	const mm = unit.Millimetre
	w.put(harness.KindReading, "check", harness.Reading{Runs: []string{"cs", "sd"}, Value: 340 * mm})
	w.put(harness.KindReading, "wrong", harness.Reading{Runs: []string{"ct", "td"}, Value: 40 * mm})
	w.put(harness.KindReading, "blank", harness.Reading{Runs: []string{"ct"}})
	w.put(harness.KindLoom, "main", harness.Loom{Name: "main"})
	w.put(harness.KindLoom, "power", harness.Loom{Name: "power"})
	var got []string
	for _, i := range w.graph().Issues() {
		s := fmt.Sprintf("%s: %s/%s/%s", i.Kind, strings.Join(i.Places, " "), strings.Join(i.Runs, " "), strings.Join(i.Readings, " "))
		if i.Got != 0 {
			s += fmt.Sprint(" ", i.Got, " ", i.Limit)
		}
		got = append(got, s+string(i.Why)+string(i.Because))
	}
	want := []string{
		"lost place: nobody/stray/", "lost place: /half/", "self run: s/self/",
		"contradiction: /td/of ct wrong -10 mm 0 mm",
		"long run: /far/ 3200 mm 3000 mm",
		"read again: /cs/of cs of sd check 100 mm 140 mm",
		"island: x y//", "loose: z//",
		"loop: s d/sd sd2/", "loop: c t d s/ct td sd2 cs/", "loop: c t/far ct/",
		"lost loom: /half/",
		"unused: //blankno value",
		"unmeasured: /de/no reading",
	}
	if !slices.Equal(got, want) {
		t.Errorf("issues:\n%s\nwant:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if got := newWorld(t).graph().Issues(); got != nil {
		t.Errorf("an empty build has issues: %v", got)
	}
	if got := newWorld(t).places("c").graph().Issues(); got != nil {
		t.Errorf("a controller alone has issues: %v", got)
	}
}

// Random multigraphs, dense and loose, against an independent search.
func TestPathsAgainstGonum(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	looms := []string{"main", "power", "cabin"}
	for trial := range 120 {
		n := 2 + rng.IntN(24)
		var names []string
		for i := range n {
			names = append(names, fmt.Sprintf("p%02d", i))
		}
		w := newWorld(t).places(strings.Join(names, " "))
		type link struct {
			a, b, mm int
			loom     string
		}
		var links []link
		for i := range rng.IntN(3 * n) {
			l := link{rng.IntN(n), rng.IntN(n), 1 + rng.IntN(40), looms[rng.IntN(3)]}
			if l.a == l.b {
				continue
			}
			links = append(links, l)
			w.run(fmt.Sprintf("r%02d", i), names[l.a], names[l.b], l.mm, l.loom)
		}
		g := w.graph()
		allowed := looms[:rng.IntN(3)]
		ref := simple.NewWeightedUndirectedGraph(0, math.Inf(1))
		whole := simple.NewUndirectedGraph()
		for i := range n {
			ref.AddNode(simple.Node(i))
			whole.AddNode(simple.Node(i))
		}
		for _, l := range links {
			whole.SetEdge(simple.Edge{F: simple.Node(l.a), T: simple.Node(l.b)})
			if len(allowed) > 0 && !slices.Contains(allowed, l.loom) {
				continue
			}
			if old, ok := ref.Weight(int64(l.a), int64(l.b)); !ok || float64(l.mm) < old {
				ref.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(l.a), T: simple.Node(l.b), W: float64(l.mm)})
			}
		}
		for a := range n {
			shortest := path.DijkstraFrom(simple.Node(a), ref)
			for b := range n {
				p, err := g.Path(names[a], names[b], allowed, nil)
				if want := shortest.WeightTo(int64(b)); math.IsInf(want, 1) != (err != nil) ||
					err == nil && p.Length != unit.Length(want)*unit.Millimetre {
					t.Fatalf("trial %d: %d to %d in %v: %s, want %v", trial, a, b, allowed, say(p, err), want)
				}
				back, _ := g.Path(names[b], names[a], allowed, nil)
				slices.Reverse(back.Runs)
				if err == nil && !slices.Equal(p.Runs, back.Runs) {
					t.Fatalf("trial %d: there %v, back %v", trial, p.Runs, back.Runs)
				}
			}
		}
		components := topo.ConnectedComponents(whole)
		if got := len(g.loops()); got != len(links)-n+len(components) {
			t.Fatalf("trial %d: %d loops, want runs − places + components = %d", trial, got, len(links)-n+len(components))
		}
		for _, l := range g.loops() {
			for i, id := range l.Runs {
				r, _ := w.b.Runs.Get(id)
				if far, ok := r.OtherEnd(l.Places[i]); !ok || far != l.Places[(i+1)%len(l.Places)] {
					t.Fatalf("trial %d: loop %v %v is not closed", trial, l.Places, l.Runs)
				}
			}
		}
		for _, c := range components {
			if got := g.Island(names[c[0].ID()]); len(got) != len(c) {
				t.Fatalf("trial %d: island of %v is %v", trial, c, got)
			}
		}
	}
}

// 1000 wires over 300 runs, the graph made anew each time as after a tap.
func BenchmarkWires(b *testing.B) {
	rng := rand.New(rand.NewPCG(9, 9))
	var names []string
	for i := range 260 {
		names = append(names, fmt.Sprint("p", i))
	}
	w := newWorld(b).places(strings.Join(names, " "))
	for i := range 300 {
		far := rng.IntN(260)
		if i > 0 && i < 260 {
			far = rng.IntN(i)
		}
		w.run(fmt.Sprint("r", i), names[i%260], names[far], 10+rng.IntN(900), "main")
	}
	for i := range 1000 {
		wire := harness.Wire{From: harness.End{Place: names[rng.IntN(6)]}, To: harness.End{Place: names[rng.IntN(260)]}}
		if i%3 == 0 {
			wire.Looms = []string{"main"}
		}
		w.put(harness.KindWire, fmt.Sprint("w", i), wire)
	}
	lengths := survey.Adjust(w.b, nil)
	for b.Loop() {
		New(w.b, lengths).PerRun()
	}
}
