// Package storagetest is what every store must do, as tests that each store runs.
package storagetest

import (
	"context"
	"testing"
	"time"

	"loomwright/calc/harness"
	"loomwright/storage"
)

// Blobs makes the blobs that a store takes, and looks into those that it returns.
type Blobs struct {
	Make func(data []byte) storage.Blob
	Read func(t *testing.T, b storage.Blob) []byte
}

// InMemory are blobs that are Bytes.
var InMemory = Blobs{
	Make: func(data []byte) storage.Blob { return storage.Bytes(data) },
	Read: func(_ *testing.T, b storage.Blob) []byte { return b.(storage.Bytes) },
}

// Run runs the suite. For each test, fresh returns a function that opens one more tab on a database of that test's
// own, which is empty at first.
func Run(t *testing.T, blobs Blobs, fresh func(t *testing.T) func() storage.Store) {
	for _, test := range []struct {
		name string
		run  func(*testing.T, func() storage.Store)
	}{
		{"empty", testEmpty},
		{"append", testAppend},
		{"the bytes of a line", testBytes},
		{"append is all or nothing", testAtomic},
		{"order and batches", testBatches},
		{"snapshot", testSnapshot},
		{"open", testOpen},
		{"blobs", func(t *testing.T, open func() storage.Store) { testBlobs(t, blobs, open) }},
		{"meta", testMeta},
		{"wipe", testWipe},
		{"cancelled", testCancelled},
		{"many at once", testParallel},
		{"one tab writes", testTabs},
		{"changes are told", testChanged},
	} {
		t.Run(test.name, func(t *testing.T) { test.run(t, fresh(t)) })
	}
}

// patience is how long an event may take before a test gives up.
const patience = 20 * time.Second

func background(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	t.Cleanup(cancel)
	return ctx
}

// must ends a test that got an error.
func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// add commits a place with this name, and saves it.
func add(t *testing.T, s storage.Store, l *storage.Log, device, id, name string) storage.Line {
	t.Helper()
	line := edit(t, l, device, id, name)
	must(t, s.Append(background(t), l.About(), []storage.Line{line}))
	return line
}

// edit commits a place with this name.
func edit(t *testing.T, l *storage.Log, device, id, name string) storage.Line {
	t.Helper()
	old, _ := l.State().Places.Any(id)
	now := old
	now.Name = name
	line, err := l.Commit(device, "2026-03-01T12:00:00Z", []storage.Change{storage.Put(harness.KindPlace, id, old, now)})
	must(t, err)
	return line
}

// watch returns a channel of the events of a store.
func watch(t *testing.T, s storage.Store) <-chan storage.Event {
	events := make(chan storage.Event, 100)
	t.Cleanup(s.Watch(func(e storage.Event) { events <- e }))
	return events
}

// wait returns when the event has come, passing over others.
func wait(t *testing.T, events <-chan storage.Event, want storage.Event) {
	t.Helper()
	timeout := time.After(patience)
	for {
		select {
		case e := <-events:
			if e == want {
				return
			}
		case <-timeout:
			t.Fatalf("no event %+v", want)
		}
	}
}
