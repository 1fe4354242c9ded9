package wire

import (
	"math"
	"slices"
	"strconv"

	"loomwright/calc/unit"
)

// Rules is whose rule says what a wire may carry. A person picks it; empty is DefaultRules.
type Rules string

// The rule sets.
const (
	Marine         Rules = "33 CFR 183.425"                // boats: by size, insulation, engine space and number in the bundle
	AviationTable  Rules = "AC 43.13-1B table 11-9"        // aircraft: large bundles, one wire in five loaded, 70 °C around
	AviationBundle Rules = "AC 43.13-1B chapter 11 curves" // aircraft: in free air, less for the bundle and the altitude; 22 to 12 AWG
)

// DefaultRules is used where nobody picked. Source: our choice; boats have the nearest thing to a law for 12 V wiring
// beside an engine.
const DefaultRules = Marine

// RuleSets lists the rule sets in the order a person is offered them.
var RuleSets = []Rules{Marine, AviationTable, AviationBundle}

// RulesOf returns the rule set of this name, the default if there is none.
func RulesOf(name string) Rules {
	if slices.Contains(RuleSets, Rules(name)) {
		return Rules(name)
	}
	return DefaultRules
}

// Zones lists the zones, cool first.
var Zones = []Zone{Cabin, EngineBay, NearExhaust}

// Zone is where a wire runs.
type Zone string

// The zones.
const (
	Cabin       Zone = "cabin"
	EngineBay   Zone = "engine bay"
	NearExhaust Zone = "near exhaust"
)

// Ambient is how hot it is around a wire of the zone, in °C; ok is false for no zone.
//
// Source: judgement of practice, defaults to be replaced by a measurement.
func (z Zone) Ambient() (celsius float64, ok bool) {
	switch z {
	case Cabin:
		return 40, true
	case EngineBay:
		return 85, true
	case NearExhaust:
		return 120, true
	}
	return 0, false
}

// Use is how a wire is used.
type Use struct {
	Rules       Rules
	Size        unit.Size
	Insulation  int      // its class in °C: 80, 105, 125
	EngineSpace bool     // of Marine
	Ambient     *float64 // °C; nil is what the rule assumes: 30, in an engine space 50
	Bundled     int      // wires that carry current side by side, this one too; 0 and 1 are alone
	Loading     float64  // of AviationBundle: the bundle's current as a share of what it may carry; 0 is all
	Altitude    float64  // of AviationBundle: metres
}

// Current is what a wire may carry without end.
type Current struct {
	Amps       float64 // 0 where there is no headroom
	Rule       string  // the rule that decided
	Insulation float64 // °C
	Ambient    float64 // °C
	Headroom   float64 // K between them: at 0 or below, the insulation is too hot before any current flows
	Terms      []unit.Term
}

// Fits reports whether the insulation stands the place at all.
func (c Current) Fits() bool { return c.Headroom > 0 }

// Ampacity returns what a wire may carry by a rule set. No headroom is a result of no amperes, not an error; what the
// tables do not reach is an *UnknownError: no class of insulation or one under 60 °C, wires over 4/0, under 24 AWG, or
// under 22 and over 12 AWG by the curves, bundles that no curve read covers.
//
// By Marine, wires below 18 AWG go by AviationTable, because the table of boats begins there, and never get more than
// 18 AWG does. A size between two of a table gets what lies between them (see between). A hotter place than the table's
// takes away; a cooler one gives nothing.
func Ampacity(u Use) (Current, error) {
	what := "what " + u.Size.String() + " may carry"
	switch {
	case !u.Size.Known():
		return Current{}, unknown("what the wire may carry", "its size is not known")
	case u.Insulation <= 0:
		return Current{}, unknown(what, "the class of its insulation is not known")
	case u.Insulation < marineClasses[0]:
		return Current{}, unknown(what, "no table has insulation below %d °C", marineClasses[0])
	case u.Insulation > Hottest:
		return Current{}, unknown(what, "there is no insulation of %d °C", u.Insulation)
	case u.Bundled < 0:
		return Current{}, unknown(what, "%d wires are no bundle", u.Bundled)
	}
	a := &account{u: u, what: what, ambient: 30, insulation: float64(u.Insulation)}
	if u.EngineSpace {
		a.ambient = 50
	}
	if u.Ambient != nil {
		if err := inRange(what, "ambient temperature", *u.Ambient, Coldest, Hottest); err != nil {
			return Current{}, err
		}
		a.ambient = *u.Ambient
	}
	a.add(unit.Term{Name: "size", Text: u.Size.String()})
	a.add(unit.Term{Name: "insulation", Value: a.insulation, Unit: "°C"})
	a.add(unit.Term{Name: "ambient", Value: a.ambient, Unit: "°C"})
	var amps float64
	var rule string
	var err error
	switch u.Rules {
	case "", Marine:
		amps, rule, err = a.marine()
	case AviationTable:
		amps, rule, err = a.aviation()
	case AviationBundle:
		amps, rule, err = a.curves()
	default:
		err = unknown(what, "there are no rules %q", string(u.Rules))
	}
	if err != nil {
		return Current{}, err
	}
	a.add(unit.Term{Name: "may carry", Formula: "the product of the table's amperes and the factors", Value: amps, Unit: "A", Source: rule})
	return Current{amps, rule, a.insulation, a.ambient, a.insulation - a.ambient, a.terms}, nil
}

// account collects what an ampacity is made of.
type account struct {
	u                   Use
	what                string
	ambient, insulation float64
	terms               []unit.Term
}

func (a *account) add(t unit.Term) { a.terms = append(a.terms, t) }

func (a *account) marine() (amps float64, rule string, err error) {
	least := unit.AWG(18)
	if a.u.Size.Area() < least.Area() {
		amps, rule, err = a.aviation()
		if err != nil {
			return 0, "", err
		}
		u := a.u
		u.Size = least
		most, err := Ampacity(u)
		if err != nil {
			return 0, "", err
		}
		a.add(unit.Term{Name: "18 AWG in its place", Formula: "a thinner wire never gets more", Value: most.Amps, Unit: "A", Source: most.Rule})
		return min(amps, most.Amps), rule + ", because " + string(Marine) + " begins at 18 AWG", nil
	}
	at := 0
	for i, c := range marineClasses {
		if c <= a.u.Insulation {
			at = i
		}
	}
	class := float64(marineClasses[at])
	amps, err = a.between(tables().marine[at], "amperes of the table at "+strconv.Itoa(marineClasses[at])+" °C", string(Marine)+" table 5")
	if err != nil {
		return 0, "", err
	}
	base := 30.0
	if a.u.EngineSpace {
		base = 50
		source := string(Marine) + " table 5 note 1"
		if marineClasses[at] != 105 {
			source += ", from memory"
		}
		a.add(unit.Term{Name: "engine space factor", Value: marineEngine[at], Source: source})
		amps *= marineEngine[at]
	}
	f := marineBundle(a.u.Bundled)
	a.add(unit.Term{Name: "bundle of " + strconv.Itoa(max(a.u.Bundled, 1)), Value: f, Source: string(Marine) + " table 5 note 2, as its guideline reprints it"})
	amps *= f * a.heat(class, base)
	if class < a.insulation && at+1 < len(marineClasses) {
		u := a.u
		u.Insulation = marineClasses[at+1]
		next, err := Ampacity(u)
		if err != nil {
			return 0, "", err
		}
		a.add(unit.Term{Name: "insulation of " + strconv.Itoa(u.Insulation) + " °C in its place", Formula: "a lesser insulation never gets more", Value: next.Amps, Unit: "A", Source: next.Rule})
		amps = min(amps, next.Amps)
	}
	return amps, string(Marine), nil
}

func (a *account) aviation() (amps float64, rule string, err error) {
	class, table := 105, tables().aviation105
	if a.u.Insulation >= 200 {
		class, table = 200, tables().aviation200
	}
	amps, err = a.between(table, "amperes of the table at "+strconv.Itoa(class)+" °C, for large bundles at 70 °C", string(AviationTable))
	if err != nil {
		return 0, "", err
	}
	return amps * a.heat(float64(class), 70), string(AviationTable), nil
}

// heat is the factor for insulation and ambient other than the table's.
//
// Source: derived; what heats a wire grows with I²R and leaves it with the difference of temperatures, so amperes grow with
// √((insulation − ambient)/(class − the table's ambient)), and for another class than the table's with the root of the
// copper's resistance. Never above 1 is our choice: no table says that a cooler place bears more.
func (a *account) heat(class, base float64) float64 {
	headroom := a.insulation - a.ambient
	if headroom <= 0 {
		a.add(unit.Term{Name: "ambient factor", Formula: "insulation − ambient leaves no headroom", Value: 0, Source: "derived"})
		return 0
	}
	f := min(1, math.Sqrt(headroom/(class-base)*Factor(a.insulation, class)))
	if a.u.Ambient != nil || f != 1 {
		formula := "√((insulation − ambient)/(" + unit.Shown(class) + " − " + unit.Shown(base) + "))"
		if class != a.insulation {
			formula += " × √(copper at " + unit.Shown(class) + " °C/copper at the insulation's)"
		}
		a.add(unit.Term{Name: "ambient factor", Formula: formula + ", at most 1", Value: f, Source: "derived: I²R against the headroom"})
	}
	return f
}

// curves is the method of the circular for a bundle: amperes in free air by the rise that the insulation allows, times a
// factor for the bundle and one for the altitude.
func (a *account) curves() (amps float64, rule string, err error) {
	rule = string(AviationBundle)
	loading := a.u.Loading
	if loading == 0 {
		loading = 1
	}
	if err := inRange(a.what, "loading", loading, 0, 1); err != nil {
		return 0, "", err
	}
	if err := inRange(a.what, "altitude", a.u.Altitude, -500, altitudes[len(altitudes)-1].metres); err != nil {
		return 0, "", err
	}
	amps, err = a.between(tables().freeAir, "amperes in free air at a rise of 100 K", "AC 43.13-1B CHG 1 par. 11-68 and 11-69, points of the free-air curves")
	if err != nil {
		return 0, "", err
	}
	rise := math.Sqrt(max(0, a.insulation-a.ambient) / 100)
	a.add(unit.Term{Name: "rise factor", Formula: "√((insulation − ambient)/100)", Value: rise, Source: "derived; agrees with the circular's 68 A at 175 K and 61 A at 140 K"})
	bundle := 0.0
	n := max(a.u.Bundled, 1)
	for _, p := range bundleCurves {
		if n <= p.wires && loading <= p.loading+1e-9 {
			bundle = max(bundle, p.factor)
		}
	}
	if bundle == 0 {
		return 0, "", unknown(a.what, "no point of the bundle curves covers %d wires at %s %% of their current", n, unit.Shown(loading*100))
	}
	a.add(unit.Term{Name: "bundle of " + strconv.Itoa(n) + " at " + unit.Shown(loading*100) + " %", Value: bundle, Source: "AC 43.13-1B CHG 1 par. 11-68 and 11-69 (partly from memory), the next harder point"})
	altitude := altitudeFactor(a.u.Altitude)
	a.add(unit.Term{Name: "altitude factor", Value: altitude, Source: "AC 43.13-1B CHG 1 altitude curve, 35000 ft from memory"})
	return amps * rise * bundle * altitude, rule, nil
}

// Warmth is how hot a conductor gets.
type Warmth struct {
	Celsius  float64 // by the circular, on the safe side
	BySquare float64 // the rise with the square of the current, as heat goes
	Terms    []unit.Term
}

// Temperature estimates how hot a conductor gets that carries amps where it may carry c. What has no headroom, or a current
// below zero, is an *UnknownError.
//
// Source: AC 43.13-1B CHG 1 par. 11-66d: T2 = T1 + (TR − T1) √(I2/Imax). Heat grows with the square of the current, so
// below Imax the circular's is too hot, and at Imax both say the same.
func Temperature(c Current, amps float64) (Warmth, error) {
	const what = "the temperature of the conductor"
	if !(c.Amps > 0) || !c.Fits() {
		return Warmth{}, unknown(what, "it may carry nothing at %s °C", unit.Shown(c.Ambient))
	}
	if err := inRange(what, "current", amps, 0, MostAmps); err != nil {
		return Warmth{}, err
	}
	share := amps / c.Amps
	w := Warmth{Celsius: c.Ambient + c.Headroom*math.Sqrt(share), BySquare: c.Ambient + c.Headroom*share*share}
	w.Terms = []unit.Term{
		{Name: "ambient", Value: c.Ambient, Unit: "°C"},
		{Name: "insulation", Value: c.Insulation, Unit: "°C"},
		{Name: "current", Value: amps, Unit: "A"},
		{Name: "may carry", Value: c.Amps, Unit: "A", Source: c.Rule},

		{Name: "conductor", Formula: "ambient + (insulation − ambient) × √(current/may carry)", Value: w.Celsius, Unit: "°C", Source: "AC 43.13-1B CHG 1 par. 11-66d"},

		{Name: "conductor by its heat", Formula: "ambient + (insulation − ambient) × (current/may carry)²", Value: w.BySquare, Unit: "°C", Source: "derived: I²R"},
	}
	return w, nil
}
