package route

import (
	"fmt"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// Path is the way of a wire.
type Path struct {
	Places  []string       // from end to end, both included; one place if both ends are there
	Runs    []string       // one fewer
	Length  unit.Length    // the sum of the runs if Missing is empty, else of those that are known
	Corners unit.Length    // the part of Length that corrects a thin string pulled round corners
	Sigma   unit.Length    // standard deviation of Length; 0 if Missing is not empty
	Missing []string       // runs whose length must be known and is not; survey.Lengths.Run says why
	Guess   bool           // a length rests on a guess
	Longer  []survey.Check // readings along the way that say more than its runs, adjusted
}

// Measured reports whether the length is known.
func (p Path) Measured() bool { return len(p.Missing) == 0 }

// Trouble is why there is no way.
type Trouble string

// The reasons, in the order in which they are looked for.
const (
	NoEnd       Trouble = "no end"       // an end is not chosen: End
	LostEnd     Trouble = "lost end"     // an end's place, terminal or joint is gone: End, Place if known
	LostVia     Trouble = "lost via"     // a place it must pass is gone: Place
	NoRuns      Trouble = "no runs"      // no run leads to Place
	OtherIsland Trouble = "other island" // Place lies on an island: Places, all of it
	OtherLoom   Trouble = "other loom"   // there is a way to Place, but it needs Looms, which the wire may not use
)

// NoPath is the error of a wire that cannot be routed.
type NoPath struct {
	Trouble Trouble
	End     harness.TagEnd
	Place   string
	Places  []string
	Looms   []string // "" for runs that are in no loom
}

func (e *NoPath) Error() string {
	return fmt.Sprintf("route: %s: end %q, place %q", e.Trouble, e.End, e.Place)
}

// Wire returns the way of a wire. A joint's end is at the place of the joint. The error is a *NoPath.
func (g *Graph) Wire(w harness.Wire) (Path, error) {
	from, to, err := g.ends(w)
	if err != nil {
		return Path{}, err
	}
	return g.Path(from, to, w.Looms, w.Via)
}

// WireRuns returns the runs of Wire, and costs less: nothing is added up.
func (g *Graph) WireRuns(w harness.Wire) ([]string, error) {
	from, to, err := g.ends(w)
	if err != nil {
		return nil, err
	}
	return g.Runs(from, to, w.Looms, w.Via)
}

// ends are the places of a wire's ends, if both are there.
func (g *Graph) ends(w harness.Wire) (from, to string, err error) {
	var ends [2]string
	for i, end := range [2]harness.End{w.From, w.To} {
		name := [2]harness.TagEnd{harness.FromEnd, harness.ToEnd}[i]
		place, ok := g.b.EndPlace(end)
		if _, lives := g.at[place]; ok && lives {
			ends[i] = place
			continue
		}
		if end == (harness.End{}) {
			return "", "", &NoPath{Trouble: NoEnd, End: name}
		}
		return "", "", &NoPath{Trouble: LostEnd, End: name, Place: place}
	}
	return ends[0], ends[1], nil
}

// Path returns the best way between two places through the places of via in order, inside looms (none: any). The best way
// is measured if any is; else it has the fewest runs that are not. Then it is the shortest, then the one of fewest runs,
// then the first in the order of places and runs; there and back it is the same. After the first place of via, a run that
// was taken already counts like one that is not measured, so that a wire sent round a loop does go round it. The error is
// a *NoPath.
//
// Cost: one search for each new pair of source and looms and for each place of via, else linear in the way.
func (g *Graph) Path(from, to string, looms, via []string) (Path, error) {
	edges, places, err := g.way(from, to, looms, via)
	if err != nil {
		return Path{}, err
	}
	path := Path{Places: []string{from}, Runs: g.ids(edges)}
	for _, p := range places {
		path.Places = append(path.Places, g.places[p].ID)
	}
	sum := g.lengths.Path(path.Runs)
	path.Length, path.Corners, path.Sigma = sum.Length, sum.Corners, sum.Sigma
	path.Missing, path.Guess, path.Longer = sum.Missing, sum.Guess, sum.Longer
	return path, nil
}

// Runs returns the runs of Path, and costs less: nothing is added up.
func (g *Graph) Runs(from, to string, looms, via []string) ([]string, error) {
	edges, _, err := g.way(from, to, looms, via)
	if err != nil {
		return nil, err
	}
	return g.ids(edges), nil
}

func (g *Graph) ids(edges []int) []string {
	runs := make([]string, len(edges))
	for i, e := range edges {
		runs[i] = g.edges[e].run.ID
	}
	return runs
}

// way returns the edges of Path, and the places that they lead to.
func (g *Graph) way(from, to string, looms, via []string) (edges, places []int, err error) {
	if len(looms) > 1 {
		looms = slices.Compact(slices.Sorted(slices.Values(looms)))
	}
	stops := []string{from}
	for _, p := range append(slices.Clone(via), to) {
		if p != stops[len(stops)-1] {
			stops = append(stops, p)
		}
	}
	for i, p := range stops {
		if _, ok := g.at[p]; ok {
			continue
		}
		switch {
		case i == 0:
			return nil, nil, &NoPath{Trouble: LostEnd, End: harness.FromEnd, Place: p}
		case i == len(stops)-1:
			return nil, nil, &NoPath{Trouble: LostEnd, End: harness.ToEnd, Place: p}
		}
		return nil, nil, &NoPath{Trouble: LostVia, Place: p}
	}
	var used map[int]bool
	if len(via) > 0 {
		used = map[int]bool{}
	}
	for i := range len(stops) - 1 {
		through, past, ok := g.walk(g.at[stops[i]], g.at[stops[i+1]], looms, used)
		if !ok {
			return nil, nil, g.blocked(g.at[stops[i]], g.at[stops[i+1]], looms)
		}
		if used == nil {
			return through, past[1:], nil
		}
		for j, e := range through {
			used[e] = true
			edges, places = append(edges, e), append(places, past[j+1])
		}
	}
	return edges, places, nil
}

// blocked says why there is no way between two living places. It speaks of the one that is not with the controller.
func (g *Graph) blocked(a, b int, looms []string) error {
	for _, p := range [2]int{b, a} {
		if len(g.from[p]) == 0 {
			return &NoPath{Trouble: NoRuns, Place: g.places[p].ID}
		}
	}
	if g.island[a] != g.island[b] {
		if g.island[b] == g.mainland() {
			b = a
		}
		return &NoPath{Trouble: OtherIsland, Place: g.places[b].ID, Places: g.members(g.island[b])}
	}
	edges, _, _ := g.walk(a, b, nil, nil)
	var needs []string
	for _, e := range edges {
		if loom := g.edges[e].run.Loom; !slices.Contains(looms, loom) && !slices.Contains(needs, loom) {
			needs = append(needs, loom)
		}
	}
	return &NoPath{Trouble: OtherLoom, Place: g.places[b].ID, Looms: needs}
}

// mainland returns the number of the component that holds the first controller, or if there is none the largest; -1 if
// there are no places.
func (g *Graph) mainland() int {
	for i, p := range g.places {
		if p.Kind == harness.Controller {
			return g.island[i]
		}
	}
	size := make([]int, len(g.places))
	best := -1
	for _, n := range g.island {
		size[n]++
	}
	for n := range size {
		if best < 0 || size[n] > size[best] {
			best = n
		}
	}
	return best
}

// PerRun returns, for each run that a wire takes, the wires in it, in the order of wires. It is what the weight of a line
// and the list of a bundle are made of. Wires without a way are in no run.
func (g *Graph) PerRun() map[string][]string {
	in := map[string][]string{}
	for _, w := range g.b.Wires.All() {
		runs, err := g.WireRuns(w)
		if err != nil {
			continue
		}
		for i, run := range runs {
			if !slices.Contains(runs[:i], run) {
				in[run] = append(in[run], w.ID)
			}
		}
	}
	return in
}
