package sheettest

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/loom"
	"loomwright/calc/tag"
)

// Tagged puts a tag on each run that carries wires, and on each connector of a place with several, of a build. It returns their
// codes.
func Tagged(t testing.TB, b *harness.Build) (bundles, connectors []string) {
	t.Helper()
	carries := map[string]bool{}
	for _, r := range loom.New(b, cut.Settle(b).Graph).Runs {
		carries[r.ID] = len(r.Wires) > 0
	}
	used, source := map[string]bool{}, rand.NewChaCha8([32]byte{7})
	for _, rec := range b.Tags.All() {
		used[rec.Code] = true
	}
	put := func(all []harness.Tag) (codes []string) {
		for i, rec := range all {
			code, err := tag.NewCode(source, func(c string) bool { return used[c] })
			if err != nil {
				t.Fatal(err)
			}
			used[code], rec.Code = true, code
			harnesstest.Put(t, b, harness.KindTag, fmt.Sprintf("%s-tag%04d", rec.On, i), rec)
			codes = append(codes, code)
		}
		return codes
	}
	onRuns, onPlugs := tag.Offered(b, func(run string) bool { return carries[run] })
	return put(onRuns), put(onPlugs)
}
