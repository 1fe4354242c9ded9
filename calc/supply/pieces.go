package supply

import (
	"cmp"
	"math"
	"strconv"

	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	conductor "loomwright/calc/wire"
)

// Crimped is what a wire's end gets.
type Crimped string

// What is put on an end.
const (
	NoCrimp    Crimped = ""         // nothing: it is spliced, or was made by who made the lead
	PinCrimp   Crimped = "terminal" // of a connector
	RingCrimp  Crimped = "ring"     // on a stud
	FerruleEnd Crimped = "ferrule"  // under a screw of a terminal strip
	TapSplice  Crimped = "tap splice"
)

// EndOf returns what an end of a wire gets, by where it is. The end of a lead that the controller has is made already.
func EndOf(b *harness.Build, w harness.Wire, end harness.TagEnd) Crimped {
	e := w.From
	if end == harness.ToEnd {
		e = w.To
	}
	if _, lead := b.Leads.Get(w.Lead); lead && end == harness.FromEnd {
		return NoCrimp
	}
	place, ok := b.EndPlace(e)
	if e.Joint != "" || !ok {
		return NoCrimp
	}
	t, _ := b.Terminals.Get(e.Terminal)
	part, _ := b.Parts.Get(t.Part)
	switch part.Kind {
	case harness.Stud, harness.Battery, harness.FeedBar:
		return RingCrimp
	case harness.StripWay:
		return FerruleEnd
	}
	p, _ := b.Places.Get(place)
	switch p.Kind {
	case harness.Ground, harness.Supply:
		return RingCrimp
	case harness.TerminalStrip:
		return FerruleEnd
	case harness.CarWire:
		return TapSplice
	case harness.Splice, harness.Split:
		return NoCrimp
	}
	return PinCrimp
}

// ends are terminals by kind and size, seals of sealed connectors, and the tube that a tag on each end is.
func (s *shopper) ends() {
	b := s.Build
	sealed := map[string]harness.Answer{}
	for _, c := range b.Connectors.All() {
		is := harness.No
		if c.Sealed {
			is = harness.Yes
		}
		sealed[c.Place+" "+c.Name] = is
	}
	told := map[string]bool{}
	percent := SparePins(b.Settings)
	wires := b.Wires.All()
	for i := range wires {
		size, _ := tag.Conductor(b, wires[i])
		d, _, known := conductor.OutsideDiameter(size)
		for _, end := range [2]harness.TagEnd{harness.FromEnd, harness.ToEnd} {
			if known {
				s.shrink(bundle.Shrink2, d.MM(), 0, tubeShrink, "tag tubes")
			} else {
				s.missing(ShrinkSort, "tag tubes, size not known", "the size of a wire")
			}
			crimp := EndOf(b, wires[i], end)
			if crimp == NoCrimp {
				continue
			}
			l := s.line(PinSort, string(crimp)+" for "+cmp.Or(size, "a wire of unknown size"))
			s.pieces(l, percent)
			if size == "" {
				l.Missing = "the size of the wire"
			}
			if crimp != PinCrimp {
				continue
			}
			e := wires[i].From
			if end == harness.ToEnd {
				e = wires[i].To
			}
			t, _ := b.Terminals.Get(e.Terminal)
			place, _ := b.EndPlace(e)
			switch key := place + " " + t.Connector; sealed[key] {
			case harness.Yes:
				s.pieces(s.line(SealSort, "seal for "+cmp.Or(size, "a wire of unknown size")), percent)
			case harness.Unknown:
				if !told[key] {
					told[key] = true
					s.missing(SealSort, "connectors of which it is not said", "whether the connector is sealed")
				}
			}
		}
	}
}

// pieces adds one piece to a line, and the spares for all of them.
func (s *shopper) pieces(l *Line, percent float64) {
	l.Need++
	l.Buy = withSpare(l.Need, percent)
	l.Spare = l.Buy - l.Need
}

// plugs are for the cavities of sealed connectors that hold no wire, or will hold none.
func (s *shopper) plugs() {
	b := s.Build
	held := map[string]bool{}
	wires := b.Wires.All()
	for i := range wires {
		held[wires[i].From.Terminal], held[wires[i].To.Terminal] = true, true
	}
	leads := b.Leads.All()
	for i := range leads {
		if l := &leads[i]; l.There() && l.Decision != harness.Remove {
			held[l.Terminal] = true
		}
	}
	for _, c := range b.Connectors.All() {
		if !c.Sealed {
			continue
		}
		for _, t := range b.Terminals.All() {
			if t.Place == c.Place && t.Connector == c.Name && t.Part == "" && !held[t.ID] && !t.Plugged {
				p, _ := b.Places.Get(c.Place)
				l := s.line(PlugSort, "for "+p.Name+" "+c.Name)
				s.pieces(l, SparePins(b.Settings))
			}
		}
	}
}

// parts are fuses by rating with one spare each, relays and what else stands in a panel.
func (s *shopper) parts() {
	for _, p := range s.Build.Parts.All() {
		switch p.Kind {
		case harness.Fuse, harness.BreakerPart:
			if p.Rating == nil {
				s.missing(PartSort, string(p.Kind)+", rating not known", "the rating")
				continue
			}
			l := s.line(PartSort, string(p.Kind)+" "+strconv.FormatFloat(*p.Rating, 'f', -1, 64)+" A")
			l.Need++
			l.Spare = 1 // of each rating: our choice, one stays in the glove box
			l.Buy = l.Need + l.Spare
		case harness.Relay, harness.Switch, harness.Lamp, harness.DiodePart:
			l := s.line(PartSort, string(p.Kind))
			l.Need++
			l.Buy = l.Need
		case harness.StripWay:
			at, _ := s.Build.Places.Get(p.Place)
			l := s.line(StripSort, "positions at "+at.Name)
			l.Need++
			l.Buy = l.Need
		}
	}
	for _, p := range s.Build.Places.All() {
		if p.Kind != harness.TerminalStrip {
			continue
		}
		for _, t := range s.Build.Terminals.All() {
			if t.Place == p.ID && t.Part == "" {
				l := s.line(StripSort, "positions at "+p.Name)
				l.Need++
				l.Buy = l.Need
			}
		}
	}
}

// holes are grommets: for the thickest run at each pass-through.
func (s *shopper) holes() {
	runs := s.Build.Runs.All()
	for _, p := range s.Build.Places.All() {
		if p.Kind != harness.PassThrough {
			continue
		}
		thick, known := 0.0, true
		for i := range runs {
			if _, here := runs[i].OtherEnd(p.ID); here && i < len(s.Bundles) {
				known = known && s.Bundles[i].Bundle.Known()
				thick = max(thick, s.Bundles[i].Bundle.Diameter)
			}
		}
		c := bundle.Choose(bundle.GrommetFor, thick, 0, bundle.Usual(), bundle.Fit{})
		if !known || !c.OK {
			s.missing(RubberSort, "grommet, size not known", "the diameter of the loom at "+p.Name)
			continue
		}
		l := s.line(RubberSort, "grommet "+c.Stock.Name)
		l.Need++
		l.Buy = l.Need
		if l.Why != "" {
			l.Why += ", "
		}
		l.Why += p.Name
	}
}

// rest are ties and tags.
func (s *shopper) rest() {
	l := s.line(TieSort, "cable ties")
	open := 0
	for _, r := range s.Build.Runs.All() {
		k, ok := s.Graph.Lengths().Run(r.ID)
		if !ok || !k.Measured() {
			open++
			continue
		}
		l.Need += math.Ceil(metres(k.Length)/tieEvery) + 2 // and on both sides of what it leads to
	}
	l.Buy = math.Ceil(l.Need/tiePack) * tiePack
	l.Why = "every 250 mm, and on both sides of each split"
	if open > 0 {
		l.Missing = count(open, "run is", "runs are") + " not measured"
	}
	ends, places := 0, 0
	for _, t := range s.Build.Tags.All() {
		switch {
		case t.Retired:
		case t.On == harness.KindWire:
			ends++
		default:
			places++
		}
	}
	for _, x := range []struct {
		name string
		n    int
	}{{"for wire ends", ends}, {"for connectors and bundles", places}} {
		if x.n > 0 {
			l := s.line(TagSort, x.name)
			l.Need = float64(x.n)
			l.Buy = l.Need
		}
	}
}
