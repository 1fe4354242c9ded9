package loom

import (
	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Facts is what follows for a run from how thick it is.
type Facts struct {
	Run
	Packed  bundle.Packed
	Cover   harness.Cover // what covers it; none and not chosen too
	ByLoom  bool          // so it is said of its loom
	Choice  bundle.Choice // the size of that cover
	Grommet bundle.Choice // with room to grow
	Over    float64       // mm, over its cover where the wall of that is known; 0 is not known
	Bend    float64       // mm, the least inside radius; 0 is not known
	Bending []bundle.Term
	Weight  bundle.Weight
}

// Facts works out what follows for a run from its packing. A run with a wire whose diameter is not known has no size of
// cover or grommet and no radius: they would be too small.
func (l *Looms) Facts(r Run, p bundle.Packed) Facts {
	f := Facts{Run: r, Packed: p, Cover: r.Cover}
	if f.Cover == harness.CoverOpen {
		loom, _ := l.Build.Looms.Get(r.Loom)
		f.Cover, f.ByLoom = loom.Cover, true
	}
	d := 0.0
	if p.Bundle.Known() {
		d = p.Bundle.Diameter
		f.Over = d
		f.Bend, f.Bending = bundle.Bend(d, false)
	}
	weighed := r.Bundle
	if f.Cover != harness.CoverOpen && f.Cover != harness.NoCover {
		f.Choice = bundle.Choose(bundle.CoverKind(f.Cover), d, 0, l.Stock, bundle.Fit{})
		if f.Choice.OK {
			f.Over = f.Choice.Outside
			weighed.Cover = f.Choice.Stock.Mass
		}
	}
	f.Grommet = bundle.Choose(bundle.GrommetFor, d, 0, l.Stock, bundle.Fit{})
	f.Weight = bundle.Mass(weighed, r.Sleeves)
	if f.Choice.OK && f.Choice.Stock.Mass <= 0 {
		f.Weight.Unknown = append(f.Weight.Unknown, string(f.Cover))
	}
	return f
}

// Lay returns the order of laying up, the core first.
func (r Run) Lay() []bundle.Step { return bundle.LayUp(bundle.Parts(r.Bundle.Wires, r.Sleeves)) }

// Closed reports whether a cover must be threaded on: it does not open along its length.
func Closed(c harness.Cover) bool {
	switch bundle.CoverKind(c) {
	case bundle.Braid, bundle.Shrink2, bundle.Shrink3:
		return true
	}
	return false
}

// Threads returns what is slid onto a run, the covers and the grommets of the holes at its ends, and when each goes on.
// diameter is that of a run in mm, 0 if it is not known.
func (l *Looms) Threads(f Facts, diameter func(run string) float64) []bundle.Threading {
	var slides []bundle.Slide
	ends := [2][]bundle.Bulk{l.bulks(f.Run, f.Near, diameter), l.bulks(f.Run, f.Far, diameter)}
	if f.Cover != harness.CoverOpen && f.Cover != harness.NoCover {
		slides = append(slides, bundle.Slide{ID: string(f.Cover), Bore: f.Choice.Stock.Inside, Open: !Closed(f.Cover), Ends: ends})
	}
	for _, id := range [2]string{f.Near, f.Far} {
		p, _ := l.Build.Places.Get(id)
		if p.Kind != harness.PassThrough || p.Bore == nil && !p.Slit {
			continue
		}
		s := bundle.Slide{ID: "grommet of " + l.Name(id), Open: p.Slit, Ends: ends}
		if p.Bore != nil {
			s.Bore = p.Bore.MM()
		}
		slides = append(slides, s)
	}
	return bundle.Thread(slides)
}

// bulks are what a slide must pass to come onto a run from the side of one of its places, once all is made: the connectors
// where its wires end there, and the branches at that place side by side.
func (l *Looms) bulks(r Run, from string, diameter func(run string) float64) (all []bundle.Bulk) {
	seen := map[string]bool{}
	for i := range r.Wires {
		end := r.Wires[i].Leaves
		if from == r.Near {
			end = l.other(&r.Wires[i])
		}
		if seen[end] {
			continue
		}
		seen[end] = true
		if b, is := l.connector(end); is {
			all = append(all, b)
		}
	}
	return append(all, l.branches(from, []string{r.ID}, diameter)...)
}

// other returns the place where a wire ends that it does not leave at.
func (l *Looms) other(w *Wire) string {
	from, _ := l.Build.EndPlace(w.From)
	if from != w.Leaves {
		return from
	}
	to, _ := l.Build.EndPlace(w.To)
	return to
}

// connector is what is finished at a place; is is false where wires only meet.
func (l *Looms) connector(place string) (b bundle.Bulk, is bool) {
	p, _ := l.Build.Places.Get(place)
	b.Name = "connector of " + l.Name(place)
	if p.Across != nil {
		b.Size = p.Across.MM()
		return b, true
	}
	switch p.Kind {
	case harness.Split, harness.Splice, harness.PassThrough, "":
		return b, false
	}
	return b, true
}

// branches is what lies side by side beyond a place: its runs but for some. With one there is nothing to lie side by side.
func (l *Looms) branches(place string, but []string, diameter func(run string) float64) []bundle.Bulk {
	var d []float64
	known := true
next:
	for _, id := range l.beside[place] {
		for _, x := range but {
			if x == id {
				continue next
			}
		}
		if r := &l.Runs[l.at[id]]; len(r.Wires) > 0 {
			v := diameter(id)
			known = known && v > 0
			d = append(d, v)
		}
	}
	if len(d) < 2 {
		return nil
	}
	b := bundle.Bulk{Name: "branches at " + l.Name(place) + ", side by side"}
	if known {
		b.Size = bundle.Folded(d[0], d[1:]...)
	}
	return []bundle.Bulk{b}
}

// Terms are terms of a bundle as every number shows them.
func Terms(all []bundle.Term) []unit.Term {
	terms := make([]unit.Term, len(all))
	for i, t := range all {
		terms[i] = unit.Term{Name: t.Name, Formula: t.Reason, Value: t.Value, Unit: t.Unit, Source: t.Source}
	}
	return terms
}
