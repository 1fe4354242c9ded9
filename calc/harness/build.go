package harness

import (
	"cmp"
	"fmt"
	"iter"
	"reflect"
	"slices"
)

// Build is the state of a build: every record by kind. Make one with NewBuild; the zero value has no tables.
type Build struct {
	Settings  Settings
	Places    Table[Place]
	Runs      Table[Run]
	Readings  Table[Reading]
	Looms     Table[Loom]
	Terminals Table[Terminal]
	Leads     Table[Lead]
	Wires     Table[Wire]
	Joints    Table[Joint]
	Tags      Table[Tag]

	Connectors Table[Connector]
	Parts      Table[Part]
	Taps       Table[Tap]
	Circuits   Table[Circuit]
}

// NewBuild returns an empty build with this id.
func NewBuild(id string) *Build {
	b := &Build{}
	b.Settings.ID = id
	return b
}

// Put decodes one record from a JSON object and stores it in place of the one with its id. Fields that this
// version does not know are ignored, and so are whole kinds: known is false then. Key case is exact.
// The error says which field is not what it should be; the build is then unchanged.
func (b *Build) Put(kind Kind, id string, object []byte) (known bool, err error) {
	return b.put(kind, id, func(into any) error { return unmarshal(object, into) })
}

// PutFields is Put of a record whose fields are known one by one, each a JSON value.
func (b *Build) PutFields(kind Kind, id string, fields iter.Seq2[string, []byte]) (known bool, err error) {
	return b.put(kind, id, func(into any) error { return unmarshalFields(fields, into) })
}

func (b *Build) put(kind Kind, id string, read func(into any) error) (known bool, err error) {
	switch kind {
	case KindSettings:
		var s Settings
		if err := read(&s); err != nil {
			return true, unreadable(kind, id, err)
		}
		s.ID = id
		b.Settings = s
	case KindPlace:
		err = put(&b.Places, kind, id, read)
	case KindRun:
		err = put(&b.Runs, kind, id, read)
	case KindReading:
		err = put(&b.Readings, kind, id, read)
	case KindLoom:
		err = put(&b.Looms, kind, id, read)
	case KindTerminal:
		err = put(&b.Terminals, kind, id, read)
	case KindLead:
		err = put(&b.Leads, kind, id, read)
	case KindWire:
		err = put(&b.Wires, kind, id, read)
	case KindJoint:
		err = put(&b.Joints, kind, id, read)
	case KindTag:
		err = put(&b.Tags, kind, id, read)
	case KindConnector:
		err = put(&b.Connectors, kind, id, read)
	case KindPart:
		err = put(&b.Parts, kind, id, read)
	case KindTap:
		err = put(&b.Taps, kind, id, read)
	case KindCircuit:
		err = put(&b.Circuits, kind, id, read)
	default:
		return false, nil
	}
	return true, err
}

func unreadable(kind Kind, id string, err error) error {
	return fmt.Errorf("harness: %s %q: %w", kind, id, err)
}

func put[T any, P interface {
	*T
	row
}](t *Table[T], kind Kind, id string, read func(into any) error) error {
	var v T
	if err := read(&v); err != nil {
		return unreadable(kind, id, err)
	}
	P(&v).record().ID = id
	t.put(id, v, P(&v).record().Gone, P(&v).place())
	return nil
}

// PutLate tells of a deleted record that read will Put when it is first asked for: few ever are, and a build that was
// worked on for long has more of them than of those that live. Of kinds with few deleted records it is read at once.
func (b *Build) PutLate(kind Kind, id string, read func()) {
	switch kind {
	case KindPlace:
		b.Places.putLate(id, read)
	case KindRun:
		b.Runs.putLate(id, read)
	case KindReading:
		b.Readings.putLate(id, read)
	case KindWire:
		b.Wires.putLate(id, read)
	case KindTag:
		b.Tags.putLate(id, read)
	default:
		read()
	}
}

// Encode returns the JSON object of a record: its fields as Put reads them, without those that are zero. It is
// how a screen makes the fields of a change from a plain struct. The keys come out in the order of the struct.
func Encode(record any) ([]byte, error) {
	object, err := marshal(nil, reflect.ValueOf(record))
	if err != nil {
		return nil, fmt.Errorf("harness: %w", err)
	}
	return object, nil
}

// Decode reads a JSON object as Encode writes it, into the struct or map that into points to. Unknown keys are passed over;
// key case is exact.
func Decode(object []byte, into any) error {
	if err := unmarshal(object, into); err != nil {
		return fmt.Errorf("harness: %w", err)
	}
	return nil
}

// row is what a Table needs to know of a record.
type row interface {
	record() *Record
	place() float64 // its place in the order of its kind
}

// Identity returns the record's id.
func (r *Record) Identity() string { return r.ID }

func (r *Record) record() *Record  { return r }
func (*Record) place() float64     { return 0 }
func (p *Place) place() float64    { return p.Order }
func (r *Run) place() float64      { return r.Order }
func (l *Loom) place() float64     { return l.Order }
func (t *Terminal) place() float64 { return t.Order }
func (l *Lead) place() float64     { return l.Order }
func (w *Wire) place() float64     { return w.Order }
func (j *Joint) place() float64    { return j.Order }

func (c *Connector) place() float64 { return c.Order }
func (p *Part) place() float64      { return p.Order }
func (t *Tap) place() float64       { return t.Order }
func (c *Circuit) place() float64   { return c.Order }

// Table holds the records of one kind. Its zero value is empty and ready to use.
type Table[T any] struct {
	rows map[string]entry[T]
	late map[string]func() // puts a deleted one that is not in rows yet
	live []T               // sorted; nil when it must be made again
	dead []T               // likewise, the deleted ones

	alive int
}

type entry[T any] struct {
	value T
	gone  bool
	order float64
}

func (t *Table[T]) put(id string, v T, gone bool, order float64) {
	if t.rows == nil {
		t.rows = make(map[string]entry[T])
	}
	old, had := t.rows[id]
	if gone || had && old.gone {
		t.dead = nil
	}
	if was := had && !old.gone; !gone || was {
		t.live = nil
		if was {
			t.alive--
		}
		if !gone {
			t.alive++
		}
	}
	t.rows[id] = entry[T]{v, gone, order}
	delete(t.late, id)
}

func (t *Table[T]) putLate(id string, read func()) {
	if t.late == nil {
		t.late = make(map[string]func())
	}
	t.late[id], t.dead = read, nil
}

// Get returns a living record.
func (t *Table[T]) Get(id string) (v T, ok bool) {
	e, ok := t.rows[id]
	if !ok || e.gone {
		return v, false
	}
	return e.value, true
}

// Any returns a record whether it lives or is gone.
func (t *Table[T]) Any(id string) (v T, ok bool) {
	if read, ok := t.late[id]; ok {
		read()
	}
	e, ok := t.rows[id]
	return e.value, ok
}

// All returns the living records by order, then id. The slice is shared: do not change it. After a Put the next
// call sorts again, O(n log n).
func (t *Table[T]) All() []T {
	if t.live == nil {
		t.live = t.sorted(false)
	}
	return t.live
}

// sorted returns the living records by order, then id, or the deleted ones by id.
func (t *Table[T]) sorted(gone bool) []T {
	keys := make([]rank, 0, len(t.rows))
	for id, e := range t.rows {
		switch {
		case e.gone != gone:
		case gone:
			keys = append(keys, rank{id: id})
		default:
			keys = append(keys, rank{e.order, id})
		}
	}
	byRank(keys)
	out := make([]T, len(keys))
	for i, k := range keys {
		out[i] = t.rows[k.id].value
	}
	return out
}

// rank is where a record stands among those of its kind.
type rank struct {
	order float64
	id    string
}

func byRank(keys []rank) {
	slices.SortFunc(keys, func(a, b rank) int { return cmp.Or(cmp.Compare(a.order, b.order), cmp.Compare(a.id, b.id)) })
}

// Len returns how many records live.
func (t *Table[T]) Len() int { return t.alive }

// Gone returns the records that were deleted, by id. The slice is shared, as that of All.
func (t *Table[T]) Gone() []T {
	if t.dead == nil {
		for _, read := range t.late {
			read()
		}
		t.dead = t.sorted(true)
	}
	return t.dead
}
