package board

import (
	"fmt"
	"math"
)

// Tree is what is laid: places, each but the first of a tree joined by a run to one before it. Several trees are laid side
// by side.
type Tree struct {
	Parent []int     // by place: the place that its run leads from, before it in the list; -1 begins a tree
	Length []float64 // by place: of that run in mm, above 0; of no meaning where a tree begins
	Weight []int     // by place: how much passes that run; the trunk goes where most goes. nil is nothing anywhere
}

// shape is a tree with what placing needs to know of it.
type shape struct {
	Tree
	children [][]int   // by place: the trunk first, then the larger branches
	reach    []float64 // by place: the longest way from it outwards
	total    []float64 // by place: all runs outwards of it
	leaves   []int     // by place: the ends outwards of it, itself if it is one
	root     []int     // by place: where its tree begins
	depth    []float64 // by place: the way from there
	hops     []int     // by place: the runs on that way
	roots    []int     // the larger tree first
	most     int       // runs at one place
}

// check returns why a tree cannot be laid, nil if it can.
func (t Tree) check() error {
	if len(t.Length) != len(t.Parent) || t.Weight != nil && len(t.Weight) != len(t.Parent) {
		return fmt.Errorf("board: tree of %d places: %d lengths and %d weights", len(t.Parent), len(t.Length), len(t.Weight))
	}
	for i, p := range t.Parent {
		switch {
		case p >= i || p < -1:
			return fmt.Errorf("board: place %d: joined to %d, which is not before it", i, p)
		case p >= 0 && (!(t.Length[i] > 0) || math.IsInf(t.Length[i], 1)):
			return fmt.Errorf("board: place %d: a run of %v mm", i, t.Length[i])
		}
	}
	return nil
}

func shapeOf(t Tree) *shape {
	n := len(t.Parent)
	s := &shape{Tree: t, children: make([][]int, n), reach: make([]float64, n), total: make([]float64, n), leaves: make([]int, n),
		root: make([]int, n), depth: make([]float64, n), hops: make([]int, n)}
	for i, p := range t.Parent {
		if p < 0 {
			s.root[i] = i
			continue
		}
		s.root[i], s.depth[i], s.hops[i] = s.root[p], s.depth[p]+t.Length[i], s.hops[p]+1
	}
	for i := n - 1; i >= 0; i-- {
		s.leaves[i] = max(s.leaves[i], 1)
		s.sort(i)
		degree := len(s.children[i])
		if p := t.Parent[i]; p >= 0 {
			degree++
			s.children[p] = append(s.children[p], i)
			s.reach[p] = max(s.reach[p], s.reach[i]+t.Length[i])
			s.total[p] += s.total[i] + t.Length[i]
			s.leaves[p] += s.leaves[i]
		} else {
			s.roots = append(s.roots, i)
		}
		s.most = max(s.most, degree)
	}
	insertion(s.roots, func(a, b int) bool { return s.total[a] > s.total[b] || s.total[a] == s.total[b] && a < b })
	return s
}

// sort puts the trunk first among the children of a place: of those that lead on the one with most in it, else the longest.
// Then come the larger branches.
func (s *shape) sort(place int) {
	c := s.children[place]
	weight := func(i int) int {
		if s.Weight == nil {
			return 0
		}
		return s.Weight[i]
	}
	trunk := func(a, b int) bool {
		if on := len(s.children[a]) > 0; on != (len(s.children[b]) > 0) {
			return on
		}
		if len(s.children[a]) > 0 && weight(a) != weight(b) {
			return weight(a) > weight(b)
		}
		return s.larger(a, b)
	}
	insertion(c, func(a, b int) bool { return s.larger(a, b) })
	for i := 1; i < len(c); i++ {
		if trunk(c[i], c[0]) {
			first := c[i]
			copy(c[1:i+1], c[:i])
			c[0] = first
		}
	}
}

func (s *shape) larger(a, b int) bool {
	x, y := s.total[a]+s.Length[a], s.total[b]+s.Length[b]
	return x > y || x == y && a < b
}

// between returns the way along the tree from one place to another, infinite if they are in two trees. Cost: the runs of it.
func (s *shape) between(a, b int) float64 {
	if s.root[a] != s.root[b] {
		return math.Inf(1)
	}
	whole := s.depth[a] + s.depth[b]
	for a != b {
		if s.hops[a] >= s.hops[b] {
			a = s.Parent[a]
		} else {
			b = s.Parent[b]
		}
	}
	return max(0, whole-2*s.depth[a])
}

// insertion sorts a short list.
func insertion(list []int, before func(a, b int) bool) {
	for i := 1; i < len(list); i++ {
		for j := i; j > 0 && before(list[j], list[j-1]); j-- {
			list[j], list[j-1] = list[j-1], list[j]
		}
	}
}
