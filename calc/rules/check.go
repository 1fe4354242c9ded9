package rules

import (
	"cmp"
	"slices"

	"loomwright/calc/circuit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/wire"
)

// The rules of this package. Those of planning are named in package circuit, those of runs and readings in package route.
const (
	Overload        = "overload"         // a wire carries more than it may
	FuseLate        = "fuse too late"    // in a short, a wire is hurt before its fuse opens, or it never does
	FuseLarge       = "fuse above wire"  // an overload heats the wire
	FuseSmall       = "fuse too small"   // for what hangs on it
	FuseStart       = "fuse at start"    // when what hangs on it is switched on
	ContactSmall    = "contact overload" // a relay or switch
	Unfused         = "no fuse"          // too far from the battery, or none at all
	VoltDrop        = "volt drop"
	Shorted         = "short"
	FiveOnBattery   = "5 V on battery"
	FedTwice        = "fed twice"
	NoStrap         = "no strap"
	ThinStrap       = "thin strap"
	ShieldLoose     = "shield not grounded"
	Beside          = "beside noise"
	WrongLoom       = "wrong loom"
	SharedHole      = "shared pass-through"
	ReturnApart     = "return apart"
	BusLoose        = "bus not twisted"
	BusEnds         = "bus ends"
	BusBranch       = "bus branch"
	TooHot          = "too hot"
	SharpEdge       = "sharp edge"
	NoDrip          = "no drip loop"
	NoSlack         = "no slack"
	SpliceMoves     = "splice moves"
	SpliceInHole    = "splice in a hole"
	SpliceSensitive = "splice in a signal"
	LeadShort       = "lead too short"
	CutShort        = "cut too short"
	HoleSmall       = "hole too small"
	GrommetSmall    = "grommet too small"
	NotThrough      = "does not go through"
	CoverNone       = "cover does not fit"
	NameTwice       = "name twice"
	NotChecked      = "not checked"
)

const common = "common practice"

// order is the order of rules of one severity: what burns, what was joined wrongly, what does not work, what disturbs, what
// was made wrongly, what is not planned, what is not known.
var order = []string{
	Shorted, FiveOnBattery, FuseLate, Overload, FuseLarge, Unfused, NoStrap, circuit.GroundsMixed, ThinStrap, FedTwice, FuseSmall, FuseStart, ContactSmall, VoltDrop,
	TooHot, Beside, BusEnds, BusBranch, BusLoose, circuit.ShieldTwice, ShieldLoose, ReturnApart, WrongLoom, SharedHole,
	LeadShort, CutShort, NoSlack, SpliceMoves, SpliceInHole, SpliceSensitive, HoleSmall, GrommetSmall, NotThrough, SharpEdge, NoDrip, CoverNone, NameTwice,
}

// Options are what a person chooses.
type Options struct {
	Rules  wire.Rules                    // whose rules say what a wire may carry; empty is as the build says
	Length func(harness.Wire) cut.Result // may have kept them; nil works each out; it must be of this build and graph
	Net    *circuit.Net                  // of this build; nil makes one
}

// Check looks over a build and returns what it finds: what a person dismissed comes last; the rest comes by severity, then
// by rule, then in the order of the records. The graph is of the same build. Cost: linear in the records, with a way and a
// length for each wire, and for each fuse the wires behind it.
func Check(b *harness.Build, g *route.Graph, o Options) []harness.Finding {
	f := gather(b, g, o)
	f.check()
	return f.sorted()
}

func (f *facts) check() {
	f.ampacity()
	f.fuses()
	f.unfused()
	f.drops()
	f.joins()
	f.strap()
	f.shields()
	f.beside()
	f.looms()
	f.holes()
	f.pulled()
	f.covered()
	f.returns()
	f.buses()
	f.around()
	f.splices()
	f.lengths()
	f.names()
	f.planned()
	f.routed()
	f.unknowns()
	f.dismiss()
}

// sorted is what was found, in the order of Check.
func (f *facts) sorted() []harness.Finding {
	rank := make(map[string]int, len(order))
	for i, r := range order {
		rank[r] = i - len(order)
	}
	at := make([]int, len(f.all))
	for i := range at {
		at[i] = i
	}
	slices.SortStableFunc(at, func(i, j int) int {
		x, y := &f.all[i], &f.all[j]
		return cmp.Or(compare(x.Dismissed != "", y.Dismissed != ""), cmp.Compare(x.Severity, y.Severity), cmp.Compare(known(rank, x.Rule), known(rank, y.Rule)))
	})
	sorted := make([]harness.Finding, len(at))
	for i, k := range at {
		sorted[i] = f.all[k]
	}
	return sorted
}

// known is the rank of a rule: those with none come after, in the order in which they were found, and what was not checked
// at the end.
func known(rank map[string]int, rule string) int {
	if rule == NotChecked {
		return 1
	}
	return rank[rule]
}

func compare(x, y bool) int {
	switch {
	case x == y:
		return 0
	case y:
		return -1
	}
	return 1
}

func (f *facts) add(x harness.Finding) { f.all = append(f.all, x) }
