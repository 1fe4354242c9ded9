package circuit

import (
	"loomwright/calc/harness"
)

// shields proposes the wire of each drain: from its cavity to where the wires under its shield go. It is grounded in the
// controller only, so it ends there at no terminal.
//
// Source: common practice, a shield is grounded at one end.
func (p *proposer) shields() {
	leads := p.b.Leads.All()
	for i := range leads {
		l := leads[i]
		t, ok := p.b.Terminals.Get(l.Terminal)
		if l.Signal != harness.ShieldDrain || l.Decision != harness.Use || !l.There() || !ok || len(p.wired()[t.ID]) > 0 {
			continue
		}
		far := p.farOfShield(l, t)
		w, free := p.free(harness.ProposedID(harness.KindWire, "shield", l.ID))
		if far == "" || !free {
			continue
		}
		place, _ := p.b.Places.Get(far)
		w.Function, w.Source, w.Class = l.Does(), "shield "+l.ID, harness.Sensitive
		w.From, w.To = harness.End{Place: t.Place, Terminal: t.ID}, harness.End{Place: far}
		w.Looms = p.lead(looms(p.b, harness.Sensitive), t.Place, far)
		w.Note = "grounded at the controller only: cut back and insulated at the other end"
		made(&w, l)
		p.name(&w)
		p.all = append(p.all, Proposal{ID: "shield " + l.ID, Kind: ShieldWire, Of: harness.Ref{Kind: harness.KindLead, ID: l.ID},
			What: l.Does() + ": along to " + place.Name + ", insulated there", Why: "a shield is grounded at one end", Put: Records{Wires: []harness.Wire{w}}})
	}
}

// farOfShield returns where the wires under a shield go: the place of the first far end of one of their circuits.
func (p *proposer) farOfShield(drain harness.Lead, at harness.Terminal) string {
	leads := p.b.Leads.All()
	for i := range leads {
		l := &leads[i]
		if l.ID == drain.ID || l.Shield == "" || l.Shield != drain.Shield {
			continue
		}
		for _, w := range p.wired()[l.Terminal] {
			for _, e := range [2]harness.End{w.From, w.To} {
				if place, ok := p.b.EndPlace(e); ok && place != at.Place {
					return place
				}
			}
		}
		t, _ := p.b.Terminals.Get(l.Terminal)
		for _, end := range p.ends[t.Circuit] {
			if end.Place != at.Place {
				return end.Place
			}
		}
	}
	return ""
}

// kept proposes a position of a terminal strip for each lead that is kept for later and ends nowhere yet.
func (p *proposer) kept() {
	var free []harness.Terminal
	terminals := p.b.Terminals.All()
	passed := map[string]bool{}
	for _, c := range p.b.Circuits.All() {
		passed[c.Strip] = true
	}
	for i := range terminals {
		if t := terminals[i]; p.takesSeveral(t) && p.isStrip(t) && p.bare(t) && !passed[t.ID] {
			free = append(free, t)
		}
	}
	leads := p.b.Leads.All()
	for i := range leads {
		l := leads[i]
		t, ok := p.b.Terminals.Get(l.Terminal)
		if l.Decision != harness.Keep || !l.There() || l.Parked != "" || !ok || len(p.wired()[t.ID]) > 0 || len(free) == 0 {
			continue
		}
		w, can := p.free(harness.ProposedID(harness.KindWire, "keep", l.ID))
		if !can {
			continue
		}
		way := free[0]
		free = free[1:]
		w.Function, w.Source, w.Class = l.Does(), "keep "+l.ID, usual(l.Signal)
		w.From, w.To = harness.End{Place: t.Place, Terminal: t.ID}, harness.End{Place: way.Place, Terminal: way.ID}
		w.Looms = p.lead(looms(p.b, w.Class), t.Place, way.Place)
		made(&w, l)
		p.name(&w)
		p.all = append(p.all, Proposal{ID: "keep " + l.ID, Kind: StripWire, Of: harness.Ref{Kind: harness.KindLead, ID: l.ID},
			What: l.Does() + ": kept at " + p.Name(way), Why: "a lead that is kept for later ends where it can be found", Put: Records{Wires: []harness.Wire{w}}})
	}
}

func (p *proposer) isStrip(t harness.Terminal) bool {
	if part, ok := p.b.Parts.Get(t.Part); ok {
		return part.Kind == harness.StripWay
	}
	place, _ := p.b.Places.Get(t.Place)
	return place.Kind == harness.TerminalStrip
}

// stale proposes to delete wires that were proposed and that nobody touched, when what they were proposed from does not
// ask for them any more, and to describe those anew whose lead was.
func (p *proposer) stale() {
	changed := map[string]bool{}
	for _, q := range p.all {
		for _, w := range q.Put.Wires {
			changed[w.ID] = true
		}
	}
	wires := p.b.Wires.All()
	for i := range wires {
		w := wires[i]
		if !untouched(w) || changed[w.ID] {
			continue
		}
		why := p.unasked(w)
		if why == "" {
			p.renew(w)
			continue
		}
		w.Gone = true
		p.all = append(p.all, Proposal{ID: "stale " + w.ID, Kind: StaleWire, Of: harness.Ref{Kind: harness.KindWire, ID: w.ID},
			What: w.Name + " " + w.Function + ": take it away", Why: why, Put: Records{Wires: []harness.Wire{w}}})
	}
}

// renew proposes to give a wire what its lead is said to be now.
func (p *proposer) renew(w harness.Wire) {
	l, ok := p.b.Leads.Get(w.Lead)
	now := w
	if made(&now, l); !ok || now.Size == w.Size && now.Base == w.Base && now.Tracer == w.Tracer && now.Insulation == w.Insulation && now.Twist == w.Twist && now.Shield == w.Shield {
		return
	}
	p.all = append(p.all, Proposal{ID: "renew " + w.ID, Kind: RenewWire, Of: harness.Ref{Kind: harness.KindWire, ID: w.ID},
		What: w.Name + " " + w.Function + ": as its lead is now", Why: "the lead was described anew", Put: Records{Wires: []harness.Wire{now}}})
}

// unasked says why nothing asks for a proposed wire any more, or is empty.
func (p *proposer) unasked(w harness.Wire) string {
	lead, has := p.b.Leads.Get(w.Lead)
	if w.Lead != "" {
		want := harness.Use
		if w.Source == "keep "+w.Lead {
			want = harness.Keep
		}
		if !has || !lead.There() || lead.Decision != want {
			return "its lead is not there for it any more"
		}
	}
	if w.Circuit == "" {
		return ""
	}
	c, ok := p.b.Circuits.Get(w.Circuit)
	if !ok {
		return "its circuit was deleted"
	}
	for _, e := range [2]harness.End{w.From, w.To} {
		if t, ok := p.b.Terminals.Get(e.Terminal); e.Terminal != "" && (!ok || t.Circuit != w.Circuit && t.ID != c.Strip) {
			return "its circuit does not end at both of its ends any more"
		}
	}
	return ""
}
