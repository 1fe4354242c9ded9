package harness

import (
	"cmp"
	"maps"
	"slices"
)

// Table holds the records of one kind. Its zero value is empty and ready to use.
type Table[T any] struct {
	index
	values []T // by slot
	live   []T // in order; nil when it must be made again
	dead   []T // likewise, the deleted ones
}

func (t *Table[T]) put(id string, v T, gone bool, order float64) {
	slot, live, dead := t.index.put(id, gone, order)
	if slot == len(t.values) {
		t.values = append(t.values, v)
	} else {
		t.values[slot] = v
	}
	if live {
		t.live = nil
	}
	if dead {
		t.dead = nil
	}
}

// await keeps what puts deleted records of any table.
func (t *Table[T]) await(rest func()) { t.rest, t.dead = rest, nil }

// putLate keeps what puts a deleted record.
func (t *Table[T]) putLate(id string, read func()) {
	t.index.putLate(id, read)
	t.dead = nil
}

// Get returns a living record.
func (t *Table[T]) Get(id string) (v T, ok bool) {
	slot, ok := t.slots[id]
	if !ok || t.rows[slot].gone {
		return v, false
	}
	return t.values[slot], true
}

// Any returns a record whether it lives or is gone.
func (t *Table[T]) Any(id string) (v T, ok bool) {
	slot, ok := t.any(id)
	if !ok {
		return v, false
	}
	return t.values[slot], true
}

// All returns the living records by order, then id. The slice is shared: do not change it. After a Put the next
// call sorts again, O(n log n).
func (t *Table[T]) All() []T {
	if t.live == nil {
		t.live = t.at(t.sorted(false))
	}
	return t.live
}

// Len returns how many records live.
func (t *Table[T]) Len() int { return t.alive }

// Gone returns the records that were deleted, by id. The slice is shared, as that of All.
func (t *Table[T]) Gone() []T {
	if t.dead == nil {
		t.readAll()
		t.dead = t.at(t.sorted(true))
	}
	return t.dead
}

func (t *Table[T]) at(slots []int) []T {
	out := make([]T, len(slots))
	for i, s := range slots {
		out[i] = t.values[s]
	}
	return out
}

// clone returns a table of the same records. Deleted ones that were not read yet are read first: they would be read into
// this one.
func (t *Table[T]) clone() Table[T] {
	t.readAll()
	c := *t
	c.values, c.slots, c.rows, c.late = slices.Clone(t.values), maps.Clone(t.slots), slices.Clone(t.rows), nil
	return c
}

// index is what a table knows of its records, whatever they are: where each is, and in which order.
type index struct {
	slots map[string]int
	rows  []row
	alive int

	late map[string]func() // puts a deleted one that is not in rows yet
	rest func()            // puts deleted ones of any table
}

type row struct {
	id    string
	gone  bool
	order float64
}

// put returns the slot of a record, the next free one if it is new, and whether the living and the deleted are others now.
func (x *index) put(id string, gone bool, order float64) (slot int, live, dead bool) {
	slot, had := x.slots[id]
	if !had {
		if x.slots == nil {
			x.slots = make(map[string]int)
		}
		slot = len(x.rows)
		x.slots[id] = slot
		x.rows = append(x.rows, row{})
	}
	lived := had && !x.rows[slot].gone
	if lived {
		x.alive--
	}
	if !gone {
		x.alive++
	}
	dead = gone || had && !lived
	x.rows[slot] = row{id, gone, order}
	delete(x.late, id)
	return slot, lived || !gone, dead
}

func (x *index) putLate(id string, read func()) {
	if x.late == nil {
		x.late = make(map[string]func())
	}
	x.late[id] = read
}

// any returns the slot of a record; one that was not read yet is read.
func (x *index) any(id string) (slot int, ok bool) {
	slot, ok = x.slots[id]
	if !ok && x.rest != nil {
		x.rest()
		slot, ok = x.slots[id]
	}
	if read := x.late[id]; !ok && read != nil {
		read()
		slot, ok = x.slots[id]
	}
	return slot, ok
}

func (x *index) readAll() {
	if x.rest != nil {
		x.rest()
	}
	for _, read := range x.late {
		read()
	}
}

// sorted returns the slots of the living records by order, then id, or of the deleted ones by id.
func (x *index) sorted(gone bool) []int {
	var slots []int
	for i := range x.rows {
		if x.rows[i].gone == gone {
			slots = append(slots, i)
		}
	}
	slices.SortFunc(slots, func(i, j int) int {
		a, b := &x.rows[i], &x.rows[j]
		if !gone {
			if c := cmp.Compare(a.order, b.order); c != 0 {
				return c
			}
		}
		return cmp.Compare(a.id, b.id)
	})
	return slots
}
