package joint

import (
	"math/bits"

	"loomwright/calc/unit"
)

// MostExact is the number of ends up to which the tree is the shortest there is.
const MostExact = 8

// cost of a tree: its length, and of equal ones the number of pieces.
type cost struct {
	length unit.Length
	pieces int
}

func (c cost) less(d cost) bool {
	return c.length < d.length || c.length == d.length && c.pieces < d.pieces
}

func (c cost) plus(d cost) cost { return cost{c.length + d.length, c.pieces + d.pieces} }

// exact returns the places of splices of a shortest tree, for 3 to MostExact ends, in the order in which they are met.
//
// For every set of ends and every allowed place it holds the shortest tree that joins the set and ends at the place: two
// smaller trees that meet there, or a tree that ends elsewhere and a wire from there. Cost: 3^ends × places + 2^ends × places².
//
// Source: Dreyfus and Wagner, The Steiner problem in graphs, Networks 1 (1971), on the ways between allowed places.
func exact(r *Route, ends, allowed []int, each unit.Length) []int {
	n, root := len(allowed), ends[len(ends)-1]
	ends = ends[:len(ends)-1]
	sets := 1 << len(ends)
	type from struct {
		part  int // a set that meets the rest of the set here; 0 if the tree ends at place
		place int // index into allowed
	}
	best, how := make([][]cost, sets), make([][]from, sets)
	for set := 1; set < sets; set++ {
		best[set], how[set] = make([]cost, n), make([]from, n)
		if set&(set-1) == 0 {
			w := r.to(ends[bits.TrailingZeros(uint(set))])
			for i, place := range allowed {
				best[set][i], how[set][i] = cost{w.length[place] + each, 1}, from{0, -1}
			}
			continue
		}
		for i := range allowed {
			best[set][i] = cost{far, 0}
			for part := (set - 1) & set; part > set&^part; part = (part - 1) & set {
				if c := best[part][i].plus(best[set&^part][i]); c.less(best[set][i]) {
					best[set][i], how[set][i] = c, from{part, i}
				}
			}
		}
		// From the cheapest meeting on, wires to the other places: what is cheaper by a wire does not get cheaper by two.
		met := append([]cost(nil), best[set]...)
		for i := range allowed {
			w := r.to(allowed[i])
			for j, place := range allowed {
				if c := met[i].plus(cost{w.length[place] + each, 1}); i != j && c.less(best[set][j]) {
					best[set][j], how[set][j] = c, from{0, i}
				}
			}
		}
	}
	at, last := -1, cost{far, 0}
	w := r.to(root)
	for i, place := range allowed {
		if c := best[sets-1][i].plus(cost{w.length[place] + each, 1}); c.less(last) {
			at, last = i, c
		}
	}
	if at < 0 {
		return nil
	}
	var splices []int
	seen := make([]bool, n)
	var collect func(set, i int)
	collect = func(set, i int) {
		for set&(set-1) != 0 {
			h := how[set][i]
			if h.part == 0 {
				i = h.place
				continue
			}
			if !seen[i] {
				seen[i] = true
				splices = append(splices, allowed[i])
			}
			collect(h.part, i)
			set &^= h.part
		}
	}
	collect(sets-1, at)
	return splices
}
