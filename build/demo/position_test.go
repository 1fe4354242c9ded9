package demo

import (
	"errors"
	"reflect"
	"slices"
	"testing"

	"loomwright/calc/circuit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

func TestSamePositionChangesNothing(t *testing.T) {
	b := build(t, 0).State()
	g := route.New(b, survey.Adjust(b, nil))
	d := circuit.Compare(b, b.Clone(), g, g)
	if !reflect.DeepEqual(d.Now, d.Then) || d.Metres != 0 || d.Way != 0 || !d.Comparable || d.NewShort != nil || d.Mended != nil || d.Through != nil {
		t.Errorf("%+v", d)
	}
	// What it counts is what the lists count.
	var metres unit.Length
	short := 0
	through := map[string]int{}
	for _, w := range b.Wires.All() {
		if r := cut.Length(b, g, w); w.Lead == "" && r.Known() {
			metres += r.Sum
		}
		if w.Lead != "" && cut.Lead(b, g, w).Verdict == cut.TrulyShort {
			short++
		}
		path, _ := g.Wire(w)
		for _, place := range path.Places {
			through[place]++
		}
	}
	if d.Now.Metres != metres || len(d.Now.Short) != short || d.Now.Wires != b.Wires.Len() {
		t.Errorf("%v, want %v; %d short, want %d", d.Now.Metres, metres, len(d.Now.Short), short)
	}
	if len(d.Now.Through) != 3 {
		t.Errorf("%d pass-throughs", len(d.Now.Through))
	}
	for _, p := range d.Now.Through {
		if len(p.Wires) != through[p.Place] {
			t.Errorf("%d wires through %s, want %d", len(p.Wires), p.Place, through[p.Place])
		}
	}
	if ends := d.Now.Inside + d.Now.OnBench + d.Now.Splices; ends+len(leads(b)) != 2*d.Now.Wires {
		t.Errorf("%d ends of %d wires, %d of them made as supplied", ends, d.Now.Wires, len(leads(b)))
	}
}

// leads returns the wires that are made of leads.
func leads(b *harness.Build) []harness.Wire {
	return slices.DeleteFunc(slices.Clone(b.Wires.All()), func(w harness.Wire) bool { return w.Lead == "" })
}

// TestControllerInTheEngineBay puts the controller beyond the main grommet: the engine's wires pass it no more, the cabin's
// do, panels are no longer mounted on the bench with it.
func TestControllerInTheEngineBay(t *testing.T) {
	b := build(t, 0).State()
	place := func(name string) string { return id(harness.KindPlace, name) }
	before := b.Runs.Len()
	d, err := circuit.Try(b, place("Controller"), place("Engine split"), id(harness.KindLoom, mainLoom), 200*unit.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(d.Through, func(c circuit.Crossing) bool { return c.Place == place("Main grommet") })
	if i < 0 || d.Through[i].Then >= d.Through[i].Now {
		t.Errorf("the main grommet: %+v", d.Through)
	}
	if d.Inside <= 0 || d.Then.OnBench >= d.Now.OnBench || !d.Comparable || d.Then.NoWay != nil {
		t.Errorf("%d more made in the car, %d on the bench, was %d; no way: %v", d.Inside, d.Then.OnBench, d.Now.OnBench, d.Then.NoWay)
	}
	injector := id(harness.KindWire, "injector 1")
	if slices.Contains(d.NewShort, injector) {
		t.Error("the injectors are nearer, and their leads do not reach")
	}
	if b.Runs.Len() != before {
		t.Error("trying changed the build")
	}
	if _, err := circuit.Try(b, place("Controller"), "nowhere", "", 0); !errors.Is(err, circuit.ErrNoSuchPlace) {
		t.Errorf("%v", err)
	}
	if _, err := circuit.Move(b, place("Controller"), place("Controller"), "", 0); err == nil {
		t.Error("a place was moved beside itself")
	}
}

// TestFarAwayIsTooShort moves the controller so far that hardly a lead reaches.
func TestFarAwayIsTooShort(t *testing.T) {
	b := build(t, 0).State()
	d, err := circuit.Try(b, id(harness.KindPlace, "Controller"), id(harness.KindPlace, "Tank split"), id(harness.KindLoom, cabinLoom), 500*unit.Millimetre)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.NewShort) < 10 && len(d.Then.NoWay) < 10 {
		t.Errorf("%d leads do not reach any more, %d wires have no way", len(d.NewShort), len(d.Then.NoWay))
	}
}

func BenchmarkTry(b *testing.B) {
	log, err := Log(0)
	if err != nil {
		b.Fatal(err)
	}
	s := log.State()
	for b.Loop() {
		if _, err := circuit.Try(s, id(harness.KindPlace, "Controller"), id(harness.KindPlace, "Engine split"), id(harness.KindLoom, mainLoom), unit.Metre); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlan(b *testing.B) {
	log, err := Log(0)
	if err != nil {
		b.Fatal(err)
	}
	s := log.State()
	g := route.New(s, survey.Adjust(s, nil))
	b.Run("judge", func(b *testing.B) {
		for b.Loop() {
			circuit.Judge(s, g)
		}
	})
	b.Run("propose", func(b *testing.B) {
		for b.Loop() {
			circuit.Wires(s, g)
		}
	})
}
