package storage

import (
	"cmp"
	"slices"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// Conflict is a field of which two phones gave different values, neither having seen the other. It stays open until
// an edit that has seen both sets the field (see Choose).
//
// An edit that was replaced by a later one which had seen it is history, not a side: the sides are the last word of
// each phone. If those agree, there is no conflict.
//
// Where one phone deleted a record and another edited it, the field is "gone": the record stays deleted, and the
// sides are those that set "gone" and the edits of other fields that no deletion had seen and that had seen none.
type Conflict struct {
	Kind  harness.Kind
	ID    string
	Field string
	Shown jsontext.Value // nil for none
	Sides []Side         // at least two, by device and number
}

// Side is one phone's word in a conflict.
type Side struct {
	Ref
	Field string         // as in the conflict, or the field edited in a record that another phone deleted
	Value jsontext.Value // nil for none
}

// Conflicts returns the open conflicts by kind, id and field. Cost: O(state) after a change, else nothing.
func (l *Log) Conflicts() []Conflict {
	if l.conflicts != nil {
		return l.conflicts
	}
	l.conflicts = []Conflict{}
	for _, r := range l.whole() {
		for i := range r.fields {
			if c, ok := l.conflict(r, &r.fields[i]); ok {
				l.conflicts = append(l.conflicts, c)
			}
		}
	}
	sorting.By(l.conflicts, func(a, b Conflict) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.ID, b.ID), cmp.Compare(a.Field, b.Field))
	})
	return l.conflicts
}

// contested reports whether a field is in conflict.
func (l *Log) contested(r *record, name string) bool {
	f := r.field(name)
	if f == nil {
		return false
	}
	_, ok := l.conflict(r, f)
	return ok
}

func (l *Log) conflict(r *record, f *field) (Conflict, bool) {
	open := false
	for _, s := range f.rival {
		open = open || !same(s.value, f.value)
	}
	c := Conflict{Kind: r.kind, ID: r.id, Field: f.name, Shown: f.value}
	for _, s := range f.setters() {
		c.Sides = append(c.Sides, Side{l.ref(s.by), f.name, s.value})
	}
	if f.name == goneField {
		gone := slices.DeleteFunc(f.setters(), func(s setter) bool { return !isTrue(s.value) })
		for i := range r.fields {
			other := &r.fields[i]
			if len(gone) == 0 || other == f {
				continue
			}
			for _, s := range other.setters() {
				if !slices.ContainsFunc(gone, func(g setter) bool { return g.by == s.by || l.saw(g.by, s.by) || l.saw(s.by, g.by) }) {
					open = true
					c.Sides = append(c.Sides, Side{l.ref(s.by), other.name, s.value})
				}
			}
		}
	}
	if !open {
		return Conflict{}, false
	}
	sorting.By(c.Sides, func(a, b Side) int {
		return cmp.Or(cmp.Compare(a.Device, b.Device), cmp.Compare(a.N, b.N), cmp.Compare(a.Field, b.Field))
	})
	return c, true
}

// setters returns all that no later edit of the field has seen.
func (f *field) setters() []setter {
	return append(slices.Clone(f.rival), setter{f.by, f.value})
}
