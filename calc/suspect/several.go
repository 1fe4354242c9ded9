package suspect

import (
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// This file has what is measured in one go at one place: the contacts of a plug or socket, one after the other until one
// does not show what it should, and the fuses of a panel.

// show returns what contacts show, looked at first and then measured: 0 is all good.
func (m *Model) show(s *state, x *Measure) int {
	for i, p := range x.seats {
		if s.open[p] {
			return i + 1
		}
	}
	at := len(x.seats) + 1
	for _, p := range x.pins {
		if !m.good(s, p) {
			if p.shows == showsSignal && s.short[p.net] {
				return at + 1
			}
			return at
		}
		if at++; p.shows == showsSignal {
			at++
		}
	}
	return 0
}

// mostAnswers bounds the answers of a measurement.
const mostAnswers = 40

func (m *Model) good(s *state, p probe) bool {
	switch p.shows {
	case showsLive:
		return s.isLive(p.at)
	case showsGround:
		return s.isGround(p.at)
	}
	if p.net >= 0 && s.short[p.net] {
		return false
	}
	for _, in := range m.leads[p.net] {
		if s.label[in] == s.label[p.at] {
			return s.alive
		}
	}
	return p.joined >= 0 && s.label[p.joined] == s.label[p.at]
}

// probes says what contacts should show; those of which that is not known are left out.
func (m *Model) probes(whole *state, all []harness.Terminal, only func(harness.Terminal) bool) (pins []probe, names []string) {
	for _, t := range all {
		c := m.contact[t.ID]
		p := probe{at: c, joined: -1, net: m.netOf[c]}
		switch {
		case !only(t) || len(names) > mostAnswers-mostSeats-6:
			continue
		case whole.isLive(c):
			p.shows = showsLive
		case whole.isGround(c):
			p.shows = showsGround
		case len(m.leads[p.net]) > 0 && m.good(whole, probe{at: c, joined: -1, net: p.net, shows: showsSignal}):
			p.shows = showsSignal
		default:
			continue
		}
		pins = append(pins, p)
		names = append(names, shouldShow(t, p)...)
	}
	return pins, names
}

func shouldShow(t harness.Terminal, p probe) []string {
	name := circuit.Cavity(t)
	switch p.shows {
	case showsLive:
		return []string{name + ": no battery voltage"}
	case showsGround:
		return []string{name + ": no ground"}
	}
	return []string{name + ": open", name + ": short to ground"}
}

// cavitiesOf lists measuring each cavity of a device's plug, or those of the controller that supply it.
func (m *Model) cavitiesOf(whole *state, all []harness.Terminal) {
	part, isPart := m.b.Parts.Get(all[0].Part)
	p, _ := m.b.Places.Get(all[0].Place)
	x := Measure{Check: Cavity, A: all[0].ID, Place: p.ID, Minutes: atPlug, Answers: []string{"all good"}}
	only := func(harness.Terminal) bool { return true }
	switch {
	case part.Kind == harness.Relay:
		x.Check, x.A = Socket, part.ID
		x.Do = "Pull relay " + strings.TrimSpace(part.Name+" "+part.Label) + ", key on. Look at the contacts of its socket, then measure each against what it should show. What is the first that is wrong?"
	case isPart:
		return
	case p.Kind == harness.Device:
		x.Do = "Unplug " + p.Name + ", key on. Look at the contacts of its plug and tug each, then measure one cavity after the other. What is the first that is wrong?"
	case p.Kind == harness.Controller:
		only = func(t harness.Terminal) bool { return whole.isLive(m.contact[t.ID]) || whole.isGround(m.contact[t.ID]) }
		x.Do = "Unplug " + strings.TrimSpace(p.Name+" "+all[0].Connector) + ". In the plug measure the supplies and grounds. What is the first that is wrong?"
	default:
		return
	}
	if p.Kind == harness.Device || isPart {
		m.seatsOf(&x, all)
	}
	var names []string
	x.pins, names = m.probes(whole, all, only)
	if len(x.pins) == 0 {
		return
	}
	x.Answers = append(x.Answers, names...)
	m.add(x)
}

// atPanels lists probing the fuses of each panel.
func (m *Model) atPanels() {
	whole := m.run()
	places := m.b.Places.All()
	for i := range places {
		p := &places[i]
		x := Measure{Check: Fuses, A: p.ID, Place: p.ID, Minutes: atFuse, Answers: []string{"all live", "none live"},
			Do: "Key on. At " + p.Name + " touch both sides of each fuse with the meter's tip, against bare metal. Which is not live?"}
		parts := m.b.Parts.All()
		for k := range parts {
			f := &parts[k]
			ends := m.net.PartEnds(f.ID)
			if f.Place != p.ID || f.Kind != harness.Fuse || len(x.pins) == mostAnswers-6 {
				continue
			}
			for _, t := range ends {
				if c, wired := m.contact[t.ID]; wired && !takes(t) && whole.isLive(c) {
					x.pins = append(x.pins, probe{at: c, net: m.netOf[c]})
					x.Answers = append(x.Answers, "only "+f.Name)
					break
				}
			}
		}
		if len(x.pins) > 1 {
			x.Answers = append(x.Answers, "several")
			m.add(x)
		}
	}
}

func (m *Model) fusesShow(s *state, x *Measure) int {
	dead, which := 0, 0
	for i, p := range x.pins {
		if !s.isLive(p.at) {
			dead++
			which = i
		}
	}
	switch dead {
	case 0:
		return 0
	case len(x.pins):
		return 1
	case 1:
		return 2 + which
	}
	return len(x.Answers) - 1
}
