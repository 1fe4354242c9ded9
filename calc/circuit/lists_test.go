package circuit

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"loomwright/calc/harness"
)

// plug is a sealed connector with cavities in an order that is not that of the records, and leads of all decisions.
func plug(t *testing.T) *harness.Build {
	b := harness.NewBuild("b")
	r := Records{Places: []harness.Place{{Record: rec("ctl"), Name: "Controller", Kind: harness.Controller}, {Record: rec("split"), Name: "Split", Kind: harness.Split}},
		Connectors: []harness.Connector{{Record: rec("A"), Place: "ctl", Name: "A", Sealed: true}, {Record: rec("B"), Place: "ctl", Name: "B"}}}
	for i, c := range []string{"A10", "B1", "A2", "A9", "A1", "AX", "B2"} {
		r.Terminals = append(r.Terminals, harness.Terminal{Record: rec(c), Place: "ctl", Connector: c[:1], Name: c[1:], Order: float64(i)})
	}
	for i, l := range []struct {
		terminal string
		decision harness.Decision
	}{{"A10", harness.Remove}, {"A2", harness.Remove}, {"B1", harness.Remove}, {"A9", harness.Use}, {"A9", harness.Remove}, {"A1", harness.Keep},
		{"AX", harness.Remove}, {"B2", harness.Undecided}} {
		lead := harness.Lead{Record: rec(fmt.Sprint("l", i)), Terminal: l.terminal, Legend: l.terminal, Signal: harness.AnalogueIn, Decision: l.decision, Order: float64(i)}
		switch i {
		case 1:
			lead.Acted = &harness.Acted{Decision: harness.Remove}
		case 3:
			lead.Seated = "2026-01-01T00:00:00Z"
		case 5:
			lead.Parked = "split"
		}
		r.Leads = append(r.Leads, lead)
	}
	put(t, b, r)
	return b
}

func listed(pins []Pin) string {
	var all []string
	for _, p := range pins {
		done := ""
		if p.Done {
			done = " done"
		}
		all = append(all, p.Cavity+done)
	}
	return strings.Join(all, ", ")
}

func TestListsGoAlongTheConnector(t *testing.T) {
	n := NewNet(plug(t))
	removal := n.Removal()
	if got := listed(removal); got != "A2 done, A9, A10, A X, B1" {
		t.Errorf("removal: %s", got)
	}
	if do := removal[1].Do; do != SharedWords {
		t.Errorf("a shared cavity: %q", do)
	}
	if a, b := removal[2].Do, removal[4].Do; !strings.Contains(a, "marked A10") || !strings.Contains(a, "plug") || strings.Contains(b, "plug") {
		t.Errorf("%q, %q", a, b)
	}
	if got := listed(n.Seating()); got != "A1, A9 done, B2" {
		t.Errorf("seating: %s", got)
	}
	if kept := n.Kept(); listed(kept) != "A1" || kept[0].Ends != "capped at Split" {
		t.Errorf("kept: %+v", kept)
	}
	if got := listed(n.Removable()); got != "B2" {
		t.Errorf("removable: %s", got)
	}
}

func TestCount(t *testing.T) {
	want := Counts{Leads: 8, Use: 1, Keep: 1, Remove: 5, Undecided: 1, Done: 1, ToDo: 6, Removed: 1}
	if got := Count(plug(t)); got != want {
		t.Errorf("%+v, want %+v", got, want)
	}
}

// A panel says what each way is fed by and what it feeds, and counts what is spare.
func TestPanelOfAStarter(t *testing.T) {
	b := started(t, Starters[1])
	accept(t, b, Wires(b, nil))
	panel := ids(harness.KindPlace, "Panel")
	put(t, b, Records{Parts: []harness.Part{{Record: rec("F8"), Place: panel, Kind: harness.Fuse, Name: "F8", Feed: ids(harness.KindPart, "Panel main bar"), Row: 1, Column: 3, Order: 99}}})
	p := NewNet(b).Panel(panel)
	way := func(name string) Way {
		return p.Ways[slices.IndexFunc(p.Ways, func(w Way) bool { return w.Part.Name == name })]
	}
	for _, row := range []struct{ name, fed, feeds string }{
		{"battery bar", "Battery panel", "F1, F2, F3"},
		{"main bar", "K1 87", "F4, F5, F6, F7, F8"},
		{"F5", "main bar", "Injector 1 supply, Injector 2 supply, Injector 3 supply, Injector 4 supply"},
		{"K2", "F2 out", "Fuel pump +"},
	} {
		if w := way(row.name); w.Fed != row.fed || strings.Join(w.Feeds, ", ") != row.feeds || w.Spare {
			t.Errorf("%s: fed by %q, feeds %q", row.name, w.Fed, w.Feeds)
		}
	}
	if w := way("F5"); w.Amps != (Range{4, 4}) || w.Blank != 0 {
		t.Errorf("F5 feeds %+v, %d unknown", w.Amps, w.Blank)
	}
	if !way("F8").Spare || p.Spare[harness.Fuse] != 1 || p.Spare[harness.Relay] != 0 {
		t.Errorf("spare: %v", p.Spare)
	}
	if p.Placed != 13 || p.Free != 3*7-13 {
		t.Errorf("%d placed, %d free", p.Placed, p.Free)
	}
	for _, w := range p.Inner {
		from, _ := b.EndPlace(w.From)
		if to, _ := b.EndPlace(w.To); from != panel || to != panel {
			t.Errorf("%s is not inside", w.Name)
		}
	}
	if len(p.Inner) < 4 || len(p.Leads) < 3 || len(p.Added) < 3 {
		t.Errorf("%d inside, %d leads, %d added", len(p.Inner), len(p.Leads), len(p.Added))
	}
	c, _ := b.Circuits.Get(ids(harness.KindCircuit, "injector feed"))
	if amps, unknown := NewNet(b).Load(c); amps != (Range{4, 4}) || unknown != 0 {
		t.Errorf("the injectors draw %+v, %d unknown", amps, unknown)
	}
	eight := 8.0
	c.Amps = &eight
	if amps, _ := NewNet(b).Load(c); amps != (Range{8, 8}) {
		t.Errorf("a load that is said: %+v", amps)
	}
}

// The table of devices says what the reference says. Source: testdata/reference/sensors_actuators.csv.
func TestDevicesAgreeWithTheReference(t *testing.T) {
	rows := reference(t)
	for _, row := range []struct {
		item, quantity string
		key            string
		of             func(Device) Range
	}{
		{"injector, high impedance", "resistance", "injector", func(d Device) Range { return d.Ohms }},
		{"injector, low impedance (peak and hold)", "resistance", "injector, low impedance", func(d Device) Range { return d.Ohms }},
		{"ignition coil, single (dumb), primary", "resistance", "coil", func(d Device) Range { return d.Ohms }},
		{"ignition coil with driver (4 wire)", "average supply current", "coil with driver", func(d Device) Range { return d.Amps }},
		{"radiator fan", "running current", "fan", func(d Device) Range { return d.Amps }},
		{"starter motor", "cranking current", "starter", func(d Device) Range { return d.Amps }},
		{"variable reluctance crank sensor", "coil resistance", "pick-up", func(d Device) Range { return d.Ohms }},
		{"throttle position potentiometer", "track resistance", "position sensor", func(d Device) Range { return d.Ohms }},
		{"heated oxygen sensor", "heater current", "oxygen sensor", func(d Device) Range { return d.Amps }},
		{"idle valve, two wire", "resistance", "two-wire valve", func(d Device) Range { return d.Ohms }},
		{"stepper idle valve", "coil resistance", "stepper valve", func(d Device) Range { return d.Ohms }},
		{"low beam lamp 55 W", "current at 13.5 V", "lamp", func(d Device) Range { return d.Amps }},
		{"H4 high beam 60 W", "current at 13.5 V", "main beam", func(d Device) Range { return d.Amps }},
	} {
		want, ok := rows[row.item+"|"+row.quantity]
		d, known := DeviceOf(row.key)
		if got := row.of(d); !ok || !known || got != want {
			t.Errorf("%s, %s: %+v, the reference has %+v (%v)", row.item, row.quantity, got, want, ok)
		}
	}
	if want := rows["relay coil, mini 12 V|current"]; RelayCoilAmps.Low*1000 != want.Low || RelayCoilAmps.High*1000 != want.High {
		t.Errorf("relay coil: %+v, the reference has %+v mA", RelayCoilAmps, want)
	}
}
