package storage

import (
	"bytes"
	"cmp"
	"errors"
	"slices"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
)

// key names a record.
type key struct {
	kind harness.Kind
	id   string
}

// record is one record as raw fields, in the order in which they first came.
type record struct {
	key
	fields []field
	byName map[string]int // index in fields, from manyFields on
	lines  []int32        // positions in Log.lines of the edits that changed it
	old    bool           // came from a snapshot: lines lacks the earlier ones
}

// field is the present value of a field, and who set it.
type field struct {
	name  string
	value jsontext.Value // nil when there is none
	by    stamp          // the last in order that set it
	rival []setter       // the others that no later edit has seen; empty unless phones disagreed or agreed by chance
}

// setter is an edit and the value it gave to a field.
type setter struct {
	by    stamp
	value jsontext.Value
}

// manyFields is the number of fields from which a map finds one faster than looking at each. Our choice; only a file
// made to be slow has records with so many.
const manyFields = 64

func (r *record) field(name string) *field {
	if r == nil {
		return nil
	}
	if r.byName != nil {
		if i, ok := r.byName[name]; ok {
			return &r.fields[i]
		}
		return nil
	}
	for i := range r.fields {
		if r.fields[i].name == name {
			return &r.fields[i]
		}
	}
	return nil
}

// add adds a field that the record does not have.
func (r *record) add(f field) {
	r.fields = append(r.fields, f)
	switch {
	case r.byName != nil:
		r.byName[f.name] = len(r.fields) - 1
	case len(r.fields) == manyFields:
		r.byName = make(map[string]int, 2*manyFields)
		for i := range r.fields {
			r.byName[r.fields[i].name] = i
		}
	}
}

func (r *record) value(name string) jsontext.Value {
	if f := r.field(name); f != nil {
		return f.value
	}
	return nil
}

func (r *record) gone() bool { return r != nil && isTrue(r.value(goneField)) }

func isTrue(v jsontext.Value) bool { return v.Kind() == 't' }

// values goes through the fields that the record has.
func (r *record) values(yield func(name string, value []byte) bool) {
	for i := range r.fields {
		if f := &r.fields[i]; f.value != nil && !yield(f.name, f.value) {
			return
		}
	}
}

// object returns the record as a JSON object.
func (r *record) object() []byte {
	fields := make(Fields, 0, len(r.fields))
	for _, f := range r.fields {
		if f.value != nil {
			fields = append(fields, Field{f.name, f.value})
		}
	}
	return appendFields(nil, fields)
}

// fold applies a line that comes after all others, to the raw fields; put then carries the touched records over to
// the typed state. Cost: O(changes), plus the number of devices for a line that declares what it has seen.
func (l *Log) fold(line Line, touched map[*record]bool) {
	dev := l.device(line.Device)
	d := l.devices[dev]
	x := stamp{dev, line.N}
	pos := int32(len(l.lines))
	l.lines = append(l.lines, line)
	d.last = max(d.last, line.N)
	l.clock, l.last, l.conflicts = max(l.clock, line.Clock), line, nil
	if len(line.Seen) > 0 {
		l.declare(x, line.Seen)
	}
	d.step(line)
	l.index(pos, line)
	for i := range line.Changes {
		c := &line.Changes[i]
		r := l.find(key{c.Kind, c.ID})
		for _, f := range c.Set {
			l.set(r, x, f)
		}
		if touched != nil {
			touched[r] = true
		}
	}
}

// index notes where a line stands, for its device and its records.
func (l *Log) index(pos int32, line Line) {
	d := l.devices[l.byID[line.Device]]
	at := len(d.lines)
	if at > 0 && l.lines[d.lines[at-1]].N > line.N {
		at, _ = slices.BinarySearchFunc(d.lines, line.N, func(pos int32, n int64) int { return cmp.Compare(l.lines[pos].N, n) })
	}
	d.lines = slices.Insert(d.lines, at, pos)
	for i := range line.Changes {
		k := key{line.Changes[i].Kind, line.Changes[i].ID}
		r := l.find(k)
		if r == nil {
			r = &record{key: k}
			l.records[k] = r
		}
		r.lines = append(r.lines, pos)
	}
}

// set applies a field's new value. Of those that set it before, only the ones that x had not seen stay rivals.
func (l *Log) set(r *record, x stamp, f Field) {
	value := f.Value
	if value.Kind() == 'n' {
		value = nil
	}
	old := r.field(f.Name)
	if old == nil {
		r.add(field{name: f.Name, value: value, by: x})
		return
	}
	if len(old.rival) > 0 || !l.saw(x, old.by) {
		rival := append(old.rival, setter{old.by, old.value})
		old.rival = slices.DeleteFunc(rival, func(s setter) bool { return l.saw(x, s.by) })
	}
	old.value, old.by = value, x
}

// put carries a record over to the typed state. Fields were checked when their lines came in; one that this version
// knows by another type than the version that let it in is left out.
func (l *Log) put(r *record) {
	if r.kind == harness.KindSettings && r.id != l.build {
		return // settings of another build have no place here; their lines are kept
	}
	if _, err := l.state.PutFields(r.kind, r.id, r.values); err == nil {
		return
	}
	fit := &record{key: r.key}
	for _, f := range r.fields {
		if f.value == nil || harness.CheckFields(r.kind, appendFields(nil, Fields{{f.name, f.value}})) == nil {
			fit.fields = append(fit.fields, f)
		}
	}
	_, _ = l.state.PutFields(r.kind, r.id, fit.values) // fields that fit one by one fit together
}

// same reports whether two values mean the same. Nil is null. The order of the names in an object, escapes and the
// way a fraction is written do not matter.
func same(a, b jsontext.Value) bool {
	if a.Kind() == 'n' {
		a = nil
	}
	if b.Kind() == 'n' {
		b = nil
	}
	if a == nil || b == nil {
		return a == nil && b == nil
	}
	if bytes.Equal(a, b) {
		return true
	}
	if a.Kind() != b.Kind() {
		return false
	}
	return bytes.Equal(canonical(a), canonical(b))
}

func canonical(v jsontext.Value) jsontext.Value {
	c := v.Clone()
	if c.Format(jsontext.ReorderRawObjects(true), jsontext.CanonicalizeRawFloats(true)) != nil {
		return v
	}
	return c
}

// clean brings a value to one line without blanks. An empty value is null.
func clean(v *jsontext.Value) error {
	if len(*v) == 0 {
		*v = jsonNull
	}
	c := v.Clone()
	if c.Compact() != nil {
		return errors.New("not a JSON value")
	}
	*v = c
	return nil
}
