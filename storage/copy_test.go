package storage

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"slices"
	"strings"
	"testing"

	"loomwright/calc/harness"
)

func TestWithoutHistory(t *testing.T) {
	l := decode(t, kept(t, "log-1.build"))
	out, err := WithoutHistory(l, "fresh", noon)
	if err != nil {
		t.Fatal(err)
	}
	file := encode(t, out, func(string) ([]byte, error) { return []byte("not a photo"), nil })
	for _, secret := range []string{"phone-one", "phone-two", "Bulkhead", "Firewall", `"kind":"run"`, `"was"`} {
		if bytes.Contains(file, []byte(secret)) {
			t.Errorf("%q is in a file without history", secret)
		}
	}
	for _, want := range []string{`"shade":"#aabbcc"`, `"tilt":12.0`, `{"blob":"ff87`} {
		if !bytes.Contains(file, []byte(want)) {
			t.Errorf("%q is missing", want)
		}
	}
	if out.Build() != l.Build() || len(out.Lines()) != 7 {
		t.Errorf("build %s, %d lines", out.Build(), len(out.Lines()))
	}
	if fmt.Sprint(out.State().Places.All()) == "" || placesOf(out) != placesOf(l) {
		t.Errorf("places %s, want %s", placesOf(out), placesOf(l))
	}
	// It comes back and merges. Only what the two really disagree on is a conflict.
	commit(t, out, "other", set("place-1", "note", `"looked at"`))
	before := open(l)
	merge(t, l, "phone-one", decode(t, encode(t, out, nil)))
	if p, _ := l.State().Places.Get("place-1"); p.Note != "looked at" {
		t.Errorf("after the merge: %+v", p)
	}
	if open(l) == "" || len(l.Conflicts()) > 2 {
		t.Errorf("conflicts %s, before %s", open(l), before)
	}
}

func TestCopy(t *testing.T) {
	l := New("b1")
	commit(t, l, phoneA,
		Put(harness.KindSettings, "b1", harness.Settings{}, harness.Settings{Title: "first", Of: "b0"}),
		Put(harness.KindWire, "w1", harness.Wire{}, harness.Wire{Name: "W1"}),
		Put(harness.KindTag, "t1", harness.Tag{}, harness.Tag{Code: "AAAAAAAA", On: harness.KindWire, Subject: "w1", End: harness.FromEnd}),
		Put(harness.KindTag, "t2", harness.Tag{}, harness.Tag{Code: "BBBBBBBB", On: harness.KindWire, Subject: "w1", Of: "00000000"}),
		Put(harness.KindTag, "t3", harness.Tag{}, harness.Tag{Code: "CCCCCCCC"}))
	commit(t, l, phoneA, Delete(harness.KindTag, "t3"))
	codes := 0
	out, err := Copy(l, "b2", phoneB, noon, func() string {
		codes++
		return fmt.Sprint("NEW", codes)
	})
	if err != nil {
		t.Fatal(err)
	}
	s := out.State()
	if s.Settings.ID != "b2" || s.Settings.Of != "b1" || s.Settings.Title != "first" {
		t.Errorf("settings %+v", s.Settings)
	}
	if w, ok := s.Wires.Get("w1"); !ok || w.Name != "W1" {
		t.Errorf("wire %+v, %v", w, ok)
	}
	t1, _ := s.Tags.Get("t1")
	t2, _ := s.Tags.Get("t2")
	if t1.Code != "NEW1" || t1.Of != "AAAAAAAA" || t1.End != harness.FromEnd || t2.Code != "NEW2" || t2.Of != "00000000" {
		t.Errorf("tags %+v %+v", t1, t2)
	}
	if s.Tags.Len() != 2 || codes != 2 || len(s.Tags.Gone()) != 0 {
		t.Errorf("%d tags, %d codes", s.Tags.Len(), codes)
	}
	if l.State().Settings.Title != "first" || l.Len() != 2 {
		t.Error("the original changed")
	}
	decode(t, encode(t, out, nil))
}

func TestPut(t *testing.T) {
	old := harness.Run{A: "p1", B: "p2", Corners: 2, Hot: true, Became: []string{"r1"}}
	now := harness.Run{A: "p1", B: "p3", Hot: true, Wet: true}
	c := Put(harness.KindRun, "r", old, now)
	var got []string
	for _, f := range c.Set {
		got = append(got, f.Name+"="+string(f.Value))
	}
	if want := `b="p3" wet=true corners=null became=null`; strings.Join(got, " ") != want {
		t.Errorf("got %v, want %s", got, want)
	}
}

func TestCommitRefuses(t *testing.T) {
	l := New("b1")
	long := strings.Repeat("a", MaxString+1)
	for _, test := range []struct {
		name   string
		device string
		change Change
		is     error
	}{
		{"a value of the wrong type", phoneA, set("p", "name", `7`), ErrCorrupt},
		{"a value that is not JSON", phoneA, set("p", "name", `{`), ErrCorrupt},
		{"a text too long", phoneA, set("p", "name", `"`+long+`"`), ErrTooBig},
		{"an id that is none", phoneA, set("a/b", "name", `"x"`), ErrCorrupt},
		{"no device", "", set("p", "name", `"x"`), ErrCorrupt},
		{"nothing", phoneA, Change{}, ErrCorrupt},
		{"a number that no JSON has", phoneA, putPlace("p", harness.Place{}, harness.Place{Order: 1 / zero}), nil},
	} {
		if _, err := l.Commit(test.device, noon, []Change{test.change}); err == nil || test.is != nil && !errors.Is(err, test.is) {
			t.Errorf("%s: %v, want %v", test.name, err, test.is)
		}
	}
	if l.Len() != 0 || l.Clock() != 0 || len(l.Counts()) != 0 {
		t.Errorf("refused edits changed the log: %d lines", l.Len())
	}
	// One record named twice is one change; blanks and line breaks in a value are taken out.
	line := commit(t, l, phoneA, set("p", "name", `"x"`), set("p", "name", `"y"`), set("p", "new", "[1,\n 2]"), set("p", "note", ``))
	if want := `"changes":[{"kind":"place","id":"p","set":{"name":"y","new":[1,2]}}]}`; !strings.HasSuffix(string(line.Raw), want) {
		t.Errorf("line %s, want %s", line.Raw, want)
	}
}

var zero float64

// Bytes that are no snapshot, or not one of this version, are told and never used.
func TestBadSnapshots(t *testing.T) {
	l := decode(t, kept(t, "log-1.build"))
	good := l.Snapshot("1")
	bad := func(name string, data []byte) {
		s := good
		s.Data = data
		if _, err := OpenSnapshot(s, nil); !errors.Is(err, ErrStale) {
			t.Errorf("%s: %v, want ErrStale", name, err)
		}
	}
	bad("nothing", nil)
	bad("another form", []byte(`{"version":1}`))
	bad("more", append(slices.Clone(good.Data), 0))
	for n := range good.Data {
		bad(fmt.Sprintf("the first %d bytes", n), good.Data[:n])
	}
	for n := range good.Data {
		data := slices.Clone(good.Data)
		data[n] ^= 0x80
		bad(fmt.Sprintf("byte %d changed", n), data)
	}
	// What is well written and says nonsense is refused or read, and reading ends.
	for n := range len(good.Data) - 4 {
		for _, x := range []byte{0x01, 0x80, 0xff} {
			data := slices.Clone(good.Data[:len(good.Data)-4])
			data[n] ^= x
			s := good
			s.Data = binary.BigEndian.AppendUint32(data, crc32.ChecksumIEEE(data))
			from, err := OpenSnapshot(s, nil)
			if err != nil && !errors.Is(err, ErrStale) {
				t.Fatalf("byte %d changed: %v", n, err)
			}
			if err == nil {
				from.Conflicts()
			}
		}
	}
	early, err := ParseLine([]byte(`{"device":"z","n":1,"clock":1,"changes":[{"kind":"place","id":"p"}]}`))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := OpenSnapshot(good, []Line{early}); !errors.Is(err, ErrStale) {
		t.Errorf("a line from before the snapshot: %v, want ErrStale", err)
	}
	from, err := OpenSnapshot(good, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := from.AddHistory(l.Lines()[1:]); !errors.Is(err, ErrStale) || !from.NeedsHistory() {
		t.Errorf("a history with a line missing: %v", err)
	}
	for name, err := range map[string]error{
		"Encode": Encode(new(bytes.Buffer), from, nil),
		"Merge":  second(from.Merge("phone-one", noon, l.Lines())),
		"Add":    second(from.Add(l.Lines())),
	} {
		if !errors.Is(err, ErrNeedsHistory) {
			t.Errorf("%s without history: %v", name, err)
		}
	}
	if _, err := from.Commit("phone-one", noon, []Change{set("place-1", "note", `"at once"`)}); err != nil {
		t.Errorf("Commit without history: %v", err)
	}
	if err := from.AddHistory(l.Lines()); err != nil || from.Len() != l.Len()+1 {
		t.Errorf("AddHistory: %v, %d lines", err, from.Len())
	}
	if len(from.History(harness.KindPlace, "place-1")) != 3 {
		t.Errorf("history of place-1: %d lines", len(from.History(harness.KindPlace, "place-1")))
	}
}

func second[T any](_ T, err error) error { return err }

// The id of a proposal never changes: printed tags depend on it.
func TestProposedID(t *testing.T) {
	for _, test := range []struct {
		kind   harness.Kind
		parts  []string
		want   string
		source string
	}{
		{harness.KindWire, []string{"pin-14", "device-3"}, "d7c937b4-17ab-5182-8bd6-aa9708cc6e8a", "uuid5 of Python 3 with the same name space"},
		{harness.KindTag, []string{"w1", "from"}, "64572670-e8fb-5df5-b204-8ea1e8ed69c9", "uuid5 of Python 3 with the same name space"},
	} {
		if got := ProposedID(test.kind, test.parts...); got != test.want {
			t.Errorf("%s %v: %s, want %s (%s)", test.kind, test.parts, got, test.want, test.source)
		}
	}
	if ProposedID(harness.KindWire, "a", "b") == ProposedID(harness.KindWire, "ab") || ProposedID(harness.KindWire, "a") == ProposedID(harness.KindTag, "a") {
		t.Error("two sources with one id")
	}
}

// A record of very many fields, as only a file made to be slow has one, is found by a map.
func TestManyFields(t *testing.T) {
	l := New("b1")
	for i := range 3 * manyFields {
		commit(t, l, phoneA, set("p", fmt.Sprint("f", i), fmt.Sprint(i)))
	}
	commit(t, l, phoneA, set("p", "f0", `null`), set("p", "f100", `"x"`))
	r := l.records[key{harness.KindPlace, "p"}]
	if len(r.fields) != 3*manyFields || r.value("f0") != nil || string(r.value("f100")) != `"x"` || string(r.value("f191")) != "191" {
		t.Errorf("%d fields, %s", len(r.fields), r.object())
	}
	from, err := OpenSnapshot(l.Snapshot("1"), nil)
	if err != nil || dump(from) != dump(l) {
		t.Errorf("from a snapshot: %v", err)
	}
}
