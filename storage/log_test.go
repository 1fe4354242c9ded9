package storage

import (
	"bytes"
	"errors"
	"testing"

	"loomwright/calc/harness"
)

const (
	phoneA = "phone-a"
	phoneB = "phone-b"
	noon   = "2026-03-01T12:00:00Z"
)

func commit(t *testing.T, l *Log, device string, changes ...Change) Line {
	t.Helper()
	line, err := l.Commit(device, noon, changes)
	if err != nil {
		t.Fatalf("Commit: %v", err)
	}
	return line
}

func putPlace(id string, old, new harness.Place) Change {
	return Put(harness.KindPlace, id, old, new)
}

func TestCommitWritesOneLine(t *testing.T) {
	l := New("b1")
	first := harness.Place{Name: "split", Kind: harness.Split, Order: 1}
	commit(t, l, phoneA, putPlace("p1", harness.Place{}, first))
	second := first
	second.Name, second.Order = "split 4", 0
	line := commit(t, l, phoneA, putPlace("p1", first, second))
	want := `{"device":"phone-a","n":2,"clock":2,"at":"2026-03-01T12:00:00Z","changes":[{"kind":"place","id":"p1",` +
		`"set":{"name":"split 4","order":null},"was":{"name":"split","order":1}}]}`
	if string(line.Raw) != want {
		t.Errorf("line\n%s, want\n%s", line.Raw, want)
	}
	if p, ok := l.State().Places.Get("p1"); !ok || p.Name != "split 4" || p.Order != 0 {
		t.Errorf("state %+v, %v", p, ok)
	}
	if _, err := l.Commit(phoneA, noon, []Change{putPlace("p1", first, second)}); !errors.Is(err, ErrNothing) {
		t.Errorf("the same change again: %v, want ErrNothing", err)
	}
}

func TestUndoOfACreateAndRedo(t *testing.T) {
	l := New("b1")
	commit(t, l, phoneA, putPlace("p1", harness.Place{}, harness.Place{Name: "split"}))
	if _, _, err := l.Undo(phoneA, noon); err != nil {
		t.Fatal(err)
	}
	if _, ok := l.State().Places.Get("p1"); ok {
		t.Error("the place is still there after undo")
	}
	if _, _, err := l.Redo(phoneA, noon); err != nil {
		t.Fatal(err)
	}
	if p, ok := l.State().Places.Get("p1"); !ok || p.Name != "split" {
		t.Errorf("redo brought back %+v, %v", p, ok)
	}
	var file bytes.Buffer
	if err := Encode(&file, l, nil); err != nil {
		t.Fatal(err)
	}
	back, err := Decode(bytes.NewReader(file.Bytes()), nil)
	if err != nil {
		t.Fatal(err)
	}
	if e, ok := back.CanUndo(phoneA); !ok || e.N != 1 {
		t.Errorf("CanUndo after a reload: %d, %v", e.N, ok)
	}
}
