package circuit

import (
	"fmt"

	"loomwright/calc/harness"
)

// Records are records to be put, each with its id: new ones, and changed ones as they are to be.
type Records struct {
	Places     []harness.Place
	Looms      []harness.Loom
	Connectors []harness.Connector
	Parts      []harness.Part
	Circuits   []harness.Circuit
	Terminals  []harness.Terminal
	Leads      []harness.Lead
	Joints     []harness.Joint
	Wires      []harness.Wire
}

// Len returns how many there are.
func (r *Records) Len() int {
	return len(r.Places) + len(r.Looms) + len(r.Connectors) + len(r.Parts) + len(r.Circuits) + len(r.Terminals) + len(r.Leads) + len(r.Joints) + len(r.Wires)
}

// Into puts all of them into a build, as accepting them does.
func (r *Records) Into(b *harness.Build) error {
	for _, err := range []error{
		into(b, harness.KindPlace, r.Places), into(b, harness.KindLoom, r.Looms), into(b, harness.KindConnector, r.Connectors),
		into(b, harness.KindPart, r.Parts), into(b, harness.KindCircuit, r.Circuits), into(b, harness.KindTerminal, r.Terminals),
		into(b, harness.KindLead, r.Leads), into(b, harness.KindJoint, r.Joints), into(b, harness.KindWire, r.Wires),
	} {
		if err != nil {
			return err
		}
	}
	return nil
}

func into[T any, P interface {
	*T
	Identity() string
}](b *harness.Build, kind harness.Kind, all []T) error {
	for i := range all {
		object, err := harness.Encode(all[i])
		if err != nil {
			return fmt.Errorf("circuit: %s: %w", kind, err)
		}
		if _, err := b.Put(kind, P(&all[i]).Identity(), object); err != nil {
			return err
		}
	}
	return nil
}

// ProposalKind is what a proposal makes.
type ProposalKind string

// The kinds of proposal, in the order they are made.
const (
	OneWire     ProposalKind = "wire"        // from terminal to terminal
	SharedWires ProposalKind = "joint"       // wires spliced together
	StarWires   ProposalKind = "star"        // wires to one terminal that takes several
	ShieldWire  ProposalKind = "shield"      // a drain, grounded at one end
	StripWire   ProposalKind = "strip"       // a kept lead to a terminal strip
	RenewWire   ProposalKind = "renew"       // a wire made of a lead that was described anew
	StaleWire   ProposalKind = "stale"       // a wire that its circuit does not ask for any more goes
	NewDevice   ProposalKind = "device"      // from what a lead does
	Assignment  ProposalKind = "assignment"  // of a lead to a terminal of a device
	SharedFeed  ProposalKind = "shared feed" // of all devices of a kind, or their ground
)

// Proposal is something that the plan asks for and that is not there yet. Its ID comes from what it is made of.
type Proposal struct {
	ID   string
	Kind ProposalKind
	Of   harness.Ref // the circuit, lead or place it comes from
	What string      // "injector feed: 4 wires joined at Injector split"
	Why  string
	Put  Records

	Copper bool // Of is a circuit with a joint that is worth comparing: see CopperOf
}
