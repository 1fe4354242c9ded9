package storage

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

func kept(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "testdata", "builds", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func decode(t testing.TB, data []byte) *Log {
	t.Helper()
	l, err := Decode(bytes.NewReader(data), nil)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func encode(t testing.TB, l *Log, blob func(string) ([]byte, error)) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Encode(&b, l, blob); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The file of version 1 opens for ever, says what it said, and is written back byte for byte.
func TestVersion1(t *testing.T) {
	data := kept(t, "log-1.build")
	blobs := map[string][]byte{}
	l, err := Decode(bytes.NewReader(data), func(hash string, data []byte) error {
		blobs[hash] = data
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	s := l.State()
	if s.Settings.Title != "Kit roadster" || s.Settings.Volts != 12 || s.Settings.Unit != unit.Metric {
		t.Errorf("settings %+v", s.Settings)
	}
	if p, ok := s.Places.Get("place-3"); !ok || p.Name != "Geber Öldruck 温度" || *p.Travel != 30*unit.Millimetre || p.Order != 1.5 {
		t.Errorf("place-3 %+v", p)
	}
	if p, ok := s.Places.Get("place-2"); !ok || p.Name != "Scuttle" || p.Order != 0 {
		t.Errorf("place-2 %+v", p)
	}
	if r, ok := s.Readings.Get("reading-1"); !ok || r.Value != 368*unit.Millimetre || len(r.Places) != 2 {
		t.Errorf("reading-1 %+v", r)
	}
	if _, ok := s.Runs.Get("run-1"); ok {
		t.Error("run-1 was deleted on one phone and lives")
	}
	if r, ok := s.Runs.Any("run-1"); !ok || !r.Hot || r.Corners != 1 {
		t.Errorf("run-1 %+v", r)
	}
	var conflicts []string
	for _, c := range l.Conflicts() {
		conflicts = append(conflicts, fmt.Sprintf("%s %s %s", c.Kind, c.ID, c.Field))
	}
	if got := strings.Join(conflicts, ", "); got != "place place-2 name, run run-1 gone" {
		t.Errorf("conflicts: %s", got)
	}
	if e, ok := l.CanUndo("phone-one"); !ok || e.N != 8 {
		t.Errorf("CanUndo = %d, %v", e.N, ok)
	}
	if got := l.Problems(); len(got) != 0 {
		t.Errorf("problems %+v", got)
	}
	if len(blobs) != 1 || len(l.Blobs()) != 1 || string(blobs[l.Blobs()[0]]) != "not a photo" {
		t.Errorf("blobs %q, named %q", blobs, l.Blobs())
	}
	back := encode(t, l, func(hash string) ([]byte, error) { return blobs[hash], nil })
	if !bytes.Equal(back, data) {
		t.Errorf("written back as\n%s", back)
	}
}

// sealed gives lines the end that fits them.
func sealed(lines string, count int) string {
	return lines + fmt.Sprintf(`{"end":true,"count":%d,"sha256":"%x"}`+"\n", count, sha256.Sum256([]byte(lines)))
}

const (
	goodHead = `{"format":"loomwright-build","version":1,"build":"b1"}` + "\n"
	goodLine = `{"device":"a","n":1,"clock":1,"changes":[{"kind":"place","id":"p","set":{"name":"x"}}]}` + "\n"
)

// Whatever a file is cut off at, the edits before the cut can be opened.
func TestSalvage(t *testing.T) {
	data := kept(t, "log-1.build")
	whole := decode(t, data)
	for cut := range data {
		part := data[:cut]
		_, err := Decode(bytes.NewReader(part), nil)
		var at *FileError
		if !errors.As(err, &at) {
			t.Fatalf("cut at %d: %v", cut, err)
		}
		l, err := Salvage(SourceOf(bytes.NewReader(part)))
		if cut < bytes.IndexByte(data, '\n') {
			if !errors.Is(err, ErrNotOurs) && !errors.Is(err, ErrCorrupt) {
				t.Fatalf("cut at %d: %v", cut, err)
			}
			continue
		}
		if err != nil || l.Len() != at.Edits || l.Build() != whole.Build() {
			t.Fatalf("cut at %d: %v, %v, want %d edits", cut, l, err, at.Edits)
		}
		for i, line := range l.Lines() {
			if !bytes.Equal(line.Raw, whole.Lines()[i].Raw) {
				t.Fatalf("cut at %d: edit %d is %s", cut, i, line.Raw)
			}
		}
		if want := max(0, bytes.Count(part, []byte("\n"))-1); want < at.Edits || at.Edits < min(want, whole.Len()) {
			t.Fatalf("cut at %d: %d edits of %d lines", cut, at.Edits, want)
		}
	}
}

// A byte that flips is noticed, wherever it is.
func TestAnyChangedByteIsNoticed(t *testing.T) {
	data := kept(t, "log-1.build")
	for i := range data {
		bad := bytes.Clone(data)
		bad[i] ^= 1
		if l, err := Decode(bytes.NewReader(bad), nil); err == nil {
			if again := encode(t, l, func(string) ([]byte, error) { return []byte("not a photo"), nil }); !bytes.Equal(again, data) {
				t.Fatalf("byte %d (%q): taken as\n%s", i, data[i], again)
			}
		}
	}
}

func TestEncodeLeavesOutLostBlobs(t *testing.T) {
	l := decode(t, kept(t, "log-1.build"))
	without := encode(t, l, nil)
	lost := encode(t, l, func(string) ([]byte, error) { return nil, ErrMissing })
	if !bytes.Equal(without, lost) || bytes.Contains(lost, []byte(`{"blob":`)) {
		t.Errorf("a lost blob: %s", lost)
	}
	broken := errors.New("disk")
	if err := Encode(new(bytes.Buffer), l, func(string) ([]byte, error) { return nil, broken }); !errors.Is(err, broken) {
		t.Errorf("a blob that cannot be read: %v", err)
	}
	decode(t, lost)
}

func FuzzDecode(f *testing.F) {
	f.Add(kept(f, "log-1.build"))
	f.Add([]byte(sealed(goodHead+goodLine, 1)))
	f.Add([]byte(sealed(goodHead+goodLine+`{"device":"b","n":1,"clock":9,"seen":{"a":1,"c":7},"x":[{}],"changes":[{"kind":"k","id":"i","set":{"gone":null}}]}`+"\n", 2)))
	f.Add([]byte(sealed(goodHead+`{"device":"a","n":2,"clock":1,"undoes":1}`+"\n"+goodLine, 2)))
	f.Add([]byte(goodHead))
	f.Add([]byte(goodLine))
	f.Add([]byte(`{"device":"a","n":2,"clock":1,"undoes":1}` + "\n" + goodLine))
	f.Fuzz(func(t *testing.T, data []byte) {
		decodeAny(t, data)
		lines := strings.TrimRight(string(data), "\n") + "\n"
		decodeAny(t, []byte(sealed(goodHead+lines, strings.Count(lines, "\n")))) // as lines with a head and an end that fit
	})
}

// decodeAny checks what holds for any bytes: refused with a reason, or what was taken can be written and read again,
// gives the same bytes, and goes on working.
func decodeAny(t *testing.T, data []byte) {
	blobs := map[string][]byte{}
	l, err := Decode(bytes.NewReader(data), func(hash string, data []byte) error {
		blobs[hash] = data
		return nil
	})
	if err != nil {
		var at *FileError
		if l != nil || !errors.As(err, &at) || at.Line < 1 {
			t.Fatalf("refused with %v, %v", l, err)
		}
		if l, err = Salvage(SourceOf(bytes.NewReader(data))); err != nil {
			return
		}
	}
	get := func(hash string) ([]byte, error) {
		if data, ok := blobs[hash]; ok {
			return data, nil
		}
		return nil, ErrMissing
	}
	file := encode(t, l, get)
	again := decode(t, file)
	if !bytes.Equal(encode(t, again, get), file) {
		t.Fatal("encode after decode gives other bytes")
	}
	if got, want := dump(again), dump(l); got != want {
		t.Fatalf("read again\n%s\nfirst\n%s", got, want)
	}
	l.Problems()
	from, err := OpenSnapshot(l.Snapshot("1"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if l.Len() > 0 && dump(from) != dump(l) {
		t.Fatalf("from a snapshot\n%s\nfrom all lines\n%s", dump(from), dump(l))
	}
	if err := from.AddHistory(l.Lines()); err != nil {
		t.Fatal(err)
	}
	for id := range l.Counts() {
		if line, _, err := l.Undo(id, ""); err == nil && line.Undoes == 0 {
			t.Fatal("an undo that undoes nothing")
		}
	}
	change := Change{Kind: harness.KindPlace, ID: "fresh", Set: Fields{{"name", jsontext.Value(`"x"`)}}}
	if _, err := l.Commit("fresh", "", []Change{change}); err != nil && l.Clock() < MaxClock && !errors.Is(err, ErrNothing) {
		t.Fatal(err)
	}
}
