package supply

import (
	"math"
	"slices"
	"strconv"

	"loomwright/calc/bundle"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/route"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	conductor "loomwright/calc/wire"
)

// Sort is what a line of the shopping list is.
type Sort string

// The sorts, in their order.
const (
	WireSort   Sort = "wire"
	CoverSort  Sort = "cover"
	ShrinkSort Sort = "heat-shrink"
	PinSort    Sort = "terminals"
	SealSort   Sort = "seals"
	PlugSort   Sort = "blanking plugs"
	SpliceSort Sort = "splices"
	PartSort   Sort = "fuses and relays"
	StripSort  Sort = "terminal strips"
	RubberSort Sort = "grommets"
	TieSort    Sort = "ties"
	TagSort    Sort = "tags"
)

// Line is one thing to buy. Amounts are metres where Metres is set, else pieces.
type Line struct {
	Sort         Sort
	Name         string
	Base, Tracer string // of a wire
	Metres       bool
	Need         float64 // what is used
	Spare        float64 // what is bought beyond it
	Hand         float64 // what is on hand of it
	Buy          float64 // rounded up to what is sold
	Why          string
	Missing      string // what is not known: what of it is needed is not in the numbers
}

// Lengths that the list is made with.
const (
	spliceShrink = 0.06 // m over each splice. Source: common practice, the splice and 15 mm on either side
	tubeShrink   = 0.03 // m for each tag tube: our choice, two lines of text
	endShrink    = 0.04 // m over each end of a cover: common practice, half on the cover, half on the wires
	tieEvery     = 0.25 // m. Source: common practice, ties every 200 to 300 mm
	tiePack      = 100  // sold in packs of
	shrinkStep   = 0.5  // m: our choice
)

// Cover is what goes over a run: a kind and size of cover, or why it is not known.
type Cover struct {
	Kind    bundle.CoverKind // empty is none
	Name    string
	Outside float64 // mm, 0 is not known
	Missing string
}

// CoverOf chooses the cover of a run: what was chosen for it or its loom, else slit tube, and that not over a single wire. The size is
// the smallest of sizes that fits, see loom.Stock.
func CoverOf(b *harness.Build, r harness.Run, p bundle.Packed, wires int, sizes []bundle.Stock) Cover {
	kind := r.Cover
	if kind == harness.CoverOpen {
		whole, _ := b.Looms.Get(r.Loom)
		kind = whole.Cover
	}
	switch {
	case kind == harness.NoCover, wires == 0, kind == harness.CoverOpen && wires < 2:
		return Cover{}
	case kind == harness.CoverOpen:
		kind = harness.Cover(bundle.SlitTube)
	}
	c := Cover{Kind: bundle.CoverKind(kind)}
	if !p.Bundle.Known() {
		c.Missing = "the diameter of a wire"
		return c
	}
	choice := bundle.Choose(c.Kind, p.Bundle.Diameter, 0, sizes, bundle.Fit{})
	if !choice.OK {
		c.Missing = "a size that is wide enough"
		return c
	}
	c.Name, c.Outside = choice.Stock.Name, max(choice.Outside, choice.Stock.Inside)
	return c
}

// Facts is a build with what is worked out of it already.
type Facts struct {
	Build   *harness.Build
	Graph   *route.Graph
	Bundles []bundle.Packed // of the living runs, in their order
	Plan    Planned
}

// FactsOf works them out. length may be nil, see Plan.
func FactsOf(b *harness.Build, settled cut.Settled, length func(harness.Wire) cut.Result) Facts {
	return Facts{Build: b, Graph: settled.Graph, Bundles: settled.Bundles, Plan: Plan(b, settled.Graph, length)}
}

// shopper collects lines; what is alike is one line.
type shopper struct {
	Facts
	lines []Line
	sizes []bundle.Stock // of covers, the build's own first
}

// line returns the line of a name, a new one if there is none.
func (s *shopper) line(sort Sort, name string) *Line {
	for i := range s.lines {
		if s.lines[i].Sort == sort && s.lines[i].Name == name && s.lines[i].Base == "" {
			return &s.lines[i]
		}
	}
	s.lines = append(s.lines, Line{Sort: sort, Name: name})
	return &s.lines[len(s.lines)-1]
}

// Shop returns everything that is bought, by sort and then as it was met: wires thin first. What is not known has a line that
// says what is missing. Cost: linear, and a choice of size for each run.
func Shop(f Facts) []Line {
	s := &shopper{Facts: f, sizes: loom.Stock(f.Build)}
	s.wires()
	s.covers()
	s.joints()
	s.ends()
	s.plugs()
	s.parts()
	s.holes()
	s.rest()
	order := []Sort{WireSort, CoverSort, ShrinkSort, PinSort, SealSort, PlugSort, SpliceSort, PartSort, StripSort, RubberSort, TieSort, TagSort}
	var out []Line
	for _, sort := range order {
		for _, l := range s.lines {
			if l.Sort == sort {
				out = append(out, l)
			}
		}
	}
	return out
}

// wires are the groups of the cutting plan, with spare metres beyond what is cut and what is left over.
func (s *shopper) wires() {
	percent := SpareWire(s.Build.Settings)
	for _, g := range s.Plan.Groups {
		if len(g.Pieces) == 0 {
			continue
		}
		l := Line{Sort: WireSort, Name: g.Size, Base: g.Base, Tracer: g.Tracer, Metres: true, Need: metres(g.Total)}
		if g.Insulation != harness.NoInsulation {
			l.Why = string(g.Insulation)
		}
		l.Spare = l.Need * percent / 100
		buy := g.Plan.Bought
		if want := unit.Length(math.Ceil(l.Spare * float64(unit.Metre))); g.Kept < want {
			step := BuyStep(s.Build.Settings)
			if len(g.Sold) > 0 {
				step = slices.Min(g.Sold)
			}
			buy += (want - g.Kept).RoundUp(step)
			if len(g.Sold) == 0 {
				buy = (g.Plan.Bought + want - g.Kept).RoundUp(step)
			}
		}
		for _, st := range g.Plan.Stocks {
			if st.OnHand >= 0 {
				l.Hand += metres(st.Length)
			}
		}
		l.Buy = metres(buy)
		switch {
		case g.Failed != "":
			l.Missing = g.Failed
		case len(g.Plan.Uncut) > 0:
			l.Missing = count(len(g.Plan.Uncut), "piece is", "pieces are") + " longer than what it is sold in"
		}
		s.lines = append(s.lines, l)
	}
	for _, p := range s.Plan.Open {
		l := s.line(WireSort, "not known")
		l.Metres = true
		if l.Missing != "" {
			l.Missing += "; "
		}
		l.Missing += p.Wire.Name + ": " + p.Missing
	}
}

func metres(l unit.Length) float64 { return l.MM() / 1000 }

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// add adds metres of a cover or of heat-shrink.
func (s *shopper) add(sort Sort, name string, m float64) {
	l := s.line(sort, name)
	l.Metres = true
	l.Need += m
	l.Buy = math.Ceil(l.Need/shrinkStep-1e-9) * shrinkStep
	l.Spare = 0
}

// missing notes what is not known of a sort, once for each text.
func (s *shopper) missing(sort Sort, name, what string) {
	l := s.line(sort, name)
	l.Need++
	l.Missing = what
}

// covers are those of every run, and heat-shrink over their ends.
func (s *shopper) covers() {
	per := s.Graph.PerRun()
	runs := s.Build.Runs.All()
	for i := range runs {
		if i >= len(s.Bundles) {
			break
		}
		c := CoverOf(s.Build, runs[i], s.Bundles[i], len(per[runs[i].ID]), s.sizes)
		if c.Kind == "" {
			continue
		}
		k, ok := s.Graph.Lengths().Run(runs[i].ID)
		switch {
		case c.Missing != "":
			s.missing(CoverSort, string(c.Kind)+", size not known", c.Missing)
			continue
		case !ok || !k.Measured():
			s.missing(CoverSort, string(c.Kind)+" "+c.Name+", length not known", "the length of a run")
		default:
			s.add(CoverSort, string(c.Kind)+" "+c.Name, metres(k.Length))
		}
		s.shrink(bundle.Shrink3, s.Bundles[i].Bundle.Diameter, c.Outside, 2*endShrink, "over the end of a cover")
	}
}

// shrink adds heat-shrink that comes down onto a diameter after it passed over another.
func (s *shopper) shrink(kind bundle.CoverKind, onto, over, m float64, what string) {
	for _, k := range []bundle.CoverKind{kind, bundle.Shrink3} {
		if c := bundle.Choose(k, onto, over, s.sizes, bundle.Fit{}); c.OK {
			s.add(ShrinkSort, string(k)+" "+c.Stock.Name, m)
			return
		}
	}
	s.missing(ShrinkSort, what+", size not known", "a size that passes over and comes down")
}

// joints are splices: a sleeve and heat-shrink over each.
func (s *shopper) joints() {
	at := map[string][]float64{}
	var order []string
	open := map[string]bool{}
	wires := s.Build.Wires.All()
	for i := range wires {
		size, _ := tag.Conductor(s.Build, wires[i])
		d, _, ok := conductor.OutsideDiameter(size)
		for _, e := range [2]harness.End{wires[i].From, wires[i].To} {
			if e.Joint == "" {
				continue
			}
			if at[e.Joint] == nil {
				order = append(order, e.Joint)
			}
			at[e.Joint] = append(at[e.Joint], d.MM())
			open[e.Joint] = open[e.Joint] || !ok
		}
		if wires[i].ExtendAt != "" {
			id := "extension " + wires[i].ID
			order = append(order, id)
			at[id], open[id] = []float64{d.MM(), d.MM()}, !ok
		}
	}
	for _, id := range order {
		l := s.line(SpliceSort, "splice sleeves")
		l.Need++
		l.Buy = withSpare(l.Need, SparePins(s.Build.Settings))
		l.Spare = l.Buy - l.Need
		if open[id] {
			s.missing(ShrinkSort, "over splices, size not known", "the size of a wire")
			continue
		}
		d := bundle.Thumb(at[id])
		s.shrink(bundle.Shrink3, d, 0, spliceShrink, "over splices")
	}
}

// withSpare is a number of pieces with per cents more, rounded up.
func withSpare(n, percent float64) float64 { return math.Ceil(n*(1+percent/100) - 1e-9) }
