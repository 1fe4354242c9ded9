package harness

import (
	"fmt"
	"iter"
	"reflect"
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

	Dismissals Table[Dismissal]

	Stocks  Table[Stock]
	Ticks   Table[Tick]
	Samples Table[Sample]

	Hunts      Table[Hunt]
	Photos     Table[Photo]
	Amendments Table[Amendment]

	Results    Table[Result]
	Expects    Table[Expect]
	Calipers   Table[Caliper]
	CoverSizes Table[CoverSize]
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
	case KindDismissal:
		err = put(&b.Dismissals, kind, id, read)
	case KindStock:
		err = put(&b.Stocks, kind, id, read)
	case KindTick:
		err = put(&b.Ticks, kind, id, read)
	case KindHunt:
		err = put(&b.Hunts, kind, id, read)
	case KindPhoto:
		err = put(&b.Photos, kind, id, read)
	case KindAmendment:
		err = put(&b.Amendments, kind, id, read)
	case KindSample:
		err = put(&b.Samples, kind, id, read)
	case KindResult:
		err = put(&b.Results, kind, id, read)
	case KindExpect:
		err = put(&b.Expects, kind, id, read)
	case KindCaliper:
		err = put(&b.Calipers, kind, id, read)
	case KindCoverSize:
		err = put(&b.CoverSizes, kind, id, read)
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
	placed
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

// PutRest tells of deleted records of any kind that read will Put, or PutLate, when one that is not there is first asked
// for.
func (b *Build) PutRest(read func()) {
	tables := []interface{ await(func()) }{&b.Places, &b.Runs, &b.Readings, &b.Looms, &b.Terminals, &b.Leads, &b.Wires, &b.Joints,
		&b.Tags, &b.Connectors, &b.Parts, &b.Taps, &b.Circuits, &b.Dismissals, &b.Stocks, &b.Ticks, &b.Samples, &b.Results, &b.Expects, &b.Calipers, &b.CoverSizes,
		&b.Hunts, &b.Photos, &b.Amendments}
	for _, t := range tables {
		t.await(func() {
			for _, t := range tables {
				t.await(nil)
			}
			read()
		})
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

// Decode reads a JSON object that Encode wrote, into the struct or map that into points to. Unknown keys are passed over;
// key case is exact.
func Decode(object []byte, into any) error {
	r := readers.Get().(*reader)
	ok := r.plain(reflect.ValueOf(into).Elem(), object)
	readers.Put(r)
	if ok {
		return nil
	}
	if err := unmarshal(object, into); err != nil {
		return fmt.Errorf("harness: %w", err)
	}
	return nil
}

// placed is what a Table needs to know of a record.
type placed interface {
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
