package joint

import "loomwright/calc/unit"

// lower returns a length that no tree goes below, at most the length of the tree that is known.
//
// A cut that parts the first end from another must be crossed by a run, whatever places are allowed. Cuts are paid for one
// after another, each by the cheapest run that still crosses it, and what is paid adds up.
//
// Source: Wong, A dual ascent approach for Steiner tree problems on a directed graph, Math. Programming 28 (1984).
func (s *search) lower(known unit.Length) unit.Length {
	r, root := s.r, s.ends[0]
	// Arc 2i goes along run i, arc 2i+1 against it.
	rest := make([]unit.Length, 2*len(r.runs))
	for i, run := range r.runs {
		rest[2*i], rest[2*i+1] = run.Length, run.Length
	}
	size := make([]int, len(s.ends)) // of the cut of each end when it was last looked at; it only grows
	done := make([]bool, len(s.ends))
	inside := make([]bool, r.places)
	var paid unit.Length
	for {
		end := -1
		for e := range s.ends {
			if !done[e] && (end < 0 || size[e] < size[end]) {
				end = e
			}
		}
		if end < 0 {
			break
		}
		cut := s.cut(s.ends[end], rest, inside)
		if inside[root] {
			done[end] = true
		} else if next := len(cut); next > size[end] {
			size[end] = next // perhaps another end has a smaller cut now
		} else {
			least := far
			for _, p := range cut {
				for _, i := range r.from[p] {
					if arc, from := into(r.runs[i], i, p); !inside[from] {
						least = min(least, rest[arc])
					}
				}
			}
			for _, p := range cut {
				for _, i := range r.from[p] {
					if arc, from := into(r.runs[i], i, p); !inside[from] {
						rest[arc] -= least
					}
				}
			}
			paid += least
		}
		for _, p := range cut {
			inside[p] = false
		}
	}
	return min(paid, known)
}

// into returns the arc of a run that leads into a place, and where it comes from.
func into(run Run, i, place int) (arc, from int) {
	if run.B == place {
		return 2 * i, run.A
	}
	return 2*i + 1, run.B
}

// cut returns the places from which an end can be reached over arcs that are paid for, and marks them.
func (s *search) cut(end int, rest []unit.Length, inside []bool) []int {
	cut := []int{end}
	inside[end] = true
	for k := 0; k < len(cut); k++ {
		p := cut[k]
		for _, i := range s.r.from[p] {
			if arc, from := into(s.r.runs[i], i, p); rest[arc] == 0 && !inside[from] {
				inside[from] = true
				cut = append(cut, from)
			}
		}
	}
	return cut
}
