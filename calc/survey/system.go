package survey

import (
	"cmp"
	"maps"
	"math/big"
	"slices"

	"loomwright/calc/harness"
)

// equation says that a sum of runs equals a reading, or zero where it has none: then it says that joined runs add up.
type equation struct {
	coef    map[int]int64 // by column
	reading string
	later   int // the greater, the later it was read
	dead    bool
}

func (e *equation) add(column int, n int64) {
	if e.coef == nil {
		e.coef = map[int]int64{}
	}
	if e.coef[column] += n; e.coef[column] == 0 {
		delete(e.coef, column)
	}
}

// combo is a sum of readings: how many times each counts.
type combo map[string]*big.Rat

func (c combo) add(d combo, times *big.Rat) {
	one := times.IsInt() && times.Num().CmpAbs(big.NewInt(1)) == 0 // nearly always
	for id, n := range d {
		v := new(big.Rat).Set(n)
		if !one {
			v.Mul(v, times)
		} else if times.Sign() < 0 {
			v.Neg(v)
		}
		if old := c[id]; old != nil {
			v.Add(v, old)
		}
		if c[id] = v; v.Sign() == 0 {
			delete(c, id)
		}
	}
}

// row is an equation with the known runs taken out: Σ coef × run = value, which is the combo of readings.
type row struct {
	coef  map[int]*big.Rat
	value *big.Rat
	combo combo
}

// system is the equations of a build and what follows from them. A column is a run, living or gone.
type system struct {
	b              *harness.Build
	columns        map[string]int
	names          []string // of columns
	readings       map[string]record
	equations      []*equation
	value          []*big.Rat      // by column; nil is not known
	combo          []combo         // by column
	rows           map[int]*row    // by pivot, reduced
	bad            map[string]bool // readings of rows that give a run zero or less
	contradictions []Contradiction
}

func newSystem(b *harness.Build) *system {
	return &system{b: b, columns: map[string]int{}, readings: map[string]record{}, rows: map[int]*row{}, bad: map[string]bool{}}
}

func (s *system) column(run string) int {
	c, ok := s.columns[run]
	if !ok {
		c = len(s.names)
		s.columns[run] = c
		s.names = append(s.names, run)
		s.value = append(s.value, nil)
		s.combo = append(s.combo, nil)
	}
	return c
}

// reduce takes the known runs out of an equation.
func (s *system) reduce(e *equation) *row {
	r := &row{map[int]*big.Rat{}, new(big.Rat), combo{}}
	if e.reading != "" {
		r.value.SetInt64(int64(s.readings[e.reading].Value))
		r.combo[e.reading] = big.NewRat(1, 1)
	}
	for c, n := range e.coef {
		coef := big.NewRat(n, 1)
		if s.value[c] == nil {
			r.coef[c] = coef
			continue
		}
		coef.Neg(coef)
		r.value.Add(r.value, new(big.Rat).Mul(coef, s.value[c]))
		r.combo.add(s.combo[c], coef)
	}
	return r
}

// propagate settles, again and again, the one unknown run of an equation.
func (s *system) propagate() {
	for again := true; again; {
		again = false
		for _, e := range s.equations {
			unknown, n := -1, 0
			for c := range e.coef {
				if s.value[c] == nil {
					unknown = c
					n++
				}
			}
			if n != 1 || e.dead {
				continue
			}
			r := s.reduce(e)
			r.scale(r.coef[unknown])
			if r.value.Sign() <= 0 {
				e.dead = true
				s.contradict(unknown, r, e.reading)
				continue
			}
			s.value[unknown], s.combo[unknown] = r.value, r.combo
			again = true
		}
	}
}

// settled reports whether every run of an equation is known.
func (s *system) settled(e *equation) bool {
	for c := range e.coef {
		if s.value[c] == nil {
			return false
		}
	}
	return true
}

func (s *system) contradict(column int, r *row, last string) {
	ids := slices.Sorted(maps.Keys(r.combo))
	if i := slices.Index(ids, last); i >= 0 {
		ids = append(slices.Delete(ids, i, i+1), last)
	}
	s.contradictions = append(s.contradictions, Contradiction{s.names[column], ceil(r.value), ids})
}

// scale divides a row.
func (r *row) scale(by *big.Rat) {
	inv := new(big.Rat).Inv(by)
	for _, v := range r.coef {
		v.Mul(v, inv)
	}
	r.value.Mul(r.value, inv)
	for _, v := range r.combo {
		v.Mul(v, inv)
	}
}

// subtract takes times × o from r.
func (r *row) subtract(o *row, times *big.Rat) {
	minus := new(big.Rat).Neg(times)
	for c, n := range o.coef {
		v := new(big.Rat).Mul(n, minus)
		if old := r.coef[c]; old != nil {
			v.Add(v, old)
		}
		if r.coef[c] = v; v.Sign() == 0 {
			delete(r.coef, c)
		}
	}
	r.value.Add(r.value, new(big.Rat).Mul(minus, o.value))
	r.combo.add(o.combo, minus)
}

// eliminate brings the equations that are left into reduced row echelon form (Gauss and Jordan, exact): a run is settled
// if its row holds nothing else. A settled run at zero or less takes all that stand on the same readings with it.
func (s *system) eliminate() {
	for _, e := range s.equations {
		if e.dead || s.settled(e) {
			continue
		}
		r := s.reduce(e)
		for _, c := range slices.Sorted(maps.Keys(r.coef)) {
			if p := s.rows[c]; p != nil && r.coef[c] != nil {
				r.subtract(p, new(big.Rat).Set(r.coef[c]))
			}
		}
		if len(r.coef) == 0 {
			continue // it follows from the others
		}
		pivot := slices.Min(slices.Collect(maps.Keys(r.coef)))
		r.scale(r.coef[pivot])
		for _, c := range slices.Sorted(maps.Keys(s.rows)) {
			if p := s.rows[c]; p.coef[pivot] != nil {
				p.subtract(r, new(big.Rat).Set(p.coef[pivot]))
			}
		}
		s.rows[pivot] = r
	}
	pivots := slices.Sorted(maps.Keys(s.rows))
	for _, c := range pivots {
		if r := s.rows[c]; len(r.coef) == 1 && r.value.Sign() <= 0 {
			s.contradict(c, r, "")
			for id := range r.combo {
				s.bad[id] = true
			}
		}
	}
	for _, c := range pivots {
		r := s.rows[c]
		if len(r.coef) == 1 && !s.suspect(r.combo) {
			s.value[c], s.combo[c] = r.value, r.combo
		}
	}
}

func (s *system) suspect(c combo) bool {
	for id := range c {
		if s.bad[id] {
			return true
		}
	}
	return false
}

// express writes a sum of unknown runs as a sum of readings, and returns its value; ok is false if the readings do not
// settle it, or contradict a run. It uses up the row.
func (s *system) express(coef map[int]*big.Rat) (value *big.Rat, from combo, ok bool) {
	r := &row{coef, new(big.Rat), combo{}}
	for _, c := range slices.Sorted(maps.Keys(coef)) {
		if p := s.rows[c]; p != nil && r.coef[c] != nil {
			r.subtract(p, new(big.Rat).Set(r.coef[c]))
		}
	}
	r.value.Neg(r.value)
	negative := combo{}
	negative.add(r.combo, big.NewRat(-1, 1))
	return r.value, negative, len(r.coef) == 0 && !s.suspect(negative)
}

// describe says what is known of a run.
func (s *system) describe(id string) Known {
	k := Known{Run: id}
	c, ok := s.columns[id]
	if !ok {
		k.Why = NoReading
		return k
	}
	if s.value[c] == nil {
		return s.unknown(k, c)
	}
	k.Length = ceil(s.value[c])
	plus, minus, odd := 0, 0, false
	for _, reading := range slices.Sorted(maps.Keys(s.combo[c])) {
		n := s.combo[c][reading]
		r := s.readings[reading]
		k.Terms = append(k.Terms, Term{reading, n.Num().Int64(), n.Denom().Int64(), r.Value})
		k.Guess = k.Guess || r.Method == harness.ByGuess
		if n.Sign() > 0 {
			plus++
		} else {
			minus++
		}
		odd = odd || !n.IsInt() || n.Num().CmpAbs(big.NewInt(1)) != 0
		if n.Sign() > 0 && k.Split == "" {
			k.Split = s.split(r, id)
		}
	}
	// What is added first, longest first; then what is taken away.
	slices.SortStableFunc(k.Terms, func(a, b Term) int {
		if added := a.Num > 0; added != (b.Num > 0) {
			if added {
				return -1
			}
			return 1
		}
		return cmp.Compare(b.Value, a.Value)
	})
	switch {
	case odd, plus > 1 && minus > 0:
		k.How = Solved
	case plus == 1 && minus == 0:
		k.How = OwnReading
	case minus == 0:
		k.How = SumOf
	case k.Split != "":
		k.How = SplitPart
	default:
		k.How = Difference
	}
	if k.How != SplitPart {
		k.Split = ""
	}
	return k
}

// split returns the run that a reading passes under its old name and that was split into this run and others.
func (s *system) split(r record, run string) string {
	t := &tracer{b: s.b}
	for _, id := range r.Runs {
		if was, ok := s.b.Runs.Any(id); ok && was.Gone && slices.Contains(t.parts(was, nil), run) {
			return id
		}
	}
	return ""
}

// unknown says why a run that readings pass is not settled.
func (s *system) unknown(k Known, column int) Known {
	for _, c := range s.contradictions {
		if c.Run == k.Run {
			k.Why, k.Readings = Contradicted, c.Readings
			return k
		}
	}
	with := map[string]bool{}
	for pivot, r := range s.rows {
		if r.coef[column] == nil {
			continue
		}
		if len(r.coef) == 1 && pivot == column { // settled, but by readings that contradict another run
			k.Why, k.Readings = Contradicted, slices.Sorted(maps.Keys(r.combo))
			return k
		}
		for c := range r.coef {
			if c != column {
				with[s.names[c]] = true
			}
		}
	}
	if len(with) == 0 {
		k.Why = NoReading
		return k
	}
	k.Why, k.With = Together, slices.Sorted(maps.Keys(with))
	return k
}
