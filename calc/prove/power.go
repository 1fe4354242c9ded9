package prove

import (
	"slices"
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Phases are the steps of power-up, in an order that burns nothing: a phase opens when the one before it is done.
//
// Source: common practice; the order of builders' accounts: resistance of the feed, a current limit, fuses one by one, the
// controller, its 5 V, sensors, outputs one by one, cranking without fuel, fuel, the first start, hot.
var Phases = []string{
	"Before power", "Feed through a limit", "Fuses, one at a time", "Key and cranking feed", "Controller in", "Settings sheet", "Sensors, key on",
	"Outputs, one at a time", "Fuel pressure and cranking", "First start", "Hot",
}

const (
	before = iota
	limit
	fuses
	key
	controller
	settings
	sensors
	outputs
	cranking
	start
	hot
)

const noLamp = "Only a digital meter of 10 megohm on controller pins. No filament test lamp: it has burnt output transistors."

// power makes the power-up of this build's panel.
func (s *Sheet) power() {
	s.yes(Power, before, "p licence", "Who may do this", "Know your limits: fuel, airbags and high voltage are for those who are licensed for them. Extinguisher at hand, nobody under the car, no smoking.", "", practice)
	s.yes(Power, before, "p unplugged", "All is out", "Controller unplugged. Every fuse and relay out. Coils, injectors, pump, fans and all other loads unplugged.", "They stay unplugged until the base calibration is loaded and every pin is ticked against the settings sheet.", practice)
	s.yes(Power, before, "p meter", "The right meter", "A digital meter, red lead in the V socket.", noLamp, "a car maker's manual as builders quote it")
	if s.has(SupplyRail) && s.has(GroundRail) {
		s.add(Test{ID: id("p feed"), Group: Power, Phase: before, Name: "Main feed to ground", A: SupplyRail, B: GroundRail, Place: s.panelPlace(), Ask: Silent, Unit: "ohm", Low: number(silentOhm),
			Do: "Read ohms from the main feed to ground once more, the battery still off.", Source: "builders' accounts; over 1 megohm counts as open"})
	}
	s.yes(Power, limit, "p bench", "Through a limit", "Feed the panel from a bench supply set to 12 V and 1 to 3 A, or put a 21 W lamp in place of the main fuse.", "While a bench supply feeds the car, the battery's negative stays off.", "builders' accounts")
	s.yes(Power, limit, "p idle", "Nothing flows", "With no fuse in, the supply shows less than 0.05 A, or the lamp stays dark. If not: off, and find it.", "", "our choice")
	s.fuses()
	s.keyFeeds()
	s.controllerIn()
	for _, x := range Settings(s.net) {
		do := x.Text + "."
		if len(x.Missing) > 0 {
			do += " Not entered yet: " + strings.Join(x.Missing, ", ") + "."
		}
		s.add(Test{ID: id("p setting", x.Lead.ID), Group: Power, Phase: settings, Name: "Pin " + x.Cavity + " is set", Do: do, A: Point(x.Lead.Terminal), Place: s.placeOf(Point(x.Lead.Terminal)), Ask: Yes, Source: practice,
			Of: harness.Ref{Kind: harness.KindLead, ID: x.Lead.ID}, what: x.Cavity + " " + x.Text})
	}
	s.sanity()
	s.outputs()
	s.running()
}

// live is where voltage is, while fuses and relays go in one after the other.
type live struct {
	s   *Sheet
	hot []bool // nets
}

// feeds returns the net that feeds a part, and whether it is hot.
func (v *live) in(p harness.Part) bool {
	b := v.s.b
	if up, ok := b.Parts.Get(p.Feed); ok {
		if up.Kind == harness.Battery {
			return true
		}
		for _, t := range v.s.net.PartEnds(up.ID) {
			if n := v.s.netOf(Point(t.ID)); n >= 0 && v.hot[n] {
				return true
			}
		}
		return false
	}
	for _, t := range v.s.net.PartEnds(p.ID) {
		if t.Name == "30" || t.Name == "in" {
			if n := v.s.netOf(Point(t.ID)); n >= 0 && v.hot[n] {
				return true
			}
		}
	}
	return false
}

// put makes the outputs of a part hot and returns the nets that were not before.
func (v *live) put(p harness.Part) (fresh []int) {
	for _, t := range v.s.net.PartEnds(p.ID) {
		if t.Name == "in" || t.Name == "30" || t.Name == "85" || t.Name == "86" || t.Name == "87a" {
			continue
		}
		if n := v.s.netOf(Point(t.ID)); n >= 0 && !v.hot[n] {
			v.hot[n] = true
			fresh = append(fresh, n)
		}
	}
	return fresh
}

// fuses puts the fuses in one at a time, those nearest to the battery first. Where no more are fed, the next relay is bridged.
func (s *Sheet) fuses() {
	v := &live{s: s, hot: make([]bool, len(s.web.nets))}
	for i := range s.web.nodes {
		t := s.web.nodes[i].terminal
		part, is := s.b.Parts.Get(t.Part)
		if s.placeKind(s.web.nodes[i].place) == harness.Supply && t.ID != "" && !s.web.grounded(t) && (!is || part.Kind == harness.Battery) {
			v.hot[s.web.nodes[i].net] = true
		}
	}
	var rest []harness.Part
	for _, p := range s.b.Parts.All() {
		switch p.Kind {
		case harness.Fuse, harness.BreakerPart, harness.Relay:
			rest = append(rest, p)
		}
	}
	for len(rest) > 0 {
		next := -1
		for _, relay := range [2]bool{false, true} {
			for i, p := range rest {
				if next < 0 && (p.Kind == harness.Relay) == relay && v.in(p) {
					next = i
				}
			}
		}
		if next < 0 {
			break
		}
		p := rest[next]
		rest = slices.Delete(rest, next, next+1)
		s.insert(p, v.put(p))
	}
	for _, p := range rest {
		if p.Kind == harness.Relay {
			continue
		}
		s.yes(Power, fuses, "p dead "+p.ID, p.Name+" is fed by nothing", "The build does not say what feeds "+s.partName(p)+". Look at it in the car before it goes in.", "", "this build's panel")
	}
}

func (s *Sheet) partName(p harness.Part) string {
	name := strings.TrimSpace(p.Name + " " + p.Label)
	if p.Kind == harness.Fuse && p.Rating != nil && !strings.Contains(name, " A") {
		name += ", " + unit.Shown(*p.Rating) + " A"
	}
	return name
}

// volts is the supply.
func (s *Sheet) volts() float64 {
	if s.b.Settings.Volts > 0 {
		return s.b.Settings.Volts
	}
	return 12
}

// lost is how much less than the supply a pin may show with nothing drawn. Source: our choice.
const lost = 0.5

// insert is one fuse that goes in, or one relay that is bridged: what must then show supply, and that nothing else does.
func (s *Sheet) insert(p harness.Part, fresh []int) {
	do := "Put in " + s.partName(p) + ", and no other. The supply still shows less than 0.05 A."
	if p.Kind == harness.Relay {
		do = "Bridge 30 to 87 of " + s.partName(p) + " with a fused lead. Its relay stays out."
	}
	if len(fresh) == 0 {
		do += " Nothing that the build knows of hangs on it."
	}
	s.add(Test{ID: id("p in", p.ID), Group: Power, Phase: fuses, Name: "Next: " + s.partName(p), Do: do, Place: p.Place, Of: harness.Ref{Kind: harness.KindPart, ID: p.ID}, Ask: Yes, Source: "this build's panel", Care: noLamp})
	for _, n := range fresh {
		for _, at := range s.web.nets[n].nodes {
			x := &s.web.nodes[at]
			_, led := s.net.Lead(x.terminal.ID)
			kind := s.placeKind(x.place)
			if x.terminal.ID == "" || !led && kind != harness.Device && kind != harness.Inline {
				continue
			}
			s.add(Test{ID: id("p shows", p.ID, string(x.point)), Group: Power, Phase: fuses, Name: "Shows supply", A: x.point, B: GroundRail, Place: x.place, Of: harness.Ref{Kind: harness.KindTerminal, ID: string(x.point)}, Ask: Number, Unit: "V",
				Low: number(s.volts() - lost), High: number(s.volts() + 3), Care: noLamp, Source: "the supply less half a volt: our choice"})
		}
	}
	if len(fresh) > 0 {
		s.yes(Power, fuses, "p silent "+p.ID, "Nothing anywhere else", "With "+s.partName(p)+" in, go over the other pins of the controller's plugs: none shows more than 0.1 V that did not before. No ground, no 5 V, no signal.", noLamp, "this build's panel")
	}
}

// crankVolts is what a key feed must hold while the starter turns. Source: our choice; ISO 16750-2 lets a supply sag to 6 to 8 V at first (from memory).
const crankVolts = 8

func (s *Sheet) keyFeeds() {
	leads := s.b.Leads.All()
	for i := range leads {
		l := &leads[i]
		if t, ok := s.b.Terminals.Get(l.Terminal); ok && l.Signal == harness.PowerGround && l.There() && l.Decision == harness.Use {
			s.add(Test{ID: id("p ground", l.ID), Group: Power, Phase: key, Name: "Ground " + circuit.Cavity(t), A: Point(t.ID), B: GroundRail, Place: t.Place, Of: harness.Ref{Kind: harness.KindLead, ID: l.ID}, Ask: Number, Unit: "V", High: number(groundDrop),
				Do: "Black on the supply's negative itself.", Care: noLamp, Source: "ground under 0.1 V: car makers' manuals as builders quote them"})
		}
	}
	taps := s.b.Taps.All()
	for i := range taps {
		t := &taps[i]
		n := s.netOf(Point(t.Terminal))
		if n < 0 || t.Holds != harness.Yes && t.Crank != harness.Live {
			continue
		}
		x := &s.web.nodes[s.web.access(&s.web.nets[n])]
		s.add(Test{ID: id("p holds", t.ID), Group: Power, Phase: key, Name: "Holds while cranking", A: x.point, B: GroundRail, Place: x.place, Of: harness.Ref{Kind: harness.KindTap, ID: t.ID}, Ask: Number, Unit: "V", Low: number(crankVolts),
			Do:   "Battery on, bench supply off. Turn the starter for two seconds, coils and injectors unplugged, and read this pin meanwhile. Many feeds of a car drop out just then.",
			Care: noLamp, Source: "at least 8 V: our choice; ISO 16750-2 lets a supply sag to 6 to 8 V at first (from memory)"})
	}
}

func (s *Sheet) controllerIn() {
	s.yes(Power, controller, "p plug", "Controller in", "Key off, supply off. Plug the controller in, then the supply on. Coils, injectors and loads stay unplugged.", "", practice)
	s.add(Test{ID: id("p current"), Group: Power, Phase: controller, Name: "It draws", Ask: Number, Unit: "A", Low: number(0.02), High: number(1), Do: "Key on: read the amperes on the supply. A controller alone draws 0.1 to 1 A; more is a short or a load.", Source: "0.1 to 1 A: " + practice})
	for i := range s.web.nets {
		n := &s.web.nets[i]
		if n.rail != FiveRail {
			continue
		}
		for _, at := range n.nodes {
			x := &s.web.nodes[at]
			if _, led := s.net.Lead(x.terminal.ID); led || x.terminal.ID == "" {
				continue
			}
			s.add(Test{ID: id("p five", string(x.point)), Group: Power, Phase: controller, Name: "5 V reference", A: x.point, B: GroundRail, Place: x.place, Of: harness.Ref{Kind: harness.KindTerminal, ID: string(x.point)}, Ask: Number, Unit: "V", Low: number(4.9), High: number(5.1),
				Care: noLamp, Source: "5.00 ± 0.1 V: " + practice})
		}
	}
	s.yes(Power, settings, "p calibration", "Base calibration is loaded", "Load the base calibration. Then every pin is ticked against the settings sheet, one by one.", "Coils, injectors and loads stay unplugged until that is done.", practice)
}

// sanity is what sensors show with the key on, engine cold.
func (s *Sheet) sanity() {
	places := s.b.Places.All()
	temperatures := []string{}
	for i := range places {
		p := &places[i]
		switch p.Device {
		case "thermistor":
			temperatures = append(temperatures, p.Name)
		case "pressure sensor":
			s.yes(Power, sensors, "p pressure "+p.ID, p.Name+" shows the air", "Engine off: manifold pressure shows the barometer, about 100 kPa at sea level, 12 kPa less for each 1000 m.", "", practice)
		case "position sensor":
			s.yes(Power, sensors, "p sweep "+p.ID, p.Name+" sweeps", "Move it slowly to its end and back: from 0.5 to 4.5 V, both ways, without a jump.", "", practice)
		}
		s.entered(p, "V", Power, sensors)
	}
	if len(temperatures) > 0 {
		s.yes(Power, sensors, "p cold", "All are as cold", strings.Join(temperatures, ", ")+": on a cold engine all show the same as the air, within 3 °C.", "", practice)
	}
}

// outputs tries each output by itself.
func (s *Sheet) outputs() {
	s.yes(Power, outputs, "p fuel off", "Fuel disabled", "Pull the fuel pump's fuse or relay. It stays out until every output is proven.", "", practice)
	s.yes(Power, outputs, "p simulator", "Trigger simulator", "If there is one: let it play crank and cam, and see spark and injection on every cylinder before the engine turns. If there is none, this does not apply.", "Plug of each coil earthed, no fuel vapour about.", practice)
	for _, group := range []struct {
		signal harness.Signal
		do     string
		care   string
	}{
		{harness.IgnitionOut, "Plug in this coil alone, its spark plug earthed, and fire it from the controller's test page.", "No fuel vapour. Hands off: the secondary kills."},
		{harness.InjectorOut, "Plug in this injector alone and let it click from the test page.", "Fuel off: an injector that hangs floods its cylinder."},
		{harness.SwitchedOut, "Plug in what hangs on it and switch it from the test page, alone.", "Fans start without a warning: hands clear."},
		{harness.SwitchedPower, "Plug in what hangs on it and switch it from the test page, alone.", ""},
	} {
		for _, p := range s.net.Pins() {
			if p.Lead.Signal == group.signal && p.Lead.Decision == harness.Use {
				s.add(Test{ID: id("p out", p.Lead.ID), Group: Power, Phase: outputs, Name: p.Cavity + " " + p.Lead.Does(), Do: group.do, Care: group.care, A: Point(p.Terminal.ID), Place: p.Terminal.Place, Ask: Yes, Source: practice,
					Of: harness.Ref{Kind: harness.KindLead, ID: p.Lead.ID}})
			}
		}
	}
}

// running is from the first cranking to the hot check.
func (s *Sheet) running() {
	s.yes(Power, cranking, "p crank dry", "Crank without fuel", "Fuel still disabled: crank until there is oil pressure. The controller shows a steady speed of about 200 a minute, without a lost trigger.", "Not longer than ten seconds in one go.", practice)
	s.yes(Power, cranking, "p timing", "Timing light", "Cranking still dry: the light shows what the controller commands. Put the offset right if it does not.", "", practice)
	s.yes(Power, cranking, "p pressure", "Fuel pressure, no leaks", "Fuel on: let the pump run, read the pressure, wipe every joint of the fuel line dry and look again after a minute.", "Any drip: off at once.", practice)
	s.yes(Power, start, "p watch", "First start", "Watch at once: oil pressure in five seconds, leaks, smells, smoke. Then coolant, the fan at its temperature, the mixture. Anything odd: off.", "", practice)
	s.add(Test{ID: id("p charging"), Group: Power, Phase: start, Name: "Charging", Ask: Number, Unit: "V", Low: number(13.5), High: number(14.5), Do: "Engine running above idle: read the volts across the battery.", Source: "13.5 to 14.5 V: " + practice})
	s.add(Test{ID: id("p hot ground"), Group: Power, Phase: hot, Name: "Ground drop, hot", Ask: Number, Unit: "V", High: number(groundDrop), Do: "Hot, fan and lamps on: from the engine's block to the battery's negative.", Source: "ground 0.1 V: car makers' manuals as builders quote them"})
	s.add(Test{ID: id("p hot feed"), Group: Power, Phase: hot, Name: "Feed drop, hot", Ask: Number, Unit: "V", High: number(0.5), Do: "Hot, fan and lamps on: from the battery's positive to a supply pin of the controller, from behind its plug.", Care: noLamp, Source: "over 0.5 V in all is a fault: car makers' manuals as builders quote them"})
	s.yes(Power, hot, "p look", "Look it over, hot", "Feel every fuse, relay and plug of the panel: none is too hot to hold. Look along the loom: nothing touches the exhaust, nothing rubs.", "", practice)
}

func (s *Sheet) placeOf(p Point) string {
	if k, ok := s.web.at[p]; ok {
		return s.web.nodes[k].place
	}
	return ""
}
