package demo

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"loomwright/calc/harness"
	"loomwright/storage"
)

var before = filepath.Join("..", "..", "testdata", "builds", "log-1-routes.build")

// earlier opens the file of the version before.
func earlier(t *testing.T) *storage.Log {
	t.Helper()
	data, err := os.ReadFile(before)
	if err != nil {
		t.Fatal(err)
	}
	log, err := storage.Decode(bytes.NewReader(data), nil)
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// TestEarlierVersionOpens opens the demo as the version before connectors, parts, taps and circuits wrote it. What it
// says is still there, and what it does not say is not known.
func TestEarlierVersionOpens(t *testing.T) {
	log := earlier(t)
	if p, c := log.Problems(), log.Conflicts(); len(p) > 0 || len(c) > 0 {
		t.Errorf("problems %v, conflicts %v", p, c)
	}
	b := log.State()
	for what, n := range map[string][2]int{
		"places": {b.Places.Len(), 53}, "runs": {b.Runs.Len(), 55}, "wires": {b.Wires.Len(), 150}, "leads": {b.Leads.Len(), 58},
		"joints": {b.Joints.Len(), 17}, "tags": {b.Tags.Len(), 345}, "terminals": {b.Terminals.Len(), 222},
		"connectors": {b.Connectors.Len(), 0}, "parts": {b.Parts.Len(), 0}, "taps": {b.Taps.Len(), 0}, "circuits": {b.Circuits.Len(), 0},
	} {
		if n[0] != n[1] {
			t.Errorf("%d %s, want %d", n[0], what, n[1])
		}
	}
	for _, l := range b.Leads.All() {
		if l.Decision != harness.Undecided || l.Done() || !l.There() || l.Signal != harness.NoSignal || l.Legend == "" {
			t.Errorf("lead %+v", l)
		}
	}
	data, err := os.ReadFile(before)
	if err != nil {
		t.Fatal(err)
	}
	var again bytes.Buffer
	if err := storage.Encode(&again, log, nil); err != nil || !bytes.Equal(again.Bytes(), data) {
		t.Errorf("opened and written again, the file differs (%v)", err)
	}
	if w, ok := b.Wires.Get(id(harness.KindWire, "injector 1")); !ok || w.Name == "" {
		t.Errorf("wire %+v, %v", w, ok)
	}
}
