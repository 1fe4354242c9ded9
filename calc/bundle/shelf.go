package bundle

import (
	"cmp"
	"encoding/binary"
	"errors"
	"math"
	"slices"
)

// Shelf keeps packings by what is in them, so that changing one wire packs only the runs it is in. The zero value is empty.
// It is not safe for use at the same time from several places.
type Shelf struct {
	grade Grade
	kept  map[string]*shelved
	turn  int
	runs  []laid // of the last Runs, in its order
	used  []use  // what the run that is being laid takes; nil while none is

	slice   int         // work between two calls of between; 0 is all at once
	between func() bool // false stops; may be nil
}

type shelved struct {
	d       []float64 // largest first
	found   Packing   // as it was searched for, in that order
	packing Packing   // the same, or what a fuller one gives
	turn    int       // when it was last asked for
}

// laid is a run as it was packed last, and what it took from the shelf for that: first, and when all of the turn agreed.
type laid struct {
	run         Run
	first, used []use
	packed      Packed
}

// use is a packing, as it was when it was taken.
type use struct {
	from    *shelved
	packing Packing
}

// as reports whether a run is as it was packed last.
func (l *laid) as(r Run) bool {
	return l.run.ID == r.ID && l.run.Length == r.Length && l.run.Cover == r.Cover && slices.Equal(l.run.Wires, r.Wires)
}

// holds reports whether what the run took is still what would be taken.
func (l *laid) holds() bool {
	for _, u := range l.used {
		if u.from.packing.Diameter != u.packing.Diameter || !slices.Equal(u.from.packing.Centres, u.packing.Centres) {
			return false
		}
	}
	return true
}

// before returns run i of the last Runs if it is as it was; nil if not.
func (s *Shelf) before(i int, r Run) *laid {
	if i < len(s.runs) && s.runs[i].as(r) {
		return &s.runs[i]
	}
	return nil
}

// NewShelf returns an empty shelf for packings of one grade.
func NewShelf(grade Grade) *Shelf { return &Shelf{grade: grade, kept: map[string]*shelved{}} }

// ErrStopped is what packing ends with when it was told to.
var ErrStopped = errors.New("bundle: stopped")

// slice is the work between two chances to stop or to draw.
//
// Source: our choice: 3 ms in a browser, and less than a frame on a phone of a quarter of its speed.
const slice = 300_000

// NewPaced is NewShelf that packs slice after slice and calls between after each; packing ends with ErrStopped when it says
// false. nil goes on. What is found does not depend on between.
func NewPaced(grade Grade, between func() bool) *Shelf {
	s := NewShelf(grade)
	s.slice, s.between = slice, between
	return s
}

// pack packs what is not on the shelf.
func (s *Shelf) pack(d []float64) (Packing, error) {
	if s.slice == 0 {
		return Pack(d, s.grade)
	}
	in, err := NewSearch(d)
	if err != nil {
		return Packing{}, err
	}
	for left := s.grade.Work(d); left > 0 && !in.Exact(); left -= s.slice {
		in.Step(min(left, s.slice))
		if s.between != nil && !s.between() {
			return Packing{}, ErrStopped
		}
	}
	return in.Packing(), nil
}

// Pack is Pack, from the shelf where the same diameters were packed before.
func (s *Shelf) Pack(diameters []float64) (Packing, error) {
	order := make([]int, len(diameters))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(diameters[b], diameters[a]) })
	d := make([]float64, len(order))
	for k, i := range order {
		d[k] = diameters[i]
	}
	key := keyOf(d)
	if s.kept == nil {
		s.kept = map[string]*shelved{}
	}
	have, ok := s.kept[key]
	if !ok {
		p, err := s.pack(d)
		if err != nil {
			return Packing{}, err
		}
		have = &shelved{d: d, found: p, packing: p}
		s.kept[key] = have
	}
	have.turn = s.turn
	if s.used != nil {
		s.used = append(s.used, use{have, have.packing})
	}
	p := Packing{Diameter: have.packing.Diameter, Centres: make([]Point, len(order))}
	for k, i := range order {
		p.Centres[i] = have.packing.Centres[k]
	}
	return p, nil
}

// Keep puts a packing that was refined elsewhere on the shelf, if it is tighter than the one there.
func (s *Shelf) Keep(diameters []float64, p Packing) {
	if len(p.Centres) != len(diameters) {
		return
	}
	if _, err := s.Pack(diameters); err != nil {
		return
	}
	if have := s.kept[keyOf(sorted(diameters))]; have.found.Diameter <= p.Diameter {
		return
	}
	d := slices.Clone(diameters)
	order := make([]int, len(d))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(d[b], d[a]) })
	to := &shelved{found: Packing{Diameter: p.Diameter}, turn: s.turn}
	for _, i := range order {
		to.d, to.found.Centres = append(to.d, d[i]), append(to.found.Centres, p.Centres[i])
	}
	to.packing = to.found
	s.kept[keyOf(to.d)] = to
	s.runs = nil
}

// Len returns how many packings are kept.
func (s *Shelf) Len() int { return len(s.kept) }

// begin starts a turn, and forgets what was not asked for in the last few, so that an undo finds its packings.
func (s *Shelf) begin() {
	const turns = 16
	s.turn++
	for key, have := range s.kept {
		if have.turn < s.turn-turns {
			delete(s.kept, key)
		}
	}
}

func sorted(diameters []float64) []float64 {
	d := slices.Clone(diameters)
	slices.SortFunc(d, func(a, b float64) int { return cmp.Compare(b, a) })
	return d
}

func keyOf(d []float64) string {
	key := make([]byte, 0, 8*len(d))
	for _, d := range d {
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(d))
	}
	return string(key)
}

// fewer returns the tighter packing for d that one of others gives, which holds all of d and more: what fits with more fits
// with fewer. Both lists of diameters are largest first.
func fewer(d []float64, than float64, others []*shelved) (p Packing, ok bool) {
	for _, o := range others {
		if o.packing.Diameter >= than || len(o.d) <= len(d) {
			continue
		}
		at := make([]Point, 0, len(d))
		k := 0
		for i := 0; i < len(o.d) && k < len(d); i++ {
			if o.d[i] == d[k] {
				at = append(at, o.packing.Centres[i])
				k++
			}
		}
		if k < len(d) {
			continue
		}
		x, y, r := make([]float64, k), make([]float64, k), make([]float64, k)
		for i, c := range at {
			x[i], y[i], r[i] = c.X, c.Y, d[i]/2
		}
		R := 0.0
		for i := range x {
			R = max(R, math.Hypot(x[i], y[i])+r[i])
		}
		than, p, ok = 2*R, Packing{2 * R, at}, true
	}
	return p, ok
}

// agree makes the packings of this turn agree with each other: none is wider than one that holds the same circles and more.
// The outcome depends only on what was asked for, not on the order or on earlier turns. Cost: packings² × circles.
func (s *Shelf) agree() {
	var all []*shelved
	for _, have := range s.kept {
		if have.turn == s.turn {
			have.packing = have.found
			all = append(all, have)
		}
	}
	// the fullest first, so that what they hand down is handed on
	slices.SortFunc(all, func(a, b *shelved) int {
		return cmp.Or(cmp.Compare(len(b.d), len(a.d)), slices.Compare(a.d, b.d))
	})
	for i, have := range all {
		if p, ok := fewer(have.d, have.packing.Diameter, all[:i]); ok {
			have.packing = p
		}
	}
}
