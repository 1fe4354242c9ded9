package board

import "math"

// wedges lays each tree in straight lines with every branch in a wedge of its own, as wide as its ends are many. Each wedge
// lies inside that of the branch it leaves, so no two lines can cross, whatever their lengths. It takes a large bench, and
// with many ends the angles are small: it is for what nothing else can lay.
func (s *shape) wedges() (lines [][]Point, at []Point) {
	n := len(s.Parent)
	lines, at = make([][]Point, n), make([]Point, n)
	low, high := make([]float64, n), make([]float64, n) // the wedge of a place's branches, in parts of a turn
	right := 0.0
	for _, root := range s.roots {
		// A wedge of less than half a turn holds what is moved along it. The whole turn of a root is shared by its branches; one
		// alone takes a part of it.
		low[root], high[root] = -0.5, 0.5
		left := math.Inf(1)
		var all []int
		for i := root; i < n; i++ {
			if s.root[i] == root {
				all = append(all, i)
			}
		}
		for _, i := range all {
			c := s.children[i]
			if len(c) == 0 {
				continue
			}
			wide, from := high[i]-low[i], low[i]
			for _, k := range c {
				part := wide * float64(s.leaves[k]) / float64(s.leaves[i])
				low[k], high[k] = from, from+part
				from += part
				if part > 0.45 {
					middle := low[k] + part/2
					low[k], high[k] = middle-0.225, middle+0.225
				}
				y, x := math.Sincos(2 * math.Pi * (low[k] + high[k]) / 2)
				at[k] = at[i].plus(Point{x, y}.times(s.Length[k]))
			}
		}
		for _, i := range all {
			left = min(left, at[i].X)
		}
		most := math.Inf(-1)
		for _, i := range all {
			at[i].X += right - left
			most = max(most, at[i].X)
		}
		right = most + 2*Rim
	}
	for i, p := range s.Parent {
		if p >= 0 {
			lines[i] = []Point{at[p], at[i]}
		}
	}
	return lines, at
}
