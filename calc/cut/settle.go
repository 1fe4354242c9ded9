package cut

import (
	"maps"
	"math"

	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// Settled is a build worked out in the order in which its parts need each other.
type Settled struct {
	Graph   *route.Graph    // on corrected lengths
	Bundles []bundle.Packed // of the living runs, in their order
}

// Grade is how well bundles are packed for lengths: 5 % of a bundle is less than a millimetre at a corner.
const Grade = bundle.Rough

// Settle chooses the ways of all wires on lengths as they were read, packs the bundles that follow, and corrects the
// lengths once for the bundles' diameters: a thin string pulled round a corner reads shorter than a thick loom is long.
// Once is enough: the correction is a few millimetres, which hardly ever changes a way. A run with a wire whose diameter is
// not known has a bundle that is not known, and is not corrected; survey names its readings.
func Settle(b *harness.Build) Settled {
	var s Settler
	return s.Settle(b, true)
}

// Settler settles one build again and again, and keeps what did not change. Its zero value is ready to use.
type Settler struct {
	shelf *bundle.Shelf
	raw   *survey.Lengths
	first *route.Graph // on raw
	known survey.Bundles
	now   Settled
}

// Settle is the function Settle. routes tells that settings, places, runs, looms or readings may be others than the last
// time; without, the graph stays the same as long as no bundle changes. Cost: with routes that of survey.Adjust; a way for
// every wire; and the bundles that hold other wires than any before.
func (s *Settler) Settle(b *harness.Build, routes bool) Settled {
	if s.shelf == nil {
		s.shelf = bundle.NewShelf(Grade)
	}
	if routes || s.raw == nil {
		s.raw, s.known = survey.Adjust(b, nil), nil
		s.first = route.New(b, s.raw)
		s.now.Graph = nil
	}
	s.now.Bundles = Bundles(b, s.first, s.shelf)
	known := survey.Bundles{}
	for _, p := range s.now.Bundles {
		if p.Bundle.Known() {
			known[p.Run] = unit.Length(math.Round(p.Bundle.Diameter * float64(unit.Millimetre)))
		}
	}
	if s.now.Graph == nil || !maps.Equal(known, s.known) {
		s.known, s.now.Graph = known, route.New(b, s.raw.WithBundles(known))
	}
	return s.now
}

// Bundles packs the wires of every living run, in the order of runs. A run without wires has an empty bundle.
func Bundles(b *harness.Build, g *route.Graph, shelf *bundle.Shelf) []bundle.Packed {
	all := b.Runs.All()
	runs := make([]bundle.Run, len(all))
	at := make(map[string]int, len(all))
	for i, r := range all {
		at[r.ID] = i
		runs[i].ID = r.ID
		if k, ok := g.Lengths().Run(r.ID); ok && k.Measured() {
			runs[i].Length = k.Length.MM() / 1000
		}
	}
	for _, w := range b.Wires.All() {
		p, err := g.Wire(w)
		if err != nil {
			continue
		}
		in := bundle.Wire{ID: w.ID, Twist: w.Twist, Leaves: p.Length.MM() / 1000}
		if d, _, ok := Outside(b, w); ok {
			in.Diameter = d.MM()
		}
		for _, id := range p.Runs {
			runs[at[id]].Wires = append(runs[at[id]].Wires, in)
		}
	}
	packed, err := bundle.Runs(runs, nil, shelf)
	if err != nil { // a diameter that is no length: there is none among those above
		return nil
	}
	return packed
}
