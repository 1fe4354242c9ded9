package e2e

import (
	"bytes"
	"maps"
	"slices"
	"strings"
	"testing"

	"loomwright/calc/unit"
	"loomwright/storage"
)

// TestTwoPhonesMergeThroughThePage has two people with the demo on phones of their own, who change the same two fields
// and one each that the other leaves alone. Their backups go both ways through the page. Each sees what differs, one of them
// settles it, and after the files went once more both phones hold the same.
func TestTwoPhonesMergeThroughThePage(t *testing.T) {
	h := newHost(t, appSite(t))
	people := [2]*person{newPerson(t, strings.TrimSuffix(h.url("/"), "/")), newPerson(t, strings.TrimSuffix(h.url("/"), "/"))}
	var build string
	plan := func(p *person, part string) {
		p.t.Helper()
		p.open(h.url("/#b=" + build + "&p=plan" + part))
	}
	for i, p := range people {
		p.open(h.url("/"))
		p.tap("Look at the demo")
		p.see("This build")
		p.saved()
		build = eval[string](p.screen, `new URLSearchParams(location.hash.slice(1)).get("b")`)
		plan(p, "&m=settings")
		p.see("Lengths in")
		p.write("What it is called", []string{"Roadster of Ann", "Roadster of Ben"}[i])
		p.write("Note", []string{"seen by Ann", "seen by Ben"}[i])
		p.tap([]string{"inch", "6 V"}[i])
		p.saved()
	}
	ann, ben := people[0], people[1]
	export := func(p *person, moves string) (string, []byte) {
		p.t.Helper()
		plan(p, "")
		p.see("This build")
		p.see(moves) // what differs is told a moment after the page came, and moves the buttons
		p.saved()
		return p.download("Save a backup")
	}
	carry := func(to *person, name string, data []byte, says string) {
		to.t.Helper()
		to.open(h.url("/"))
		to.upload("Open a file", name, data)
		to.tap("Merge it in")
		to.see(says)
		to.saved()
	}
	nameA, dataA := export(ann, "The file")
	nameB, dataB := export(ben, "The file")
	carry(ann, nameB, dataB, "2 values differ between the phones")
	carry(ben, nameA, dataA, "2 values differ between the phones")
	for _, p := range people {
		plan(p, "")
		p.see("2 values differ between two phones.")
		p.tap("Choose")
		p.see("Two phones changed these")
		for _, word := range []string{"Roadster of Ann", "Roadster of Ben", "seen by Ann", "seen by Ben"} {
			p.see(word)
		}
	}
	ann.tap("Roadster of Ann this phone")
	ann.until(`!document.querySelector("main, body").innerText.includes("Roadster of Ben")`)
	ann.see("seen by Ben") // the other waits
	ann.saved()
	nameA, dataA = export(ann, "1 value differs")
	nameB, dataB = export(ben, "2 values differ")
	carry(ben, nameA, dataA, "entries were merged in")
	carry(ann, nameB, dataB, "merged in")
	var states [2]*storage.Log
	for i, p := range people {
		_, data := export(p, "1 value differs between two phones.")
		log, err := storage.Decode(bytes.NewReader(data), nil)
		p.must(err)
		states[i] = log
	}
	for i, log := range states {
		s := log.State().Settings
		if s.Title != "Roadster of Ann" || s.Unit != unit.Imperial || s.Volts != 6 {
			t.Errorf("phone %d has %+v", i, s)
		}
		if open := log.Conflicts(); len(open) != 1 || open[0].Field != "note" {
			t.Errorf("phone %d has open %+v", i, open)
		}
	}
	if a, b := values(states[0]), values(states[1]); !maps.Equal(a, b) {
		for _, k := range slices.Sorted(maps.Keys(a)) {
			if a[k] != b[k] {
				t.Errorf("%s: %s and %s", k, a[k], b[k])
			}
		}
		t.Errorf("%d and %d values", len(a), len(b))
	}
}

// write puts text into a field and leaves it.
func (p *person) write(label, text string) {
	p.t.Helper()
	p.typed(label, text)
	eval[any](p.screen, `document.activeElement.blur()`)
	p.saved()
}

// values returns every field of every record of a log, deleted ones too, from its edits alone: the last in order counts.
func values(l *storage.Log) map[string]string {
	all := map[string]string{}
	for _, line := range l.Lines() {
		for _, c := range line.Changes {
			for _, f := range c.Set {
				all[strings.Join([]string{string(c.Kind), c.ID, f.Name}, " ")] = string(f.Value)
			}
		}
	}
	return all
}
