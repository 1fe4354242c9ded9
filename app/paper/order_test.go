package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"loomwright/app/sheet"
	"loomwright/app/sheet/paper"
	"loomwright/app/sheet/sheettest"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/storage"
)

func demo(t testing.TB) *storage.Log {
	t.Helper()
	f, err := os.Open(filepath.Join(sheettest.Module(t), "testdata", "builds", "roadster.build"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	log, err := storage.Decode(f, nil)
	if err != nil {
		t.Fatal(err)
	}
	return log
}

func text(t testing.TB, o sheet.Order) []byte {
	t.Helper()
	data, err := json.Marshal(o)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Every list and drawing comes out of an order as it does of the build itself.
func TestOrdersAreFilled(t *testing.T) {
	log := demo(t)
	var font sheet.Font
	font.Regular, font.Bold = sheettest.Fonts(t)
	for _, k := range sheet.Kinds() {
		o := sheet.Options{Date: "2026-05-14", Letter: true, ByBranch: true, Tags: sheet.TagOptions{Address: "https://harness.example/", Start: 3}}
		var want bytes.Buffer
		o.Font = font
		if err := paper.Write(&want, k.Name, log.State(), o, nil); err != nil {
			t.Fatal(err)
		}
		o.Font = sheet.Font{}
		pages := 0
		got, err := fill(text(t, sheet.Order{Kind: k.Name, Build: log.Build(), Options: o}), log.Snapshot("").Data, font, func(int, int) { pages++ })
		if err != nil || !bytes.Equal(got, want.Bytes()) || pages == 0 {
			t.Errorf("%s: %d bytes, want %d the same; %d pages told, %v", k.Name, len(got), want.Len(), pages, err)
		}
	}
}

func TestOrdersThatCannotBeFilled(t *testing.T) {
	log := demo(t)
	var font sheet.Font
	font.Regular, font.Bold = sheettest.Fonts(t)
	snapshot := log.Snapshot("").Data
	narrow := sheet.Options{Tags: sheet.TagOptions{Width: 4 * unit.Millimetre}}
	for _, c := range []struct {
		name     string
		order    []byte
		snapshot []byte
		font     sheet.Font
		want     error
	}{
		{"no order", nil, snapshot, font, nil},
		{"half a build", text(t, sheet.Order{Kind: "cut"}), snapshot[:len(snapshot)/2], font, storage.ErrStale},
		{"no such list", text(t, sheet.Order{Kind: "none"}), snapshot, font, sheet.ErrKind},
		{"no fonts", text(t, sheet.Order{Kind: "cut"}), snapshot, sheet.Font{}, sheet.ErrFont},
		{"too small", text(t, sheet.Order{Kind: "tags", Options: narrow}), snapshot, font, tag.ErrTooSmall},
	} {
		got, err := fill(c.order, c.snapshot, c.font, nil)
		if err == nil || got != nil || c.want != nil && !errors.Is(err, c.want) {
			t.Errorf("%s: %d bytes, %v; want %v", c.name, len(got), err, c.want)
		}
	}
}

func BenchmarkTags(bm *testing.B) {
	log := demo(bm)
	var font sheet.Font
	font.Regular, font.Bold = sheettest.Fonts(bm)
	order := text(bm, sheet.Order{Kind: "tags", Build: log.Build()})
	for bm.Loop() {
		if _, err := fill(order, log.Snapshot("").Data, font, nil); err != nil {
			bm.Fatal(err)
		}
	}
}

// What a page does before it can wait.
func BenchmarkSnapshot(bm *testing.B) {
	log := demo(bm)
	for bm.Loop() {
		bm.SetBytes(int64(len(log.Snapshot("").Data)))
	}
}
