package harness

import "loomwright/calc/unit"

// Kind names a record type, as written in the build file.
type Kind string

// The kinds of record. A file may hold others, written by a newer version: they are kept and not shown.
const (
	KindSettings Kind = "build" // exactly one, its id is the build's
	KindPlace    Kind = "place"
	KindRun      Kind = "run"
	KindReading  Kind = "reading"
	KindLoom     Kind = "loom"
	KindTerminal Kind = "terminal"
	KindLead     Kind = "lead"
	KindWire     Kind = "wire"
	KindJoint    Kind = "joint"
	KindTag      Kind = "tag"

	KindConnector Kind = "connector"
	KindPart      Kind = "part"
	KindTap       Kind = "tap"
	KindCircuit   Kind = "circuit"

	KindDismissal Kind = "dismissal"

	KindStock  Kind = "stock"
	KindTick   Kind = "tick"
	KindSample Kind = "sample"

	KindHunt      Kind = "hunt"
	KindPhoto     Kind = "photo"
	KindAmendment Kind = "amendment"

	KindResult    Kind = "result"
	KindExpect    Kind = "expectation"
	KindCaliper   Kind = "caliper"
	KindCoverSize Kind = "cover"
)

// Record is what every kind has: an id (a UUID), and Gone when it was deleted. Nothing else is ever removed.
type Record struct {
	ID   string `json:"-"`
	Gone bool   `json:"gone,omitzero"`
}

// Settings is the build itself: what it is called and what it counts in.
type Settings struct {
	Record
	Title string      `json:"title,omitzero"`
	Car   string      `json:"car,omitzero"`  // free text
	Unit  unit.System `json:"unit,omitzero"` // "mm" or "in": what is shown, and what a bare number means
	Volts float64     `json:"volts,omitzero"`
	Of    string      `json:"of,omitzero"` // the build this is a copy of
	Note  string      `json:"note,omitzero"`

	// Allowances. A nil pointer is "the default"; see package cut for the defaults and their sources.
	AllowBy      AllowBy      `json:"allowBy,omitzero"`
	AllowFlat    *unit.Length `json:"allowFlat,omitzero"`    // per wire, with AllowBy "flat"
	AllowPercent *float64     `json:"allowPercent,omitzero"` // per cent of the route, with AllowBy "percent"
	StripCrimp   *unit.Length `json:"stripCrimp,omitzero"`   // each bare end: strip and crimp, one try
	Rework       *unit.Length `json:"rework,omitzero"`       // each bare end: room for two more terminations
	ServiceLoop  *unit.Length `json:"serviceLoop,omitzero"`  // each end at a controller, panel or terminal strip
	Tail         *unit.Length `json:"tail,omitzero"`         // each device end, left long and trimmed in the car
	Breakout     *unit.Length `json:"breakout,omitzero"`     // each split passed
	SpliceEnd    *unit.Length `json:"spliceEnd,omitzero"`    // each end in a joint: overlap and strip
	Movement     *unit.Length `json:"movement,omitzero"`     // each run that moves (engine to body)
	DripLoop     *unit.Length `json:"dripLoop,omitzero"`     // each run with a drip loop
	PassThrough  *unit.Length `json:"passThrough,omitzero"`  // each run that ends at a pass-through
	CornerEach   *unit.Length `json:"cornerEach,omitzero"`   // each 90 degree corner of a run

	CrimpBy string `json:"crimpBy,omitzero"` // the standard that says what a crimp must hold, see wire.Standard; empty is the usual one

	// How far off a reading is likely to be, by its method, and what the margin of a cut makes of it. Nil is "the
	// default"; see package survey for the defaults and their sources.
	SigmaString  *Spread      `json:"sigmaString,omitzero"`
	SigmaTape    *Spread      `json:"sigmaTape,omitzero"`
	SigmaGuess   *Spread      `json:"sigmaGuess,omitzero"`
	SigmaDrawing *Spread      `json:"sigmaDrawing,omitzero"`
	SigmaAsBuilt *Spread      `json:"sigmaAsBuilt,omitzero"`
	StringThick  *unit.Length `json:"stringThick,omitzero"` // the string's diameter, where a reading does not say
	Margin       MarginBy     `json:"margin,omitzero"`

	Ampacity string `json:"ampacity,omitzero"` // whose rules say what a wire may carry, see package wire; empty is its default

	// How wire is cut and bought. Nil is "the default"; see package supply for the defaults and their sources.
	Kerf      *unit.Length `json:"kerf,omitzero"`      // lost at each cut
	Offcut    *unit.Length `json:"offcut,omitzero"`    // the shortest rest that is worth keeping
	BuyStep   *unit.Length `json:"buyStep,omitzero"`   // wire by the metre is sold in multiples of it
	SpareWire *float64     `json:"spareWire,omitzero"` // per cent bought beyond what is needed
	SparePins *float64     `json:"sparePins,omitzero"` // per cent of terminals and seals bought beyond what is needed
}

// Spread is a standard deviation that grows with the length: Fixed and Percent of the length, but at least Least.
type Spread struct {
	Fixed   unit.Length `json:"fixed,omitzero"`
	Percent float64     `json:"percent,omitzero"`
	Least   unit.Length `json:"least,omitzero"`
}

// MarginBy is how sure a cut length must be to reach; see package cut for the numbers.
type MarginBy string

// From the least wire wasted to the fewest wires short.
const (
	MarginTight  MarginBy = "tight"
	MarginNormal MarginBy = "" // the default
	MarginSafe   MarginBy = "safe"
)

// AllowBy is how much is added to the route of a wire.
type AllowBy string

// Term by term (the default), or as many shops do it.
const (
	AllowTerms   AllowBy = ""        // each term from its cause
	AllowFlat    AllowBy = "flat"    // one length for every wire
	AllowPercent AllowBy = "percent" // a part of the route
)

// PlaceKind is what stands at a place.
type PlaceKind string

// The kinds of place.
const (
	Controller    PlaceKind = "controller"
	Device        PlaceKind = "device"
	Split         PlaceKind = "split"
	PassThrough   PlaceKind = "pass-through"
	Panel         PlaceKind = "panel"
	TerminalStrip PlaceKind = "terminal strip"
	Splice        PlaceKind = "splice"
	Ground        PlaceKind = "ground"
	Supply        PlaceKind = "supply"
	Inline        PlaceKind = "inline connector"
	CarWire       PlaceKind = "car wire" // a tap into the car's own wiring
)

// PlaceKinds lists every kind in the order a person is offered them.
var PlaceKinds = []PlaceKind{Split, Device, PassThrough, Panel, Ground, Supply, Controller, TerminalStrip, Splice, Inline, CarWire}

// PlaceStatus is how sure it is where a place will be.
type PlaceStatus string

// A place is open until somebody decides; measuring before that is measuring twice.
const (
	Open    PlaceStatus = "" // not decided
	Decided PlaceStatus = "decided"
	Mounted PlaceStatus = "mounted"
)

// FixedBy is where a split gets its position.
type FixedBy string

// A split is laid exactly on the bench, or left open until the loom lies in the car.
const (
	OnBench FixedBy = "" // fixed on the bench
	InCar   FixedBy = "car"
)

// Place is a point of the route.
type Place struct {
	Record
	Name   string       `json:"name,omitzero"`
	Kind   PlaceKind    `json:"kind,omitzero"`
	Status PlaceStatus  `json:"status,omitzero"`
	Fixed  FixedBy      `json:"fixed,omitzero"`  // of a split
	Travel *unit.Length `json:"travel,omitzero"` // how far a mount here hinges or lowers: every run that leaves it needs it
	Order  float64      `json:"order,omitzero"`
	Note   string       `json:"note,omitzero"`

	Device  string   `json:"device,omitzero"`  // of a device: the key of its kind, see package circuit; empty is none of them
	Amps    *float64 `json:"amps,omitzero"`    // of a device: what it draws while it works; nil is what is typical of its kind
	Inrush  *float64 `json:"inrush,omitzero"`  // of a device: amperes when it is switched on; nil is what is typical of its kind
	Rows    int      `json:"rows,omitzero"`    // of a panel: the grid its parts stand in; 0 is free
	Columns int      `json:"columns,omitzero"` // likewise

	Zone   Zone         `json:"zone,omitzero"`   // as a person says; empty is told from what stands there
	Hole   *unit.Length `json:"hole,omitzero"`   // of a pass-through: its diameter; nil is not known
	Bore   *unit.Length `json:"bore,omitzero"`   // of a pass-through: the inside of its grommet; nil is none, or not chosen
	Slit   bool         `json:"slit,omitzero"`   // of a pass-through: its grommet is slit, so it goes on at any time
	Pull   string       `json:"pull,omitzero"`   // of a pass-through: the place beside it from which the loom is pulled; empty is the easier side
	Across *unit.Length `json:"across,omitzero"` // the smallest hole that its finished connector goes through; nil is not known
	Made   Answer       `json:"made,omitzero"`   // whether that is finished before the loom is pulled; unknown: a controller's is, others are not

	Pitch *unit.Length `json:"pitch,omitzero"` // of a panel: from one position of its grid to the next; nil is the default of package cut
}

// Run is the stretch between two neighbouring places, in one loom. It has no length: readings say what it is.
type Run struct {
	Record
	A       string   `json:"a,omitzero"` // place
	B       string   `json:"b,omitzero"` // place
	Loom    string   `json:"loom,omitzero"`
	Corners int      `json:"corners,omitzero"` // 90 degree corners
	Hot     bool     `json:"hot,omitzero"`
	Moves   bool     `json:"moves,omitzero"` // between the engine and the body
	Wet     bool     `json:"wet,omitzero"`
	Drip    bool     `json:"drip,omitzero"` // a drip loop is laid here
	Sharp   bool     `json:"sharp,omitzero"`
	Clip    bool     `json:"clip,omitzero"`
	Order   float64  `json:"order,omitzero"`
	Note    string   `json:"note,omitzero"`
	Became  []string `json:"became,omitzero"` // of a run that is gone: the runs it was split into, or the one it was joined to
	Cover   Cover    `json:"cover,omitzero"`  // over its bundle; empty is that of its loom
}

// Method is how a reading was taken.
type Method string

// The ways to read a length.
const (
	ByString  Method = "" // a string laid on the route, read off a tape
	ByTape    Method = "tape"
	ByGuess   Method = "guess"
	AsBuilt   Method = "as built"
	ByDrawing Method = "drawing"
)

// Reading is one length as it was read. It is never rewritten: a correction is another reading, or Gone.
type Reading struct {
	Record
	Places []string    `json:"places,omitzero"` // the places passed, in order, at least two
	Runs   []string    `json:"runs,omitzero"`   // the runs passed, one fewer; they settle which of two parallel runs is meant
	Text   string      `json:"text,omitzero"`   // as typed
	Unit   unit.System `json:"unit,omitzero"`   // what a bare number meant
	Value  unit.Length `json:"value,omitzero"`
	Method Method      `json:"method,omitzero"`
	At     string      `json:"at,omitzero"` // RFC 3339, the phone's time, only for show
	Note   string      `json:"note,omitzero"`

	Sigma   *unit.Length `json:"sigma,omitzero"`   // its standard deviation; nil is by the method
	Corners *int         `json:"corners,omitzero"` // 90 degree corners the string was pulled round; nil is those of the runs
	Thick   *unit.Length `json:"thick,omitzero"`   // the string's diameter; nil is the build's
	Zero    *unit.Length `json:"zero,omitzero"`    // of a mark along a string: what the tape showed at Places[0]; Text is the mark, Value is Text less this
	Out     bool         `json:"out,omitzero"`     // a person threw it out: kept, shown, and not used
	OutWhy  string       `json:"outWhy,omitzero"`  // why
}

// Loom is a bundle with a name: main, power and ground, cabin.
type Loom struct {
	Record
	Name    string  `json:"name,omitzero"`
	Order   float64 `json:"order,omitzero"`
	Note    string  `json:"note,omitzero"`
	Classes []Class `json:"classes,omitzero"` // the circuits that go in it by default; empty is any
	Cover   Cover   `json:"cover,omitzero"`   // over its runs; empty is not chosen
}

// Terminal is where a wire ends at a place: a cavity of a connector, a stud, a screw of a strip.
type Terminal struct {
	Record
	Place     string  `json:"place,omitzero"`
	Connector string  `json:"connector,omitzero"` // "A"; empty where the place has one connector
	Name      string  `json:"name,omitzero"`      // "14", "87a", "signal"
	Order     float64 `json:"order,omitzero"`
	Note      string  `json:"note,omitzero"`

	Circuit   string `json:"circuit,omitzero"`   // the circuit it is an end of; empty is none yet
	Part      string `json:"part,omitzero"`      // the part of a panel it belongs to
	Signal    Signal `json:"signal,omitzero"`    // what it carries, where its lead or its device's kind does not say
	Need      Answer `json:"need,omitzero"`      // whether it must be joined; unknown is by its device's kind
	Row       int    `json:"row,omitzero"`       // in its connector, from 1, as seen from the connector's Face; 0 is by its order
	Column    int    `json:"column,omitzero"`    // likewise
	Plugged   bool   `json:"plugged,omitzero"`   // a blanking plug is in it
	SharedWhy string `json:"sharedWhy,omitzero"` // why two conductors are in it
}

// Lead is a supplied flying wire: terminated at one end, bare at the other.
type Lead struct {
	Record
	Terminal string       `json:"terminal,omitzero"` // the controller's cavity it sits in
	Legend   string       `json:"legend,omitzero"`   // what is printed on it
	Size     string       `json:"size,omitzero"`     // see ParseSize
	Base     string       `json:"base,omitzero"`
	Tracer   string       `json:"tracer,omitzero"`
	Length   *unit.Length `json:"length,omitzero"` // as supplied, from the rear face of the connector; nil is unknown
	Order    float64      `json:"order,omitzero"`
	Note     string       `json:"note,omitzero"`

	Function    string     `json:"function,omitzero"` // what it does in this car; Legend stays what is printed on it
	Direction   Direction  `json:"direction,omitzero"`
	Signal      Signal     `json:"signal,omitzero"`
	Insulation  Insulation `json:"insulation,omitzero"`
	Twist       string     `json:"twist,omitzero"`       // leads with the same text here are twisted together as supplied
	Shield      string     `json:"shield,omitzero"`      // leads with the same text here are under one shield; its drain is the one with the signal "shield"
	Reassign    Answer     `json:"reassign,omitzero"`    // whether the controller can give this pin another function
	Decision    Decision   `json:"decision,omitzero"`    // what is to become of it
	DecisionWhy string     `json:"decisionWhy,omitzero"` // why; needed to remove a supply, ground, sensor ground or shield
	Acted       *Acted     `json:"acted,omitzero"`       // the decision as it was carried out
	Parked      string     `json:"parked,omitzero"`      // of one that is kept: the place where it is capped and folded back
	Seated      string     `json:"seated,omitzero"`      // RFC 3339: when its pin was checked to sit; the phone's time, only for show

	// How the controller must be set for this pin. Empty is not known.
	Sensor   string   `json:"sensor,omitzero"`   // the kind of sensor, or the name of its curve: "NTC 2k5 at 20 C"
	PullUp   *float64 `json:"pullUp,omitzero"`   // ohms inside the controller, to 5 V; 0 is none
	Polarity string   `json:"polarity,omitzero"` // "falling edge", "active low"
	Coil     string   `json:"coil,omitzero"`     // of an ignition output: with or without a driver, and its dwell
	Injector string   `json:"injector,omitzero"` // of an injector output: high or low impedance, its flow and dead time
}

// End is one end of a wire: at a terminal of a place, at a place with no terminal chosen yet, or in a joint.
type End struct {
	Place    string `json:"place,omitzero"`
	Terminal string `json:"terminal,omitzero"`
	Joint    string `json:"joint,omitzero"`
}

// Done is a piece of work that was really done, with what it was done to.
type Done struct {
	Length unit.Length `json:"length"` // cut or trimmed to
	At     string      `json:"at"`     // RFC 3339, the phone's time, only for show
}

// Wire is one conductor from end to end.
type Wire struct {
	Record
	Name     string   `json:"name,omitzero"` // "W27": short, unique, never reused
	Function string   `json:"function,omitzero"`
	From     End      `json:"from,omitzero"`
	To       End      `json:"to,omitzero"`
	Size     string   `json:"size,omitzero"` // see ParseSize
	Base     string   `json:"base,omitzero"`
	Tracer   string   `json:"tracer,omitzero"`
	Looms    []string `json:"looms,omitzero"` // the looms it may use; empty is any
	Via      []string `json:"via,omitzero"`   // places it must pass, in order
	Lead     string   `json:"lead,omitzero"`  // the supplied lead it is made of; its From end is the lead's cavity
	Twist    string   `json:"twist,omitzero"` // wires with the same text here are twisted together
	Cut      *Done    `json:"cut,omitzero"`   // of an added wire
	Trimmed  *Done    `json:"trimmed,omitzero"`
	Order    float64  `json:"order,omitzero"`
	Note     string   `json:"note,omitzero"`

	Circuit    string     `json:"circuit,omitzero"`    // the circuit it is a part of
	Class      Class      `json:"class,omitzero"`      // empty is that of its circuit
	Shield     string     `json:"shield,omitzero"`     // wires with the same text here are under one shield
	Insulation Insulation `json:"insulation,omitzero"` // empty is unknown
	Source     string     `json:"source,omitzero"`     // what it was proposed from; empty where a person drew it
	Edited     bool       `json:"edited,omitzero"`     // a person changed it since it was proposed: no proposal changes it any more

	Outside *unit.Length `json:"outside,omitzero"` // over its insulation, as a caliper says; nil is not measured

	Stock     string `json:"stock,omitzero"`     // the wire on hand that it, or its extension, was cut from; empty is not said
	ExtendAt  string `json:"extendAt,omitzero"`  // of a lead that is too short: the place where more is spliced on
	ExtendWhy string `json:"extendWhy,omitzero"` // why it is spliced; needed for crank, cam and knock
	Extended  *Done  `json:"extended,omitzero"`  // the piece that is spliced on was cut
}

// Joint is wires spliced together: a shared feed or ground.
type Joint struct {
	Record
	Name  string  `json:"name,omitzero"`
	Place string  `json:"place,omitzero"` // where it is made
	Order float64 `json:"order,omitzero"`
	Note  string  `json:"note,omitzero"`

	Circuit string `json:"circuit,omitzero"` // the circuit it is a part of
	Source  string `json:"source,omitzero"`  // what it was proposed from; empty where a person made it
	Edited  bool   `json:"edited,omitzero"`  // a person changed it since it was proposed

	Offset unit.Length `json:"offset,omitzero"` // how far from its place it is made, so that splices of several joints do not lie side by side
}

// Tag is a code on a wire's end or a bundle. It is made with its subject and never changed; a retired tag still
// resolves.
type Tag struct {
	Record
	Code    string `json:"code,omitzero"` // eight signs, see package tag
	On      Kind   `json:"on,omitzero"`   // KindWire, KindPlace, KindRun
	Subject string `json:"subject,omitzero"`
	End     TagEnd `json:"end,omitzero"` // of a wire
	Of      string `json:"of,omitzero"`  // in a copy of a build: the code on the original
	Retired bool   `json:"retired,omitzero"`
}

// TagEnd is which end of a wire a tag sits on.
type TagEnd string

// The ends of a wire.
const (
	FromEnd TagEnd = "from"
	ToEnd   TagEnd = "to"
)
