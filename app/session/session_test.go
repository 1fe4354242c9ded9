package session

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
	"loomwright/storage/memory"
)

// probe gives tests the context of a mounted component.
type probe struct {
	app.Compo
	ctx app.Context
}

func (p *probe) OnMount(ctx app.Context) { p.ctx = ctx }
func (p *probe) Render() app.UI          { return app.Div() }

// bench is a session on a store, with the loop of the framework under the test's control.
type bench struct {
	*Session
	t    *testing.T
	loop app.ClientDispatcher
	ctx  app.Context
}

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

func start(t *testing.T, store storage.Store) *bench {
	t.Helper()
	phone := device.New()
	random := rand.New(rand.NewPCG(1, 2))
	n := 0
	s := New(Deps{
		Store:  store,
		Device: &phone,
		Now:    func() time.Time { return time.Date(2026, 5, 12, 9, 30, 0, 0, time.UTC) },
		NewID: func() string {
			n++
			return fmt.Sprintf("%08x-0000-4000-8000-%012x", random.Uint32(), n)
		},
		Random: rand.NewChaCha8([32]byte{1}),
	})
	p := &probe{}
	loop := app.NewClientTester(p)
	t.Cleanup(loop.Close)
	loop.Consume()
	if p.ctx == nil {
		t.Fatal("the component was not mounted")
	}
	s.Begin(context.Background())()
	return &bench{Session: s, t: t, loop: loop, ctx: p.ctx}
}

func (b *bench) create(title string) string {
	b.t.Helper()
	if err := b.Create(harness.Settings{Title: title, Unit: unit.Metric, Volts: 12}); err != nil {
		b.t.Fatal(err)
	}
	return b.ID()
}

func (b *bench) add(name string) string {
	b.t.Helper()
	id := b.FreshID()
	if err := b.Do(storage.Put(harness.KindPlace, id, harness.Place{}, harness.Place{Name: name, Kind: harness.Split})); err != nil {
		b.t.Fatal(err)
	}
	return id
}

func (b *bench) settle() {
	b.t.Helper()
	if err := b.Settle(); err != nil {
		b.t.Fatal(err)
	}
}

func TestAnEditIsSavedUndoneAndThereAfterAReload(t *testing.T) {
	store := memory.New()
	b := start(t, store)
	build := b.create("roadster")
	kept := b.add("split 1")
	undone := b.add("split 2")
	b.Undo(b.ctx)
	b.settle()
	if m := b.Mark(); m.Pending != 0 || m.N != 4 {
		t.Errorf("mark %+v, want 4 edits confirmed", m)
	}

	again := start(t, store)
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
	again.Redo(again.ctx)
	if _, ok := again.B().Places.Get(undone); !ok {
		t.Error("redo after a reload did nothing")
	}
}

func TestAFailedSaveKeepsTheEditAndTriesAgain(t *testing.T) {
	store := &flaky{Store: memory.New()}
	b := start(t, store)
	build := b.create("roadster")
	b.settle()
	store.fail = storage.ErrNoSpace
	id := b.add("split 1")
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
	b.settle()
	saved, err := store.Load(context.Background(), build)
	if err != nil || len(saved.Lines) != 2 {
		t.Errorf("%d lines in the store, %v; want 2", len(saved.Lines), err)
	}
}

func TestAFileComesBackAsTheSameBytes(t *testing.T) {
	store := memory.New()
	b := start(t, store)
	b.create("roadster")
	b.add("split 1")
	b.settle()
	var file device.File
	b.Backup(b.ctx, true, func(_ app.Context, f device.File, err error) {
		if err != nil {
			t.Fatal(err)
		}
		file = f
	})
	if file.Name != "roadster-2026-05-12.build" {
		t.Errorf("the file is called %q", file.Name)
	}

	other := start(t, memory.New())
	in, err := other.Incoming(context.Background(), file.Data)
	if err != nil || in.Here || in.Title != "roadster" || in.Edits != 2 {
		t.Fatalf("Incoming = %+v, %v", in, err)
	}
	other.Take(other.ctx, in, func(_ app.Context, _ string, err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	var back device.File
	other.Backup(other.ctx, true, func(_ app.Context, f device.File, err error) { back = f })
	if !bytes.Equal(file.Data, back.Data) {
		t.Error("export, import, export gave other bytes")
	}
}

func TestTakingTheFileOfAnotherPhoneMerges(t *testing.T) {
	mine := start(t, memory.New())
	mine.create("roadster")
	place := mine.add("split 1")
	mine.settle()
	file := func(b *bench) []byte {
		var data []byte
		b.Backup(b.ctx, true, func(_ app.Context, f device.File, err error) { data = f.Data })
		return data
	}
	theirs := start(t, memory.New())
	theirs.Phone = "theotherphone"
	in, err := theirs.Incoming(context.Background(), file(mine))
	if err != nil {
		t.Fatal(err)
	}
	theirs.Take(theirs.ctx, in, func(app.Context, string, error) {})
	rename := func(b *bench, name string) {
		old, _ := b.B().Places.Get(place)
		now := old
		now.Name = name
		if err := b.Do(storage.Put(harness.KindPlace, place, old, now)); err != nil {
			t.Fatal(err)
		}
	}
	rename(theirs, "behind the head")
	theirs.add("split 9")
	rename(mine, "by the head")
	mine.settle()

	in, err = mine.Incoming(context.Background(), file(theirs))
	if err != nil || !in.Here || in.New != 2 {
		t.Fatalf("Incoming = %+v, %v; want 2 new edits of a build that is here", in, err)
	}
	told := false
	mine.Take(mine.ctx, in, func(_ app.Context, _ string, err error) { told = true })
	mine.loop.Consume()
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
	b := start(t, memory.New())
	build := b.create("roadster")
	code, err := b.FreshCode()
	if err != nil {
		t.Fatal(err)
	}
	tagID := b.FreshID()
	if err := b.Do(storage.Put(harness.KindTag, tagID, harness.Tag{}, harness.Tag{Code: code, On: harness.KindPlace, Subject: b.B().Places.All()[0].ID})); err != nil {
		t.Fatal(err)
	}
	b.Duplicate(b.ctx, func(_ app.Context, _ string, err error) {
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
	b := start(t, store)
	build := b.create("roadster")
	none := func(_ app.Context, err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	b.Remove(b.ctx, build, true, none)
	if b.ID() != "" || len(b.Builds()) != 0 || len(b.GoneBuilds()) != 1 {
		t.Errorf("after deleting: open %q, %d builds, %d gone", b.ID(), len(b.Builds()), len(b.GoneBuilds()))
	}
	b.settle()
	b.Remove(b.ctx, build, false, none)
	b.loop.Consume()
	b.settle()
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
