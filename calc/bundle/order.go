package bundle

import (
	"cmp"
	"slices"

	"loomwright/calc/sorting"
)

// Step is one wire, or one twisted or sleeved group, in the order of laying up.
type Step struct {
	ID     string
	Layer  int     // 0 is the core
	Leaves float64 // m along the way where it leaves for good
	Parts  []string
}

// LayUp returns the order in which the parts of a run are laid up: what leaves last goes into the core and what leaves first
// lies outside, so the order of leaving is the order of laying up, backwards. Of those that leave together the thicker comes
// first, then the lower id. Layers fill up by the area that a full round has.
//
// Source: common practice, from memory; full rounds of equal wires are 1, 6, 12, 18, 24.
func LayUp(parts []Part) []Step {
	order := slices.Clone(parts)
	sorting.By(order, func(a, b Part) int {
		return cmp.Or(cmp.Compare(b.Rank, a.Rank), cmp.Compare(thick(b), thick(a)), cmp.Compare(a.ID, b.ID))
	})
	mean := 0.0 // square of the mean wire
	for _, p := range order {
		mean += thick(p) * thick(p) / float64(len(order))
	}
	steps := make([]Step, len(order))
	layer, full, filled := 0, 1.0, 0.0
	for i, p := range order {
		for mean > 0 && filled >= (full-1e-9)*mean {
			layer++
			full += 6 * float64(layer)
		}
		filled += thick(p) * thick(p)
		steps[i] = Step{ID: p.ID, Layer: layer, Leaves: p.Rank}
		for _, q := range p.Parts {
			steps[i].Parts = append(steps[i].Parts, q.ID)
		}
	}
	return steps
}

// thick is about how thick a part is: that of a group by the rule of thumb, enough to put parts into an order.
func thick(p Part) float64 {
	if len(p.Parts) == 0 {
		return max(0, p.Diameter)
	}
	var d []float64
	for _, q := range p.Parts {
		d = append(d, thick(q))
	}
	return Thumb(d) + 2*max(0, p.Wall)
}

// Slide is something that is slid onto the loom: heat-shrink, a closed tube, a boot, a seal, a tag of tube, a grommet.
type Slide struct {
	ID   string
	Bore float64   // mm, inside, as it is slid; 0 is not known
	Open bool      // it opens along its length, or is wound on: it goes on at any time
	Ends [2][]Bulk // what it would have to pass from either end, once everything there is made
}

// Bulk is something thick on a loom: the bundle, a branch folded back beside it, a finished connector.
type Bulk struct {
	Name string
	Size float64 // mm, the smallest hole it goes through; 0 is not known
}

// When is when something goes on.
type When string

// The times. Later is possible from at least one end.
const (
	Now     When = "now" // before the ends are made: it will not pass later
	Later   When = "later"
	NotSure When = "not known"
)

// Threading is when a slide goes on, and why.
type Threading struct {
	ID    string
	When  When
	From  int // with Later: the end from which it passes
	Stops []Bulk
	Terms []Term
}

// Thread says for each slide whether it must be threaded on now. It passes later if from one end everything goes through its
// bore. If a size that decides is not known, it says so; threading it on now is then the safe way.
func Thread(slides []Slide) []Threading {
	out := make([]Threading, len(slides))
	for i, s := range slides {
		t := Threading{ID: s.ID, When: Now}
		t.Terms = append(t.Terms, Term{Name: "Bore", Value: s.Bore, Unit: "mm", Reason: "as it is slid on", Source: "the list of stock"})
		if s.Open {
			t.When, t.Terms = Later, []Term{{Name: "Opens", Reason: "along its length, so it goes on at any time"}}
			out[i] = t
			continue
		}
		unsure := !(s.Bore > 0)
		for end, bulks := range s.Ends {
			big, known := largest(bulks)
			switch {
			case known && s.Bore > 0 && big.Size <= s.Bore:
				if t.When != Later {
					t.When, t.From = Later, end
				}
			case big.Size > s.Bore && s.Bore > 0:
				t.Stops = append(t.Stops, big)
			default:
				unsure = true
			}
			if big.Size > 0 {
				t.Terms = append(t.Terms, Term{Name: big.Name, Value: big.Size, Unit: "mm", Reason: [2]string{"the largest from the first end", "the largest from the other end"}[end], Source: "the loom"})
			}
		}
		if t.When == Now && unsure {
			t.When = NotSure
		}
		out[i] = t
	}
	return out
}

// largest returns the largest of some things, and whether all sizes are known. None is nothing to pass.
func largest(bulks []Bulk) (big Bulk, known bool) {
	known = true
	for _, b := range bulks {
		known = known && b.Size > 0
		if b.Size > big.Size {
			big = b
		}
	}
	return big, known
}
