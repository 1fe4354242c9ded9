package prove

import (
	"slices"
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// devices reads each device by itself, at its own plug, against what was entered for it, else what is usual for its kind.
func (s *Sheet) devices() {
	places := s.b.Places.All()
	for i := range places {
		p := &places[i]
		if p.Kind != harness.Device {
			continue
		}
		if s.entered(p, "ohm", Devices, 0) > 0 {
			continue
		}
		d, ok := circuit.DeviceOf(p.Device)
		if !ok || len(d.Needs) < 2 {
			continue
		}
		a, b := d.Needs[0].Name, d.Needs[1].Name
		if d.Key == "position sensor" {
			b = "ground" // its track, from end to end
		}
		x, y := s.terminalOf(p.ID, a), s.terminalOf(p.ID, b)
		if x == "" || y == "" || !d.Ohms.Known() && d.Key != "thermistor" {
			continue
		}
		t := Test{ID: id("device", p.ID), Group: Devices, Name: p.Name + " by itself", A: x, B: y, Place: p.ID, Of: harness.Ref{Kind: harness.KindPlace, ID: p.ID}, Ask: Number, Unit: "ohm",
			Do: "Unplugged: read the device itself, between its own pins."}
		if d.Ohms.Known() {
			t.Low, t.High, t.Source = number(d.Ohms.Low), number(d.Ohms.High), d.Source+": usual for its kind, not a limit; enter what its papers say"
		} else {
			t.Source = "nothing is known of this thermistor: enter what its papers say at two temperatures"
		}
		s.add(t)
	}
}

// entered adds a test for each pair of terminals of a device that something was entered for, and returns how many.
func (s *Sheet) entered(p *harness.Place, unitOf string, g Group, phase int) (n int) {
	var done []string
	rows := expects(s.b, p.ID, unitOf)
	for _, e := range rows {
		pair := e.Plus + " " + e.Minus
		if slices.Contains(done, pair) {
			continue
		}
		done = append(done, pair)
		t := Test{ID: id("entered", p.ID, unitOf, pair), Group: g, Phase: phase, Name: p.Name + " by itself", A: Point(e.Plus), B: Point(e.Minus), Place: p.ID, Of: harness.Ref{Kind: harness.KindPlace, ID: p.ID}, Ask: Number,
			Unit: unitOf, Do: "Unplugged: read the device itself, between its own pins.", Source: e.Source}
		if unitOf == "V" {
			t.Name, t.Do = p.Name+", key on", "Plugged in, key on: read the volts at the plug, from behind."
		}
		if e.Celsius == nil {
			t.Low, t.High = number(e.Low), number(e.High)
		}
		s.add(t)
		n++
	}
	return n
}

// curve returns the points that were entered for the pins of a test.
func (s *Sheet) curve(t *Test) (points []PointOf) {
	if t.Of.Kind != harness.KindPlace {
		return nil
	}
	for _, e := range expects(s.b, t.Of.ID, t.Unit) {
		if e.Celsius != nil && Point(e.Plus) == t.A && Point(e.Minus) == t.B {
			points = append(points, PointOf{*e.Celsius, e.Low, e.High})
		}
	}
	return points
}

// terminalOf returns a terminal of a place by its name.
func (s *Sheet) terminalOf(place, name string) Point {
	for _, t := range s.b.Terminals.All() {
		if t.Place == place && harness.FoldName(t.Name) == harness.FoldName(name) {
			return Point(t.ID)
		}
	}
	return ""
}

// Resistance of a bus between its two wires, ohms, with everything plugged in and the battery off.
//
// Source: ISO 11898-2, 120 ohm at both ends, each from 100 to 130 (from memory): 60 in all, from 50 to 65.
const (
	busLow  = 50
	busHigh = 65
)

const busName = "Bus resistance"

// Bus reports whether a test reads the resistance between the two wires of a bus, see BusMeans.
func (t *Test) Bus() bool { return t.Group == Plugged && t.Name == busName }

// BusMeans says what a resistance between the two wires of a bus means.
//
// Source: ISO 11898-2; with one resistor missing 120 ohm, with three 40.
func BusMeans(ohms float64) string {
	switch {
	case ohms < 5:
		return "the two wires touch"
	case ohms < 35:
		return "more than three resistors, or something else lies across it"
	case ohms < busLow:
		return "three resistors: one too many"
	case ohms <= busHigh:
		return "two resistors, one at each end: as it should be"
	case ohms < 100:
		return "one resistor and something else across it, or a bad joint"
	case ohms <= 140:
		return "one resistor is missing, or the bus is open on the way to it"
	}
	return "no resistor is reached: the bus is open, or both are missing"
}

// Buses returns the pairs of points that the wires of a bus are best read at: where both are, away from the controller if they can.
func (s *Sheet) buses() (all [][2]int) {
	var left []int
	for i := range s.web.nets {
		if s.web.nets[i].signal == harness.SerialBus && s.web.nets[i].through {
			left = append(left, i)
		}
	}
	for len(left) > 1 {
		x := left[0]
		left = left[1:]
		for k, y := range left {
			best, found := [2]int{}, false
			for _, a := range s.web.nets[x].nodes {
				for _, b := range s.web.nets[y].nodes {
					m, n := &s.web.nodes[a], &s.web.nodes[b]
					if m.place != n.place || m.terminal.ID == "" || n.terminal.ID == "" {
						continue
					}
					if _, led := s.net.Lead(m.terminal.ID); !found || !led && s.placeKind(m.place) == harness.Inline {
						best, found = [2]int{a, b}, true
					}
				}
			}
			if found {
				all = append(all, best)
				left = slices.Delete(left, k, k+1)
				break
			}
		}
	}
	return all
}

func (s *Sheet) placeKind(place string) harness.PlaceKind {
	p, _ := s.b.Places.Get(place)
	return p.Kind
}

// plugged reads what only shows with everything plugged in.
func (s *Sheet) plugged() {
	buses := s.buses()
	if len(buses) == 0 {
		return
	}
	s.yes(Plugged, 0, "plugged", "Plugged in, battery off", "Plug the controller and every device of the bus in. The battery stays off, fuses and relays stay out.", "Voltage on the bus makes every reading of ohms wrong.", practice)
	for _, p := range buses {
		a, b := &s.web.nodes[p[0]], &s.web.nodes[p[1]]
		s.add(Test{ID: id("bus", string(a.point), string(b.point)), Group: Plugged, Name: busName, A: a.point, B: b.point, Place: a.place, Ask: Number, Unit: "ohm", Low: number(busLow), High: number(busHigh),
			Do: "Read between the two wires of the bus: 60 ohm. 120 is one resistor missing, 40 is one too many.", Source: "ISO 11898-2: 120 ohm at both ends, each 100 to 130 (from memory)"})
	}
}

// Setting is a pin as the controller must be set for it.
type Setting struct {
	Lead    harness.Lead
	Cavity  string
	Text    string   // all of it in a line
	Missing []string // the fields that are not known and should be
}

// Settings returns the settings sheet: every pin in use that the controller's software must be told of, by cavity.
func Settings(n *circuit.Net) (all []Setting) {
	for _, p := range n.Pins() {
		l := p.Lead
		if l.Decision != harness.Use || l.Signal.Vital() || l.Signal == harness.Reference5V {
			continue
		}
		x := Setting{Lead: l, Cavity: p.Cavity}
		words := []string{l.Does(), string(l.Signal)}
		need := func(word, value string, wanted bool) {
			if value != "" {
				words = append(words, word+" "+value)
			} else if wanted {
				x.Missing = append(x.Missing, word)
			}
		}
		in := l.Signal == harness.AnalogueIn || l.Signal == harness.FrequencyIn
		need("sensor", l.Sensor, in)
		pull := ""
		if l.PullUp != nil {
			pull = unit.Shown(*l.PullUp) + " ohm"
			if *l.PullUp == 0 {
				pull = "none"
			}
		}
		need("pull-up", pull, in || l.Signal == harness.SwitchedIn)
		need("polarity", l.Polarity, l.Signal == harness.FrequencyIn || l.Signal == harness.SwitchedIn || l.Signal == harness.IgnitionOut || l.Signal == harness.SwitchedOut)
		need("coil", l.Coil, l.Signal == harness.IgnitionOut)
		need("injector", l.Injector, l.Signal == harness.InjectorOut)
		x.Text = strings.Join(words, ", ")
		all = append(all, x)
	}
	return all
}
