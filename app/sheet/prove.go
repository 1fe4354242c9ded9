package sheet

import (
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/prove"
	"loomwright/calc/unit"
)

// Tests is every test with what is good, what is expected, and what came of it last.
func Tests(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	s := prove.New(b, circuit.NewNet(b), prove.Options{Length: func(w harness.Wire) cut.Result { return cut.Length(b, f.graph, w) }})
	state := s.Read()
	t := Table{Name: "tests", Title: "Test sheet", Columns: []Column{
		{Key: "test", Title: "Test", Wide: 2}, {Key: "do", Title: "What to do", Wide: 4}, {Key: "place", Title: "Place"}, {Key: "expected_ohm", Title: "Expected", Unit: "ohm", Number: true, Wide: 0.8},
		{Key: "good", Title: "Good is"}, {Key: "read", Title: "Read", Wide: 0.8}, {Key: "outcome", Title: "Came out as"}, {Key: "who", Title: "Who", Wide: 0.7}, {Key: "source", Title: "Source", Wide: 1.6},
	}}
	all := groups{}
	for i := range s.Tests {
		x := &s.Tests[i]
		expected, read, who := Cell{}, Cell{}, ""
		if len(x.Wires) > 0 {
			if e := s.Expect(x, prove.UsualMeter.Celsius); e.Unknown == "" {
				expected = Cell{Text: unit.Shown(e.Ohm), Number: &e.Ohm}
			} else {
				expected = text(unknown)
			}
		}
		if h := state.History(x); len(h) > 0 {
			last := h[len(h)-1]
			who = last.Who
			if last.Value != nil {
				read = text(prove.With(*last.Value, last.Unit))
			}
		}
		place := ""
		if x.Place != "" {
			place = f.place(x.Place)
		}
		title := string(x.Group)
		if x.Group == prove.Power {
			title += ": " + prove.Phases[x.Phase]
		}
		all.add(title, []Cell{text(s.Title(x)), text(strings.TrimSpace(s.Say(x) + " " + x.Care)), text(place), expected, text(prove.Limits(x)), read, text(string(state.Of(x))), text(who), text(x.Source)})
	}
	t.Groups = all.all
	t.Notes = append(t.Notes, counted(len(s.Tests), "test", "tests")+"; ohms at 20 °C, the meter's leads taken off", "Fuel, airbags and high voltage are for those who are licensed for them.")
	return t, nil
}

// SettingsSheet is how the controller must be set for each pin in use.
func SettingsSheet(b *harness.Build, o Options) (Table, error) {
	t := Table{Name: "settings", Title: "Settings sheet", Columns: []Column{
		{Key: "pin", Title: "Pin", Wide: 0.6}, {Key: "function", Title: "Function", Wide: 2}, {Key: "signal", Title: "Signal"}, {Key: "sensor", Title: "Sensor"}, {Key: "pull_up_ohm", Title: "Pull-up", Unit: "ohm", Number: true},
		{Key: "polarity", Title: "Polarity"}, {Key: "coil", Title: "Coil"}, {Key: "injector", Title: "Injector"}, {Key: "missing", Title: "Not known yet", Wide: 1.6}, {Key: "set", Title: "Set", Tick: true, Wide: 0.6},
	}}
	var out [][]Cell
	for _, x := range prove.Settings(circuit.NewNet(b)) {
		pull := Cell{}
		if p := x.Lead.PullUp; p != nil {
			pull = Cell{Text: unit.Shown(*p), Number: p}
		}
		out = append(out, []Cell{text(x.Cavity), text(x.Lead.Does()), text(string(x.Lead.Signal)), text(x.Lead.Sensor), pull, text(x.Lead.Polarity), text(x.Lead.Coil), text(x.Lead.Injector), text(strings.Join(x.Missing, ", ")), {}})
	}
	t.Groups = []Group{{Rows: out}}
	t.Notes = append(t.Notes, counted(len(out), "pin", "pins")+"; coils, injectors and loads stay unplugged until every one is ticked")
	return t, nil
}
