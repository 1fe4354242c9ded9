package table

import (
	"strings"
	"sync"
)

// Signal is the kind of signal on a pin, as a column of the list says it.
type Signal string

// The kinds of signal. The zero value is "not said".
const (
	Supply       Signal = "supply"
	Ground       Signal = "ground"
	SensorGround Signal = "sensor ground"
	Reference    Signal = "5 V reference"
	AnalogueIn   Signal = "analogue in"
	FrequencyIn  Signal = "frequency in"
	SwitchedOut  Signal = "switched out"
	IgnitionOut  Signal = "ignition out"
	InjectorOut  Signal = "injector out"
	Serial       Signal = "serial or CAN"
	Shield       Signal = "shield"
)

// Direction is which way a signal goes, seen from the controller.
type Direction string

// The directions. The zero value is "not said".
const (
	In   Direction = "in"
	Out  Direction = "out"
	Both Direction = "both"
)

// signalWords holds the words of a signal column, folded as headings are. Source: common practice.
var signalWords = sync.OnceValue(func() map[string]Signal {
	signals := map[string]Signal{}
	for _, s := range []struct {
		signal Signal
		words  string
	}{
		{Supply, "supply|power|power supply|power in|12v|12 v|battery|battery supply|switched supply|feed|30|15|versorgung|plus"},
		{Ground, "ground|gnd|earth|power ground|pgnd|power gnd|31|masse|chassis ground"},
		{SensorGround, "sensor ground|sensor gnd|sgnd|signal ground|signal gnd|0v|0 v|analogue ground|analog ground|sensor 0v|sensormasse"},
		{Reference, "5 v reference|5v reference|5v ref|5 v ref|5v|5 v|reference|vref|v ref|sensor supply|sensor 5v"},
		{AnalogueIn, "analogue in|analog in|analogue input|analog input|analogue|analog|voltage input|temperature input|analogeingang"},
		{FrequencyIn, "frequency in|frequency input|frequency|digital in|digital input|speed input|trigger|trigger input|trigger in|pulse input|hall|frequenzeingang"},
		{SwitchedOut, "switched out|switched output|output|low side|low side out|low side output|high side|high side out|high side output|pwm|pwm output|relay|relay output|aux output|ausgang"},
		{IgnitionOut, "ignition out|ignition output|ignition|ign|ign out|coil|coil output|zündung"},
		{InjectorOut, "injector out|injector output|injector|inj|inj out|injection|einspritzung"},
		{Serial, "serial or can|serial|can|can high|can low|can h|can l|canh|canl|bus|rs232|lin|usb|communication|comms|data"},
		{Shield, "shield|screen|drain|schirm"},
	} {
		for _, w := range strings.Split(s.words, "|") {
			signals[w] = s.signal
		}
	}
	return signals
})

// way reads a word for a direction, folded; "" if it is none. Source: common practice.
func way(fold string) Direction {
	switch fold {
	case "in", "input", "i", "eingang", "ein":
		return In
	case "out", "output", "o", "ausgang", "aus":
		return Out
	case "both", "in out", "i o", "io", "bidirectional", "input output":
		return Both
	}
	return ""
}

// parseSignal reads a cell of a signal column, which may say the direction only ("input").
func parseSignal(cell string) (Signal, Direction) {
	fold := foldHeading(cell)
	s, direction := signalWords()[fold], way(fold)
	switch s {
	case AnalogueIn, FrequencyIn:
		direction = In
	case SwitchedOut, IgnitionOut, InjectorOut, Reference:
		direction = Out
	case Serial:
		direction = Both
	}
	return s, direction
}
