package wire

import (
	"math"

	"loomwright/calc/unit"
)

// Piece is a stretch of one conductor that a circuit's current passes: the feed, the return, a part shared with others.
type Piece struct {
	Name       string // "feed", "return", "shared ground"
	Of, ID     string // the kind and id of its record; may be empty
	Size       unit.Size
	Table      Table
	Length     unit.Length
	Amps       float64 // all that flows in it: a shared piece carries the currents of others too
	Celsius    float64 // of the conductor, warm
	Insulation int     // its class in °C; 0 is not known and counts as PVC
}

// PieceDrop is what a piece adds.
type PieceDrop struct {
	Piece
	Ohm   float64
	Volts float64
}

// Drop is the volts lost on the way out and back.
type Drop struct {
	Volts  float64
	Ohm    float64 // of all pieces in a row
	Pieces []PieceDrop
	Terms  []unit.Term
}

// VoltDrop returns the volts that are lost in a row of pieces, out and back: the sum of current × resistance, each piece
// with its own current, size, length and temperature, in the order given. No pieces lose nothing. A current below zero
// (it flows the other way in a shared piece) gives volts back. The error is an *UnknownError that names the first piece
// whose resistance is not known.
//
// Source: Ohm's law.
func VoltDrop(pieces []Piece) (Drop, error) {
	d := Drop{Pieces: make([]PieceDrop, 0, len(pieces)), Terms: make([]unit.Term, 0, pieceTerms*len(pieces)+1)}
	for _, p := range pieces {
		part, terms, err := p.drop()
		if err != nil {
			return Drop{}, err
		}
		d.Pieces = append(d.Pieces, part)
		d.Ohm += part.Ohm
		d.Volts += part.Volts
		d.Terms = append(d.Terms, terms...)
	}
	d.Terms = append(d.Terms, unit.Term{Name: "volt drop", Formula: "sum of the pieces, out and back", Value: d.Volts, Unit: "V"})
	return d, nil
}

// pieceTerms is how many terms a piece adds.
const pieceTerms = 8

// Volts returns the volts and the ohms of VoltDrop without its pieces and terms, and costs less.
func Volts(pieces []Piece) (volts, ohm float64, err error) {
	for _, p := range pieces {
		part, _, err := p.lost()
		if err != nil {
			return 0, 0, err
		}
		ohm += part.Ohm
		volts += part.Volts
	}
	return volts, ohm, nil
}

// lost returns what a piece adds, and the conductor that it is.
func (p Piece) lost() (PieceDrop, Conductor, error) {
	c, err := Of(p.Size, p.Table)
	if err != nil {
		return PieceDrop{}, c, err
	}
	ohm, err := c.ohm(p.Length, p.Celsius)
	if err != nil {
		return PieceDrop{}, c, err
	}
	if p.Amps < -MostAmps || p.Amps > MostAmps || math.IsNaN(p.Amps) {
		return PieceDrop{}, c, inRange("the volt drop of "+p.Size.String(), "current", p.Amps, -MostAmps, MostAmps)
	}
	return PieceDrop{Piece: p, Ohm: ohm, Volts: ohm * p.Amps}, c, nil
}

func (p Piece) drop() (PieceDrop, []unit.Term, error) {
	part, c, err := p.lost()
	if err != nil {
		return PieceDrop{}, nil, err
	}
	terms := append(p.own(c.account(p.Length, p.Celsius, part.Ohm)),
		p.term(unit.Term{Name: "current", Value: p.Amps, Unit: "A"}),
		p.term(unit.Term{Name: "volts", Formula: "current × resistance", Value: part.Volts, Unit: "V", Source: "Ohm's law"}))
	return part, terms, nil
}

// own names terms after the piece.
func (p Piece) own(terms []unit.Term) []unit.Term {
	for i := range terms {
		terms[i] = p.term(terms[i])
	}
	return terms
}

func (p Piece) term(t unit.Term) unit.Term {
	if p.Name != "" {
		t.Name = p.Name + ": " + t.Name
	}
	t.Of, t.ID = p.Of, p.ID
	return t
}

// LongestFor returns the metres of conductor, out and back, that lose just so many volts; +Inf if it carries no current.
func LongestFor(size unit.Size, table Table, amps, celsius, volts float64) (metres float64, err error) {
	what := "the longest " + size.String()
	c, err := Of(size, table)
	if err != nil {
		return 0, err
	}
	for _, e := range []error{
		inRange(what, "current", amps, 0, MostAmps), inRange(what, "temperature", celsius, Coldest, Hottest),
		inRange(what, "volt drop", volts, 0, MostVolts),
	} {
		if e != nil {
			return 0, e
		}
	}
	if amps == 0 {
		return math.Inf(1), nil
	}
	return volts / amps / c.OhmAt(celsius) * 1000, nil
}

// The share of the supply that a circuit may lose.
//
// Source: ABYC E-11 as quoted by trade tables: 3 % for circuits that must not sag, 10 % for the others.
const (
	AllowedCritical = 0.03
	AllowedOther    = 0.10
)
