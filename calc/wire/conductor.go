package wire

import (
	"math"

	"loomwright/calc/unit"
)

// Table names what a conductor is made to, and so where its resistance comes from.
type Table string

// The tables. They differ for one and the same size: "18 AWG" is 0.823 mm2 solid, at least 0.779 mm2 as SAE wire.
const (
	Usual    Table = ""                          // Solid for a gauge; ISO6722 for square millimetres, Class5 where that has no such size
	Solid    Table = "ASTM B258"                 // gauges: the copper of a solid wire, 2 % less ohms than strands
	Stranded Table = "NFPA 70 chapter 9 table 8" // gauges 18 to 4/0, even ones: uncoated strands
	SAE      Table = "SAE J1127/J1128"           // gauges 20 to 4/0, even ones: the least copper that the standard allows
	Aviation Table = "AC 43.13-1B table 11-9"    // gauges 24 to 4/0, even ones: tinned strands
	ISO6722  Table = "ISO 6722-1"                // vehicle wire by area: the most ohms that the standard allows
	Class5   Table = "IEC 60228 class 5"         // flexible cable by area: the same
)

// Tables lists the tables in the order a person is offered them.
var Tables = []Table{Usual, Solid, Stranded, SAE, Aviation, ISO6722, Class5}

// Copper.
//
// Source: IEC 60028 (annealed copper, 58 MS/m and 8.89 g/cm3 at 20 °C), from memory; the temperature at which a straight
// line through its resistance ends is of AC 43.13-1B CHG 1 par. 11-66c(4).
const (
	Resistivity  = 0.017241 // ohm mm2/m at 20 °C
	ZeroOhm      = -234.5   // °C
	Density      = 8.89     // g/cm3
	reference20C = 20.0
)

// milFoot is the resistance of SAE strands in ohm circular mil per foot at 20 °C, and circularMil is one in mm2.
//
// Source: ABYC E-11, K = 10.75 (copper is 10.37: 3.7 % for the lay of the strands). It names no temperature; 20 °C is our
// choice, because any other would make hot wires less than they are.
const (
	milFoot     = 10.75
	foot        = 0.3048
	circularMil = math.Pi / 4 * 0.0254 * 0.0254
)

// Conductor is the copper of a wire.
type Conductor struct {
	Size   unit.Size
	Table  Table   // never Usual
	Area   float64 // mm2 of copper
	OhmKm  float64 // ohm per km at At
	At     float64 // °C
	Source string
}

// Of returns the conductor of a size by a table. A size that the table does not have is an *UnknownError; nothing is
// guessed between two sizes.
func Of(size unit.Size, table Table) (Conductor, error) {
	if !size.Known() {
		return Conductor{}, unknown("the conductor", "the size is not known")
	}
	gauge, isGauge := size.Gauge()
	if table == Usual {
		table = ISO6722
		if isGauge {
			table = Solid
		} else if _, ok := iso6722.at(hundredths(size)); !ok {
			table = Class5
		}
	}
	c := Conductor{Size: size, Table: table, Area: size.Area(), At: reference20C}
	ok := false
	switch table {
	case Solid:
		ok = isGauge
		c.OhmKm, c.Source = Resistivity*1000/c.Area, "ASTM B258 diameter, copper of IEC 60028 (0.017241 ohm mm2/m)"
	case Stranded:
		c.OhmKm, ok = perThousandFeet(stranded, gauge, isGauge)
		c.At, c.Source = 75, "NFPA 70 chapter 9 table 8, uncoated strands, 75 °C"
	case SAE:
		var mils float64
		mils, ok = gaugeIn(leastMils, gauge, isGauge)
		c.Area = mils * circularMil
		c.OhmKm, c.Source = milFoot/mils/foot*1000, "SAE J1127/J1128 least area, from memory; ABYC E-11 K = 10.75 ohm cmil/ft"
	case Aviation:
		c.OhmKm, ok = perThousandFeet(tinned, gauge, isGauge)
		if mils, has := gaugeIn(tinnedMils, gauge, isGauge); has {
			c.Area = mils * circularMil
		}
		c.Source = "AC 43.13-1B CHG 1 table 11-9, tinned copper, 20 °C"
	case ISO6722:
		c.OhmKm, ok = iso6722.at(hundredths(size))
		c.Source = "ISO 6722-1:2011 largest resistance at 20 °C, from memory"
	case Class5:
		c.OhmKm, ok = class5.at(hundredths(size))
		c.Source = "IEC 60228 class 5 largest resistance at 20 °C, plain copper"
	default:
		return Conductor{}, unknown("the conductor of "+size.String(), "there is no table %q", string(table))
	}
	if !ok {
		return Conductor{}, unknown("the conductor of "+size.String(), "%s has no such size", string(table))
	}
	return c, nil
}

// hundredths is a metric size as the tables are kept, -1 for a gauge and for what has more decimals.
func hundredths(size unit.Size) int {
	h := size.Area() * 100
	whole := math.Round(h)
	if _, isGauge := size.Gauge(); isGauge || math.Abs(h-whole) > 1e-6 {
		return -1
	}
	return int(whole)
}

func gaugeIn(table column, gauge int, isGauge bool) (v float64, ok bool) {
	if !isGauge {
		return 0, false
	}
	return table.at(gauge)
}

func perThousandFeet(table column, gauge int, isGauge bool) (ohmKm float64, ok bool) {
	v, ok := gaugeIn(table, gauge, isGauge)
	return v / foot, ok
}

// Factor is how many times its resistance at one temperature copper has at another: (234.5 + to)/(234.5 + from), in °C.
//
// Source: AC 43.13-1B CHG 1 par. 11-66c(4); within 0.1 % of 1 + 0.00393 (T − 20) up to 150 °C.
func Factor(from, to float64) float64 { return (to - ZeroOhm) / (from - ZeroOhm) }

// OhmAt returns the ohms of a kilometre at a temperature in °C.
func (c Conductor) OhmAt(celsius float64) float64 { return c.OhmKm * Factor(c.At, celsius) }

// Copper returns the mass of a metre of the conductor in grams. Strands laid round each other weigh about 2 % more.
func (c Conductor) Copper() float64 { return c.Area * Density }

// Resistance is the direct current resistance of a conductor.
type Resistance struct {
	Ohm   float64
	Terms []unit.Term
}

// ResistanceOf returns the resistance of a length of a conductor at a temperature, *UnknownError below a length of zero
// and outside Coldest and Hottest. A length of zero has none.
func (c Conductor) ResistanceOf(length unit.Length, celsius float64) (Resistance, error) {
	ohm, err := c.ohm(length, celsius)
	if err != nil {
		return Resistance{}, err
	}
	return Resistance{Ohm: ohm, Terms: c.account(length, celsius, ohm)}, nil
}

// ohm is the resistance of ResistanceOf alone.
func (c Conductor) ohm(length unit.Length, celsius float64) (float64, error) {
	if length < 0 {
		return 0, unknown("the resistance of "+c.Size.String(), "the length is below zero")
	}
	if celsius < Coldest || celsius > Hottest || math.IsNaN(celsius) {
		return 0, inRange("the resistance of "+c.Size.String(), "temperature", celsius, Coldest, Hottest)
	}
	return c.OhmAt(celsius) * (length.MM() / 1000) / 1000, nil
}

// account tells how a resistance comes about. It has room for what a piece adds.
func (c Conductor) account(length unit.Length, celsius, ohm float64) []unit.Term {
	terms := make([]unit.Term, 0, pieceTerms)
	return append(terms, []unit.Term{
		{Name: "size", Text: c.Size.String()},
		{Name: "resistance at " + unit.Shown(c.At) + " °C", Value: c.OhmKm, Unit: "ohm/km", Source: c.Source},
		{Name: "temperature", Value: celsius, Unit: "°C"},

		{Name: "hot factor", Formula: "(234.5 + temperature)/(234.5 + " + unit.Shown(c.At) + ")", Value: Factor(c.At, celsius), Source: "AC 43.13-1B CHG 1 par. 11-66c(4)"},
		{Name: "length", Value: length.MM() / 1000, Unit: "m"},
		{Name: "resistance", Formula: "ohm/km × hot factor × length/1000", Value: ohm, Unit: "ohm"},
	}...)
}
