package loom

import (
	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/route"
)

// Hole is a pass-through with what goes through it.
type Hole struct {
	harness.Place
	Bundle  bundle.Run // the wires that go through
	Sleeves []bundle.Sleeve
	Beside  [2]string // the places next to it: the first is on the side of the controller

	ends [2][]string // where the wires end on either side
	runs [2][]string // the runs on either side that they lie in
}

// holes makes a hole of every pass-through, in the order of places.
func (l *Looms) holes() map[string]*Hole {
	places := l.Build.Places.All()
	n := 0
	for i := range places {
		if places[i].Kind == harness.PassThrough {
			n++
		}
	}
	l.Holes = make([]Hole, 0, n)
	at := map[string]*Hole{}
	for i := range places {
		if places[i].Kind == harness.PassThrough {
			l.Holes = append(l.Holes, Hole{Place: places[i], Bundle: bundle.Run{ID: places[i].ID}})
			at[places[i].ID] = &l.Holes[len(l.Holes)-1]
		}
	}
	return at
}

// add puts a wire through the hole that its way has at i.
func (h *Hole) add(l *Looms, w Wire, in bundle.Wire, p route.Path, i int) {
	h.Bundle.Wires = append(h.Bundle.Wires, in)
	h.Sleeves = sleeved(h.Sleeves, in.Sleeve)
	before, after := 0, 1
	if l.depth[p.Places[i+1]] < l.depth[p.Places[i-1]] {
		before, after = 1, 0
	}
	for _, s := range [2]struct {
		side        int
		beside, end string
		run         string
	}{{before, p.Places[i-1], p.Places[0], p.Runs[i-1]}, {after, p.Places[i+1], p.Places[len(p.Places)-1], p.Runs[i]}} {
		if h.Beside[s.side] == "" {
			h.Beside[s.side] = s.beside
		}
		h.ends[s.side] = with(h.ends[s.side], s.end)
		h.runs[s.side] = with(h.runs[s.side], s.run)
	}
}

func with(list []string, one string) []string {
	for _, x := range list {
		if x == one {
			return list
		}
	}
	return append(list, one)
}

// Diameter returns what the wires in a hole come to, in mm; 0 if a diameter is not known or there are none.
func (h Hole) Diameter(pack bundle.Packer) (float64, error) {
	b, err := bundle.Lay(bundle.Parts(h.Bundle.Wires, h.Sleeves), pack)
	if err != nil || !b.Known() {
		return 0, err
	}
	return b.Diameter, nil
}

// Pull says how the loom gets through a hole: of its wires together in mm and of each run, 0 where that is not known. The
// side that a person chose to pull from counts.
func (l *Looms) Pull(h Hole, together float64, diameter func(run string) float64) bundle.Pull {
	t := bundle.Through{ID: h.ID, Slit: h.Slit, Bundle: together}
	if h.Hole != nil {
		t.Hole = h.Hole.MM()
	}
	if h.Bore != nil {
		t.Bore = h.Bore.MM()
	}
	for side := range t.Sides {
		t.Names[side] = l.Name(h.Beside[side])
		if h.Pull != "" && h.Pull == h.Beside[side] {
			t.Chosen = side + 1
		}
		for _, end := range h.ends[side] {
			p, _ := l.Build.Places.Get(end)
			if p.Made == harness.Yes || p.Made == harness.Unknown && p.Kind == harness.Controller {
				if b, is := l.connector(end); is {
					t.Sides[side] = append(t.Sides[side], b)
				}
			}
		}
		if side == 1 {
			t.Sides[side] = append(t.Sides[side], l.branches(h.Beside[side], h.runs[side], diameter)...)
		}
	}
	return bundle.Pulls(t)
}

// Ends returns the places where the wires end on a side.
func (h Hole) Ends(side int) []string { return h.ends[side] }
