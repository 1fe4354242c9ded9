package suspect

import (
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// takes and gives tell the side of a part that is fed from the one that feeds.
func takes(t harness.Terminal) bool { return t.Name == "30" || t.Name == "in" }

func minus(t harness.Terminal) bool {
	return strings.HasPrefix(t.Name, "-") || strings.HasPrefix(t.Name, "−")
}

// parts joins the terminals of fuses, relays, bars and the like inside.
func (m *Model) parts() {
	all := m.b.Parts.All()
	for i := range all { // bars and batteries first: others hang on them
		p := &all[i]
		if p.Kind == harness.FeedBar || p.Kind == harness.Battery {
			m.center[p.ID] = m.point()
		}
	}
	m.minus = m.point()
	for i := range all {
		p := &all[i]
		kind := Other
		switch p.Kind {
		case harness.Fuse, harness.BreakerPart:
			kind = Fuse
		case harness.Relay:
			kind = Relay
		case harness.Battery:
			kind = Supply
		case harness.StripWay, harness.Stud, harness.Lamp:
			continue // its screw is its pin
		}
		name := strings.TrimSpace(p.Name + " " + p.Label)
		if p.Name == "" {
			name = string(p.Kind)
		}
		of := m.piece(piece{kind: kind, ref: harness.Ref{Kind: harness.KindPart, ID: p.ID}, place: p.Place, at: []string{p.Place}, name: name})
		ends := m.net.PartEnds(p.ID)
		switch kind {
		case Relay:
			m.relay(of, ends)
			continue
		case Supply:
			m.plus = append(m.plus, m.center[p.ID])
			for _, t := range ends {
				if c, wired := m.contact[t.ID]; wired && minus(t) {
					m.link(c, m.minus, of)
				} else if wired {
					m.link(c, m.center[p.ID], of)
				}
			}
			continue
		}
		in, hub := int32(-1), int32(-1)
		if up, ok := m.center[p.Feed]; ok {
			in = up
		}
		var out []int32
		for _, t := range ends {
			c, wired := m.contact[t.ID]
			switch {
			case !wired:
			case takes(t) && in < 0:
				in = c
			case !takes(t):
				out = append(out, c)
			}
		}
		if c, bar := m.center[p.ID]; bar {
			hub = c
			out = append(out, hub)
		}
		if in < 0 {
			continue
		}
		for _, c := range out {
			m.link(in, c, of)
		}
		if kind == Fuse {
			m.fuses[of] = fuse{in, out}
		}
	}
	// The terminals of supplies that are no parts.
	terminals := m.b.Terminals.All()
	for i := range terminals {
		t := &terminals[i]
		c, wired := m.contact[t.ID]
		if !wired || t.Part != "" {
			continue
		}
		switch m.kindOf(t.Place) {
		case harness.Supply:
			if minus(*t) || t.Signal == harness.PowerGround {
				m.link(c, m.minus, m.pin[t.ID])
			} else {
				m.plus = append(m.plus, c)
			}
		case harness.CarWire:
			m.plus = append(m.plus, c)
		}
	}
}

// relay joins 30 to 87 while its coil has current; 87a rests.
func (m *Model) relay(of int32, ends []harness.Terminal) {
	r := relay{piece: of, coil: [2]int32{-1, -1}}
	in, out := int32(-1), int32(-1)
	for _, t := range ends {
		c, wired := m.contact[t.ID]
		if !wired {
			continue
		}
		switch t.Name {
		case "30":
			in = c
		case "87":
			out = c
		case "85", "86":
			r.coil[t.Name[1]-'5'] = c
		}
	}
	n := int32(len(m.relays))
	m.relays = append(m.relays, r)
	if in >= 0 && out >= 0 {
		m.edges = append(m.edges, edge{a: in, b: out, piece: of, relay: n, parent: -1})
	}
	if r.coil[0] >= 0 && r.coil[1] >= 0 {
		m.edges = append(m.edges, edge{a: r.coil[0], b: r.coil[1], piece: of, relay: -1, load: true, parent: -1})
	}
}

// grounds joins what is bolted to the body with the minus of the battery. A ground that a strap of ours leads to from
// another ground is not on the body: an engine stands on rubber.
func (m *Model) grounds() {
	body := m.point()
	far := map[string]int{} // straps from the battery, from 1
	next := []string{}
	steps := map[string][]string{}
	anchored := false
	wires := m.b.Wires.All()
	for i := range wires {
		a, _ := m.b.EndPlace(wires[i].From)
		z, _ := m.b.EndPlace(wires[i].To)
		for _, x := range [2][2]string{{a, z}, {z, a}} {
			if m.kindOf(x[1]) != harness.Ground {
				continue
			}
			if m.kindOf(x[0]) == harness.Ground {
				steps[x[0]] = append(steps[x[0]], x[1])
			} else if m.kindOf(x[0]) == harness.Supply && far[x[1]] == 0 {
				far[x[1]] = 1
				next = append(next, x[1])
				anchored = true
			}
		}
	}
	for ; len(next) > 0; next = next[1:] {
		for _, to := range steps[next[0]] {
			if far[to] == 0 {
				far[to] = far[next[0]] + 1
				next = append(next, to)
			}
		}
	}
	places := m.b.Places.All()
	for i := range places {
		p := &places[i]
		if p.Kind != harness.Ground {
			continue
		}
		of := m.piece(piece{kind: Ground, ref: harness.Ref{Kind: harness.KindPlace, ID: p.ID}, place: p.ID, at: []string{p.ID}, name: p.Name})
		bolt := m.point()
		m.center[p.ID] = bolt
		terminals := m.b.Terminals.All()
		for k := range terminals {
			if c, wired := m.contact[terminals[k].ID]; wired && terminals[k].Place == p.ID {
				m.link(c, bolt, of)
			}
		}
		if far[p.ID] < 2 {
			m.link(bolt, body, of)
		}
	}
	if !anchored {
		m.minus = body
	}
}

// needs says what each device needs to work, and the controller.
func (m *Model) needs() {
	for len(m.netOf) < int(m.points) {
		m.netOf = append(m.netOf, -1)
	}
	givers := make([]struct{ leads, taps, parts, others []int32 }, m.nets)
	m.leads, m.cavities = make([][]int32, m.nets), make([][]harness.Terminal, m.nets)
	places := m.b.Places.All()
	by := map[string][]harness.Terminal{}
	terminals := m.b.Terminals.All()
	for i := range terminals {
		t := terminals[i]
		c, wired := m.contact[t.ID]
		if !wired {
			continue
		}
		by[t.Place] = append(by[t.Place], t)
		g := &givers[m.netOf[c]]
		lead, led := m.net.Lead(t.ID)
		switch {
		case led:
			in := m.point()
			of := m.piece(piece{kind: Output, ref: harness.Ref{Kind: harness.KindTerminal, ID: t.ID}, place: t.Place, at: []string{t.Place}, name: m.net.Name(t)})
			m.link(m.inner[t.ID], in, of)
			m.netOf = append(m.netOf, m.netOf[c])
			switch lead.Signal {
			case harness.SupplyIn:
				m.control.supplies = append(m.control.supplies, in)
			case harness.PowerGround:
				m.control.grounds = append(m.control.grounds, in)
			}
			g.leads = append(g.leads, in)
			m.leads[m.netOf[c]] = append(m.leads[m.netOf[c]], in)
			m.cavities[m.netOf[c]] = append(m.cavities[m.netOf[c]], t)
		case m.kindOf(t.Place) == harness.CarWire:
			g.taps = append(g.taps, c)
		case t.Part != "" || m.kindOf(t.Place) == harness.Supply || m.kindOf(t.Place) == harness.Ground:
			g.parts = append(g.parts, c)
		case m.kindOf(t.Place) == harness.Device:
			g.others = append(g.others, m.inner[t.ID])
		}
	}
	for i := range m.relays {
		for k, c := range m.relays[i].coil {
			if c >= 0 {
				m.relays[i].leads[k] = len(givers[m.netOf[c]].leads) > 0
			}
		}
		m.relays[i].within = m.relays[i].coil[0] >= 0 && m.relays[i].coil[1] >= 0
	}
	for i := range places {
		p := &places[i]
		if p.Kind != harness.Device && p.Kind != harness.Controller || len(by[p.ID]) == 0 {
			continue
		}
		d := device{place: p.ID}
		d.piece = m.piece(piece{kind: Device, ref: harness.Ref{Kind: harness.KindPlace, ID: p.ID}, place: p.ID, at: []string{p.ID}, name: p.Name})
		if p.Kind == harness.Device {
			for _, t := range by[p.ID] {
				m.want(&d, t, func(net int32) (leads, taps, parts, others []int32) {
					g := givers[net]
					return g.leads, g.taps, g.parts, g.others
				})
			}
			m.load(d, by[p.ID])
		}
		m.seen[p.ID] = len(m.devices)
		m.devices = append(m.devices, d)
	}
}

// want adds what a terminal of a device must reach.
func (m *Model) want(d *device, t harness.Terminal, givers func(int32) (leads, taps, parts, others []int32)) {
	if !m.net.Needed(t) {
		return
	}
	net := m.netOf[m.contact[t.ID]]
	n := need{at: m.inner[t.ID], signal: m.signal(t), net: net}
	leads, taps, parts, others := givers(net)
	switch {
	case n.signal == harness.SupplyIn || n.signal == harness.PowerGround:
	case len(leads) > 0:
		n.givers, n.lead = leads, true
	case len(taps) > 0:
		n.givers = taps
	case len(parts) > 0:
		n.givers = parts
	default:
		for _, o := range others {
			if o != n.at {
				n.givers = append(n.givers, o)
			}
		}
	}
	d.needs = append(d.needs, n)
}

func (m *Model) signal(t harness.Terminal) harness.Signal {
	if t.Signal != harness.NoSignal {
		return t.Signal
	}
	if l, ok := m.net.Lead(t.ID); ok {
		return l.Signal
	}
	p, _ := m.b.Places.Get(t.Place)
	if k, ok := circuit.DeviceOf(p.Device); ok {
		if n, ok := k.Need(t.Name); ok {
			return n.Signal
		}
	}
	return harness.NoSignal
}

// load joins the terminals of a device through it: its supply passes on to what switches it, and a sensor is measured
// between its terminals.
func (m *Model) load(d device, all []harness.Terminal) {
	for i := range all {
		for k := i + 1; k < len(all); k++ {
			m.edges = append(m.edges, edge{a: m.inner[all[i].ID], b: m.inner[all[k].ID], piece: d.piece, relay: -1, load: true, parent: -1})
		}
	}
}
