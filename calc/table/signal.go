package table

import (
	"strings"
	"sync"

	"loomwright/calc/harness"
)

// signalWords holds the words of a signal column, folded as headings are. Source: common practice.
var signalWords = sync.OnceValue(func() map[string]harness.Signal {
	signals := map[string]harness.Signal{}
	for _, s := range []struct {
		signal harness.Signal
		words  string
	}{
		{harness.SupplyIn, "supply|power|power supply|power in|12v|12 v|battery|battery supply|feed|30|15|versorgung|plus"},
		{harness.PowerGround, "ground|gnd|earth|power ground|pgnd|power gnd|31|masse|chassis ground"},
		{harness.SensorGround, "sensor ground|sensor gnd|sgnd|signal ground|signal gnd|0v|0 v|analogue ground|analog ground|sensor 0v|sensormasse"},
		{harness.Reference5V, "5 v reference|5v reference|5v ref|5 v ref|5v|5 v|reference|vref|v ref|sensor supply|sensor 5v"},
		{harness.AnalogueIn, "analogue in|analog in|analogue input|analog input|analogue|analog|voltage input|temperature input|analogeingang"},
		{harness.FrequencyIn, "frequency in|frequency input|frequency|speed input|trigger|trigger input|trigger in|pulse input|hall|frequenzeingang"},
		{harness.SwitchedIn, "switched in|switched input|switch in|switch input|switch|schalteingang"},
		{harness.SwitchedPower, "switched supply|switched power|switched supply out"},
		{harness.SwitchedOut, "switched out|switched output|output|low side|low side out|low side output|high side|high side out|high side output|pwm|pwm output|relay|relay output|aux output|ausgang"},
		{harness.IgnitionOut, "ignition out|ignition output|ignition|ign|ign out|coil|coil output|zündung"},
		{harness.InjectorOut, "injector out|injector output|injector|inj|inj out|injection|einspritzung"},
		{harness.SerialBus, "serial or can|serial|can|can high|can low|can h|can l|canh|canl|bus|rs232|lin|usb|communication|comms|data"},
		{harness.ShieldDrain, "shield|screen|drain|schirm"},
	} {
		for _, w := range strings.Split(s.words, "|") {
			signals[w] = s.signal
		}
	}
	return signals
})

// way reads a word for a direction, folded; "" if it is none. Source: common practice.
func way(fold string) harness.Direction {
	switch fold {
	case "in", "input", "i", "eingang", "ein", "digital in", "digital input": // which may be a switch or a pulse
		return harness.Inward
	case "out", "output", "o", "ausgang", "aus":
		return harness.Outward
	case "both", "in out", "i o", "io", "bidirectional", "input output":
		return harness.BothWays
	}
	return ""
}

// parseSignal reads a cell of a signal column, which may say the direction only ("input").
func parseSignal(cell string) (harness.Signal, harness.Direction) {
	fold := foldHeading(cell)
	s, direction := signalWords()[fold], way(fold)
	switch s {
	case harness.AnalogueIn, harness.FrequencyIn, harness.SwitchedIn:
		direction = harness.Inward
	case harness.SwitchedOut, harness.SwitchedPower, harness.IgnitionOut, harness.InjectorOut, harness.Reference5V:
		direction = harness.Outward
	case harness.SerialBus:
		direction = harness.BothWays
	}
	return s, direction
}
