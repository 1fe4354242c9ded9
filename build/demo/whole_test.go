package demo

import (
	"testing"
)

// BenchmarkWhole works the whole demo out from nothing: adjustment, ways, bundles, the length of every wire, all findings.
func BenchmarkWhole(b *testing.B) {
	state := build(b, 0).State()
	for b.Loop() {
		workOut(b, state)
	}
}
