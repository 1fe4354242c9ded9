package survey

import "slices"

// cell is one entry of a row: n times the run of a column.
type cell struct {
	col int
	n   residue
}

// line is a row by rising column, without its zeros.
type line []cell

// less returns l − b·m.
func (l line) less(m line, b residue) line {
	out := make(line, 0, len(l)+len(m))
	for i, j := 0, 0; i < len(l) || j < len(m); {
		switch {
		case j == len(m) || i < len(l) && l[i].col < m[j].col:
			out = append(out, l[i])
			i++
		case i == len(l) || m[j].col < l[i].col:
			out = append(out, cell{m[j].col, residue(0).sub(m[j].n.mul(b))})
			j++
		default:
			if n := l[i].n.sub(m[j].n.mul(b)); n != 0 {
				out = append(out, cell{l[i].col, n})
			}
			i++
			j++
		}
	}
	return out
}

// at returns the entry of a column.
func (l line) at(col int) (n residue, ok bool) {
	i, ok := slices.BinarySearchFunc(l, col, func(c cell, col int) int { return c.col - col })
	if ok {
		n = l[i].n
	}
	return n, ok
}

// space is what a set of rows settles: their row space, kept in reduced echelon form. A column is free, or it has a row that holds it
// once and in which no other row's column occurs.
//
// Rows are counted modulo a prime of 61 bits, so nothing is rounded. It says the same as whole numbers would, unless a
// determinant of the readings that is not 0 is a multiple of that prime: those of paths are 0, 1 or -1, and those of a few dozen
// small numbers are far below it.
type space struct {
	row   []line // by column; nil where the column is free
	loose []int  // columns whose row has free columns in it
}

func newSpace(columns int) *space { return &space{row: make([]line, columns)} }

// reduce takes all settled columns out of a row. Nothing is left of a row that the space settles.
func (s *space) reduce(l line) line {
	rest := make(line, 0, len(l))
	var entangled []int
	for _, c := range l {
		switch r := s.row[c.col]; {
		case r == nil:
			rest = append(rest, c)
		case len(r) > 1:
			rest = append(rest, c)
			entangled = append(entangled, c.col)
		}
	}
	for _, col := range entangled {
		n, _ := rest.at(col)
		rest = rest.less(s.row[col], n)
	}
	return rest
}

// settles reports whether the rows of the space determine this one.
func (s *space) settles(l line) bool { return len(s.reduce(l)) == 0 }

// add puts a row into the space and reports whether it says something that the others did not.
func (s *space) add(l line) bool {
	r := s.reduce(l)
	if len(r) == 0 {
		return false
	}
	pivot := r[0].col
	once := r[0].n.inverse()
	for i := range r {
		r[i].n = r[i].n.mul(once)
	}
	loose := s.loose[:0]
	for _, col := range s.loose {
		if n, ok := s.row[col].at(pivot); ok {
			s.row[col] = s.row[col].less(r, n)
		}
		if len(s.row[col]) > 1 {
			loose = append(loose, col)
		}
	}
	s.loose = loose
	s.row[pivot] = r
	if len(r) > 1 {
		s.loose = append(s.loose, pivot)
	}
	return true
}

// rank is how many rows of the space are independent.
func (s *space) rank() (n int) {
	for _, r := range s.row {
		if r != nil {
			n++
		}
	}
	return n
}

// with returns the other columns that a column is known together with, rising; none if it is settled or in no row.
func (s *space) with(col int) []int {
	in := map[int]bool{}
	take := func(r line) {
		if _, ok := r.at(col); !ok {
			return
		}
		for _, c := range r {
			if c.col != col {
				in[c.col] = true
			}
		}
	}
	if s.row[col] != nil {
		take(s.row[col])
	} else {
		for _, c := range s.loose {
			take(s.row[c])
		}
	}
	out := make([]int, 0, len(in))
	for c := range in {
		out = append(out, c)
	}
	slices.Sort(out)
	return out
}
