package storage

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"loomwright/calc/harness"
)

func undo(t *testing.T, l *Log, device string) Report {
	t.Helper()
	_, report, err := l.Undo(device, noon)
	if err != nil {
		t.Fatal(err)
	}
	return report
}

func redo(t *testing.T, l *Log, device string) Report {
	t.Helper()
	_, report, err := l.Redo(device, noon)
	if err != nil {
		t.Fatal(err)
	}
	return report
}

func name(l *Log, id string) string {
	p, ok := l.State().Places.Get(id)
	if !ok {
		return "gone"
	}
	return p.Name
}

// Any number of edits is taken back one by one to the beginning, and done again to the end, also after reloading.
func TestUndoWithoutLimit(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	l := New("b1")
	commit(t, l, phoneA, set("p0", "name", `"0"`), set("p1", "name", `"0"`), set("p2", "name", `"0"`))
	states := []string{placesOf(l)}
	for i := range 60 {
		id := fmt.Sprint("p", rng.IntN(3))
		if rng.IntN(6) == 0 && name(l, id) != "gone" {
			commit(t, l, phoneA, Delete(harness.KindPlace, id))
		} else {
			commit(t, l, phoneA, set(id, "name", fmt.Sprintf(`"%d"`, i+1)), set("p2", "note", fmt.Sprintf(`"%d"`, i)))
		}
		states = append(states, placesOf(l))
	}
	reload := func() {
		again := New("b1")
		if _, err := again.Add(l.Lines()); err != nil {
			t.Fatal(err)
		}
		l = again
	}
	for range 2 {
		for i := len(states) - 2; i >= 0; i-- {
			undo(t, l, phoneA)
			if got := placesOf(l); got != states[i] {
				t.Fatalf("undo to %d: %s, want %s", i, got, states[i])
			}
			if i%10 == 0 {
				reload()
			}
		}
		for i := 1; i < len(states); i++ {
			redo(t, l, phoneA)
			if got := placesOf(l); got != states[i] {
				t.Fatalf("redo to %d: %s, want %s", i, got, states[i])
			}
			if i%10 == 0 {
				reload()
			}
		}
	}
	if _, _, err := l.Redo(phoneA, noon); !errors.Is(err, ErrNothing) {
		t.Errorf("redo at the end: %v", err)
	}
}

func placesOf(l *Log) string {
	return fmt.Sprintf("%+v %+v", l.State().Places.All(), l.State().Places.Gone())
}

func TestNewEditEndsRedo(t *testing.T) {
	l := New("b1")
	commit(t, l, phoneA, set("p", "name", `"x"`))
	commit(t, l, phoneA, set("p", "name", `"y"`))
	undo(t, l, phoneA)
	if e, ok := l.CanRedo(phoneA); !ok || e.N != 2 {
		t.Errorf("CanRedo = %d, %v", e.N, ok)
	}
	commit(t, l, phoneA, set("p", "name", `"z"`))
	if _, ok := l.CanRedo(phoneA); ok {
		t.Error("redo after a new edit")
	}
	undo(t, l, phoneA)
	if got := name(l, "p"); got != "x" {
		t.Errorf("name %s", got)
	}
}

// Undo is of this phone's own edits, and leaves alone what another phone has set since.
func TestUndoLeavesWhatOthersSet(t *testing.T) {
	a, b := both(t)
	commit(t, a, phoneA, set("p", "name", `"x"`), set("q", "name", `"made by a"`), set("r", "name", `"made by a"`))
	merge(t, b, phoneB, a)
	commit(t, b, phoneB, set("p", "name", `"y"`), set("q", "note", `"used by b"`))
	merge(t, a, phoneA, b)
	report := undo(t, a, phoneA)
	if name(a, "p") != "y" || name(a, "q") != "made by a" || name(a, "r") != "gone" {
		t.Errorf("p %s, q %s, r %s", name(a, "p"), name(a, "q"), name(a, "r"))
	}
	want := []Left{
		{harness.KindPlace, "p", "name", Ref{phoneB, 2 + 1}},
		{harness.KindPlace, "q", "note", Ref{phoneB, 2 + 1}},
	}
	if fmt.Sprint(report.Left) != fmt.Sprint(want) || report.Of != (Ref{phoneA, 2}) {
		t.Errorf("report %+v, want %+v", report, want)
	}
	redo(t, a, phoneA)
	if name(a, "r") != "made by a" || name(a, "p") != "y" {
		t.Errorf("after redo: p %s, r %s", name(a, "p"), name(a, "r"))
	}
	if _, ok := b.CanUndo("phone-c"); ok {
		t.Error("a phone that wrote nothing can undo")
	}
}

// Undo does not decide a conflict behind anyone's back.
func TestUndoInConflict(t *testing.T) {
	a, b := both(t)
	commit(t, a, phoneA, set("p", "name", `"x"`))
	commit(t, b, phoneB, set("p", "name", `"y"`))
	merge(t, a, phoneA, b)
	if report := undo(t, a, phoneA); len(report.Left) != 1 {
		t.Errorf("report %+v", report)
	}
	if len(a.Conflicts()) != 1 {
		t.Errorf("conflicts: %s", open(a))
	}
}

// What another phone took back again does not stand in the way.
func TestUndoAfterAnotherTookItBack(t *testing.T) {
	a, b := both(t)
	commit(t, a, phoneA, set("p", "name", `"x"`))
	merge(t, b, phoneB, a)
	commit(t, b, phoneB, set("p", "name", `"y"`))
	undo(t, b, phoneB)
	merge(t, a, phoneA, b)
	if report := undo(t, a, phoneA); len(report.Left) != 0 || name(a, "p") != "start" {
		t.Errorf("name %s, report %+v", name(a, "p"), report)
	}
}

func TestDeleteAndUndelete(t *testing.T) {
	l := New("b1")
	full := harness.Place{Name: "Split 4", Kind: harness.Split, Status: harness.Decided, Order: 2, Note: "under the scuttle"}
	commit(t, l, phoneA, putPlace("p", harness.Place{}, full))
	commit(t, l, phoneA, Delete(harness.KindPlace, "p"))
	if gone := l.State().Places.Gone(); len(gone) != 1 || gone[0].Note != full.Note {
		t.Errorf("gone %+v", gone)
	}
	commit(t, l, phoneA, Undelete(harness.KindPlace, "p"))
	full.ID = "p"
	if p, ok := l.State().Places.Get("p"); !ok || p != full {
		t.Errorf("back %+v, want %+v", p, full)
	}
}
