package steps

import (
	"cmp"
	"slices"
	"strings"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/sorting"
	"loomwright/calc/supply"
	"loomwright/calc/unit"
)

// bench is the work before anything is covered.
func (m *maker) bench() {
	groups := map[string][]string{}
	for _, w := range m.wires {
		if l, ok := m.lead(w); ok {
			at := m.branch(w)
			groups[at] = append(groups[at], m.cavity(l))
		}
	}
	for _, place := range m.places {
		if leads := groups[place]; len(leads) > 0 {
			m.add(Step{Phase: Group, Big: m.name(place), What: "Tie together, with a mark for now: " + strings.Join(leads, ", "), Place: place}, "group", place)
		}
	}
	for _, w := range m.wires {
		if l, ok := m.lead(w); ok {
			m.add(Step{Phase: Meter, Big: m.cavity(l), What: "Meter from the cavity to the bare end, and mark that end " + w.Name, Caution: meterCaution,
				Detail: m.conductor(w) + ", " + l.Does(), Place: m.far(w)}, "meter", w.ID)
		}
	}
	for _, g := range m.Plan.Groups {
		// What is cut stays in its place among what is not: the next step is the one behind it.
		pieces := append(slices.Clone(g.Pieces), g.Cut...)
		sorting.By(pieces, func(x, y supply.Piece) int {
			return cmp.Or(cmp.Compare(y.Length, x.Length), cmp.Compare(x.Wire.Order, y.Wire.Order), cmp.Compare(x.Wire.ID, y.Wire.ID))
		})
		for _, p := range pieces {
			m.cutStep(p, g)
		}
	}
	for _, p := range m.Plan.Open {
		m.cutStep(p, supply.Group{})
	}
	for _, place := range m.places {
		switch p, _ := m.b.Places.Get(place); {
		case p.Kind == harness.PassThrough:
			m.add(Step{Phase: Thread, Big: p.Name, What: "Thread its grommet on: it will not pass later", Place: place}, "thread", place)
		case p.Kind == harness.Split && m.covered(place) > 1:
			m.add(Step{Phase: Thread, Big: p.Name, What: "Thread on the heat-shrink for the " + number(m.covered(place), "cover end", "cover ends") + " here", Place: place}, "thread", place)
		}
	}
	for _, r := range m.runs {
		if c := m.cover(r); c.Kind != "" && loom.Closed(harness.Cover(c.Kind)) {
			m.add(Step{Phase: Thread, Big: m.name(r.A) + " to " + m.name(r.B), What: "Slide on " + strings.TrimSpace(string(c.Kind)+" "+c.Name) + ", and push it aside: it does not open",
				Detail: m.runLength(r), Run: r.ID, Place: m.outer(r)}, "slide", r.ID)
		}
	}
	for _, r := range m.runs {
		if n := m.carries[r.ID]; n > 0 {
			m.add(Step{Phase: Lay, Big: m.name(r.A) + " to " + m.name(r.B), What: "Lay " + number(n, "wire", "wires") + ", light pull, tie on both sides of the split",
				Detail: m.runLength(r), Run: r.ID, Place: m.outer(r)}, "lay", r.ID)
		}
	}
	joints := m.b.Joints.All()
	for _, j := range joints {
		var names []string
		for _, w := range m.wires {
			if w.From.Joint == j.ID || w.To.Joint == j.ID {
				names = append(names, w.Name)
			}
		}
		if len(names) > 0 {
			m.add(Step{Phase: Join, Big: j.Name, What: "Splice " + strings.Join(names, ", ") + "; one splice beside the next, tied on both sides", Detail: "at " + m.name(j.Place), Place: j.Place}, "join", j.ID)
		}
	}
	for _, w := range m.wires {
		if w.ExtendAt != "" {
			m.add(Step{Phase: Join, Big: w.Name, What: "Splice its extension on at " + m.name(w.ExtendAt), Detail: w.ExtendWhy, Place: w.ExtendAt}, "extend", w.ID)
		}
	}
}

func (m *maker) runLength(r harness.Run) string {
	k, ok := m.Graph.Lengths().Run(r.ID)
	if !ok || !k.Measured() {
		return "length not known"
	}
	return k.Length.Grouped(m.b.Settings.Unit)
}

// outer is the end of a run that is farther from the controller.
func (m *maker) outer(r harness.Run) string {
	if m.rank[r.A] > m.rank[r.B] {
		return r.A
	}
	return r.B
}

// far is the place of a wire's end that is farther from the controller.
func (m *maker) far(w harness.Wire) string {
	from, _ := m.b.EndPlace(w.From)
	to, _ := m.b.EndPlace(w.To)
	if to == "" || m.rank[from] > m.rank[to] {
		return from
	}
	return to
}

// covered is how many runs with a cover meet at a place.
func (m *maker) covered(place string) (n int) {
	for _, r := range m.runs {
		if _, here := r.OtherEnd(place); here && m.cover(r).Kind != "" {
			n++
		}
	}
	return n
}

func (m *maker) cover(r harness.Run) supply.Cover {
	for _, p := range m.Bundles {
		if p.Run == r.ID {
			return supply.CoverOf(m.b, r, p, m.carries[r.ID], m.sizes)
		}
	}
	return supply.Cover{}
}

// cutStep is an added wire, or what is spliced onto a lead.
func (m *maker) cutStep(p supply.Piece, g supply.Group) {
	s := Step{Phase: Cut, Big: p.Wire.Name, Detail: m.conductor(p.Wire), Place: m.far(p.Wire), Does: CutsWire, Of: p.Wire.ID, Length: p.Length}
	key := "cut"
	if p.Extension {
		s.Does, key, s.Place = CutsMore, "more", p.Wire.ExtendAt
	}
	if p.Missing != "" {
		s.Length = 0
		s.What = "Not known: " + p.Missing + ". Measure it, or cut it in the car"
	} else {
		s.What = "Cut to " + p.Length.Grouped(m.b.Settings.Unit)
		if from, ok := g.From(p); ok {
			s.What += " from what is on hand"
			s.Detail += ", from " + from.Length.Grouped(m.b.Settings.Unit)
		}
		s.What += ", mark both ends " + p.Wire.Name
	}
	if d := p.Done(); d != nil {
		s.Done, s.At, s.What = true, d.At, "Cut to "+d.Length.Grouped(m.b.Settings.Unit)
	}
	m.add(s, key, p.Wire.ID)
}

// StopShort is how far before a split that is decided in the car covers and ties end. Source: common practice, a judgement.
const (
	StopShortLeast = 150 * unit.Millimetre
	StopShortMost  = 300 * unit.Millimetre
)

// closing is everything metered once more, and then what closes over it.
func (m *maker) closing() {
	for _, j := range m.b.Joints.All() {
		m.add(Step{Phase: Again, Big: j.Name, What: "Meter the joint: every end of it joined, and nothing else", Caution: meterCaution, Detail: "at " + m.name(j.Place), Place: j.Place}, "again joint", j.ID)
	}
	for _, w := range m.wires {
		if m.inner(w) {
			continue
		}
		m.add(Step{Phase: Again, Big: w.Name, What: "Meter " + m.end(w.From) + " to " + m.end(w.To), Detail: m.conductor(w), Place: m.far(w)}, "again", w.ID)
	}
	sys := m.b.Settings.Unit
	for _, r := range m.runs {
		c := m.cover(r)
		if c.Kind == "" {
			continue
		}
		s := Step{Phase: Cover, Big: m.name(r.A) + " to " + m.name(r.B), What: "Put on " + string(c.Kind) + " " + c.Name, Detail: m.runLength(r), Run: r.ID, Place: m.outer(r)}
		if c.Missing != "" {
			s.What = "Put on " + string(c.Kind) + "; its size is not known: " + c.Missing
		}
		for _, end := range [2]string{r.A, r.B} {
			if p, _ := m.b.Places.Get(end); p.Kind == harness.Split && p.Fixed == harness.InCar {
				s.What += ". Stop " + StopShortLeast.Grouped(sys) + " to " + StopShortMost.Grouped(sys) + " short of " + m.name(end) + ": it is decided in the car"
			}
		}
		s.Caution = hotCaution
		m.add(s, "cover", r.ID)
	}
	for _, place := range m.places {
		if p, _ := m.b.Places.Get(place); p.Kind == harness.PassThrough {
			m.add(Step{Phase: Rubber, Big: p.Name, What: "Bring the grommet to its mark", Place: place}, "grommet", place)
		}
	}
}

// car is laying in, and the splits that are decided there.
func (m *maker) car() {
	m.add(Step{Phase: Car, Big: "Into the car", What: "Lay the loom on its route, from the controller outward", Caution: carCaution}, "car")
	for _, place := range m.places {
		switch p, _ := m.b.Places.Get(place); p.Kind {
		case harness.PassThrough:
			m.add(Step{Phase: Car, Big: p.Name, What: "Pull it through and seat the grommet", Caution: carCaution, Place: place}, "through", place)
		case harness.Controller:
			m.add(Step{Phase: Car, Big: m.name(place), What: "Mount it. It stays unplugged", Place: place}, "in car", place)
		}
	}
	for _, place := range m.places {
		if p, _ := m.b.Places.Get(place); p.Kind == harness.Split && p.Fixed == harness.InCar {
			m.add(Step{Phase: Splits, Big: m.name(place), What: "Find where it sits best, tie both sides, finish the covers", Caution: hotCaution, Place: place}, "split", place)
		}
	}
}

// trimTo is what a lead is trimmed to, as it is worked out anywhere else.
func (m *maker) trimTo(w harness.Wire) (l unit.Length, tail unit.Length, ok bool) {
	r := m.length(w)
	lead := cut.LeadOf(m.b, m.Graph, w, r)
	l, ok = lead.Trim(m.b.Settings.Unit)
	return l, lead.Supplied - l, ok
}
