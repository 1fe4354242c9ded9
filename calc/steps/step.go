package steps

import (
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Does is what ticking a step sets, beside the tick itself: a step that is a fact of a record is done when the record says so.
type Does string

// What a tick sets.
const (
	TickOnly   Does = ""
	PullsLead  Does = "pull"   // the lead's decision was carried out
	SeatsLead  Does = "seat"   // the lead was checked to sit
	CutsWire   Does = "cut"    // the wire's length was cut
	CutsMore   Does = "more"   // what is spliced onto a short lead was cut
	TrimsWire  Does = "trim"   // the lead was trimmed
	PullSample Does = "sample" // a crimp on scrap was pulled and held: a sample record makes it done, not a tick
)

// Step is one thing to do.
type Step struct {
	_       [0]func() // never compared: that saves a function for each length of a list
	ID      string    // the same as long as the build has what it is about
	Phase   Phase
	Big     string // what it is about, to be read from afar: "A14"
	What    string // what to do
	Detail  string // what helps to do it; may be empty
	Caution string
	Place   string      // where on the sketch; may be empty
	Run     string      // likewise
	Does    Does        // what ticking it sets
	Of      string      // of Does: the lead or wire
	Length  unit.Length // of a cut or a trim: what it is cut to; 0 is not known
	Crimp   string      // of a sample and of a crimp: what the terminal is called
	Size    string      // likewise: of the wire

	Done bool
	At   string // when, if it is known
	Was  string // it was done as this, and is another thing now: so it is not done
}

// Says is what the step is, as a tick keeps it.
func (s Step) Says() string {
	if s.Big == "" {
		return s.What
	}
	return s.Big + ": " + s.What
}

// Phase names a part of the work.
type Phase string

// The phases, in their order.
const (
	Safe    Phase = "Make it safe"
	Unlock  Phase = "Open the lock"
	Pull    Phase = "Pull pins"
	Lock    Phase = "Close the lock"
	Seat    Phase = "Check the seats"
	Panel   Phase = "Build the panel"
	Mount   Phase = "Mount on the bench"
	Group   Phase = "Group the leads"
	Meter   Phase = "Meter every lead"
	Cut     Phase = "Cut the added wires"
	Thread  Phase = "Thread on"
	Lay     Phase = "Lay up"
	Join    Phase = "Make the joints"
	Again   Phase = "Meter again"
	Cover   Phase = "Cover"
	Rubber  Phase = "Grommets"
	Car     Phase = "Into the car"
	Splits  Phase = "Last splits"
	Ends    Phase = "Trim and terminate"
	Kept    Phase = "Cap what is kept"
	Plugs   Phase = "Plugs and locks"
	LastTag Phase = "Tags on bundles"
)

// Phases lists every phase in the order of the work.
var Phases = []Phase{Safe, Unlock, Pull, Lock, Seat, Panel, Mount, Group, Meter, Cut, Thread, Lay, Join, Again, Cover, Rubber, Car, Splits,
	Ends, Kept, Plugs, LastTag}

// Cautions stand where they belong. Local rules and licensed practice come first everywhere.
const (
	batteryCaution = "Airbag, fuel and high voltage wiring belong to trained people. Local rules and licensed practice come first."
	meterCaution   = "Meter only with the battery off and nothing plugged in."
	hotCaution     = "Hot air: no fuel or vapour near, keep it moving. What shrinks a glue-lined cover can melt ordinary insulation."
	carCaution     = "Battery off. Leave airbag wiring alone. Clear of fuel lines, exhaust and what moves. Local rules and licensed practice come first."
	panelCaution   = "From a supply with a current limit or a small fuse, never from the car. Local rules and licensed practice come first."
)

// First returns the index of the first step that is not done, or len(all).
func First(all []Step) int {
	for i := range all {
		if !all[i].Done {
			return i
		}
	}
	return len(all)
}

// Count returns how many are done, of how many, in a phase; the empty phase is all.
func Count(all []Step, p Phase) (done, of int) {
	for i := range all {
		if p != "" && all[i].Phase != p {
			continue
		}
		of++
		if all[i].Done {
			done++
		}
	}
	return done, of
}

// Mark returns the tick of a step that was done at a time.
func Mark(s Step, at string) harness.Tick {
	t := harness.Tick{Step: s.ID, What: s.Says(), At: at}
	t.ID = harness.TickID(s.ID)
	return t
}
