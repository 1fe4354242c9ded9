package bench

import (
	"testing"

	"loomwright/app/session/sessiontest"
	"loomwright/calc/cut"
)

// BenchmarkLists is what a tick costs: both lists of the demo, made again.
func BenchmarkLists(b *testing.B) {
	s := sessiontest.Start(b, nil)
	s.File(demo)
	s.Graph()
	for b.Loop() {
		cut.CutList(s.B(), s.Graph(), cut.BySize, s.Cut)
		cut.TrimList(s.B(), s.Graph(), cut.ByPlace, s.Cut)
	}
}
