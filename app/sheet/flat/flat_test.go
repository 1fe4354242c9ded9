package flat

import (
	"bytes"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loomwright/app/sheet"
	"loomwright/app/sheet/sheettest"
	"loomwright/calc/board"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/unit"
	"loomwright/storage"
)

var golden = flag.Bool("golden", false, "write the golden files anew")

func compare(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join(sheettest.Module(t), "testdata", "golden", name)
	if *golden {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v; go test ./app/sheet/flat -golden writes it", err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs from the golden file; go test ./app/sheet/flat -golden writes it anew, then read the difference", name)
	}
}

func demo(t *testing.T) *harness.Build {
	t.Helper()
	f, err := os.Open(filepath.Join(sheettest.Module(t), "testdata", "builds", "roadster.build"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	log, err := storage.Decode(f, nil)
	if err != nil {
		t.Fatal(err)
	}
	return log.State()
}

func TestGolden(t *testing.T) {
	b := sheettest.Bench(t)
	o := sheet.Options{Date: "2026-05-14", Revision: "B"}
	list, err := BenchList(b, o)
	if err != nil {
		t.Fatal(err)
	}
	x, err := Of(b, o)
	if err != nil {
		t.Fatal(err)
	}
	for name, write := range map[string]func(io.Writer) error{
		"benchlist.csv":  func(w io.Writer) error { return list.Write(w, sheet.CSV, b, o) },
		"benchlist.json": func(w io.Writer) error { return list.Write(w, sheet.JSON, b, o) },
		"board.svg":      x.Draw(o).SVG,
		"schematic.svg":  Schematic(b, o, 210, 297).SVG,
	} {
		var out bytes.Buffer
		if err := write(&out); err != nil {
			t.Fatal(err)
		}
		compare(t, name, out.Bytes())
	}
}

// A run lies on the board as long as cut lengths count it: every wire through it has the same terms for it, each once.
func TestARunIsAsLongAsInTheCutLengths(t *testing.T) {
	b := demo(t)
	g := cut.Settle(b).Graph
	x := plan(b)
	at := map[string]int{}
	for i, run := range x.Plan.Runs {
		at[run] = i
	}
	whole := 0
	for _, w := range b.Wires.All() {
		r := cut.Length(b, g, w)
		sum := 0.0
		for _, id := range r.Path.Runs {
			if i, laid := at[id]; laid {
				sum += x.Plan.Length[i]
			} else {
				sum = math.Inf(1)
			}
		}
		if !r.Known() || math.IsInf(sum, 1) {
			continue
		}
		want := r.Of(cut.OfRun).MM()
		for _, term := range r.Terms {
			if term.Kind == cut.OneRun || term.Kind == cut.RunsAsOne {
				want += term.Value.MM()
			}
		}
		if whole++; math.Abs(sum-want) > 0.001 {
			t.Errorf("%s: its runs are %.2f mm on the board, %.2f in its cut length", w.Name, sum, want)
		}
	}
	if whole < 90 {
		t.Errorf("only %d wires lie on the board with their whole way", whole)
	}
}

// The demo lies on the usual bench and no lines cross.
func TestTheDemoFits(t *testing.T) {
	x, err := Of(demo(t), sheet.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !x.Layout.Fits || x.Layout.Bench != (board.Bench{Width: 2400, Height: 1200}) {
		t.Errorf("fits %v, on %v, needs %v", x.Layout.Fits, x.Layout.Bench, x.Layout.Need)
	}
	for i, a := range x.Layout.Lines {
		for j, b := range x.Layout.Lines[:i] {
			if x.Plan.Parent[i] == j || x.Plan.Parent[j] == i || x.Plan.Parent[i] == x.Plan.Parent[j] {
				continue // they meet at a place
			}
			for m := 1; m < len(a); m++ {
				for n := 1; n < len(b); n++ {
					if cross(a[m-1], a[m], b[n-1], b[n]) {
						t.Errorf("the runs to %s and to %s cross", x.name(i), x.name(j))
					}
				}
			}
		}
	}
	t.Logf("%d places, bends %d, least angle %.0f, needs %.0f × %.0f", len(x.Plan.Places), x.Layout.Bends, x.Layout.Sharp, x.Layout.Need.Width, x.Layout.Need.Height)
}

func cross(a, b, c, d board.Point) bool {
	side := func(p, q, r board.Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// Ties are no farther apart than they are bought for, and keep away from a split that is decided in the car.
func TestTies(t *testing.T) {
	x := plan(demo(t))
	inCar := 0
	for i, parent := range x.Plan.Parent {
		if parent < 0 {
			continue
		}
		ties := x.tied(i)
		if x.Plan.Weight[i] < 2 && ties != nil {
			t.Errorf("the one wire to %s is tied", x.name(i))
		}
		for k, at := range ties {
			if at <= 0 || at >= x.Plan.Length[i] || k > 0 && at-ties[k-1] > tieEvery+1e-9 {
				t.Errorf("the run to %s of %.0f mm is tied at %v", x.name(i), x.Plan.Length[i], ties)
			}
			for place, far := range map[int]float64{parent: at, i: x.Plan.Length[i] - at} {
				if p := x.place(place); p.Kind == harness.Split && p.Fixed == harness.InCar {
					if inCar++; far < tieInCar-1e-9 {
						t.Errorf("a tie %.0f mm from %s, which is decided in the car", far, x.name(place))
					}
				}
			}
		}
	}
	if inCar == 0 {
		t.Error("the demo has no tie on a run to a split that is decided in the car: nothing was tested")
	}
}

// A connector says the side that its record says, and no other.
func TestTheSideOfAConnector(t *testing.T) {
	b := sheettest.Bench(t)
	laid := plan(b)
	at := slices.IndexFunc(laid.Plan.Places, func(id string) bool { p, _ := b.Places.Get(id); return p.Kind == harness.Device })
	harnesstest.Put(t, b, harness.KindConnector, "one", harness.Connector{Place: laid.Plan.Places[at], Name: "X", Face: harness.MatingFace})
	x, err := Of(b, sheet.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := x.Draw(sheet.Options{}).SVG(&out); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out.String(), "connector X, seen from the mating face") || strings.Contains(out.String(), "wire side") || !strings.Contains(out.String(), "side not known") {
		t.Error("the side of a connector is not that of its record")
	}
}

// Three devices wired to each other in a circle: the run that is not drawn is named with its length, so that it can be laid by hand.
func TestARunThatClosesACircleIsNamedWithItsLength(t *testing.T) {
	b := harness.NewBuild("b")
	for _, name := range []string{"pump", "lamp", "horn"} {
		harnesstest.Put(t, b, harness.KindPlace, name, harness.Place{Name: name, Kind: harness.Device})
		harnesstest.Put(t, b, harness.KindTerminal, name, harness.Terminal{Place: name, Name: "1"})
	}
	for i, r := range [][2]string{{"pump", "lamp"}, {"lamp", "horn"}, {"horn", "pump"}} {
		id := r[0] + r[1]
		harnesstest.Put(t, b, harness.KindRun, id, harness.Run{A: r[0], B: r[1], Order: float64(i)})
		harnesstest.Put(t, b, harness.KindReading, id, harness.Reading{Places: r[:], Runs: []string{id}, Value: 640 * unit.Millimetre})
		harnesstest.Put(t, b, harness.KindWire, id, harness.Wire{Name: id, From: harness.End{Terminal: r[0]}, To: harness.End{Terminal: r[1]}})
	}
	left := plan(b).Left()
	if len(left) != 1 || !strings.Contains(left[0], " mm: closes a circle") || strings.Contains(left[0], ", 0 mm") {
		t.Errorf("not drawn: %q", left)
	}
}
