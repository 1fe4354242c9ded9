package circuit

import (
	"strconv"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/unit"
)

// Stretch is a wire of a comparison, with the length it is cut to.
type Stretch struct {
	Name   string // its two ends
	Length unit.Length
}

// Joining is one way to join the ends of a circuit.
type Joining struct {
	At     []string // the places of its splices; none without one
	Wires  []Stretch
	Length unit.Length // of all wires as they are cut
}

// Copper compares ways to join the ends of a circuit.
type Copper struct {
	Made   bool    // Now is as it is, not as it is proposed
	Now    Joining // the wires there are, or those of the tree
	Tree   Joining // with the least copper
	One    Joining // all spliced at one place, the best for it
	Star   Joining // a wire of its own from the first end to each other
	Method string  // by which Tree is found
}

// Saved is the wire that Now saves against a star; below zero where it takes more.
func (c Copper) Saved() unit.Length { return c.Star.Length - c.Now.Length }

// Comparer compares ways to join the ends of circuits, in one state of a build.
type Comparer struct {
	n     *Net
	b     *harness.Build // with joints that are thought of
	g     *route.Graph
	given *route.Graph
	fresh int
}

// Compare begins a comparison. Cost: linear in the records.
func (n *Net) Compare(g *route.Graph) *Comparer {
	b := n.b.Clone()
	return &Comparer{n: n, b: b, g: route.New(b, g.Lengths()), given: g}
}

// Of compares the ways to join the ends of a circuit. ok is false for one with fewer than three ends or with no joint made
// or to be made, and where a way or a length is not known. Cost: that of joint.Route.Tree, and a length for each wire.
func (x *Comparer) Of(c harness.Circuit) (Copper, bool) {
	ends := x.n.ends[c.ID]
	k := Copper{Method: method(len(ends))}
	if len(ends) < 3 {
		return k, false
	}
	plot, tree, ok := x.n.best(x.given, c, ends, nil)
	if !ok {
		return k, false
	}
	ok = true
	end := func(t harness.Terminal) harness.End { return harness.End{Place: t.Place, Terminal: t.ID} }
	joints := make([]string, len(tree.Splices))
	for i, s := range tree.Splices {
		joints[i] = x.joint(plot.places[s.Place].ID, &k.Tree)
	}
	for _, p := range tree.Pieces {
		if p.From.End >= 0 {
			ok = x.wire(&k.Tree, c, ends[p.From.End], end(ends[p.From.End]), harness.End{Joint: joints[p.To.Splice]}) && ok
		} else {
			ok = x.wire(&k.Tree, c, harness.Terminal{}, harness.End{Joint: joints[p.From.Splice]}, harness.End{Joint: joints[p.To.Splice]}) && ok
		}
	}
	p := proposer{Net: x.n, g: x.given}
	one := x.joint(p.spliceAt(harness.Circuit{Record: c.Record, Looms: c.Looms, Class: c.Class, Signal: c.Signal}, ends), &k.One)
	for _, t := range ends {
		ok = x.wire(&k.One, c, t, end(t), harness.End{Joint: one}) && ok
	}
	for i, t := range ends[1:] {
		from := harness.Terminal{}
		if i == 0 {
			from = ends[0] // the lead in it is one of the wires
		}
		ok = x.wire(&k.Star, c, from, end(ends[0]), end(t)) && ok
	}
	k.Now, k.Made = x.made(c)
	if !k.Made {
		k.Now = k.Tree
	}
	return k, ok && (!k.Made || len(k.Now.Wires) > 0 && k.Now.Length > 0)
}

// joint thinks of a joint at a place.
func (x *Comparer) joint(place string, in *Joining) string {
	x.fresh++
	id := "copper " + strconv.Itoa(x.fresh)
	r := Records{Joints: []harness.Joint{{Record: harness.Record{ID: id}, Place: place}}}
	if r.Into(x.b) == nil {
		in.At = append(in.At, place)
	}
	return id
}

// wire adds a wire, made of the lead at its terminal, and reports whether its length is known.
func (x *Comparer) wire(in *Joining, c harness.Circuit, t harness.Terminal, from, to harness.End) bool {
	p := proposer{Net: x.n, g: x.given}
	a, _ := x.b.EndPlace(from)
	z, _ := x.b.EndPlace(to)
	w := harness.Wire{From: from, To: to, Looms: p.way(c, a, z)}
	if l, ok := x.n.leads[t.ID]; ok {
		w.Lead = l.ID
	}
	return x.add(in, w)
}

func (x *Comparer) add(in *Joining, w harness.Wire) bool {
	r := cut.Length(x.b, x.g, w)
	in.Wires = append(in.Wires, Stretch{x.endName(w.From) + " to " + x.endName(w.To), r.Sum})
	in.Length += r.Sum
	return r.Known()
}

func (x *Comparer) endName(e harness.End) string {
	if t, ok := x.b.Terminals.Get(e.Terminal); ok {
		return x.n.Name(t)
	}
	id, _ := x.b.EndPlace(e)
	at, _ := x.b.Places.Get(id)
	if e.Joint != "" {
		return "splice at " + at.Name
	}
	return at.Name
}

// made returns the wires and joints of a circuit as they are; ok is false without a joint. The length is 0 where one of them
// is not known.
func (x *Comparer) made(c harness.Circuit) (in Joining, ok bool) {
	joints := x.n.b.Joints.All()
	for i := range joints {
		if joints[i].Circuit == c.ID && len(x.n.wired()[joints[i].ID]) > 0 {
			in.At = append(in.At, joints[i].Place)
		}
	}
	known := true
	wires := x.n.b.Wires.All()
	for i := range wires {
		if wires[i].Circuit == c.ID {
			known = x.add(&in, wires[i]) && known
		}
	}
	if !known {
		in.Length = unit.Length(0)
	}
	return in, len(in.At) > 0
}
