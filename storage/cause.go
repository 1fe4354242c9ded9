package storage

import (
	"cmp"
	"slices"
)

// stamp names a line inside one Log: its device by index, and its number.
type stamp struct {
	dev int32
	n   int64
}

// device is what a Log knows of one device.
type device struct {
	id     string
	last   int64   // the highest n
	lines  []int32 // positions of its lines in Log.lines, by n
	epochs []epoch // by n

	done   []int64  // its edits that are not undone, oldest first
	undone []undone // its undos that can be redone, oldest first
}

// undone is a line that undoes another.
type undone struct{ n, of int64 }

// epoch is what a device has seen of the others, from line n on until its next epoch. The vector is closed: it
// contains what those lines had seen. It may be shorter than the list of devices.
type epoch struct {
	n    int64
	seen []int64 // by device index: the highest n seen
}

// knows returns what line x has seen of the other devices. Cost: O(log merges).
func (l *Log) knows(x stamp) []int64 {
	epochs := l.devices[x.dev].epochs
	i := len(epochs)
	if i > 0 && epochs[i-1].n > x.n {
		i, _ = slices.BinarySearchFunc(epochs, x.n+1, func(e epoch, n int64) int {
			if e.n < n {
				return -1
			}
			return 1
		})
	}
	if i == 0 {
		return nil
	}
	return epochs[i-1].seen
}

// saw reports whether line x had seen line y.
func (l *Log) saw(x, y stamp) bool {
	if x.dev == y.dev {
		return y.n < x.n
	}
	seen := l.knows(x)
	return int(y.dev) < len(seen) && seen[y.dev] >= y.n
}

// declare records that line x has seen those lines and what they had seen.
func (l *Log) declare(x stamp, declared map[string]int64) {
	for id := range declared {
		l.device(id)
	}
	seen := make([]int64, len(l.devices))
	copy(seen, l.knows(x))
	for id, n := range declared {
		dev := l.device(id)
		if dev == x.dev {
			continue
		}
		seen[dev] = max(seen[dev], n)
		for i, m := range l.knows(stamp{dev, n}) {
			seen[i] = max(seen[i], m)
		}
	}
	seen[x.dev] = 0 // its own lines are told by their numbers
	d := l.devices[x.dev]
	at, _ := slices.BinarySearchFunc(d.epochs, x.n, func(e epoch, n int64) int { return cmp.Compare(e.n, n) })
	d.epochs = slices.Insert(d.epochs, at, epoch{x.n, seen})
}

// unseen returns the lines that the device's next line has not seen yet but the log contains: what it must declare
// for its edits to come after all that is on its screen. It is nil where there is nothing.
func (l *Log) unseen(dev int32) map[string]int64 {
	var out map[string]int64
	seen := l.knows(stamp{dev, MaxClock})
	for i, d := range l.devices {
		if int32(i) == dev || d.last == 0 || i < len(seen) && seen[i] >= d.last {
			continue
		}
		if out == nil {
			out = map[string]int64{}
		}
		out[d.id] = d.last
	}
	return out
}

// device returns the index of a device, a new one if it was not known.
func (l *Log) device(id string) int32 {
	i, ok := l.byID[id]
	if !ok {
		i = int32(len(l.devices))
		l.byID[id] = i
		l.devices = append(l.devices, &device{id: id})
	}
	return i
}

func (l *Log) ref(s stamp) Ref { return Ref{l.devices[s.dev].id, s.n} }

// at returns the position of a line, or -1 where the log does not have it.
func (l *Log) at(s stamp) int {
	lines := l.devices[s.dev].lines
	if i := s.n - 1; i < int64(len(lines)) && l.lines[lines[i]].N == s.n { // no gaps: the usual case
		return int(lines[i])
	}
	i, ok := slices.BinarySearchFunc(lines, s.n, func(pos int32, n int64) int { return cmp.Compare(l.lines[pos].N, n) })
	if !ok {
		return -1
	}
	return int(lines[i])
}
