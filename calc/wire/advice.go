package wire

import (
	"loomwright/calc/unit"
)

// Need is a circuit and what is asked of a wire in it.
type Need struct {
	Load         Load
	Use          Use     // how the wire is used; its Size is the one that is tried
	Table        Table   // what the wire is made to
	Pieces       []Piece // the way out and back, in a row; those without a size are the wire that is asked for
	AllowedVolts float64 // the most that may be lost; 0 is not asked for
	Volts        float64 // of the supply
	SourceOhm    float64
	Rating       float64 // of the fuse in amperes; 0 is no fuse, then nothing is said of fuse and fault
	Blade        Blade
	Sizes        []unit.Size // to try, thin first; nil is Sizes(Table)
}

// Rule names what a check is about.
type Rule string

// The rules, in the order of the checks.
const (
	RuleAmpacity Rule = "ampacity"  // the load against what the wire may carry
	RuleDrop     Rule = "volt drop" // what is lost against what is allowed
	RuleFuse     Rule = "fuse"      // the fuse against what the wire may carry
	RuleFault    Rule = "fault"     // a short at the far end: the fuse opens before a wire is hurt
	RuleSmallest Rule = "smallest"  // of advice: nothing thinner was to be tried
)

// Check is one rule applied to one size.
type Check struct {
	Rule    Rule
	Passes  bool
	Got     float64
	Limit   float64
	Unit    string // of both
	Unknown string // why it cannot be told; it does not pass then
	Terms   []unit.Term
}

// Checks applies every rule to one size, in the order of the rules; a rule that was not asked for is left out. For
// RuleFault, Got is what the fuse lets through as seconds at the fault current and Limit what the weakest wire bears; a
// fuse that never opens has +Inf.
func Checks(n Need, size unit.Size) []Check { return n.checks(size, true) }

// checks are Checks; not told, they end with the first that is not passed, and say less.
func (n Need) checks(size unit.Size, told bool) []Check {
	n.Use.Size = size
	pieces := make([]Piece, len(n.Pieces))
	for i, p := range n.Pieces {
		if !p.Size.Known() {
			p.Size, p.Table = size, n.Table
			if p.Insulation == 0 {
				p.Insulation = n.Use.Insulation
			}
		}
		pieces[i] = p
	}
	var checks []Check
	add := func(c Check, err error) (on bool) {
		if err != nil {
			c.Unknown, c.Passes = err.Error(), false
		}
		checks = append(checks, c)
		return told || c.Passes
	}
	drop, fault := VoltDrop, FaultAt
	if !told {
		drop, fault = func(pieces []Piece) (Drop, error) {
			volts, ohm, err := Volts(pieces)
			return Drop{Volts: volts, Ohm: ohm}, err
		}, Outcome
	}
	may, mayErr := Ampacity(n.Use)
	err := mayErr
	if err == nil {
		err = inRange("the load", "current", n.Load.Amps, 0, MostAmps)
	}
	if !add(Check{Rule: RuleAmpacity, Passes: n.Load.Amps <= may.Amps && may.Fits(), Got: n.Load.Amps, Limit: may.Amps, Unit: "A", Terms: may.Terms}, err) {
		return checks
	}
	if n.AllowedVolts > 0 {
		d, err := drop(pieces)
		if !add(Check{Rule: RuleDrop, Passes: d.Volts <= n.AllowedVolts, Got: d.Volts, Limit: n.AllowedVolts, Unit: "V", Terms: d.Terms}, err) {
			return checks
		}
	}
	if n.Rating > 0 {
		if !add(Check{Rule: RuleFuse, Passes: n.Rating <= may.Amps, Got: n.Rating, Limit: may.Amps, Unit: "A", Terms: may.Terms}, mayErr) {
			return checks
		}
		f, err := fault(Short{n.Volts, n.SourceOhm, FuseOhm(n.Rating), n.Rating, n.Blade, pieces})
		add(Check{Rule: RuleFault, Passes: f.Opens == InTime, Got: f.Within, Limit: f.Bears, Unit: "s", Terms: f.Terms}, err)
	}
	return checks
}

// Advice is the smallest size that passes every check.
type Advice struct {
	Size    unit.Size // not known if none passes
	Rule    Rule      // what decided: the first rule that the size below fails; of no size, that the thickest fails
	Checks  []Check   // of Size; of no size, of the thickest
	Below   unit.Size // the next thinner that was tried; not known if Size is the first
	Against []Check   // of Below
}

// Advise returns the smallest size that passes every check, and which rule decided. No sizes to try is an *UnknownError.
// Cost: the sizes times the pieces.
func Advise(n Need) (Advice, error) {
	sizes := n.Sizes
	if sizes == nil {
		sizes = Sizes(n.Table)
	}
	if len(sizes) == 0 {
		return Advice{}, unknown("the size", "there is none to try")
	}
	var a Advice
	for _, size := range sizes {
		failed := failing(n.checks(size, false))
		if failed == "" {
			a.Size, a.Checks = size, Checks(n, size)
			if !a.Below.Known() {
				a.Rule = RuleSmallest
				return a, nil
			}
			a.Against = Checks(n, a.Below)
			return a, nil
		}
		a.Below, a.Rule = size, failed
	}
	a.Checks, a.Below = Checks(n, a.Below), unit.Size{}
	return a, nil
}

// failing is the first rule that is not passed, "" if all are.
func failing(checks []Check) Rule {
	for _, c := range checks {
		if !c.Passes {
			return c.Rule
		}
	}
	return ""
}

// SizeForDrop returns the smallest size of a table that loses no more than so many volts over a length of conductor, out and
// back; an *UnknownError if the thickest loses more.
func SizeForDrop(table Table, amps float64, length unit.Length, celsius, volts float64) (unit.Size, error) {
	for _, size := range Sizes(table) {
		d, err := VoltDrop([]Piece{{Size: size, Table: table, Length: length, Amps: amps, Celsius: celsius}})
		if err != nil {
			return unit.Size{}, err
		}
		if d.Volts <= volts {
			return size, nil
		}
	}
	return unit.Size{}, unknown("the size", "the thickest of the table loses more than %s V", unit.Shown(volts))
}
