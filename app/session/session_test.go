package session_test

import (
	"bytes"
	"context"
	"errors"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	. "loomwright/app/session"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/harness"
	"loomwright/storage"
	"loomwright/storage/memory"
)

// flaky is a store that can be told to fail.
type flaky struct {
	storage.Store
	fail error
}

func (f *flaky) Append(ctx context.Context, a storage.About, lines []storage.Line) error {
	if f.fail != nil {
		return f.fail
	}
	return f.Store.Append(ctx, a, lines)
}

func TestAnEditIsSavedUndoneAndThereAfterAReload(t *testing.T) {
	store := memory.New()
	b := sessiontest.Start(t, store)
	build := b.New("roadster")
	kept := b.Split("split 1")
	undone := b.Split("split 2")
	b.Undo(b.Ctx)
	b.Saved()
	if m := b.Mark(); m.Pending != 0 || m.N != 4 {
		t.Errorf("mark %+v, want 4 edits confirmed", m)
	}

	again := sessiontest.Start(t, store)
	use, err := again.Load(context.Background(), build)
	if err != nil {
		t.Fatal(err)
	}
	use()
	if again.Phone != b.Phone {
		t.Errorf("the phone is called %q after a reload, was %q", again.Phone, b.Phone)
	}
	if _, ok := again.B().Places.Get(kept); !ok {
		t.Error("a saved place is gone")
	}
	if _, ok := again.B().Places.Get(undone); ok {
		t.Error("an undone place is back")
	}
	if !again.CanRedo() || !again.CanUndo() {
		t.Error("undo and redo do not survive a reload")
	}
	again.Redo(again.Ctx)
	if _, ok := again.B().Places.Get(undone); !ok {
		t.Error("redo after a reload did nothing")
	}
}

func TestAFailedSaveKeepsTheEditAndTriesAgain(t *testing.T) {
	store := &flaky{Store: memory.New()}
	b := sessiontest.Start(t, store)
	build := b.New("roadster")
	b.Saved()
	store.fail = storage.ErrNoSpace
	id := b.Split("split 1")
	if err := b.Settle(); !errors.Is(err, storage.ErrNoSpace) {
		t.Fatalf("Settle = %v, want ErrNoSpace", err)
	}
	if m := b.Mark(); !m.Failed || m.Pending != 1 || m.N != 1 {
		t.Errorf("mark %+v, want one edit pending and the first confirmed", m)
	}
	if _, ok := b.B().Places.Get(id); !ok {
		t.Error("the edit is not on screen any more")
	}
	store.fail = nil
	b.Retry()
	b.Saved()
	saved, err := store.Load(context.Background(), build)
	if err != nil || len(saved.Lines) != 2 {
		t.Errorf("%d lines in the store, %v; want 2", len(saved.Lines), err)
	}
}

func TestAFileComesBackAsTheSameBytes(t *testing.T) {
	store := memory.New()
	b := sessiontest.Start(t, store)
	b.New("roadster")
	b.Split("split 1")
	b.Saved()
	file := b.Backed()
	if file.Name != "roadster-2026-05-12.build" {
		t.Errorf("the file is called %q", file.Name)
	}

	other := sessiontest.Start(t, memory.New())
	in, err := other.Incoming(context.Background(), file.Data)
	if err != nil || in.Here || in.Title != "roadster" || in.Edits != 2 {
		t.Fatalf("Incoming = %+v, %v", in, err)
	}
	other.Take(other.Ctx, in, func(_ app.Context, _ string, err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	if back := other.Backed(); !bytes.Equal(file.Data, back.Data) {
		t.Error("export, import, export gave other bytes")
	}
}

func TestTakingTheFileOfAnotherPhoneMerges(t *testing.T) {
	mine := sessiontest.Start(t, memory.New())
	mine.New("roadster")
	place := mine.Split("split 1")
	mine.Saved()
	file := func(b *sessiontest.Bench) []byte { return b.Backed().Data }
	theirs := sessiontest.Start(t, memory.New())
	theirs.Phone = "theotherphone"
	in, err := theirs.Incoming(context.Background(), file(mine))
	if err != nil {
		t.Fatal(err)
	}
	theirs.Take(theirs.Ctx, in, func(app.Context, string, error) {})
	rename := func(b *sessiontest.Bench, name string) {
		old, _ := b.B().Places.Get(place)
		now := old
		now.Name = name
		if err := b.Do(storage.Put(harness.KindPlace, place, old, now)); err != nil {
			t.Fatal(err)
		}
	}
	rename(theirs, "behind the head")
	theirs.Split("split 9")
	rename(mine, "by the head")
	mine.Saved()

	in, err = mine.Incoming(context.Background(), file(theirs))
	if err != nil || !in.Here || in.New != 2 {
		t.Fatalf("Incoming = %+v, %v; want 2 new edits of a build that is here", in, err)
	}
	told := false
	mine.Take(mine.Ctx, in, func(_ app.Context, _ string, err error) { told = true })
	mine.Loop.Consume()
	if !told {
		t.Fatal("the merge was not told of")
	}
	if got := len(mine.Log().Conflicts()); got != 1 {
		t.Errorf("%d conflicts, want the one name", got)
	}
	if mine.B().Places.Len() != 3 {
		t.Errorf("%d places, want controller, split 1 and split 9", mine.B().Places.Len())
	}
}

func TestADuplicateHasNewCodesThatNameTheOld(t *testing.T) {
	b := sessiontest.Start(t, memory.New())
	build := b.New("roadster")
	code, err := b.FreshCode()
	if err != nil {
		t.Fatal(err)
	}
	tagID := b.FreshID()
	if err := b.Do(storage.Put(harness.KindTag, tagID, harness.Tag{}, harness.Tag{Code: code, On: harness.KindPlace, Subject: b.B().Places.All()[0].ID})); err != nil {
		t.Fatal(err)
	}
	b.Duplicate(b.Ctx, func(_ app.Context, _ string, err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	if b.ID() == build || b.B().Settings.Of != build || b.B().Settings.Title != "roadster copy" {
		t.Errorf("the copy is %+v", b.B().Settings)
	}
	got, ok := b.B().Tags.Get(tagID)
	if !ok || got.Code == code || got.Of != code {
		t.Errorf("the copied tag is %+v, want a new code that names %s", got, code)
	}
}

func TestADeletedBuildComesBack(t *testing.T) {
	store := memory.New()
	b := sessiontest.Start(t, store)
	build := b.New("roadster")
	none := func(_ app.Context, err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	b.Remove(b.Ctx, build, true, none)
	if b.ID() != "" || len(b.Builds()) != 0 || len(b.GoneBuilds()) != 1 {
		t.Errorf("after deleting: open %q, %d builds, %d gone", b.ID(), len(b.Builds()), len(b.GoneBuilds()))
	}
	b.Saved()
	b.Remove(b.Ctx, build, false, none)
	b.Loop.Consume()
	b.Saved()
	if len(b.Builds()) != 1 {
		t.Error("it did not come back")
	}
}

func TestFileName(t *testing.T) {
	for title, want := range map[string]string{
		"Kit roadster": "kit-roadster", "../../etc": "etc", "": "build", "Ω": "build", "a/b\\c:d": "a-b-c-d",
	} {
		if got := FileName(title); got != want {
			t.Errorf("FileName(%q) = %q, want %q", title, got, want)
		}
	}
}

func TestASentenceStaysForOneMorePage(t *testing.T) {
	b := sessiontest.Start(t, nil)
	b.Say(Notice{Text: "made"})
	b.Turn()
	if b.Notice().Text == "" {
		t.Error("gone on the page it was said on the way to")
	}
	b.Turn()
	if b.Notice().Text != "" {
		t.Error("still there two pages later")
	}
}

// Two pages wrote under one name: the page that comes second reads the build again and makes its edit once more.
func TestAnEditBehindTheStoreIsMadeAgain(t *testing.T) {
	inner := memory.New()
	store := &flaky{Store: inner}
	b := sessiontest.Start(t, store)
	build := b.New("roadster")
	b.Saved()

	saved, err := inner.Load(context.Background(), build)
	if err != nil {
		t.Fatal(err)
	}
	other := storage.New(build)
	if _, err := other.Add(saved.Lines); err != nil {
		t.Fatal(err)
	}
	line, err := other.Commit(b.Phone, b.Time(), []storage.Change{
		storage.Put(harness.KindPlace, "theirs", harness.Place{}, harness.Place{Name: "theirs", Kind: harness.Split}),
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := inner.Append(context.Background(), other.About(), []storage.Line{line}); err != nil {
		t.Fatal(err)
	}

	mine := b.Split("mine")
	if err := b.Settle(); !errors.Is(err, storage.ErrStale) {
		t.Fatalf("Settle = %v, want ErrStale", err)
	}
	b.Rebase(b.Ctx)
	b.Loop.Consume()
	b.Saved()
	for _, id := range []string{"theirs", mine} {
		if _, ok := b.B().Places.Get(id); !ok {
			t.Errorf("place %q is gone", id)
		}
	}
	if after, err := inner.Load(context.Background(), build); err != nil || len(after.Lines) != 3 {
		t.Errorf("%d lines in the store, %v; want 3", len(after.Lines), err)
	}
}

// The file of a phone that was restored from an older copy merges, under a fresh name for this phone.
func TestAFileWithUnknownEditsOfThisPhoneMerges(t *testing.T) {
	b := sessiontest.Start(t, nil)
	build := b.New("roadster")
	b.Saved()
	saved, err := b.Store.Load(context.Background(), build)
	if err != nil {
		t.Fatal(err)
	}
	newer := storage.New(build)
	if _, err := newer.Add(saved.Lines); err != nil {
		t.Fatal(err)
	}
	put := storage.Put(harness.KindPlace, "lost", harness.Place{}, harness.Place{Name: "lost", Kind: harness.Split})
	if _, err := newer.Commit(b.Phone, b.Time(), []storage.Change{put}); err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := storage.Encode(&file, newer, nil); err != nil {
		t.Fatal(err)
	}
	in, err := b.Incoming(context.Background(), file.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	before := b.Phone
	var failed error
	b.Take(b.Ctx, in, func(_ app.Context, _ string, err error) { failed = err })
	b.Loop.Consume()
	if failed != nil {
		t.Fatal(failed)
	}
	if _, ok := b.B().Places.Get("lost"); !ok || b.Phone == before {
		t.Errorf("merged %v under the phone's name %q, was %q", ok, b.Phone, before)
	}
}

func TestAheadIsTakenOnceAndTheSame(t *testing.T) {
	store := memory.New()
	b := sessiontest.Start(t, store)
	build := b.New("roadster")
	b.Split("split 1")
	b.Saved()

	s := New(b.Deps)
	s.Ahead(build)
	s.Begin(context.Background())()
	if s.Phone != b.Phone || len(s.Builds()) != 1 {
		t.Errorf("phone %q with %d builds, want %q with one", s.Phone, len(s.Builds()), b.Phone)
	}
	for range 2 { // the first was read ahead, the second is read now
		use, err := s.Load(context.Background(), build)
		if err != nil {
			t.Fatal(err)
		}
		use()
		if s.B().Places.Len() != 2 {
			t.Errorf("%d places, want 2", s.B().Places.Len())
		}
	}
	gone := New(b.Deps)
	gone.Ahead("no-such-build")
	gone.Begin(context.Background())()
	if _, err := gone.Load(context.Background(), "no-such-build"); !errors.Is(err, storage.ErrMissing) {
		t.Errorf("Load of a build that is not here: %v", err)
	}
}

// forgetful is a store that fails to tell a value for a while.
type forgetful struct {
	storage.Store
	fails int
}

var errBusy = errors.New("busy")

func (f *forgetful) Meta(ctx context.Context, key string) (string, error) {
	if f.fails > 0 {
		f.fails--
		return "", errBusy
	}
	return f.Store.Meta(ctx, key)
}

// A phone whose id cannot be read at the start opens no build, and makes none, without it: the next edit would be nobody's.
// As soon as it can be read, it is the id from before.
func TestNobodysEditsAreNotMade(t *testing.T) {
	b := sessiontest.Start(t, nil)
	build := b.New("kept")
	b.Saved()

	deps := b.Deps
	deps.Store = &forgetful{b.Store, 2}
	s := New(deps)
	s.Ahead(build)
	s.Begin(context.Background())()
	if _, err := s.Began(); !errors.Is(err, errBusy) {
		t.Errorf("the start says %v", err)
	}
	if err := s.Create(harness.Settings{Title: "nobody's"}); err == nil {
		t.Error("a build was made by no phone")
	}
	if _, err := s.Load(context.Background(), build); !errors.Is(err, errBusy) {
		t.Errorf("opened without an id: %v", err)
	}
	use, err := s.Load(context.Background(), build)
	if err != nil {
		t.Fatal(err)
	}
	use()
	if s.Phone != b.Phone || s.Mark().N == 0 || len(s.Builds()) != 1 {
		t.Errorf("phone %q, edit %d, %d builds; want %q", s.Phone, s.Mark().N, len(s.Builds()), b.Phone)
	}
	if _, err := s.Began(); err != nil {
		t.Errorf("still %v", err)
	}
}
