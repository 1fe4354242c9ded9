package wires

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/storage"
)

// many fills a loom with wires, every third a lead, in a few edits.
func (l *loom) many(n int) {
	l.T.Helper()
	colours := []string{"red", "green", "yellow", "black"}
	places := []string{"Coolant", "Knock", "Fan"}
	var changes []storage.Change
	for i := range n {
		w := harness.Wire{Name: fmt.Sprintf("W%d", i+1), Function: fmt.Sprintf("function number %d", i+1), Order: float64(i + 1),
			From: harness.End{Place: l.id["Controller"]}, To: harness.End{Place: l.id[places[i%3]]},
			Size: []string{"0.5 mm2", "2.5 mm2"}[i%2], Base: colours[i%4], Looms: []string{l.main}}
		if i%3 == 0 {
			lead := l.FreshID()
			changes = append(changes, storage.Put(harness.KindLead, lead, harness.Lead{}, harness.Lead{Legend: "cavity", Length: millimetres(900)}))
			w.Lead = lead
		}
		changes = append(changes, storage.Put(harness.KindWire, l.FreshID(), harness.Wire{}, w))
	}
	for part := range slices.Chunk(changes, 200) {
		l.do(l.Do(part...))
	}
	l.page.follow()
}

func names(found []*entry) string {
	var all []string
	for _, e := range found {
		all = append(all, e.wire.Name)
	}
	return strings.Join(all, " ")
}

func TestFind(t *testing.T) {
	l := newLoom(t)
	l.many(30)
	l.between("Controller", "Coolant")
	l.page.follow()
	n := func(from, to int, keep func(i int) bool) string {
		var all []string
		for i := from; i <= to; i++ {
			if keep(i) {
				all = append(all, fmt.Sprintf("W%d", i))
			}
		}
		return strings.Join(all, " ")
	}
	for _, row := range []struct {
		name string
		f    filter
		want string
	}{
		{"nothing asked", filter{}, n(1, 31, func(int) bool { return true })},
		{"by its name, that wire first", filter{Query: "w3"}, "W3 W30 W31"},
		{"as it may be written", filter{Query: "W 1O"}, "W10"},
		{"two words, any order and case", filter{Query: "RED knock"}, n(1, 30, func(i int) bool { return i%4 == 1 && i%3 == 2 })},
		{"colour letters", filter{Query: "ye"}, n(1, 30, func(i int) bool { return i%4 == 3 })},
		{"legend of the lead", filter{Query: "cavity"}, n(1, 30, func(i int) bool { return i%3 == 1 })},
		{"added", filter{Kind: kindAdded, Query: "fan"}, n(1, 30, func(i int) bool { return i%3 == 0 })},
		{"leads", filter{Kind: kindLead}, n(1, 30, func(i int) bool { return i%3 == 1 })},
		{"size", filter{Size: "2.5 mm2"}, n(1, 30, func(i int) bool { return i%2 == 0 })},
		{"loom", filter{Loom: l.main}, n(1, 30, func(int) bool { return true })},
		{"place", filter{Place: l.id["Coolant"]}, n(1, 31, func(i int) bool { return i%3 == 1 })},
		{"no route", filter{Problem: noRoute}, n(1, 30, func(i int) bool { return i%3 == 0 })},
		{"not measured", filter{Problem: notMeasured}, n(1, 30, func(i int) bool { return i%3 == 2 })},
		{"not tagged", filter{Problem: notTagged}, n(1, 30, func(int) bool { return true })},
		{"not cut", filter{Problem: notCut}, n(1, 31, func(i int) bool { return i%3 != 1 || i == 31 })},
		{"no such", filter{Query: "no such wire"}, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := names(l.page.entries().find(row.f, l.page.judge.of(l.Session).problem)); got != row.want {
				t.Errorf("%s\nwant %s", got, row.want)
			}
		})
	}
	if got := strings.Join(l.page.index.sizes, ", "); got != "0.5 mm2, 2.5 mm2" {
		t.Errorf("sizes %s", got)
	}
}

// What is shown follows each table that it is made from.
func TestIndexFollowsTheBuild(t *testing.T) {
	l := newLoom(t)
	w := l.between("Controller", "Coolant")
	l.page.follow()
	find := func(query string) int { return len(l.page.entries().find(filter{Query: query}, nil)) }
	edits := []struct {
		name string
		do   func() error
		word string
	}{
		{"wire", func() error {
			_, err := change(l.Session, []harness.Wire{l.now(w.ID)}, func(w *harness.Wire) { w.Function = "thermo" })
			return err
		}, "thermo"},
		{"place", func() error {
			p, _ := l.B().Places.Get(l.id["Coolant"])
			now := p
			now.Name = "Radiator"
			return l.Do(storage.Put(harness.KindPlace, p.ID, p, now))
		}, "radiator"},
		{"terminal", func() error {
			to, made := newTerminal(l.Session, l.id["Coolant"], "", "signal")
			return setEnd(l.Session, l.now(w.ID), harness.ToEnd, to, made)
		}, "signal"},
		{"loom", func() error {
			_, err := change(l.Session, []harness.Wire{l.now(w.ID)}, func(w *harness.Wire) { w.Looms = []string{l.main} })
			if err != nil {
				return err
			}
			m, _ := l.B().Looms.Get(l.main)
			now := m
			now.Name = "Spine"
			return l.Do(storage.Put(harness.KindLoom, m.ID, m, now))
		}, "spine"},
	}
	for _, e := range edits {
		if find(e.word) != 0 {
			t.Fatalf("%s: %q is there already", e.name, e.word)
		}
		l.do(e.do())
		l.page.follow()
		if find(e.word) != 1 {
			t.Errorf("%s: %q is not found after the edit", e.name, e.word)
		}
	}
	l.do(remove(l.Session, []harness.Wire{l.now(w.ID)}))
	l.page.follow()
	if n := len(l.page.entries().find(filter{}, nil)); n != 0 {
		t.Errorf("%d wires after the last was deleted", n)
	}
}

func TestFilterIsKept(t *testing.T) {
	l := newLoom(t)
	want := filter{Query: "fan", Kind: kindAdded, Problem: notCut, Loom: l.main}
	l.page.set(l.Ctx, want)
	if got := loadFilter(l.Session); got != want {
		t.Errorf("%+v", got)
	}
	l.page.set(l.Ctx, filter{})
	if got := loadFilter(l.Session); got != (filter{}) {
		t.Errorf("%+v", got)
	}
	if want.chosen() != 3 {
		t.Errorf("%d filters", want.chosen())
	}
}

func BenchmarkFind1000(b *testing.B) {
	l := newLoom(b)
	l.many(1000)
	for b.Loop() {
		if len(l.page.entries().find(filter{Query: "number 9"}, l.page.judge.of(l.Session).problem)) == 0 {
			b.Fatal("nothing found")
		}
	}
}

func BenchmarkIndex1000(b *testing.B) {
	l := newLoom(b)
	l.many(1000)
	for b.Loop() {
		makeIndex(l.B(), stampOf(l.B()), &index{})
	}
}

// As after an edit of one wire.
func BenchmarkIndexAgain1000(b *testing.B) {
	l := newLoom(b)
	l.many(1000)
	now := stampOf(l.B())
	before := makeIndex(l.B(), now, &index{})
	for b.Loop() {
		makeIndex(l.B(), now, &before)
	}
}

// A problem asked for the first time after an edit of the route: every length is worked out again.
func BenchmarkJudge1000(b *testing.B) {
	l := newLoom(b)
	l.many(1000)
	for b.Loop() {
		j := judge{}
		l.page.entries().find(filter{Problem: tooShort}, j.of(l.Session).problem)
	}
}

func BenchmarkList1000(b *testing.B) {
	l := newLoom(b)
	l.many(1000)
	for b.Loop() {
		l.page.sheet(theList)
	}
}
