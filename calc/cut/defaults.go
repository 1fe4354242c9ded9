package cut

import (
	"math"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// TermKind names a term of a length.
type TermKind string

// The terms, in the order in which they are listed.
const (
	OneRun      TermKind = "run"           // a run on the way
	RunsAsOne   TermKind = "runs together" // runs on the way that are known only together
	LongerRead  TermKind = "longer reading"
	Travel      TermKind = "travel"
	Movement    TermKind = "movement"
	DripLoop    TermKind = "drip loop"
	Corners     TermKind = "corners"
	PassThrough TermKind = "pass-through"
	Breakout    TermKind = "breakout"
	StripCrimp  TermKind = "strip and crimp"
	Rework      TermKind = "rework"
	ServiceLoop TermKind = "service loop"
	InPanel     TermKind = "in the panel"
	SpliceEnd   TermKind = "splice end"
	SpliceOff   TermKind = "splice set off"
	Margin      TermKind = "margin"
	Tail        TermKind = "tail"
	Flat        TermKind = "flat"
	Percent     TermKind = "percent"
	Rounding    TermKind = "rounding"
)

const mm = unit.Millimetre

// The allowances of a build that sets none of its own.
const (
	DefaultStripCrimp  = 15 * mm
	DefaultRework      = 25 * mm
	DefaultServiceLoop = 100 * mm
	DefaultTail        = 200 * mm
	DefaultBreakout    = 15 * mm
	DefaultSpliceEnd   = 30 * mm
	DefaultMovement    = 75 * mm
	DefaultDripLoop    = 60 * mm
	DefaultPassThrough = 15 * mm
	DefaultCorner      = 14 * mm
	DefaultFlat        = 100 * mm
	DefaultPercent     = 20.0
)

// Default is one allowance as the app offers it.
type Default struct {
	Kind    TermKind
	Name    string      // what it is for
	Value   unit.Length // 0 of Percent
	Percent float64     // of Percent
	Source  string
}

// Defaults is the table of all allowances, in the order of the settings.
var Defaults = []Default{
	{StripCrimp, "each bare end: strip and crimp, one try", DefaultStripCrimp, 0,
		"common practice: 10 to 15 mm; the upper end, because too short is the failure"},
	{Rework, "each bare end: room for two more terminations", DefaultRework, 0,
		"two re-terminations, FAA AC 43.13-1B ch. 11; 25 to 50 mm is common practice"},
	{ServiceLoop, "each end at a controller, panel or terminal strip", DefaultServiceLoop, 0,
		"common practice: 100 to 150 mm at a controller or panel"},
	{Tail, "each device end: left long, trimmed in the car", DefaultTail, 0,
		"common practice: 150 to 300 mm when building on the bench"},
	{Breakout, "each split passed", DefaultBreakout, 0,
		"common practice: 10 to 25 mm, half to one bundle diameter"},
	{SpliceEnd, "each end in a joint: overlap and strip", DefaultSpliceEnd, 0,
		"common practice: 25 to 40 mm per wire"},
	{Movement, "each run between engine and body", DefaultMovement, 0,
		"common practice: a loop of 50 to 100 mm"},
	{DripLoop, "each run with a drip loop", DefaultDripLoop, 0,
		"a low point before a connector, FAA AC 43.13-1B ch. 11; down and up again over 30 mm, of the 25 to 50 mm of common practice"},
	{PassThrough, "each run that ends at a pass-through", DefaultPassThrough, 0,
		"our choice: about the thickness of a grommet and its bend on each side"},
	{Corners, "each 90 degree corner of a run", DefaultCorner, 0,
		"0.785 × (20 mm loom − 3 mm string) = 13.3 mm, rounded up"},
	{Flat, "every wire, in place of the terms", DefaultFlat, 0,
		"common practice: about 100 mm per wire"},
	{Percent, "every wire, in place of the terms", 0, DefaultPercent,
		"common practice: 20 % for a twisted harness, waste included"},
}

// SetInBuild is the source of an allowance that the build sets itself.
const SetInBuild = "set in this build"

// Allowance returns the allowance a build uses for a kind of term, and where it comes from. A setting below zero or above
// unit.Longest is not used.
func Allowance(s harness.Settings, kind TermKind) (value unit.Length, source string) {
	var own *unit.Length
	switch kind {
	case StripCrimp:
		own = s.StripCrimp
	case Rework:
		own = s.Rework
	case ServiceLoop:
		own = s.ServiceLoop
	case Tail:
		own = s.Tail
	case Breakout:
		own = s.Breakout
	case SpliceEnd:
		own = s.SpliceEnd
	case Movement:
		own = s.Movement
	case DripLoop:
		own = s.DripLoop
	case PassThrough:
		own = s.PassThrough
	case Corners:
		own = s.CornerEach
	case Flat:
		own = s.AllowFlat
	}
	if own != nil && *own >= 0 && *own <= unit.Longest {
		return *own, SetInBuild
	}
	for _, d := range Defaults {
		if d.Kind == kind {
			return d.Value, d.Source
		}
	}
	return 0, ""
}

// AllowancePercent returns the part of the runs that a build adds with AllowPercent, and where it comes from. A setting
// that is not between 0 and 1000 is not used.
func AllowancePercent(s harness.Settings) (percent float64, source string) {
	if p := s.AllowPercent; p != nil && *p >= 0 && *p <= 1000 {
		return *p, SetInBuild
	}
	return DefaultPercent, Defaults[len(Defaults)-1].Source
}

// part returns a per cent of a length, rounded up to a nanometre.
func part(l unit.Length, percent float64) unit.Length {
	return unit.Length(math.Ceil(float64(l) * percent / 100))
}
