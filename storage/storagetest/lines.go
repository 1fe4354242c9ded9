package storagetest

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"testing"

	"loomwright/storage"
)

func testEmpty(t *testing.T, open func() storage.Store) {
	s, ctx := open(), background(t)
	if list, err := s.Builds(ctx); err != nil || len(list) != 0 {
		t.Errorf("Builds = %v, %v", list, err)
	}
	if _, err := s.Load(ctx, "b1"); !errors.Is(err, storage.ErrMissing) {
		t.Errorf("Load: %v, want ErrMissing", err)
	}
	if lines, err := storage.AllLines(ctx, s, "b1"); err != nil || len(lines) != 0 {
		t.Errorf("Lines = %v, %v", lines, err)
	}
	if _, err := s.Meta(ctx, "device"); !errors.Is(err, storage.ErrMissing) {
		t.Errorf("Meta: %v, want ErrMissing", err)
	}
	if _, err := s.Blob(ctx, storage.BlobHash(nil)); !errors.Is(err, storage.ErrMissing) {
		t.Errorf("Blob: %v, want ErrMissing", err)
	}
	if list, err := s.Blobs(ctx); err != nil || len(list) != 0 {
		t.Errorf("Blobs = %v, %v", list, err)
	}
}

func testAppend(t *testing.T, open func() storage.Store) {
	s, ctx := open(), background(t)
	var want []storage.About
	for _, id := range []string{"b2", "b1", "b10"} {
		l := storage.New(id)
		add(t, s, l, "phone", "p1", "first")
		add(t, s, l, "phone", "p1", "second")
		want = append(want, l.About())
	}
	slices.SortFunc(want, func(a, b storage.About) int { return cmp.Compare(a.Build, b.Build) })
	for _, tab := range []storage.Store{s, open()} {
		list, err := tab.Builds(ctx)
		if err != nil || !slices.Equal(list, want) {
			t.Errorf("Builds = %+v, %v, want %+v", list, err, want)
		}
		saved, err := tab.Load(ctx, "b1")
		if err != nil || len(saved.Lines) != 2 || saved.Snapshot.Data != nil {
			t.Fatalf("Load = %+v, %v", saved, err)
		}
		if n := saved.Lines[1].N; n != 2 {
			t.Errorf("second line is %d", n)
		}
	}
}

// Lines come back byte for byte, with what this version does not know.
func testBytes(t *testing.T, open func() storage.Store) {
	s, ctx := open(), background(t)
	var lines []storage.Line
	for i, raw := range []string{
		`{"device":"phone","n":1,"clock":1,"changes":[{"kind":"place","id":"p1","set":{"name":"Ölsensor 温度 🔧"}}]}`,
		`{ "clock" : 2, "n":2 , "device":"phone","from a later version":[1.50,{"x":1e2}], "changes":[{"id":"x","kind":"photo","set":{"a\u0041":"\u00e9\n"}}] }`,
		`{"device":"phone","n":3,"clock":9007199254740992,"seen":{"other":9007199254740991}}`,
		`{"device":"phone","n":4,"clock":4,"changes":[{"kind":"place","id":"p1","set":{"name":"` + "\u2028\ufeff\x7f" + `"}}]}`,
	} {
		line, err := storage.ParseLine([]byte(raw))
		if err != nil {
			t.Fatalf("%d: %v", i, err)
		}
		lines = append(lines, line)
	}
	must(t, s.Append(ctx, storage.About{Build: "b1", Title: "温度 \u2028"}, lines))
	got, err := storage.AllLines(ctx, open(), "b1")
	must(t, err)
	if len(got) != len(lines) {
		t.Fatalf("%d lines, want %d", len(got), len(lines))
	}
	for i := range got {
		if !bytes.Equal(got[i].Raw, lines[i].Raw) {
			t.Errorf("got  %s\nwant %s", got[i].Raw, lines[i].Raw)
		}
	}
	var raw []byte
	for _, line := range lines {
		raw = append(append(raw, line.Raw...), '\n')
	}
	if got, err := s.Raw(ctx, "b1"); err != nil || !bytes.Equal(got, raw) {
		t.Errorf("Raw = %s, %v", got, err)
	}
	if back, err := storage.ParseSaved(raw); err != nil || len(back) != len(lines) {
		t.Errorf("ParseSaved: %d lines, %v", len(back), err)
	}
	if list, err := s.Builds(ctx); err != nil || list[0].Title != "温度 \u2028" {
		t.Errorf("Builds = %+v, %v", list, err)
	}
}

func testAtomic(t *testing.T, open func() storage.Store) {
	s, ctx := open(), background(t)
	l := storage.New("b1")
	first := add(t, s, l, "phone", "p1", "first")
	before := l.About()

	if err := s.Append(ctx, before, []storage.Line{first}); err != nil {
		t.Errorf("the same line again: %v", err)
	}
	other := storage.New("b1")
	fork := edit(t, other, "phone", "p1", "not the first")
	next := edit(t, other, "phone", "p1", "second")
	if err := s.Append(ctx, other.About(), []storage.Line{next, fork}); !errors.Is(err, storage.ErrStale) {
		t.Errorf("other bytes under one name: %v, want ErrStale", err)
	}
	lines, err := storage.AllLines(ctx, s, "b1")
	if err != nil || len(lines) != 1 || !bytes.Equal(lines[0].Raw, first.Raw) {
		t.Errorf("after a refused append: %d lines, %v", len(lines), err)
	}
	if list, err := s.Builds(ctx); err != nil || list[0] != before {
		t.Errorf("after a refused append: %+v, %v", list, err)
	}
	two := edit(t, l, "phone", "p2", "second")
	if err := s.Append(ctx, l.About(), []storage.Line{first, two}); err != nil {
		t.Errorf("a known and a new line: %v", err)
	}
}

func testBatches(t *testing.T, open func() storage.Store) {
	s, ctx := open(), background(t)
	l, near := storage.New("b1"), storage.New("b10")
	var lines []storage.Line
	const each = 1700
	for i := range each {
		lines = append(lines, edit(t, l, "phone-b", "p1", fmt.Sprint("b", i)), edit(t, l, "phone-a", "p1", fmt.Sprint("a", i)))
	}
	must(t, s.Append(ctx, l.About(), lines))
	add(t, s, near, "phone-a", "p1", "of another build")
	var got []storage.Line
	batches := 0
	must(t, s.Lines(ctx, "b1", func(b []storage.Line) error {
		batches++
		got = append(got, b...)
		return nil
	}))
	if len(got) != 2*each || batches < 2 {
		t.Fatalf("%d lines in %d batches", len(got), batches)
	}
	for i, line := range got {
		want := storage.Ref{Device: "phone-a", N: int64(i%each) + 1}
		if i >= each {
			want.Device = "phone-b"
		}
		if line.Ref() != want {
			t.Fatalf("line %d is %v, want %v", i, line.Ref(), want)
		}
	}
	stop := errors.New("enough")
	if err := s.Lines(ctx, "b1", func([]storage.Line) error { return stop }); !errors.Is(err, stop) {
		t.Errorf("an error from batch: %v", err)
	}
	saved, err := s.Load(ctx, "b1")
	if err != nil || len(saved.Lines) != 2*each {
		t.Errorf("Load: %d lines, %v", len(saved.Lines), err)
	}
}

func testSnapshot(t *testing.T, open func() storage.Store) {
	s, ctx := open(), background(t)
	l := storage.New("b1")
	for i := range 3 {
		add(t, s, l, "m", "p1", fmt.Sprint(i))
		add(t, s, l, "p", "p2", fmt.Sprint(i))
	}
	must(t, s.PutSnapshot(ctx, storage.Snapshot{Build: "b1", App: "0", Data: []byte("replaced below"), Counts: map[string]int64{"m": 1}}))
	snapshot := l.Snapshot("1.0")
	must(t, s.PutSnapshot(ctx, snapshot))
	for _, device := range []string{"p", "z", "a", "n", "m"} { // before, between and after those in the snapshot
		add(t, s, l, device, "p3", device)
	}
	saved, err := open().Load(ctx, "b1")
	must(t, err)
	if saved.Snapshot.App != "1.0" || saved.Snapshot.Build != "b1" || !bytes.Equal(saved.Snapshot.Data, snapshot.Data) {
		t.Errorf("snapshot %+v", saved.Snapshot)
	}
	if len(saved.Snapshot.Counts) != 2 || saved.Snapshot.Counts["m"] != 3 || saved.Snapshot.Counts["p"] != 3 {
		t.Errorf("counts %v", saved.Snapshot.Counts)
	}
	var got []storage.Ref
	for _, line := range saved.Lines {
		got = append(got, line.Ref())
	}
	want := []storage.Ref{{Device: "a", N: 1}, {Device: "m", N: 4}, {Device: "n", N: 1}, {Device: "p", N: 4}, {Device: "z", N: 1}}
	if !slices.Equal(got, want) {
		t.Errorf("lines after the snapshot: %v, want %v", got, want)
	}
}

func testOpen(t *testing.T, open func() storage.Store) {
	s, ctx := open(), background(t)
	l := storage.New("b1")
	add(t, s, l, "phone", "p1", "first")
	must(t, s.PutSnapshot(ctx, l.Snapshot("1.0")))
	add(t, s, l, "phone", "p1", "second")
	for _, test := range []struct {
		app  string
		need bool
	}{{"1.0", true}, {"1.1", false}} {
		back, err := storage.Open(ctx, s, "b1", test.app)
		must(t, err)
		if back.NeedsHistory() != test.need {
			t.Errorf("app %s: NeedsHistory = %v", test.app, back.NeedsHistory())
		}
		if p, _ := back.State().Places.Get("p1"); p.Name != "second" {
			t.Errorf("app %s: place %+v", test.app, p)
		}
		lines, err := storage.AllLines(ctx, s, "b1")
		must(t, err)
		must(t, back.AddHistory(lines))
		if back.NeedsHistory() || len(back.Lines()) != 2 || back.About() != l.About() {
			t.Errorf("app %s: after AddHistory %d lines, %+v", test.app, len(back.Lines()), back.About())
		}
	}
	if _, err := storage.Open(ctx, s, "none", "1.0"); !errors.Is(err, storage.ErrMissing) {
		t.Errorf("no such build: %v", err)
	}
}

func testCancelled(t *testing.T, open func() storage.Store) {
	s := open()
	l := storage.New("b1")
	line := edit(t, l, "phone", "p1", "never written")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := s.Append(ctx, l.About(), []storage.Line{line}); !errors.Is(err, context.Canceled) {
		t.Errorf("Append: %v", err)
	}
	if _, err := s.Load(ctx, "b1"); !errors.Is(err, context.Canceled) {
		t.Errorf("Load: %v", err)
	}
	if _, err := s.Load(background(t), "b1"); !errors.Is(err, storage.ErrMissing) {
		t.Errorf("after a cancelled append: %v, want ErrMissing", err)
	}
}

func testParallel(t *testing.T, open func() storage.Store) {
	s, ctx := open(), background(t)
	errs := make(chan error)
	const builds, edits = 8, 20
	for i := range builds {
		l := storage.New(fmt.Sprint("b", i))
		var lines []storage.Line
		for j := range edits {
			lines = append(lines, edit(t, l, "phone", "p1", fmt.Sprint(j)))
		}
		go func() {
			for _, line := range lines {
				if err := s.Append(ctx, l.About(), []storage.Line{line}); err != nil {
					errs <- err
					return
				}
				if _, err := s.Load(ctx, l.Build()); err != nil {
					errs <- err
					return
				}
			}
			errs <- nil
		}()
	}
	for range builds {
		must(t, <-errs)
	}
	for i := range builds {
		if saved, err := s.Load(ctx, fmt.Sprint("b", i)); err != nil || len(saved.Lines) != edits {
			t.Errorf("build %d: %d lines, %v", i, len(saved.Lines), err)
		}
	}
}
