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
	Inspect Check = "look"    // place A looked at
	ByHand  Check = "output"  // terminal A of the controller switched or fed by hand
	Alone   Check = "alone"   // device A measured or tried by itself
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
}

// Minutes of access, walking there included. Source: our choice, in the order fuse, plug, terminal strip, device.
const (
	atFuse   = 1.0
	atPlug   = 2.0
	atStrip  = 3.0
	atDevice = 5.0
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
			m.add(Measure{Check: Blown, A: id, Place: p.place, Minutes: atFuse, Do: "Pull fuse " + p.name + ". Measure through it.", Answers: goodOrNot, piece: of})
		case Relay:
			m.add(Measure{Check: Swap, A: id, Place: p.place, Minutes: atPlug, Do: "Swap relay " + p.name + " with one of the same kind. Does it work now?", Answers: []string{"no change", "it works now"}, piece: of})
			for k := range m.relays {
				if m.relays[k].piece == of && m.relays[k].within {
					m.add(Measure{Check: Click, A: id, Place: p.place, Minutes: atFuse, Do: "Hold a finger on relay " + p.name + " while it is switched on.", Answers: []string{"it clicks", "no click"}, a: int32(k)})
				}
			}
		case Ground:
			m.add(Measure{Check: Earth, A: id, Place: p.place, Minutes: atPlug, Do: "Battery minus off its post. Ohms from the bolt of " + p.name + " to that cable.", Answers: ohmsOrOpen, a: m.center[id]})
			m.add(Measure{Check: Inspect, A: id, Place: p.place, Minutes: atPlug, Do: "Look under the lugs of " + p.name + ": paint, rust, loose?", Answers: goodOrNot, piece: of})
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
	if len(all) <= mostSeats {
		for _, t := range all {
			x.seats = append(x.seats, m.pin[t.ID])
			x.Answers = append(x.Answers, circuit.Cavity(t))
		}
		if plugged {
			x.seats = append(x.seats, plug)
			x.Answers = append(x.Answers, "the plug was off or wet")
		}
		m.add(x)
		return
	}
	if plugged {
		m.add(Measure{Check: Inspect, A: all[0].ID, Place: p.ID, Minutes: atPlug, Do: "Is " + what + " on, locked and dry?", Answers: goodOrNot, piece: plug})
	}
	for _, t := range all {
		m.add(Measure{Check: Seat, A: t.ID, Place: p.ID, Minutes: atPlug, Do: "Open " + what + ". Look at contact " + circuit.Cavity(t) + " and tug it gently.",
			Answers: []string{"all good", circuit.Cavity(t)}, seats: []int32{m.pin[t.ID]}})
	}
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
	case Click:
		bad = !s.on[x.a]
	case Seat:
		for i, p := range x.seats {
			if s.open[p] {
				return i + 1
			}
		}
	default:
		bad = s.open[x.piece]
	}
	if bad {
		return 1
	}
	return 0
}
