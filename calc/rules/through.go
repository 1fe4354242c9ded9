package rules

import (
	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/unit"
)

// packs are the bundles that a rule asked for: roughly first, which is never below the truth; better where that decides.
type packs struct {
	looms *loom.Looms
	shelf [2]*bundle.Shelf // rough, quick
}

// bundles returns what the loom is made of, gathered when it is first asked for.
func (f *facts) bundles() *packs {
	if f.packs == nil {
		f.packs = &packs{loom.New(f.b, f.g), [2]*bundle.Shelf{bundle.NewShelf(bundle.Rough), bundle.NewPaced(bundle.Quick, nil)}}
	}
	return f.packs
}

// of packs one run, grade 0 roughly and 1 better.
func (p *packs) of(r loom.Run, grade int) bundle.Packed {
	b, err := bundle.Lay(bundle.Parts(r.Bundle.Wires, r.Sleeves), p.shelf[grade].Pack)
	if err != nil {
		b = bundle.Bundle{}
	}
	return bundle.Packed{Run: r.ID, Bundle: b}
}

// pulled looks whether the loom gets through the holes of which a person said how wide they are.
func (f *facts) pulled() {
	places := f.b.Places.All()
	asked := false
	for i := range places {
		asked = asked || places[i].Kind == harness.PassThrough && (places[i].Hole != nil || places[i].Bore != nil)
	}
	if !asked {
		return
	}
	p := f.bundles()
	for _, h := range p.looms.Holes {
		if h.Hole == nil && h.Bore == nil || len(h.Bundle.Wires) == 0 {
			continue
		}
		for grade := range p.shelf {
			together, err := h.Diameter(p.shelf[grade].Pack)
			if err != nil {
				break
			}
			pull := p.looms.Pull(h, together, func(run string) float64 {
				r, _ := p.looms.Run(run)
				if b := p.of(r, grade).Bundle; b.Known() {
					return b.Diameter
				}
				return 0
			})
			x, bad := f.tight(h, together, pull)
			if !bad {
				break
			}
			if grade == len(p.shelf)-1 {
				f.add(x)
			}
		}
	}
}

// tight tells of what does not go through a hole; bad is false where all that is known does.
func (f *facts) tight(h loom.Hole, together float64, pull bundle.Pull) (x harness.Finding, bad bool) {
	at := harness.Ref{Kind: harness.KindPlace, ID: h.ID}
	x = harness.Finding{Severity: harness.Stop, Subject: at, Got: f.millimetres(together), Source: "circles packed in the smallest circle; what goes through a hole is no thicker than it",
		Terms: loom.Terms(pull.Terms), Fix: harness.Fix{At: at}}
	hole, bore := 0.0, 0.0
	if h.Hole != nil {
		hole = h.Hole.MM()
	}
	if h.Bore != nil {
		bore = h.Bore.MM()
	}
	switch {
	case hole > 0 && together > hole:
		x.Rule, x.What, x.Limit = HoleSmall, h.Name+": the bundle is thicker than the hole", f.millimetres(hole)
		x.Fix.Field, x.Fix.Do = "hole", "make the hole wider, or lead wires through another one"
	case bore > 0 && together > bore:
		x.Rule, x.What, x.Limit = GrommetSmall, h.Name+": the bundle is thicker than the grommet is wide", f.millimetres(bore)
		x.Fix.Field, x.Fix.Do = "bore", "take a wider grommet"
		if c := bundle.Choose(bundle.GrommetFor, together, 0, loom.Stock(f.b), bundle.Fit{}); c.OK {
			now, inside := h.Place, unit.Length(c.Stock.Inside*1000)*unit.Millimetre/1000
			now.Bore = &inside
			x.Fix.Do, x.Fix.Put = "take the grommet of "+f.millimetres(c.Stock.Inside)+" inside", []harness.Put{{Ref: at, Record: now}}
		}
	case hole > 0 && pull.Largest.Size > hole:
		side := 1 - pull.From // what comes from there goes through
		x.Rule, x.Got, x.Limit = NotThrough, f.millimetres(pull.Largest.Size), f.millimetres(hole)
		x.What = h.Name + ": " + pull.Largest.Name + " does not go through the hole, pulled from " + f.places[h.Beside[pull.From]].Name
		x.Fix.Field, x.Fix.Do = "pull", "finish it after pulling, or make the hole wider"
		easier, chosen := h, h.Pull != ""
		easier.Pull = h.Beside[side]
		if again := f.bundles().looms.Pull(easier, together, none); chosen && again.Largest.Size <= hole {
			x.Fix.Do, x.Fix.Put = "pull it from "+f.places[h.Beside[side]].Name, []harness.Put{{Ref: at, Record: easier.Place}}
		}
	default:
		return x, false
	}
	return x, true
}

// none knows no diameter.
func none(string) float64 { return 0 }

func (f *facts) millimetres(v float64) string {
	return f.length(unit.Length(v*1e6 + 0.5))
}

// covered looks whether what a person chose to cover the loom with comes in a size that fits. One finding for a kind of
// cover. A wire alone needs none.
func (f *facts) covered() {
	covers := map[harness.Cover]int{} // to its finding
	runs, looms := f.b.Runs.All(), f.b.Looms.All()
	asked := false
	for i := range runs {
		asked = asked || runs[i].Cover != harness.CoverOpen && runs[i].Cover != harness.NoCover
	}
	for i := range looms {
		asked = asked || looms[i].Cover != harness.CoverOpen && looms[i].Cover != harness.NoCover
	}
	if !asked {
		return
	}
	p := f.bundles()
	for i := range p.looms.Runs {
		r := p.looms.Runs[i]
		if len(r.Wires) < 2 || len(r.Missing()) > 0 {
			continue
		}
		facts := p.looms.Facts(r, p.of(r, 0))
		if !unfit(facts) {
			continue
		}
		if facts = p.looms.Facts(r, p.of(r, 1)); !unfit(facts) {
			continue
		}
		at := harness.Ref{Kind: harness.KindRun, ID: r.ID}
		if k, had := covers[facts.Cover]; had {
			f.all[k].Also = append(f.all[k].Also, at)
			continue
		}
		covers[facts.Cover] = len(f.all)
		terms := facts.Choice.Terms
		f.add(harness.Finding{Rule: CoverNone, Severity: harness.Warn, Subject: at, Got: f.millimetres(facts.Packed.Bundle.Diameter),
			What: p.looms.Name(r.A) + " – " + p.looms.Name(r.B) + ": no size of " + string(facts.Cover) + " on the list fits", Source: "the list of sizes, with the room that is common practice",
			Terms: loom.Terms(terms), Fix: harness.Fix{At: at, Field: "cover", Do: "choose another cover, or add the size you have"}})
	}
}

func unfit(f loom.Facts) bool {
	return f.Cover != harness.CoverOpen && f.Cover != harness.NoCover && !f.Choice.OK
}
