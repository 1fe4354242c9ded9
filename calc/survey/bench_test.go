package survey

import (
	"testing"

	"loomwright/calc/unit"
)

// readCar reads every run of a car so many times and adds end-to-end checks, without blunders.
func readCar(b testing.TB, runs, times, checks int) *car {
	c := newCar(b, 7, runs)
	for range times {
		for i := range runs {
			c.read(b, []int{i + 1}, 0)
		}
	}
	for _, way := range c.checks(checks) {
		c.read(b, way, 0)
	}
	return c
}

// stringCar reads every run by the marks along strings from the controller to each leaf, so that one string shares its
// first runs with others, and each of them goes over many runs.
func stringCar(b testing.TB, runs, readings int) *car {
	c := newCar(b, 7, runs)
	ends := c.leaves()
	for k := 0; c.n < readings; k++ {
		way := c.way(0, ends[k%len(ends)])
		for i := range way {
			if c.n < readings {
				c.read(b, way[:i+1], 0)
			}
		}
	}
	return c
}

func BenchmarkAdjust(b *testing.B) {
	for _, size := range []struct {
		name string
		car  *car
	}{
		{"demo: 40 runs, 88 readings", readCar(b, 40, 2, 8)},
		{"large: 400 runs, 2000 readings, 400 of them checks", readCar(b, 400, 4, 400)},
		{"strings: 400 runs, 2000 marks", stringCar(b, 400, 2000)},
	} {
		b.Run(size.name, func(b *testing.B) {
			for b.Loop() {
				Adjust(size.car.b, nil)
			}
		})
	}
}

// The same, where one reading more arrives and where bundles change.
func BenchmarkAgain(b *testing.B) {
	c := readCar(b, 40, 2, 8)
	l := Adjust(c.b, nil)
	b.Run("bundles of 40 runs", func(b *testing.B) {
		bundles := Bundles{}
		for _, r := range c.b.Runs.All() {
			bundles[r.ID] = 20 * unit.Millimetre
		}
		for b.Loop() {
			l.WithBundles(bundles)
		}
	})
	b.Run("what would help most", func(b *testing.B) {
		for b.Loop() {
			l.Helpful()
		}
	})
	b.Run("the most likely reading", func(b *testing.B) {
		for b.Loop() {
			l.MostLikely()
		}
	})
}
