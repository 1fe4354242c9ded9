package circuit

import (
	"strconv"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/joint"
	"loomwright/calc/route"
	"loomwright/calc/unit"
)

// The methods by which a tree of wires is found; see package joint.
const (
	ExactMethod   = "exact, by Dreyfus and Wagner"
	NearestMethod = "nearest end first, then improved place by place"
)

// plot is the places of a route as package joint counts them.
type plot struct {
	places []harness.Place
	at     map[string]int
	runs   []harness.Run // those that are measured, in the looms
	route  *joint.Route
	splice []bool // by place: a splice may be made there
}

// plotOf returns the part of a route that lies in some looms (none: any) and is measured. A splice may be made at a split,
// at a place for splices, and behind the connector of one of the ends; not where all runs move or the mount does, and
// never in a pass-through.
//
// Source: workmanship standards and common practice: a splice lies where the loom is held, so that every run has one count
// of wires.
func plotOf(b *harness.Build, g *route.Graph, looms []string, ends []harness.Terminal) *plot {
	x := &plot{places: b.Places.All(), at: map[string]int{}}
	for i := range x.places {
		x.at[x.places[i].ID] = i
	}
	var runs []joint.Run
	all := b.Runs.All()
	held := make([]bool, len(x.places))
	for i := range all {
		r := &all[i]
		from, okA := x.at[r.A]
		to, okB := x.at[r.B]
		known, ok := g.Lengths().Run(r.ID)
		if !okA || !okB || from == to || !ok || !known.Measured() || len(looms) > 0 && !contains(looms, r.Loom) {
			continue
		}
		held[from], held[to] = held[from] || !r.Moves, held[to] || !r.Moves
		runs = append(runs, joint.Run{A: from, B: to, Length: max(known.Read(), 0)})
		x.runs = append(x.runs, *r)
	}
	x.splice = make([]bool, len(x.places))
	allow := func(i int) {
		x.splice[i] = held[i] && (x.places[i].Travel == nil || *x.places[i].Travel == 0)
	}
	for i := range x.places {
		if k := x.places[i].Kind; k == harness.Split || k == harness.Splice {
			allow(i)
		}
	}
	for _, t := range ends {
		if i, ok := x.at[t.Place]; ok {
			switch x.places[i].Kind {
			case harness.Controller, harness.Device, harness.Inline:
				allow(i)
			}
		}
	}
	r, err := joint.NewRoute(len(x.places), runs)
	if err != nil {
		return nil
	}
	x.route = r
	return x
}

func contains(all []string, s string) bool {
	for _, x := range all {
		if x == s {
			return true
		}
	}
	return false
}

// pieceEnds is what a piece of a joint takes beside its way: overlap and strip in two splices.
func pieceEnds(b *harness.Build) unit.Length {
	each, _ := cut.Allowance(b.Settings, cut.SpliceEnd)
	return 2 * each
}

// plan returns the tree of wires with the least copper for some ends, each place of a splice as an index of the plot. ok is
// false where the ways are not measured or no splice may be made.
func plan(b *harness.Build, g *route.Graph, looms []string, ends []harness.Terminal, taken map[string]int) (*plot, joint.Tree, bool) {
	if g == nil {
		return nil, joint.Tree{}, false
	}
	x := plotOf(b, g, looms, ends)
	if x == nil {
		return nil, joint.Tree{}, false
	}
	net := joint.Net{Splice: x.splice, Taken: make([]int, len(x.places)), Each: pieceEnds(b)}
	for id, n := range taken {
		if i, ok := x.at[id]; ok {
			net.Taken[i] = n
		}
	}
	for _, t := range ends {
		i, ok := x.at[t.Place]
		if !ok {
			return nil, joint.Tree{}, false
		}
		net.Ends = append(net.Ends, i)
	}
	t, err := x.route.Tree(net)
	return x, t, err == nil
}

// best plans in the looms of a circuit, or where these do not lead to all ends, in any.
func (n *Net) best(g *route.Graph, c harness.Circuit, ends []harness.Terminal, taken map[string]int) (*plot, joint.Tree, bool) {
	allowed := c.Looms
	if len(allowed) == 0 {
		allowed = looms(n.b, n.ClassOf(c))
	}
	x, t, ok := plan(n.b, g, allowed, ends, taken)
	if !ok && len(allowed) > 0 {
		x, t, ok = plan(n.b, g, nil, ends, taken)
	}
	return x, t, ok
}

// method names how a tree of so many ends is found.
func method(ends int) string {
	if ends <= joint.MostExact {
		return ExactMethod
	}
	return NearestMethod
}

// tree proposes the joints of a circuit with three ends or more that nothing joins yet, and the wires between them: those of
// the ends first. ok is false where a person chose the place of the joint, joined a part of it, or deleted one of the
// records, and where the ways are not measured; then there is one joint. A wire that was proposed from end to end when there
// were but two is led to its splice and keeps its name and its tags.
func (p *proposer) tree(c harness.Circuit, ends []harness.Terminal) (put Records, ok bool) {
	if _, chosen := p.b.Places.Get(c.JoinAt); chosen || len(ends) < 3 {
		return put, false
	}
	loose := p.loose(c, ends, "")
	for _, t := range ends {
		w, led := loose[t.ID]
		for _, at := range p.wired()[t.ID] {
			if _, from := loose[at.From.Terminal]; !from || led && at.ID != w.ID {
				return put, false
			}
		}
	}
	x, t, ok := p.best(p.g, c, ends, p.taken)
	if !ok || len(t.Splices) == 0 {
		return put, false
	}
	put.Joints = make([]harness.Joint, len(t.Splices))
	for i, at := range met(t) {
		s := t.Splices[at]
		j := harness.Joint{Record: harness.Record{ID: harness.ProposedID(harness.KindJoint, c.ID)}, Name: c.Name, Circuit: c.ID,
			Place: x.places[s.Place].ID, Source: c.ID, Order: c.Order, Offset: s.Offset}
		if i > 0 {
			j.ID, j.Name = harness.ProposedID(harness.KindJoint, c.ID, strconv.Itoa(i+1)), c.Name+" "+strconv.Itoa(i+1)
		}
		if _, had := p.b.Joints.Any(j.ID); had {
			return Records{}, false
		}
		put.Joints[at] = j
	}
	for _, piece := range t.Pieces {
		to := put.Joints[piece.To.Splice]
		var w harness.Wire
		if piece.From.End >= 0 {
			end := ends[piece.From.End]
			led := false
			if w, led = loose[end.ID]; led {
				w.To, w.Looms = harness.End{Joint: to.ID}, p.way(c, end.Place, to.Place)
			} else if w, ok = p.wire(c, end, harness.End{Joint: to.ID}, to.Place); !ok {
				return Records{}, false
			}
		} else if w, ok = p.between(c, put.Joints[piece.From.Splice], to); !ok {
			return Records{}, false
		}
		put.Wires = append(put.Wires, w)
	}
	for i := range put.Wires {
		p.name(&put.Wires[i])
	}
	joints := put.Joints
	put.Joints = nil
	for _, at := range met(t) {
		p.taken[joints[at].Place]++
		put.Joints = append(put.Joints, joints[at])
	}
	return put, true
}

// met returns the splices of a tree in the order in which its ends meet them, then the others.
func met(t joint.Tree) (order []int) {
	seen := make([]bool, len(t.Splices))
	for _, piece := range t.Pieces {
		for _, at := range [2]int{piece.To.Splice, piece.From.Splice} {
			if at >= 0 && !seen[at] {
				seen[at] = true
				order = append(order, at)
			}
		}
	}
	return order
}

// between returns the wire from one splice of a circuit to another, as thick as what it feeds may need.
func (p *proposer) between(c harness.Circuit, from, to harness.Joint) (harness.Wire, bool) {
	w, ok := p.free(harness.ProposedID(harness.KindWire, c.ID, from.ID, to.ID))
	if !ok {
		return w, false
	}
	w.Function = c.Name + ", splice to splice"
	w.From, w.To = harness.End{Joint: from.ID}, harness.End{Joint: to.ID}
	w.Circuit, w.Source, w.Class = c.ID, c.ID+" "+from.ID+" "+to.ID, c.Class
	w.Looms, w.Shield = p.way(c, from.Place, to.Place), c.Shield
	w.Size, w.Base, w.Tracer = c.Size, c.Base, c.Tracer
	if w.Size == "" {
		w.Size = p.largest(c)
	}
	return w, true
}

// splices counts the joints that are made at each place.
func splices(b *harness.Build) map[string]int {
	taken := map[string]int{}
	joints := b.Joints.All()
	for i := range joints {
		taken[joints[i].Place]++
	}
	return taken
}
