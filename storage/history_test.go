package storage

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"sort"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
)

// histories is how many random histories the model is held against.
const histories = 20_000

// phone is one of the three of a history.
type phone struct {
	id  string
	at  string
	log *Log
}

// TestHistories lets three phones edit, delete, undo, redo and merge at random, one of them with its date and its
// clock years ahead, and compares everything with the model.
func TestHistories(t *testing.T) {
	count := histories
	if testing.Short() {
		count /= 20
	}
	const workers = 2
	for w := range workers {
		t.Run(fmt.Sprint(w), func(t *testing.T) {
			t.Parallel()
			for seed := w; seed < count; seed += workers {
				if err := history(uint64(seed)); err != nil {
					t.Fatalf("seed %d: %v", seed, err)
				}
			}
		})
	}
}

func history(seed uint64) error {
	rng := rand.New(rand.NewPCG(seed, 1))
	phones := []*phone{{"a", "2026-03-01T12:00:00Z", New("b")}, {"b", "2026-03-01T12:01:00Z", New("b")}, {"c", "2029-03-01T12:00:00Z", New("b")}}
	ahead, err := ParseLine([]byte(`{"device":"c","n":1,"clock":1099511627776,"at":"2029-03-01T12:00:00Z","changes":[{"kind":"place","id":"p0","set":{"name":"x"}}]}`))
	if err != nil {
		return err
	}
	if seed%2 == 0 {
		if _, err := phones[2].log.Add([]Line{ahead}); err != nil {
			return err
		}
	}
	for range 8 + rng.IntN(24) {
		p := phones[rng.IntN(3)]
		var err error
		switch n := rng.IntN(20); {
		case n < 10:
			err = p.edit(rng)
		case n < 13:
			err = p.undo(false)
		case n < 15:
			err = p.undo(true)
		case n < 18:
			err = p.merge(phones[rng.IntN(3)], rng)
		case n < 19:
			err = p.reopen()
		default:
			err = p.settle(rng)
		}
		if err != nil {
			return err
		}
	}
	return finish(phones, rng)
}

func (p *phone) edit(rng *rand.Rand) error {
	var changes []Change
	for range 1 + rng.IntN(2) {
		kind := []harness.Kind{harness.KindPlace, "photo"}[rng.IntN(2)]
		id := fmt.Sprint("p", rng.IntN(3))
		switch rng.IntN(8) {
		case 0:
			changes = append(changes, Delete(kind, id))
		case 1:
			changes = append(changes, Undelete(kind, id))
		case 2:
			changes = append(changes, Change{Kind: kind, ID: id})
		default:
			c := Change{Kind: kind, ID: id}
			for range 1 + rng.IntN(2) {
				value := jsontext.Value([]string{`"x"`, `"y"`, `"z"`, `null`}[rng.IntN(4)])
				c.Set = append(c.Set, Field{[]string{"name", "note", "new"}[rng.IntN(3)], value})
			}
			changes = append(changes, c)
		}
	}
	_, err := p.log.Commit(p.id, p.at, changes)
	if errors.Is(err, ErrNothing) {
		return nil
	}
	return err
}

// settle chooses a side of a conflict, or one that agrees with what is shown.
func (p *phone) settle(rng *rand.Rand) error {
	open := p.log.Conflicts()
	if len(open) == 0 {
		return nil
	}
	c := open[rng.IntN(len(open))]
	value := c.Shown
	if side := c.Sides[rng.IntN(len(c.Sides))]; side.Field == c.Field {
		value = side.Value
	}
	if _, err := p.log.Commit(p.id, p.at, []Change{Choose(c, value)}); err != nil {
		return fmt.Errorf("settling %+v: %w", c, err)
	}
	for _, left := range p.log.Conflicts() {
		if left.Kind == c.Kind && left.ID == c.ID && left.Field == c.Field {
			return fmt.Errorf("still open after it was settled: %+v", left)
		}
	}
	return nil
}

func (p *phone) undo(redo bool) error {
	if err := p.needHistory(); err != nil {
		return err
	}
	m := newModel(p.log.Lines())
	target, do := m.toUndo(p.id), p.log.Undo
	if redo {
		target, do = m.toRedo(p.id), p.log.Redo
	}
	line, report, err := do(p.id, p.at)
	if target < 0 {
		if !errors.Is(err, ErrNothing) {
			return fmt.Errorf("undo (redo %v) with nothing to do: %v", redo, err)
		}
		return nil
	}
	if err != nil {
		return err
	}
	if err := m.agrees(target, line, report); err != nil {
		return fmt.Errorf("redo %v: %w", redo, err)
	}
	return nil
}

// agrees compares an undo or redo of a line with what the model would do.
func (m *model) agrees(target int, line Line, report Report) error {
	var sets, left []string
	for _, c := range line.Changes {
		for _, f := range c.Set {
			sets = append(sets, fmt.Sprintf("%s %s %s=%s", c.Kind, c.ID, f.Name, plain(f.Value)))
		}
	}
	for _, f := range report.Left {
		left = append(left, fmt.Sprintf("%s %s %s by %s/%d", f.Kind, f.ID, f.Field, f.By.Device, f.By.N))
	}
	sort.Strings(sets)
	sort.Strings(left)
	wantSets, wantLeft := m.revert(target)
	if line.Undoes != m.lines[target].N || !slices.Equal(sets, wantSets) || !slices.Equal(left, wantLeft) {
		return fmt.Errorf("reverts %d, sets %q, leaves %q; the model: %d, %q, %q",
			line.Undoes, sets, left, m.lines[target].N, wantSets, wantLeft)
	}
	return nil
}

func (p *phone) merge(from *phone, rng *rand.Rand) error {
	if err := errors.Join(p.needHistory(), from.needHistory()); err != nil {
		return err
	}
	lines := slices.Clone(from.log.Lines())
	rng.Shuffle(len(lines), func(i, j int) { lines[i], lines[j] = lines[j], lines[i] })
	if p != from && rng.IntN(3) == 0 {
		lines = append(lines, lines...) // as a file that was merged with itself
	}
	if _, err := p.log.Merge(p.id, p.at, lines); err != nil {
		return err
	}
	again, err := p.log.Merge(p.id, p.at, lines)
	if err != nil || len(again.Lines) != 0 || again.Added != 0 || len(again.Conflicts) != 0 {
		return fmt.Errorf("merged twice: %+v, %v", again, err)
	}
	return nil
}

// errHistory is a log whose history was not where the test expects it.
var errHistory = errors.New("history missing, or there too early")

// reopen continues from a snapshot, without the earlier lines.
func (p *phone) reopen() error {
	if p.log.NeedsHistory() || p.log.Len() == 0 {
		return nil
	}
	lines := p.log.Lines()
	half := len(lines) / 2
	first := New("b")
	if _, err := first.Add(lines[:half]); err != nil {
		return err
	}
	log, err := OpenSnapshot(first.Snapshot("1"), lines[half:])
	if err != nil {
		return err
	}
	if got, want := dump(log), dump(p.log); got != want {
		return fmt.Errorf("from a snapshot\n%s\nfrom all lines\n%s", got, want)
	}
	p.log = log
	history := slices.Clone(lines)
	if half > 0 && !log.NeedsHistory() {
		return errHistory
	}
	// Undo in the tail works at once, or asks for the history; a copy tries it.
	probe, err := OpenSnapshot(first.Snapshot("1"), lines[half:])
	if err != nil {
		return err
	}
	m := newModel(lines)
	if line, report, err := probe.Undo(p.id, p.at); err == nil {
		if err := m.agrees(m.toUndo(p.id), line, report); err != nil {
			return fmt.Errorf("without history: %w", err)
		}
	} else if !errors.Is(err, ErrNeedsHistory) && !errors.Is(err, ErrNothing) {
		return err
	}
	return log.AddHistory(history)
}

func (p *phone) needHistory() error {
	if p.log.NeedsHistory() {
		return errHistory
	}
	return nil
}

// finish compares every phone with the model, then brings all together in different ways, which must not matter.
func finish(phones []*phone, rng *rand.Rand) error {
	var all []Line
	for _, p := range phones {
		if err := compare(p.log); err != nil {
			return fmt.Errorf("phone %s: %w", p.id, err)
		}
		all = append(all, p.log.Lines()...)
	}
	var want string
	for i := range 3 {
		rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		l := New("b")
		for part := range slices.Chunk(all, 1+rng.IntN(len(all)+1)) {
			if _, err := l.Add(part); err != nil {
				return err
			}
		}
		if problems := l.Problems(); len(problems) > 0 {
			return fmt.Errorf("problems %+v", problems)
		}
		if i == 0 {
			want = dump(l)
			if err := compare(l); err != nil {
				return fmt.Errorf("all together: %w", err)
			}
		} else if got := dump(l); got != want {
			return fmt.Errorf("in another order\n%s\nfirst\n%s", got, want)
		}
	}
	return nil
}

// compare holds a log against the model: state, what was, conflicts.
func compare(l *Log) error {
	m := newModel(l.Lines())
	state := m.all()
	if len(state) != len(l.records) {
		return fmt.Errorf("%d records, want %d", len(l.records), len(state))
	}
	typed := harness.NewBuild("b")
	for k, fields := range state {
		var object Fields
		for name, f := range fields {
			if got := string(l.records[k].value(name)); got != f.value {
				return fmt.Errorf("%s %s: field %s is %s, want %s", k.kind, k.id, name, got, f.value)
			}
			if f.value != "" {
				object = append(object, Field{name, jsontext.Value(f.value)})
			}
		}
		if _, err := typed.Put(k.kind, k.id, appendFields(nil, object)); err != nil {
			return err
		}
	}
	if !reflect.DeepEqual(l.State().Places.All(), typed.Places.All()) || !reflect.DeepEqual(l.State().Places.Gone(), typed.Places.Gone()) {
		return fmt.Errorf("places %+v, want %+v", l.State().Places.All(), typed.Places.All())
	}
	for i, line := range m.lines {
		before := m.replay(func(x int) bool { return m.seen[i][x] })
		for _, c := range line.Changes {
			for _, f := range c.Set {
				was, _ := c.Was.Get(f.Name)
				if want := before[key{c.Kind, c.ID}][f.Name].value; string(was) != want {
					return fmt.Errorf("line %s: was %s, want %s", line.Raw, was, want)
				}
			}
		}
	}
	var got []string
	for _, c := range l.Conflicts() {
		var sides []string
		for _, s := range c.Sides {
			sides = append(sides, fmt.Sprintf("%s/%d %s=%s", s.Device, s.N, s.Field, string(s.Value)))
		}
		sort.Strings(sides)
		got = append(got, fmt.Sprintf("%s %s %s: %s | %s", c.Kind, c.ID, c.Field, string(c.Shown), strings.Join(sides, ", ")))
	}
	sort.Strings(got)
	if want := m.conflicts(); !slices.Equal(got, want) {
		return fmt.Errorf("conflicts %q, want %q", got, want)
	}
	return nil
}

// dump writes down all that a log knows, in an order that does not depend on how it came to know it.
func dump(l *Log) string {
	var b strings.Builder
	fmt.Fprintf(&b, "clock %d last %v counts %v len %d\n", l.clock, l.last.Ref(), l.Counts(), l.Len())
	for _, r := range l.sorted() {
		fields := slices.Clone(r.fields)
		slices.SortFunc(fields, func(a, b field) int { return strings.Compare(a.name, b.name) })
		for _, f := range fields {
			fmt.Fprintf(&b, "%s %s %s = %s by %v", r.kind, r.id, f.name, f.value, l.ref(f.by))
			var rivals []string
			for _, s := range f.rival {
				rivals = append(rivals, fmt.Sprintf(" or %s by %v", s.value, l.ref(s.by)))
			}
			sort.Strings(rivals)
			fmt.Fprintln(&b, strings.Join(rivals, ""))
		}
	}
	devices := slices.Clone(l.devices)
	slices.SortFunc(devices, func(a, b *device) int { return strings.Compare(a.id, b.id) })
	for _, d := range devices {
		if d.last == 0 {
			continue
		}
		fmt.Fprintf(&b, "device %s last %d done %v undone %v\n", d.id, d.last, d.done, d.undone)
		for _, e := range d.epochs {
			seen := map[string]int64{}
			for i, n := range e.seen {
				if n > 0 {
					seen[l.devices[i].id] = n
				}
			}
			fmt.Fprintf(&b, "  from %d has seen %v\n", e.n, seen)
		}
	}
	fmt.Fprintf(&b, "places %+v gone %+v conflicts %+v\n", l.State().Places.All(), l.State().Places.Gone(), l.Conflicts())
	return b.String()
}
