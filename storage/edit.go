package storage

import (
	"bytes"
	"fmt"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
)

// Ref names a line: the device that wrote it, and its number there, from 1 without gaps. The zero Ref names none.
type Ref struct {
	Device string
	N      int64
}

// Edit is one tap: atomic, one line, one transaction, one step of undo, however many records it touches.
// A line with Seen is a merge: from here on its device has seen those lines, and all that they had seen.
type Edit struct {
	Device  string
	N       int64
	Clock   int64  // logical: 1 + the highest its device had seen
	At      string // RFC 3339, the phone's time: only for show, it orders nothing
	Undoes  int64  // the line of this same device that it reverts, 0 for none
	Seen    map[string]int64
	Changes []Change
}

// Ref returns the name of the edit.
func (e Edit) Ref() Ref { return Ref{e.Device, e.N} }

// Line is an edit and the exact bytes it was read from or written as, without the newline. The bytes are what is
// stored and sent on, so what a newer version put in them is kept. Make lines with ParseLine or a Log's methods.
type Line struct {
	Edit
	Raw []byte
}

// Change is what an edit does to one record. Set replaces whole fields and null removes one; Was is what they were,
// and lacks those that were not there.
type Change struct {
	Kind harness.Kind
	ID   string
	Set  Fields
	Was  Fields

	err error // of making it; Commit returns it
}

// Field is one top-level field of a record, by its JSON name and value.
type Field struct {
	Name  string
	Value jsontext.Value
}

// Fields are fields in the order they were written.
type Fields []Field

// Get returns the value of a field; ok is false where it is not among these.
func (f Fields) Get(name string) (value jsontext.Value, ok bool) {
	for i := range f {
		if f[i].Name == name {
			return f[i].Value, true
		}
	}
	return nil, false
}

// text returns a field that is a text, "" if it is not there.
func (f Fields) text(name string) (string, error) {
	v, ok := f.Get(name)
	if !ok {
		return "", nil
	}
	text, err := unquoted(v)
	return string(text), err
}

// number returns a field that is a whole number, 0 if it is not there.
func (f Fields) number(name string) (int64, error) {
	v, ok := f.Get(name)
	if !ok {
		return 0, nil
	}
	return wholeNumber(v)
}

// goneField is the field that deletes: true in a record that is gone.
const goneField = "gone"

var (
	jsonTrue = jsontext.Value("true")
	jsonNull = jsontext.Value("null")
)

// Put returns the change that makes old into new: the fields that differ, with null for those that became zero.
// For a new record pass the zero value as old. T is one of the record types of package harness.
func Put[T any](kind harness.Kind, id string, old, new T) Change {
	c := Change{Kind: kind, ID: id}
	was, err := encodeFields(old)
	if err == nil {
		c.Set, err = encodeFields(new)
	}
	if err != nil {
		return Change{Kind: kind, ID: id, err: fmt.Errorf("storage: %s %q: %w", kind, id, err)}
	}
	now := c.Set
	c.Set = nil
	for _, f := range now {
		if v, ok := was.Get(f.Name); !ok || !bytes.Equal(v, f.Value) {
			c.Set = append(c.Set, f)
		}
	}
	for _, f := range was {
		if _, ok := now.Get(f.Name); !ok {
			c.Set = append(c.Set, Field{f.Name, jsonNull})
		}
	}
	return c
}

// Delete returns the change that makes a record gone. All its fields stay, so Undelete gives everything back.
func Delete(kind harness.Kind, id string) Change {
	return Change{Kind: kind, ID: id, Set: Fields{{goneField, jsonTrue}}}
}

// Undelete returns the change that brings a record back.
func Undelete(kind harness.Kind, id string) Change {
	return Change{Kind: kind, ID: id, Set: Fields{{goneField, jsonNull}}}
}

// Choose returns the change that settles a conflict in favour of a value: a side's, or the one that is shown.
// On the field "gone" of a record that one phone deleted and another edited, true leaves it deleted and null
// brings it back.
func Choose(c Conflict, value jsontext.Value) Change {
	return Change{Kind: c.Kind, ID: c.ID, Set: Fields{{c.Field, value}}}
}

func encodeFields(record any) (Fields, error) {
	object, err := harness.Encode(record)
	if err != nil {
		return nil, err
	}
	var p parser
	p.begin(object)
	fields, _, err := p.fields(object)
	return fields, err
}

// ProposedID is harness.ProposedID.
func ProposedID(kind harness.Kind, source ...string) string {
	return harness.ProposedID(kind, source...)
}
