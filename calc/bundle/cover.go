package bundle

import (
	"cmp"
	"fmt"
	"math"

	"loomwright/calc/sorting"
)

// Fit is how much room a cover needs. The zero value stands for DefaultFit.
type Fit struct {
	Over   float64 // heat-shrink as supplied is at least so many times what it must pass over
	Onto   float64 // heat-shrink after shrinking is at most so many times the loom
	Tube   float64 // a tube is at least so many times the loom
	Braid  float64 // a braid opens to at least so many times the loom
	Growth float64 // a grommet is at least so many times the loom
}

// DefaultFit is what is usual.
//
// Source: common practice, from memory: heat-shrink at least 1.2 × and after shrinking under 0.9 ×, tube and braid 1.1 to
// 1.25 ×; tubes at most about 80 % full, which is 1.12 ×. Growth is our choice: room for a few wires more, since a fifth
// of the diameter is two fifths of the area.
var DefaultFit = Fit{Over: 1.2, Onto: 0.9, Tube: 1.12, Braid: 1.1, Growth: 1.2}

// BraidShortens is how much longer braid is cut, as parts of the run, because it shortens when it opens.
//
// Source: common practice, from memory: 10 to 20 %.
const BraidShortens = 0.2

// Choice is a size chosen for a loom.
type Choice struct {
	Stock   Stock
	OK      bool    // false if no size fits; Terms say why
	Outside float64 // mm, of loom and cover where the wall is known, else 0
	Terms   []Term
}

// Choose returns the smallest size of a kind that fits: over the loom, over the largest thing it must pass on its way there
// (0 if nothing, or for a cover that opens), and onto the loom. Diameters are in mm. Nothing fits a loom whose diameter is
// not known.
func Choose(kind CoverKind, diameter, passes float64, stock []Stock, fit Fit) Choice {
	if fit == (Fit{}) {
		fit = DefaultFit
	}
	c := Choice{Terms: []Term{{Name: "Bundle", Value: diameter, Unit: "mm", Reason: "what it goes round", Source: packed}}}
	if !(diameter > 0) || math.IsInf(diameter, 1) {
		c.Terms[0].Reason = "its diameter is not known"
		return c
	}
	need, most, terms := needs(kind, diameter, passes, fit)
	c.Terms = append(c.Terms, terms...)
	var sizes []Stock
	for _, s := range stock {
		if s.Kind == kind {
			sizes = append(sizes, s)
		}
	}
	sorting.By(sizes, func(a, b Stock) int {
		return cmp.Or(cmp.Compare(a.Inside, b.Inside), cmp.Compare(a.Name, b.Name))
	})
	for _, s := range sizes {
		if s.Inside < need {
			continue
		}
		if s.Least > most {
			c.Terms = append(c.Terms, Term{Name: s.Name, Value: s.Least, Unit: "mm", Reason: "passes over, but does not come down onto the bundle", Source: s.Source})
			return c
		}
		c.Stock, c.OK = s, true
		c.Terms = append(c.Terms, Term{Name: s.Name, Value: s.Inside, Unit: "mm", Reason: "the smallest that fits", Source: s.Source})
		if s.Wall > 0 {
			c.Outside = diameter + 2*s.Wall
		}
		if kind == Braid {
			c.Terms = append(c.Terms, Term{Name: "Cut longer", Value: 1 + BraidShortens, Unit: "×", Reason: "braid shortens when it opens", Source: practiceMemory})
		}
		return c
	}
	c.Terms = append(c.Terms, Term{Name: "No size", Value: float64(len(sizes)), Reason: fmt.Sprintf("sizes of %s on the list, none wide enough", kind), Source: "the list of stock"})
	return c
}

// needs returns the least inside and the most that a cover may be when it is down on the loom.
func needs(kind CoverKind, diameter, passes float64, fit Fit) (need, most float64, terms []Term) {
	factor, why := fit.Tube, "room in a tube, about 80 % full at most"
	most = math.Inf(1)
	switch kind {
	case Shrink2, Shrink3:
		factor, why = fit.Over, "as supplied it slides over"
		most = fit.Onto * diameter
	case Braid:
		factor, why = fit.Braid, "braid opens over the bundle"
		most = diameter
	case GrommetFor:
		factor, why = fit.Growth, "room to grow"
	}
	need = factor * diameter
	terms = append(terms, Term{Name: "At least", Value: need, Unit: "mm", Reason: fmt.Sprintf("%g ×: %s", factor, why), Source: practiceMemory})
	if passes > need {
		need = passes
		terms = append(terms, Term{Name: "Passes over", Value: passes, Unit: "mm", Reason: "the largest thing it must pass on its way", Source: "the loom"})
	}
	if !math.IsInf(most, 1) {
		terms = append(terms, Term{Name: "Comes down to", Value: most, Unit: "mm", Reason: "or less, so that it sits tight", Source: practiceMemory})
	}
	return need, most, terms
}

// Bend returns the least inside radius of a bend in mm, and how it comes about. At a terminal strip, with the wires held, it
// may be tighter.
//
// Source: FAA AC 43.13-1B ch. 11: 10 × the outside diameter; at terminal strips 3 ×, that one from memory.
func Bend(diameter float64, atStrip bool) (radius float64, terms []Term) {
	times, source := 10.0, "FAA AC 43.13-1B ch. 11"
	if atStrip {
		times, source = 3, "FAA AC 43.13-1B ch. 11, from memory"
	}
	return times * diameter, []Term{
		{Name: "Bundle", Value: diameter, Unit: "mm", Reason: "outside diameter", Source: packed},
		{Name: "Times", Value: times, Unit: "×", Reason: "least radius of a bend", Source: source},
	}
}

// Weight is the mass of a run.
type Weight struct {
	Copper, Loom float64 // g; what is known of it
	Unknown      []string
	Terms        []Term
}

// Mass returns the copper in a run and the mass of the whole, cover and sleeves with it. Wires and sleeves whose mass is not
// known are named and left out; with no length all are.
func Mass(r Run, sleeves []Sleeve) Weight {
	var w Weight
	var wires, held float64
	known := map[string]Sleeve{}
	for _, s := range sleeves {
		known[s.ID] = s
	}
	counted := map[string]bool{}
	for _, x := range r.Wires {
		if r.Length <= 0 || x.Copper <= 0 || x.Mass <= 0 {
			w.Unknown = append(w.Unknown, x.ID)
		}
		w.Copper += max(0, x.Copper) * max(0, r.Length)
		wires += max(0, x.Mass) * max(0, r.Length)
		for id := x.Sleeve; id != "" && !counted[id]; id = known[id].In {
			counted[id] = true
			if known[id].Mass <= 0 {
				w.Unknown = append(w.Unknown, id)
			}
			held += max(0, known[id].Mass) * max(0, r.Length)
		}
	}
	cover := max(0, r.Cover) * max(0, r.Length)
	w.Loom = wires + held + cover
	w.Terms = []Term{
		{Name: "Length", Value: r.Length, Unit: "m", Reason: "of the run", Source: "readings"},
		{Name: "Copper", Value: w.Copper, Unit: "g", Reason: "part of the wires", Source: "mass per metre of each wire"},
		{Name: "Wires", Value: wires, Unit: "g", Reason: "with insulation", Source: "mass per metre of each wire"},
		{Name: "Sleeves", Value: held, Unit: "g", Reason: "inside the loom", Source: "mass per metre of each"},
		{Name: "Cover", Value: cover, Unit: "g", Reason: "over the loom", Source: "mass per metre of it"},
	}
	return w
}
