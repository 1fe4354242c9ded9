package faults

import (
	"fmt"
	"strconv"
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// id is the id of a record of the base, by its kind and a name that no other of the kind has.
func id(kind harness.Kind, name string) string { return harness.ProposedID(kind, "faults", name) }

// maker makes the base.
type maker struct {
	b   *harness.Build
	err error
	n   float64 // the order of the next record
}

func (m *maker) put(kind harness.Kind, id string, record any) {
	object, err := harness.Encode(record)
	if err == nil {
		_, err = m.b.Put(kind, id, object)
	}
	if err != nil && m.err == nil {
		m.err = fmt.Errorf("faults: %w", err)
	}
}

func (m *maker) order() float64 { m.n++; return m.n }

// Base returns the clean build: an engine of two injectors and a coil, its controller, panel, battery, pump, fan and dash.
//
// Source: our own invention, sizes of common practice and somewhat thicker, so that nothing is near a limit.
func Base() (*harness.Build, error) {
	m := &maker{b: harness.NewBuild("1f0f6a52-5c1e-4d0f-8c7b-5f1e2a440001")}
	m.put(harness.KindSettings, m.b.Settings.ID, harness.Settings{Title: "Faults are planted here", Unit: unit.Metric, Volts: 12})
	m.route()
	m.devices()
	m.pins()
	m.circuits()
	g := route.New(m.b, survey.Adjust(m.b, nil))
	for _, p := range circuit.Wires(m.b, g) {
		if err := p.Put.Into(m.b); err != nil {
			return nil, err
		}
	}
	for _, w := range m.b.Wires.All() { // what is cut from the spool
		if w.Insulation == harness.NoInsulation {
			w.Insulation = harness.Class125
			m.put(harness.KindWire, w.ID, w)
		}
	}
	return m.b, m.err
}

func (m *maker) route() {
	for _, l := range []harness.Loom{
		{Name: "main", Classes: []harness.Class{harness.Switching, harness.Ignition, harness.Injection, harness.Sensing, harness.Sensitive, harness.Bus}},
		{Name: "power", Classes: []harness.Class{harness.HighCurrent}},
		{Name: "cabin", Classes: []harness.Class{harness.Bus, harness.Switching}},
	} {
		l.Order = m.order()
		m.put(harness.KindLoom, id(harness.KindLoom, l.Name), l)
	}
	for _, p := range []struct {
		name   string
		kind   harness.PlaceKind
		device string
		amps   float64
	}{
		{"Controller", harness.Controller, "", 5}, {"Controller split", harness.Split, "", 0}, {"Bulkhead", harness.PassThrough, "", 0}, {"Engine split", harness.Split, "", 0},
		{"Injector 1", harness.Device, "injector", 1}, {"Injector 2", harness.Device, "injector", 1}, {"Coil", harness.Device, "coil with driver", 2},
		{"Crank position", harness.Device, "pick-up", 0}, {"Cam position", harness.Device, "Hall sensor", 0}, {"Throttle position", harness.Device, "position sensor", 0},
		{"Coolant temperature", harness.Device, "thermistor", 0}, {"Engine ground", harness.Ground, "", 0}, {"Panel", harness.Panel, "", 0},
		{"Power hole", harness.PassThrough, "", 0}, {"Power split", harness.Split, "", 0}, {"Battery", harness.Supply, "", 0}, {"Body ground", harness.Ground, "", 0},
		{"Starter", harness.Device, "starter", 150}, {"Fan", harness.Device, "fan", 12}, {"Fuel pump", harness.Device, "fuel pump", 6},
		{"Dash split", harness.Split, "", 0}, {"Dash", harness.Device, "display", 0.8}, {"Logger", harness.Device, "other", 0.2}, {"Key wires", harness.CarWire, "", 0},
	} {
		place := harness.Place{Name: p.name, Kind: p.kind, Device: p.device, Status: harness.Mounted, Order: m.order()}
		if p.amps > 0 {
			place.Amps = &p.amps
		}
		m.put(harness.KindPlace, id(harness.KindPlace, p.name), place)
	}
	for _, r := range []struct {
		a, b, loom string
		mm         int64
		flags      string
	}{
		{"Controller", "Controller split", "main", 150, ""}, {"Controller split", "Bulkhead", "main", 400, ""}, {"Bulkhead", "Engine split", "main", 350, "moves"},
		{"Engine split", "Injector 1", "main", 250, ""}, {"Engine split", "Injector 2", "main", 350, ""}, {"Engine split", "Coil", "main", 300, ""},
		{"Engine split", "Crank position", "main", 600, "wet drip"}, {"Engine split", "Cam position", "main", 400, ""}, {"Engine split", "Throttle position", "main", 350, ""},
		{"Engine split", "Coolant temperature", "main", 300, ""}, {"Engine split", "Engine ground", "main", 150, ""}, {"Controller split", "Panel", "main", 300, ""},
		{"Panel", "Power hole", "power", 300, ""}, {"Power hole", "Power split", "power", 200, ""}, {"Power split", "Battery", "power", 250, ""},
		{"Power split", "Body ground", "power", 300, ""}, {"Body ground", "Engine ground", "power", 400, "moves"}, {"Power split", "Starter", "power", 600, "moves"},
		{"Power split", "Fan", "power", 900, ""}, {"Power split", "Fuel pump", "power", 1200, ""}, {"Controller split", "Dash split", "cabin", 300, ""},
		{"Dash split", "Dash", "cabin", 400, ""}, {"Dash split", "Logger", "cabin", 200, ""}, {"Dash split", "Key wires", "cabin", 300, ""}, {"Panel", "Dash split", "cabin", 400, ""},
	} {
		name := r.a + " – " + r.b
		m.put(harness.KindRun, id(harness.KindRun, name), harness.Run{A: id(harness.KindPlace, r.a), B: id(harness.KindPlace, r.b), Loom: id(harness.KindLoom, r.loom),
			Moves: strings.Contains(r.flags, "moves"), Wet: strings.Contains(r.flags, "wet"), Drip: strings.Contains(r.flags, "drip"), Order: m.order()})
		m.put(harness.KindReading, id(harness.KindReading, name), harness.Reading{Places: []string{id(harness.KindPlace, r.a), id(harness.KindPlace, r.b)},
			Runs: []string{id(harness.KindRun, name)}, Text: strconv.FormatInt(r.mm, 10), Unit: unit.Metric, Value: unit.Length(r.mm) * unit.Millimetre})
	}
}

// terminal adds a terminal to a place, of a part if there is one.
func (m *maker) terminal(place, part, name string, signal harness.Signal) {
	t := harness.Terminal{Place: id(harness.KindPlace, place), Name: name, Signal: signal, Order: m.order()}
	key := place + "/" + name
	if part != "" {
		t.Part, key = id(harness.KindPart, part), part+"/"+name
	}
	m.put(harness.KindTerminal, id(harness.KindTerminal, key), t)
}

func (m *maker) part(place string, kind harness.PartKind, name string, rating float64, feed string, terminals ...string) {
	p := harness.Part{Place: id(harness.KindPlace, place), Kind: kind, Name: name, Order: m.order()}
	if rating > 0 {
		p.Rating = &rating
	}
	if feed != "" {
		p.Feed = id(harness.KindPart, feed)
	}
	m.put(harness.KindPart, id(harness.KindPart, name), p)
	for _, t := range terminals {
		m.terminal(place, name, t, "")
	}
}

func (m *maker) devices() {
	for _, p := range m.b.Places.All() {
		if d, ok := circuit.DeviceOf(p.Device); ok {
			for _, n := range d.Needs {
				m.terminal(p.Name, "", n.Name, n.Signal)
			}
		}
	}
	for _, t := range []struct {
		name   string
		signal harness.Signal
	}{{"supply", harness.SupplyIn}, {"ground", harness.PowerGround}, {"CAN high", harness.SerialBus}, {"CAN low", harness.SerialBus}} {
		m.terminal("Logger", "", t.name, t.signal)
	}
	for _, place := range []string{"Engine ground", "Body ground"} {
		for i := range 6 {
			m.terminal(place, "", "lug "+strconv.Itoa(i+1), "")
		}
	}
	for _, t := range []struct {
		name string
		run  harness.State
	}{{"key", harness.Live}, {"start", harness.Dead}} {
		m.terminal("Key wires", "", t.name, "")
		m.put(harness.KindTap, id(harness.KindTap, t.name), harness.Tap{Place: id(harness.KindPlace, "Key wires"), Terminal: id(harness.KindTerminal, "Key wires/"+t.name),
			Off: harness.Dead, Accessory: harness.Dead, Run: t.run, Crank: harness.Live, Holds: harness.Yes})
	}
	m.part("Battery", harness.Battery, "battery", 0, "", "+", "-")
	m.part("Battery", harness.Fuse, "F0", 50, "battery", "out")
	m.part("Panel", harness.FeedBar, "bar", 0, "", "in")
	for _, f := range []struct {
		name   string
		rating float64
	}{{"F1", 5}, {"F2", 5}, {"F3", 10}, {"F4", 20}, {"F5", 7.5}, {"F6", 3}, {"F7", 15}} {
		m.part("Panel", harness.Fuse, f.name, f.rating, "bar", "out")
	}
	m.part("Panel", harness.Relay, "K1", 30, "", "30", "85", "86", "87")
	m.part("Panel", harness.Relay, "K2", 30, "", "30", "85", "86", "87")
}

// pins are the controller's cavities with their leads.
func (m *maker) pins() {
	m.put(harness.KindConnector, id(harness.KindConnector, "A"), harness.Connector{Place: id(harness.KindPlace, "Controller"), Name: "A", Sealed: true, Order: 1})
	for i, p := range []struct {
		function string
		signal   harness.Signal
		size     string
		cable    string // twisted together; with a star under a shield too
	}{
		{"controller feed", harness.SupplyIn, "1.5 mm2", ""}, {"controller ground", harness.PowerGround, "1.5 mm2", ""}, {"sensor ground", harness.SensorGround, "0.5 mm2", ""},
		{"5 V", harness.Reference5V, "0.5 mm2", ""}, {"injector 1", harness.InjectorOut, "0.75 mm2", ""}, {"injector 2", harness.InjectorOut, "0.75 mm2", ""},
		{"coil trigger", harness.IgnitionOut, "0.5 mm2", ""}, {"crank signal", harness.FrequencyIn, "0.5 mm2", "crank*"}, {"crank return", harness.FrequencyIn, "0.5 mm2", "crank*"},
		{"crank shield", harness.ShieldDrain, "0.5 mm2", "*crank"}, {"cam signal", harness.FrequencyIn, "0.5 mm2", "cam*"}, {"cam shield", harness.ShieldDrain, "0.5 mm2", "*cam"},
		{"throttle", harness.AnalogueIn, "0.5 mm2", ""}, {"coolant", harness.AnalogueIn, "0.5 mm2", ""}, {"pump relay", harness.SwitchedOut, "0.5 mm2", ""},
		{"fan relay", harness.SwitchedOut, "0.5 mm2", ""}, {"CAN high", harness.SerialBus, "0.5 mm2", "bus"}, {"CAN low", harness.SerialBus, "0.5 mm2", "bus"},
	} {
		name := strconv.Itoa(i + 1)
		m.put(harness.KindTerminal, id(harness.KindTerminal, p.function), harness.Terminal{Place: id(harness.KindPlace, "Controller"), Connector: "A", Name: name, Order: m.order()})
		length := 3 * unit.Metre
		l := harness.Lead{Terminal: id(harness.KindTerminal, p.function), Legend: strings.ToUpper(p.function), Function: p.function, Signal: p.signal, Direction: circuit.DirectionOf(p.signal),
			Size: p.size, Length: &length, Insulation: harness.Class125, Decision: harness.Use, Order: m.order()}
		cable := strings.Trim(p.cable, "*")
		if cable != p.cable {
			l.Shield = cable
		}
		if !strings.HasPrefix(p.cable, "*") {
			l.Twist = cable
		}
		m.put(harness.KindLead, id(harness.KindLead, p.function), l)
	}
}

// circuits joins terminals. Those of the controller are named by their function, those of parts "PART/NAME", the others
// "PLACE/NAME".
func (m *maker) circuits() {
	for _, c := range []struct {
		name   string
		signal harness.Signal
		class  harness.Class
		size   string
		joinAt string
		ends   string // with commas between
	}{
		{"starter cable", harness.SupplyIn, harness.HighCurrent, "25 mm2", "", "battery/+,Starter/30"},
		{"start signal", harness.SwitchedOut, harness.Switching, "1.5 mm2", "", "Key wires/start,Starter/50"},
		{"panel feed", harness.SupplyIn, harness.HighCurrent, "16 mm2", "", "F0/out,bar/in"},
		{"battery ground", harness.PowerGround, harness.HighCurrent, "25 mm2", "", "battery/-,Body ground/lug 1"},
		{"strap", harness.PowerGround, harness.HighCurrent, "25 mm2", "", "Body ground/lug 2,Engine ground/lug 6"},
		{"fan relay feed", harness.SupplyIn, harness.HighCurrent, "4.0 mm2", "", "F4/out,K2/30"},
		{"fan feed", harness.SupplyIn, harness.HighCurrent, "4.0 mm2", "", "K2/87,Fan/+"},
		{"fan ground", harness.PowerGround, harness.HighCurrent, "4.0 mm2", "", "Fan/-,Body ground/lug 3"},
		{"pump relay feed", harness.SupplyIn, harness.HighCurrent, "2.5 mm2", "", "F3/out,K1/30"},
		{"pump feed", harness.SupplyIn, harness.HighCurrent, "2.5 mm2", "", "K1/87,Fuel pump/+"},
		{"pump ground", harness.PowerGround, harness.HighCurrent, "2.5 mm2", "", "Fuel pump/-,Body ground/lug 4"},
		{"injector feed", harness.SupplyIn, harness.Injection, "1.5 mm2", "Engine split", "F1/out,Injector 1/supply,Injector 2/supply"},
		{"coil feed", harness.SupplyIn, harness.Ignition, "1.5 mm2", "", "F2/out,Coil/supply"},
		{"coil ground", harness.PowerGround, harness.Ignition, "1.5 mm2", "", "Coil/ground,Engine ground/lug 1"},
		{"coil return", harness.PowerGround, harness.Ignition, "1.0 mm2", "", "Coil/return,Engine ground/lug 2"},
		{"controller feed", harness.SupplyIn, harness.Switching, "1.5 mm2", "", "controller feed,F5/out"},
		{"controller ground", harness.PowerGround, "", "", "", "controller ground,Engine ground/lug 3"},
		{"dash feed", harness.SupplyIn, harness.Switching, "0.75 mm2", "Dash split", "F6/out,Dash/supply,Logger/supply"},
		{"dash ground", harness.PowerGround, harness.Switching, "0.75 mm2", "Dash split", "Dash/ground,Logger/ground,Body ground/lug 5"},
		{"relay coils", harness.SupplyIn, harness.Switching, "0.75 mm2", "Dash split", "Key wires/key,K1/86,K2/86"},
		{"pump relay", harness.SwitchedOut, harness.Switching, "", "", "pump relay,K1/85"},
		{"fan relay", harness.SwitchedOut, harness.Switching, "", "", "fan relay,K2/85"},
		{"injector 1", harness.InjectorOut, "", "", "", "injector 1,Injector 1/drive"},
		{"injector 2", harness.InjectorOut, "", "", "", "injector 2,Injector 2/drive"},
		{"coil trigger", harness.IgnitionOut, "", "", "", "coil trigger,Coil/trigger"},
		{"crank signal", harness.FrequencyIn, "", "", "", "crank signal,Crank position/signal"},
		{"crank return", harness.FrequencyIn, "", "", "", "crank return,Crank position/return"},
		{"cam signal", harness.FrequencyIn, "", "", "", "cam signal,Cam position/signal"},
		{"throttle", harness.AnalogueIn, "", "", "", "throttle,Throttle position/signal"},
		{"coolant", harness.AnalogueIn, "", "", "", "coolant,Coolant temperature/signal"},
		{"5 V", harness.Reference5V, "", "", "Engine split", "5 V,Throttle position/5 V,Cam position/5 V"},
		{"sensor ground", harness.SensorGround, "", "", "Engine split", "sensor ground,Throttle position/ground,Cam position/ground,Coolant temperature/ground"},
		{"CAN high", harness.SerialBus, "", "", "Dash split", "CAN high,Dash/CAN high,Logger/CAN high"},
		{"CAN low", harness.SerialBus, "", "", "Dash split", "CAN low,Dash/CAN low,Logger/CAN low"},
	} {
		record := harness.Circuit{Name: c.name, Signal: c.signal, Class: c.class, Size: c.size, Order: m.order()}
		if c.joinAt != "" {
			record.JoinAt = id(harness.KindPlace, c.joinAt)
		}
		if c.signal == harness.SerialBus {
			speed := 500e3
			record.Bitrate, record.Twist = &speed, "bus"
			record.Resistors = []string{id(harness.KindPlace, "Controller"), id(harness.KindPlace, "Dash")}
		}
		m.put(harness.KindCircuit, id(harness.KindCircuit, c.name), record)
		for _, end := range strings.Split(c.ends, ",") {
			t, ok := m.b.Terminals.Get(id(harness.KindTerminal, end))
			if !ok && m.err == nil {
				m.err = fmt.Errorf("faults: there is no terminal %q", end)
			}
			t.Circuit = id(harness.KindCircuit, c.name)
			m.put(harness.KindTerminal, t.ID, t)
		}
	}
}
