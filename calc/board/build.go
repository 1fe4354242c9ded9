package board

import (
	"math"

	"loomwright/calc/harness"
)

// Plan is a build as it is laid out: its runs with wires in them as trees, from the controllers outward.
type Plan struct {
	Tree
	Places  []string // by place of the tree: its id
	Runs    []string // by place: the run that leads to it; empty where a tree begins
	Unknown []string // runs with wires whose length is not known: they are not laid, and what is behind them is a tree of its own
	Rings   []string // runs with wires that close a circle: each would join two places that are laid already
}

// New makes the plan of a build. length returns how long a run lies on the bench, in mm, and whether that is known; carries is how many
// wires pass each run. Of a circle the runs with most wires are laid. Cost: the square of the runs.
func New(b *harness.Build, length func(r harness.Run) (mm float64, ok bool), carries map[string]int) Plan {
	var p Plan
	runs := b.Runs.All()
	known := make([]float64, len(runs))
	used := make([]bool, len(runs)) // laid, or told of
	wanted := map[string]bool{}
	for i := range runs {
		mm, ok := length(runs[i])
		switch {
		case carries[runs[i].ID] == 0:
			used[i] = true
			continue
		case !ok || !(mm > 0) || math.IsInf(mm, 1):
			used[i] = true
			p.Unknown = append(p.Unknown, runs[i].ID)
		}
		known[i] = mm
		wanted[runs[i].A], wanted[runs[i].B] = true, true
	}
	at := map[string]int{}
	add := func(place string, parent int, run string, mm float64, wires int) {
		at[place] = len(p.Places)
		p.Places, p.Runs = append(p.Places, place), append(p.Runs, run)
		p.Parent, p.Length, p.Weight = append(p.Parent, parent), append(p.Length, mm), append(p.Weight, wires)
	}
	grow := func() {
		for {
			best, from, to := -1, "", ""
			for i := range runs {
				if used[i] {
					continue
				}
				_, a := at[runs[i].A]
				_, z := at[runs[i].B]
				if a && z {
					used[i] = true
					p.Rings = append(p.Rings, runs[i].ID)
					continue
				}
				if (a || z) && (best < 0 || carries[runs[i].ID] > carries[runs[best].ID]) {
					if best, from, to = i, runs[i].A, runs[i].B; z {
						from, to = to, from
					}
				}
			}
			if best < 0 {
				return
			}
			used[best] = true
			add(to, at[from], runs[best].ID, known[best], carries[runs[best].ID])
		}
	}
	places := b.Places.All()
	for _, first := range [2]bool{true, false} {
		for i := range places {
			_, had := at[places[i].ID]
			if had || !wanted[places[i].ID] || first != (places[i].Kind == harness.Controller) {
				continue
			}
			add(places[i].ID, -1, "", 0, 0)
			alone := len(p.Places)
			if grow(); len(p.Places) == alone { // no run of it is laid: nothing of it is
				delete(at, places[i].ID)
				p.Places, p.Runs = p.Places[:alone-1], p.Runs[:alone-1]
				p.Parent, p.Length, p.Weight = p.Parent[:alone-1], p.Length[:alone-1], p.Weight[:alone-1]
			}
		}
	}
	return p
}

// Mark is a mark on the tape line along the trunk, with what leaves it there.
type Mark struct {
	Place    int // of the plan
	At       float64
	Line     int     // of the tape on the bench, from 1: where the trunk is longer than the bench it comes back beside itself
	On       float64 // mm along that line; even lines run back, and count from where they turned
	Branches []Branch
}

// Branch is a run that leaves a mark, or another branch.
type Branch struct {
	Place int // where it leads
	Left  bool
	Depth int // 0 leaves the tape, 1 leaves a branch, and so on
}

// Marks lays the trunk of each tree along a tape, on a bench of that length in mm: on from the place where it begins always along the run
// with most wires. The others leave it to the left and the right in turn; what they split into follows each of them.
func (p Plan) Marks(bench float64) (all []Mark) {
	children := make([][]int, len(p.Parent))
	for i, parent := range p.Parent {
		if parent >= 0 {
			children[parent] = append(children[parent], i)
		}
	}
	var behind func(place, depth int, left bool) []Branch
	behind = func(place, depth int, left bool) (out []Branch) {
		out = append(out, Branch{place, left, depth})
		for _, c := range children[place] {
			out = append(out, behind(c, depth+1, left)...)
		}
		return out
	}
	room := max(bench-2*Rim, 1)
	left := true
	for root, parent := range p.Parent {
		if parent >= 0 {
			continue
		}
		at := 0.0
		for place := root; place >= 0; {
			line := int(at / room)
			m := Mark{Place: place, At: at, Line: line + 1, On: at - float64(line)*room}
			next := -1
			for _, c := range children[place] {
				if next < 0 || p.Weight[c] > p.Weight[next] || p.Weight[c] == p.Weight[next] && len(children[c]) > len(children[next]) {
					next = c
				}
			}
			for _, c := range children[place] {
				if c != next {
					m.Branches = append(m.Branches, behind(c, 0, left)...)
					left = !left
				}
			}
			all = append(all, m)
			if next >= 0 {
				at += p.Length[next]
			}
			place = next
		}
	}
	return all
}
