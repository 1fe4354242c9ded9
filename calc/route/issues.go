package route

import (
	"cmp"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// Kind names what is wrong with the route.
type Kind string

// The kinds of issue, worst first, and which fields each fills.
const (
	LostPlace     Kind = "lost place"    // Runs[0] ends at Places, which are gone; none where an end was never chosen
	SelfRun       Kind = "self run"      // Runs[0] begins and ends at Places[0]
	Contradiction Kind = "contradiction" // Readings give Runs[0] a length of Got, zero or less
	LongRun       Kind = "long run"      // Runs[0] is Got long, above Limit: a slip of the finger?
	ReadAgain     Kind = "read again"    // one of Readings is wrong, most likely Readings[0]: it says Got of Runs, the others Limit
	Island        Kind = "island"        // Places hang together, but not with the rest
	Loose         Kind = "loose"         // Places[0] has no run
	Loop          Kind = "loop"          // Places and Runs make a circle; wires take the shorter way
	LookAgain     Kind = "look again"    // as ReadAgain, but it may be chance
	LostLoom      Kind = "lost loom"     // Runs[0] is in a loom that is gone
	UnusedReading Kind = "unused"        // Readings[0] says nothing about the runs there are: Because
	Unmeasured    Kind = "unmeasured"    // Runs[0] has no length: Why, and Runs[1:] are those it is known together with
)

var kinds = []Kind{LostPlace, SelfRun, Contradiction, LongRun, ReadAgain, Island, Loose, Loop, LookAgain, LostLoom, UnusedReading, Unmeasured}

// Longest is how long a run is likely to be at most. Source: common practice (a run over 3 m is asked about once).
const Longest = 3 * unit.Metre

// Issue is something wrong with the route: what, where, and the numbers to say it with.
type Issue struct {
	Kind       Kind
	Places     []string
	Runs       []string
	Readings   []string
	Got, Limit unit.Length
	Why        survey.Why
	Because    survey.Because
}

// Issues returns what is wrong with the route, worst kind first, each kind in the order of its records. Cost: linear in
// places, runs and readings, and in the length of the loops.
func Issues(b *harness.Build, lengths *survey.Lengths) []Issue {
	return New(b, lengths).Issues()
}

// Issues is the function Issues for a graph that is already there.
func (g *Graph) Issues() []Issue {
	var all []Issue
	add := func(i Issue) { all = append(all, i) }
	for _, r := range g.b.Runs.All() {
		g.run(r, add)
	}
	for _, c := range g.lengths.Contradictions() {
		add(Issue{Kind: Contradiction, Runs: []string{c.Run}, Readings: c.Readings, Got: c.Value})
	}
	g.misfits(add)
	for _, u := range g.lengths.Unused() {
		add(Issue{Kind: UnusedReading, Readings: []string{u.Reading}, Because: u.Because})
	}
	main := g.mainland()
	for i, n := range g.island {
		switch {
		case len(g.from[i]) == 0:
			if len(g.places) > 1 {
				add(Issue{Kind: Loose, Places: []string{g.places[i].ID}})
			}
		case n == i && n != main:
			add(Issue{Kind: Island, Places: g.members(n)})
		}
	}
	for _, l := range g.loops() {
		add(l)
	}
	sorting.By(all, func(a, b Issue) int { return slices.Index(kinds, a.Kind) - slices.Index(kinds, b.Kind) })
	return all
}

// misfits names the readings that do not fit: those that are most likely wrong, then of the others those far off. What
// does not close is named once: a reading over a run that is named already is not.
func (g *Graph) misfits(add func(Issue)) {
	fits := map[string]survey.Fit{}
	for _, f := range g.lengths.Fits() {
		fits[f.Reading] = f
	}
	named := map[string]bool{}
	for _, s := range g.lengths.Suspicions() {
		got := fits[s.Readings[0]].Read + fits[s.Readings[0]].Corners
		add(Issue{Kind: ReadAgain, Runs: s.Runs, Readings: s.Readings, Got: got, Limit: got - s.Gross})
		for _, r := range s.Readings {
			for _, run := range fits[r].Runs {
				named[run] = true
			}
		}
	}
	checks := g.lengths.Checks()
	sorting.By(checks, func(a, b survey.Check) int {
		return cmp.Or(cmp.Compare(b.Misfit(), a.Misfit()), cmp.Compare(len(b.Runs), len(a.Runs)))
	})
	for _, c := range checks {
		if c.Guess || c.Misfit() == survey.Closes || slices.ContainsFunc(c.Runs, func(run string) bool { return named[run] }) {
			continue
		}
		kind := LookAgain
		if c.Misfit() == survey.Again {
			kind = ReadAgain
		}
		add(Issue{Kind: kind, Runs: c.Runs, Readings: []string{c.Reading}, Got: c.Value, Limit: c.Sum})
		for _, run := range c.Runs {
			named[run] = true
		}
	}
}

func (g *Graph) run(r harness.Run, add func(Issue)) {
	var lost []string
	ends := 0
	for _, p := range []string{r.A, r.B} {
		if _, ok := g.at[p]; ok {
			ends++
		} else if p != "" {
			lost = append(lost, p)
		}
	}
	switch {
	case ends < 2:
		add(Issue{Kind: LostPlace, Runs: []string{r.ID}, Places: lost})
	case r.A == r.B:
		add(Issue{Kind: SelfRun, Runs: []string{r.ID}, Places: []string{r.A}})
	}
	if r.Loom != "" {
		if _, ok := g.b.Looms.Get(r.Loom); !ok {
			add(Issue{Kind: LostLoom, Runs: []string{r.ID}})
		}
	}
	k, ok := g.lengths.Run(r.ID)
	switch {
	case ok && k.Length > Longest:
		add(Issue{Kind: LongRun, Runs: []string{r.ID}, Got: k.Length, Limit: Longest})
	case !ok && k.Why != survey.Contradicted:
		add(Issue{Kind: Unmeasured, Runs: append([]string{r.ID}, k.With...), Why: k.Why})
	}
}

// loops returns a cycle basis: one loop for each run that a spanning forest, grown in breadth from the controller, does
// not need. Each loop begins where its two sides part; Runs[i] leads from Places[i] to the next.
func (g *Graph) loops() []Issue {
	n := len(g.places)
	via, depth := make([]int, n), make([]int, n)
	seen, inTree := make([]bool, n), make([]bool, len(g.edges))
	grow := func(root int) {
		if seen[root] {
			return
		}
		seen[root], via[root] = true, -1
		for open := []int{root}; len(open) > 0; open = open[1:] {
			p := open[0]
			for _, i := range g.from[p] {
				if far := g.edges[i].far(p); !seen[far] {
					seen[far], inTree[i], via[far], depth[far] = true, true, i, depth[p]+1
					open = append(open, far)
				}
			}
		}
	}
	for i, p := range g.places {
		if p.Kind == harness.Controller {
			grow(i)
		}
	}
	for i := range g.places {
		grow(i)
	}
	var loops []Issue
	for i, e := range g.edges {
		if inTree[i] {
			continue
		}
		// Climb from both ends of the run to where they meet.
		a, b := e.a, e.b
		var left, right []int // edges, from the ends upward
		up := func(p *int, side *[]int) {
			*side = append(*side, via[*p])
			*p = g.edges[via[*p]].far(*p)
		}
		for a != b {
			if depth[a] >= depth[b] {
				up(&a, &left)
			} else {
				up(&b, &right)
			}
		}
		slices.Reverse(left)
		loop := Issue{Kind: Loop}
		at := a
		for _, j := range append(append(left, i), right...) {
			loop.Places = append(loop.Places, g.places[at].ID)
			loop.Runs = append(loop.Runs, g.edges[j].run.ID)
			at = g.edges[j].far(at)
		}
		loops = append(loops, loop)
	}
	return loops
}
