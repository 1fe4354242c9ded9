package circuit

import (
	"strconv"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Starter is a planned engine to start a build from.
type Starter struct {
	Key  string
	Name string
	What string

	injectors []string // cylinders of each output: "1", or "1 4" for a pair
	coils     []string
	wideband  bool
	knocks    int
}

// Starters are the lists a person is offered. Source: our own invention, of common practice.
var Starters = []Starter{
	{Key: "four batch", Name: "Four cylinders, batch", What: "injectors in two groups, two coils with two sparks each",
		injectors: []string{"1 4", "2 3"}, coils: []string{"1 4", "2 3"}},
	{Key: "four sequential", Name: "Four cylinders, sequential", What: "an output for each injector, a coil on each plug",
		injectors: []string{"1", "2", "3", "4"}, coils: []string{"1", "2", "3", "4"}, wideband: true, knocks: 1},
	{Key: "V8 sequential", Name: "V8, sequential", What: "an output for each injector, a coil on each plug, a knock sensor for each bank",
		injectors: []string{"1", "2", "3", "4", "5", "6", "7", "8"}, coils: []string{"1", "2", "3", "4", "5", "6", "7", "8"}, wideband: true, knocks: 2},
}

// Records returns the pins, devices, panel and circuits of a starter; Wires proposes the rest. Every lead is decided, and
// every terminal that a device needs is an end of a circuit. The id of a record is asked for once, by its kind and a name
// that no other record of the starter has.
func (s Starter) Records(id func(kind harness.Kind, name string) string) Records {
	m := &maker{id: id, terminals: map[string]int{}, circuits: map[string]string{}, places: map[string]string{}, parts: map[string]string{}}
	s.car(m)
	s.panel(m)
	s.devices(m)
	s.pins(m)
	return m.Records
}

// car is what stands in the car and is not the engine.
func (s Starter) car(m *maker) {
	for i, l := range []harness.Loom{
		{Name: "main", Classes: []harness.Class{harness.Switching, harness.Ignition, harness.Injection, harness.Sensing, harness.Sensitive, harness.Bus}},
		{Name: "power and ground", Classes: []harness.Class{harness.HighCurrent}},
		{Name: "cabin", Classes: []harness.Class{harness.Bus, harness.Sensing, harness.Switching}},
	} {
		l.ID, l.Order = m.id(harness.KindLoom, l.Name), float64(i+1)
		m.Looms = append(m.Looms, l)
	}
	m.place("Controller", harness.Controller, "")
	m.Connectors = append(m.Connectors, harness.Connector{Record: harness.Record{ID: m.id(harness.KindConnector, "Controller A")},
		Place: m.places["Controller"], Name: "A", Sealed: true, Order: 1})
	m.place("Battery", harness.Supply, "", "starter", "panel", "alternator", "-")
	lugs := []string{}
	for i := range 8 {
		lugs = append(lugs, "lug "+strconv.Itoa(i+1))
	}
	m.place("Engine ground", harness.Ground, "", lugs...)
	m.place("Body ground", harness.Ground, "", "lug 1", "lug 2", "lug 3", "lug 4")
	m.place("Key wires", harness.CarWire, "", "key", "start", "charge lamp")
	m.place("Terminal strip", harness.TerminalStrip, "")
	for i := range 4 {
		m.part("Terminal strip", harness.StripWay, strconv.Itoa(i+1), "", 0, "", 1, i+1, "")
	}
}

// panel is the fuses and relays. Fuses on the battery bar are live always, those on the main bar with the main relay.
//
// Source: our own invention; ratings 1.5 times the load, common practice.
func (s Starter) panel(m *maker) {
	const at = "Panel"
	m.place(at, harness.Panel, "")
	last := &m.Places[len(m.Places)-1]
	last.Rows, last.Columns = 3, 7
	m.part(at, harness.FeedBar, "battery bar", "", 0, "", 1, 1, "in")
	m.part(at, harness.FeedBar, "main bar", "", 0, "", 1, 2, "in")
	for i, f := range []struct {
		name, label string
		amps        float64
		bar         string
	}{
		{"F1", "main relay", 40, "battery bar"}, {"F2", "fuel pump", 15, "battery bar"}, {"F3", "fan", 30, "battery bar"},
		{"F4", "controller", 10, "main bar"}, {"F5", "injectors", 10 + 5*float64(len(s.injectors)/8), "main bar"},
		{"F6", "coils", 15 + 5*float64(len(s.coils)/8), "main bar"}, {"F7", "valves, heater, relay coils", 10, "main bar"},
	} {
		m.part(at, harness.Fuse, f.name, f.label, f.amps, f.bar, 2, i+1, "out")
	}
	for i, label := range []string{"main relay", "fuel pump relay", "fan relay"} {
		m.part(at, harness.Relay, "K"+strconv.Itoa(i+1), label, 40, "", 3, i+1, PartTerminals(harness.Relay)...)
	}
	m.circuit("panel feed", harness.SupplyIn, harness.HighCurrent, "", "Battery/panel", "battery bar/in")
	m.circuit("main relay contact", harness.SupplyIn, harness.HighCurrent, "F1", "F1/out", "K1/30")
	m.circuit("main bar", harness.SupplyIn, harness.HighCurrent, "F1 K1", "K1/87", "main bar/in")
	m.circuit("pump relay contact", harness.SupplyIn, harness.HighCurrent, "F2", "F2/out", "K2/30")
	m.circuit("fan relay contact", harness.SupplyIn, harness.HighCurrent, "F3", "F3/out", "K3/30")
	m.circuit("key feed", harness.SupplyIn, harness.Switching, "", "Key wires/key", "K1/86")
	m.circuit("controller feed", harness.SupplyIn, harness.Switching, "F1 K1 F4", "F4/out")
	m.circuit("injector feed", harness.SupplyIn, harness.Injection, "F1 K1 F5", "F5/out")
	m.circuit("coil feed", harness.SupplyIn, harness.Ignition, "F1 K1 F6", "F6/out")
	m.circuit("valve feed", harness.SupplyIn, harness.Switching, "F1 K1 F7", "F7/out", "K2/86", "K3/86")
}

func (s Starter) devices(m *maker) {
	m.device("Starter", "starter")
	m.circuit("starter cable", harness.SupplyIn, harness.HighCurrent, "", "Battery/starter", "Starter/30")
	m.circuit("start signal", harness.SwitchedOut, harness.Switching, "", "Key wires/start", "Starter/50")
	m.device("Alternator", "alternator")
	m.circuit("alternator cable", harness.SupplyIn, harness.HighCurrent, "", "Battery/alternator", "Alternator/B+")
	m.circuit("charge lamp", harness.SwitchedOut, harness.Switching, "", "Key wires/charge lamp", "Alternator/lamp")
	m.circuit("battery ground", harness.PowerGround, harness.HighCurrent, "", "Battery/-", "Body ground/lug 1")
	m.circuit("engine strap", harness.PowerGround, harness.HighCurrent, "", "Body ground/lug 2", "Engine ground/lug 8")
	m.device("Fuel pump", "fuel pump")
	m.circuit("fuel pump", harness.SupplyIn, harness.HighCurrent, "F2 K2", "K2/87", "Fuel pump/+")
	m.circuit("fuel pump ground", harness.PowerGround, harness.HighCurrent, "", "Fuel pump/-", "Body ground/lug 3")
	m.device("Fan", "fan")
	m.circuit("fan", harness.SupplyIn, harness.HighCurrent, "F3 K3", "K3/87", "Fan/+")
	m.circuit("fan ground", harness.PowerGround, harness.HighCurrent, "", "Fan/-", "Body ground/lug 4")
	for _, d := range [][2]string{{"Crank position", "pick-up"}, {"Cam position", "Hall sensor"}, {"Throttle position", "position sensor"},
		{"Manifold pressure", "pressure sensor"}, {"Coolant temperature", "thermistor"}, {"Intake air temperature", "thermistor"}, {"Idle valve", "two-wire valve"}} {
		m.device(d[0], d[1])
	}
	m.end("valve feed", "Idle valve/supply")
	m.circuit("5 V", harness.Reference5V, harness.Sensing, "", "Cam position/5 V", "Throttle position/5 V", "Manifold pressure/5 V")
	m.circuit("sensor ground", harness.SensorGround, harness.Sensing, "", "Cam position/ground", "Throttle position/ground",
		"Manifold pressure/ground", "Coolant temperature/ground", "Intake air temperature/ground")
	for _, group := range s.injectors {
		for _, c := range strings.Fields(group) {
			m.device("Injector "+c, "injector")
			m.end("injector feed", "Injector "+c+"/supply")
		}
	}
	m.circuit("coil ground", harness.PowerGround, harness.Ignition, "", "Engine ground/lug 5")
	m.circuit("coil return", harness.PowerGround, harness.Ignition, "", "Engine ground/lug 6")
	for _, group := range s.coils {
		name := "Coil " + strings.ReplaceAll(group, " ", "+")
		m.device(name, "coil with driver")
		m.end("coil feed", name+"/supply")
		m.end("coil ground", name+"/ground")
		m.end("coil return", name+"/return")
	}
	if s.wideband {
		m.device("Wideband sensor", "wideband sensor")
		m.end("valve feed", "Wideband sensor/heat +")
	} else {
		m.device("Oxygen sensor", "oxygen sensor")
		m.end("valve feed", "Oxygen sensor/heat +")
		m.circuit("heater ground", harness.PowerGround, harness.Switching, "", "Oxygen sensor/heat -", "Engine ground/lug 7")
		m.end("sensor ground", "Oxygen sensor/ground")
	}
	for i := range s.knocks {
		m.device("Knock "+strconv.Itoa(i+1), "knock sensor")
	}
}

// pins is the controller's list.
func (s Starter) pins(m *maker) {
	for i, letter := range []string{"A", "B"} {
		m.pin("12V IN "+letter, "controller feed "+strconv.Itoa(i+1), sup, "1.5 mm2", "red", "controller feed")
	}
	for i := range 4 {
		n := strconv.Itoa(i + 1)
		m.pin("PWR GND "+n, "controller ground "+n, gnd, "1.5 mm2", "black", "Engine ground/lug "+n)
	}
	for i, group := range s.injectors {
		ends := strings.Fields(group)
		for j, c := range ends {
			ends[j] = "Injector " + c + "/drive"
		}
		m.pin("INJ "+strconv.Itoa(i+1), "injector "+strings.ReplaceAll(group, " ", "+"), inj, "0.75 mm2", "blue", ends...)
	}
	for i, group := range s.coils {
		name := "Coil " + strings.ReplaceAll(group, " ", "+")
		m.pin("IGN "+strconv.Itoa(i+1), strings.ToLower(name)+" trigger", ign, "0.75 mm2", "green", name+"/trigger")
	}
	m.pair("CRANK", "crank", frq, "Crank position/signal", "Crank position/return")
	m.pin("CAM", "cam signal", frq, "0.5 mm2", "grey", "Cam position/signal")
	for i := range s.knocks {
		n := strconv.Itoa(i + 1)
		m.pair("KNOCK "+n, "knock "+n, ana, "Knock "+n+"/signal", "Knock "+n+"/return")
	}
	m.pin("5V OUT", "5 V for sensors", v5, "0.5 mm2", "orange", "5 V")
	m.pin("SENS GND", "sensor ground", sgnd, "0.5 mm2", "brown", "sensor ground")
	m.pin("ANALOG 1", "throttle position", ana, "0.5 mm2", "yellow", "Throttle position/signal")
	m.pin("ANALOG 2", "manifold pressure", ana, "0.5 mm2", "yellow", "Manifold pressure/signal")
	m.pin("TEMP 1", "coolant temperature", ana, "0.5 mm2", "yellow", "Coolant temperature/signal")
	m.pin("TEMP 2", "intake air temperature", ana, "0.5 mm2", "yellow", "Intake air temperature/signal")
	if s.wideband {
		for _, t := range []string{"pump", "common", "nernst", "trim"} {
			m.pin("WB "+strings.ToUpper(t), "wideband "+t, ana, "0.5 mm2", "grey", "Wideband sensor/"+t)
		}
		m.pin("WB HEAT", "wideband heater", low, "0.75 mm2", "grey", "Wideband sensor/heat -")
	} else {
		m.pin("ANALOG 3", "oxygen sensor", ana, "0.5 mm2", "grey", "Oxygen sensor/signal")
	}
	m.pin("OUT 1", "idle valve", low, "0.75 mm2", "violet", "Idle valve/drive")
	for i, of := range []string{"main relay", "pump relay", "fan relay"} {
		n := strconv.Itoa(i + 1)
		m.pin("RELAY "+n, of, low, "0.5 mm2", "white", "K"+n+"/85")
	}
	m.pin("OUT 2", "", low, "0.5 mm2", "pink")
	m.pin("ANALOG SPARE", "", ana, "0.5 mm2", "yellow")
	m.pin("CAN H", "", can, "0.5 mm2", "yellow")
	m.pin("CAN L", "", can, "0.5 mm2", "green")
	for i := range m.Leads {
		if l := &m.Leads[i]; l.Signal == can {
			l.Twist = "bus"
		}
	}
}

// maker makes records. Ends are named "place/terminal" or "part/terminal".
type maker struct {
	Records
	id        func(kind harness.Kind, name string) string
	places    map[string]string
	parts     map[string]string
	terminals map[string]int // in Records.Terminals
	circuits  map[string]string
	cavity    int
}

func (m *maker) terminal(owner string, t harness.Terminal) {
	t.ID = m.id(harness.KindTerminal, owner+"/"+t.Name)
	m.terminals[owner+"/"+t.Name] = len(m.Terminals)
	m.Terminals = append(m.Terminals, t)
}

func (m *maker) place(name string, kind harness.PlaceKind, device string, terminals ...string) {
	p := harness.Place{Record: harness.Record{ID: m.id(harness.KindPlace, name)}, Name: name, Kind: kind, Device: device, Order: float64(len(m.Places) + 1)}
	m.places[name] = p.ID
	m.Places = append(m.Places, p)
	for i, t := range terminals {
		m.terminal(name, harness.Terminal{Place: p.ID, Name: t, Order: float64(i + 1)})
	}
}

func (m *maker) device(name, key string) {
	d, _ := DeviceOf(key)
	m.place(name, harness.Device, key, names(d.Needs)...)
}

func names(needs []Need) (all []string) {
	for _, n := range needs {
		all = append(all, n.Name)
	}
	return all
}

func (m *maker) part(place string, kind harness.PartKind, name, label string, amps float64, feed string, row, column int, terminals ...string) {
	p := harness.Part{Record: harness.Record{ID: m.id(harness.KindPart, place+" "+name)}, Place: m.places[place], Kind: kind, Name: name,
		Label: label, Feed: m.parts[feed], Row: row, Column: column, Order: float64(len(m.Parts) + 1)}
	if amps > 0 {
		p.Rating = &amps
	}
	m.parts[name] = p.ID
	m.Parts = append(m.Parts, p)
	for _, t := range terminals {
		m.terminal(name, harness.Terminal{Place: p.Place, Connector: name, Name: t, Part: p.ID, Order: float64(len(m.Terminals) + 1)})
	}
}

// circuit makes a circuit that is fed by these parts, with spaces between.
func (m *maker) circuit(name string, signal harness.Signal, class harness.Class, feed string, ends ...string) {
	c := harness.Circuit{Record: harness.Record{ID: m.id(harness.KindCircuit, name)}, Name: name, Signal: signal, Class: class, Order: float64(len(m.Circuits) + 1)}
	for _, part := range strings.Fields(feed) {
		c.Feed = append(c.Feed, m.parts[part])
	}
	m.circuits[name] = c.ID
	m.Circuits = append(m.Circuits, c)
	for _, end := range ends {
		m.end(name, end)
	}
}

// end makes a terminal an end of a circuit.
func (m *maker) end(circuit, terminal string) {
	m.Terminals[m.terminals[terminal]].Circuit = m.circuits[circuit]
}

// pin adds a cavity with a lead that goes to ends, or is an end of a circuit that is there; with neither it is kept.
func (m *maker) pin(legend, function string, signal harness.Signal, size, base string, to ...string) {
	m.cavity++
	n := strconv.Itoa(m.cavity)
	m.terminal("Controller", harness.Terminal{Place: m.places["Controller"], Connector: "A", Name: n, Order: float64(m.cavity)})
	t := &m.Terminals[len(m.Terminals)-1]
	l := harness.Lead{Record: harness.Record{ID: m.id(harness.KindLead, n)}, Terminal: t.ID, Legend: legend, Function: function, Signal: signal,
		Direction: DirectionOf(signal), Size: size, Base: base, Decision: harness.Use, Order: float64(m.cavity)}
	if s, err := unit.ParseSize(size); err == nil {
		l.Size = s.String()
	}
	switch {
	case len(to) == 0:
		l.Decision = harness.Keep
	case m.circuits[to[0]] != "":
		t.Circuit = m.circuits[to[0]]
	default:
		m.circuit(function, signal, usual(signal), "", append(to, "Controller/"+n)...)
	}
	m.Leads = append(m.Leads, l)
}

// pair adds a twisted pair under a shield.
func (m *maker) pair(legend, function string, signal harness.Signal, plus, minus string) {
	from := len(m.Leads)
	m.pin(legend+" +", function+" signal", signal, "0.5 mm2", "white", plus)
	m.pin(legend+" -", function+" return", signal, "0.5 mm2", "brown", minus)
	m.pin(legend+" SHLD", function+" shield", harness.ShieldDrain, "0.5 mm2", "black")
	for i := range m.Leads[from:] {
		l := &m.Leads[from+i]
		l.Shield, l.Decision = function, harness.Use
		if i < 2 {
			l.Twist = function
		}
	}
	if signal == ana {
		for i := range m.Circuits[len(m.Circuits)-2:] {
			m.Circuits[len(m.Circuits)-2+i].Class = harness.Sensitive
		}
	}
}

// DirectionOf returns which way a signal goes, seen from the controller.
func DirectionOf(s harness.Signal) harness.Direction {
	switch s {
	case harness.SupplyIn, harness.AnalogueIn, harness.FrequencyIn, harness.SwitchedIn:
		return harness.Inward
	case harness.Reference5V, harness.SwitchedOut, harness.SwitchedPower, harness.IgnitionOut, harness.InjectorOut:
		return harness.Outward
	case harness.SerialBus:
		return harness.BothWays
	}
	return harness.NoDirection
}
