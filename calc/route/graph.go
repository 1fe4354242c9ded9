package route

import (
	"slices"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// Graph is the places and runs of a build at one moment, with what is known of their lengths. It remembers the ways it
// has found, so it is made once for each state of the build. It is not safe for use by several goroutines at once.
type Graph struct {
	b       *harness.Build
	lengths *survey.Lengths
	places  []harness.Place
	at      map[string]int // id to place
	edges   []edge
	from    [][]int // by place: its edges, in the order of runs
	island  []int   // by place: the number of its component, by its first place
	trees   map[treeKey]*tree
}

// treeKey is where the ways of a tree begin, and inside which looms they stay.
type treeKey struct {
	source int
	looms  string
}

// edge is a run that joins two living places.
type edge struct {
	run    harness.Run
	a, b   int
	length unit.Length
	known  bool
}

func (e edge) far(from int) int { return e.a + e.b - from }

// New returns the graph of a build. Ways are chosen by the lengths before corners are corrected: the correction depends on
// the bundles, the bundles on the ways. A run with an end at no living place, or with both ends at one, is left out: Issues
// names it. Cost: linear in places and runs.
func New(b *harness.Build, lengths *survey.Lengths) *Graph {
	g := &Graph{b: b, lengths: lengths, places: b.Places.All(), at: map[string]int{}, trees: map[treeKey]*tree{}}
	for i, p := range g.places {
		g.at[p.ID] = i
	}
	g.from = make([][]int, len(g.places))
	for _, r := range b.Runs.All() {
		a, okA := g.at[r.A]
		b, okB := g.at[r.B]
		if !okA || !okB || a == b {
			continue
		}
		k, known := lengths.Run(r.ID)
		g.from[a] = append(g.from[a], len(g.edges))
		g.from[b] = append(g.from[b], len(g.edges))
		g.edges = append(g.edges, edge{r, a, b, k.Read(), known})
	}
	g.island = make([]int, len(g.places))
	for i := range g.island {
		g.island[i] = -1
	}
	for i := range g.places {
		if g.island[i] < 0 {
			g.flood(i, i)
		}
	}
	return g
}

// With returns the graph with other lengths of the runs. Where what ways are chosen by is the same but for its rounding, the ways
// that were found stay: corrections for bundles come on top of it.
func (g *Graph) With(lengths *survey.Lengths) *Graph {
	const rounding = 2 // nm
	for i := range g.edges {
		e := &g.edges[i]
		k, known := lengths.Run(e.run.ID)
		if d := k.Read() - e.length; known != e.known || d > rounding || d < -rounding {
			return New(g.b, lengths)
		}
	}
	with := *g
	with.lengths = lengths
	return &with
}

// flood numbers all places that hang together with one.
func (g *Graph) flood(start, number int) {
	open := []int{start}
	g.island[start] = number
	for len(open) > 0 {
		p := open[len(open)-1]
		open = open[:len(open)-1]
		for _, e := range g.from[p] {
			if far := g.edges[e].far(p); g.island[far] < 0 {
				g.island[far] = number
				open = append(open, far)
			}
		}
	}
}

// Lengths returns what the graph knows of the runs' lengths.
func (g *Graph) Lengths() *survey.Lengths { return g.lengths }

// Island returns the places that hang together with a place, itself among them, in the order of places; nil if the place
// does not live.
func (g *Graph) Island(place string) []string {
	i, ok := g.at[place]
	if !ok {
		return nil
	}
	return g.members(g.island[i])
}

func (g *Graph) members(island int) []string {
	var ids []string
	for i, n := range g.island {
		if n == island {
			ids = append(ids, g.places[i].ID)
		}
	}
	return ids
}

// cost of a way, in the order in which it matters.
type cost struct {
	unknown int // runs that are not measured
	length  unit.Length
	runs    int
}

func (c cost) less(d cost) bool {
	if c.unknown != d.unknown {
		return c.unknown < d.unknown
	}
	if c.length != d.length {
		return c.length < d.length
	}
	return c.runs < d.runs
}

func (c cost) plus(e edge) cost {
	c.runs++
	if e.known {
		c.length += e.length
	} else {
		c.unknown++
	}
	return c
}

// tree holds the best ways from one place to all others.
type tree struct {
	via  []int // by place: the edge it is reached by, -1 for the source and what is not reached
	seen []bool
}

// tree returns the best ways from a place inside some looms (none: any), by the algorithm of Dijkstra. Of ways that cost
// the same, the one that comes first in the order of places and runs is taken. Cost: runs × log runs the first time.
func (g *Graph) tree(source int, looms []string) *tree {
	key := treeKey{source, strings.Join(looms, "\x00")}
	t, ok := g.trees[key]
	if !ok {
		t = g.search(source, looms, nil)
		g.trees[key] = t
	}
	return t
}

// search does the work of tree. A run of used counts like one that is not measured.
func (g *Graph) search(source int, looms []string, used map[int]bool) *tree {
	n := len(g.places)
	t := &tree{make([]int, n), make([]bool, n)}
	best := make([]cost, n)
	reached := make([]bool, n)
	for i := range t.via {
		t.via[i] = -1
	}
	q := &queue{{at: source}}
	reached[source] = true
	for len(*q) > 0 {
		now := q.pop()
		if t.seen[now.at] {
			continue
		}
		t.seen[now.at] = true
		for _, i := range g.from[now.at] {
			e := g.edges[i]
			if len(looms) > 0 && !slices.Contains(looms, e.run.Loom) {
				continue
			}
			far, c := e.far(now.at), now.cost.plus(e)
			if used[i] && e.known {
				c.unknown++
			}
			if reached[far] && !c.less(best[far]) {
				continue
			}
			reached[far], best[far], t.via[far] = true, c, i
			q.push(item{c, far})
		}
	}
	return t
}

// walk returns the edges and places of the best way between two places, from first; ok is false if there is none. The
// way back is the same way. A run of used counts like one that is not measured.
func (g *Graph) walk(first, last int, looms []string, used map[int]bool) (edges, places []int, ok bool) {
	source, at := min(first, last), max(first, last)
	var t *tree
	if len(used) == 0 {
		t = g.tree(source, looms)
	} else {
		t = g.search(source, looms, used)
	}
	if !t.seen[at] {
		return nil, nil, false
	}
	n := 0
	for p := at; p != source; n++ {
		p = g.edges[t.via[p]].far(p)
	}
	edges, places = make([]int, 0, n), make([]int, 1, n+1)
	places[0] = at
	for at != source {
		edges = append(edges, t.via[at])
		at = g.edges[t.via[at]].far(at)
		places = append(places, at)
	}
	if first == source {
		slices.Reverse(edges)
		slices.Reverse(places)
	}
	return edges, places, true
}

// item is a place that is reached at a cost.
type item struct {
	cost cost
	at   int
}

func (i item) less(j item) bool {
	return i.cost.less(j.cost) || i.cost == j.cost && i.at < j.at
}

// queue is a binary heap of items, the least first.
type queue []item

func (q *queue) push(x item) {
	h := append(*q, x)
	for i := len(h) - 1; i > 0 && h[i].less(h[(i-1)/2]); i = (i - 1) / 2 {
		h[i], h[(i-1)/2] = h[(i-1)/2], h[i]
	}
	*q = h
}

func (q *queue) pop() item {
	h := *q
	top, last := h[0], len(h)-1
	h[0] = h[last]
	h = h[:last]
	for i := 0; ; {
		least := i
		for _, c := range [2]int{2*i + 1, 2*i + 2} {
			if c < last && h[c].less(h[least]) {
				least = c
			}
		}
		if least == i {
			break
		}
		h[i], h[least] = h[least], h[i]
		i = least
	}
	*q = h
	return top
}
