package storage

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
)

// set changes one field of a place.
func set(id, name, value string) Change {
	return Change{Kind: harness.KindPlace, ID: id, Set: Fields{{name, jsontext.Value(value)}}}
}

func merge(t *testing.T, l *Log, device string, from *Log) Merged {
	t.Helper()
	m, err := l.Merge(device, noon, from.Lines())
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// both returns two logs that share one place "p" called "start", made on phone a.
func both(t *testing.T) (a, b *Log) {
	a, b = New("b1"), New("b1")
	commit(t, a, phoneA, set("p", "name", `"start"`))
	merge(t, b, phoneB, a)
	return a, b
}

// open writes the conflicts as text.
func open(l *Log) string {
	var out []string
	for _, c := range l.Conflicts() {
		text := fmt.Sprintf("%s %s=%s", c.ID, c.Field, c.Shown)
		for _, s := range c.Sides {
			text += fmt.Sprintf(" [%s/%d %s=%s]", s.Device, s.N, s.Field, s.Value)
		}
		out = append(out, text)
	}
	return strings.Join(out, "; ")
}

func TestConflicts(t *testing.T) {
	for _, test := range []struct {
		name string
		do   func(a, b *Log)
		want string
	}{
		{"different fields", func(a, b *Log) {
			commit(t, a, phoneA, set("p", "name", `"x"`))
			commit(t, b, phoneB, set("p", "note", `"y"`))
		}, ""},
		{"the same value", func(a, b *Log) {
			commit(t, a, phoneA, set("p", "name", `"x"`))
			commit(t, b, phoneB, set("p", "name", `"x"`))
		}, ""},
		{"the same object in another order", func(a, b *Log) {
			commit(t, a, phoneA, set("p", "new", `{"a":1,"b":2.50}`))
			commit(t, b, phoneB, set("p", "new", `{"b":2.5,"a":1}`))
		}, ""},
		{"whole numbers beyond a float are told apart", func(a, b *Log) {
			commit(t, a, phoneA, set("p", "new", `9007199254740993`))
			commit(t, b, phoneB, set("p", "new", `9007199254740992`))
		}, "p new=9007199254740992 [phone-a/2 new=9007199254740993] [phone-b/2 new=9007199254740992]"},
		{"two values", func(a, b *Log) {
			commit(t, a, phoneA, set("p", "name", `"x"`))
			commit(t, b, phoneB, set("p", "name", `"y"`))
		}, `p name="y" [phone-a/2 name="x"] [phone-b/2 name="y"]`},
		{"a value and none", func(a, b *Log) {
			commit(t, a, phoneA, set("p", "name", `null`))
			commit(t, b, phoneB, set("p", "name", `"y"`))
		}, `p name="y" [phone-a/2 name=null] [phone-b/2 name="y"]`},
		{"only the last word counts", func(a, b *Log) {
			commit(t, a, phoneA, set("p", "name", `"x"`))
			commit(t, a, phoneA, set("p", "name", `"y"`))
			commit(t, b, phoneB, set("p", "name", `"y"`))
		}, ""},
		{"deleted and edited", func(a, b *Log) {
			commit(t, a, phoneA, Delete(harness.KindPlace, "p"))
			commit(t, b, phoneB, set("p", "name", `"y"`))
		}, `p gone=true [phone-a/2 gone=true] [phone-b/2 name="y"]`},
		{"deleted on both", func(a, b *Log) {
			commit(t, a, phoneA, Delete(harness.KindPlace, "p"))
			commit(t, b, phoneB, set("p", "name", `"y"`))
			commit(t, b, phoneB, Delete(harness.KindPlace, "p"))
		}, ""},
		{"deleted, undone, and edited", func(a, b *Log) {
			commit(t, a, phoneA, Delete(harness.KindPlace, "p"))
			if _, _, err := a.Undo(phoneA, noon); err != nil {
				t.Fatal(err)
			}
			commit(t, b, phoneB, set("p", "name", `"y"`))
		}, ""},
		{"edited knowing that it is gone", func(a, b *Log) {
			commit(t, a, phoneA, Delete(harness.KindPlace, "p"))
			merge(t, b, phoneB, a)
			commit(t, b, phoneB, set("p", "name", `"y"`))
		}, ""},
		{"made on both from one proposal", func(a, b *Log) {
			id := ProposedID(harness.KindPlace, "pin 14")
			commit(t, a, phoneA, set(id, "name", `"W1"`))
			commit(t, b, phoneB, set(id, "name", `"W1"`))
		}, ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			a, b := both(t)
			test.do(a, b)
			told := merge(t, a, phoneA, b)
			merge(t, b, phoneB, a)
			if got := open(a); got != test.want {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
			if open(b) != open(a) {
				t.Errorf("the other phone has %s", open(b))
			}
			if len(told.Conflicts) != len(a.Conflicts()) {
				t.Errorf("Merge told of %d conflicts", len(told.Conflicts))
			}
			for _, c := range a.Conflicts() { // settle them on one phone: the other follows
				commit(t, a, phoneA, Choose(c, c.Shown))
			}
			if told := merge(t, b, phoneB, a); open(a) != "" || open(b) != "" || len(told.Conflicts) != 0 {
				t.Errorf("after settling: %s / %s", open(a), open(b))
			}
		})
	}
}

// A conflict that both settle in different ways is open again, between the two ways.
func TestSettledTwice(t *testing.T) {
	a, b := both(t)
	commit(t, a, phoneA, set("p", "name", `"x"`))
	commit(t, b, phoneB, set("p", "name", `"y"`))
	merge(t, a, phoneA, b)
	merge(t, b, phoneB, a)
	commit(t, a, phoneA, set("p", "name", `"x"`))
	commit(t, b, phoneB, set("p", "name", `"z"`))
	merge(t, a, phoneA, b)
	if got := open(a); !strings.Contains(got, `name="x"] [`) || !strings.Contains(got, `name="z"]`) || strings.Contains(got, `"y"`) {
		t.Errorf("got %s", got)
	}
}

func TestMergeRefuses(t *testing.T) {
	a, b := both(t)
	before := encode(t, a, nil)

	fork := New("b1")
	commit(t, fork, phoneA, set("p", "name", `"another start"`))
	if _, err := a.Merge(phoneA, noon, fork.Lines()); !errors.Is(err, ErrForked) {
		t.Errorf("a fork: %v", err)
	}
	again := New("b1") // the same phone after its database was restored
	if _, err := again.Add(a.Lines()); err != nil {
		t.Fatal(err)
	}
	commit(t, again, phoneA, set("p", "name", `"written elsewhere"`))
	if _, err := a.Merge(phoneA, noon, again.Lines()); !errors.Is(err, ErrDeviceUsed) {
		t.Errorf("lines of this device: %v", err)
	}
	if _, err := b.Merge(phoneA, noon, again.Lines()); !errors.Is(err, ErrDeviceUsed) {
		t.Errorf("the id of a phone that writes elsewhere: %v", err)
	}
	late, err := ParseLine([]byte(`{"device":"c","n":1,"clock":9007199254740992,"changes":[{"kind":"place","id":"p"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := a.Merge(phoneA, noon, []Line{late}); !errors.Is(err, ErrTooBig) {
		t.Errorf("a clock that leaves no room: %v", err)
	}
	var crowd []Line
	for i := range maxDevices + 1 {
		line, err := ParseLine(fmt.Appendf(nil, `{"device":"c%d","n":1,"clock":1,"changes":[{"kind":"place","id":"p"}]}`, i))
		if err != nil {
			t.Fatal(err)
		}
		crowd = append(crowd, line)
	}
	if _, err := a.Merge(phoneA, noon, crowd); !errors.Is(err, ErrTooBig) {
		t.Errorf("too many devices: %v", err)
	}
	if !bytes.Equal(encode(t, a, nil), before) {
		t.Error("a refused merge changed the log")
	}
	if _, err := a.Merge("fresh", noon, again.Lines()); err != nil {
		t.Errorf("under a fresh device id: %v", err)
	}
}

// At the highest clock a log refuses edits and stays as it is.
func TestClockEnds(t *testing.T) {
	l := New("b1")
	last, err := ParseLine([]byte(`{"device":"a","n":1,"clock":9007199254740992,"changes":[{"kind":"place","id":"p"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.Add([]Line{last}); err != nil {
		t.Fatal(err)
	}
	if _, err := l.Commit(phoneA, noon, []Change{set("p", "name", `"x"`)}); !errors.Is(err, ErrTooBig) || l.Len() != 1 {
		t.Errorf("Commit: %v, %d lines", err, l.Len())
	}
}

func TestProblems(t *testing.T) {
	var lines []Line
	for _, raw := range []string{
		`{"device":"a","n":1,"clock":5,"changes":[{"kind":"place","id":"p"}]}`,
		`{"device":"a","n":4,"clock":6,"changes":[{"kind":"place","id":"p"}]}`,                // 2 and 3 are missing
		`{"device":"a","n":5,"clock":6,"changes":[{"kind":"place","id":"p"}]}`,                // no later than the one before
		`{"device":"b","n":1,"clock":2,"seen":{"a":1,"c":3}}`,                                 // has seen what comes after it, and what is not here
		`{"device":"b","n":2,"clock":9,"changes":[{"kind":"place","id":"p","set":{"x":[]}}]}`, // fine
	} {
		line, err := ParseLine([]byte(raw))
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, line)
	}
	l := New("b1")
	if _, err := l.Add(lines); err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range l.Problems() {
		got = append(got, fmt.Sprintf("%s %s %d-%d", p.Rule, p.Ref.Device, p.Ref.N, p.To))
	}
	if want := "gap a 2-3, clock a 5-5, clock b 1-1, gap c 1-3"; strings.Join(got, ", ") != want {
		t.Errorf("got %s, want %s", strings.Join(got, ", "), want)
	}
}

// What an older version let in as an unknown field may not fit this one: it is told, and everything else opens.
func TestMisfit(t *testing.T) {
	lines, err := ParseSaved([]byte(`{"device":"a","n":1,"clock":1,"changes":[{"kind":"place","id":"p","set":{"name":"x","order":"first","note":"y"}}]}` + "\n"))
	if err != nil {
		t.Fatal(err)
	}
	l := New("b1")
	if _, err := l.Add(lines); err != nil {
		t.Fatal(err)
	}
	if p, ok := l.State().Places.Get("p"); !ok || p.Name != "x" || p.Note != "y" || p.Order != 0 {
		t.Errorf("place %+v, %v", p, ok)
	}
	if got := l.Problems(); len(got) != 1 || got[0].Rule != Misfit || got[0].Field != "order" || got[0].ID != "p" {
		t.Errorf("problems %+v", got)
	}
	from, err := OpenSnapshot(l.Snapshot("1"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if p, ok := from.State().Places.Get("p"); !ok || p.Note != "y" {
		t.Errorf("from a snapshot: %+v, %v", p, ok)
	}
}

// Settings of another build do not become this one's.
func TestSettingsOfAnotherBuild(t *testing.T) {
	l := New("b1")
	commit(t, l, phoneA, Put(harness.KindSettings, "b1", harness.Settings{}, harness.Settings{Title: "mine"}))
	commit(t, l, phoneA, Put(harness.KindSettings, "b2", harness.Settings{}, harness.Settings{Title: "not mine"}))
	if s := l.State().Settings; s.ID != "b1" || s.Title != "mine" {
		t.Errorf("settings %+v", s)
	}
}

// A phone has seen what the lines it declares had seen, even where it does not name them, and forgets nothing.
func TestSeenTransitively(t *testing.T) {
	lines, err := ParseSaved([]byte(strings.Join([]string{
		`{"device":"a","n":1,"clock":1,"changes":[{"kind":"place","id":"p","set":{"name":"a1"}}]}`,
		`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"q","set":{"name":"a2","note":"a2"}}]}`,
		`{"device":"b","n":1,"clock":3,"seen":{"a":2}}`,
		`{"device":"b","n":2,"clock":4,"changes":[{"kind":"place","id":"r","set":{"name":"b2"}}]}`,
		`{"device":"c","n":1,"clock":5,"seen":{"b":2}}`,
		`{"device":"c","n":2,"clock":6,"changes":[{"kind":"place","id":"p","set":{"name":"c2"}},{"kind":"place","id":"q","set":{"name":"c2"}}]}`,
		`{"device":"c","n":3,"clock":7,"seen":{"a":1}}`,
		`{"device":"c","n":4,"clock":8,"changes":[{"kind":"place","id":"q","set":{"note":"c4"}},{"kind":"place","id":"r","set":{"name":"c4"}}]}`,
		`{"device":"d","n":1,"clock":6,"seen":{"c":2},"changes":[{"kind":"place","id":"p","set":{"name":"d1"}}]}`,
		`{"device":"d","n":2,"clock":9,"seen":{"b":1},"changes":[{"kind":"place","id":"q","set":{"name":"d2"}}]}`,
	}, "\n")))
	if err != nil {
		t.Fatal(err)
	}
	l := New("b1")
	if _, err := l.Add(lines); err != nil {
		t.Fatal(err)
	}
	if got := open(l); got != "" {
		t.Errorf("conflicts: %s", got)
	}
	m := newModel(lines)
	if want := m.conflicts(); len(want) != 0 {
		t.Errorf("the model finds conflicts: %v", want)
	}
}
