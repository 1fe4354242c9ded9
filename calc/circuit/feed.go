package circuit

import (
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// outOf reports whether a terminal of a part gives what the part lets through.
func outOf(t harness.Terminal) bool {
	return t.Name == "87" || len(t.Name) >= 3 && t.Name[:3] == "out"
}

// intoPart reports whether a terminal of a part takes what the part lets through.
func intoPart(t harness.Terminal) bool { return t.Name == "30" || t.Name == "in" }

// feed returns the ends of a circuit that can be joined now, with the output of the part that feeds it, and adds to put
// what must be said for that: the circuit of that output, and the links from part to part before it. Leads that are not in
// use are no ends.
func (p *proposer) feed(c harness.Circuit, put *Records) (ends []harness.Terminal) {
	for _, t := range p.ends[c.ID] {
		if l, ok := p.leads[t.ID]; !ok || l.Decision == harness.Use {
			ends = append(ends, t)
		}
	}
	if len(c.Feed) == 0 {
		return ends
	}
	for i := range c.Feed[1:] {
		p.link(c, c.Feed[i], c.Feed[i+1], put)
	}
	last := p.of[c.Feed[len(c.Feed)-1]]
	if slices.ContainsFunc(last, func(t harness.Terminal) bool { return t.Circuit == c.ID }) {
		return ends
	}
	for _, t := range last {
		if outOf(t) && t.Circuit == "" && len(p.wired()[t.ID]) == 0 {
			t.Circuit = c.ID
			put.Terminals = append(put.Terminals, t)
			ends = append(ends, t)
			sorting.By(ends, func(x, y harness.Terminal) int { return p.rank(x) - p.rank(y) })
			break
		}
	}
	return ends
}

// link adds a wire from one part of a feed to the next, unless a bar inside the panel joins them or they are joined.
func (p *proposer) link(c harness.Circuit, from, to string, put *Records) {
	if next, _ := p.b.Parts.Get(to); next.Feed != "" {
		return
	}
	link := harness.Circuit{Record: harness.Record{ID: harness.ProposedID(harness.KindCircuit, "link", from, to)}, Class: c.Class,
		Signal: harness.SupplyIn, Size: c.Size, Base: c.Base, Tracer: c.Tracer, Looms: c.Looms, Order: c.Order}
	if _, had := p.b.Circuits.Any(link.ID); had || p.linked[link.ID] {
		return
	}
	out, in := first(p.of[from], outOf), first(p.of[to], intoPart)
	if out.ID == "" || in.ID == "" || !p.bare(out) || !p.bare(in) {
		return
	}
	link.Name = p.Name(out) + " to " + p.Name(in)
	w, ok := p.wire(link, out, harness.End{Place: in.Place, Terminal: in.ID}, in.Place)
	if !ok {
		return
	}
	p.linked[link.ID] = true
	p.name(&w)
	out.Circuit, in.Circuit = link.ID, link.ID
	put.Circuits = append(put.Circuits, link)
	put.Terminals = append(put.Terminals, out, in)
	put.Wires = append(put.Wires, w)
}

// bare reports whether nothing is said of a terminal yet.
func (p *proposer) bare(t harness.Terminal) bool { return t.Circuit == "" && len(p.wired()[t.ID]) == 0 }

func first(all []harness.Terminal, is func(harness.Terminal) bool) harness.Terminal {
	if i := slices.IndexFunc(all, is); i >= 0 {
		return all[i]
	}
	return harness.Terminal{}
}
