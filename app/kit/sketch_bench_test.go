package kit_test

import (
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// BenchmarkSketchAfterAnEdit draws the roadster again after each edit, from the readings to the last line.
func BenchmarkSketchAfterAnEdit(b *testing.B) {
	s := sessiontest.Start(b, nil)
	s.File("../../testdata/builds/roadster.build")
	run := s.B().Runs.All()[5]
	sketch := &kit.Sketch{S: s.Session, Here: run.A, Class: "short"}
	for i := 0; b.Loop(); i++ {
		old, _ := s.B().Runs.Get(run.ID)
		now := old
		now.Corners = i % 9
		if err := s.Do(storage.Put(harness.KindRun, run.ID, old, now)); err != nil {
			b.Fatal(err)
		}
		_ = app.HTMLString(app.Div().Body(sketch.Render()))
	}
}
