package survey

import "slices"

// cell is one entry of a row: n times the run of a column.
type cell struct {
	col int
	n   whole
}

// line is a row of whole numbers by rising column, without its zeros.
type line []cell

// times returns a·l − b·m.
func (l line) times(a whole, m line, b whole) line {
	out := make(line, 0, len(l)+len(m))
	for i, j := 0, 0; i < len(l) || j < len(m); {
		switch {
		case j == len(m) || i < len(l) && l[i].col < m[j].col:
			out = append(out, cell{l[i].col, l[i].n.mul(a)})
			i++
		case i == len(l) || m[j].col < l[i].col:
			out = append(out, cell{m[j].col, m[j].n.mul(b).neg()})
			j++
		default:
			if n := l[i].n.mul(a).sub(m[j].n.mul(b)); n.sign() != 0 {
				out = append(out, cell{l[i].col, n})
			}
			i++
			j++
		}
	}
	return out
}

// at returns the entry of a column.
func (l line) at(col int) (n whole, ok bool) {
	i, ok := slices.BinarySearchFunc(l, col, func(c cell, col int) int { return c.col - col })
	if ok {
		n = l[i].n
	}
	return n, ok
}

// shrink divides a row by what its numbers have in common.
func (l line) shrink() line {
	var g whole
	for _, c := range l {
		if g = c.n.gcd(g); g.one() {
			return l
		}
	}
	for i := range l {
		l[i].n = l[i].n.over(g)
	}
	return l
}

// space is what a set of rows settles: their row space, kept in reduced echelon form and in whole numbers, so that it is
// exact. A column is free, or it has a row in which no other row's column occurs.
type space struct {
	row   []line // by column; nil where the column is free
	loose []int  // columns whose row has free columns in it
}

func newSpace(columns int) *space { return &space{row: make([]line, columns)} }

// reduce takes all settled columns out of a row, which may multiply it by a number. Nothing is left of a row that the
// space settles.
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
		d, _ := s.row[col].at(col)
		rest = rest.times(d, s.row[col], n).shrink()
	}
	return rest
}

// settles reports whether the rows of the space determine this one.
func (s *space) settles(l line) bool { return len(s.reduce(l)) == 0 }

// add puts a row into the space and reports whether it says something that the others did not.
func (s *space) add(l line) bool {
	r := s.reduce(l).shrink()
	if len(r) == 0 {
		return false
	}
	pivot := r[0]
	for _, c := range r {
		if c.n.abs().less(pivot.n.abs()) {
			pivot = c
		}
	}
	loose := s.loose[:0]
	for _, col := range s.loose {
		if n, ok := s.row[col].at(pivot.col); ok {
			s.row[col] = s.row[col].times(pivot.n, r, n).shrink()
		}
		if len(s.row[col]) > 1 {
			loose = append(loose, col)
		}
	}
	s.loose = loose
	s.row[pivot.col] = r
	if len(r) > 1 {
		s.loose = append(s.loose, pivot.col)
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
