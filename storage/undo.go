package storage

import (
	"slices"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
)

// Report says what an undo or redo did.
type Report struct {
	Of   Ref    // the edit that was reverted, or that is done again
	Left []Left // what was not touched
}

// Left is a field that undo or redo left as it is, because another edit has set it since. It is also how undo tells
// of a record that it did not take away, because another edit has set that field of it.
type Left struct {
	Kind  harness.Kind
	ID    string
	Field string
	By    Ref // the edit that set it
}

// step keeps count of what can be undone and redone.
func (d *device) step(line Line) {
	if len(line.Changes) == 0 && line.Undoes == 0 {
		return // a merge
	}
	if line.Undoes == 0 {
		d.done, d.undone = append(d.done, line.N), d.undone[:0]
		return
	}
	if i := len(d.undone) - 1; i >= 0 && d.undone[i].n == line.Undoes {
		d.done, d.undone = append(d.done, d.undone[i].of), d.undone[:i]
		return
	}
	if i := slices.Index(d.done, line.Undoes); i >= 0 {
		d.done = slices.Delete(d.done, i, i+1)
		d.undone = append(d.undone, undone{line.N, line.Undoes})
	}
}

// CanUndo returns the edit that Undo would revert: the device's last one that is not undone. Merges are not undone.
// In a log from a snapshot the line may have nothing but its name.
func (l *Log) CanUndo(device string) (Line, bool) {
	if dev, ok := l.byID[device]; ok {
		if done := l.devices[dev].done; len(done) > 0 {
			return l.named(dev, done[len(done)-1]), true
		}
	}
	return Line{}, false
}

// CanRedo returns the edit that Redo would do again: the last one undone, if no other edit of the device came after.
func (l *Log) CanRedo(device string) (Line, bool) {
	if dev, ok := l.byID[device]; ok {
		if undone := l.devices[dev].undone; len(undone) > 0 {
			return l.named(dev, undone[len(undone)-1].of), true
		}
	}
	return Line{}, false
}

func (l *Log) named(dev int32, n int64) Line {
	if at := l.at(stamp{dev, n}); at >= 0 {
		return l.lines[at]
	}
	return Line{Edit: Edit{Device: l.devices[dev].id, N: n}}
}

// Undo reverts the device's last edit that is not undone, by an edit of its own: found from the log, so it works
// after a reload as before. A field that another edit has set since, or at the same time on another phone, is left
// and named. Records that the edit made become gone, unless another edit has set a field of theirs: those are left
// and named. It returns ErrNothing where there is nothing to undo, and ErrNeedsHistory.
func (l *Log) Undo(device, at string) (Line, Report, error) {
	edit, ok := l.CanUndo(device)
	if !ok {
		return Line{}, Report{}, ErrNothing
	}
	return l.revert(edit.Ref(), edit.Ref(), at)
}

// Redo undoes the last undo, in the same way.
func (l *Log) Redo(device, at string) (Line, Report, error) {
	edit, ok := l.CanRedo(device)
	if !ok {
		return Line{}, Report{}, ErrNothing
	}
	undone := l.devices[l.byID[device]].undone
	return l.revert(Ref{device, undone[len(undone)-1].n}, edit.Ref(), at)
}

// revert makes the edit that reverts a line of its own device, on behalf of an edit.
func (l *Log) revert(ref, of Ref, at string) (Line, Report, error) {
	report := Report{Of: of}
	line, ok := l.Line(ref)
	if !ok {
		return Line{}, report, ErrNeedsHistory
	}
	x := stamp{l.byID[ref.Device], ref.N}
	e := Edit{Device: ref.Device, At: at, Undoes: ref.N}
	for _, c := range line.Changes {
		r := l.find(key{c.Kind, c.ID})
		set := Change{Kind: c.Kind, ID: c.ID}
		created, err := l.created(r, x)
		if err != nil {
			return Line{}, report, err
		}
		for i := range r.fields {
			f := &r.fields[i]
			_, mine := c.Set.Get(f.name)
			if !mine && !created {
				continue
			}
			free, err := l.free(r, f, x, created)
			if err != nil {
				return Line{}, report, err
			}
			if !free {
				report.Left = append(report.Left, Left{c.Kind, c.ID, f.name, l.ref(f.by)})
			} else if !created {
				was, _ := c.Was.Get(f.name)
				set.put(f.name, f.value, was)
			}
		}
		if created && !slices.ContainsFunc(report.Left, func(f Left) bool { return f.Kind == c.Kind && f.ID == c.ID }) {
			set.put(goneField, r.value(goneField), jsonTrue)
		}
		if len(set.Set) > 0 {
			e.Changes = append(e.Changes, set)
		}
	}
	done, err := l.commit(e)
	return done, report, err
}

// put notes that a field goes from one value to another, if it does.
func (c *Change) put(name string, from, to jsontext.Value) {
	if same(from, to) {
		return
	}
	if to == nil {
		to = jsonNull
	}
	c.Set = append(c.Set, Field{name, to})
	if from != nil {
		c.Was = append(c.Was, Field{name, from})
	}
}

// created reports whether line x made the record, as far as its device knew: no line that x has seen had touched it.
func (l *Log) created(r *record, x stamp) (bool, error) {
	if l.lines[l.at(x)].Undoes != 0 {
		return false, nil
	}
	for _, pos := range r.lines {
		if l.saw(x, stamp{l.byID[l.lines[pos].Device], l.lines[pos].N}) {
			return false, nil
		}
	}
	if !r.old {
		return true, nil
	}
	for i := range r.fields { // the earlier lines are not loaded, but the fields know some of them
		if slices.ContainsFunc(r.fields[i].setters(), func(s setter) bool { return l.saw(x, s.by) }) {
			return false, nil
		}
	}
	return false, ErrNeedsHistory
}

// free reports whether a field still stands as line x left it: its value comes from the same edit as what x set, no
// matter how often that was undone and redone since. In a record that x created, fields that no edit has set count
// as standing too.
func (l *Log) free(r *record, f *field, x stamp, created bool) (bool, error) {
	if len(f.rival) > 0 {
		return false, nil
	}
	if f.by == x {
		return true, nil
	}
	now, err := l.origin(r, f.by, f.name)
	if err != nil {
		return false, err
	}
	if created && now == nobody {
		return true, nil
	}
	then, err := l.origin(r, x, f.name)
	return now == then, err
}

// nobody is the origin of a field that no edit has set.
var nobody = stamp{-1, 0}

// origin returns the edit from which a field has its value after line x set it: x itself, or, where x undoes a line,
// the origin of what that line had found. It returns ErrNeedsHistory where lines it needs are not loaded.
func (l *Log) origin(r *record, x stamp, name string) (stamp, error) {
	for {
		at := l.at(x)
		if at < 0 {
			return x, ErrNeedsHistory
		}
		undoes := l.lines[at].Undoes
		if undoes == 0 {
			return x, nil
		}
		y := stamp{x.dev, undoes}
		found := nobody
		before, _ := slices.BinarySearch(r.lines, int32(l.at(y)))
		for _, pos := range slices.Backward(r.lines[:before]) {
			line := l.lines[pos]
			z := stamp{l.byID[line.Device], line.N}
			if _, ok := line.set(r.key, name); ok && l.saw(y, z) {
				found = z
				break
			}
		}
		if found == nobody {
			if r.old && l.base != nil {
				return x, ErrNeedsHistory
			}
			return nobody, nil
		}
		x = found
	}
}

// set returns the value that an edit gives to a field.
func (e *Edit) set(k key, name string) (jsontext.Value, bool) {
	for i := range e.Changes {
		if e.Changes[i].Kind == k.kind && e.Changes[i].ID == k.id {
			return e.Changes[i].Set.Get(name)
		}
	}
	return nil, false
}
