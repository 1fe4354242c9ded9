package wires

import (
	"fmt"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// loom is a session with a small route to hang wires on:
//
//	Controller --400-- Split 1 --300-- Coolant
//	                   Split 1 --?---- Knock       Fan (no run)
type loom struct {
	*sessiontest.Bench
	id   map[string]string // of places, and of the runs "a b"
	main string            // the loom of all runs
	page *page
}

func newLoom(t testing.TB) *loom {
	t.Helper()
	l := &loom{Bench: sessiontest.Start(t, nil), id: map[string]string{}}
	l.New("test")
	b := l.B()
	l.id["Controller"] = b.Places.All()[0].ID
	l.main = b.Looms.All()[0].ID
	l.place("Split 1", harness.Split)
	l.place("Coolant", harness.Device)
	l.place("Knock", harness.Device)
	l.place("Fan", harness.Device)
	l.run("Controller", "Split 1", 400)
	l.run("Split 1", "Coolant", 300)
	l.run("Split 1", "Knock", 0)
	l.page = &page{S: l.Session, At: kit.Addr{Build: l.ID(), Page: pageName}}
	l.page.follow()
	return l
}

func put[T any](l *loom, kind harness.Kind, record T) string {
	l.T.Helper()
	id := l.FreshID()
	var none T
	l.do(l.Do(storage.Put(kind, id, none, record)))
	return id
}

func (l *loom) do(err error) {
	l.T.Helper()
	if err != nil {
		l.T.Fatal(err)
	}
}

func (l *loom) place(name string, kind harness.PlaceKind) {
	l.id[name] = put(l, harness.KindPlace, harness.Place{Name: name, Kind: kind, Order: float64(len(l.id))})
}

// run joins two places and, if mm is above zero, reads the run.
func (l *loom) run(a, z string, mm int) {
	id := put(l, harness.KindRun, harness.Run{A: l.id[a], B: l.id[z], Loom: l.main})
	l.id[a+" "+z] = id
	if mm > 0 {
		put(l, harness.KindReading, harness.Reading{Places: []string{l.id[a], l.id[z]}, Runs: []string{id},
			Text: fmt.Sprint(mm), Unit: unit.Metric, Value: unit.Length(mm) * unit.Millimetre})
	}
}

func (l *loom) wire(w harness.Wire) harness.Wire {
	l.T.Helper()
	id, err := create(l.Session, w)
	l.do(err)
	return l.now(id)
}

func (l *loom) between(a, z string) harness.Wire {
	return l.wire(harness.Wire{From: harness.End{Place: l.id[a]}, To: harness.End{Place: l.id[z]}})
}

func (l *loom) now(id string) harness.Wire {
	l.T.Helper()
	w, ok := l.B().Wires.Get(id)
	if !ok {
		l.T.Fatalf("no wire %q", id)
	}
	return w
}

// edits is how many lines the log has.
func (l *loom) edits() int { return l.Log().Len() }

// open goes to a part of the page.
func (l *loom) open(record, mode string) {
	l.page.At = kit.Addr{Build: l.ID(), Page: pageName, Record: record, Mode: mode}
	l.page.follow()
}

// html is what the page shows.
func (l *loom) html() string {
	return l.HTML(&page{S: l.Session, At: l.page.At, Rev: l.Rev()})
}

func (l *loom) shows(texts ...string) {
	l.T.Helper()
	got := l.html()
	for _, text := range texts {
		if !strings.Contains(got, text) {
			l.T.Errorf("%+v does not show %q", l.page.At, text)
		}
	}
}

func millimetres(n float64) *unit.Length {
	v := unit.Length(n * float64(unit.Millimetre))
	return &v
}

var noEvent app.Event
