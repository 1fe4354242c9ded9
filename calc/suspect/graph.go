package suspect

import (
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// Kind is what a piece is.
type Kind int

// The kinds of piece.
const (
	Wire Kind = iota
	Pin       // a contact, a screw or a lug: where a wire meets a terminal
	Splice
	Plug        // of a device, of the controller, or between two looms
	Fuse        // or a breaker
	Relay       // its coil or its contact
	Other       // another part of a panel
	Ground      // where it is bolted on
	PassThrough // everything that passes
	Device
	Output // of the controller, or its input
	Supply
)

// piece is what can fail.
type piece struct {
	kind  Kind
	ref   harness.Ref
	place string
	name  string
	hot   bool // where it lies, or what it passes
	moves bool
	wet   bool
	at    []string // the places it is at or passes
	runs  []string
}

// edge joins two points as long as its pieces are whole.
type edge struct {
	a, b   int32
	piece  int32
	relay  int32 // closed while that relay is on; -1 always
	load   bool  // through a load: it passes voltage, not a signal
	parent int32 // a second piece that has to be whole; -1 for none
}

type relay struct {
	piece  int32
	coil   [2]int32 // points of 85 and 86
	leads  [2]bool  // a lead of the controller is in its net as planned
	within bool     // its coil has wires
}

// need is what one terminal of a device must reach.
type need struct {
	at     int32
	signal harness.Signal
	givers []int32 // of which one is enough
	lead   bool    // those are the controller's: it must be alive
	net    int32
}

type device struct {
	place string
	piece int32
	needs []need
}

// Ways returns the places and runs that a wire passes; none where there is no way.
type Ways func(harness.Wire) (places, runs []string)

// Model is the wiring of a build as what can fail. It is of the state it was made from.
type Model struct {
	b        *harness.Build
	net      *circuit.Net
	pieces   []piece
	edges    []edge
	points   int32
	contact  map[string]int32 // of a terminal: where its wires' pin ends
	inner    map[string]int32 // of a terminal: behind the plug
	center   map[string]int32 // of a joint, a ground or a bar
	pin      map[string]int32 // pieces
	plug     map[string]int32
	through  map[int32][]int32 // by the piece of a pass-through: the pieces of wires
	relays   []relay
	devices  []device
	plus     []int32 // points
	minus    int32
	control  struct{ supplies, grounds []int32 }
	netOf    []int32 // of a point: what wires and splices join when all is whole
	nets     int32
	leads    [][]int32            // by net: behind the controller's pins
	cavities [][]harness.Terminal // by net: those pins
	fuses    map[int32]fuse
	seen     map[string]int // devices by place
	hopes    []hypothesis
	measures []Measure
}

type fuse struct {
	in  int32
	out []int32
}

func (m *Model) point() int32 { m.points++; return m.points - 1 }

func (m *Model) piece(p piece) int32 {
	m.pieces = append(m.pieces, p)
	return int32(len(m.pieces) - 1)
}

func (m *Model) link(a, b, piece int32) {
	m.edges = append(m.edges, edge{a: a, b: b, piece: piece, relay: -1, parent: -1})
}

// New makes the model of a build. Cost: linear in its records, and a way for each wire.
func New(b *harness.Build, ways Ways) *Model {
	m := &Model{b: b, net: circuit.NewNet(b), contact: map[string]int32{}, inner: map[string]int32{}, center: map[string]int32{}, pin: map[string]int32{}, plug: map[string]int32{},
		through: map[int32][]int32{}, fuses: map[int32]fuse{}, seen: map[string]int{}}
	m.terminals()
	m.wires(ways)
	m.group()
	m.parts()
	m.grounds()
	m.needs()
	m.hypotheses()
	m.measurements()
	return m
}

// terminals makes the contact of each terminal, what is behind its plug, and the plug itself.
func (m *Model) terminals() {
	all := m.b.Terminals.All()
	for i := range all {
		t := &all[i]
		if len(m.net.Wires(t.ID)) == 0 {
			continue
		}
		p, _ := m.b.Places.Get(t.Place)
		c := m.point()
		m.contact[t.ID], m.inner[t.ID] = c, c
		if p.Kind != harness.Device && p.Kind != harness.Controller {
			continue
		}
		key := t.Place + " " + t.Connector
		plug, ok := m.plug[key]
		if !ok {
			name := strings.TrimSpace(p.Name + " " + t.Connector)
			plug = m.piece(piece{kind: Plug, ref: harness.Ref{Kind: harness.KindPlace, ID: t.Place}, place: t.Place, at: []string{t.Place}, name: "plug of " + name})
			m.plug[key] = plug
		}
		m.inner[t.ID] = m.point()
		m.link(c, m.inner[t.ID], plug)
	}
	places := m.b.Places.All()
	for i := range places {
		if p := &places[i]; p.Kind == harness.Inline {
			m.plug[p.ID+" "] = m.piece(piece{kind: Plug, ref: harness.Ref{Kind: harness.KindPlace, ID: p.ID}, place: p.ID, at: []string{p.ID}, name: p.Name})
		}
	}
}

// wires makes the wires, with their pins and splices.
func (m *Model) wires(ways Ways) {
	runs := map[string]harness.Run{}
	for _, r := range m.b.Runs.All() {
		runs[r.ID] = r
	}
	passes := map[string]int32{}
	all := m.b.Wires.All()
	for i := range all {
		w := &all[i]
		places, way := ways(*w)
		p := piece{kind: Wire, ref: harness.Ref{Kind: harness.KindWire, ID: w.ID}, at: places, runs: way, name: strings.TrimSpace(w.Name + " " + w.Function)}
		if len(places) > 0 {
			p.place = places[0]
		}
		for _, id := range way {
			r := runs[id]
			p.hot, p.moves, p.wet = p.hot || r.Hot, p.moves || r.Moves, p.wet || r.Wet
		}
		at := m.piece(p)
		m.link(m.wireEnd(w.From, places, true, p), m.wireEnd(w.To, places, false, p), at)
		if len(places) < 2 {
			continue
		}
		for _, id := range places[1 : len(places)-1] {
			place, _ := m.b.Places.Get(id)
			if place.Kind != harness.PassThrough {
				continue
			}
			pass, ok := passes[id]
			if !ok {
				pass = m.piece(piece{kind: PassThrough, ref: harness.Ref{Kind: harness.KindPlace, ID: id}, place: id, at: []string{id}, name: place.Name})
				passes[id] = pass
			}
			m.through[pass] = append(m.through[pass], at)
		}
	}
}

// wireEnd returns the point of a wire's end, joined to its terminal by a pin or to its splice.
func (m *Model) wireEnd(e harness.End, places []string, from bool, w piece) int32 {
	end := m.point()
	switch {
	case e.Joint != "":
		c, ok := m.center[e.Joint]
		if !ok {
			c = m.point()
			m.center[e.Joint] = c
			j, _ := m.b.Joints.Get(e.Joint)
			m.pin[e.Joint] = m.piece(piece{kind: Splice, ref: harness.Ref{Kind: harness.KindJoint, ID: e.Joint}, place: j.Place, at: []string{j.Place}, name: j.Name})
		}
		m.link(end, c, m.pin[e.Joint])
	case e.Terminal != "":
		c, ok := m.contact[e.Terminal]
		if !ok {
			return end
		}
		pin, ok := m.pin[e.Terminal]
		if !ok {
			t, _ := m.b.Terminals.Get(e.Terminal)
			p := piece{kind: Pin, ref: harness.Ref{Kind: harness.KindTerminal, ID: t.ID}, place: t.Place, at: []string{t.Place}, name: m.net.Name(t)}
			// A contact shares what the last stretch of its wire bears.
			if n := len(w.runs); n > 0 {
				r, _ := m.b.Runs.Get(w.runs[n-1])
				if from {
					r, _ = m.b.Runs.Get(w.runs[0])
				}
				p.hot, p.moves, p.wet = r.Hot, r.Moves, r.Wet
			}
			pin = m.piece(p)
			m.pin[e.Terminal] = pin
		}
		m.link(end, c, pin)
		if t, _ := m.b.Terminals.Get(e.Terminal); m.kindOf(t.Place) == harness.Inline {
			m.edges[len(m.edges)-1].parent = m.plug[t.Place+" "]
		}
	}
	return end
}

func (m *Model) kindOf(place string) harness.PlaceKind {
	p, _ := m.b.Places.Get(place)
	return p.Kind
}

// group finds what wires and splices join when all is whole.
func (m *Model) group() {
	u := newForest(m.points)
	for _, e := range m.edges {
		u.join(e.a, e.b)
	}
	m.netOf, m.nets = u.labels()
}
