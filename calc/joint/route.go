package joint

import (
	"errors"
	"fmt"

	"loomwright/calc/unit"
)

// Why there is no tree.
var (
	ErrRoute    = errors.New("not a route")           // a run ends at no place, or its length is below zero
	ErrFewEnds  = errors.New("fewer than two ends")   //
	ErrApart    = errors.New("no way to an end")      // inside the runs given
	ErrNoSplice = errors.New("no place for a splice") // that all ends can reach
)

// Run joins two places, given by index.
type Run struct {
	A, B   int
	Length unit.Length
}

// Route is the places, as the numbers from 0, and the runs that wires of a joint may take: the caller leaves out runs of
// other looms and runs that are not measured. It remembers ways, and is not safe for use by several goroutines at once.
type Route struct {
	places int
	runs   []Run
	from   [][]int // by place: its runs
	ways   []*ways // by place, as they are asked for
}

// ways is the shortest ways from one place.
type ways struct {
	length []unit.Length // by place; far if there is no way
	via    []int         // by place: the run it is reached by, -1 for the source
}

// far is longer than any way. Source: our choice, high enough for no harness and low enough that sums do not overflow.
const far = unit.Length(1) << 52

// NewRoute returns a route. The error wraps ErrRoute.
func NewRoute(places int, runs []Run) (*Route, error) {
	r := &Route{places: places, runs: runs, from: make([][]int, places), ways: make([]*ways, places)}
	for i, run := range runs {
		if run.A < 0 || run.A >= places || run.B < 0 || run.B >= places || run.Length < 0 || run.Length > unit.Longest {
			return nil, fmt.Errorf("joint: run %d from %d to %d, %v: %w", i, run.A, run.B, run.Length, ErrRoute)
		}
		r.from[run.A] = append(r.from[run.A], i)
		if run.A != run.B {
			r.from[run.B] = append(r.from[run.B], i)
		}
	}
	return r, nil
}

func (run Run) other(place int) int { return run.A + run.B - place }

// to returns the shortest ways from a place, by the algorithm of Dijkstra. Of ways that are equally long the one that is
// found first in the order of places and runs is taken. Cost: runs × log runs the first time.
func (r *Route) to(source int) *ways {
	if w := r.ways[source]; w != nil {
		return w
	}
	w := &ways{make([]unit.Length, r.places), make([]int, r.places)}
	for i := range w.length {
		w.length[i], w.via[i] = far, -1
	}
	w.length[source] = 0
	q, done := queue{{0, source}}, make([]bool, r.places)
	for len(q) > 0 {
		now := q.pop()
		if done[now.place] {
			continue
		}
		done[now.place] = true
		for _, i := range r.from[now.place] {
			next := r.runs[i].other(now.place)
			if l := now.length + r.runs[i].Length; l < w.length[next] {
				w.length[next], w.via[next] = l, i
				q.push(item{l, next})
			}
		}
	}
	r.ways[source] = w
	return w
}

func (r *Route) length(a, b int) unit.Length { return r.to(a).length[b] }

// way returns the runs of the shortest way and the places it passes, both ends included. There and back it is the same.
func (r *Route) way(from, to int) (runs, places []int) {
	source, at := min(from, to), max(from, to)
	w := r.to(source)
	places = []int{at}
	for at != source {
		runs = append(runs, w.via[at])
		at = r.runs[w.via[at]].other(at)
		places = append(places, at)
	}
	if from == source {
		reverse(runs)
		reverse(places)
	}
	return runs, places
}

func reverse(s []int) {
	for i, j := 0, len(s)-1; i < j; i, j = i+1, j-1 {
		s[i], s[j] = s[j], s[i]
	}
}

// item is a place reached at a length; queue is a binary heap of them, the shortest first.
type item struct {
	length unit.Length
	place  int
}

func (i item) less(j item) bool {
	return i.length < j.length || i.length == j.length && i.place < j.place
}

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
		for c := 2*i + 1; c <= 2*i+2 && c < last; c++ {
			if h[c].less(h[least]) {
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
