package wire

import (
	"math"
	"slices"

	"loomwright/calc/unit"
)

// Blade is a kind of blade fuse.
type Blade string

// The kinds.
const (
	Medium Blade = ""     // ISO 8820-3 type C
	Mini   Blade = "mini" // type F
	Maxi   Blade = "maxi" // type E, high current
)

// Blades lists the kinds in the order a person is offered them.
var Blades = []Blade{Medium, Mini, Maxi}

// The ratings are what is sold, in amperes, small first.
//
// Source: SAE J1284 and ISO 8820-3: medium to 30 A as a trade page lists them; 35 and 40 A and all of the maxi from memory.
var (
	mediumRatings = []float64{0.5, 1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40}
	miniRatings   = []float64{2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30}
	maxiRatings   = []float64{20, 30, 40, 50, 60, 70, 80}
)

func (b Blade) ratings() []float64 {
	switch b {
	case Medium:
		return mediumRatings
	case Mini:
		return miniRatings
	case Maxi:
		return maxiRatings
	}
	return nil
}

// Ratings lists the ratings of a kind in amperes, small first.
func (b Blade) Ratings() []float64 { return slices.Clone(b.ratings()) }

// colours of the ratings that medium and mini share, and of the maxi.
//
// Source: as ratings; 35 A differs between makers.
var (
	bladeColours = []colour{
		{0.5, "dark blue"}, {1, "black"}, {2, "grey"}, {3, "violet"}, {4, "pink"}, {5, "tan"}, {7.5, "brown"}, {10, "red"},
		{15, "blue"}, {20, "yellow"}, {25, "clear"}, {30, "green"}, {35, "blue-green"}, {40, "orange"},
	}
	maxiColours = []colour{{20, "yellow"}, {30, "green"}, {40, "orange"}, {50, "red"}, {60, "blue"}, {70, "tan"}, {80, "clear"}}
)

type colour struct {
	rating float64
	name   string
}

// Colour is the colour of a fuse of a rating, empty if the kind has no such rating.
func (b Blade) Colour(rating float64) string {
	if !slices.Contains(b.ratings(), rating) {
		return ""
	}
	colours := bladeColours
	if b == Maxi {
		colours = maxiColours
	}
	for _, c := range colours {
		if c.rating == rating {
			return c.name
		}
	}
	return ""
}

// Gate is how soon a fuse must open at a multiple of its rating: not before Least seconds, and not after Most.
type Gate struct {
	Multiple    float64
	Least, Most float64 // s; Most is +Inf where it need not open
}

// The gates by kind, by rising multiple.
//
// Source: ISO 8820-3 / SAE J1284 operating times, from memory; makers differ at 110 and 135 %, and the data sheet of the
// fuse wins.
var (
	mediumGates = []Gate{{1.1, 360000, 0}, {1.35, 0.75, 600}, {1.6, 0.25, 50}, {2, 0.15, 5}, {3.5, 0.04, 0.5}, {6, 0.02, 0.1}}
	miniGates   = []Gate{{1.1, 360000, 0}, {1.35, 0.75, 600}, {2, 0.15, 5}, {3.5, 0.08, 0.25}, {6, 0.03, 0.1}}
	maxiGates   = []Gate{{1.1, 360000, 0}, {1.35, 60, 1800}, {2, 2, 60}, {3.5, 0.2, 7}, {6, 0.04, 1}}
)

// gates are those of the kind. Here, Most is 0 where a fuse need not open: infinity is no constant, and the tables are to be
// there without any work when the program starts.
func (b Blade) gates() []Gate {
	switch b {
	case Medium:
		return mediumGates
	case Mini:
		return miniGates
	case Maxi:
		return maxiGates
	}
	return nil
}

// Gates lists the gates of a kind by rising multiple.
func (b Blade) Gates() []Gate {
	gates := slices.Clone(b.gates())
	for i := range gates {
		if gates[i].Most == 0 {
			gates[i].Most = math.Inf(1)
		}
	}
	return gates
}

// What a blade fuse is made to interrupt: so many amperes at so many volts. Source: ISO 8820-3:2015, scope.
const (
	BreakingCapacity = 1000
	RatedVolts       = 32
)

// fuseVolts is what a blade fuse loses at its rating. Source: common practice, from memory: makers' sheets give 0.08 to
// 0.14 V.
const fuseVolts = 0.1

// FuseOhm is about what a fuse of a rating has, 0 for none: at 0.1 V at its rating.
func FuseOhm(rating float64) float64 {
	if !(rating > 0) {
		return 0
	}
	return fuseVolts / rating
}

// square is I²t per ampere of rating squared that a gate lets through at the most.
func (g Gate) square() float64 { return g.Multiple * g.Multiple * g.Most }

// Slowest returns the gate that binds at a multiple of the rating, and whether there is one: of the gates up to it, the one
// that lets the least I²t through. Below the first that must open there is none.
//
// Source: derived; a fuse lets through no more I²t at a greater current than at a smaller one, because less heat leaves it.
func (b Blade) Slowest(multiple float64) (g Gate, ok bool) {
	for _, at := range b.gates() {
		if at.Multiple > multiple*(1+1e-12) || at.Most == 0 {
			continue
		}
		if !ok || at.square() <= g.square() {
			g, ok = at, true
		}
	}
	return g, ok
}

// Holds reports whether a fuse of a rating surely rides through so many amperes for so many seconds: the gate at or above
// that multiple does not open before. Above the last gate nothing is sure.
func (b Blade) Holds(rating, amps, seconds float64) bool {
	if !(rating > 0) {
		return false
	}
	for _, g := range b.gates() {
		if amps <= g.Multiple*rating*(1+1e-12) {
			return seconds <= g.Least
		}
	}
	return false
}

// gateTerms says what a gate is.
func gateTerms(g Gate) []unit.Term {
	const source = "ISO 8820-3 operating times, from memory"
	return []unit.Term{
		{Name: "gate that binds", Value: g.Multiple, Unit: "× rating", Source: source},
		{Name: "opens there within", Value: g.Most, Unit: "s", Source: source},
	}
}

// circular is the greatest fuse and breaker in amperes for a gauge in a bundle, 57 °C (135 °F) around; a breaker of 0 is
// not given.
//
// Source: AC 43.13-1B table 11-3.
var circular = []struct {
	gauge         int
	fuse, breaker float64
}{
	{22, 5, 5}, {20, 5, 7.5}, {18, 10, 10}, {16, 10, 15}, {14, 15, 20}, {12, 20, 30}, {10, 30, 40}, {8, 50, 50},
	{6, 70, 80}, {4, 70, 100}, {2, 100, 125}, {1, 150, 0}, {0, 150, 0},
}

// CircularFuse returns the greatest fuse and breaker that the aviation circular allows for a gauge in a bundle; a breaker
// of 0 is not given. A size that it does not list is an *UnknownError.
func CircularFuse(size unit.Size) (fuse, breaker float64, err error) {
	n, isGauge := size.Gauge()
	for _, row := range circular {
		if isGauge && row.gauge == n {
			return row.fuse, row.breaker, nil
		}
	}
	return 0, 0, unknown("the greatest fuse for "+size.String(), "AC 43.13-1B table 11-3 has no such size")
}
