package suspect

import (
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// Check is how a measurement is taken.
type Check string

// The ways to measure. The access goes from easy to hard; covers are never opened for one.
const (
	Volts   Check = "volts"   // at terminal A against bare body metal, key on, everything plugged in
	Blown   Check = "fuse"    // fuse A pulled and looked at, or measured through
	Click   Check = "click"   // relay A when it is switched
	Swap    Check = "swap"    // relay A against one alike
	Across  Check = "across"  // key on, plug off: volts between its cavities A and B
	Earth   Check = "earth"   // plug off: ohms from cavity A to the minus of the battery
	Through Check = "through" // both plugs off: ohms from cavity A to cavity B
	Loop    Check = "loop"    // the controller's plug off: ohms between its cavities A and B, through the device
	Short   Check = "short"   // what feeds it is out and what it feeds is unplugged: ohms from A to ground
	Seat    Check = "seat"    // the contacts of a plug or terminal A looked at and tugged
	Bolt    Check = "bolt"    // ground A: its lugs looked at, then ohms from its bolt to the minus of the battery
	Inspect Check = "look"    // place A looked at
	ByHand  Check = "output"  // terminal A of the controller switched or fed by hand
	Alone   Check = "alone"   // device A measured or tried by itself
	Cavity  Check = "plug"    // the plug of terminal A off, key on: each cavity against what it should show
	Socket  Check = "socket"  // relay A out, key on: each contact of its socket
	Fuses   Check = "fuses"   // panel A, key on: both sides of each fuse
	Cover   Check = "cover"   // the loom opened at splice A: only where nothing that can be reached tells more
)

// Measure is one thing to measure.
type Measure struct {
	Key     string
	Check   Check
	A, B    string // records: terminals, a part or a place, by Check
	Place   string // where one stands
	Minutes float64
	Do      string
	Answers []string // what may be seen

	a, b  int32 // points
	mid   [2]int32
	net   int32
	piece int32
	seats []int32
	pins  []probe
}

// probe is one contact of several that are measured as one, and what it should show.
type probe struct {
	at, joined int32 // points; joined is what a signal leads to, -1 for none
	net        int32
	shows      shows
}

type shows int

const (
	showsLive shows = iota
	showsGround
	showsSignal // joined to the controller, and no short
)

// Minutes of access, walking there included. Source: our choice, in the order fuse, plug, terminal strip, device.
const (
	atFuse   = 1.0
	atPlug   = 2.0
	atStrip  = 3.0
	atDevice = 5.0
	atCover  = 40.0
)

func (m *Model) add(x Measure) {
	x.Key = string(x.Check) + " " + x.A
	if x.B != "" {
		x.Key += " " + x.B
	}
	m.measures = append(m.measures, x)
}

var (
	voltsOrNot = []string{"battery voltage", "nothing"}
	goodOrNot  = []string{"good", "not good"}
	ohmsOrOpen = []string{"under 1 Ω", "open"}
)

// measurements lists all that can be measured without opening a cover.
func (m *Model) measurements() {
	for i := range m.pieces {
		p := &m.pieces[i]
		id, of := p.ref.ID, int32(i)
		switch p.kind {
		case Fuse:
			m.add(Measure{Check: Blown, A: id, Place: p.place, Minutes: atFuse, Do: "Pull fuse " + p.name + ". Measure through it, then ohms from its fed side in the holder to bare metal, loads unplugged.", Answers: []string{"good", "open, and no short", "open, and a short"}, piece: of})
		case Relay:
			m.add(Measure{Check: Swap, A: id, Place: p.place, Minutes: atPlug, Do: "Swap relay " + p.name + " with one of the same kind. Does it work now?", Answers: []string{"no change", "it works now"}, piece: of})
			for k := range m.relays {
				if m.relays[k].piece == of && m.relays[k].within {
					m.add(Measure{Check: Click, A: id, Place: p.place, Minutes: atFuse, Do: "Hold a finger on relay " + p.name + " while it is switched on.", Answers: []string{"it clicks", "no click"}, a: int32(k)})
				}
			}
		case Ground:
			x := Measure{Check: Bolt, A: id, Place: p.place, Minutes: atPlug, a: m.center[id], piece: of, Answers: []string{"clean and under 1 Ω"},
				Do: "Battery minus off its post. At " + p.name + " look at each lug and tug it, look under them, then ohms from the bolt to that cable. What is wrong?"}
			terminals := m.b.Terminals.All()
			for k := range terminals {
				if pin, wired := m.pin[terminals[k].ID]; wired && terminals[k].Place == id && len(x.seats) < mostSeats {
					x.seats = append(x.seats, pin)
					x.Answers = append(x.Answers, "loose: "+circuit.Cavity(terminals[k]))
				}
			}
			x.Answers = append(x.Answers, "rust, paint or a loose bolt", "clean, but open")
			m.add(x)
		case Splice:
			m.add(Measure{Check: Cover, A: id, Place: p.place, Minutes: atCover, Do: "Nothing that can be reached tells more. Open the loom at splice " + p.name + " and look.", Answers: goodOrNot, piece: of})
		case PassThrough:
			m.add(Measure{Check: Inspect, A: id, Place: p.place, Minutes: atDevice, Do: "Look at " + p.name + ": is the loom crushed or rubbed through?", Answers: goodOrNot, piece: of})
		case Supply:
			m.add(Measure{Check: Inspect, A: id, Place: p.place, Minutes: atFuse, Do: "Volts at the posts of " + p.name + ", everything on.", Answers: goodOrNot, piece: of})
		case Device:
			m.add(Measure{Check: Alone, A: id, Place: p.place, Minutes: atDevice, Do: "Try " + p.name + " by itself: ohms between its pins, or another one in its place.", Answers: goodOrNot, piece: of})
		case Output:
			m.add(Measure{Check: ByHand, A: id, Place: p.place, Minutes: atStrip, Do: "At the controller: switch or feed " + p.name + " by hand and measure at the pin.", Answers: goodOrNot, piece: of})
		}
	}
	m.atTerminals()
	m.atPanels()
}

// atTerminals lists what is measured at plugs, sockets, strips and lugs.
func (m *Model) atTerminals() {
	whole := m.run()
	plugs := map[string][]harness.Terminal{}
	var keys []string
	shorts := map[int32]bool{}
	terminals := m.b.Terminals.All()
	for i := range terminals {
		t := terminals[i]
		c, wired := m.contact[t.ID]
		if !wired {
			continue
		}
		kind, name := m.kindOf(t.Place), m.net.Name(t)
		part, isPart := m.b.Parts.Get(t.Part)
		minutes := atPlug
		switch {
		case part.Kind == harness.Fuse || part.Kind == harness.BreakerPart || part.Kind == harness.FeedBar:
			minutes = atFuse
		case part.Kind == harness.StripWay || part.Kind == harness.Stud || kind == harness.CarWire:
			minutes = atStrip
		}
		net := m.netOf[c]
		if whole.isLive(c) || whole.warm[c] {
			m.add(Measure{Check: Volts, A: t.ID, Place: t.Place, Minutes: minutes, Do: "Key on, all plugged in. Volts at " + name + " against bare body metal.", Answers: voltsOrNot, a: c})
		}
		if whole.isGround(c) {
			m.add(Measure{Check: Earth, A: t.ID, Place: t.Place, Minutes: minutes, Do: "Battery minus off its post. Ohms from " + name + " to that cable.", Answers: ohmsOrOpen, a: c})
		} else if !shorts[net] && (minutes == atFuse && whole.isLive(c) || kind == harness.Controller || kind == harness.Device && len(m.leads[net]) == 0) {
			shorts[net] = true
			m.add(Measure{Check: Short, A: t.ID, Place: t.Place, Minutes: minutes, Do: "Battery off. Unplug all that hangs on " + name + ". Ohms from it to bare body metal.", Answers: []string{"open", "near 0 Ω"}, net: net})
		}
		key := t.Place + " " + t.Connector
		if isPart {
			key = t.Part
		}
		if plugs[key] == nil {
			keys = append(keys, key)
		}
		plugs[key] = append(plugs[key], t)
	}
	for _, key := range keys {
		m.seats(plugs[key])
		m.cavitiesOf(whole, plugs[key])
		if m.kindOf(plugs[key][0].Place) == harness.Device {
			m.pairs(whole, plugs[key])
		}
	}
}

// mostSeats is how many contacts are looked at as one measurement; of a larger plug each is one. Source: our choice.
const mostSeats = 8

// seats lists looking at the contacts of one plug, socket or lug.
func (m *Model) seats(all []harness.Terminal) {
	p, _ := m.b.Places.Get(all[0].Place)
	part, isPart := m.b.Parts.Get(all[0].Part)
	what, minutes := "the plug of "+strings.TrimSpace(p.Name+" "+all[0].Connector), atPlug
	switch {
	case isPart:
		what = "the contacts of " + strings.TrimSpace(part.Name+" "+part.Label)
	case p.Kind == harness.Ground || p.Kind == harness.CarWire || p.Kind == harness.Supply:
		what, minutes = "the ends at "+p.Name, atStrip
	}
	x := Measure{Check: Seat, A: all[0].ID, Place: p.ID, Minutes: minutes, Do: "Open " + what + ". Look at the contacts and tug each gently.", Answers: []string{"all good"}}
	plug, plugged := m.plug[all[0].Place+" "+all[0].Connector]
	if isPart {
		plugged = false
	}
	if p.Kind == harness.Device || p.Kind == harness.Ground || part.Kind == harness.Relay {
		return // looked at while it is measured
	}
	if len(all) <= mostSeats {
		m.seatsOf(&x, all)
		m.add(x)
		return
	}
	if plugged {
		m.add(Measure{Check: Inspect, A: all[0].ID, Place: p.ID, Minutes: atPlug, Do: "Is " + what + " on, locked and dry?", Answers: goodOrNot, piece: plug})
	}
	for _, t := range all {
		m.add(Measure{Check: Seat, A: t.ID, Place: p.ID, Minutes: atPlug, Do: "Open " + what + ". Look at contact " + circuit.Cavity(t) + " and tug it gently.",
			Answers: []string{"all good", "bad contact: " + circuit.Cavity(t)}, seats: []int32{m.pin[t.ID]}})
	}
}

// seatsOf adds looking at contacts, and at the plug that they are in.
func (m *Model) seatsOf(x *Measure, all []harness.Terminal) {
	for _, t := range all {
		if len(x.seats) == mostSeats {
			return
		}
		x.seats = append(x.seats, m.pin[t.ID])
		x.Answers = append(x.Answers, "bad contact: "+circuit.Cavity(t))
	}
	if plug, ok := m.plug[all[0].Place+" "+all[0].Connector]; ok && all[0].Part == "" {
		x.seats = append(x.seats, plug)
		x.Answers = append(x.Answers, "the plug was off or wet")
	}
}

// shorted tells whether a short hangs on the output of a fuse.
func (m *Model) shorted(s *state, fuse int32) bool {
	for net := range s.short {
		t := &state{open: make([]bool, len(m.pieces))}
		if m.blow(t, net); t.open[fuse] {
			return true
		}
	}
	return false
}

// pairs lists what is measured between the cavities of a device, there or at the controller.
func (m *Model) pairs(whole *state, all []harness.Terminal) {
	p, _ := m.b.Places.Get(all[0].Place)
	cavity := func(t harness.Terminal) (c harness.Terminal, ok bool) {
		for _, e := range m.cavities[m.netOf[m.contact[t.ID]]] {
			return e, true
		}
		return c, false
	}
	for i, t := range all {
		c := m.contact[t.ID]
		from, led := cavity(t)
		if led {
			m.add(Measure{Check: Through, A: from.ID, B: t.ID, Place: p.ID, Minutes: 2 * atPlug, Do: "Unplug " + p.Name + " and the controller. Ohms from " + m.net.Name(from) + " to " + m.net.Name(t) + ".",
				Answers: ohmsOrOpen, a: m.contact[from.ID], b: c})
		}
		for k, u := range all {
			d := m.contact[u.ID]
			if whole.isLive(c) && whole.isGround(d) {
				m.add(Measure{Check: Across, A: t.ID, B: u.ID, Place: p.ID, Minutes: atPlug, Do: "Unplug " + p.Name + ", key on. Volts from " + circuit.Cavity(t) + " to " + circuit.Cavity(u) + " in its plug.",
					Answers: voltsOrNot, a: c, b: d})
			}
			if to, ok := cavity(u); ok && led && i < k && to.ID != from.ID {
				m.add(Measure{Check: Loop, A: from.ID, B: to.ID, Place: from.Place, Minutes: atPlug, Do: "Controller unplugged. Ohms from " + m.net.Name(from) + " to " + m.net.Name(to) + ", through " + p.Name + ".",
					Answers: []string{"as the device has", "open", "near 0 Ω to ground"}, a: m.contact[from.ID], b: m.contact[to.ID], mid: [2]int32{m.inner[t.ID], m.inner[u.ID]}, piece: m.devices[m.seen[p.ID]].piece})
			}
		}
	}
}

// answer is what a measurement shows under a fault.
func (m *Model) answer(s *state, x *Measure) int {
	bad := false
	switch x.Check {
	case Volts:
		bad = !s.isLive(x.a) && !(s.warm[x.a] && !s.isGround(x.a))
	case Across:
		bad = !s.isLive(x.a) || !s.isGround(x.b)
	case Earth:
		bad = !s.isGround(x.a)
	case Through:
		bad = s.label[x.a] != s.label[x.b]
	case Loop:
		if s.short[m.netOf[x.a]] || s.short[m.netOf[x.b]] {
			return 2
		}
		bad = s.open[x.piece] || s.label[x.a] != s.label[x.mid[0]] || s.label[x.b] != s.label[x.mid[1]]
	case Short:
		bad = s.short[x.net]
	case Cavity, Socket, Seat:
		return m.show(s, x)
	case Blown:
		switch {
		case s.open[x.piece] && m.shorted(s, x.piece):
			return 2
		case s.open[x.piece]:
			return 1
		}
		return 0
	case Bolt:
		if i := m.show(s, x); i > 0 {
			return i
		}
		switch {
		case s.open[x.piece]:
			return len(x.seats) + 1
		case !s.isGround(x.a):
			return len(x.seats) + 2
		}
		return 0
	case Fuses:
		return m.fusesShow(s, x)
	case Click:
		bad = !s.on[x.a]
	default:
		bad = s.open[x.piece]
	}
	if bad {
		return 1
	}
	return 0
}
