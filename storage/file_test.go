package storage

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
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

func TestDecodeRefuses(t *testing.T) {
	edit := func(line string) string { return sealed(goodHead+goodLine+line+"\n", 2) }
	field := func(f string) string {
		return edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"p","set":{` + f + `}}]}`)
	}
	wide := goodLine[:len(goodLine)-1] + strings.Repeat(" ", MaxLine-len(goodLine)) + "\n" // just under 1 MB
	blob := func(hash string, data []byte) string {
		return sealed(goodHead+goodLine+`{"blob":"`+hash+`","data":"`+base64.StdEncoding.EncodeToString(data)+`"}`+"\n", 1)
	}
	for _, test := range []struct {
		name, file string
		line       int
		is         error
		says       string
	}{
		{"empty", "", 1, ErrNotOurs, ""},
		{"a photo", "\xff\xd8\xff\xe0\x00\x10JFIF", 1, ErrNotOurs, ""},
		{"long and without a newline", strings.Repeat("x", 2<<20), 1, ErrNotOurs, ""},
		{"another format", `{"format":"something","version":1}` + "\n", 1, ErrNotOurs, ""},
		{"newer version", strings.Replace(sealed(goodHead, 0), `:1,`, `:2,`, 1), 1, ErrTooNew, "version 2, this app reads up to 1"},
		{"newer version with other fields", `{"format":"loomwright-build","version":7,"build":{"id":1}}` + "\n", 1, ErrTooNew, "version 7"},
		{"newer version, the rest before it", `{"build":[],"version":7,"format":"loomwright-build"}` + "\n", 1, ErrTooNew, "version 7"},
		{"other key case", strings.Replace(goodHead, "format", "Format", 1), 1, ErrNotOurs, ""},
		{"format twice", strings.Replace(goodHead, `"version"`, `"format":"loomwright-build","version"`, 1), 1, ErrCorrupt, "duplicate"},
		{"two headers in a line", goodHead[:len(goodHead)-1] + goodHead, 1, ErrCorrupt, "more than one"},
		{"version 0", strings.Replace(goodHead, `:1,`, `:0,`, 1), 1, ErrCorrupt, "version 0"},
		{"build without an id", strings.Replace(goodHead, `"b1"`, `""`, 1), 1, ErrCorrupt, "not an id"},
		{"id that is a path", strings.Replace(goodHead, `"b1"`, `"../b1"`, 1), 1, ErrCorrupt, "not an id"},
		{"header cut off", goodHead[:20], 1, ErrNotOurs, ""},
		{"only a header", goodHead, 2, ErrCorrupt, "no end"},
		{"no end", goodHead + goodLine, 3, ErrCorrupt, "cut off after 1 edits"},
		{"cut off inside a line", goodHead + goodLine + goodLine[:40], 3, ErrCorrupt, "cut off inside"},
		{"count", strings.Replace(sealed(goodHead+goodLine, 1), `"count":1`, `"count":2`, 1), 3, ErrCorrupt, "counts 2 edits"},
		{"no count", strings.Replace(sealed(goodHead+goodLine, 1), `"count":1`, `"COUNT":1`, 1), 3, ErrCorrupt, "counts 0 edits"},
		{"end that is a text", strings.Replace(sealed(goodHead+goodLine, 1), `"end":true`, `"end":"true"`, 1), 3, ErrCorrupt, "counts 1 edits"},
		{"a byte changed", strings.Replace(sealed(goodHead+goodLine, 1), `"x"`, `"y"`, 1), 3, ErrCorrupt, "not as it was written"},
		{"more after the end", sealed(goodHead+goodLine, 1) + goodLine, 4, ErrCorrupt, "after the end"},
		{"an empty line", edit(""), 3, ErrCorrupt, ""},
		{"not JSON", edit(`{"device":}`), 3, ErrCorrupt, ""},
		{"two values", edit(goodLine[:len(goodLine)-1] + `{}`), 3, ErrCorrupt, "more than one"},
		{"not an object", edit(`[1]`), 3, ErrCorrupt, ""},
		{"nothing done", edit(`{"device":"a","n":2,"clock":2}`), 3, ErrCorrupt, "neither a change nor a merge"},
		{"no device", edit(`{"n":2,"clock":2,"seen":{"b":1}}`), 3, ErrCorrupt, "device"},
		{"n 0", edit(`{"device":"a","n":0,"clock":2,"seen":{"b":1}}`), 3, ErrCorrupt, "n 0"},
		{"n a fraction", edit(`{"device":"a","n":1.5,"clock":2,"seen":{"b":1}}`), 3, ErrCorrupt, "whole number"},
		{"n a text", edit(`{"device":"a","n":"2","clock":2,"seen":{"b":1}}`), 3, ErrCorrupt, "whole number"},
		{"clock above 2^53", edit(`{"device":"a","n":2,"clock":9007199254740993,"seen":{"b":1}}`), 3, ErrCorrupt, "clock"},
		{"undoes itself", edit(`{"device":"a","n":2,"clock":2,"undoes":2}`), 3, ErrCorrupt, "undoes"},
		{"seen nothing", edit(`{"device":"a","n":2,"clock":2,"seen":{"b":0}}`), 3, ErrCorrupt, "seen"},
		{"no id", edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","set":{}}]}`), 3, ErrCorrupt, "not an id"},
		{"an id with a slash", edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"a/b"}]}`), 3, ErrCorrupt, "not an id"},
		{"an id too long", edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"` + strings.Repeat("a", 65) + `"}]}`), 3, ErrCorrupt, "not an id"},
		{"one record twice", edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"p"},{"kind":"place","id":"p"}]}`), 3, ErrCorrupt, "twice"},
		{"a field of the wrong type", field(`"name":7`), 3, ErrCorrupt, `"name"`},
		{"gone that is no truth", field(`"gone":"yes"`), 3, ErrCorrupt, `"gone"`},
		{"was of the wrong type", edit(`{"device":"a","n":2,"clock":2,"changes":[{"kind":"place","id":"p","was":{"name":7}}]}`), 3, ErrCorrupt, `"name"`},
		{"a field twice", field(`"name":"a","name":"b"`), 3, ErrCorrupt, "duplicate"},
		{"a key twice", edit(`{"device":"a","device":"a","n":2,"clock":2,"seen":{"b":1}}`), 3, ErrCorrupt, "duplicate"},
		{"not UTF-8", field("\"note\":\"\xff\""), 3, ErrCorrupt, "UTF-8"},
		{"half a surrogate", field(`"note":"\ud800"`), 3, ErrCorrupt, ""},
		{"text of 4 KB", field(`"note":"` + strings.Repeat("a", MaxString) + `"`), 0, nil, ""},
		{"text over 4 KB", field(`"note":"` + strings.Repeat("a", MaxString+1) + `"`), 3, ErrTooBig, "text of 4097 bytes"},
		{"16 levels", field(`"new":` + strings.Repeat("[", 12) + strings.Repeat("]", 12)), 0, nil, ""},
		{"17 levels", field(`"new":` + strings.Repeat("[", 13) + strings.Repeat("]", 13)), 3, ErrTooBig, "levels"},
		{"levels never closed", field(`"new":` + strings.Repeat("[", 1<<20)), 3, ErrTooBig, ""},
		{"a line over 1 MB", field(`"new":[` + strings.Repeat("1,", MaxLine/2) + `1]`), 3, ErrTooBig, ""},
		{"fork", edit(strings.Replace(goodLine[:len(goodLine)-1], `"x"`, `"y"`, 1)), 3, ErrForked, `"a" 1`},
		{"the same line again", edit(goodLine[:len(goodLine)-1]), 0, nil, ""},
		{"a blob that is not its hash", blob(BlobHash([]byte("x")), []byte("y")), 3, ErrCorrupt, "hash"},
		{"a blob over 8 MB", blob(BlobHash(make([]byte, MaxBlob+1)), make([]byte, MaxBlob+1)), 3, ErrTooBig, ""},
		{"a blob that is not base64", sealed(goodHead+`{"blob":"x","data":"***"}`+"\n", 0), 2, ErrCorrupt, "blob"},
		{"over 64 MB", goodHead + strings.Repeat(wide, 65), 65, ErrTooBig, "without blobs"},
	} {
		t.Run(test.name, func(t *testing.T) {
			l, err := Decode(strings.NewReader(test.file), nil)
			if test.is == nil {
				if err != nil {
					t.Errorf("refused: %v", err)
				}
				return
			}
			var at *FileError
			if l != nil || !errors.Is(err, test.is) || !errors.As(err, &at) {
				t.Fatalf("got %v, %v, want %v", l, err, test.is)
			}
			if at.Line != test.line || !strings.Contains(err.Error(), test.says) {
				t.Errorf("got %v, want line %d and %q", err, test.line, test.says)
			}
		})
	}
}

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
		l, err := Salvage(bytes.NewReader(part))
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
		if l, err = Salvage(bytes.NewReader(data)); err != nil {
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
