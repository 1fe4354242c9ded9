package prove

import (
	"math/bits"
	"math/rand/v2"
	"testing"
)

// grid is the neighbours of a connector: side by side, and one above the other.
func grid(rows, columns int) (pairs []Pair, points int) {
	for r := range rows {
		for c := range columns {
			at := r*columns + c
			if c+1 < columns {
				pairs = append(pairs, Pair{at, at + 1})
			}
			if r+1 < rows {
				pairs = append(pairs, Pair{at, at + columns})
			}
		}
	}
	return pairs, rows * columns
}

// checkOrder fails unless every pair is there once.
func checkOrder(t *testing.T, pairs []Pair, order []int) {
	t.Helper()
	seen := make([]bool, len(pairs))
	for _, k := range order {
		if seen[k] {
			t.Fatalf("pair %d comes twice", k)
		}
		seen[k] = true
	}
	if len(order) != len(pairs) {
		t.Fatalf("%d of %d pairs", len(order), len(pairs))
	}
}

// fewest is the least moves of any order, over all subsets.
func fewest(pairs []Pair) int {
	n := len(pairs)
	const never = 1 << 20
	best := make([][]int, 1<<n)
	for set := range best {
		best[set] = make([]int, n)
		for last := range n {
			best[set][last] = never
			if set == 1<<last {
				best[set][last] = 2
			}
			if set>>last&1 == 0 || bits.OnesCount(uint(set)) == 1 {
				continue
			}
			for before, had := range best[set&^(1<<last)] {
				step := 2
				if shares(pairs[last], pairs[before]) {
					step = 1
				}
				best[set][last] = min(best[set][last], had+step)
			}
		}
	}
	least := never
	for _, m := range best[1<<n-1] {
		least = min(least, m)
	}
	return least
}

func TestOrderAgainstBruteForce(t *testing.T) {
	for _, row := range []struct{ rows, columns int }{{1, 2}, {1, 5}, {2, 2}, {2, 3}, {2, 4}, {3, 3}, {2, 5}} {
		pairs, points := grid(row.rows, row.columns)
		order := Order(pairs, points)
		checkOrder(t, pairs, order)
		if got, want := Moves(pairs, order), fewest(pairs); got != want {
			t.Errorf("%d x %d: %d moves, %d would do", row.rows, row.columns, got, want)
		}
	}
	random := rand.New(rand.NewPCG(7, 7))
	worse, all := 0, 0
	for trial := range 200 {
		points := 4 + random.IntN(5)
		var pairs []Pair
		for range 3 + random.IntN(8) {
			a, b := random.IntN(points), random.IntN(points)
			if a != b {
				pairs = append(pairs, Pair{a, b})
			}
		}
		if len(pairs) == 0 {
			continue
		}
		order := Order(pairs, points)
		checkOrder(t, pairs, order)
		got, want, bound := Moves(pairs, order), fewest(pairs), Bound(pairs, points)
		all++
		if got > want {
			worse++
		}
		if got > want+1 || got > bound {
			t.Errorf("trial %d: %d moves, best %d, bound of trails %d: %v", trial, got, want, bound, pairs)
		}
	}
	t.Logf("%d of %d random graphs one move more than the best", worse, all)
}

func TestOrderOfSixtyPins(t *testing.T) {
	for _, row := range []struct{ rows, columns int }{{2, 30}, {3, 20}, {4, 15}, {5, 12}, {6, 10}} {
		pairs, points := grid(row.rows, row.columns)
		for _, rails := range []int{0, 3} {
			pairs, points := pairs, points
			for r := range rails { // every pin against each rail too
				for p := range row.rows * row.columns {
					pairs = append(pairs, Pair{points + r, p})
				}
			}
			points += rails
			order := Order(pairs, points)
			checkOrder(t, pairs, order)
			got, bound := Moves(pairs, order), Bound(pairs, points)
			t.Logf("%d x %d, %d rails: %d pairs, %d moves, bound %d", row.rows, row.columns, rails, len(pairs), got, bound)
			if float64(got) > 1.05*float64(bound) {
				t.Errorf("%d x %d, %d rails: %d moves, bound %d", row.rows, row.columns, rails, got, bound)
			}
		}
	}
}
