package storage

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
)

// Snapshot is the state of a build after the first Counts lines of its devices, so that it opens without reading
// them. It is a cache: losing one loses nothing, and one of another version of the program is not used.
type Snapshot struct {
	Build  string
	App    string           // the version of the program that made it
	Counts map[string]int64 // the last line of each device in it
	Data   []byte
}

// Snapshot returns the state for the program's version app. Write it when the app is idle or hidden, and after a
// merge, never while a tap waits. Cost: O(state).
//
// The data is JSON, with "by" the device (its index) and number of the last edit of each field:
//
//	{"version":1,"lines":9,"last":[clock,"device",n,"at"],"devices":[
//	  {"id":"…","last":9,"done":[1,4,6,9],"undone":[5,4],"epochs":[[n,seen,seen],…]}],"records":[
//	  {"kind":"place","id":"…","fields":{"name":"split"},"by":[0,1],"rivals":{"name":[{"by":[1,3],"value":"fork"}]}}]}
//
// where done holds runs, from and to in turn.
func (l *Log) Snapshot(app string) Snapshot {
	b := append([]byte(nil), `{"version":1,"lines":`...)
	b = strconv.AppendInt(b, int64(l.Len()), 10)
	b = strconv.AppendInt(append(b, `,"last":[`...), l.last.Clock, 10)
	b = appendText(append(b, ','), l.last.Device)
	b = strconv.AppendInt(append(b, ','), l.last.N, 10)
	b = appendText(append(b, ','), l.last.At)
	b = append(b, `],"devices":[`...)
	for i, d := range l.devices {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendDevice(b, d)
	}
	b = append(b, `],"records":[`...)
	for i, r := range l.sorted() {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendRecord(b, r)
	}
	return Snapshot{Build: l.build, App: app, Counts: l.Counts(), Data: append(b, "]}"...)}
}

func appendDevice(b []byte, d *device) []byte {
	b = appendText(append(b, `{"id":`...), d.id)
	b = strconv.AppendInt(append(b, `,"last":`...), d.last, 10)
	var runs, undone []int64
	for _, n := range d.done {
		if k := len(runs); k > 0 && runs[k-1] == n-1 {
			runs[k-1] = n
		} else {
			runs = append(runs, n, n)
		}
	}
	for _, u := range d.undone {
		undone = append(undone, u.n, u.of)
	}
	b = appendInts(append(b, `,"done":`...), runs)
	b = appendInts(append(b, `,"undone":`...), undone)
	b = append(b, `,"epochs":[`...)
	for i, e := range d.epochs {
		if i > 0 {
			b = append(b, ',')
		}
		b = appendInts(b, append([]int64{e.n}, e.seen...))
	}
	return append(b, "]}"...)
}

func appendRecord(b []byte, r *record) []byte {
	b = appendText(append(b, `{"kind":`...), string(r.kind))
	b = appendText(append(b, `,"id":`...), r.id)
	fields := make(Fields, len(r.fields))
	by := make([]int64, 0, 2*len(r.fields))
	rivals := false
	for i, f := range r.fields {
		fields[i] = Field{f.name, orNull(f.value)}
		by = append(by, int64(f.by.dev), f.by.n)
		rivals = rivals || len(f.rival) > 0
	}
	b = appendFields(append(b, `,"fields":`...), fields)
	b = appendInts(append(b, `,"by":`...), by)
	if rivals {
		b = append(b, `,"rivals":{`...)
		for _, f := range r.fields {
			if len(f.rival) == 0 {
				continue
			}
			if b[len(b)-1] != '{' {
				b = append(b, ',')
			}
			b = append(appendText(b, f.name), `:[`...)
			for i, s := range f.rival {
				if i > 0 {
					b = append(b, ',')
				}
				b = appendInts(append(b, `{"by":`...), []int64{int64(s.by.dev), s.by.n})
				b = append(append(append(b, `,"value":`...), orNull(s.value)...), '}')
			}
			b = append(b, ']')
		}
		b = append(b, '}')
	}
	return append(b, '}')
}

func appendInts(b []byte, ints []int64) []byte {
	b = append(b, '[')
	for i, n := range ints {
		if i > 0 {
			b = append(b, ',')
		}
		b = strconv.AppendInt(b, n, 10)
	}
	return append(b, ']')
}

func orNull(v jsontext.Value) jsontext.Value {
	if v == nil {
		return jsonNull
	}
	return v
}

// OpenSnapshot returns the log of a snapshot and the lines that came after it. It takes edits at once; until
// AddHistory has given it the earlier lines, Lines, History and Problems leave them out, Undo reaches back to the
// snapshot only, and Merge and Encode return ErrNeedsHistory. It returns ErrStale if a line belongs before the
// snapshot's last: then open the build from all its lines. It keeps s.Data: do not change it.
func OpenSnapshot(s Snapshot, after []Line) (*Log, error) {
	l := New(s.Build)
	l.base = s.Counts
	if err := l.readSnapshot(s.Data); err != nil {
		return nil, fmt.Errorf("%w: snapshot of %q: %w", ErrStale, s.Build, err)
	}
	if _, err := l.Add(after); err != nil {
		return nil, fmt.Errorf("%w: snapshot of %q: %w", ErrStale, s.Build, err)
	}
	return l, nil
}

// NeedsHistory reports whether the log was opened from a snapshot and lacks its earlier lines.
func (l *Log) NeedsHistory() bool { return l.base != nil }

// AddHistory gives the log its earlier lines: all lines of the build, in any order; those that it has are passed over.
// The state does not change. It returns ErrStale, and changes nothing, if these are not the lines of the snapshot.
// Cost: O(lines).
func (l *Log) AddHistory(lines []Line) error {
	if l.base == nil {
		return nil
	}
	var early []Line
	for _, line := range lines {
		if line.N <= l.base[line.Device] {
			early = append(early, line)
		}
	}
	slices.SortFunc(early, order)
	early = slices.CompactFunc(early, func(a, b Line) bool { return order(a, b) == 0 })
	if len(early) != l.baseLen {
		return fmt.Errorf("%w: %d lines where the snapshot of %q has %d", ErrStale, len(early), l.build, l.baseLen)
	}
	all := append(early, l.lines...)
	for i := range all[:max(0, len(all)-1)] {
		if order(all[i], all[i+1]) >= 0 {
			return fmt.Errorf("%w: line %q %d is not where the snapshot of %q had it", ErrStale, all[i].Device, all[i].N, l.build)
		}
	}
	l.base, l.baseLen, l.lines = nil, 0, all
	for _, d := range l.devices {
		d.lines = nil
	}
	for _, r := range l.records {
		r.lines, r.old = nil, false
	}
	for i, line := range all {
		l.index(int32(i), line)
	}
	return nil
}

func (l *Log) readSnapshot(data []byte) error {
	p := &l.parser
	p.begin(data)
	version := int64(0)
	err := p.object(func(name string) (err error) {
		switch name {
		case "version":
			version, err = p.number()
		case "lines":
			var n int64
			n, err = p.number()
			l.baseLen = int(n)
		case "last":
			return p.array(func(i int) (err error) {
				switch i {
				case 0:
					l.last.Clock, err = p.number()
					l.clock = l.last.Clock
				case 1:
					l.last.Device, err = p.text()
				case 2:
					l.last.N, err = p.number()
				case 3:
					l.last.At, err = p.text()
				}
				return err
			})
		case "devices":
			return p.array(func(int) error { return p.device(l) })
		case "records":
			return p.array(func(int) error { return p.record(l, data) })
		default:
			err = p.dec.SkipValue()
		}
		return err
	})
	if err == nil && version != 1 {
		err = fmt.Errorf("version %d", version)
	}
	return err
}

func (p *parser) array(element func(i int) error) error {
	if err := p.token('['); err != nil {
		return err
	}
	for i := 0; p.dec.PeekKind() != ']'; i++ {
		if err := element(i); err != nil {
			return err
		}
	}
	return p.token(']')
}

func (p *parser) ints() (out []int64, err error) {
	err = p.array(func(int) error {
		n, err := p.number()
		out = append(out, n)
		return err
	})
	return out, err
}

func (p *parser) device(l *Log) error {
	d := &device{}
	err := p.object(func(name string) (err error) {
		var ints []int64
		switch name {
		case "id":
			d.id, err = p.text()
		case "last":
			d.last, err = p.number()
		case "done":
			ints, err = p.ints()
			for i := 0; i+1 < len(ints); i += 2 {
				if ints[i+1]-ints[i] >= int64(l.baseLen) {
					return fmt.Errorf("device %q: more edits than lines", d.id)
				}
				for n := ints[i]; n <= ints[i+1]; n++ {
					d.done = append(d.done, n)
				}
			}
		case "undone":
			ints, err = p.ints()
			for i := 0; i+1 < len(ints); i += 2 {
				d.undone = append(d.undone, undone{ints[i], ints[i+1]})
			}
		case "epochs":
			return p.array(func(int) error {
				ints, err := p.ints()
				if err == nil && len(ints) > 0 {
					d.epochs = append(d.epochs, epoch{ints[0], ints[1:]})
				}
				return err
			})
		default:
			err = p.dec.SkipValue()
		}
		return err
	})
	l.byID[d.id] = int32(len(l.devices))
	l.devices = append(l.devices, d)
	return err
}

func (p *parser) record(l *Log, data []byte) error {
	r := &record{old: true}
	var by []int64
	err := p.object(func(name string) (err error) {
		switch name {
		case "kind":
			var kind string
			kind, err = p.text()
			r.kind = harness.Kind(kind)
		case "id":
			r.id, err = p.text()
		case "fields":
			var fields Fields
			fields, _, err = p.fields(data)
			r.fields = make([]field, 0, len(fields))
			for _, f := range fields {
				r.add(field{name: f.Name, value: noNull(f.Value)})
			}
		case "by":
			by, err = p.ints()
		case "rivals":
			return p.object(func(name string) error { return p.rivals(r.field(name)) })
		default:
			err = p.dec.SkipValue()
		}
		return err
	})
	if err != nil {
		return err
	}
	if len(by) != 2*len(r.fields) {
		return fmt.Errorf("%s %q: stamps do not fit the fields", r.kind, r.id)
	}
	for i := range r.fields {
		f := &r.fields[i]
		f.by = stamp{int32(by[2*i]), by[2*i+1]}
		for _, s := range f.setters() {
			if s.by.dev < 0 || int(s.by.dev) >= len(l.devices) {
				return fmt.Errorf("%s %q: stamp of no device", r.kind, r.id)
			}
		}
	}
	l.records[r.key] = r
	l.put(r)
	return nil
}

func (p *parser) rivals(f *field) error {
	if f == nil {
		return fmt.Errorf("rivals of no field")
	}
	return p.array(func(int) error {
		var s setter
		err := p.object(func(name string) error {
			switch name {
			case "by":
				by, err := p.ints()
				if err == nil && len(by) == 2 {
					s.by = stamp{int32(by[0]), by[1]}
				}
				return err
			case "value":
				v, err := p.value()
				s.value = noNull(v)
				return err
			}
			return p.dec.SkipValue()
		})
		f.rival = append(f.rival, s)
		return err
	})
}

func noNull(v jsontext.Value) jsontext.Value {
	if v.Kind() == 'n' {
		return nil
	}
	return v
}
