package sketch

import (
	"math/bits"

	"loomwright/calc/harness"
)

// branch is a place in the spanning forest.
type branch struct {
	place    harness.Place
	run      harness.Run // that leads here; zero at a root
	children []*branch   // in the order of runs; the trunk is not the first but trunk
	trunk    *branch     // the child that goes straight on; nil at a leaf
	size     int         // places from here on
	rank     int         // among all branches that leave a trunk of a root, by the order of places
	parent   *branch
}

// forest returns one tree for each island that has runs, the controller's (or root's) first, then in the order of places;
// the places without runs; and the runs that no tree needs. Trees grow in breadth, so that a place is reached over the
// fewest runs.
func forest(b *harness.Build, root string) (trees []*branch, loose []harness.Place, extra []harness.Run) {
	places := b.Places.All()
	index := make(map[string]int, len(places))
	for i, p := range places {
		index[p.ID] = i
	}
	next := make([][]harness.Run, len(places))
	var runs []harness.Run
	for _, r := range b.Runs.All() {
		from, okA := index[r.A]
		to, okB := index[r.B]
		if !okA || !okB || from == to {
			continue
		}
		runs = append(runs, r)
		next[from] = append(next[from], r)
		next[to] = append(next[to], r)
	}
	seen := make([]bool, len(places))
	used := map[string]bool{}
	grow := func(start int) {
		if seen[start] || len(next[start]) == 0 {
			return
		}
		seen[start] = true
		top := &branch{place: places[start]}
		order := []*branch{top}
		for i := 0; i < len(order); i++ {
			from := order[i]
			for _, r := range next[index[from.place.ID]] {
				far, _ := r.OtherEnd(from.place.ID)
				if seen[index[far]] {
					continue
				}
				seen[index[far]], used[r.ID] = true, true
				child := &branch{place: places[index[far]], run: r, parent: from}
				from.children = append(from.children, child)
				order = append(order, child)
			}
		}
		for i := len(order) - 1; i >= 0; i-- {
			order[i].measure()
		}
		top.number(places)
		trees = append(trees, top)
	}
	if i, ok := index[root]; ok {
		grow(i)
	}
	for i, p := range places {
		if p.Kind == harness.Controller {
			grow(i)
		}
	}
	for i := range places {
		grow(i)
	}
	for i, p := range places {
		if len(next[i]) == 0 {
			loose = append(loose, p)
		}
	}
	for _, r := range runs {
		if !used[r.ID] {
			extra = append(extra, r)
		}
	}
	return trees, loose, extra
}

// measure finds the size of a branch whose children are measured, and the child that goes straight on: the one with most
// places, sizes within a power of two counting as equal, and of equals the first, so that a new place seldom turns a
// trunk into a branch. Where all children are leaves it is the last, so that they stand in the order of runs.
func (t *branch) measure() {
	t.size = 1
	best := -1
	for i, c := range t.children {
		t.size += c.size
		if best < 0 || c.size == 1 && t.children[best].size == 1 || bits.Len(uint(c.size)) > bits.Len(uint(t.children[best].size)) {
			best = i
		}
	}
	if best < 0 {
		return
	}
	t.trunk = t.children[best]
	t.children = append(t.children[:best:best], t.children[best+1:]...)
}

// number gives each branch that leaves the trunk of a root its rank in the order of places. A place that is added comes
// last in that order, so it leaves the ranks of the others, and with them their sides, alone.
func (t *branch) number(places []harness.Place) {
	leaving := map[string]*branch{}
	for at := t; at != nil; at = at.trunk {
		for _, c := range at.children {
			leaving[c.place.ID] = c
		}
	}
	rank := 0
	for _, p := range places {
		if c := leaving[p.ID]; c != nil {
			c.rank = rank
			rank++
		}
	}
}
