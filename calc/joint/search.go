package joint

import (
	"slices"

	"loomwright/calc/unit"
)

// search looks for a good set of places for splices. Given the set, the least tree is known: the places joined by the
// shortest spanning tree of the ways between them, and each end by its shortest way to one of them.
type search struct {
	r       *Route
	ends    []int
	allowed []int
	each    unit.Length     // of Net
	index   map[int]int     // place to index into allowed
	between [][]unit.Length // allowed × allowed
	reach   [][]unit.Length // allowed × ends

	near []unit.Length // scratch: by chosen place, how near it is to the tree so far
	link []int         // scratch: to which chosen place
}

func newSearch(r *Route, ends, allowed []int, each unit.Length) *search {
	s := &search{r: r, ends: ends, allowed: allowed, each: each, index: map[int]int{}, between: make([][]unit.Length, len(allowed)),
		reach: make([][]unit.Length, len(allowed)), near: make([]unit.Length, len(allowed)+1), link: make([]int, len(allowed)+1)}
	for i, p := range allowed {
		s.index[p] = i
		w := r.to(p)
		s.between[i], s.reach[i] = make([]unit.Length, len(allowed)), make([]unit.Length, len(ends))
		for j, q := range allowed {
			s.between[i][j] = w.length[q]
		}
		for j, q := range ends {
			s.reach[i][j] = w.length[q]
		}
	}
	return s
}

// endsAllowed reports whether a splice may be made at every end.
func (s *search) endsAllowed() bool {
	for _, p := range s.ends {
		if _, ok := s.index[p]; !ok {
			return false
		}
	}
	return true
}

// cost is that of the least tree with splices at the chosen places, each used or not.
func (s *search) cost(chosen []int) cost {
	c := cost{0, len(s.ends) + len(chosen) - 1}
	c.length = unit.Length(c.pieces) * s.each
	s.span(chosen, func(_, _ int, l unit.Length) { c.length += l })
	for e := range s.ends {
		best := far
		for _, i := range chosen {
			best = min(best, s.reach[i][e])
		}
		c.length += best
	}
	return c
}

// span walks the shortest spanning tree of the chosen places by the algorithm of Prim: link is called with two positions
// in chosen and the length between them. Of equal links the first is taken.
func (s *search) span(chosen []int, link func(a, b int, l unit.Length)) {
	near, to := s.near[:len(chosen)], s.link[:len(chosen)]
	for i := range chosen {
		near[i], to[i] = far+1, -1
	}
	at := 0
	for range len(chosen) - 1 {
		near[at] = -1
		next := -1
		row := s.between[chosen[at]]
		for i, c := range chosen {
			if near[i] < 0 {
				continue
			}
			if l := row[c]; l < near[i] {
				near[i], to[i] = l, at
			}
			if next < 0 || near[i] < near[next] {
				next = i
			}
		}
		link(to[next], next, near[next])
		at = next
	}
}

// tree returns the links between chosen places, and for each end the chosen place it goes to, as positions in chosen.
func (s *search) tree(chosen []int) (links [][2]int, joins []int) {
	s.span(chosen, func(a, b int, _ unit.Length) { links = append(links, [2]int{a, b}) })
	for e := range s.ends {
		best := 0
		for i, c := range chosen {
			if s.reach[c][e] < s.reach[chosen[best]][e] {
				best = i
			}
		}
		joins = append(joins, best)
	}
	return links, joins
}

// prune leaves out places that the tree does not need: those where fewer than three wires meet. Without one the tree is no
// longer, and has a piece fewer.
func (s *search) prune(chosen []int) []int {
	for len(chosen) > 1 {
		wires := make([]int, len(chosen))
		links, joins := s.tree(chosen)
		for _, l := range links {
			wires[l[0]]++
			wires[l[1]]++
		}
		for _, at := range joins {
			wires[at]++
		}
		idle := slices.IndexFunc(wires, func(n int) bool { return n < 3 })
		if idle < 0 {
			break
		}
		chosen = slices.Delete(slices.Clone(chosen), idle, idle+1)
	}
	return chosen
}

// start grows a tree from each end in turn, always by the end that is nearest to it, and takes the best. Every allowed
// place on a way is one where a later wire may join.
//
// Where splices are allowed at all ends, the tree is at most 2(1−1/ends) times as long as the shortest.
//
// Source: Takahashi and Matsuyama, An approximate solution for the Steiner problem in graphs, Math. Japonica 24 (1980).
func (s *search) start() []int {
	var best []int
	least := cost{far, 0}
	for first := range s.ends {
		chosen := s.grow(first)
		if c := s.cost(chosen); c.less(least) {
			best, least = chosen, c
		}
	}
	return s.prune(best)
}

func (s *search) grow(first int) []int {
	in := make([]bool, len(s.allowed))
	joined := make([]bool, len(s.ends))
	joined[first] = true
	near, by := make([]unit.Length, len(s.ends)), make([]int, len(s.ends)) // from each end to the tree
	for e := range s.ends {
		near[e], by[e] = far, -1
	}
	var tree []int
	take := func(i int) {
		if in[i] {
			return
		}
		in[i] = true
		tree = append(tree, i)
		for e := range s.ends {
			if s.reach[i][e] < near[e] {
				near[e], by[e] = s.reach[i][e], i
			}
		}
	}
	along := func(a, b int) { // the allowed places on the way
		_, places := s.r.way(a, b)
		for _, p := range places {
			if i, ok := s.index[p]; ok {
				take(i)
			}
		}
	}
	// The first two ends meet at an allowed place, by the shortest way over one.
	at, other, least := -1, -1, far
	for i := range s.allowed {
		for e := range s.ends {
			if l := s.reach[i][first] + s.reach[i][e]; e != first && l < least {
				at, other, least = i, e, l
			}
		}
	}
	along(s.ends[first], s.allowed[at])
	along(s.allowed[at], s.ends[other])
	joined[other] = true
	for range len(s.ends) - 2 {
		next := -1
		for e := range s.ends {
			if !joined[e] && (next < 0 || near[e] < near[next]) {
				next = e
			}
		}
		joined[next] = true
		along(s.allowed[by[next]], s.ends[next])
	}
	return tree
}

// improve adds a place, leaves one out or moves one while that makes the tree shorter.
func (s *search) improve(chosen []int) []int {
	now := s.cost(chosen)
	better := func(trial []int) bool {
		if c := s.cost(trial); c.less(now) {
			chosen, now = append([]int(nil), trial...), c
			return true
		}
		return false
	}
	trial := make([]int, 0, len(s.allowed)+1)
	for again := true; again; {
		again = false
		for i := range s.allowed {
			in := -1
			for k, c := range chosen {
				if c == i {
					in = k
				}
			}
			if in >= 0 {
				if len(chosen) > 1 {
					trial = append(append(trial[:0], chosen[:in]...), chosen[in+1:]...)
					again = better(trial) || again
				}
				continue
			}
			trial = append(append(trial[:0], chosen...), i)
			if better(trial) {
				again = true
				continue
			}
			for k := range chosen { // moved to a place near by
				if s.between[chosen[k]][i] <= s.reachable(i) {
					copy(trial, chosen)
					trial = trial[:len(chosen)]
					trial[k] = i
					if better(trial) {
						again = true
						break
					}
				}
			}
		}
	}
	return s.prune(chosen)
}

// reachable is how far a splice is moved at once: to the third nearest allowed place. Source: our choice.
func (s *search) reachable(i int) unit.Length {
	var three [3]unit.Length
	for k := range three {
		three[k] = far
	}
	for j, l := range s.between[i] {
		if j == i {
			continue
		}
		for k := range three {
			if l < three[k] {
				l, three[k] = three[k], l
			}
		}
	}
	return three[2]
}
