package prove

import (
	"math"
	"testing"

	"loomwright/calc/harness"
)

func TestThermistor(t *testing.T) {
	points := []PointOf{{0, 32554, 32554}, {25, 10000, 10000}, {50, 3605, 3605}, {80, 1257, 1257}}
	for _, row := range []struct {
		celsius, want float64
		source        string
	}{
		{10, 19872, "published curve of 10 kohm, B25/85 3977 K, from memory"},
		{20, 12488, "the same"},
		{40, 5330, "the same"},
		{60, 2490, "the same"},
		{70, 1753, "the same"},
	} {
		low, high, ok := Thermistor(points, row.celsius)
		if !ok || math.Abs(low/row.want-1) > 0.015 || low != high {
			t.Errorf("%g °C: %g to %g, want %g (%s)", row.celsius, low, high, row.want, row.source)
		}
	}
	if _, _, ok := Thermistor(points, 120); ok {
		t.Error("far outside its points a thermistor is not known")
	}
	for _, row := range []struct{ ohm, volts float64 }{{2500, 3.6}, {330, 1.2}} {
		// Source: a car maker's manual as builders quote it: 5 V through 1.0 kohm.
		if got := Divider(5, 1000, row.ohm); math.Abs(got-row.volts) > 0.06 {
			t.Errorf("%g ohm: %g V, want %g", row.ohm, got, row.volts)
		}
	}
}

func TestLampGoesOnPowerOnly(t *testing.T) {
	s := sheetOf(demo(t))
	n := 0
	for i := range s.Tests {
		x := &s.Tests[i]
		if x.Group != Load {
			continue
		}
		n++
		if r := s.web.nets[s.netOf(x.A)].rail; r != SupplyRail && r != GroundRail {
			t.Errorf("%s: a lamp on %q", s.Title(x), r)
		}
	}
	if n == 0 {
		t.Error("nothing is tested under load")
	}
}

func TestStepsWaitForEachOther(t *testing.T) {
	b := demo(t)
	s := sheetOf(b)
	x := s.Read()
	var through, power *Test
	for i := range s.Tests {
		p := &s.Tests[i]
		if p.Group == Through && through == nil {
			through = p
		}
		if p.Group == Power && power == nil {
			power = p
		}
	}
	if x.Blocked(through) == "" || x.Blocked(power) == "" {
		t.Error("tests begin before the battery is off")
	}
	put := func(p *Test, o harness.Outcome) {
		t.Helper()
		r := s.Read().Record(p, o, nil, 20)
		object, err := harness.Encode(r)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := b.Put(harness.KindResult, id("result", p.ID, string(rune('a'+r.Turn))), object); err != nil {
			t.Fatal(err)
		}
	}
	for i := range s.Tests {
		if s.Tests[i].Group == Gate {
			put(&s.Tests[i], harness.Passed)
		}
	}
	if why := s.Read().Blocked(through); why != "" {
		t.Error(why)
	}
	put(through, harness.Failed)
	if x = s.Read(); len(x.Repairs()) != 1 {
		t.Error(len(x.Repairs()), "repairs")
	}
	put(through, harness.Passed)
	if x = s.Read(); len(x.Repairs()) != 0 || len(x.History(through)) != 2 {
		t.Error("a second try does not mend, or the first is gone")
	}
}

func TestBusMeans(t *testing.T) {
	for ohm, want := range map[float64]string{60: "two resistors, one at each end: as it should be", 120: "one resistor is missing, or the bus is open on the way to it",
		40: "three resistors: one too many", 0.2: "the two wires touch"} {
		if got := BusMeans(ohm); got != want {
			t.Errorf("%g: %s", ohm, got)
		}
	}
}
