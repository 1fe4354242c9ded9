package prove

import (
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Group is tests that are done in one go, in the order of Groups.
type Group string

// The groups. Those up to Crossing are cold: the battery is off and nothing is plugged in.
const (
	Gate      Group = "before the first test"
	Seating   Group = "pins and crimps"
	Through   Group = "continuity"
	Screens   Group = "shields"
	Isolation Group = "isolation of the supplies"
	Rails     Group = "against supply, ground and 5 V"
	Crossing  Group = "neighbours"
	Together  Group = "against all others"
	Load      Group = "volt drop under load"
	Devices   Group = "sensors and loads by themselves"
	Plugged   Group = "plugged in, battery off"
	Power     Group = "power-up"
)

// Groups lists the groups in the order of the work.
var Groups = []Group{Gate, Seating, Through, Screens, Isolation, Rails, Crossing, Together, Load, Devices, Plugged, Power}

// Ask is how a test is answered.
type Ask string

// The ways to answer.
const (
	Yes    Ask = "yes"    // it was done, or seen
	Beep   Ask = "beep"   // the meter beeps and shows no more than High
	Silent Ask = "silent" // the meter stays silent: at least Low
	Number Ask = "number" // what the meter shows
)

// Point is where a probe goes: the id of a terminal or joint, the bare end of a wire, or a rail. Empty is none.
type Point string

// The rails: every supply, every ground and every 5 V of the harness, each bridged with clip leads.
const (
	SupplyRail Point = "supply"
	GroundRail Point = "ground"
	FiveRail   Point = "5 V"
	AllOthers  Point = "all others" // every other pin tied together
)

// bareFrom and bareTo begin the point of a wire's end that is in no terminal.
const (
	bareFrom = "from:"
	bareTo   = "to:"
)

// Test is one thing to do and to read.
type Test struct {
	ID    string
	Group Group
	Phase int    // of Power: the number of its phase, see Phases
	Name  string // what it is about, where that is no pair of points
	Do    string // what to do, where it is not told by Ask and the points
	Care  string // what must never be done here

	A, B  Point    // red, black
	Wires []string // what it passes, from A to B
	Of    harness.Ref
	Place string // where it is done

	Sample string // of a crimp sample: the size of the wire
	Crimp  string // likewise: what the terminal is called

	Ask    Ask
	Unit   string   // of Low and High
	Low    *float64 // nil is no limit
	High   *float64
	Source string // of the limits

	amps float64 // of a load: what the lamp draws
	size unit.Size
	kind harness.Signal // what A carries
	what string         // that must be the same for an answer to hold; empty is anything
}

// number is a value that is known.
func number(v float64) *float64 { return &v }

// id names a test by what it is about.
func id(what string, of ...string) string {
	return harness.ProposedID(harness.KindResult, append([]string{what}, of...)...)
}
