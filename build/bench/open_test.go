package bench

import (
	"testing"

	"loomwright/build/demo"
	"loomwright/calc/survey"
	"loomwright/storage"
)

// BenchmarkOpen is what a warm start computes: the demo with the edits of a real build, opened from its snapshot, and
// its lengths.
func BenchmarkOpen(b *testing.B) {
	log, err := demo.Log(5000)
	if err != nil {
		b.Fatal(err)
	}
	s := log.Snapshot("1")
	b.Run("snapshot", func(b *testing.B) {
		b.SetBytes(int64(len(s.Data)))
		for b.Loop() {
			if _, err := storage.OpenSnapshot(s, nil); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("lengths", func(b *testing.B) {
		for b.Loop() {
			survey.Adjust(log.State(), nil)
		}
	})
}
