package circuit

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/unit"
)

// Wires returns the wires that circuits ask for and that are not there, then drains of shields, then kept leads to
// positions of terminal strips, then proposed wires whose circuit does not ask for them any more. A proposal names new
// records, and wires that were proposed earlier and that nobody changed, cut or trimmed since; what a person deleted is
// not proposed again. The route chooses where joints go and may be nil: then it is the first split.
//
// Cost: linear in the records, and a search of the route for each end of a joint and each place it could be made at.
func Wires(b *harness.Build, g *route.Graph) []Proposal {
	p := &proposer{Net: NewNet(b), g: g, named: -1, linked: map[string]bool{}, taken: splices(b)}
	circuits := b.Circuits.All()
	for i := range circuits {
		p.circuit(circuits[i])
	}
	p.shields()
	p.kept()
	p.stale()
	return p.all
}

type proposer struct {
	*Net
	g      *route.Graph
	all    []Proposal
	named  int             // the number of the last wire that got a name here; -1 for none yet
	linked map[string]bool // the links between parts that are proposed already
	taken  map[string]int  // by place: the splices there, made and proposed
}

// free returns the wire with this id as it is, and whether a proposal may make or change it: it is not there at all, or it
// was proposed, and since then nobody changed, cut, trimmed or deleted it.
func (p *proposer) free(id string) (w harness.Wire, free bool) {
	w, had := p.b.Wires.Any(id)
	if !had {
		return harness.Wire{Record: harness.Record{ID: id}}, true
	}
	return w, untouched(w)
}

func untouched(w harness.Wire) bool {
	return !w.Gone && w.Source != "" && !w.Edited && w.Cut == nil && w.Trimmed == nil
}

// name gives a wire that has none the next name.
func (p *proposer) name(w *harness.Wire) {
	if w.Name != "" {
		return
	}
	if p.named < 0 {
		first := p.b.NextWireName()
		p.named, _ = strconv.Atoi(strings.TrimPrefix(first, "W"))
	} else {
		p.named++
	}
	w.Name = "W" + strconv.Itoa(p.named)
	if w.Order == 0 {
		w.Order = float64(p.named)
	}
}

// circuit proposes what joins the ends of a circuit that nothing joins yet.
func (p *proposer) circuit(c harness.Circuit) {
	put := Records{}
	ends := p.feed(c, &put)
	hub, joint := p.hub(c, ends)
	planned, trees := Records{}, false
	if hub.ID == "" && joint.ID == "" && !p.together(ends, hub) {
		planned, trees = p.tree(c, ends)
	}
	q := Proposal{Kind: OneWire, What: c.Name + ": its feed", Why: "the parts that feed it, one after the other"}
	switch {
	case p.together(ends, hub):
	case trees:
		put.Joints, put.Wires = append(put.Joints, planned.Joints...), append(put.Wires, planned.Wires...)
		q.Kind, q.What, q.Why = SharedWires, c.Name+": "+count(len(planned.Wires), "wire")+" joined", fmt.Sprintf("the circuit has %d ends", len(ends))
		q.What += p.spliced(planned.Joints)
		q.Copper = true
	case joint.ID == "" && hub.ID == "" && len(ends) == 2 && !(p.hasLead(ends[0]) && p.hasLead(ends[1])):
		if w, ok := p.wire(c, ends[0], harness.End{Place: ends[1].Place, Terminal: ends[1].ID}, ends[1].Place); ok && p.open(ends[0]) && p.open(ends[1]) {
			p.name(&w)
			put.Wires = append(put.Wires, w)
			q.What, q.Why = c.Name+": "+p.Name(ends[0])+" to "+p.Name(ends[1]), "the two ends of the circuit"
		}
	case hub.ID != "":
		if wires := p.star(c, ends, hub.ID, harness.End{Place: hub.Place, Terminal: hub.ID}, hub.Place); len(wires) > 0 {
			put.Wires = append(put.Wires, wires...)
			q.Kind, q.What, q.Why = StarWires, c.Name+": "+count(len(wires), "wire")+" to "+p.Name(hub), "several wires may end there"
		}
	default:
		fresh := joint.ID == ""
		if fresh {
			joint = harness.Joint{Record: harness.Record{ID: harness.ProposedID(harness.KindJoint, c.ID)}, Name: c.Name, Circuit: c.ID,
				Place: p.spliceAt(c, ends), Source: c.ID, Order: c.Order}
			if old, had := p.b.Joints.Any(joint.ID); had && old.Gone {
				break // a person deleted it
			} else if had {
				joint, fresh = old, false
			}
		}
		wires := p.star(c, ends, joint.ID, harness.End{Joint: joint.ID}, joint.Place)
		if len(wires) == 0 || fresh && len(wires) < 2 {
			break
		}
		if fresh {
			put.Joints = append(put.Joints, joint)
		}
		put.Wires = append(put.Wires, wires...)
		q.Kind, q.What, q.Why = SharedWires, c.Name+": "+count(len(wires), "wire")+" joined", fmt.Sprintf("the circuit has %d ends", len(ends))
		q.What += p.spliced([]harness.Joint{joint})
	}
	if len(put.Wires) == 0 {
		return
	}
	q.ID, q.Of, q.Put = "circuit "+c.ID, harness.Ref{Kind: harness.KindCircuit, ID: c.ID}, put
	p.all = append(p.all, q)
}

// spliced says where joints are made.
func (p *proposer) spliced(joints []harness.Joint) (text string) {
	word := " at "
	for _, j := range joints {
		if at, ok := p.b.Places.Get(j.Place); ok && at.Name != "" {
			text += word + at.Name
			word = ", "
		}
	}
	return text
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

func (p *proposer) hasLead(t harness.Terminal) bool {
	_, ok := p.leads[t.ID]
	return ok
}

// open reports whether one more wire may end at a terminal.
func (p *proposer) open(t harness.Terminal) bool {
	return len(p.wired()[t.ID]) == 0 || p.takesSeveral(t)
}

// together reports whether all ends are joined already, to the hub too if there is one.
func (p *proposer) together(ends []harness.Terminal, hub harness.Terminal) bool {
	if len(ends) == 0 {
		return true
	}
	first := p.root(ends[0].ID)
	for _, t := range ends {
		if p.root(t.ID) != first {
			return false
		}
	}
	return hub.ID == "" || p.root(hub.ID) == first
}

// hub returns the terminal that the wires of a circuit go to, or the joint that is there already; both are empty if there
// is neither.
func (p *proposer) hub(c harness.Circuit, ends []harness.Terminal) (hub harness.Terminal, joint harness.Joint) {
	if t, ok := p.b.Terminals.Get(c.Strip); ok {
		return t, joint
	}
	for _, t := range ends {
		for _, w := range p.wired()[t.ID] {
			for _, e := range [2]harness.End{w.From, w.To} {
				if j, ok := p.b.Joints.Get(e.Joint); ok {
					return hub, j
				}
			}
		}
	}
	for _, t := range ends {
		if len(ends) > 2 && p.takesSeveral(t) {
			return t, joint
		}
	}
	return hub, joint
}

// star returns a wire from each end that is not joined to the middle. A wire that was proposed from end to end when there
// were but two is led to the middle, so that it keeps its name and its tags. An end whose one wire a person changed
// gets no second.
func (p *proposer) star(c harness.Circuit, ends []harness.Terminal, middle string, to harness.End, at string) (wires []harness.Wire) {
	loose := p.loose(c, ends, middle)
	n := p.Net
	if len(loose) > 0 {
		n = p.without(loose)
	}
	done := map[string]bool{n.root(middle): true}
	for _, t := range ends {
		root := n.root(t.ID)
		w, led := loose[t.ID]
		ok := true
		switch {
		case done[root]:
			continue
		case led:
			w.To = to
			w.Looms = p.way(c, t.Place, at)
		case len(n.wired()[t.ID]) > 0 && !p.takesSeveral(t):
			continue
		default:
			near, where := p.nearestJoint(c, t, to, at)
			w, ok = p.wire(c, t, near, where)
		}
		if ok {
			done[root] = true
			p.name(&w)
			wires = append(wires, w)
		}
	}
	return wires
}

// nearestJoint returns the joint of a circuit that is nearest to one of its ends, where it is joined in several; else what
// it is joined at.
func (p *proposer) nearestJoint(c harness.Circuit, t harness.Terminal, to harness.End, at string) (harness.End, string) {
	if to.Joint == "" || p.g == nil {
		return to, at
	}
	best := unit.Longest
	joints := p.b.Joints.All()
	for i := range joints {
		j := &joints[i]
		if j.Circuit != c.ID || p.root(j.ID) != p.root(to.Joint) {
			continue
		}
		if path, err := p.g.Path(t.Place, j.Place, p.way(c, t.Place, j.Place), nil); err == nil && len(path.Missing) == 0 && path.Length < best {
			best, to, at = path.Length, harness.End{Joint: j.ID}, j.Place
		}
	}
	return to, at
}

// loose returns the wires that were proposed from end to end when a circuit had but two, by the terminal they begin at; not
// those at its middle.
func (p *proposer) loose(c harness.Circuit, ends []harness.Terminal, middle string) map[string]harness.Wire {
	loose := map[string]harness.Wire{}
	for _, t := range ends {
		for _, w := range p.wired()[t.ID] {
			far := func(e harness.Terminal) bool { return e.ID == w.To.Terminal }
			if w.From.Terminal == t.ID && w.Circuit == c.ID && t.ID != middle && w.To.Terminal != middle && untouched(w) && slices.ContainsFunc(ends, far) {
				loose[t.ID] = w
			}
		}
	}
	return loose
}

// without returns what is joined when some wires are not there.
func (p *proposer) without(loose map[string]harness.Wire) *Net {
	n := &Net{b: p.b, parent: map[string]string{}, byEnd: map[string][]harness.Wire{}}
	for _, w := range p.b.Wires.All() {
		if l, ok := loose[w.From.Terminal]; ok && l.ID == w.ID {
			continue
		}
		from, to := node(w.From), node(w.To)
		n.byEnd[from], n.byEnd[to] = append(n.byEnd[from], w), append(n.byEnd[to], w)
		if from != "" && to != "" {
			n.join(from, to)
		}
	}
	return n
}

// way returns the looms a wire of a circuit may use: those the circuit says, those of its class, or where they do not lead
// from one place to the other, the looms of the shortest way that there is.
func (p *proposer) way(c harness.Circuit, from, to string) []string {
	if len(c.Looms) > 0 {
		return c.Looms
	}
	return p.lead(looms(p.b, p.ClassOf(c)), from, to)
}

func (p *proposer) lead(allowed []string, from, to string) []string {
	if p.g == nil || len(allowed) == 0 {
		return allowed
	}
	if _, err := p.g.Path(from, to, allowed, nil); err == nil {
		return allowed
	}
	path, err := p.g.Path(from, to, nil, nil)
	if err != nil {
		return allowed
	}
	var used []string
	for _, id := range path.Runs {
		if r, _ := p.b.Runs.Get(id); r.Loom != "" && !slices.Contains(used, r.Loom) {
			used = append(used, r.Loom)
		}
	}
	return used
}

// wire returns the wire of a circuit that begins at a terminal and ends at a place, made of the lead there if there is one, and false if a
// person changed or deleted it.
func (p *proposer) wire(c harness.Circuit, from harness.Terminal, to harness.End, at string) (harness.Wire, bool) {
	w, ok := p.free(harness.ProposedID(harness.KindWire, c.ID, from.ID))
	if !ok {
		return w, false
	}
	w.Function, w.From, w.To = c.Name, harness.End{Place: from.Place, Terminal: from.ID}, to
	w.Circuit, w.Source, w.Class = c.ID, c.ID+" "+from.ID, c.Class
	w.Looms, w.Shield = p.way(c, from.Place, at), c.Shield
	if l, ok := p.leads[from.ID]; ok {
		w.Function = l.Does()
		made(&w, l)
		return w, true
	}
	if to.Joint != "" || len(p.ends[c.ID]) > 2 {
		w.Function = c.Name + ", " + p.Name(from)
	}
	w.Size, w.Base, w.Tracer = c.Size, c.Base, c.Tracer
	if w.Size == "" {
		w.Size = p.largest(c)
	}
	if c.Twist != "" {
		place, _ := p.b.Places.Get(from.Place)
		w.Twist = strings.TrimSpace(c.Twist + " " + place.Name)
	}
	return w, true
}

// made gives a wire what its lead has.
func made(w *harness.Wire, l harness.Lead) {
	w.Lead, w.Size, w.Base, w.Tracer, w.Insulation = l.ID, l.Size, l.Base, l.Tracer, l.Insulation
	w.Twist = l.Twist
	if l.Shield != "" {
		w.Shield = l.Shield
	}
}

// largest returns the largest size of the leads of a circuit: no wire that shares its current may be thinner without a
// reckoning. It is empty where the circuit has none.
func (p *proposer) largest(c harness.Circuit) (size string) {
	area := 0.0
	for _, t := range p.ends[c.ID] {
		l, ok := p.leads[t.ID]
		if !ok {
			continue
		}
		if s, err := unit.ParseSize(l.Size); err == nil && s.Area() > area {
			area, size = s.Area(), l.Size
		}
	}
	return size
}

// spliceAt returns where a circuit is joined: where it says, else the split or splice from which the ways to all ends are
// shortest, inside the looms of its class if that can be, else where the first end is. A joint is not made in a
// pass-through.
func (p *proposer) spliceAt(c harness.Circuit, ends []harness.Terminal) string {
	if _, ok := p.b.Places.Get(c.JoinAt); ok {
		return c.JoinAt
	}
	allowed := c.Looms
	if len(allowed) == 0 {
		allowed = looms(p.b, p.ClassOf(c))
	}
	for _, in := range [2][]string{allowed, nil} {
		if at := p.nearest(ends, in); at != "" {
			return at
		}
	}
	return ends[0].Place
}

// nearest returns the split or splice with the shortest ways to all ends, the first of several; it is empty where none
// leads to all. Without a route it is the first there is.
func (p *proposer) nearest(ends []harness.Terminal, looms []string) (at string) {
	var best unit.Length
	fewest := 0
	places := p.b.Places.All()
	for i := range places {
		if places[i].Kind != harness.Split && places[i].Kind != harness.Splice {
			continue
		}
		if p.g == nil {
			return places[i].ID
		}
		length, runs, reached := unit.Length(0), 0, true
		for _, t := range ends {
			path, err := p.g.Path(t.Place, places[i].ID, looms, nil)
			if reached = err == nil; !reached {
				break
			}
			length += path.Length
			runs += len(path.Runs)
		}
		if reached && (at == "" || cmp.Or(cmp.Compare(length, best), cmp.Compare(runs, fewest)) < 0) {
			best, fewest, at = length, runs, places[i].ID
		}
	}
	return at
}
