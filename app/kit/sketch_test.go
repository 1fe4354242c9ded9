package kit_test

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/unit"
)

// demo opens the kept roadster.
func demo(t *testing.T) *sessiontest.Bench {
	t.Helper()
	b := sessiontest.Start(t, nil)
	b.File("../../testdata/builds/roadster.build")
	return b
}

func TestSketchDrawsEveryPlaceAndRun(t *testing.T) {
	b := demo(t)
	here := b.B().Places.All()[0].ID
	html := app.HTMLString(&kit.Sketch{S: b.Session, Rev: b.Rev(), Here: here, Class: "short"})
	if got, want := strings.Count(html, `data-sk="run`), b.B().Runs.Len(); got != want {
		t.Errorf("%d runs are drawn, want %d", got, want)
	}
	if got, want := strings.Count(html, `data-sk="place"`)+strings.Count(html, `data-sk="here"`), b.B().Places.Len(); got != want {
		t.Errorf("%d places are drawn, want %d", got, want)
	}
	if got := strings.Count(html, `data-sk="here"`); got != 1 {
		t.Errorf("one stands at %d places, want 1", got)
	}
	n, of := b.Lengths().Measured()
	if got := strings.Count(html, `data-sk="len none"`); got != of-n {
		t.Errorf("%d runs have no length, want %d", got, of-n)
	}
	for _, k := range b.Lengths().All() {
		text, _ := k.Length.RoundUp(unit.Millimetre).Figures(unit.Metric)
		if k.Measured() && !strings.Contains(html, ">"+text+"<") {
			t.Errorf("the length %s of a run is not there", text)
		}
	}
}

func TestSketchMarks(t *testing.T) {
	b := demo(t)
	run, place := b.B().Runs.All()[2], b.B().Places.All()[3].ID
	html := app.HTMLString(&kit.Sketch{S: b.Session, Places: []string{place}, Runs: []string{run.ID}, Class: "tall"})
	if got := strings.Count(html, " lit\""); got != 1 {
		t.Errorf("%d runs are lit, want 1", got)
	}
	if got := strings.Count(html, `data-sk="mark"`); got != 1 {
		t.Errorf("%d places are marked, want 1", got)
	}
}
