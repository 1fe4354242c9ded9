package faults

import (
	"bytes"
	"fmt"
	"strconv"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Fault is a kind of fault as it is planted.
type Fault struct {
	Name     string // of its file
	Rule     string // the finding it makes
	Severity harness.Severity
	Variants []func(*Edit)
	NearMiss func(*Edit) // nearly the same, and nothing wrong
}

// Edit changes a build and keeps what it put.
type Edit struct {
	b   *harness.Build
	put []Line
	err error
}

// Line is one record that was put: a line of a file.
type Line struct {
	Variant string // "1", "2", "3" or "near miss"
	Kind    harness.Kind
	ID      string
	Object  []byte
}

func (e *Edit) fail(err error) {
	if e.err == nil && err != nil {
		e.err = err
	}
}

// set puts a record.
func (e *Edit) set(kind harness.Kind, id string, record any) {
	object, err := harness.Encode(record)
	e.fail(err)
	_, err = e.b.Put(kind, id, object)
	e.fail(err)
	e.put = append(e.put, Line{Kind: kind, ID: id, Object: object})
}

// alter changes the record of a table that has this id.
func alter[T any](e *Edit, kind harness.Kind, table *harness.Table[T], id string, f func(*T)) {
	v, ok := table.Get(id)
	if !ok {
		e.fail(fmt.Errorf("faults: there is no %s %q", kind, id))
		return
	}
	f(&v)
	e.set(kind, id, v)
}

func (e *Edit) place(name string, f func(*harness.Place)) {
	alter(e, harness.KindPlace, &e.b.Places, id(harness.KindPlace, name), f)
}

func (e *Edit) run(name string, f func(*harness.Run)) {
	alter(e, harness.KindRun, &e.b.Runs, id(harness.KindRun, name), f)
}

func (e *Edit) part(name string, f func(*harness.Part)) {
	alter(e, harness.KindPart, &e.b.Parts, id(harness.KindPart, name), f)
}

func (e *Edit) circuit(name string, f func(*harness.Circuit)) {
	alter(e, harness.KindCircuit, &e.b.Circuits, id(harness.KindCircuit, name), f)
}

func (e *Edit) terminal(name string, f func(*harness.Terminal)) {
	alter(e, harness.KindTerminal, &e.b.Terminals, id(harness.KindTerminal, name), f)
}

func (e *Edit) tap(name string, f func(*harness.Tap)) {
	alter(e, harness.KindTap, &e.b.Taps, id(harness.KindTap, name), f)
}

// wire changes the first wire with this function.
func (e *Edit) wire(function string, f func(*harness.Wire)) {
	for _, w := range e.b.Wires.All() {
		if w.Function == function {
			f(&w)
			e.set(harness.KindWire, w.ID, w)
			return
		}
	}
	e.fail(fmt.Errorf("faults: there is no wire %q", function))
}

// lead changes a lead, and the wire that is made of it.
func (e *Edit) lead(function string, f func(*harness.Lead)) {
	key := id(harness.KindLead, function)
	alter(e, harness.KindLead, &e.b.Leads, key, f)
	l, _ := e.b.Leads.Get(key)
	for _, w := range e.b.Wires.All() {
		if w.Lead == key {
			w.Size, w.Insulation, w.Twist, w.Shield = l.Size, l.Insulation, l.Twist, l.Shield
			e.set(harness.KindWire, w.ID, w)
		}
	}
}

func (e *Edit) joint(name string, f func(*harness.Joint)) {
	for _, j := range e.b.Joints.All() {
		if j.Name == name {
			f(&j)
			e.set(harness.KindJoint, j.ID, j)
			return
		}
	}
	e.fail(fmt.Errorf("faults: there is no joint %q", name))
}

// jointID returns the joint with a name.
func (e *Edit) jointID(name string) string {
	for _, j := range e.b.Joints.All() {
		if j.Name == name {
			return j.ID
		}
	}
	e.fail(fmt.Errorf("faults: there is no joint %q", name))
	return ""
}

// end is the end of a wire at a terminal of the base.
func (e *Edit) end(terminal string) harness.End {
	t, ok := e.b.Terminals.Get(id(harness.KindTerminal, terminal))
	if !ok {
		e.fail(fmt.Errorf("faults: there is no terminal %q", terminal))
	}
	return harness.End{Place: t.Place, Terminal: t.ID}
}

// draw adds a wire between two ends.
func (e *Edit) draw(function, size string, from, to harness.End) {
	name := e.b.NextWireName()
	e.set(harness.KindWire, id(harness.KindWire, function), harness.Wire{Name: name, Function: function, Size: size, From: from, To: to, Insulation: harness.Class125, Order: 1000})
}

// read replaces the reading of a run.
func (e *Edit) read(run string, mm int64) {
	alter(e, harness.KindReading, &e.b.Readings, id(harness.KindReading, run), func(r *harness.Reading) {
		r.Value, r.Text = unit.Length(mm)*unit.Millimetre, strconv.FormatInt(mm, 10)
	})
}

// Plant plants a variant of a fault in a copy of the base: 1 to 3, 0 is the near miss. It returns the build and the records
// that were put.
func (f Fault) Plant(base *harness.Build, variant int) (*harness.Build, []Line, error) {
	e := &Edit{b: base.Clone()}
	name := "near miss"
	if variant == 0 {
		f.NearMiss(e)
	} else {
		name = strconv.Itoa(variant)
		f.Variants[variant-1](e)
	}
	for i := range e.put {
		e.put[i].Variant = name
	}
	if e.err != nil {
		return nil, nil, fmt.Errorf("faults: %s, %s: %w", f.Name, name, e.err)
	}
	return e.b, e.put, nil
}

// File returns the lines of a fault's file: JSON, one record on each.
func (f Fault) File(base *harness.Build) ([]byte, error) {
	var out bytes.Buffer
	for variant := range len(f.Variants) + 1 {
		_, lines, err := f.Plant(base, (variant+1)%(len(f.Variants)+1))
		if err != nil {
			return nil, err
		}
		for _, l := range lines {
			fmt.Fprintf(&out, `{"rule":%q,"severity":%q,"variant":%q,"kind":%q,"id":%q,"set":%s}`+"\n", f.Rule, f.Severity.String(), l.Variant, string(l.Kind), l.ID, l.Object)
		}
	}
	return out.Bytes(), nil
}

// File returns the lines of the base's file.
func File(base *harness.Build) ([]byte, error) {
	var out bytes.Buffer
	var failed error
	line := func(kind harness.Kind, id string, record any) {
		object, err := harness.Encode(record)
		if err != nil && failed == nil {
			failed = fmt.Errorf("faults: %w", err)
		}
		fmt.Fprintf(&out, `{"kind":%q,"id":%q,"set":%s}`+"\n", string(kind), id, object)
	}
	line(harness.KindSettings, base.Settings.ID, base.Settings)
	each(&base.Looms, harness.KindLoom, line)
	each(&base.Places, harness.KindPlace, line)
	each(&base.Runs, harness.KindRun, line)
	each(&base.Readings, harness.KindReading, line)
	each(&base.Connectors, harness.KindConnector, line)
	each(&base.Parts, harness.KindPart, line)
	each(&base.Circuits, harness.KindCircuit, line)
	each(&base.Terminals, harness.KindTerminal, line)
	each(&base.Leads, harness.KindLead, line)
	each(&base.Taps, harness.KindTap, line)
	each(&base.Joints, harness.KindJoint, line)
	each(&base.Wires, harness.KindWire, line)
	return out.Bytes(), failed
}

func each[T any, P interface {
	*T
	Identity() string
}](t *harness.Table[T], kind harness.Kind, line func(kind harness.Kind, id string, record any)) {
	for _, v := range t.All() {
		line(kind, P(&v).Identity(), v)
	}
}
