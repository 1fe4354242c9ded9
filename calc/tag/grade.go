package tag

import (
	"math"

	"loomwright/calc/unit"
)

// Grade is how surely a printed square is read by a phone.
type Grade string

// The grades, the best first. What will not scan is not printed.
const (
	Scans    Grade = "scans"
	Doubtful Grade = "will not reliably scan" // it may: try one with your own phone
	WillNot  Grade = "will not scan"
)

// The limits of a square that is wrapped round something. A third of the round is what is often said; how far round a
// symbol may reach depends on how much of it may be lost, and on how narrow its outermost modules look from the front.
//
// Source: measured on drawn pictures of printed tags round wires of every thickness, see build/printed and LeastModule. Of
// 12 pictures at 18 in a hundred all are read, and at a fifth 10 to 12; beyond the others fewer than half, whatever the size.
const (
	sureRound   = 0.18 // of the dark part
	leastRound  = 0.30
	leastStrong = 0.40 // of level Q or H
	leastSeen   = 0.12 // of the outermost modules, as they look from the front, millimetres
)

// Grade returns how surely the square is read when it is wrapped round something of this outside diameter, with nothing
// known of it WillNot.
func (q Square) Grade(diameter unit.Length) Grade {
	if diameter <= 0 {
		return WillNot
	}
	dark := float64(q.Modules()) * q.Module()
	round, seen := dark/(math.Pi*diameter.MM()), q.Module()*math.Cos(dark/diameter.MM())
	most := leastRound
	if q.Level >= LevelQ {
		most = leastStrong
	}
	switch {
	case q.Flat() == WillNot, round > most, seen < leastSeen:
		return WillNot
	case q.Flat() == Doubtful, round > sureRound:
		return Doubtful
	}
	return Scans
}

// Flat returns how surely the square is read on a flat label.
func (q Square) Flat() Grade {
	const rounding = 1e-9
	switch m := q.Module() + rounding; {
	case m < LeastModule.MM():
		return WillNot
	case m < SureModule.MM():
		return Doubtful
	}
	return Scans
}

// Round returns the square for a tag that is wrapped round something of this outside diameter: of the sizes that the print
// can make, the largest of the best grade. A large one has better modules, a small one goes less far round. The error is that
// of Square.
func (s Symbol) Round(p Print, diameter unit.Length) (Square, Grade, error) {
	best, err := s.Square(p)
	if err != nil {
		return Square{}, WillNot, err
	}
	grade := best.Grade(diameter)
	for q := best; grade != Scans && q.Dots > 1; {
		q.Dots--
		if q.Module() < p.Smallest.MM() {
			break
		}
		g := q.Grade(diameter)
		if g == Scans || g == Doubtful && grade == WillNot {
			best, grade = q, g
		}
	}
	return best, grade, nil
}
