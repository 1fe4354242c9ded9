package harness

import (
	"fmt"

	"loomwright/calc/unit"
)

// Ref names a record.
type Ref struct {
	Kind Kind
	ID   string
}

// Severity is how much a finding matters.
type Severity int

// The severities, worst first.
const (
	Hurt Severity = iota + 1 // it will hurt: a wire may burn, or something breaks
	Stop                     // it will fail: it does not work
	Warn                     // worth a look before you go on
	Note                     // worth knowing, and what could not be checked
)

// Severities lists them all, worst first.
var Severities = []Severity{Hurt, Stop, Warn, Note}

func (s Severity) String() string {
	switch s {
	case Hurt:
		return "will hurt"
	case Stop:
		return "will fail"
	case Warn:
		return "worth a look"
	case Note:
		return "worth knowing"
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

	Terms     []unit.Term // what Got and Limit are made of, so that a person can follow it; may be none
	Dismissed string      // why a person dismissed it; empty where nobody did, or where the facts changed since
}

// Fix is where a finding is mended.
type Fix struct {
	At    Ref    // the record to open
	Field string // the field to set there, by its name in JSON; empty is the record as a whole
	Do    string // what to do, as a person says it: "say what becomes of it"
	Put   []Put  // the records as they are to be, where it can be done in one tap; else none
}

// Put is a record as it is to be.
type Put struct {
	Ref
	Record any // a struct of the kind: Wire, Part, Circuit, …
}

// Apply puts the records of a fix.
func (b *Build) Apply(all []Put) error {
	for _, p := range all {
		object, err := Encode(p.Record)
		if err != nil {
			return err
		}
		known, err := b.Put(p.Kind, p.ID, object)
		if err != nil {
			return err
		}
		if !known {
			return fmt.Errorf("harness: apply: there is no kind %q", p.Kind)
		}
	}
	return nil
}

// Dismissal is a finding that a person looked at and lets be. It is of the facts as they were then: a finding whose stamp
// is another comes back.
type Dismissal struct {
	Record
	Rule    string `json:"rule,omitzero"`
	On      Kind   `json:"on,omitzero"` // the kind of the finding's subject
	Subject string `json:"subject,omitzero"`
	Reason  string `json:"reason,omitzero"` // why it may be
	Stamp   string `json:"stamp,omitzero"`  // of the facts, see package rules
	At      string `json:"at,omitzero"`     // RFC 3339, the phone's time, only for show
}
