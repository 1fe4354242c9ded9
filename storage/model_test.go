package storage

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strings"
)

// model is the meaning of a log written a second time, as plainly as it can be said and sharing no code with Log:
// every question is answered by looking at all edits again.
type model struct {
	lines []Line
	seen  []map[int]bool // of each line, the lines that it has seen
}

type modelRecord map[string]modelField

type modelField struct {
	value string // "" is none
	by    int
}

func newModel(lines []Line) *model {
	m := &model{lines: slices.Clone(lines)}
	sort.Slice(m.lines, func(i, j int) bool {
		a, b := m.lines[i], m.lines[j]
		if a.Clock != b.Clock {
			return a.Clock < b.Clock
		}
		if a.Device != b.Device {
			return a.Device < b.Device
		}
		return a.N < b.N
	})
	index := map[Ref]int{}
	for i, line := range m.lines {
		index[line.Ref()] = i
	}
	m.seen = make([]map[int]bool, len(m.lines))
	var see func(i int) map[int]bool
	see = func(i int) map[int]bool {
		if m.seen[i] != nil {
			return m.seen[i]
		}
		m.seen[i] = map[int]bool{}
		look := func(ref Ref) {
			if j, ok := index[ref]; ok {
				m.seen[i][j] = true
				for k := range see(j) {
					m.seen[i][k] = true
				}
			}
		}
		look(Ref{m.lines[i].Device, m.lines[i].N - 1})
		for device, n := range m.lines[i].Seen {
			look(Ref{device, n})
		}
		return m.seen[i]
	}
	for i := range m.lines {
		see(i)
	}
	return m
}

// replay applies the edits in order, those for which only holds.
func (m *model) replay(only func(i int) bool) map[key]modelRecord {
	state := map[key]modelRecord{}
	for i, line := range m.lines {
		if !only(i) {
			continue
		}
		for _, c := range line.Changes {
			k := key{c.Kind, c.ID}
			if state[k] == nil {
				state[k] = modelRecord{}
			}
			for _, f := range c.Set {
				state[k][f.Name] = modelField{plain(f.Value), i}
			}
		}
	}
	return state
}

func plain(v []byte) string {
	if string(v) == "null" {
		return ""
	}
	return string(v)
}

func (m *model) all() map[key]modelRecord { return m.replay(func(int) bool { return true }) }

// last returns those that set a field and that no other that set it has seen.
func (m *model) last(k key, name string) []int {
	var setters []int
	for i, line := range m.lines {
		for _, c := range line.Changes {
			if _, ok := c.Set.Get(name); ok && (key{c.Kind, c.ID}) == k {
				setters = append(setters, i)
			}
		}
	}
	return slices.DeleteFunc(slices.Clone(setters), func(i int) bool {
		return slices.ContainsFunc(setters, func(j int) bool { return m.seen[j][i] })
	})
}

func (m *model) valueOf(i int, k key, name string) string {
	for _, c := range m.lines[i].Changes {
		if (key{c.Kind, c.ID}) == k {
			v, _ := c.Set.Get(name)
			return plain(v)
		}
	}
	return ""
}

// conflicts lists them as text: record, field, value shown, and the sides.
func (m *model) conflicts() []string {
	var out []string
	for k, r := range m.all() {
		for name := range r {
			var sides []string
			values := map[string]bool{}
			add := func(i int, field string) {
				ref := m.lines[i].Ref()
				sides = append(sides, fmt.Sprintf("%s/%d %s=%s", ref.Device, ref.N, field, m.valueOf(i, k, field)))
			}
			last := m.last(k, name)
			for _, i := range last {
				add(i, name)
				values[m.valueOf(i, k, name)] = true
			}
			open := len(values) > 1
			if name == "gone" {
				for other := range r {
					if other == "gone" {
						continue
					}
					for _, i := range m.last(k, other) {
						deletions, apart := 0, 0
						for _, g := range last {
							if m.valueOf(g, k, "gone") == "true" {
								deletions++
								if g != i && !m.seen[g][i] && !m.seen[i][g] {
									apart++
								}
							}
						}
						if deletions > 0 && apart == deletions {
							add(i, other)
							open = true
						}
					}
				}
			}
			if open {
				sort.Strings(sides)
				out = append(out, fmt.Sprintf("%s %s %s: %s | %s", k.kind, k.id, name, r[name].value, strings.Join(sides, ", ")))
			}
		}
	}
	sort.Strings(out)
	return out
}

// undone reports whether a line is undone: an undo of it stands.
func (m *model) undone(i int) bool {
	for j, line := range m.lines {
		if line.Device == m.lines[i].Device && line.Undoes == m.lines[i].N && !m.undone(j) {
			return true
		}
	}
	return false
}

// toUndo returns the device's last edit that is not undone, or -1.
func (m *model) toUndo(device string) int {
	found := -1
	for i, line := range m.lines {
		if line.Device == device && len(line.Changes) > 0 && line.Undoes == 0 && !m.undone(i) {
			found = i
		}
	}
	return found
}

// toRedo returns the device's last undo that stands, or -1 if an edit of its own came after it.
func (m *model) toRedo(device string) int {
	found := -1
	for i, line := range m.lines {
		switch {
		case line.Device != device:
		case line.Undoes == 0 && len(line.Changes) > 0:
			found = -1
		case line.Undoes != 0 && !m.undone(i):
			for j, of := range m.lines { // an undo reverts an edit, a redo an undo
				if of.Device == device && of.N == line.Undoes && of.Undoes == 0 {
					found = max(found, i)
					_ = j
				}
			}
		}
	}
	return found
}

// origin returns the edit that a field owes its value to after line i has set it, -1 for none.
func (m *model) origin(i int, k key, name string) int {
	line := m.lines[i]
	if line.Undoes == 0 {
		return i
	}
	for j, of := range m.lines {
		if of.Device == line.Device && of.N == line.Undoes {
			f, ok := m.replay(func(x int) bool { return m.seen[j][x] })[k][name]
			if !ok {
				return -1
			}
			return m.origin(f.by, k, name)
		}
	}
	panic("undoes a line that is not there")
}

// revert returns what reverting line i sets, and what it leaves, as text.
func (m *model) revert(i int) (sets, left []string) {
	now := m.all()
	before := m.replay(func(x int) bool { return m.seen[i][x] })
	for _, c := range m.lines[i].Changes {
		k := key{c.Kind, c.ID}
		_, existed := before[k]
		created := !existed && m.lines[i].Undoes == 0
		stands := func(name string) bool {
			if len(m.last(k, name)) > 1 {
				return false
			}
			origin := m.origin(now[k][name].by, k, name)
			return origin == m.origin(i, k, name) || created && origin == -1
		}
		free := true
		for _, name := range slices.Sorted(maps.Keys(now[k])) {
			if _, mine := c.Set.Get(name); !mine && !created {
				continue
			}
			switch value := before[k][name].value; {
			case !stands(name):
				ref := m.lines[now[k][name].by].Ref()
				left = append(left, fmt.Sprintf("%s %s %s by %s/%d", k.kind, k.id, name, ref.Device, ref.N))
				free = false
			case !created && value != now[k][name].value:
				sets = append(sets, fmt.Sprintf("%s %s %s=%s", k.kind, k.id, name, value))
			}
		}
		if created && free && now[k]["gone"].value != "true" {
			sets = append(sets, fmt.Sprintf("%s %s gone=true", k.kind, k.id))
		}
	}
	sort.Strings(sets)
	sort.Strings(left)
	return sets, left
}
