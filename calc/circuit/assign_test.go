package circuit

import (
	"fmt"
	"slices"
	"testing"

	"loomwright/calc/harness"
)

// A list of pins alone becomes a plan: devices, circuits and wires, with nothing typed but the functions.
func TestFromPinsToWires(t *testing.T) {
	b := harness.NewBuild("b")
	r := Records{Places: []harness.Place{{Record: rec("ctl"), Name: "Controller", Kind: harness.Controller, Order: 1},
		{Record: rec("eg"), Name: "Engine ground", Kind: harness.Ground, Order: 2}}}
	for i := range 8 {
		r.Terminals = append(r.Terminals, harness.Terminal{Record: rec(fmt.Sprint("lug", i)), Place: "eg", Name: fmt.Sprint(i), Order: float64(i)})
	}
	for i, pin := range []struct {
		function string
		signal   harness.Signal
	}{
		{"12 V in", sup}, {"power ground 1", gnd}, {"power ground 2", gnd}, {"5 V out", v5}, {"sensor ground", sgnd},
		{"injector 1", inj}, {"injector 2", inj}, {"injector 10", inj}, {"coil 1 trigger", ign}, {"Coil 2", ign},
		{"crank +", frq}, {"crank -", frq}, {"cam signal", frq}, {"throttle position", ana}, {"coolant temperature", ana}, {"intake air temp", ana},
		{"manifold pressure", ana}, {"idle valve", low}, {"gibberish", ana}, {"crank shield", harness.ShieldDrain},
	} {
		id := fmt.Sprint(i + 1)
		r.Terminals = append(r.Terminals, harness.Terminal{Record: rec("c" + id), Place: "ctl", Connector: "A", Name: id, Order: float64(i)})
		r.Leads = append(r.Leads, harness.Lead{Record: rec("l" + id), Terminal: "c" + id, Function: pin.function, Signal: pin.signal, Order: float64(i)})
	}
	put(t, b, r)

	devices := Assign(b)
	accept(t, b, devices)
	var names []string
	for _, p := range b.Places.All() {
		if p.Kind == harness.Device {
			names = append(names, p.Name+"/"+p.Device)
		}
	}
	want := []string{"Injector 1/injector", "Injector 2/injector", "Injector 10/injector", "Coil 1/coil with driver", "Coil 2/coil with driver", "Crank/pick-up",
		"Cam/Hall sensor", "Throttle position/position sensor", "Coolant temperature/thermistor", "Intake air temp/thermistor",
		"Manifold pressure/pressure sensor", "Idle valve/two-wire valve"}
	if !slices.Equal(names, want) {
		t.Fatalf("devices %q\nwant %q", names, want)
	}
	if again := Assign(b); len(again) != 0 {
		t.Errorf("assigned again: %+v", again)
	}
	accept(t, b, Share(b))
	if again := Share(b); len(again) != 0 {
		t.Errorf("shared again: %+v", again)
	}
	accept(t, b, Wires(b, nil))
	if again := Wires(b, nil); len(again) != 0 {
		t.Errorf("proposed again: %+v", again)
	}
	left := map[string]int{}
	for _, f := range Judge(b, nil) {
		left[f.Rule]++
	}
	// What no list of pins can say: what feeds the injectors and coils, what the valve and the controller are fed from, and
	// what two leads are for.
	for rule, n := range map[string]int{NoSupply: 5, NotJoined: 0, CircuitSingle: 2, LeadUndecided: 2, NoGround: 0, NoDrive: 0, NoReference: 0, CircuitOpen: 0, GroundsMixed: 0, KeptLoose: 0} {
		if left[rule] != n {
			t.Errorf("%d findings of %q, want %d: %v", left[rule], rule, n, left)
		}
	}
	for _, f := range Judge(b, nil) {
		if f.Severity == harness.Stop && f.Rule != NoSupply {
			t.Errorf("%s: %s", f.Rule, f.What)
		}
	}
}

// Devices that are there are taken, by the longest name, and "injector 1" is not "injector 10".
func TestAssignTakesWhatIsThere(t *testing.T) {
	s := newSmall(t)
	l, _ := s.b.Leads.Get("l2")
	l.Decision, l.Function = harness.Undecided, "oil temperature"
	s.put(Records{Leads: []harness.Lead{l},
		Places: []harness.Place{{Record: rec("oil"), Name: "Oil", Kind: harness.Device, Device: "thermistor"},
			{Record: rec("oil2"), Name: "Oil temperature", Kind: harness.Device, Device: "two-wire valve"}},
		Terminals: []harness.Terminal{{Record: rec("o1"), Place: "oil", Name: "signal"}, {Record: rec("o2"), Place: "oil2", Name: "drive"}}})
	all := Assign(s.b)
	if len(all) != 1 || all[0].Kind != Assignment || all[0].Of.ID != "oil2" {
		t.Fatalf("%+v", all)
	}
	accept(t, s.b, all)
	c2, _ := s.b.Terminals.Get("c2")
	o2, _ := s.b.Terminals.Get("o2")
	if c2.Circuit == "" || c2.Circuit != o2.Circuit {
		t.Errorf("%+v, %+v", c2, o2)
	}
}

func TestWordsOf(t *testing.T) {
	for text, want := range map[string][]string{
		"Injector 10": {"injector", "10"}, "INJ1": {"inj", "1"}, "crank +": {"crank", "+"}, "": nil, "wide-band (heater)": {"wide", "-", "band", "heater"},
	} {
		if got := wordsOf(text); !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// A device that comes later is added to the circuit that its like are in, whoever made that.
func TestShareAddsToWhatIsThere(t *testing.T) {
	b := started(t, Starters[1])
	d, _ := DeviceOf("injector")
	r := Records{Places: []harness.Place{{Record: rec("i9"), Name: "Injector 9", Kind: harness.Device, Device: d.Key, Order: 99}}}
	for _, n := range d.Needs {
		r.Terminals = append(r.Terminals, harness.Terminal{Record: rec("i9" + n.Name), Place: "i9", Name: n.Name})
	}
	put(t, b, r)
	all := Share(b)
	feed := ids(harness.KindCircuit, "injector feed")
	if len(all) != 1 || all[0].Of.ID != feed || len(all[0].Put.Circuits) != 0 || len(all[0].Put.Terminals) != 1 || all[0].Put.Terminals[0].Circuit != feed {
		t.Fatalf("%+v", all)
	}
	accept(t, b, all)
	if again := Share(b); len(again) != 0 {
		t.Errorf("shared again: %+v", again)
	}
}
