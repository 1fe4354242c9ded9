package cut

import (
	"maps"
	"math"
	"slices"

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
	return Settled{s.Settle(b, true, true), s.Bundles()}
}

// Settler settles one build again and again, and keeps what did not change. Its zero value is ready to use.
type Settler struct {
	shelf  *bundle.Shelf
	raw    *survey.Lengths
	first  *route.Graph // on raw
	graph  *route.Graph // on corrected lengths
	known  survey.Bundles
	loads  []load          // of the wires, on first
	beside beside          // the tables that loads come from as well
	packed []bundle.Packed // of loads; nil until asked for
	build  *harness.Build  // and its living runs
	runs   []string
}

// load is a wire as it lies in bundles: what it is, and the way it goes.
type load struct {
	of   *harness.Wire
	wire bundle.Wire
	runs []string // nil where it has no way
}

// is reports whether a load is that of a wire whose records beside it are as they were.
func (l *load) is(w *harness.Wire) bool {
	x := l.of
	return x.ID == w.ID && x.Size == w.Size && x.Lead == w.Lead && x.Twist == w.Twist && x.From == w.From && x.To == w.To &&
		slices.Equal(x.Looms, w.Looms) && slices.Equal(x.Via, w.Via) && (x.Outside == w.Outside || x.Outside != nil && w.Outside != nil && *x.Outside == *w.Outside)
}

// beside tells one state of the tables that a load comes from, wires apart, from another: a table makes a new slice of its records
// after every change.
type beside struct {
	graph     *route.Graph
	leads     *harness.Lead
	joints    *harness.Joint
	terminals *harness.Terminal
	calipers  *harness.Caliper
	n         [4]int // a table that is empty has no address
}

func besideOf(b *harness.Build, g *route.Graph) beside {
	s := beside{graph: g}
	s.leads, s.n[0] = first(b.Leads.All())
	s.joints, s.n[1] = first(b.Joints.All())
	s.terminals, s.n[2] = first(b.Terminals.All())
	s.calipers, s.n[3] = first(b.Calipers.All())
	return s
}

func first[T any](all []T) (*T, int) {
	if len(all) == 0 {
		return nil, 0
	}
	return &all[0], len(all)
}

// Settle is the function Settle, with the bundles left until they are asked for. routes tells that settings, places, runs,
// looms or readings may be others than the last time, and wires that wires, leads, joints or terminals may: what neither
// touches stays the same. Cost: with routes that of survey.Adjust, and a way for every wire; and the bundles that hold other
// wires than any before. A reading that changes no way changes no bundle's diameter, and costs no packing.
func (s *Settler) Settle(b *harness.Build, routes, wires bool) *route.Graph {
	if routes || s.raw == nil {
		s.raw = survey.Adjust(b, nil)
		s.first = route.New(b, s.raw)
		s.graph = nil
	}
	now := besideOf(b, s.first)
	loads := loadsOf(b, s.first, s.loads, wires, now == s.beside)
	s.beside = now
	var runs []string
	for _, r := range b.Runs.All() {
		runs = append(runs, r.ID)
	}
	same := s.known != nil && slices.Equal(runs, s.runs) && slices.EqualFunc(loads, s.loads, func(x, y load) bool {
		return x.wire.ID == y.wire.ID && x.wire.Diameter == y.wire.Diameter && x.wire.Twist == y.wire.Twist && slices.Equal(x.runs, y.runs)
	})
	s.build, s.runs, s.loads, s.packed = b, runs, loads, nil
	if !same {
		known := survey.Bundles{}
		for _, p := range s.Bundles() {
			if p.Bundle.Known() {
				known[p.Run] = unit.Length(math.Round(p.Bundle.Diameter * float64(unit.Millimetre)))
			}
		}
		if !maps.Equal(known, s.known) {
			s.known, s.graph = known, nil
		}
	}
	if s.graph == nil {
		s.graph = s.first.With(s.raw.WithBundles(s.known))
	}
	return s.graph
}

// Bundles returns what passes each living run of the build that was settled last, in the order of runs. A run without wires
// has an empty bundle.
func (s *Settler) Bundles() []bundle.Packed {
	if s.packed == nil && s.build != nil {
		if s.shelf == nil {
			s.shelf = bundle.NewShelf(Grade)
		}
		s.packed = pack(s.build, s.first, s.loads, s.shelf)
	}
	return s.packed
}

// Foresee packs one bundle that a wire of the build that was settled last would lie in if it were so thick, and reports whether there
// was one that is not packed yet: then Settle finds it when the wire is.
func (s *Settler) Foresee(wire string, outside unit.Length) bool {
	i := slices.IndexFunc(s.loads, func(l load) bool { return l.wire.ID == wire })
	if i < 0 || s.shelf == nil {
		return false
	}
	for _, run := range s.loads[i].runs {
		var wires []bundle.Wire
		for k := range s.loads {
			if slices.Contains(s.loads[k].runs, run) {
				wires = append(wires, s.loads[k].wire)
				if k == i {
					wires[len(wires)-1].Diameter = outside.MM()
				}
			}
		}
		had := s.shelf.Len()
		if _, err := bundle.Lay(bundle.Parts(wires, nil), s.shelf.Pack); err != nil {
			return false
		}
		if s.shelf.Len() > had {
			return true
		}
	}
	return false
}

// loadsOf returns the wires with their ways, in the order of wires. Without wires to look at anew, what was is what the
// wires still are; only their ways are looked for. Where nothing beside them changed, that is so for each wire that is as it was.
func loadsOf(b *harness.Build, g *route.Graph, was []load, wires, same bool) []load {
	all := b.Wires.All()
	loads := make([]load, len(all))
	for i := range all {
		w, l := &all[i], &loads[i]
		had := i < len(was) && was[i].of.ID == w.ID
		if had && same && was[i].is(w) && (w.Lead == "" || lives(b, w.Lead)) { // of a deleted lead there is no telling
			*l = was[i]
			l.of = w
			continue
		}
		l.of = w
		if had && !wires && len(was) == len(all) {
			l.wire = was[i].wire
		} else {
			l.wire = bundle.Wire{ID: w.ID, Twist: w.Twist}
			if d, _, ok := Outside(b, *w); ok {
				l.wire.Diameter = d.MM()
			}
		}
		l.runs, _ = g.WireRuns(*w) // why there is no way is said where its length is
		l.wire.Leaves = g.Lengths().Path(l.runs).Length.MM() / 1000
	}
	return loads
}

func lives(b *harness.Build, lead string) bool {
	_, ok := b.Leads.Get(lead)
	return ok
}

// pack packs the bundles of all living runs, in their order.
func pack(b *harness.Build, g *route.Graph, loads []load, shelf *bundle.Shelf) []bundle.Packed {
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
	for _, l := range loads {
		for _, id := range l.runs {
			runs[at[id]].Wires = append(runs[at[id]].Wires, l.wire)
		}
	}
	packed, err := bundle.Runs(runs, nil, shelf)
	if err != nil { // a diameter that is no length: there is none among those above
		return nil
	}
	return packed
}
