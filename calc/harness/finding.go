package harness

// Ref names a record.
type Ref struct {
	Kind Kind
	ID   string
}

// Severity is how much a finding matters.
type Severity int

// The severities, worst first.
const (
	Stop Severity = iota + 1 // it will not work, or it will hurt
	Warn                     // look before you go on
	Note                     // worth knowing
)

func (s Severity) String() string {
	switch s {
	case Stop:
		return "stop"
	case Warn:
		return "warning"
	case Note:
		return "note"
	}
	return "unknown"
}

// Finding is something about the state of a build that a person should mend or know.
type Finding struct {
	Rule     string // a short name that stays the same: "no ground"
	Severity Severity
	Subject  Ref    // what it is about
	Also     []Ref  // what else it is about
	What     string // what is wrong, as a person says it
	Got      string // what is there, with its unit; empty where What says it
	Limit    string // what should be there, with its unit; likewise
	Source   string // where the rule comes from
	Fix      Fix
}

// Fix is where a finding is mended.
type Fix struct {
	At    Ref    // the record to open
	Field string // the field to set there, by its name in JSON; empty is the record as a whole
	Do    string // what to do, as a person says it: "say what becomes of it"
}
