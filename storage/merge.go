package storage

import (
	"cmp"
	"fmt"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// Merged is what Merge did.
type Merged struct {
	Lines     []Line     // to append to the store in one go: what came in, in order, and last the merge's own line
	Added     int        // how many lines came in
	Conflicts []Conflict // those open now that were not before
}

// Merge takes the lines of another copy of this build, in any order, and notes in a line of this device that it has
// seen them. Merging the same lines again does nothing. It takes all or, with an error, none: ErrForked as for Add;
// ErrDeviceUsed if there are lines of this device that the log does not have; ErrNeedsHistory; ErrTooBig for a clock
// so high that no room for later edits would be left.
func (l *Log) Merge(device, at string, lines []Line) (Merged, error) {
	if l.base != nil {
		return Merged{}, ErrNeedsHistory
	}
	if !validID(device) {
		return Merged{}, corrupt("device %.80q: not an id", device)
	}
	fresh, err := l.missing(lines)
	if err != nil {
		return Merged{}, err
	}
	for _, line := range fresh {
		if line.Device == device {
			return Merged{}, fmt.Errorf("storage: line %q %d: %w", line.Device, line.N, ErrDeviceUsed)
		}
		if line.Clock > MaxClock-clockRoom {
			return Merged{}, fmt.Errorf("storage: line %q %d: clock %d: %w", line.Device, line.N, line.Clock, ErrTooBig)
		}
	}
	if err := bearable(slices.Concat(fresh, l.lines)); err != nil {
		return Merged{}, err
	}
	if l.clock >= MaxClock {
		return Merged{}, fmt.Errorf("storage: clock %d: %w", l.clock, ErrTooBig)
	}
	before := map[side]bool{}
	for _, c := range l.Conflicts() {
		for _, s := range c.Sides {
			before[side{key{c.Kind, c.ID}, c.Field, s.Ref}] = true
		}
	}
	added, err := l.Add(fresh)
	if err != nil {
		return Merged{}, err
	}
	m := Merged{Lines: added, Added: len(added)}
	if seen := l.unseen(l.device(device)); seen != nil {
		line, err := l.commit(Edit{Device: device, At: at})
		if err != nil {
			return m, err
		}
		m.Lines = append(m.Lines, line)
	}
	for _, c := range l.Conflicts() {
		if slices.ContainsFunc(c.Sides, func(s Side) bool { return !before[side{key{c.Kind, c.ID}, c.Field, s.Ref}] }) {
			m.Conflicts = append(m.Conflicts, c)
		}
	}
	return m, nil
}

// side is a side of a conflict, as a key.
type side struct {
	key
	field string
	ref   Ref
}

// clockRoom is how many clocks a merge must leave for later edits. Our choice: more than any build will ever need.
const clockRoom = 1 << 40

// The limits of what lines may say about each other. Our choice: far above any real build, and low enough that a file
// made to choke a phone is refused before it does.
const (
	maxDevices = 1000
	maxSeen    = 8 << 20 // devices × lines that declare what they have seen
)

// bearable returns ErrTooBig for lines over these limits.
func bearable(lines []Line) error {
	devices, merges := map[string]bool{}, 0
	for _, line := range lines {
		devices[line.Device] = true
		if len(line.Seen) > 0 {
			merges++
		}
		for id := range line.Seen {
			devices[id] = true
		}
		if len(devices) > maxDevices || merges*len(devices) > maxSeen {
			return fmt.Errorf("%w: %d devices and %d merges", ErrTooBig, len(devices), merges)
		}
	}
	return nil
}

// Problem is something wrong with a log as a whole. It is a finding, never a reason to refuse.
type Problem struct {
	Rule string // see the rules below
	Ref  Ref    // the first line concerned
	To   int64  // the last one; of "gap": the last that is missing

	Kind  harness.Kind // of "field": which one
	ID    string
	Field string
}

// The rules of Problem.
const (
	Gap      = "gap"   // lines are missing
	BadClock = "clock" // a line is ordered before one that it has seen
	Misfit   = "field" // a field is not of the type that this version knows; it is kept and not shown
)

// Problems lists what is wrong with the log, by device and number. A device's own gaps, and lines that another has
// declared as seen but that are not here, are gaps. Without its history it tells of fields only.
func (l *Log) Problems() []Problem {
	var out []Problem
	for _, r := range l.whole() {
		if harness.CheckFields(r.kind, r.object()) == nil {
			continue
		}
		for _, f := range r.fields {
			if f.value != nil && harness.CheckFields(r.kind, appendFields(nil, Fields{{f.name, f.value}})) != nil {
				out = append(out, Problem{Misfit, l.ref(f.by), f.by.n, r.kind, r.id, f.name})
			}
		}
	}
	if l.base == nil {
		out = append(out, l.disorder()...)
	}
	sorting.By(out, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Ref.Device, b.Ref.Device), cmp.Compare(a.Ref.N, b.Ref.N), cmp.Compare(a.Rule, b.Rule),
			cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.ID, b.ID), cmp.Compare(a.Field, b.Field))
	})
	return slices.Compact(out)
}

// disorder lists gaps and clocks, in no order.
func (l *Log) disorder() []Problem {
	var out []Problem
	for i, d := range l.devices {
		next, clock := int64(1), int64(0)
		for _, pos := range d.lines {
			line := l.lines[pos]
			if line.N > next {
				out = append(out, Problem{Rule: Gap, Ref: Ref{d.id, next}, To: line.N - 1})
			}
			if line.Clock <= clock {
				out = append(out, Problem{Rule: BadClock, Ref: line.Ref(), To: line.N})
			}
			next, clock = line.N+1, max(clock, line.Clock)
		}
		declared := int64(0)
		for _, other := range l.devices {
			for _, e := range other.epochs {
				if i < len(e.seen) {
					declared = max(declared, e.seen[i])
				}
			}
		}
		if declared >= next {
			out = append(out, Problem{Rule: Gap, Ref: Ref{d.id, next}, To: declared})
		}
	}
	for _, line := range l.lines {
		for id, n := range line.Seen {
			if at := l.at(stamp{l.byID[id], n}); at >= 0 && l.lines[at].Clock >= line.Clock {
				out = append(out, Problem{Rule: BadClock, Ref: line.Ref(), To: line.N})
			}
		}
	}
	return out
}
