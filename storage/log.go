package storage

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// Log is a build: its lines, and the state they add up to. It is not safe for use by several goroutines at once.
type Log struct {
	build string
	lines []Line // in order
	clock int64  // the highest
	last  Line   // in order, also where its line is not loaded

	devices []*device
	byID    map[string]int32
	records map[key]*record
	rest    func() // reads what records lacks: the deleted ones of a snapshot
	state   *harness.Build

	base      map[string]int64 // of a log from a snapshot: the last n of each device in it, while their lines are missing
	baseLen   int              // how many lines those are
	conflicts []Conflict       // nil when they must be found again
	parser    parser
}

// New returns an empty build with this id.
func New(build string) *Log {
	l := &Log{build: build, state: harness.NewBuild(build)}
	l.reset()
	return l
}

func (l *Log) reset() {
	l.clock, l.last = 0, Line{}
	l.devices, l.byID, l.records = nil, map[string]int32{}, map[key]*record{}
	l.conflicts, l.rest = nil, nil
}

// Build returns the id of the build.
func (l *Log) Build() string { return l.build }

// State returns the records. The pointer stays the same for the life of the log; what it points to follows every
// edit. Do not change it.
func (l *Log) State() *harness.Build { return l.state }

// Lines returns the lines in order (without those of a snapshot, see NeedsHistory). Do not change them.
func (l *Log) Lines() []Line { return l.lines }

// Clock returns the highest clock.
func (l *Log) Clock() int64 { return l.clock }

// Counts returns the highest number of each device that has written a line.
func (l *Log) Counts() map[string]int64 {
	counts := make(map[string]int64, len(l.devices))
	for _, d := range l.devices {
		if d.last > 0 {
			counts[d.id] = d.last
		}
	}
	return counts
}

// Len returns the number of lines, those of a snapshot included.
func (l *Log) Len() int {
	return l.baseLen + len(l.lines)
}

// find returns a record, nil if there is none.
func (l *Log) find(k key) *record {
	r := l.records[k]
	if r == nil && l.rest != nil {
		r = l.whole()[k]
	}
	return r
}

// whole returns all records.
func (l *Log) whole() map[key]*record {
	if read := l.rest; read != nil {
		l.rest = nil
		read()
	}
	return l.records
}

// Line returns a line by its name, where it is loaded.
func (l *Log) Line(ref Ref) (Line, bool) {
	if dev, ok := l.byID[ref.Device]; ok {
		if at := l.at(stamp{dev, ref.N}); at >= 0 {
			return l.lines[at], true
		}
	}
	return Line{}, false
}

// History returns the edits that touched a record, in order.
func (l *Log) History(kind harness.Kind, id string) []Line {
	r := l.find(key{kind, id})
	if r == nil {
		return nil
	}
	lines := make([]Line, len(r.lines))
	for i, pos := range r.lines {
		lines[i] = l.lines[pos]
	}
	return lines
}

// About returns the build's entry in the list of builds.
func (l *Log) About() About {
	s := l.state.Settings
	return About{Build: l.build, Title: s.Title, Car: s.Car, Gone: s.Gone, Edits: l.Len(), At: l.last.At}
}

// order compares lines by clock, then device, then number.
func order(a, b Line) int {
	return cmp.Or(cmp.Compare(a.Clock, b.Clock), cmp.Compare(a.Device, b.Device), cmp.Compare(a.N, b.N))
}

// Add takes lines in any order, as they are, and leaves out those that the log has already: loading a build, or
// following another tab. It takes all or, with an error, none: ErrForked if a line has the name of another with
// other bytes, ErrNeedsHistory if a line belongs before a snapshot. Cost: that of the new lines if they all come
// after the present ones, else that of the whole log.
func (l *Log) Add(lines []Line) (added []Line, err error) {
	added, err = l.missing(lines)
	if err != nil || len(added) == 0 {
		return nil, err
	}
	sorting.By(added, order)
	if l.last.N == 0 || order(l.last, added[0]) < 0 {
		l.lines = slices.Grow(l.lines, len(added))
		touched := map[*record]bool{}
		for _, line := range added {
			l.fold(line, touched)
		}
		for r := range touched {
			l.put(r)
		}
		return added, nil
	}
	if l.base != nil {
		return nil, fmt.Errorf("storage: add %q %d: %w", added[0].Device, added[0].N, ErrNeedsHistory)
	}
	l.refold(append(slices.Clone(l.lines), added...))
	return added, nil
}

// missing returns those of the lines that the log does not have, each once.
func (l *Log) missing(lines []Line) ([]Line, error) {
	var added []Line
	fresh := map[Ref]int{}
	for _, line := range lines {
		var have []byte
		ref := line.Ref()
		if i, ok := fresh[ref]; ok {
			have = added[i].Raw
		} else if dev, ok := l.byID[line.Device]; ok {
			if at := l.at(stamp{dev, line.N}); at >= 0 {
				have = l.lines[at].Raw
			} else if line.N <= l.base[line.Device] {
				return nil, fmt.Errorf("storage: line %q %d: %w", line.Device, line.N, ErrNeedsHistory)
			}
		}
		switch {
		case have == nil:
			fresh[ref] = len(added)
			added = append(added, line)
		case !bytes.Equal(have, line.Raw):
			return nil, fmt.Errorf("line %q %d: %w", line.Device, line.N, ErrForked)
		}
	}
	return added, nil
}

// refold makes the state anew from lines.
func (l *Log) refold(lines []Line) {
	sorting.By(lines, order)
	l.reset()
	l.lines = make([]Line, 0, len(lines))
	for _, line := range lines {
		l.fold(line, nil)
	}
	*l.state = *harness.NewBuild(l.build)
	for _, r := range l.records {
		l.put(r)
	}
}

// Commit makes an edit of this device, applies it, and returns its line, for Store.Append. It fills in the number,
// the clock and what the fields were. Fields that would not change are left out, unless they are in conflict: then
// setting the value that is shown settles it. What the log has from other devices counts as seen. It returns
// ErrNothing if nothing would change, ErrTooBig over a limit, ErrCorrupt for a value that is not of its field's type;
// the log is unchanged then. Cost: O(changes).
func (l *Log) Commit(device, at string, changes []Change) (Line, error) {
	changes, err := together(changes)
	if err != nil {
		return Line{}, err
	}
	var kept []Change
	for _, c := range changes {
		r := l.find(key{c.Kind, c.ID})
		done := Change{Kind: c.Kind, ID: c.ID}
		for _, f := range c.Set {
			was := r.value(f.Name)
			if same(was, f.Value) && !l.contested(r, f.Name) {
				continue
			}
			done.Set = append(done.Set, f)
			if was != nil {
				done.Was = append(done.Was, Field{f.Name, was})
			}
		}
		if len(done.Set) > 0 || r == nil {
			kept = append(kept, done)
		}
	}
	if len(kept) == 0 {
		return Line{}, ErrNothing
	}
	return l.commit(Edit{Device: device, At: at, Changes: kept})
}

// together returns the changes with those of one record made one; of a field that is set twice the later value stays.
func together(changes []Change) ([]Change, error) {
	var out []Change
	index := map[key]int{}
	for _, c := range changes {
		if c.err != nil {
			return nil, c.err
		}
		at, ok := index[key{c.Kind, c.ID}]
		if !ok {
			at = len(out)
			index[key{c.Kind, c.ID}] = at
			out = append(out, Change{Kind: c.Kind, ID: c.ID})
		}
		set := &out[at].Set
		for _, f := range c.Set {
			if err := clean(&f.Value); err != nil {
				return nil, corrupt("%s %q: field %q: %w", c.Kind, c.ID, f.Name, err)
			}
			if i := slices.IndexFunc(*set, func(g Field) bool { return g.Name == f.Name }); i >= 0 {
				(*set)[i] = f
			} else {
				*set = append(*set, f)
			}
		}
	}
	return out, nil
}

// commit numbers, writes, checks and applies an edit.
func (l *Log) commit(e Edit) (Line, error) {
	if !validID(e.Device) {
		return Line{}, corrupt("device %.80q: not an id", e.Device)
	}
	dev := l.device(e.Device)
	e.N, e.Clock = l.devices[dev].last+1, l.clock+1
	e.Seen = l.unseen(dev)
	if e.Clock > MaxClock {
		return Line{}, fmt.Errorf("storage: clock %d: %w", e.Clock, ErrTooBig)
	}
	line, err := l.parser.write(e)
	if err != nil {
		return Line{}, err
	}
	touched := map[*record]bool{}
	l.fold(line, touched)
	for r := range touched {
		l.put(r)
	}
	return line, nil
}
