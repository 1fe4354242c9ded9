package circuit

import (
	"sync"

	"loomwright/calc/harness"
)

// Need is a terminal of a kind of device.
type Need struct {
	Name   string         // as the terminal is called
	Signal harness.Signal // what it must be joined to, as a controller's pin is described
	Spare  bool           // it works without this one
}

// Range is from least to most; both 0 is not known.
type Range struct{ Low, High float64 }

// Known reports whether the range says something.
func (r Range) Known() bool { return r.High > 0 }

// Mid returns the middle of the range.
func (r Range) Mid() float64 { return (r.Low + r.High) / 2 }

// Device is a kind of device.
type Device struct {
	Key    string // as records keep it
	Name   string
	Words  []string // a function with all words of one of these is probably for it: "crank", "cam position"
	Needs  []Need
	Body   bool  // grounded through its body
	Amps   Range // what one draws while it works
	Peak   Range // in amperes, when switched on or for a moment
	Ohms   Range // between its terminals
	Class  harness.Class
	Note   string
	Source string
}

const practice = "common practice (engine wiring textbooks)"

// Short names, so that the table reads as a table.
const (
	sup  = harness.SupplyIn
	gnd  = harness.PowerGround
	sgnd = harness.SensorGround
	v5   = harness.Reference5V
	ana  = harness.AnalogueIn
	frq  = harness.FrequencyIn
	swi  = harness.SwitchedIn
	low  = harness.SwitchedOut
	ign  = harness.IgnitionOut
	inj  = harness.InjectorOut
	can  = harness.SerialBus
	none = harness.NoSignal
)

// Devices are the kinds a person is offered, in that order. All of it can be changed on the device itself: its terminals
// are records, and so is what it draws.
//
// Source: resistances and currents are common practice, see testdata/reference/sensors_actuators.csv; which terminals a
// kind has is common practice too. A thermistor, a one-wire sender and an injector do not each have supply, return and
// signal.
var Devices = []Device{
	{Key: "injector", Name: "Injector", Words: []string{"injector", "inj"}, Class: harness.Injection, Source: practice,
		Needs: []Need{{Name: "supply", Signal: sup}, {Name: "drive", Signal: inj}}, Amps: Range{1, 1}, Ohms: Range{12, 16}, Note: "high impedance"},
	{Key: "injector, low impedance", Name: "Injector", Class: harness.Injection, Source: practice, Note: "peak and hold",
		Needs: []Need{{Name: "supply", Signal: sup}, {Name: "drive", Signal: inj}}, Amps: Range{0.5, 1}, Peak: Range{2, 4}, Ohms: Range{1.5, 4}},
	{Key: "coil with driver", Name: "Coil", Words: []string{"coil", "ignition", "ign"}, Class: harness.Ignition, Source: practice,
		Needs: []Need{{Name: "supply", Signal: sup}, {Name: "ground", Signal: gnd}, {Name: "trigger", Signal: ign}, {Name: "return", Signal: gnd}},
		Amps:  Range{1, 2}, Peak: Range{8, 19}},
	{Key: "coil", Name: "Coil", Class: harness.Ignition, Source: practice, Note: "no driver inside: the controller switches the primary",
		Needs: []Need{{Name: "supply", Signal: sup}, {Name: "drive", Signal: ign}}, Peak: Range{6, 10}, Ohms: Range{0.3, 1}},
	{Key: "pick-up", Name: "Pick-up", Words: []string{"crank", "crankshaft"}, Class: harness.Sensitive, Source: practice,
		Needs: []Need{{Name: "signal", Signal: frq}, {Name: "return", Signal: frq}}, Ohms: Range{300, 1500}, Note: "variable reluctance: shielded twisted pair"},
	{Key: "Hall sensor", Name: "Hall sensor", Words: []string{"cam", "camshaft", "speed"}, Class: harness.Sensitive, Source: practice,
		Needs: []Need{{Name: "5 V", Signal: v5}, {Name: "signal", Signal: frq}, {Name: "ground", Signal: sgnd}}, Amps: Range{0.010, 0.020}, Note: "some want 12 V: ask"},
	{Key: "position sensor", Name: "Position sensor", Words: []string{"throttle", "pedal"}, Class: harness.Sensing, Source: practice,
		Needs: []Need{{Name: "5 V", Signal: v5}, {Name: "signal", Signal: ana}, {Name: "ground", Signal: sgnd}}, Ohms: Range{1000, 5000}},
	{Key: "pressure sensor", Name: "Pressure sensor", Words: []string{"pressure", "map"}, Class: harness.Sensing, Source: practice,
		Needs: []Need{{Name: "5 V", Signal: v5}, {Name: "signal", Signal: ana}, {Name: "ground", Signal: sgnd}}},
	{Key: "pressure and temperature sensor", Name: "Oil sensor", Class: harness.Sensing, Source: practice,
		Needs: []Need{{Name: "5 V", Signal: v5}, {Name: "pressure", Signal: ana}, {Name: "temperature", Signal: ana}, {Name: "ground", Signal: sgnd}}},
	{Key: "thermistor", Name: "Temperature sensor", Words: []string{"temperature", "temp", "clt", "iat"}, Class: harness.Sensing, Source: practice,
		Needs: []Need{{Name: "signal", Signal: ana}, {Name: "ground", Signal: sgnd}}},
	{Key: "one-wire sender", Name: "Sender", Words: []string{"sender"}, Class: harness.Sensing, Source: practice, Body: true,
		Needs: []Need{{Name: "signal", Signal: ana}}},
	{Key: "level sender", Name: "Fuel level", Words: []string{"level"}, Class: harness.Sensing, Source: practice,
		Needs: []Need{{Name: "signal", Signal: ana}, {Name: "ground", Signal: sgnd}, {Name: "tank body", Signal: gnd, Spare: true}}},
	{Key: "knock sensor", Name: "Knock", Words: []string{"knock"}, Class: harness.Sensitive, Source: practice,
		Needs: []Need{{Name: "signal", Signal: ana}, {Name: "return", Signal: ana}}},
	{Key: "knock sensor, one wire", Name: "Knock", Class: harness.Sensitive, Source: practice, Body: true,
		Needs: []Need{{Name: "signal", Signal: ana}}},
	{Key: "oxygen sensor", Name: "Oxygen sensor", Words: []string{"oxygen", "lambda"}, Class: harness.Sensing, Source: practice,
		Needs: []Need{{Name: "heat +", Signal: sup}, {Name: "heat -", Signal: gnd}, {Name: "signal", Signal: ana}, {Name: "ground", Signal: sgnd}}, Amps: Range{0.5, 2}},
	{Key: "wideband sensor", Name: "Wideband sensor", Words: []string{"wideband"}, Class: harness.Sensing, Source: practice, Note: "its heater is fused with 3 to 5 A",
		Needs: []Need{{Name: "pump", Signal: ana}, {Name: "common", Signal: ana}, {Name: "nernst", Signal: ana}, {Name: "trim", Signal: ana},
			{Name: "heat +", Signal: sup}, {Name: "heat -", Signal: low}}, Amps: Range{0.5, 2}, Peak: Range{1, 3}},
	{Key: "two-wire valve", Name: "Valve", Words: []string{"idle", "purge", "valve", "solenoid", "boost"}, Class: harness.Switching, Source: practice,
		Needs: []Need{{Name: "supply", Signal: sup}, {Name: "drive", Signal: low}}, Amps: Range{1, 2}, Ohms: Range{7, 15}},
	{Key: "stepper valve", Name: "Stepper valve", Class: harness.Switching, Source: practice, Words: []string{"stepper"},
		Needs: []Need{{Name: "A1", Signal: low}, {Name: "A2", Signal: low}, {Name: "B1", Signal: low}, {Name: "B2", Signal: low}}, Ohms: Range{40, 60}},
	{Key: "fuel pump", Name: "Fuel pump", Class: harness.HighCurrent, Source: "common practice, from memory",
		Needs: []Need{{Name: "+", Signal: sup}, {Name: "-", Signal: gnd}}, Amps: Range{5, 12}},
	{Key: "fan", Name: "Fan", Class: harness.HighCurrent, Source: practice, Note: "two to three times as much when it starts",
		Needs: []Need{{Name: "+", Signal: sup}, {Name: "-", Signal: gnd}}, Amps: Range{10, 25}, Peak: Range{20, 75}},
	{Key: "two fans", Name: "Fans", Class: harness.HighCurrent, Source: practice, Note: "each; two to three times as much when it starts",
		Needs: []Need{{Name: "1 +", Signal: sup}, {Name: "1 -", Signal: gnd}, {Name: "2 +", Signal: sup}, {Name: "2 -", Signal: gnd}}, Amps: Range{10, 25}, Peak: Range{20, 75}},
	{Key: "starter", Name: "Starter", Class: harness.HighCurrent, Source: practice, Body: true,
		Needs: []Need{{Name: "30", Signal: sup}, {Name: "50", Signal: sup}}, Amps: Range{100, 250}},
	{Key: "alternator", Name: "Alternator", Class: harness.HighCurrent, Source: practice, Body: true,
		Needs: []Need{{Name: "B+", Signal: sup}, {Name: "lamp", Signal: low}, {Name: "sense", Signal: sup, Spare: true}}},
	{Key: "lamp", Name: "Lamp", Class: harness.Switching, Source: practice, Note: "55 W at 13.5 V",
		Needs: []Need{{Name: "+", Signal: sup}, {Name: "-", Signal: low}}, Amps: Range{4.1, 4.1}},
	{Key: "main beam", Name: "Main beam", Class: harness.Switching, Source: practice, Note: "60 W at 13.5 V",
		Needs: []Need{{Name: "+", Signal: sup}, {Name: "-", Signal: gnd}}, Amps: Range{4.4, 4.4}},
	{Key: "switch", Name: "Switch", Words: []string{"switch"}, Class: harness.Sensing, Source: practice, Note: "to ground",
		Needs: []Need{{Name: "signal", Signal: swi}, {Name: "ground", Signal: sgnd}}},
	{Key: "three switches", Name: "Switch panel", Class: harness.Sensing, Source: practice,
		Needs: []Need{{Name: "fan", Signal: swi}, {Name: "launch", Signal: swi}, {Name: "map", Signal: swi}, {Name: "common", Signal: sgnd},
			{Name: "light +", Signal: sup, Spare: true}, {Name: "light -", Signal: gnd, Spare: true}}},
	{Key: "display", Name: "Dash display", Class: harness.Bus, Source: practice,
		Needs: []Need{{Name: "supply", Signal: sup}, {Name: "ground", Signal: gnd}, {Name: "key", Signal: swi, Spare: true}, {Name: "memory", Signal: sup, Spare: true},
			{Name: "CAN high", Signal: can}, {Name: "CAN low", Signal: can}, {Name: "check lamp", Signal: low, Spare: true}, {Name: "charge lamp", Signal: low, Spare: true}}},
	{Key: "other", Name: "Device", Source: "nothing is known of it: its terminals say what it needs"},
}

// byKey is where a kind is in Devices; it is made when the first is asked for.
var byKey = sync.OnceValue(func() map[string]int {
	m := make(map[string]int, len(Devices))
	for i, d := range Devices {
		m[d.Key] = i
	}
	return m
})

// DeviceOf returns the kind of device with this key.
func DeviceOf(key string) (d Device, ok bool) {
	i, ok := byKey()[key]
	if !ok {
		return Device{}, false
	}
	return Devices[i], true
}

// Need returns the terminal with this name, and false if the kind has none.
func (d Device) Need(name string) (Need, bool) {
	for _, n := range d.Needs {
		if n.Name == name {
			return n, true
		}
	}
	fold := harness.FoldName(name)
	for _, n := range d.Needs {
		if harness.FoldName(n.Name) == fold {
			return n, true
		}
	}
	return Need{}, false
}

// PartTerminals returns the terminals of a part of a panel, in order. Relays have those of the open standard: 85 and 86
// are the coil, 30 is fed, 87 is joined to it while the coil is fed, 87a while it is not.
//
// Source: DIN 72552 (30); 85 to 87a from memory.
func PartTerminals(kind harness.PartKind) []string {
	switch kind {
	case harness.Relay:
		return []string{"30", "85", "86", "87", "87a"}
	case harness.Fuse, harness.BreakerPart, harness.DiodePart, harness.Switch:
		return []string{"in", "out"}
	case harness.Lamp, harness.Battery:
		return []string{"+", "-"}
	case harness.FeedBar:
		return []string{"in"}
	}
	return []string{""} // a strip position or a stud: one point for all its wires
}

// RelayCoilAmps is what the coil of a relay draws. Source: common practice, 70 to 100 ohm at 12.5 V.
var RelayCoilAmps = Range{0.12, 0.2}
