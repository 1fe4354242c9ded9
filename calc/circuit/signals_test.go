package circuit

import (
	"testing"

	"loomwright/calc/harness"
)

func TestSignalsFromWords(t *testing.T) {
	const source = "common practice"
	for _, x := range []struct {
		name   string
		want   harness.Signal
		source string
	}{
		{"Injector 1", harness.InjectorOut, source},
		{"INJ A", harness.InjectorOut, source},
		{"Ignition coil 4", harness.IgnitionOut, source},
		{"Coolant temperature", harness.AnalogueIn, source},
		{"Crank signal", harness.FrequencyIn, source},
		{"crank shield", harness.ShieldDrain, source},
		{"Power ground 2", harness.PowerGround, source},
		{"Sensor ground A", harness.SensorGround, source},
		{"SENS GND A", harness.SensorGround, source},
		{"5 V reference A", harness.Reference5V, source},
		{"5V OUT B", harness.Reference5V, source},
		{"CAN high", harness.SerialBus, source},
		{"Clutch switch", harness.SwitchedIn, source},
		{"Fuel pump relay", harness.SwitchedOut, source},
		{"Main supply", harness.SupplyIn, source},
		{"canister", harness.NoSignal, "no word of its own is part of another"},
		{"Aux 1", harness.NoSignal, "the word tells nothing"},
		{"", harness.NoSignal, "no words"},
	} {
		if got := toldBy(x.name); got != x.want {
			t.Errorf("%q: %q, want %q (%s)", x.name, got, x.want, x.source)
		}
	}
}

func TestSignalsAreProposedOnce(t *testing.T) {
	b := harness.NewBuild("b")
	r := Records{Leads: []harness.Lead{
		{Record: harness.Record{ID: "1"}, Function: "Injector 1"},
		{Record: harness.Record{ID: "2"}, Function: "Aux 1", Legend: "INJ B"},
		{Record: harness.Record{ID: "3"}, Function: "Injector 3", Signal: harness.SwitchedOut},
		{Record: harness.Record{ID: "4"}, Function: "Knock 1"},
	}}
	if err := r.Into(b); err != nil {
		t.Fatal(err)
	}
	all := Signals(b)
	if len(all) != 2 || all[0].Put.Leads[0].Signal != harness.AnalogueIn || len(all[1].Put.Leads) != 2 {
		t.Fatalf("%+v", all)
	}
	for _, q := range all {
		if err := q.Put.Into(b); err != nil {
			t.Fatal(err)
		}
	}
	if l, _ := b.Leads.Get("3"); l.Signal != harness.SwitchedOut {
		t.Errorf("a signal that was said became %q", l.Signal)
	}
	if again := Signals(b); len(again) != 0 {
		t.Errorf("proposed again: %+v", again)
	}
}
