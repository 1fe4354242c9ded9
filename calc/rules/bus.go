package rules

import (
	"slices"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Stub returns how long a branch off a bus may be at a speed in bits per second.
//
// Source: ISO 11898-2 (0.3 m at 1 Mbit/s, from memory); SAE J1939-11 (1 m at 250 kbit/s). Between the two the shorter counts.
func Stub(bitrate float64) unit.Length {
	if bitrate <= 250e3 {
		return unit.Metre
	}
	return 300 * unit.Millimetre
}

// apartBus is how far the two wires of a bus may run untwisted. Source: our choice, the splice and its two ends.
const apartBus = 300 * unit.Millimetre

// buses looks at each bus: its speed, the resistors at its ends, its branches, and whether its wires are twisted. The two
// circuits of a bus end at the same places; they are told of once.
func (f *facts) buses() {
	told := map[string]bool{}
	circuits := f.b.Circuits.All()
	for i := range circuits {
		c := circuits[i]
		ends := f.net.Ends(c.ID)
		if c.Signal != harness.SerialBus || len(ends) < 2 {
			continue
		}
		var key []string
		for _, t := range ends {
			key = append(key, t.Place)
		}
		slices.Sort(key)
		if k := strings.Join(key, " "); told[k] {
			continue
		} else {
			told[k] = true
		}
		f.bus(c, ends)
	}
}

func (f *facts) bus(c harness.Circuit, ends []harness.Terminal) {
	at := harness.Ref{Kind: harness.KindCircuit, ID: c.ID}
	for i := range f.wires {
		w := &f.wires[i]
		if w.Circuit == c.ID && !w.twisted && f.way(w) > apartBus {
			f.add(harness.Finding{Rule: BusLoose, Severity: harness.Warn, Subject: harness.Ref{Kind: harness.KindWire, ID: w.ID}, What: w.name() + " is not twisted with its partner",
				Got: f.length(f.way(w)), Limit: f.length(apartBus), Source: "SAE J1939-11: a twisted pair", Fix: harness.Fix{At: harness.Ref{Kind: harness.KindWire, ID: w.ID}, Field: "twist", Do: "twist the two wires, one turn in 50 mm or more"}})
			break
		}
	}
	if c.Bitrate == nil || !(*c.Bitrate > 0) {
		f.add(harness.Finding{Rule: NotChecked, Severity: harness.Note, Subject: at, What: c.Name + ": its branches are not checked, because nobody said how fast the bus is",
			Source: "ISO 11898-2, SAE J1939-11", Fix: harness.Fix{At: at, Field: "bitrate", Do: "say how many bits per second"}})
	}
	if len(c.Resistors) == 0 {
		f.add(harness.Finding{Rule: NotChecked, Severity: harness.Note, Subject: at, What: c.Name + ": its ends are not checked, because nobody said where its resistors are",
			Source: "ISO 11898-2: 120 ohm at both ends", Fix: harness.Fix{At: at, Field: "resistors", Do: "say which two places have one"}})
		return
	}
	var last []int
	for _, id := range c.Resistors {
		for _, t := range ends {
			if n := f.at[t.ID]; t.Place == id && !slices.Contains(last, n) {
				last = append(last, n)
				break
			}
		}
	}
	if len(c.Resistors) != 2 || len(last) != 2 {
		f.add(harness.Finding{Rule: BusEnds, Severity: harness.Stop, Subject: at, What: c.Name + " has " + count(len(last), "resistor") + " at its ends",
			Got: count(len(last), "resistor"), Limit: "2 resistors of 120 ohm, at the two ends", Source: "ISO 11898-2: 120 ohm at both ends",
			Fix: harness.Fix{At: at, Field: "resistors", Do: "have one at each of the two ends, and no other"}})
		return
	}
	f.branches(c, ends, last)
}

// branches looks how far each end of a bus is from the line between its two resistors.
func (f *facts) branches(c harness.Circuit, ends []harness.Terminal, last []int) {
	if c.Bitrate == nil || !(*c.Bitrate > 0) {
		return
	}
	by := map[int]int{last[0]: -1}
	order := []int{last[0]}
	for k := 0; k < len(order); k++ {
		for _, w := range f.nodes[order[k]].wires {
			far := f.far(w, order[k])
			if _, had := by[far]; !had {
				by[far] = w
				order = append(order, far)
			}
		}
	}
	if _, joined := by[last[1]]; !joined {
		return
	}
	trunk := map[int]bool{last[0]: true}
	for n := last[1]; by[n] >= 0; n = f.far(by[n], n) {
		trunk[n] = true
	}
	limit := Stub(*c.Bitrate)
	for _, t := range ends {
		var terms []unit.Term
		long := unit.Length(0)
		n, ok := f.at[t.ID]
		if _, joined := by[n]; !ok || !joined {
			continue
		}
		for ; !trunk[n]; n = f.far(by[n], n) {
			w := &f.wires[by[n]]
			long += f.way(w)
			terms = append(terms, unit.Term{Name: w.name(), Value: f.way(w).MM(), Unit: "mm", Of: string(harness.KindWire), ID: w.ID})
		}
		if long <= limit {
			continue
		}
		at := harness.Ref{Kind: harness.KindTerminal, ID: t.ID}
		f.add(harness.Finding{Rule: BusBranch, Severity: harness.Stop, Subject: at, What: "the branch of " + c.Name + " to " + f.net.Name(t) + " is too long at this speed",
			Got: f.length(long), Limit: f.length(limit), Source: "ISO 11898-2 (1 Mbit/s, from memory), SAE J1939-11 (250 kbit/s)",
			Terms: append(terms, unit.Term{Name: "speed", Value: *c.Bitrate / 1000, Unit: "kbit/s", Of: string(harness.KindCircuit), ID: c.ID},
				unit.Term{Name: "branch", Formula: "sum of the ways from the line between the resistors", Value: long.MM(), Unit: "mm"}),
			Fix: harness.Fix{At: at, Do: "lead the line past it, in and out, or move the resistor to this end"}})
	}
}
