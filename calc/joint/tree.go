package joint

import (
	"fmt"

	"loomwright/calc/unit"
)

// Net is what is to be joined.
type Net struct {
	Ends   []int  // the place of each end; several may be at one place
	Splice []bool // by place: a splice may be made there; behind a connector or at a split, never in a pass-through or a bend
	Taken  []int  // by place: splices of other joints there already; nil is none

	Each unit.Length // what a piece takes beside its way, for its two ends: more splices must save more than that
}

// Tree is a joint, planned.
type Tree struct {
	Splices []Splice    // none if there are two ends
	Pieces  []Piece     // those of the ends first, in the order of ends, then those between splices
	Length  unit.Length // of all pieces, each with what it takes beside its way, as Lower, Star and OneSplice

	Lower  unit.Length // no tree has less copper
	Exact  bool        // this one has the least: Lower is Length
	Factor float64     // Length is at most this many times the least by the method alone; 0 if it promises nothing

	Star      unit.Length // with a wire of its own from the first end to each other
	OneSplice unit.Length // with all wires meeting at one allowed place, the best for it; 0 if there are two ends
}

// Saved is the copper that the tree saves against a star from the first end; below zero where it needs more.
func (t Tree) Saved() unit.Length { return t.Star - t.Length }

// Splice is wires joined together.
type Splice struct {
	Place  int
	Wires  int         // pieces that meet in it
	Offset unit.Length // how far from the place, so that splices of several joints do not lie beside each other
}

// Pitch is how far splices at one place are staggered. Source: common practice, a splice length of 25 mm with a gap of 25
// to 50 mm.
const Pitch = 60 * unit.Millimetre

// Piece is one wire of a joint.
type Piece struct {
	From, To     Point
	Places, Runs []int // on the way; a piece of no runs is the short wire from a terminal to a splice behind its connector
	Length       unit.Length
}

// Point is one end of a piece: an end of the net, or a splice.
type Point struct {
	End    int // index into Net.Ends, -1 if it is a splice
	Splice int // index into Tree.Splices, -1 if it is an end
}

// Tree returns the joint with the least copper for up to MostExact ends, and for more a joint within Lower of the least. Of
// trees of one length that with fewer pieces is taken where it is known. The errors wrap ErrRoute, ErrFewEnds, ErrApart and
// ErrNoSplice. Cost: for few ends see exact; for more, about ends × allowed places × splices, some times over.
func (r *Route) Tree(net Net) (Tree, error) {
	for i, p := range net.Ends {
		if p < 0 || p >= r.places {
			return Tree{}, fmt.Errorf("joint: end %d at place %d: %w", i, p, ErrRoute)
		}
	}
	if len(net.Splice) > r.places {
		return Tree{}, fmt.Errorf("joint: splices at %d places: %w", len(net.Splice), ErrRoute)
	}
	if len(net.Ends) < 2 {
		return Tree{}, fmt.Errorf("joint: %w", ErrFewEnds)
	}
	var t Tree
	for i, p := range net.Ends[1:] {
		l := r.length(net.Ends[0], p)
		if l == far {
			return Tree{}, fmt.Errorf("joint: end %d at place %d: %w", i+1, p, ErrApart)
		}
		t.Star += l + net.Each
	}
	if len(net.Ends) == 2 {
		runs, places := r.way(net.Ends[0], net.Ends[1])
		t.Pieces = []Piece{{Point{0, -1}, Point{1, -1}, places, runs, t.Star - net.Each}}
		t.Length, t.Lower, t.Exact, t.Factor = t.Star, t.Star, true, 1
		return t, nil
	}
	var allowed []int
	for p, ok := range net.Splice {
		if ok && r.length(net.Ends[0], p) < far {
			allowed = append(allowed, p)
		}
	}
	if len(allowed) == 0 {
		return Tree{}, fmt.Errorf("joint: %d ends: %w", len(net.Ends), ErrNoSplice)
	}
	s := newSearch(r, net.Ends, allowed, net.Each)
	one := 0
	for i := range allowed {
		if c := s.cost([]int{i}).length; i == 0 || c < t.OneSplice {
			one, t.OneSplice = i, c
		}
	}
	var chosen []int
	if len(net.Ends) <= MostExact {
		for _, p := range exact(r, net.Ends, allowed, net.Each) {
			chosen = append(chosen, s.index[p])
		}
		chosen = s.prune(chosen)
	} else {
		chosen = s.improve(s.start())
		if single := s.improve([]int{one}); s.cost(single).less(s.cost(chosen)) {
			chosen = single
		}
	}
	r.build(&t, s, chosen, net.Taken)
	t.Length += unit.Length(len(t.Pieces)) * net.Each
	if len(net.Ends) <= MostExact {
		t.Exact, t.Factor, t.Lower = true, 1, t.Length
		return t, nil
	}
	if s.endsAllowed() && net.Each == 0 {
		t.Factor = 2 * (1 - 1/float64(len(net.Ends)))
	}
	ways := t.Length - unit.Length(len(net.Ends))*net.Each // no tree has fewer pieces than ends
	t.Lower = s.lower(ways) + t.Length - ways
	t.Exact = t.Lower == t.Length
	return t, nil
}

// build makes splices and pieces of the chosen places.
func (r *Route) build(t *Tree, s *search, chosen, taken []int) {
	links, joins := s.tree(chosen)
	for _, c := range chosen {
		splice := Splice{Place: s.allowed[c]}
		if splice.Place < len(taken) {
			splice.Offset = Pitch * unit.Length(taken[splice.Place])
		}
		t.Splices = append(t.Splices, splice)
	}
	add := func(from, to Point, a, b int) {
		runs, places := r.way(a, b)
		p := Piece{from, to, places, runs, r.length(a, b)}
		t.Pieces = append(t.Pieces, p)
		t.Length += p.Length
	}
	for end, at := range joins {
		t.Splices[at].Wires++
		add(Point{end, -1}, Point{-1, at}, s.ends[end], t.Splices[at].Place)
	}
	for _, l := range links {
		t.Splices[l[0]].Wires++
		t.Splices[l[1]].Wires++
		add(Point{-1, l[0]}, Point{-1, l[1]}, t.Splices[l[0]].Place, t.Splices[l[1]].Place)
	}
}
