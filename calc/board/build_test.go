package board

import (
	"slices"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
)

// small is a controller with two branches, a circle, a run that nobody measured and a place behind it, and a run with no wires.
func small(t *testing.T) *harness.Build {
	b := harness.NewBuild("b")
	for i, name := range []string{"controller", "split", "pump", "lamp", "far", "farther", "spare"} {
		kind := harness.Device
		switch name {
		case "controller":
			kind = harness.Controller
		case "split", "far":
			kind = harness.Split
		}
		harnesstest.Put(t, b, harness.KindPlace, name, harness.Place{Name: name, Kind: kind, Order: float64(10 - i)})
	}
	for i, r := range [][2]string{{"controller", "split"}, {"split", "pump"}, {"split", "lamp"}, {"pump", "lamp"}, {"lamp", "far"}, {"far", "farther"}, {"split", "spare"}} {
		harnesstest.Put(t, b, harness.KindRun, r[0]+r[1], harness.Run{A: r[0], B: r[1], Order: float64(i)})
	}
	return b
}

func TestThePlanOfABuild(t *testing.T) {
	b := small(t)
	lengths := map[string]float64{"controllersplit": 500, "splitpump": 300, "splitlamp": 400, "pumplamp": 200, "farfarther": 250, "splitspare": 100}
	carries := map[string]int{"controllersplit": 9, "splitpump": 4, "splitlamp": 5, "pumplamp": 1, "lampfar": 2, "farfarther": 2}
	p := New(b, func(r harness.Run) (float64, bool) { mm, ok := lengths[r.ID]; return mm, ok }, carries)
	if want := []string{"controller", "split", "lamp", "pump"}; !slices.Equal(p.Places[:4], want) {
		t.Errorf("the first tree is %v, want %v: the run with most wires first", p.Places[:4], want)
	}
	if !slices.Equal(p.Unknown, []string{"lampfar"}) || !slices.Equal(p.Rings, []string{"pumplamp"}) || slices.Contains(p.Places, "spare") {
		t.Errorf("unknown %v, rings %v, places %v", p.Unknown, p.Rings, p.Places)
	}
	if len(p.Places) != 6 || p.Parent[4] != -1 {
		t.Errorf("what is behind the unknown run is no tree of its own: %v, %v", p.Places, p.Parent)
	}
	if _, err := Lay(p.Tree, Bench{2000, 1000}); err != nil {
		t.Error(err)
	}
	marks := p.Marks(460) // a tape of 400 mm
	var at []float64
	for _, m := range marks[:3] {
		at = append(at, m.At)
	}
	if !slices.Equal(at, []float64{0, 500, 900}) || marks[1].Line != 2 || marks[1].On != 100 || marks[2].Line != 3 {
		t.Errorf("marks at %v, the second on line %d at %v", at, marks[1].Line, marks[1].On)
	}
	if len(marks[1].Branches) != 1 || p.Places[marks[1].Branches[0].Place] != "pump" {
		t.Errorf("at the split leaves %+v", marks[1].Branches)
	}
}
