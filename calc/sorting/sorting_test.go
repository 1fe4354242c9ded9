package sorting

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
)

type item struct{ key, was int }

// By does what the library's stable sort does, which is the check; seeds 1 to 200.
func TestBy(t *testing.T) {
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 1))
		got := make([]item, r.IntN(60))
		for i := range got {
			got[i] = item{r.IntN(12), i}
		}
		want := slices.Clone(got)
		compare := func(a, b item) int { return cmp.Compare(a.key, b.key) }
		slices.SortStableFunc(want, compare)
		By(got, compare)
		if !slices.Equal(got, want) {
			t.Fatalf("seed %d: %v, want %v", seed, got, want)
		}
	}
}
