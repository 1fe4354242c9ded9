package suspect

import (
	"slices"
	"strings"

	"loomwright/calc/harness"
)

// How often what fails, against each other. Source: our choice, after common practice: contacts and splices before parts,
// parts before wire inside a loom, and an output last.
func prior(p *piece) float64 {
	f := 0.0
	switch p.kind {
	case Pin:
		f = 3
	case Plug, Fuse, Relay, Device, Splice, Ground:
		f = 2.5
	case Wire:
		f = 1.5
	case Supply:
		f = 1
	case Output, Other:
		f = 0.7
	case PassThrough:
		f = 0.5
	}
	if p.kind == Wire || p.kind == Pin {
		if p.hot {
			f *= 1.3
		}
		if p.moves {
			f *= 1.5
		}
		if p.wet {
			f *= 1.2
		}
	}
	return f
}

// shortPrior is how often a net rubs through, for each of its wires. Source: our choice.
const shortPrior = 0.5

// hypotheses lists the faults that kill something, after taking out what nothing answers as it is planned.
func (m *Model) hypotheses() {
	for range 4 {
		s := m.run()
		if !s.alive {
			if !slices.ContainsFunc(m.control.supplies, s.isLive) {
				m.control.supplies = nil
			}
			if !slices.ContainsFunc(m.control.grounds, s.isGround) {
				m.control.grounds = nil
			}
		}
		lost := false
		for i := range m.relays {
			if !s.on[i] && m.relays[i].within {
				m.relays[i].within, lost = false, true // what switches it is not planned: it counts as on
			}
		}
		if lost || !s.alive {
			continue
		}
		for i := range m.devices {
			m.devices[i].needs = slices.DeleteFunc(m.devices[i].needs, func(n need) bool { return !m.met(s, &n) })
		}
		break
	}
	whole := m.run()
	add := func(h hypothesis) {
		if h.dead = m.run(h).dead; slices.Contains(h.dead, true) {
			m.hopes = append(m.hopes, h)
		}
	}
	for i := range m.pieces {
		p := &m.pieces[i]
		add(hypothesis{piece: int32(i), short: -1, prior: prior(p), name: openName(p)})
	}
	wires := make([][]int32, m.nets)
	grounded := make([]bool, m.nets)
	for i := range m.edges {
		if e := &m.edges[i]; m.pieces[e.piece].kind == Wire {
			wires[m.netOf[e.a]] = append(wires[m.netOf[e.a]], e.piece)
		}
	}
	for p, net := range m.netOf {
		grounded[max(net, 0)] = grounded[max(net, 0)] || net >= 0 && whole.isGround(int32(p))
	}
	for _, d := range m.devices {
		for _, n := range d.needs {
			grounded[n.net] = grounded[n.net] || n.signal == harness.SensorGround || n.signal == harness.PowerGround
		}
	}
	for net := range m.nets {
		if len(wires[net]) == 0 || grounded[net] {
			continue
		}
		h := hypothesis{piece: -1, short: net}
		var names []string
		for _, w := range wires[net] {
			h.prior += shortPrior * prior(&m.pieces[w]) / 1.5
			names = append(names, m.pieces[w].name)
		}
		h.name = "short to ground: " + strings.Join(names, ", ")
		add(h)
	}
}

func openName(p *piece) string {
	switch p.kind {
	case Wire:
		return "wire " + p.name + " is open"
	case Pin:
		return "contact " + p.name
	case Splice:
		return "splice " + p.name + " is open"
	case Plug:
		return p.name + " is off, wet or corroded"
	case Fuse:
		return "fuse " + p.name + " is open"
	case Relay:
		return "relay " + p.name
	case Ground:
		return "ground point " + p.name
	case PassThrough:
		return "the loom is crushed at " + p.name
	case Device:
		return p.name + " itself"
	case Output:
		return p.name + ": inside the controller"
	}
	return p.name
}

// wiresOf returns the wires of a candidate that is a short.
func (m *Model) wiresOf(net int32) (refs []harness.Ref, places []string) {
	for i := range m.edges {
		if e := &m.edges[i]; m.pieces[e.piece].kind == Wire && m.netOf[e.a] == net {
			refs = append(refs, m.pieces[e.piece].ref)
			places = append(places, m.pieces[e.piece].at...)
		}
	}
	return refs, places
}
