package suspect

import (
	"slices"

	"loomwright/calc/harness"
)

// hypothesis is one fault: a piece that is open, or a net with a short to ground. The zero piece and net are numbers, so
// what is not meant is -1.
type hypothesis struct {
	piece int32
	short int32
	prior float64
	dead  []bool // devices, as planned to answer
	name  string
}

// state is what a fault leaves.
type state struct {
	open  []bool
	short map[int32]bool
	label []int32 // points that are joined with nothing between
	live  []bool  // by label
	gnd   int32   // the label of ground
	warm  []bool  // by point: battery voltage comes through a load
	on    []bool  // relays whose coil has current
	alive bool    // the controller
	dead  []bool  // devices
}

// run lets faults act until nothing changes any more. Relays are taken to be on first, so that a controller that switches
// its own supply on starts.
func (m *Model) run(faults ...hypothesis) *state {
	s := &state{open: make([]bool, len(m.pieces)), short: map[int32]bool{}, on: make([]bool, len(m.relays)), dead: make([]bool, len(m.devices)), alive: true}
	for _, h := range faults {
		if h.piece >= 0 {
			s.open[h.piece] = true
			for _, w := range m.through[h.piece] {
				s.open[w] = true
			}
		}
		if h.short >= 0 {
			s.short[h.short] = true
			m.blow(s, h.short)
		}
	}
	for i := range s.on {
		s.on[i] = true
	}
	for {
		m.spread(s)
		changed := false
		alive := s.alive && (len(m.control.supplies) == 0 || slices.ContainsFunc(m.control.supplies, s.isLive)) &&
			(len(m.control.grounds) == 0 || slices.ContainsFunc(m.control.grounds, s.isGround))
		for i := range m.devices {
			if d := &m.devices[i]; s.open[d.piece] && m.kindOf(d.place) == harness.Controller {
				alive = false
			}
		}
		changed = alive != s.alive
		s.alive = alive
		for i := range m.relays {
			if s.on[i] && !m.coil(s, &m.relays[i]) {
				s.on[i] = false
				changed = true
			}
		}
		if !changed {
			break
		}
	}
	m.through12(s)
	for i := range m.devices {
		s.dead[i] = m.isDead(s, &m.devices[i])
	}
	return s
}

func (s *state) isLive(p int32) bool   { return s.live[s.label[p]] }
func (s *state) isGround(p int32) bool { return s.label[p] == s.gnd }

func (m *Model) closed(s *state, e *edge) bool {
	return !s.open[e.piece] && (e.parent < 0 || !s.open[e.parent]) && (e.relay < 0 || s.on[e.relay])
}

// spread finds what is joined, and what of it has battery voltage.
func (m *Model) spread(s *state) {
	f := newForest(m.points)
	for i := range m.edges {
		if e := &m.edges[i]; !e.load && m.closed(s, e) {
			f.join(e.a, e.b)
		}
	}
	var n int32
	s.label, n = f.labels()
	s.live = make([]bool, n)
	s.gnd = s.label[m.minus]
	for _, p := range m.plus {
		s.live[s.label[p]] = true
	}
	for p, net := range m.netOf {
		if net >= 0 && s.short[net] {
			s.live[s.label[p]] = false
		}
	}
	s.live[s.gnd] = false
}

// coil tells whether a relay's coil has current: battery voltage on one side, and ground or a controller that works on
// the other.
func (m *Model) coil(s *state, r *relay) bool {
	if s.open[r.piece] {
		return false
	}
	if !r.within {
		return true
	}
	for k := range 2 {
		plus, low := r.coil[k], r.coil[1-k]
		if s.isLive(plus) && (s.isGround(low) || s.short[m.netOf[low]] || r.leads[1-k] && s.alive && m.driven(s, low)) {
			return true
		}
	}
	return false
}

// driven tells whether a point is joined to a pin of the controller.
func (m *Model) driven(s *state, p int32) bool {
	for _, c := range m.leads[m.netOf[p]] {
		if s.label[c] == s.label[p] {
			return true
		}
	}
	return false
}

// blow opens the fuses before a net that is short to ground.
func (m *Model) blow(s *state, net int32) {
	in := make([]bool, m.points)
	add := func(net int32) {
		for p, of := range m.netOf {
			in[p] = in[p] || of == net
		}
	}
	add(net)
	for again := true; again; {
		again = false
		for i := range m.edges {
			e := &m.edges[i]
			if e.load || !in[e.b] || in[e.a] || m.netOf[e.b] == m.netOf[e.a] && m.netOf[e.a] >= 0 {
				continue
			}
			switch m.pieces[e.piece].kind {
			case Fuse:
				s.open[e.piece] = true
				continue
			case Relay, Other:
				in[e.a], again = true, true
				if of := m.netOf[e.a]; of >= 0 {
					add(of)
				}
			}
		}
	}
}

// through12 finds the points that show battery voltage through a load and nothing else.
func (m *Model) through12(s *state) {
	s.warm = make([]bool, m.points)
	hot := make([]bool, len(s.live))
	copy(hot, s.live)
	for again := true; again; {
		again = false
		for i := range m.edges {
			e := &m.edges[i]
			if !e.load || s.open[e.piece] {
				continue
			}
			a, b := s.label[e.a], s.label[e.b]
			if hot[a] == hot[b] || a == s.gnd || b == s.gnd {
				continue
			}
			cold := e.b
			if hot[b] {
				cold = e.a
			}
			if net := m.netOf[cold]; net >= 0 && s.short[net] {
				continue
			}
			hot[s.label[cold]], again = true, true
		}
	}
	for p := range s.warm {
		s.warm[p] = hot[s.label[p]]
	}
}

func (m *Model) isDead(s *state, d *device) bool {
	if s.open[d.piece] || m.kindOf(d.place) == harness.Controller && !s.alive {
		return true
	}
	for i := range d.needs {
		if !m.met(s, &d.needs[i]) {
			return true
		}
	}
	return false
}

func (m *Model) met(s *state, n *need) bool {
	switch n.signal {
	case harness.SupplyIn:
		return s.isLive(n.at)
	case harness.PowerGround:
		return s.isGround(n.at)
	}
	if s.short[n.net] && n.signal != harness.SensorGround || n.lead && !s.alive {
		return false
	}
	for _, g := range n.givers {
		if s.label[g] == s.label[n.at] {
			return true
		}
	}
	return len(n.givers) == 0
}
