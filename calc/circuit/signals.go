package circuit

import (
	"strings"

	"loomwright/calc/harness"
)

// told are words of a function, any set of which tells what a lead carries; the first that fits.
//
// Source: common practice.
func told() []struct {
	signal harness.Signal
	words  []string
} {
	return []struct {
		signal harness.Signal
		words  []string
	}{
		{harness.ShieldDrain, []string{"shield", "screen", "drain", "shld"}},
		{harness.SensorGround, []string{"sensor ground", "sens gnd", "signal ground", "sensor gnd", "analogue ground"}},
		{harness.PowerGround, []string{"ground", "gnd", "earth"}},
		{harness.Reference5V, []string{"5 v", "reference", "vref"}},
		{harness.SerialBus, []string{"can", "serial", "lin"}},
		{harness.InjectorOut, []string{"injector", "inj"}},
		{harness.IgnitionOut, []string{"coil", "ignition", "ign"}},
		{harness.SwitchedIn, []string{"switch"}},
		{harness.SwitchedOut, []string{"relay", "lamp", "light", "valve", "solenoid", "heater", "tachometer", "tacho", "purge", "idle", "output", "out"}},
		{harness.FrequencyIn, []string{"crank", "cam", "speed"}},
		{harness.AnalogueIn, []string{"temperature", "temp", "pressure", "position", "throttle", "pedal", "knock", "level", "lambda", "oxygen", "map", "clt", "iat", "analogue", "analog", "input"}},
		{harness.SupplyIn, []string{"supply", "feed", "battery", "12 v"}},
	}
}

// Signals proposes what leads carry of which nobody said, from the words of what they do or what is printed on them. All
// leads of one signal are one proposal, in the order of the signals. Words that tell nothing give none.
func Signals(b *harness.Build) []Proposal {
	by := map[harness.Signal]*Proposal{}
	names := map[harness.Signal][]string{}
	leads := b.Leads.All()
	for i := range leads {
		l := leads[i]
		if l.Signal != harness.NoSignal || !l.There() {
			continue
		}
		s := toldBy(l.Does())
		if s == harness.NoSignal {
			s = toldBy(l.Legend)
		}
		if s == harness.NoSignal {
			continue
		}
		q := by[s]
		if q == nil {
			q = &Proposal{ID: "signal " + string(s), Kind: NewSignal, Why: "the words say it"}
			by[s] = q
			q.Of = harness.Ref{Kind: harness.KindLead, ID: l.ID}
		}
		l.Signal = s
		if l.Direction == harness.NoDirection {
			l.Direction = DirectionOf(s)
		}
		q.Put.Leads = append(q.Put.Leads, l)
		names[s] = append(names[s], l.Does())
	}
	var all []Proposal
	for _, s := range harness.Signals {
		if q := by[s]; q != nil {
			q.What = string(s) + ": " + strings.Join(names[s], ", ")
			all = append(all, *q)
		}
	}
	return all
}

// NewSignal is a proposal of what leads carry.
const NewSignal ProposalKind = "signal"

// toldBy returns what a function says that a lead carries.
func toldBy(function string) harness.Signal {
	words := wordsOf(function)
	for _, x := range told() {
		for _, w := range x.words {
			if holds(words, strings.Fields(w)) {
				return x.signal
			}
		}
	}
	return harness.NoSignal
}
