package suspect

// forest joins points.
type forest []int32

func newForest(n int32) forest {
	f := make(forest, n)
	for i := range f {
		f[i] = int32(i)
	}
	return f
}

func (f forest) root(x int32) int32 {
	for f[x] != x {
		f[x] = f[f[x]]
		x = f[x]
	}
	return x
}

func (f forest) join(x, y int32) {
	if x, y = f.root(x), f.root(y); x != y {
		f[max(x, y)] = min(x, y)
	}
}

// labels returns the number of each point's group, from 0 in the order of their first point, and how many there are.
func (f forest) labels() (of []int32, n int32) {
	of = make([]int32, len(f))
	for i := range f {
		if r := f.root(int32(i)); r == int32(i) {
			of[i] = n
			n++
		} else {
			of[i] = of[r] // a root comes before the rest of its group
		}
	}
	return of, n
}
