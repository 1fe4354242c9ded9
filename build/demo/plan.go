package demo

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// signals are what the pins carry, by the beginning of what is printed on the lead; the first that fits.
var signals = []struct {
	legend string
	signal harness.Signal
}{
	{"12V", harness.SupplyIn}, {"PWR GND", harness.PowerGround}, {"SENS GND", harness.SensorGround}, {"CAM GND", harness.SensorGround},
	{"5V OUT", harness.Reference5V}, {"INJ", harness.InjectorOut}, {"IGN", harness.IgnitionOut}, {"PWM OUT", harness.SwitchedOut},
	{"CRANK SHLD", harness.ShieldDrain}, {"KNOCK SHLD", harness.ShieldDrain}, {"CRANK", harness.FrequencyIn}, {"CAM SIG", harness.FrequencyIn},
	{"FREQ", harness.FrequencyIn}, {"KNOCK", harness.AnalogueIn}, {"ANALOG", harness.AnalogueIn}, {"TEMP", harness.AnalogueIn},
	{"WB HEAT", harness.SwitchedOut}, {"WB", harness.AnalogueIn}, {"KEY IN", harness.SwitchedIn}, {"START IN", harness.SwitchedIn},
	{"SWITCH", harness.SwitchedIn}, {"RELAY", harness.SwitchedOut}, {"LOW SIDE", harness.SwitchedOut}, {"TACHO", harness.SwitchedOut},
	{"CAN", harness.SerialBus},
}

func signalOf(legend string) harness.Signal {
	for _, s := range signals {
		if strings.HasPrefix(legend, s.legend) {
			return s.signal
		}
	}
	return harness.NoSignal
}

// kindsOf are the kinds of device, by the beginning of the name of the place, with what one draws, in amperes.
var kindsOf = []struct {
	name, key    string
	amps, inrush float64
}{
	{"Injector", "injector", 1, 0}, {"Coil", "coil with driver", 2, 10}, {"Throttle position", "position sensor", 0, 0},
	{"Manifold pressure", "pressure sensor", 0, 0}, {"Cam position", "Hall sensor", 0, 0}, {"Road speed", "Hall sensor", 0, 0},
	{"Oil sensor", "pressure and temperature sensor", 0, 0}, {"Coolant temperature", "thermistor", 0, 0},
	{"Intake air temperature", "thermistor", 0, 0}, {"Crank position", "pick-up", 0, 0}, {"Knock", "knock sensor", 0, 0},
	{"Idle valve", "two-wire valve", 1.5, 0}, {"Purge valve", "two-wire valve", 1, 0}, {"Wideband sensor", "wideband sensor", 2, 3},
	{"Starter", "starter", 0, 0}, {"Alternator", "alternator", 0, 0}, {"Radiator fans", "two fans", 12, 30},
	{"Switch panel", "three switches", 0, 0}, {"Dash display", "display", 0.8, 0}, {"Fuel pump", "fuel pump", 8, 16}, {"Fuel level", "level sender", 0, 0},
}

// gone are the pins without a lead: what became of it.
var gone = map[string]harness.Decision{"B8": harness.Remove, "B23": harness.NeverFitted}

// taps are the wires of the car, with their states at off, accessory, run and crank.
var taps = []struct {
	terminal, where, base, tracer, fed string
	states                             [4]harness.State
	holds                              harness.Answer
}{
	{"15", "plug under the column, third from the left", "black", "yellow", "ignition of the car", [4]harness.State{harness.Dead, harness.Dead, harness.Live, harness.Live}, harness.Yes},
	{"50", "plug under the column, fifth from the left", "red", "black", "starter of the car", [4]harness.State{harness.Dead, harness.Dead, harness.Dead, harness.Live}, harness.Yes},
	{"brake", "at the pedal switch, pedal not pressed", "green", "violet", "brake lamps", [4]harness.State{harness.Dead, harness.Dead, harness.Dead, harness.Dead}, harness.No},
}

// classes are what goes in the looms by default.
var classes = map[string][]harness.Class{
	mainLoom:  {harness.Switching, harness.Ignition, harness.Injection, harness.Sensing, harness.Sensitive, harness.Bus},
	powerLoom: {harness.HighCurrent},
	cabinLoom: {harness.Switching, harness.Sensing, harness.Bus},
}

// plan says in the evening, on the tablet, what was planned all along: what pins carry and what becomes of them, what the
// devices are, what stands in the panels, what the car's wires were measured to be, and which circuits the wires make.
func (h *hand) plan() {
	b := h.log.State()
	h.now = h.now.Add(40 * time.Minute)
	for _, name := range []string{mainLoom, powerLoom, cabinLoom} {
		h.tap(10*time.Second, edit(&b.Looms, harness.KindLoom, id(harness.KindLoom, name), func(l *harness.Loom) { l.Classes = classes[name] }))
	}
	h.connectors(map[string]int{"A": 17, "B": 13})
	for i, p := range pins {
		h.decide(i, p)
	}
	for _, s := range walk {
		h.identify(s)
	}
	h.parts()
	for i, t := range taps {
		terminal := terminalAt("Column wires", t.terminal)
		h.tap(40*time.Second, create(harness.KindTap, id(harness.KindTap, t.terminal), harness.Tap{Place: id(harness.KindPlace, "Column wires"), Terminal: terminal,
			Where: t.where, Base: t.base, Tracer: t.tracer, Fed: t.fed, Off: t.states[0], Accessory: t.states[1], Run: t.states[2], Crank: t.states[3],
			Holds: t.holds, Order: float64(i + 1)}))
	}
	h.circuits()
}

// connectors says how the controller's plugs are built, each with two rows.
func (h *hand) connectors(columns map[string]int) {
	b := h.log.State()
	for i, name := range []string{"A", "B"} {
		n := columns[name]
		changes := []storage.Change{create(harness.KindConnector, id(harness.KindConnector, "Controller", name), harness.Connector{
			Place: id(harness.KindPlace, "Controller"), Name: name, Rows: 2, Columns: n, Face: harness.WireSide, Sealed: true, Order: float64(i + 1)})}
		for _, p := range pins {
			if p.cavity[:1] != name {
				continue
			}
			cavity, err := strconv.Atoi(p.cavity[1:])
			h.fail(err)
			changes = append(changes, edit(&b.Terminals, harness.KindTerminal, terminalAt("Controller", p.cavity), func(t *harness.Terminal) {
				t.Row, t.Column = 1+(cavity-1)/n, 1+(cavity-1)%n
			}))
		}
		h.tap(time.Minute, changes...)
	}
}

// decide says of one pin what it carries and what becomes of it.
func (h *hand) decide(i int, p pin) {
	b := h.log.State()
	signal := signalOf(p.legend)
	set := func(l *harness.Lead) {
		l.Function, l.Signal, l.Direction = p.function, signal, circuit.DirectionOf(signal)
		l.Twist, l.Insulation, l.Reassign = p.twist, harness.Class125, harness.Yes
		if signal.Vital() || signal == harness.Reference5V || signal == harness.FrequencyIn || signal == harness.SerialBus || strings.HasPrefix(p.legend, "WB") {
			l.Reassign = harness.No
		}
		for _, cable := range []string{"crank", "knock"} {
			if strings.HasPrefix(p.legend, strings.ToUpper(cable)) {
				l.Shield = cable
			}
		}
		switch {
		case gone[p.cavity] != harness.Undecided:
			l.Decision, l.Acted = gone[p.cavity], &harness.Acted{Decision: gone[p.cavity], At: h.at()}
		case p.to == "":
			l.Decision, l.Parked = harness.Keep, id(harness.KindPlace, "Controller split")
			l.Acted = &harness.Acted{Decision: harness.Keep, At: h.at()}
		default:
			l.Decision = harness.Use
		}
		if l.There() && p.cavity[:1] == "A" {
			l.Seated = h.at()
		}
	}
	leadID, terminalID := id(harness.KindLead, p.cavity), terminalAt("Controller", p.cavity)
	if p.size != "" {
		h.tap(8*time.Second, edit(&b.Leads, harness.KindLead, leadID, set))
		return
	}
	l := harness.Lead{Terminal: terminalID, Legend: p.legend, Order: float64(i + 1), Note: p.note}
	set(&l)
	h.tap(8*time.Second, create(harness.KindLead, leadID, l),
		edit(&b.Terminals, harness.KindTerminal, terminalID, func(t *harness.Terminal) { t.Plugged = true }))
}

// identify says what kind of device stands at a place.
func (h *hand) identify(s step) {
	if s.kind != harness.Device {
		return
	}
	for _, k := range kindsOf {
		if !strings.HasPrefix(s.place, k.name) {
			continue
		}
		h.tap(6*time.Second, edit(&h.log.State().Places, harness.KindPlace, id(harness.KindPlace, s.place), func(p *harness.Place) {
			p.Device = k.key
			if k.amps > 0 {
				p.Amps = &k.amps
			}
			if k.inrush > 0 {
				p.Inrush = &k.inrush
			}
		}))
		return
	}
}

// parts puts the fuses, relays and strip positions into their panels.
func (h *hand) parts() {
	h.grid("Fuse panel", 3, 7)
	h.grid("Relay panel", 1, 6)
	n := 0
	part := func(place string, p harness.Part, terminals ...string) {
		n++
		p.Place, p.Order = id(harness.KindPlace, place), float64(n)
		partID := id(harness.KindPart, place, p.Name)
		changes := []storage.Change{create(harness.KindPart, partID, p)}
		for _, t := range terminals {
			changes = append(changes, edit(&h.log.State().Terminals, harness.KindTerminal, terminalAt(place, t), func(t *harness.Terminal) { t.Part = partID }))
		}
		h.tap(10*time.Second, changes...)
	}
	battery := id(harness.KindPart, "Battery", "battery")
	part("Battery", harness.Part{Kind: harness.Battery, Name: "battery"}, "+", "-")
	for _, amps := range []float64{80, 125} {
		name := "fused " + strconv.Itoa(int(amps)) + " A"
		part("Battery", harness.Part{Kind: harness.Fuse, Name: name, Rating: &amps, Feed: battery}, name)
	}
	part("Fuse panel", harness.Part{Kind: harness.FeedBar, Name: "battery bus", Row: 1, Column: 1}, "battery bus:in")
	part("Fuse panel", harness.Part{Kind: harness.FeedBar, Name: "main bus", Row: 1, Column: 2}, "main bus:in")
	panels := map[string][]string{}
	for _, s := range walk {
		panels[s.place] = list(s.ends)
	}
	for i := range len(fuses) {
		name := "F" + strconv.Itoa(i+1)
		amps, err := strconv.ParseFloat(fuses[name], 64)
		h.fail(err)
		bus := "main bus"
		if i >= 6 && i < 13 {
			bus = "battery bus"
		}
		part("Fuse panel", harness.Part{Kind: harness.Fuse, Name: name, Rating: &amps, Feed: id(harness.KindPart, "Fuse panel", bus), Row: 2 + i/7, Column: 1 + i%7},
			of(panels["Fuse panel"], name)...)
	}
	for i := range len(relays) {
		name := "K" + strconv.Itoa(i+1)
		amps := 40.0
		part("Relay panel", harness.Part{Kind: harness.Relay, Name: name, Label: relays[name], Rating: &amps, Row: 1, Column: i + 1}, of(panels["Relay panel"], name)...)
	}
	for i, name := range panels["Terminal strip"] {
		part("Terminal strip", harness.Part{Kind: harness.StripWay, Name: name, Row: 1, Column: i + 1}, name)
	}
}

// of returns the terminals of a part.
func of(all []string, part string) []string {
	return slices.DeleteFunc(slices.Clone(all), func(t string) bool { return !strings.HasPrefix(t, part+":") })
}

func (h *hand) grid(place string, rows, columns int) {
	h.tap(12*time.Second, edit(&h.log.State().Places, harness.KindPlace, id(harness.KindPlace, place), func(p *harness.Place) { p.Rows, p.Columns = rows, columns }))
}

// circuits takes the circuits that the wires make, in one tap.
func (h *hand) circuits() {
	b := h.log.State()
	r := circuit.Gather(b)
	var changes []storage.Change
	for _, c := range r.Circuits {
		changes = append(changes, create(harness.KindCircuit, c.ID, c))
	}
	for _, t := range r.Terminals {
		changes = append(changes, edit(&b.Terminals, harness.KindTerminal, t.ID, func(old *harness.Terminal) { *old = t }))
	}
	for _, j := range r.Joints {
		changes = append(changes, edit(&b.Joints, harness.KindJoint, j.ID, func(old *harness.Joint) { *old = j }))
	}
	for _, w := range r.Wires {
		changes = append(changes, edit(&b.Wires, harness.KindWire, w.ID, func(old *harness.Wire) { *old = w }))
	}
	h.tap(30*time.Second, changes...)
}
