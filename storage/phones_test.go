package storage

import (
	"bytes"
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

// Two phones work on one build for long, and what they should end with is kept beside them by the test: every edit with
// a vector clock of its own, counted by the test and never read from the log. Conflicts are then found by looking at all
// pairs of edits of a field, from the words of the package comment.
const (
	editsEach = 2000
	exchanges = 12 // on the way, in one direction or both
)

// made is an edit as the test saw it being made.
type made struct {
	dev   int
	n     int      // among the edits of its phone, from 1
	seen  [2]int   // how many edits of each phone it had seen, its own earlier ones included
	clock int64    // logical, as the package comment defines it
	line  Ref      // only to name it
	set   []Change // what it set
}

// saw tells whether x had seen y.
func (x *made) saw(y *made) bool { return x != y && x.seen[y.dev] >= y.n }

// worker is one of the two phones, with what the test knows of it.
type worker struct {
	dev          int
	id, at       string
	log          *Log
	own          []*made
	sees         int // edits of the other
	clock        int64
	done, undone []Ref
	file         []byte // an earlier file of it, to be brought once more
}

func (w *worker) know(other *worker) []*made {
	return append(slices.Clone(w.own), other.own[:w.sees]...)
}

func TestTwoPhonesForLong(t *testing.T) {
	for seed := range uint64(6) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			twoPhones(t, seed)
		})
	}
}

func twoPhones(t *testing.T, seed uint64) {
	rng := rand.New(rand.NewPCG(seed, 2))
	ids := [2]string{"phone-a", "phone-b"}
	if seed%2 == 1 {
		ids = [2]string{"phone-b", "phone-a"} // which of equal clocks is later goes by the name
	}
	a := &worker{dev: 0, id: ids[0], at: "2026-03-01T12:00:00Z", log: New("b")}
	b := &worker{dev: 1, id: ids[1], at: "2029-03-01T12:00:00Z", log: New("b")} // its date is three years ahead
	if seed%3 == 2 {                                                            // and its logical clock too
		ahead, err := ParseLine(fmt.Appendf(nil, `{"device":%q,"n":1,"clock":1099511627776,"at":%q,"changes":[{"kind":"place","id":"place-0","set":{"name":"x"}}]}`, b.id, b.at))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := b.log.Add([]Line{ahead}); err != nil {
			t.Fatal(err)
		}
		b.clock = ahead.Clock - 1
		b.note(ahead)
		b.done = append(b.done, ahead.Ref())
	}
	others := [2]*worker{b, a}
	chance := float64(exchanges) / float64(2*editsEach)
	open, settled := 0, 0
	for len(a.own) < editsEach || len(b.own) < editsEach {
		w := []*worker{a, b}[rng.IntN(2)]
		if len(w.own) >= editsEach {
			w = others[w.dev]
		}
		switch n := rng.IntN(20); {
		case n < 13:
			w.change(t, rng)
		case n < 16:
			w.back(t, false)
		case n < 18:
			w.back(t, true)
		case n < 19 || len(w.log.Conflicts()) == 0:
			w.change(t, rng)
		default:
			open := w.log.Conflicts()
			c := open[rng.IntN(len(open))]
			value := c.Shown
			if s := c.Sides[rng.IntN(len(c.Sides))]; s.Field == c.Field {
				value = s.Value
			}
			w.do(t, []Change{Choose(c, value)})
			settled++
		}
		if rng.Float64() < chance {
			w.bring(t, others[w.dev])
			open += w.agree(t, others[w.dev])
			switch rng.IntN(4) {
			case 0:
				w.bring(t, others[w.dev]) // once more: nothing new
			case 1, 2:
				others[w.dev].bring(t, w)
				open += others[w.dev].agree(t, w)
			}
			if old := others[w.dev].file; old != nil && rng.IntN(2) == 0 {
				before := dump(w.log)
				w.merge(t, old)
				if dump(w.log) != before {
					t.Fatal("an old file that was merged already changed something")
				}
			}
		}
	}
	if open == 0 || settled == 0 {
		t.Fatalf("%d conflicts met, %d settled: nothing was tried", open, settled)
	}
	t.Logf("%d conflicts met on the way, %d settled", open, settled)

	first, second := a, b
	if rng.IntN(2) == 0 {
		first, second = b, a
	}
	for range 2 {
		first.bring(t, second)
		second.bring(t, first)
		if a.agree(t, b) == 0 {
			t.Error("nothing is in conflict at the end: that was not tried")
		}
		b.agree(t, a)
		sameShown(t, a, b)
	}
	for _, w := range []*worker{a, b} {
		other := others[w.dev]
		if len(w.know(other)) != len(a.own)+len(b.own) {
			t.Errorf("%s knows %d edits of %d", w.id, len(w.know(other)), len(a.own)+len(b.own))
		}
		// Undo is each phone's own, and the same on both.
		for _, l := range []*Log{a.log, b.log} {
			if got, ok := l.CanUndo(w.id); ok != (len(w.done) > 0) || ok && got.Ref() != w.done[len(w.done)-1] {
				t.Errorf("%s would undo %v, want the last of %d", w.id, got.Ref(), len(w.done))
			}
			if got, ok := l.CanRedo(w.id); ok != (len(w.undone) > 0) || ok && got.Ref() != w.undone[len(w.undone)-1] {
				t.Errorf("%s would redo %v, want the last of %d", w.id, got.Ref(), len(w.undone))
			}
		}
	}
	// One phone's note that it has seen the other's is always the last line: handed on as it is, the files are the same bytes.
	if _, err := first.log.Add(second.log.Lines()); err != nil {
		t.Fatal(err)
	}
	if _, err := second.log.Add(first.log.Lines()); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(encode(t, a.log, nil), encode(t, b.log, nil)) {
		t.Error("the files differ")
	}
	if dump(a.log) != dump(b.log) {
		t.Error("what the logs know differs")
	}
	for _, l := range []*Log{a.log, b.log} {
		if p := l.Problems(); len(p) > 0 {
			t.Errorf("problems %+v", p)
		}
	}
}

// note keeps an edit that was made.
func (w *worker) note(line Line) {
	w.clock++
	m := &made{dev: w.dev, n: len(w.own) + 1, clock: w.clock, line: line.Ref(), set: line.Changes}
	m.seen[w.dev], m.seen[1-w.dev] = len(w.own), w.sees
	w.own = append(w.own, m)
}

// do commits changes.
func (w *worker) do(t *testing.T, changes []Change) {
	t.Helper()
	line, err := w.log.Commit(w.id, w.at, changes)
	if errors.Is(err, ErrNothing) {
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	w.note(line)
	w.done, w.undone = append(w.done, line.Ref()), nil
}

// back undoes or redoes. What it sets is taken from its line: that it sets the right thing, short histories tell.
func (w *worker) back(t *testing.T, redo bool) {
	t.Helper()
	from, to, do := &w.done, &w.undone, w.log.Undo
	if redo {
		from, to, do = &w.undone, &w.done, w.log.Redo
	}
	line, report, err := do(w.id, w.at)
	if len(*from) == 0 {
		if !errors.Is(err, ErrNothing) {
			t.Fatalf("redo %v with nothing to do: %v", redo, err)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	last := (*from)[len(*from)-1]
	if report.Of != last {
		t.Fatalf("redo %v is of %v, want %v", redo, report.Of, last)
	}
	*from, *to = (*from)[:len(*from)-1], append(*to, last)
	w.note(line)
}

// change makes, changes or deletes some record, most often one that both phones work on.
func (w *worker) change(t *testing.T, rng *rand.Rand) {
	t.Helper()
	word := func() jsontext.Value {
		return []jsontext.Value{jsontext.Value(`"x"`), jsontext.Value(`"y"`), jsontext.Value(`"z"`), jsonNull}[rng.IntN(4)]
	}
	kinds := []struct {
		kind   harness.Kind
		fields []string
	}{
		{harness.KindPlace, []string{"name", "note"}},
		{harness.KindWire, []string{"name", "function", "size"}},
		{harness.KindTag, []string{"subject", "of"}},
		{"later", []string{"name", "new"}}, // of a newer version
	}
	var changes []Change
	for range 1 + rng.IntN(2) {
		k := kinds[rng.IntN(len(kinds))]
		id := fmt.Sprint(k.kind, "-", rng.IntN(40))
		if rng.IntN(12) == 0 { // a new one that only this phone makes
			id = fmt.Sprint(k.kind, "-", w.dev, "-", len(w.own))
		}
		switch rng.IntN(9) {
		case 0:
			changes = append(changes, Delete(k.kind, id))
		case 1:
			changes = append(changes, Undelete(k.kind, id))
		default:
			c := Change{Kind: k.kind, ID: id}
			for range 1 + rng.IntN(2) {
				c.Set = append(c.Set, Field{k.fields[rng.IntN(len(k.fields))], word()})
			}
			changes = append(changes, c)
		}
	}
	w.do(t, changes)
}

// bring carries the other phone's file here.
func (w *worker) bring(t *testing.T, from *worker) {
	t.Helper()
	from.file = encode(t, from.log, nil)
	before := w.log.Len()
	clock := max(w.clock, from.clock)
	w.merge(t, from.file)
	if w.log.Len() > before { // the merge is a line of its own, and takes a clock
		w.clock = clock + 1
	}
	w.sees = len(from.own)
}

func (w *worker) merge(t *testing.T, file []byte) {
	t.Helper()
	log, err := Decode(bytes.NewReader(file), nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.log.Merge(w.id, w.at, log.Lines()); err != nil {
		t.Fatal(err)
	}
}

// sameShown compares all that two phones show.
func sameShown(t *testing.T, a, b *worker) {
	t.Helper()
	if len(a.log.whole()) != len(b.log.whole()) {
		t.Errorf("%d records and %d", len(a.log.records), len(b.log.records))
	}
	for k, r := range a.log.whole() {
		other := b.log.records[k]
		if other == nil || string(sortedObject(r)) != string(sortedObject(other)) {
			t.Errorf("%v differs", k)
		}
	}
	x, y := a.log.State(), b.log.State()
	if !reflect.DeepEqual(x.Places.All(), y.Places.All()) || !reflect.DeepEqual(x.Wires.All(), y.Wires.All()) || !reflect.DeepEqual(x.Tags.All(), y.Tags.All()) ||
		!reflect.DeepEqual(x.Tags.Gone(), y.Tags.Gone()) {
		t.Error("places, wires or tags differ")
	}
}

func sortedObject(r *record) []byte {
	var fields Fields
	for _, f := range r.fields {
		if f.value != nil {
			fields = append(fields, Field{f.name, f.value})
		}
	}
	slices.SortFunc(fields, func(a, b Field) int { return strings.Compare(a.Name, b.Name) })
	return appendFields(nil, fields)
}

// word is one edit's value for a field.
type word struct {
	by    *made
	field string
	value string
}

// agree holds every field and every conflict of a phone against the edits that it has seen, and returns how many
// conflicts there are.
func (w *worker) agree(t *testing.T, other *worker) int {
	t.Helper()
	words := map[key]map[string][]word{}
	for _, m := range w.know(other) {
		for _, c := range m.set {
			k := key{c.Kind, c.ID}
			if words[k] == nil {
				words[k] = map[string][]word{}
			}
			for _, f := range c.Set {
				words[k][f.Name] = append(words[k][f.Name], word{m, f.Name, plain(f.Value)})
			}
		}
	}
	if len(words) != len(w.log.whole()) {
		t.Fatalf("%s: %d records, want %d", w.id, len(w.log.records), len(words))
	}
	ids := map[int]string{w.dev: w.id, other.dev: other.id}
	var want []string
	for k, fields := range words {
		standing := map[string][]word{}
		for name, all := range fields {
			shown := all[0]
			for _, x := range all {
				if x.by.clock > shown.by.clock || x.by.clock == shown.by.clock && ids[x.by.dev] > ids[shown.by.dev] {
					shown = x
				}
				if !slices.ContainsFunc(all, func(y word) bool { return y.by.saw(x.by) }) {
					standing[name] = append(standing[name], x)
				}
			}
			if got := plain(w.log.records[k].value(name)); got != shown.value {
				t.Fatalf("%s: %v %s is %q, want %q", w.id, k, name, got, shown.value)
			}
		}
		for name, last := range standing {
			sides := slices.Clone(last)
			open := slices.ContainsFunc(last, func(x word) bool { return x.value != last[0].value })
			if name == "gone" {
				deletions := slices.DeleteFunc(slices.Clone(last), func(x word) bool { return x.value != "true" })
				for other, edits := range standing {
					for _, x := range edits {
						met := func(d word) bool { return d.by == x.by || d.by.saw(x.by) || x.by.saw(d.by) }
						if other != "gone" && len(deletions) > 0 && !slices.ContainsFunc(deletions, met) {
							sides, open = append(sides, x), true
						}
					}
				}
			}
			if open {
				var text []string
				for _, x := range sides {
					text = append(text, fmt.Sprintf("%s/%d %s=%s", x.by.line.Device, x.by.line.N, x.field, x.value))
				}
				sort.Strings(text)
				want = append(want, fmt.Sprintf("%s %s %s | %s", k.kind, k.id, name, strings.Join(text, ", ")))
			}
		}
	}
	var got []string
	for _, c := range w.log.Conflicts() {
		var text []string
		for _, s := range c.Sides {
			text = append(text, fmt.Sprintf("%s/%d %s=%s", s.Device, s.N, s.Field, plain(s.Value)))
		}
		sort.Strings(text)
		got = append(got, fmt.Sprintf("%s %s %s | %s", c.Kind, c.ID, c.Field, strings.Join(text, ", ")))
	}
	sort.Strings(got)
	sort.Strings(want)
	if !slices.Equal(got, want) {
		for _, x := range got {
			if !slices.Contains(want, x) {
				t.Errorf("%s: shown for a choice and should not be: %s", w.id, x)
			}
		}
		for _, x := range want {
			if !slices.Contains(got, x) {
				t.Errorf("%s: not shown for a choice: %s", w.id, x)
			}
		}
		t.FailNow()
	}
	return len(got)
}
