package circuit

import (
	"fmt"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/table"
	"loomwright/calc/unit"
)

func freshIDs() func() string {
	n := 0
	return func() string { n++; return fmt.Sprintf("id%d", n) }
}

func length(mm int64) *unit.Length {
	l := unit.Length(mm) * unit.Millimetre
	return &l
}

func TestTakeMakesPinsAndTakesThemOnce(t *testing.T) {
	b := harness.NewBuild("b")
	pins := []table.Pin{
		{Connector: "A", Cavity: "2", Legend: "CRANK -", Signal: harness.FrequencyIn, Group: "crank"},
		{Connector: "A", Cavity: "1", Legend: "CRANK +", Signal: harness.FrequencyIn, Group: "crank", Length: length(2500)},
		{Connector: "A", Cavity: "3", Legend: "CRANK SHLD", Signal: harness.ShieldDrain, Group: "crank"},
		{Connector: "B", Cavity: "1", Legend: "CAN H", Signal: harness.SerialBus, Group: "bus"},
		{Legend: "no cavity"},
	}
	id := freshIDs()
	got := Take(b, "ecu", pins, harness.WireSide, id)
	if got.New != 4 || got.Filled != 0 || len(got.Connectors) != 2 || len(got.Terminals) != 4 {
		t.Fatalf("%+v", got)
	}
	if err := got.Into(b); err != nil {
		t.Fatal(err)
	}
	for _, l := range b.Leads.All() {
		switch l.Legend {
		case "CRANK SHLD":
			if l.Shield != "crank" || l.Twist != "" {
				t.Errorf("drain: %+v", l)
			}
		case "CRANK +":
			if l.Shield != "crank" || l.Twist != "crank" || l.Direction != harness.Inward || l.Decision != harness.Undecided {
				t.Errorf("crank: %+v", l)
			}
		case "CAN H":
			if l.Shield != "" || l.Twist != "bus" {
				t.Errorf("bus: %+v", l)
			}
		}
	}
	if again := Take(b, "ecu", pins, harness.WireSide, id); again.Len() != 0 || again.New != 0 || len(again.Differ) != 0 {
		t.Errorf("the same list a second time: %+v", again)
	}

	more := []table.Pin{{Connector: "a", Cavity: "1", Legend: "other", Size: unit.SquareMillimetres(500), Colour: unit.Colour{Base: "white"}}}
	third := Take(b, "ecu", more, "", id)
	if third.New != 0 || third.Filled != 1 || fmt.Sprint(third.Differ) != "[A1]" {
		t.Fatalf("%+v", third)
	}
	if l := third.Leads[0]; l.Legend != "CRANK +" || l.Size != "0.5 mm2" || l.Base != "white" || *l.Length != *length(2500) {
		t.Errorf("what was there was not kept: %+v", l)
	}
}

func TestTakePartsPlugAndCavity(t *testing.T) {
	b := harness.NewBuild("b")
	got := Take(b, "ecu", []table.Pin{{Cavity: "A1"}, {Cavity: "A12"}, {Cavity: "B1"}}, "", freshIDs())
	if len(got.Connectors) != 2 || Cavity(got.Terminals[1]) != "A12" || got.Terminals[1].Name != "12" {
		t.Errorf("%+v", got.Terminals)
	}
	for _, pins := range [][]table.Pin{{{Cavity: "A1"}, {Cavity: "2"}}, {{Cavity: "A1"}, {Connector: "B", Cavity: "A1"}}, {{Cavity: "SHLD"}}} {
		if got := Take(b, "ecu", pins, "", freshIDs()); got.Terminals[0].Name != pins[0].Cavity {
			t.Errorf("%+v parted as %+v", pins, got.Terminals)
		}
	}
}

func TestTakeTwoCoresInOneCavity(t *testing.T) {
	b := harness.NewBuild("b")
	id := freshIDs()
	pins := []table.Pin{{Cavity: "A1", Function: "second ground", Shared: "supplied so"}, {Cavity: "A1", Function: "sensor ground"}, {Cavity: "A9", Function: "of nobody", Shared: "x"}}
	got := Take(b, "ecu", pins, "", id)
	if got.New != 2 || len(got.Terminals) != 1 || got.Terminals[0].SharedWhy != "supplied so" || got.Leads[1].Terminal != got.Leads[0].Terminal {
		t.Fatalf("%+v", got)
	}
	if err := got.Into(b); err != nil {
		t.Fatal(err)
	}
	if again := Take(b, "ecu", pins, "", id); again.Len() != 0 {
		t.Errorf("taken again: %+v", again)
	}
}
