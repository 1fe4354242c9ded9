package harness

// This file has the records that planning adds: connectors, parts of panels, taps into the car's wiring, circuits, and
// the words that leads and wires are described with.

// Signal is what a lead or a terminal carries.
type Signal string

// The signals. Ground is a power ground: it and SensorGround are never the same.
const (
	NoSignal      Signal = "" // not known
	SupplyIn      Signal = "supply"
	PowerGround   Signal = "ground"
	SensorGround  Signal = "sensor ground"
	Reference5V   Signal = "5 V reference"
	AnalogueIn    Signal = "analogue in"
	FrequencyIn   Signal = "frequency in"
	SwitchedIn    Signal = "switched in"
	SwitchedOut   Signal = "switched out"
	IgnitionOut   Signal = "ignition out"
	InjectorOut   Signal = "injector out"
	SerialBus     Signal = "serial or CAN"
	ShieldDrain   Signal = "shield"
	SwitchedPower Signal = "switched supply" // an output that gives battery voltage and does not sink it
)

// Signals lists every signal in the order a person is offered them.
var Signals = []Signal{SupplyIn, PowerGround, SensorGround, Reference5V, AnalogueIn, FrequencyIn, SwitchedIn, SwitchedOut,
	SwitchedPower, IgnitionOut, InjectorOut, SerialBus, ShieldDrain}

// Vital reports whether a lead with this signal is never proposed for removal, and needs a reason to be removed: supplies,
// power grounds, sensor grounds and shields. Parallel grounds are all needed.
//
// Source: common practice.
func (s Signal) Vital() bool {
	return s == SupplyIn || s == PowerGround || s == SensorGround || s == ShieldDrain
}

// Direction is which way a signal goes, seen from the controller.
type Direction string

// The directions.
const (
	NoDirection Direction = "" // not known
	Inward      Direction = "in"
	Outward     Direction = "out"
	BothWays    Direction = "both"
)

// Answer is yes, no, or not known.
type Answer string

// The answers.
const (
	Unknown Answer = ""
	Yes     Answer = "yes"
	No      Answer = "no"
)

// Insulation is the class of a wire's insulation by the temperature it bears for 3000 hours, as a person types it or one
// of the classes below.
type Insulation string

// The classes. Source: ISO 6722-1, temperature classes A to E, from memory.
const (
	NoInsulation Insulation = "" // not known
	Class85      Insulation = "85 C"
	Class100     Insulation = "100 C"
	Class105     Insulation = "105 C"
	Class125     Insulation = "125 C"
	Class150     Insulation = "150 C"
	Class175     Insulation = "175 C"
)

// Insulations lists every class in the order a person is offered them.
var Insulations = []Insulation{Class85, Class100, Class105, Class125, Class150, Class175}

// Decision is what is to become of a lead.
type Decision string

// The decisions. A fresh lead is undecided, never in use.
const (
	Undecided   Decision = ""
	Use         Decision = "use"
	Keep        Decision = "keep" // capped or on a terminal strip, for later
	Remove      Decision = "remove"
	Empty       Decision = "empty"        // there is no lead, and a plug is in the cavity
	NeverFitted Decision = "never fitted" // there is no lead and there never was
)

// Decisions lists every decision but undecided, in the order a person is offered them.
var Decisions = []Decision{Use, Keep, Remove, Empty, NeverFitted}

// Acted is a decision that was carried out.
type Acted struct {
	Decision Decision `json:"decision"` // the decision that was carried out: another one since then is not done
	At       string   `json:"at"`       // RFC 3339, the phone's time, only for show
}

// Done reports whether the lead is as it was decided: decided and physically done are two things.
func (l Lead) Done() bool {
	return l.Decision != Undecided && l.Acted != nil && l.Acted.Decision == l.Decision
}

// There reports whether there is a conductor in the cavity, so that it can be used: one that was supplied, and was not
// pulled out yet.
func (l Lead) There() bool {
	return l.Decision != Empty && l.Decision != NeverFitted && !(l.Acted != nil && l.Acted.Decision == Remove)
}

// Does returns what a lead does: its function, or what is printed on it.
func (l Lead) Does() string {
	if l.Function != "" {
		return l.Function
	}
	return l.Legend
}

// Class is what a circuit is to its neighbours in a bundle: what disturbs, and what is disturbed.
type Class string

// The classes.
const (
	NoClass     Class = "" // not known
	HighCurrent Class = "high current"
	Switching   Class = "switching" // lamps, valves, relays: ordinary loads
	Ignition    Class = "ignition"
	Injection   Class = "injection"
	Sensing     Class = "sensor"
	Sensitive   Class = "sensitive" // crank, cam, knock
	Bus         Class = "bus"
)

// Classes lists every class in the order a person is offered them.
var Classes = []Class{HighCurrent, Switching, Ignition, Injection, Sensing, Sensitive, Bus}

// Face is the side from which a connector is looked at.
type Face string

// The faces. A row of cavities runs the other way round from the other side.
const (
	NoFace     Face = "" // not known
	MatingFace Face = "mating face"
	WireSide   Face = "wire side"
)

// GridLimit is the most rows or columns of a connector or panel.
const GridLimit = 100

// Connector is a plug of a place: terminals whose Connector is its Name are its cavities.
type Connector struct {
	Record
	Place   string  `json:"place,omitzero"`
	Name    string  `json:"name,omitzero"` // "A"; empty where the place has one connector
	Rows    int     `json:"rows,omitzero"` // 0 is free: the cavities are a list
	Columns int     `json:"columns,omitzero"`
	Face    Face    `json:"face,omitzero"`   // from where its rows and columns are seen, as the source drew it
	Sealed  bool    `json:"sealed,omitzero"` // each cavity has a seal, which takes one wire, and needs a plug where there is none
	Order   float64 `json:"order,omitzero"`
	Note    string  `json:"note,omitzero"`
}

// PartKind is what a part of a panel is.
type PartKind string

// The kinds of part.
const (
	Fuse        PartKind = "fuse"
	Relay       PartKind = "relay"
	Switch      PartKind = "switch"
	Lamp        PartKind = "lamp"
	StripWay    PartKind = "strip position"
	Stud        PartKind = "stud"
	Battery     PartKind = "battery"
	FeedBar     PartKind = "bar" // a bus bar: what joins several fuses
	DiodePart   PartKind = "diode"
	BreakerPart PartKind = "breaker"
)

// PartKinds lists every kind in the order a person is offered them.
var PartKinds = []PartKind{Fuse, Relay, Switch, Lamp, StripWay, Stud, Battery, FeedBar, BreakerPart, DiodePart}

// Part is a piece that stands in a panel, or at another place: a fuse, a relay, a position of a terminal strip. Its
// terminals are those whose Part it is.
type Part struct {
	Record
	Place  string   `json:"place,omitzero"`
	Kind   PartKind `json:"kind,omitzero"`
	Name   string   `json:"name,omitzero"`   // "F1"
	Label  string   `json:"label,omitzero"`  // what it is for: "main relay"
	Rating *float64 `json:"rating,omitzero"` // amperes
	Feed   string   `json:"feed,omitzero"`   // the part that feeds it inside the panel, with no wire of ours: a bar
	Row    int      `json:"row,omitzero"`    // in the panel's grid, from 1; 0 is not arranged
	Column int      `json:"column,omitzero"`
	Order  float64  `json:"order,omitzero"`
	Note   string   `json:"note,omitzero"`
}

// State is what a car wire was measured to be.
type State string

// The states.
const (
	NotMeasured State = ""
	Live        State = "live"   // battery voltage
	Dead        State = "dead"   // nothing, and not joined to ground
	Grounded    State = "ground" // joined to ground
	Pulsing     State = "pulses"
)

// States lists every state in the order a person is offered them.
var States = []State{Live, Dead, Grounded, Pulsing}

// Tap is a wire of the car that ours is joined to, at a terminal of a place of the kind "car wire".
type Tap struct {
	Record
	Place     string  `json:"place,omitzero"`
	Terminal  string  `json:"terminal,omitzero"`
	Where     string  `json:"where,omitzero"` // where it is found: "behind the column, third from the left"
	Base      string  `json:"base,omitzero"`
	Tracer    string  `json:"tracer,omitzero"`
	Size      string  `json:"size,omitzero"`      // see unit.ParseSize
	Fed       string  `json:"fed,omitzero"`       // what it fed before
	Off       State   `json:"off,omitzero"`       // measured with the key off
	Accessory State   `json:"accessory,omitzero"` // with the key at accessory
	Run       State   `json:"run,omitzero"`       // with the key at run
	Crank     State   `json:"crank,omitzero"`     // while cranking: many feeds drop out then
	Holds     Answer  `json:"holds,omitzero"`     // whether it must be live while cranking; unknown is by its circuit
	Order     float64 `json:"order,omitzero"`
	Note      string  `json:"note,omitzero"`
}

// Circuit is what is joined together: every terminal that names it is one of its ends. Feeds, drives, signals and grounds
// are circuits of their own; what is on both sides of a fuse, a relay's contact or a load is two circuits.
type Circuit struct {
	Record
	Name   string   `json:"name,omitzero"` // its function: "injector feed"
	Signal Signal   `json:"signal,omitzero"`
	Class  Class    `json:"class,omitzero"`
	Feed   []string `json:"feed,omitzero"`   // the parts that feed it, from the battery on: a fuse, a relay, a switch
	Return string   `json:"return,omitzero"` // the circuit that takes its current back
	Amps   *float64 `json:"amps,omitzero"`   // nil is the sum of its devices
	Inrush *float64 `json:"inrush,omitzero"` // amperes when it is switched on
	Duty   *float64 `json:"duty,omitzero"`   // the part of the time that it is on, 0 to 1
	JoinAt string   `json:"joinAt,omitzero"` // the place where it is joined, if it has more than two ends
	Strip  string   `json:"strip,omitzero"`  // the terminal of a strip that it passes, so that it can be used otherwise later
	Size   string   `json:"size,omitzero"`   // of its wires, see unit.ParseSize
	Base   string   `json:"base,omitzero"`   // of its wires
	Tracer string   `json:"tracer,omitzero"`
	Looms  []string `json:"looms,omitzero"` // the looms its wires may use; empty is by its class
	Twist  string   `json:"twist,omitzero"` // of its wires
	Shield string   `json:"shield,omitzero"`
	Order  float64  `json:"order,omitzero"`
	Note   string   `json:"note,omitzero"`

	Bitrate   *float64 `json:"bitrate,omitzero"`   // of a bus: bits per second; nil is not known
	Resistors []string `json:"resistors,omitzero"` // of a bus: the places where a resistor ends it; none is not known
}
