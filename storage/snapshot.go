package storage

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// Snapshot is the state of a build after the first Counts lines of its devices, so that it opens without reading
// them. It is a cache: losing one loses nothing, and one of another version of the program is not used.
type Snapshot struct {
	Build  string
	App    string           // the version of the program that made it
	Counts map[string]int64 // the last line of each device in it
	Data   []byte
}

// snapshotForm begins the data of a snapshot and tells its form.
const snapshotForm = "loomwright snapshot 2\n"

// Snapshot returns the state for the program's version app. Write it when the app is idle or hidden, and after a
// merge, never while a tap waits. Cost: O(state).
//
// The data is made to be read fast: after snapshotForm come whole numbers as unsigned varints, and texts and JSON values
// as their length and their bytes:
//
//	lines · clock, device, n, at of the last line
//	devices: count · {id · last · done: count, runs of {from, to} · undone: count, {n, of} · epochs: count, {n · seen: count, {n}}}
//	words: count · {text}, the kinds and the names of fields
//	records that live: count, count of all fields · {kind · id · fields: count ·
//	    {name · value · device, n that set it · rivals: count, {device, n · value}}}
//	records that are gone: the same
//	CRC-32 of all this, four bytes
//
// where kind and name are indexes of words, device is one of devices, and a value that is not there has the length 0.
func (l *Log) Snapshot(app string) Snapshot {
	p := packer{data: []byte(snapshotForm)}
	p.uint(l.Len())
	p.int(l.last.Clock)
	p.text(l.last.Device)
	p.int(l.last.N)
	p.text(l.last.At)
	p.uint(len(l.devices))
	for _, d := range l.devices {
		p.device(d)
	}
	var records packer
	gone := func(r *record) bool { return r.gone() }
	all := l.sorted()
	records.records(slices.DeleteFunc(slices.Clone(all), gone))
	records.records(slices.DeleteFunc(all, func(r *record) bool { return !gone(r) }))
	p.uint(len(records.words))
	for _, w := range records.words {
		p.text(w)
	}
	p.data = append(p.data, records.data...)
	p.data = binary.BigEndian.AppendUint32(p.data, crc32.ChecksumIEEE(p.data))
	return Snapshot{Build: l.build, App: app, Counts: l.Counts(), Data: p.data}
}

// packer writes the parts of a snapshot.
type packer struct {
	data   []byte
	words  []string
	byWord map[string]int
}

func (p *packer) uint(n int)  { p.data = binary.AppendUvarint(p.data, uint64(n)) }
func (p *packer) int(n int64) { p.data = binary.AppendUvarint(p.data, uint64(n)) }
func (p *packer) text(s string) {
	p.uint(len(s))
	p.data = append(p.data, s...)
}

func (p *packer) word(s string) {
	i, ok := p.byWord[s]
	if !ok {
		if p.byWord == nil {
			p.byWord = map[string]int{}
		}
		i = len(p.words)
		p.byWord[s] = i
		p.words = append(p.words, s)
	}
	p.uint(i)
}

func (p *packer) device(d *device) {
	p.text(d.id)
	p.int(d.last)
	var runs []int64
	for _, n := range d.done {
		if k := len(runs); k > 0 && runs[k-1] == n-1 {
			runs[k-1] = n
		} else {
			runs = append(runs, n, n)
		}
	}
	p.uint(len(runs) / 2)
	for _, n := range runs {
		p.int(n)
	}
	p.uint(len(d.undone))
	for _, u := range d.undone {
		p.int(u.n)
		p.int(u.of)
	}
	p.uint(len(d.epochs))
	for _, e := range d.epochs {
		p.int(e.n)
		p.uint(len(e.seen))
		for _, n := range e.seen {
			p.int(n)
		}
	}
}

func (p *packer) records(all []*record) {
	fields := 0
	for _, r := range all {
		fields += len(r.fields)
	}
	p.uint(len(all))
	p.uint(fields)
	for _, r := range all {
		p.record(r)
	}
}

func (p *packer) record(r *record) {
	p.word(string(r.kind))
	p.text(r.id)
	p.uint(len(r.fields))
	for i := range r.fields {
		f := &r.fields[i]
		p.word(f.name)
		p.setter(setter{f.by, f.value})
		p.uint(len(f.rival))
		for _, s := range f.rival {
			p.setter(s)
		}
	}
}

func (p *packer) setter(s setter) {
	p.uint(len(s.value))
	p.data = append(p.data, s.value...)
	p.uint(int(s.by.dev))
	p.int(s.by.n)
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
	sorting.By(early, order)
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
	for _, r := range l.whole() {
		r.lines, r.old = nil, false
	}
	for i, line := range all {
		l.index(int32(i), line)
	}
	return nil
}

func (l *Log) readSnapshot(data []byte) error {
	if !bytes.HasPrefix(data, []byte(snapshotForm)) || len(data) < len(snapshotForm)+4 {
		return errors.New("another form")
	}
	data, sum := data[:len(data)-4], data[len(data)-4:]
	if crc32.ChecksumIEEE(data) != binary.BigEndian.Uint32(sum) {
		return errors.New("not as it was written")
	}
	p := unpacker{rest: data[len(snapshotForm):]}
	l.baseLen = int(min(p.int(), MaxClock))
	l.last.Clock = p.int()
	l.last.Device = p.text()
	l.last.N = p.int()
	l.last.At = p.text()
	l.clock = l.last.Clock
	for range p.count() {
		d := p.device(l.baseLen)
		l.byID[d.id] = int32(len(l.devices))
		l.devices = append(l.devices, d)
	}
	words := make([]string, p.count())
	for i := range words {
		words[i] = p.text()
	}
	if p.err != nil {
		return p.err
	}
	l.records = map[key]*record{}
	devices := len(l.devices)
	for _, r := range p.records(words, devices) {
		l.records[r.key] = r
		l.put(r)
	}
	if p.err != nil {
		return p.err
	}
	l.rest = func() {
		for _, r := range p.records(words, devices) {
			l.records[r.key] = r
			l.state.PutLate(r.kind, r.id, func() { l.put(r) })
		}
	}
	l.state.PutRest(func() { l.whole() })
	return nil
}

// unpacker reads the parts of a snapshot. After an error it reads zeros.
type unpacker struct {
	rest []byte
	err  error
}

func (p *unpacker) fail() { p.rest, p.err = nil, io.ErrUnexpectedEOF }

func (p *unpacker) int() int64 {
	n, size := binary.Uvarint(p.rest)
	if size <= 0 || n > MaxClock {
		p.fail()
		return 0
	}
	p.rest = p.rest[size:]
	return int64(n)
}

// count reads how many things follow. Each takes a byte at least, so a wrong count cannot ask for much memory.
func (p *unpacker) count() int {
	n := p.int()
	if n > int64(len(p.rest)) {
		p.fail()
		return 0
	}
	return int(n)
}

func (p *unpacker) bytes() []byte {
	n := p.count()
	b := p.rest[:n:n]
	p.rest = p.rest[n:]
	return b
}

func (p *unpacker) text() string { return string(p.bytes()) }

func (p *unpacker) ints(n int) []int64 {
	ints := make([]int64, n)
	for i := range ints {
		ints[i] = p.int()
	}
	return ints
}

func (p *unpacker) device(lines int) *device {
	d := &device{id: p.text(), last: p.int()}
	for range p.count() {
		from, to := p.int(), p.int()
		if to-from >= int64(lines) {
			p.fail()
			break
		}
		for n := from; n <= to; n++ {
			d.done = append(d.done, n)
		}
	}
	for range p.count() {
		d.undone = append(d.undone, undone{p.int(), p.int()})
	}
	for range p.count() {
		d.epochs = append(d.epochs, epoch{p.int(), p.ints(p.count())})
	}
	return d
}

// records reads all records of one part.
func (p *unpacker) records(words []string, devices int) []*record {
	n, fields := p.count(), make([]field, 0, p.count())
	all, out := make([]record, n), make([]*record, n)
	for i := range all {
		fields = p.record(&all[i], words, devices, fields)
		out[i] = &all[i]
	}
	return out
}

// record reads a record, its fields into what is left of fields.
func (p *unpacker) record(r *record, words []string, devices int, fields []field) []field {
	r.kind, r.id, r.old = harness.Kind(p.word(words)), p.text(), true
	n := p.count()
	if n > cap(fields)-len(fields) {
		p.fail()
		return fields
	}
	r.fields = fields[len(fields) : len(fields) : len(fields)+n]
	for range n {
		f := field{name: p.word(words)}
		s := p.setter(devices)
		f.value, f.by = s.value, s.by
		for range p.count() {
			f.rival = append(f.rival, p.setter(devices))
		}
		r.add(f)
	}
	return fields[:len(fields)+n]
}

func (p *unpacker) word(words []string) string {
	i := p.int()
	if i >= int64(len(words)) {
		p.fail()
		return ""
	}
	return words[i]
}

func (p *unpacker) setter(devices int) setter {
	s := setter{value: p.bytes()}
	if len(s.value) == 0 {
		s.value = nil
	}
	dev := p.int()
	if dev >= int64(devices) {
		p.fail()
		return s
	}
	s.by = stamp{int32(dev), p.int()}
	return s
}
