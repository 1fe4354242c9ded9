package wire

import (
	"math"

	"loomwright/calc/unit"
)

// Short is a dead short at the far end of a circuit: what drives it and what stands in its way.
type Short struct {
	Volts     float64 // of the supply with no load
	SourceOhm float64 // of the battery and its cables
	FuseOhm   float64 // see FuseOhm; 0 leaves it out
	Rating    float64 // A of the fuse
	Blade     Blade
	Pieces    []Piece // feed and return in a row, each warm; Amps is not used
}

// Opens is what the fuse does.
type Opens string

// The verdicts, good first.
const (
	InTime  Opens = "in time"  // before the thinnest insulation is hurt
	TooLate Opens = "too late" // it opens, and a wire may be hurt before
	Never   Opens = "never"    // the current may flow for ever
)

// Fault is what a short does.
type Fault struct {
	Amps     float64 // +Inf if nothing stands in its way
	Multiple float64 // of the rating
	Opens    Opens
	Within   float64 // s, the latest that the fuse opens at this current; +Inf if never
	Bears    float64 // s that the weakest wire bears this current
	Weakest  int     // index of the piece that bears least
	Beyond   bool    // more amperes or volts than the fuse is made to interrupt
	Longest  float64 // metres of conductor, out and back, at which it would still open in time; 0 if at none; NaN with no length
	Terms    []unit.Term
}

// Materials of insulation: final is the temperature in °C at which a short hurts it, k of IEC is for a conductor that
// starts at normal.
//
// Source: IEC 60364-4-43 table 43A, from memory: PVC 115, cross-linked 143.
const (
	pvcK, pvcFinal     = 115.0, 160.0
	crossK, crossFinal = 143.0, 250.0
)

// K returns how much heat a copper conductor of 1 mm2 bears in a short, in A√s, for a class of insulation and the
// temperature it starts at: 115 for what is rated below 125 °C or not known (counted as PVC), 143 from 125 °C up
// (cross-linked). A hotter start than that of the standard bears less, and 0 where it is as hot as the insulation bears.
//
// Source: IEC 60364-4-43, k = 226 √ln(1 + (final − start)/(234.5 + start)), never above 115 and 143; from memory.
func K(insulation int, celsius float64) float64 {
	k, final := pvcK, pvcFinal
	if insulation >= 125 {
		k, final = crossK, crossFinal
	}
	if celsius >= final {
		return 0
	}
	return min(k, 226*math.Sqrt(math.Log1p((final-celsius)/(celsius-ZeroOhm))))
}

// FaultAt works out what a dead short at the end of a circuit does to its fuse and its wires.
//
// The fuse counts as the slowest that its standard allows, the wires as hot as they are when the short begins. It opens in
// time if the I²t that the binding gate lets through (see Slowest) is no more than k²S² of every piece. No pieces is a short at
// the fuse. What is not a number, a rating of nothing, and a size in no table are an *UnknownError.
//
// Source: IEC 60364-4-43, adiabatic: I²t ≤ k²S²; gates of ISO 8820-3.
func FaultAt(s Short) (Fault, error) { return s.fault(true) }

// Outcome is FaultAt without its terms, and costs less.
func Outcome(s Short) (Fault, error) {
	f, err := s.fault(false)
	f.Terms = nil
	return f, err
}

func (s Short) fault(told bool) (Fault, error) {
	const what = "what a short does"
	if len(s.Blade.gates()) == 0 {
		return Fault{}, unknown(what, "there is no kind of fuse %q", string(s.Blade))
	}
	for _, err := range []error{
		inRange(what, "supply", s.Volts, 0, MostVolts), inRange(what, "source resistance", s.SourceOhm, 0, MostAmps),
		inRange(what, "fuse resistance", s.FuseOhm, 0, MostAmps), inRange(what, "rating of the fuse", s.Rating, 0, MostAmps),
	} {
		if err != nil {
			return Fault{}, err
		}
	}
	if s.Rating == 0 {
		return Fault{}, unknown(what, "there is no fuse")
	}
	f := Fault{Terms: []unit.Term{
		{Name: "supply", Value: s.Volts, Unit: "V"},
		{Name: "source resistance", Value: s.SourceOhm, Unit: "ohm"},
		{Name: "fuse", Value: s.Rating, Unit: "A"},
		{Name: "fuse resistance", Value: s.FuseOhm, Unit: "ohm"},
	}}
	wires, length, least := 0.0, 0.0, math.Inf(1)
	for i, p := range s.Pieces {
		c, err := Of(p.Size, p.Table)
		if err != nil {
			return Fault{}, err
		}
		ohm, err := c.ohm(p.Length, p.Celsius)
		if err != nil {
			return Fault{}, err
		}
		wires += ohm
		length += p.Length.MM() / 1000
		k := K(p.Insulation, p.Celsius)
		bears := k * k * c.Area * c.Area
		if bears < least {
			least, f.Weakest = bears, i
		}
		if !told {
			continue
		}
		f.Terms = append(f.Terms, p.own(c.account(p.Length, p.Celsius, ohm))...)
		f.Terms = append(f.Terms,
			p.term(unit.Term{Name: "k", Formula: "115 for PVC, 143 for cross-linked, less for a hot start", Value: k, Unit: "A√s/mm2", Source: "IEC 60364-4-43, from memory"}),
			p.term(unit.Term{Name: "bears", Formula: "k² × area²", Value: bears, Unit: "A²s", Source: "IEC 60364-4-43, from memory"}))
	}
	f.judge(s, wires, least)
	f.reach(s, wires, length, least)
	return f, nil
}

// judge sets the current and the verdict.
func (f *Fault) judge(s Short, wires, least float64) {
	f.Amps = s.Volts / (s.SourceOhm + s.FuseOhm + wires)
	if s.Volts == 0 {
		f.Amps = 0
	}
	f.Multiple = f.Amps / s.Rating
	f.Beyond = f.Amps > BreakingCapacity || s.Volts > RatedVolts
	f.Opens, f.Within = Never, math.Inf(1)
	f.Bears = least / (f.Amps * f.Amps)
	if math.IsInf(least, 1) { // no wire to hurt
		f.Bears = least
	}
	f.Terms = append(f.Terms,
		unit.Term{Name: "fault current", Formula: "supply/(source + fuse + wires)", Value: f.Amps, Unit: "A", Source: "Ohm's law"},
		unit.Term{Name: "multiple of the rating", Formula: "fault current/fuse", Value: f.Multiple})
	g, ok := s.Blade.Slowest(f.Multiple)
	if ok {
		through := g.square() * s.Rating * s.Rating
		f.Within = g.Most * (g.Multiple / f.Multiple) * (g.Multiple / f.Multiple)
		f.Opens = TooLate
		if through <= least*(1+1e-12) {
			f.Opens = InTime
		}
		f.Terms = append(f.Terms, gateTerms(g)...)
		f.Terms = append(f.Terms,
			unit.Term{Name: "lets through at most", Formula: "(gate × fuse)² × its time", Value: through, Unit: "A²s", Source: "ISO 8820-3 times, from memory"},
			unit.Term{Name: "opens within", Formula: "lets through/fault current²", Value: f.Within, Unit: "s"})
	}
	if !math.IsInf(f.Bears, 1) {
		f.Terms = append(f.Terms, unit.Term{Name: "weakest wire bears it for", Formula: "bears/fault current²", Value: f.Bears, Unit: "s"})
	}
	f.Terms = append(f.Terms, unit.Term{Name: "opens", Formula: "what it lets through against what the weakest wire bears", Text: string(f.Opens)})
}

// reach sets the longest length at which the fuse still opens in time: all pieces longer or shorter alike.
func (f *Fault) reach(s Short, wires, length, least float64) {
	need := math.Inf(1) // multiple of the rating from which it opens in time
	for _, g := range s.Blade.gates() {
		if g.Most > 0 && g.square()*s.Rating*s.Rating <= least*(1+1e-12) {
			need = g.Multiple
			break
		}
	}
	needs := unit.Term{Name: "needs at least", Formula: "the first gate that lets through no more than the wire bears", Value: need, Unit: "× rating", Source: "ISO 8820-3 times, from memory"}
	room := 0.0
	if math.IsInf(need, 1) {
		needs.Text = "no current is enough"
	} else {
		room = max(0, s.Volts/(need*s.Rating)-s.SourceOhm-s.FuseOhm)
	}
	f.Longest = length * room / wires // NaN with no wire
	f.Terms = append(f.Terms, needs,
		unit.Term{Name: "longest", Formula: "length × (supply/(needs × fuse) − source − fuse)/wires", Value: f.Longest, Unit: "m"})
}
