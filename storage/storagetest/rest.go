package storagetest

import (
	"bytes"
	"errors"
	"slices"
	"testing"

	"loomwright/storage"
)

func testBlobs(t *testing.T, kind Blobs, open func() storage.Store) {
	s, ctx := open(), background(t)
	big := bytes.Repeat([]byte{0, 1, 0xff, '\n'}, 300_000)
	var hashes []string
	for _, data := range [][]byte{[]byte("a photo"), {}, big, []byte("a photo")} {
		hash, err := s.PutBlob(ctx, kind.Make(data))
		must(t, err)
		if hash != storage.BlobHash(data) {
			t.Errorf("hash %s", hash)
		}
		hashes = append(hashes, hash)
		back, err := open().Blob(ctx, hash)
		if err != nil || back.Size() != len(data) || back.Hash() != hash || !bytes.Equal(kind.Read(t, back), data) {
			t.Errorf("blob of %d bytes came back as %v, %v", len(data), back, err)
		}
	}
	if b, err := s.Blob(ctx, storage.BlobHash([]byte("never kept"))); !errors.Is(err, storage.ErrMissing) {
		t.Errorf("a blob that was never kept: %v, %v", b, err)
	}
	slices.Sort(hashes)
	if list, err := s.Blobs(ctx); err != nil || !slices.Equal(list, slices.Compact(hashes)) {
		t.Errorf("Blobs = %v, %v, want %v", list, err, hashes)
	}
}

func testMeta(t *testing.T, open func() storage.Store) {
	s, ctx := open(), background(t)
	for _, value := range []string{"phone-1", "", "温度 \u2028"} {
		must(t, s.SetMeta(ctx, "device", value))
		if got, err := open().Meta(ctx, "device"); err != nil || got != value {
			t.Errorf("Meta = %q, %v, want %q", got, err, value)
		}
	}
	if list, err := s.Builds(ctx); err != nil || len(list) != 0 {
		t.Errorf("a value became a build: %v, %v", list, err)
	}
}

func testWipe(t *testing.T, open func() storage.Store) {
	s, ctx := open(), background(t)
	l := storage.New("b1")
	add(t, s, l, "phone", "p1", "first")
	must(t, s.PutSnapshot(ctx, l.Snapshot("1.0")))
	must(t, s.SetMeta(ctx, "device", "phone"))
	_, err := s.PutBlob(ctx, storage.Bytes("a photo"))
	must(t, err)
	must(t, s.Wipe(ctx))
	testEmpty(t, open)
	add(t, s, storage.New("b1"), "phone", "p1", "anew")
	if saved, err := s.Load(ctx, "b1"); err != nil || len(saved.Lines) != 1 || saved.Snapshot.Data != nil {
		t.Errorf("after a wipe: %+v, %v", saved, err)
	}
}

func testTabs(t *testing.T, open func() storage.Store) {
	first, second, ctx := open(), open(), background(t)
	if !first.Writer() || second.Writer() {
		t.Fatalf("Writer: first %v, second %v", first.Writer(), second.Writer())
	}
	l := storage.New("b1")
	add(t, first, l, "phone", "p1", "first")
	line := edit(t, l, "phone", "p1", "second")
	readOnly := func(s storage.Store) {
		t.Helper()
		_, blob := s.PutBlob(ctx, storage.Bytes("x"))
		for name, err := range map[string]error{
			"Append":      s.Append(ctx, l.About(), []storage.Line{line}),
			"PutSnapshot": s.PutSnapshot(ctx, l.Snapshot("1.0")),
			"SetMeta":     s.SetMeta(ctx, "device", "x"),
			"PutBlob":     blob,
			"Wipe":        s.Wipe(ctx),
		} {
			if !errors.Is(err, storage.ErrReadOnly) {
				t.Errorf("%s in a tab that reads: %v, want ErrReadOnly", name, err)
			}
		}
		if saved, err := s.Load(ctx, "b1"); err != nil || len(saved.Lines) == 0 {
			t.Errorf("Load in a tab that reads: %v", err)
		}
	}
	readOnly(second)

	lost, gained := watch(t, first), watch(t, second)
	must(t, second.TakeOver(ctx))
	wait(t, lost, storage.Event{What: storage.WriterLost})
	wait(t, gained, storage.Event{What: storage.WriterGained})
	if first.Writer() || !second.Writer() {
		t.Fatalf("Writer after TakeOver: first %v, second %v", first.Writer(), second.Writer())
	}
	must(t, second.Append(ctx, l.About(), []storage.Line{line}))
	readOnly(first)

	must(t, second.TakeOver(ctx)) // it is the writer already
	must(t, second.Close())
	wait(t, lost, storage.Event{What: storage.WriterGained})
	if !first.Writer() {
		t.Error("no writer after the writer closed")
	}
	add(t, first, l, "phone", "p1", "third")
}

func testChanged(t *testing.T, open func() storage.Store) {
	first, second := open(), open()
	own, events := watch(t, first), watch(t, second)
	add(t, first, storage.New("b1"), "phone", "p1", "first")
	wait(t, events, storage.Event{What: storage.Changed, Build: "b1"})
	must(t, first.Wipe(background(t)))
	wait(t, events, storage.Event{What: storage.Changed})
	select {
	case e := <-own:
		t.Errorf("a tab was told of its own change: %+v", e)
	default:
	}
}
