package demo

import (
	"slices"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/rules"
	"loomwright/calc/survey"
)

// TestRules looks at what is found of the demo beyond what is only worth knowing: each is true of the car.
func TestRules(t *testing.T) {
	b := build(t, 0).State()
	g := route.New(b, survey.Adjust(b, nil))
	got := []string{}
	for _, f := range rules.Check(b, g, rules.Options{}) {
		if f.Severity < harness.Note {
			got = append(got, f.Severity.String()+", "+f.Rule+": "+f.What)
		}
	}
	want := []string{
		// Leads that were supplied too short: the case that the demo shows.
		"will fail, lead too short: W28 intake air temperature: its lead does not reach",
		"will fail, lead too short: W48 fuel level: its lead does not reach",
		"will fail, lead too short: W53 oil temperature: its lead does not reach",
		// More than half as much again as the wire carries by the table of boats, in the heat and among others.
		"worth a look, fuse above wire: fused 125 A is rated higher than W59 alternator output carries: an overload may heat the wire for long",
		"worth a look, fuse above wire: F1 is rated higher than W84 injector 1 supply carries: an overload may heat the wire for long",
		"worth a look, fuse above wire: F5 is rated higher than W124 hot leg, heater feed carries: an overload may heat the wire for long",
		"worth a look, fuse above wire: F9 is rated higher than W73 starter solenoid carries: an overload may heat the wire for long",
		"worth a look, fuse above wire: F14 is rated higher than W137 switch light carries: an overload may heat the wire for long",
		// Everything on at once: 50 A through the feed of the panel, 4 % lost at a coil.
		"worth a look, volt drop: Coil 1 supply and 7 more loads lose too much on the way there and back, most in W58 feed of the fuse panel",
		// A bare wire from the gearbox, 0.9 m beside the triggers of the coils.
		"worth a look, beside noise: W49 road speed runs beside ignition wires, neither twisted nor shielded",
	}
	if !slices.Equal(got, want) {
		t.Errorf("findings:\n%q\nwant\n%q", got, want)
	}
}

func BenchmarkRules(b *testing.B) {
	log, err := Log(0)
	if err != nil {
		b.Fatal(err)
	}
	build := log.State()
	lengths := survey.Adjust(build, nil)
	for b.Loop() {
		rules.Check(build, route.New(build, lengths), rules.Options{})
	}
}
