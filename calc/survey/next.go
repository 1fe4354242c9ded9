package survey

import (
	"cmp"
	"slices"

	"loomwright/calc/unit"
)

// Need is why something is to be measured.
type Need string

// The needs, the most pressing first.
const (
	NeedLength Need = "length" // it is not measured
	NeedProof  Need = "proof"  // readings disagree: this one tells most of which is wrong
	NeedString Need = "string" // it is a guess
	NeedCheck  Need = "check"  // nothing would show if its reading were wrong
)

// Task is one reading to take.
type Task struct {
	Runs     []string // in one, from end to end
	From, To string   // places, in the order of Runs
	Need     Need
}

// Next returns what to measure next, from a place where a person stands, in an order that walks the car with little back
// and forth: first all that must be measured, then all that would be surer for a second reading. An empty place, or one
// without runs, is the first place of all.
//
// On a tree the walk is the shortest there is: every branch with a task is walked out and back, the farthest last. A route
// with loops is walked along the shortest ways from where it begins. Cost: the square of the places.
func (l *Lengths) Next(from string) []Task {
	w := l.walker()
	if len(w.ends) == 0 {
		return nil
	}
	var must, should []Task
	proven := map[string]bool{}
	for _, s := range l.doubts {
		runs := s.Settle
		if len(runs) == 0 {
			runs = s.Runs
		}
		if key := pathKey(runs); !proven[key] && l.living(runs) {
			proven[key] = true
			must = append(must, w.task(runs, NeedProof))
		}
	}
	for _, r := range l.runs {
		if r.A == "" || r.B == "" || r.A == r.B {
			continue
		}
		k := l.known[r.ID]
		switch {
		case proven[pathKey([]string{r.ID})]:
		case !k.Measured():
			must = append(must, w.task([]string{r.ID}, NeedLength))
		case k.Guess:
			must = append(must, w.task([]string{r.ID}, NeedString))
		case k.Quality == Once:
			should = append(should, w.task([]string{r.ID}, NeedCheck))
		}
	}
	out, at := w.walk(from, must)
	rest, _ := w.walk(at, should)
	return append(out, rest...)
}

// walker is the route as a person walks it.
type walker struct {
	ends   []string // places with runs, in the order of runs
	at     map[string]int
	edges  []edge
	byRun  map[string]int
	byNode [][]int // edges
}

type edge struct {
	a, b   int
	length float64 // mm
}

func (l *Lengths) walker() *walker {
	w := &walker{at: map[string]int{}, byRun: map[string]int{}}
	var all []unit.Length
	for _, k := range l.known {
		if k.Measured() {
			all = append(all, k.Length)
		}
	}
	slices.Sort(all)
	usual := 300.0 // mm, while nothing is measured; any would do, since all are alike then
	if len(all) > 0 {
		usual = all[len(all)/2].MM()
	}
	node := func(place string) int {
		i, ok := w.at[place]
		if !ok {
			i = len(w.ends)
			w.at[place] = i
			w.ends, w.byNode = append(w.ends, place), append(w.byNode, nil)
		}
		return i
	}
	for _, r := range l.runs {
		if r.A == "" || r.B == "" || r.A == r.B {
			continue
		}
		e := edge{node(r.A), node(r.B), usual}
		if k := l.known[r.ID]; k.Measured() {
			e.length = k.Length.MM()
		}
		w.byNode[e.a] = append(w.byNode[e.a], len(w.edges))
		w.byNode[e.b] = append(w.byNode[e.b], len(w.edges))
		w.byRun[r.ID] = len(w.edges)
		w.edges = append(w.edges, e)
	}
	return w
}

// task finds the ends of a path.
func (w *walker) task(runs []string, need Need) Task {
	first := w.edges[w.byRun[runs[0]]]
	at, to := first.a, first.b
	if len(runs) > 1 {
		if next := w.edges[w.byRun[runs[1]]]; at == next.a || at == next.b {
			at, to = to, at
		}
	}
	from := at
	for _, id := range runs[1:] {
		if e := w.edges[w.byRun[id]]; e.a == to {
			to = e.b
		} else {
			to = e.a
		}
	}
	return Task{Runs: runs, From: w.ends[from], To: w.ends[to], Need: need}
}

// walk orders tasks from a place, and returns where the walk ends.
func (w *walker) walk(from string, tasks []Task) (out []Task, end string) {
	done := make([]bool, len(tasks))
	start, ok := w.at[from]
	for len(out) < len(tasks) {
		if !ok { // an island of its own: at its first task
			start = w.at[tasks[slices.Index(done, false)].From]
		}
		ok = false
		t := w.tree(start)
		for i, task := range tasks {
			a, b := w.at[task.From], w.at[task.To]
			switch {
			case done[i] || !t.reached[a]:
			case len(task.Runs) == 1 && t.parent[b] == a:
				t.put(b, i)
			case len(task.Runs) == 1 && t.parent[a] == b:
				t.put(a, i)
			default:
				t.put(a, i)
				t.put(b, i)
			}
		}
		start = t.visit(start, func(place, i int) {
			if done[i] {
				return
			}
			done[i] = true
			task := tasks[i]
			if a, b := w.at[task.From], w.at[task.To]; t.parent[a] == b || place == b && t.parent[b] != a {
				task.From, task.To = task.To, task.From
				task.Runs = slices.Clone(task.Runs)
				slices.Reverse(task.Runs)
			}
			out = append(out, task)
		})
	}
	if len(w.ends) > 0 && start < len(w.ends) {
		end = w.ends[start]
	}
	return out, end
}

// tree is the shortest ways from a place, and what is to be done along them.
type tree struct {
	w        *walker
	parent   []int
	far      []float64 // from the start
	children [][]int
	reached  []bool
	needed   []bool
	tasks    [][]int
}

// tree finds the shortest ways from a place, by the algorithm of Dijkstra.
func (w *walker) tree(start int) *tree {
	n := len(w.ends)
	t := &tree{w, make([]int, n), make([]float64, n), make([][]int, n), make([]bool, n), make([]bool, n), make([][]int, n)}
	open := make([]bool, n)
	open[start], t.parent[start] = true, -1
	for {
		near := -1
		for i := range n {
			if open[i] && (near < 0 || t.far[i] < t.far[near]) {
				near = i
			}
		}
		if near < 0 {
			return t
		}
		open[near], t.reached[near] = false, true
		if p := t.parent[near]; p >= 0 {
			t.children[p] = append(t.children[p], near)
		}
		for _, i := range w.byNode[near] {
			e := w.edges[i]
			other := e.a + e.b - near
			if d := t.far[near] + e.length; !t.reached[other] && (!open[other] || d < t.far[other]) {
				open[other], t.parent[other], t.far[other] = true, near, d
			}
		}
	}
}

// put leaves a task at a place, and marks the way to it. A run on the way is measured when it is walked, so its task waits
// at its far end; any other where one of its ends is met first.
func (t *tree) put(place, task int) {
	t.tasks[place] = append(t.tasks[place], task)
	for ; place >= 0 && !t.needed[place]; place = t.parent[place] {
		t.needed[place] = true
	}
}

// visit walks out every branch that is needed, the one that goes farthest last, and does at each place what has an end
// there. It returns the place where the last was done.
func (t *tree) visit(place int, do func(place, task int)) (last int) {
	last = place
	for _, i := range t.tasks[place] {
		do(place, i)
	}
	branches := slices.DeleteFunc(slices.Clone(t.children[place]), func(c int) bool { return !t.needed[c] })
	slices.SortStableFunc(branches, func(a, b int) int { return cmp.Compare(t.farthest(a), t.farthest(b)) })
	for _, c := range branches {
		last = t.visit(c, do)
	}
	return last
}

func (t *tree) farthest(place int) float64 {
	far := t.far[place]
	for _, c := range t.children[place] {
		if t.needed[c] {
			far = max(far, t.farthest(c))
		}
	}
	return far
}
