package idb

import (
	"context"
	"errors"
	"fmt"
	"syscall/js"
	"testing"
	"time"

	"loomwright/calc/harness"
	"loomwright/storage"
	"loomwright/storage/storagetest"
)

var databases int

// fresh returns a function that opens tabs on a new database, which is deleted after the test.
func fresh(t *testing.T) (name string, open func() *Store) {
	databases++
	name = fmt.Sprintf("test %d %v", databases, js.Global().Get("performance").Call("now").Float())
	var tabs []*Store
	t.Cleanup(func() {
		for _, s := range tabs {
			if err := s.Close(); err != nil {
				t.Error(err)
			}
		}
		writeCount(name, nil)
		request := js.Global().Get("indexedDB").Call("deleteDatabase", name)
		if _, err := awaitRequest(background(t), request, nil); err != nil {
			t.Error(err)
		}
	})
	return name, func() *Store {
		s := OpenNamed(context.Background(), name)
		tabs = append(tabs, s)
		if err := s.Ready(background(t)); err != nil {
			t.Fatal(err)
		}
		return s
	}
}

func background(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
	t.Cleanup(cancel)
	return ctx
}

func TestStore(t *testing.T) {
	outside := storagetest.Blobs{
		Make: func(data []byte) storage.Blob { return held{toJS(data), storage.BlobHash(data)} },
		Read: func(_ *testing.T, b storage.Blob) []byte { return toGo(b.(held).array, 0) },
	}
	storagetest.Run(t, outside, func(t *testing.T) func() storage.Store {
		_, open := fresh(t)
		return func() storage.Store { return open() }
	})
}

// save commits the title of the build and saves it.
func save(t *testing.T, s *Store, l *storage.Log, title string) {
	t.Helper()
	old := l.State().Settings
	now := old
	now.Title = title
	line, err := l.Commit("phone", "", []storage.Change{storage.Put(harness.KindSettings, l.Build(), old, now)})
	if err == nil {
		err = s.Append(background(t), l.About(), []storage.Line{line})
	}
	if err != nil {
		t.Fatal(err)
	}
}

// spy replaces a method of a browser class for the test. f gets the object, the arguments and the method as it was.
func spy(t *testing.T, class, method string, f func(this js.Value, args []js.Value, real func() js.Value) any) {
	prototype := js.Global().Get(class).Get("prototype")
	was := prototype.Get(method)
	replaced := js.FuncOf(func(this js.Value, args []js.Value) any {
		return f(this, args, func() js.Value {
			list := make([]any, len(args))
			for i, a := range args {
				list[i] = a
			}
			return was.Call("call", append([]any{this}, list...)...)
		})
	})
	prototype.Set(method, replaced)
	t.Cleanup(func() {
		prototype.Set(method, was)
		replaced.Release()
	})
}

// What a person enters is written with strict durability, and is not done before the transaction is.
func TestDurabilityIsStrict(t *testing.T) {
	_, open := fresh(t)
	s := open()
	var durability []string
	completed := 0
	spy(t, "IDBDatabase", "transaction", func(_ js.Value, args []js.Value, real func() js.Value) any {
		tx := real()
		if args[1].String() == "readwrite" {
			durability = append(durability, tx.Get("durability").String())
			done := js.FuncOf(func(js.Value, []js.Value) any {
				completed++
				return nil
			})
			tx.Call("addEventListener", "complete", done)
		}
		return tx
	})
	l := storage.New("b1")
	for i := range 3 {
		save(t, s, l, fmt.Sprint("title ", i))
		if completed != i+1 {
			t.Errorf("Append %d returned with %d transactions completed", i+1, completed)
		}
	}
	if _, err := s.PutBlob(background(t), storage.Bytes("a photo")); err != nil {
		t.Fatal(err)
	}
	if err := s.SetMeta(background(t), "key", "value"); err != nil {
		t.Fatal(err)
	}
	if len(durability) != 5 {
		t.Fatalf("%d transactions, want 5", len(durability))
	}
	for i, d := range durability {
		if d != "strict" {
			t.Errorf("transaction %d: durability %q, want strict", i, d)
		}
	}
}

func TestHandleIsOpenedAgain(t *testing.T) {
	for _, name := range []string{"InvalidStateError", "UnknownError"} {
		t.Run(name, func(t *testing.T) {
			_, open := fresh(t)
			s := open()
			l := storage.New("b1")
			fail(t, "IDBDatabase", "transaction", name, 1)
			save(t, s, l, "after one failure")
			fail(t, "IDBDatabase", "transaction", name, 2)
			if _, err := s.Builds(background(t)); !named(err, name) {
				t.Errorf("twice: %v, want it told", err)
			}
			if list, err := s.Builds(background(t)); err != nil || len(list) != 1 {
				t.Errorf("afterwards: %v, %v", list, err)
			}
		})
	}
}

// fail makes a method of a browser class throw an error of this name the next times times it is called. The method is
// written in JavaScript because Go cannot throw into it.
func fail(t *testing.T, class, method, name string, times int) {
	prototype := js.Global().Get(class).Get("prototype")
	was := prototype.Get(method)
	t.Cleanup(func() { prototype.Set(method, was) })
	prototype.Set(method, js.Global().Get("Function").New("was", "name", "times", `return function (...args) {
		if (times-- > 0) throw new DOMException("made by a test", name);
		return was.apply(this, args);
	}`).Invoke(was, name, times))
}

// The browser closes the handle under the store's feet.
func TestClosedHandle(t *testing.T) {
	_, open := fresh(t)
	s := open()
	l := storage.New("b1")
	save(t, s, l, "before")
	s.mu.Lock()
	s.db.Call("close")
	s.mu.Unlock()
	save(t, s, l, "after")
	if saved, err := s.Load(background(t), "b1"); err != nil || len(saved.Lines) != 2 {
		t.Errorf("%d lines, %v", len(saved.Lines), err)
	}
}

func TestNoSpace(t *testing.T) {
	_, open := fresh(t)
	s := open()
	l := storage.New("b1")
	save(t, s, l, "fits")
	fail(t, "IDBObjectStore", "add", "QuotaExceededError", 1)
	now := l.State().Settings
	now.Note = "does not fit"
	line, err := l.Commit("phone", "", []storage.Change{storage.Put(harness.KindSettings, "b1", l.State().Settings, now)})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Append(background(t), l.About(), []storage.Line{line}); !errors.Is(err, storage.ErrNoSpace) {
		t.Errorf("Append on a full device: %v, want ErrNoSpace", err)
	}
	if err := s.Append(background(t), l.About(), []storage.Line{line}); err != nil {
		t.Errorf("Append again: %v", err)
	}
	if saved, err := s.Load(background(t), "b1"); err != nil || len(saved.Lines) != 2 {
		t.Errorf("%d lines, %v", len(saved.Lines), err)
	}
}

func TestNewerSchemaIsReadOnly(t *testing.T) {
	name, open := fresh(t)
	first := open()
	save(t, first, storage.New("b1"), "kept")
	events := make(chan storage.Event, 10)
	first.Watch(func(e storage.Event) { events <- e })

	request := js.Global().Get("indexedDB").Call("open", name, schema+6) // as a newer version would; it asks us to close
	db, err := awaitRequest(background(t), request, map[string]func(){"onupgradeneeded": func() {
		request.Get("result").Call("createObjectStore", "from a later version")
	}})
	if err != nil {
		t.Fatal(err)
	}
	if e := <-events; e.What != storage.Closed {
		t.Errorf("event %q, want closed", e.What)
	}
	db.Call("close")
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}

	s := open()
	list, err := s.Builds(background(t))
	var newer *storage.TooNewError
	if len(list) != 1 || !errors.As(err, &newer) || newer.Version != schema+6 || newer.Reads != schema {
		t.Errorf("Builds = %v, %v, want the build and ErrTooNew", list, err)
	}
	if saved, err := s.Load(background(t), "b1"); err != nil || len(saved.Lines) != 1 {
		t.Errorf("Load: %d lines, %v", len(saved.Lines), err)
	}
	if s.Writer() {
		t.Error("a database of a newer version may be written to")
	}
	if err := s.SetMeta(background(t), "key", "value"); !errors.Is(err, storage.ErrTooNew) {
		t.Errorf("SetMeta: %v, want ErrTooNew", err)
	}
}

// clear empties object stores behind the store's back, as a browser does that loses its disk.
func clear(t *testing.T, s *Store, stores ...any) {
	t.Helper()
	err := s.twice(background(t), func(db js.Value) error {
		return run(background(t), db, stores, "readwrite", "strict", func(tx *tx) error {
			for _, name := range stores {
				if _, err := tx.request(name.(string), "clear"); err != nil {
					return err
				}
			}
			return nil
		})
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestLost(t *testing.T) {
	_, open := fresh(t)
	s := open()
	if _, err := s.Builds(background(t)); err != nil {
		t.Errorf("a new database: %v", err)
	}
	save(t, s, storage.New("b1"), "saved")
	clear(t, s, edits, meta)
	for range 2 { // it is told again after a reload, also when the phone has taken its fresh id
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		s = open()
		if list, err := s.Builds(background(t)); !errors.Is(err, storage.ErrLost) || len(list) != 0 {
			t.Errorf("Builds = %v, %v, want ErrLost", list, err)
		}
		if err := s.SetMeta(background(t), storage.DeviceKey, "fresh"); err != nil {
			t.Fatal(err)
		}
	}
	save(t, s, storage.New("b2"), "restored")
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if list, err := open().Builds(background(t)); err != nil || len(list) != 1 {
		t.Errorf("Builds = %v, %v, want the restored one", list, err)
	}
}

// A database that comes back older than it was makes the phone take a fresh device id.
func TestOlder(t *testing.T) {
	name, open := fresh(t)
	s := open()
	if err := s.SetMeta(background(t), storage.DeviceKey, "phone"); err != nil {
		t.Fatal(err)
	}
	save(t, s, storage.New("b1"), "saved")
	writeCount(name, map[string]int{"b1": 5})
	reopen := func() *Store {
		t.Helper()
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		s = open()
		return s
	}
	if _, err := reopen().Meta(background(t), storage.DeviceKey); !errors.Is(err, storage.ErrMissing) {
		t.Errorf("the device id of an older database: %v, want ErrMissing", err)
	}
	if err := s.SetMeta(background(t), storage.DeviceKey, "fresh"); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if id, err := s.Meta(background(t), storage.DeviceKey); err != nil || id != "fresh" {
			t.Errorf("device id %q, %v", id, err)
		}
		reopen()
	}
}

// A cancelled write says so and is not there.
func TestCancelDuringWrite(t *testing.T) {
	_, open := fresh(t)
	s := open()
	l := storage.New("b1")
	save(t, s, l, "first")
	ctx, cancel := context.WithCancel(context.Background())
	spy(t, "IDBObjectStore", "add", func(_ js.Value, _ []js.Value, real func() js.Value) any {
		request := real()
		cancel()
		return request
	})
	now := l.State().Settings
	now.Note = "cancelled"
	line, err := l.Commit("phone", "", []storage.Change{storage.Put(harness.KindSettings, "b1", l.State().Settings, now)})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Append(ctx, l.About(), []storage.Line{line}); !errors.Is(err, context.Canceled) {
		t.Errorf("Append: %v, want context.Canceled", err)
	}
	if saved, err := s.Load(background(t), "b1"); err != nil || len(saved.Lines) != 1 {
		t.Errorf("%d lines, %v, want the first only", len(saved.Lines), err)
	}
}

func BenchmarkAppend(b *testing.B) {
	name := "benchmark"
	s := OpenNamed(context.Background(), name)
	l := storage.New("b1")
	for i := range b.N {
		old := l.State().Settings
		now := old
		now.Title = fmt.Sprint(i)
		line, err := l.Commit("phone", "2026-03-01T12:00:00Z", []storage.Change{storage.Put(harness.KindSettings, "b1", old, now)})
		if err == nil {
			err = s.Append(context.Background(), l.About(), []storage.Line{line})
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	b.StopTimer()
	if err := s.Wipe(context.Background()); err != nil {
		b.Fatal(err)
	}
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
}
