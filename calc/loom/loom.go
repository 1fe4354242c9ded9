// Package loom looks at the runs of a build as bundles: which wires lie in each and how thick they are, what covers it, how
// it bends and what it weighs, in which order it is laid up, and what it must be pulled through.
package loom

import (
	"loomwright/calc/bundle"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// Wire is a wire as it lies in one run.
type Wire struct {
	harness.Wire
	Size    string      // canonical; empty is not known
	Colour  unit.Colour // the zero value is not known
	Outside unit.Length // over its insulation; 0 is not known
	Source  string      // where Outside comes from
	Leaves  string      // the place where it ends, on the side away from the controller
	Rest    unit.Length // from the run to there, as far as it was measured
	Sure    bool        // all of Rest was measured
}

// Run is a stretch of loom with what lies in it.
type Run struct {
	harness.Run
	Near, Far string // its places; the near one is on the side of the controller
	Length    unit.Length
	Measured  bool
	Wires     []Wire // in the order of the build
	Bundle    bundle.Run
	Sleeves   []bundle.Sleeve // shields
}

// ShieldWall is how thick a shield with its jacket is, in mm.
//
// Source: our choice, because foil, braid and jacket of vehicle cable have 0.3 to 0.5 mm together (common practice, from
// memory).
const ShieldWall = 0.4

// Looms is a build in one state, looked at as bundles.
type Looms struct {
	Build *harness.Build
	Runs  []Run          // in the order of runs
	Holes []Hole         // in the order of places
	Stock []bundle.Stock // see Stock

	at     map[string]int      // a run
	beside map[string][]string // the runs at a place
	depth  map[string]int      // of a place: runs from the controller, 0 where none leads there
}

// New gathers the bundles of a build; nothing is packed. Cost: linear in wires times runs on their way.
func New(b *harness.Build, g *route.Graph) *Looms {
	l := &Looms{Build: b, Stock: Stock(b), at: map[string]int{}, beside: map[string][]string{}, depth: map[string]int{}}
	all := b.Runs.All()
	l.Runs = make([]Run, len(all))
	for i := range all {
		r := &l.Runs[i]
		r.Run, r.Bundle.ID = all[i], all[i].ID
		l.at[r.ID] = i
		if k, ok := g.Lengths().Run(r.ID); ok && k.Measured() {
			r.Length, r.Measured = k.Length, true
			r.Bundle.Length = k.Length.MM() / 1000
		}
		l.beside[r.A] = append(l.beside[r.A], r.ID)
		l.beside[r.B] = append(l.beside[r.B], r.ID)
	}
	l.order()
	holes := l.holes()
	wires := b.Wires.All()
	for i := range wires {
		p, err := g.Wire(wires[i])
		if err != nil {
			continue
		}
		l.lay(l.wire(wires[i]), p, holes)
	}
	return l
}

// order tells near from far by the number of runs from the controller, or from the first place if there is none.
func (l *Looms) order() {
	places := l.Build.Places.All()
	root := ""
	for i := range places {
		if root == "" || places[i].Kind == harness.Controller {
			if root = places[i].ID; places[i].Kind == harness.Controller {
				break
			}
		}
	}
	l.depth[root] = 1
	for open := []string{root}; len(open) > 0; open = open[1:] {
		for _, id := range l.beside[open[0]] {
			far, _ := l.Runs[l.at[id]].OtherEnd(open[0])
			if l.depth[far] == 0 {
				l.depth[far] = l.depth[open[0]] + 1
				open = append(open, far)
			}
		}
	}
	for i := range l.Runs {
		r := &l.Runs[i]
		r.Near, r.Far = r.A, r.B
		if l.depth[r.B] < l.depth[r.A] {
			r.Near, r.Far = r.B, r.A
		}
	}
}

func (l *Looms) wire(w harness.Wire) Wire {
	lead, _ := l.Build.Leads.Any(w.Lead)
	if w.Twist == "" {
		w.Twist = lead.Twist
	}
	if w.Shield == "" {
		w.Shield = lead.Shield
	}
	x := Wire{Wire: w}
	size, colour := tag.Conductor(l.Build, w)
	x.Size, x.Colour = size, unit.ParseColour(colour)
	x.Outside, x.Source, _ = cut.Outside(l.Build, w)
	return x
}

// lay puts a wire into the runs and holes of its way.
func (l *Looms) lay(w Wire, p route.Path, holes map[string]*Hole) {
	in := bundle.Wire{ID: w.ID, Diameter: w.Outside.MM(), Twist: w.Twist}
	if w.Shield != "" {
		in.Sleeve = "shield " + w.Shield
	}
	size, _ := unit.ParseSize(w.Size)
	if copper, whole, ok := wire.Mass(size, w.Outside); ok {
		in.Copper, in.Mass = copper, whole
	}
	last := len(p.Places) - 1
	for i, id := range p.Runs {
		r := &l.Runs[l.at[id]]
		rest := p.Runs[i+1:]
		w.Leaves = p.Places[last]
		if r.Near != p.Places[i] {
			w.Leaves, rest = p.Places[0], p.Runs[:i]
		}
		w.Rest, w.Sure = 0, true
		for _, id := range rest {
			next := &l.Runs[l.at[id]]
			w.Rest, w.Sure = w.Rest+next.Length, w.Sure && next.Measured
		}
		in.Leaves = w.Rest.MM() / 1000
		r.Wires = append(r.Wires, w)
		r.Bundle.Wires = append(r.Bundle.Wires, in)
		r.Sleeves = sleeved(r.Sleeves, in.Sleeve)
	}
	for i, id := range p.Places {
		if h := holes[id]; h != nil && i > 0 && i < last {
			h.add(l, w, in, p, i)
		}
	}
}

func sleeved(all []bundle.Sleeve, id string) []bundle.Sleeve {
	if id == "" {
		return all
	}
	for _, s := range all {
		if s.ID == id {
			return all
		}
	}
	return append(all, bundle.Sleeve{ID: id, Wall: ShieldWall})
}

// Run returns a run by its id.
func (l *Looms) Run(id string) (r Run, ok bool) {
	i, ok := l.at[id]
	if !ok {
		return r, false
	}
	return l.Runs[i], true
}

// Pack packs all runs, in their order. A shelf that paces may stop it with bundle.ErrStopped; what was packed until then
// stays on the shelf.
func (l *Looms) Pack(shelf *bundle.Shelf) ([]bundle.Packed, error) {
	runs := make([]bundle.Run, len(l.Runs))
	var sleeves []bundle.Sleeve
	for i := range l.Runs {
		runs[i] = l.Runs[i].Bundle
		for _, s := range l.Runs[i].Sleeves {
			sleeves = sleeved(sleeves, s.ID)
		}
	}
	return bundle.Runs(runs, sleeves, shelf)
}

// Missing returns the wires whose diameter is not known.
func (r Run) Missing() (wires []Wire) {
	for i := range r.Wires {
		if r.Wires[i].Outside <= 0 {
			wires = append(wires, r.Wires[i])
		}
	}
	return wires
}

// Name returns what a place is called; one without a name is called by its kind.
func (l *Looms) Name(place string) string {
	p, _ := l.Build.Places.Any(place)
	if p.Name == "" {
		return string(p.Kind)
	}
	return p.Name
}
