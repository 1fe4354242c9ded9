package prove

// Pair is two points that must not be joined, by their index.
type Pair struct{ A, B int }

// Order puts pairs into an order that needs few probe moves: wherever it can, a pair shares a point with the one before
// it, so that one probe stays. It returns the pairs' indexes. Cost: quadratic in the pairs.
//
// A walk of the pairs in which each shares a point with the next is a path in their line graph. A closed trail that
// touches every pair gives one (Harary and Nash-Williams 1965): pairs off the trail are done while a probe stands at a point
// of it. Such a trail is looked for by taking out a set of pairs that evens out all degrees; where that falls apart, the pieces
// are walked one after the other.
//
// Source: F. Harary, C. Nash-Williams, On eulerian and hamiltonian graphs and line graphs, 1965, from memory; Hierholzer's
// algorithm for the trails.
func Order(pairs []Pair, points int) []int {
	best, moves := []int(nil), -1
	for _, take := range []func(*weaver) []bool{(*weaver).shortJoin, (*weaver).treeJoin, (*weaver).matched, (*weaver).none} {
		w := newWeaver(pairs, points)
		order := w.walk(take(w))
		if m := Moves(pairs, order); moves < 0 || m < moves {
			best, moves = order, m
		}
	}
	return best
}

// Moves counts how often a probe is set down: both at the first pair, then one for each pair that shares a point with the
// one before it, else two.
func Moves(pairs []Pair, order []int) int {
	n := 0
	for i, k := range order {
		n += 2
		if i > 0 && shares(pairs[k], pairs[order[i-1]]) {
			n--
		}
	}
	return n
}

// Bound is the moves that trails over each point graph need at least: one for each pair, one for the first, and one for every
// further trail that pins with an odd number of pairs, or pieces that do not hang together, force.
func Bound(pairs []Pair, points int) int {
	w := newWeaver(pairs, points)
	trails := 0
	seen := make([]bool, points)
	for p := range points {
		if seen[p] || len(w.at[p]) == 0 {
			continue
		}
		odd := 0
		seen[p] = true
		for open := []int{p}; len(open) > 0; open = open[1:] {
			odd += len(w.at[open[0]]) % 2
			for _, e := range w.at[open[0]] {
				if far := w.far(e, open[0]); !seen[far] {
					seen[far] = true
					open = append(open, far)
				}
			}
		}
		trails += max(1, odd/2)
	}
	return len(pairs) + trails
}

func shares(x, y Pair) bool { return x.A == y.A || x.A == y.B || x.B == y.A || x.B == y.B }

// weaver walks a graph whose edges are the pairs.
type weaver struct {
	pairs []Pair
	at    [][]int // pairs at a point
}

func newWeaver(pairs []Pair, points int) *weaver {
	w := &weaver{pairs: pairs, at: make([][]int, points)}
	for i, p := range pairs {
		w.at[p.A] = append(w.at[p.A], i)
		w.at[p.B] = append(w.at[p.B], i)
	}
	return w
}

func (w *weaver) far(pair, at int) int { return w.pairs[pair].A + w.pairs[pair].B - at }

// none takes no pair out.
func (w *weaver) none() []bool { return make([]bool, len(w.pairs)) }

// matched takes out pairs of two points that both have an odd number of pairs, no point twice.
func (w *weaver) matched() []bool {
	out := w.none()
	odd := w.odd()
	for i, p := range w.pairs {
		if odd[p.A] && odd[p.B] && p.A != p.B {
			out[i], odd[p.A], odd[p.B] = true, false, false
		}
	}
	return out
}

func (w *weaver) odd() []bool {
	odd := make([]bool, len(w.at))
	for p := range w.at {
		odd[p] = len(w.at[p])%2 == 1
	}
	return odd
}

// shortJoin joins points of an odd number two by two along short ways, nearest first, and takes the pairs on them out: what
// is left has even numbers everywhere.
func (w *weaver) shortJoin() []bool {
	out, odd := w.none(), w.odd()
	for p := range w.at {
		if !odd[p] {
			continue
		}
		by := make([]int, len(w.at)) // the pair over which a point was reached, from 1
		open, found := []int{p}, -1
		seen := make([]bool, len(w.at))
		for seen[p] = true; len(open) > 0 && found < 0; open = open[1:] {
			for _, e := range w.at[open[0]] {
				far := w.far(e, open[0])
				if seen[far] {
					continue
				}
				seen[far], by[far] = true, e+1
				if odd[far] {
					found = far
					break
				}
				open = append(open, far)
			}
		}
		if found < 0 {
			continue
		}
		odd[p], odd[found] = false, false
		for at := found; at != p; {
			e := by[at] - 1
			out[e] = !out[e]
			at = w.far(e, at)
		}
	}
	return out
}

// treeJoin takes out the pairs of a tree that evens out all numbers.
func (w *weaver) treeJoin() []bool {
	out, odd := w.none(), w.odd()
	seen := make([]bool, len(w.at))
	for p := range w.at {
		if seen[p] {
			continue
		}
		seen[p] = true
		order, by := []int{p}, map[int]int{}
		for i := 0; i < len(order); i++ {
			for _, e := range w.at[order[i]] {
				if far := w.far(e, order[i]); !seen[far] {
					seen[far], by[far] = true, e
					order = append(order, far)
				}
			}
		}
		for i := len(order) - 1; i > 0; i-- {
			if at := order[i]; odd[at] {
				up := w.far(by[at], at)
				out[by[at]], odd[at], odd[up] = true, false, !odd[up]
			}
		}
	}
	return out
}

// walk does what is not taken out in trails, and each of the others while a probe stands at one of its points.
func (w *weaver) walk(out []bool) (order []int) {
	done := make([]bool, len(w.pairs))
	for {
		start := w.start(out, done)
		if start < 0 {
			break
		}
		trail := w.trail(start, out, done)
		for _, t := range trail {
			order = append(order, w.asides(w.far(t.pair, t.to), out, done)...)
			order = append(order, t.pair)
		}
		order = append(order, w.asides(trail[len(trail)-1].to, out, done)...)
	}
	for i := range w.pairs { // what touches no trail: by itself, chained where it can be
		if done[i] {
			continue
		}
		done[i] = true
		order = append(order, i)
		for k := i; ; {
			next := -1
			for _, p := range [2]int{w.pairs[k].B, w.pairs[k].A} {
				for _, e := range w.at[p] {
					if !done[e] && next < 0 {
						next = e
					}
				}
			}
			if next < 0 {
				break
			}
			done[next] = true
			order = append(order, next)
			k = next
		}
	}
	return order
}

// asides are the pairs that are taken out and stand at a point.
func (w *weaver) asides(at int, out, done []bool) (all []int) {
	for _, e := range w.at[at] {
		if out[e] && !done[e] {
			done[e] = true
			all = append(all, e)
		}
	}
	return all
}

// start returns a point to begin a trail at: one with an odd number of pairs left if there is one; -1 when none are left.
func (w *weaver) start(out, done []bool) int {
	start := -1
	for p := range w.at {
		n := 0
		for _, e := range w.at[p] {
			if !out[e] && !done[e] {
				n++
			}
		}
		if n%2 == 1 {
			return p
		}
		if n > 0 && start < 0 {
			start = p
		}
	}
	return start
}

// step is a pair of a trail, and the point it leads to.
type step struct{ to, pair int }

// trail returns the pairs of a trail from a point to where no pair is left, by Hierholzer's algorithm: every way round that begins
// at a point of it is taken in. Where more than two points are odd its pieces stand one after the other.
func (w *weaver) trail(start int, out, done []bool) (trail []step) {
	stack := []step{{start, -1}}
	next := map[int]int{}
	for len(stack) > 0 {
		top := stack[len(stack)-1]
		moved := false
		for i := next[top.to]; i < len(w.at[top.to]); i++ {
			e := w.at[top.to][i]
			if out[e] || done[e] {
				continue
			}
			done[e], moved = true, true
			next[top.to] = i + 1
			stack = append(stack, step{w.far(e, top.to), e})
			break
		}
		if !moved {
			stack = stack[:len(stack)-1]
			if top.pair >= 0 {
				trail = append(trail, top)
			}
		}
	}
	for i, j := 0, len(trail)-1; i < j; i, j = i+1, j-1 {
		trail[i], trail[j] = trail[j], trail[i]
	}
	return trail
}
