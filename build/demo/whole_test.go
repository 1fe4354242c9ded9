package demo

import (
	"testing"

	"loomwright/calc/cut"
	"loomwright/calc/rules"
)

// BenchmarkWhole works the whole demo out from nothing: adjustment, ways, bundles, the length of every wire, all findings.
func BenchmarkWhole(b *testing.B) {
	state := build(b, 0).State()
	for b.Loop() {
		settled := cut.Settle(state)
		lengths := map[string]cut.Result{}
		for _, w := range state.Wires.All() {
			lengths[w.ID] = cut.Length(state, settled.Graph, w)
		}
		if len(rules.Check(state, settled.Graph, rules.Options{Lengths: lengths})) == 0 {
			b.Fatal("nothing is found")
		}
	}
}
