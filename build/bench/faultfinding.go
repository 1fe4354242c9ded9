package bench

import (
	"context"
	"fmt"

	"loomwright/build/car"
	"loomwright/build/demo"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/suspect"
)

// fewestSteps is within how many measurements each fault is to be found.
const fewestSteps = 4

// faultFinding returns how many of the planted faults in a hundred are not among the first three groups by what is dead
// alone, or not found after four measurements, whichever is more.
func faultFinding(_ context.Context, l *Lab) (float64, error) {
	log, err := demo.Log(0)
	if err != nil {
		return 0, fmt.Errorf("bench: %w", err)
	}
	b := log.State()
	g := route.New(b, survey.Adjust(b, nil))
	ways := func(w harness.Wire) (places, runs []string) {
		p, err := g.Wire(w)
		if err != nil {
			return nil, nil
		}
		return p.Places, p.Runs
	}
	m, c := suspect.New(b, ways), car.New(b, ways)
	n, grouped, found, steps := 0, 0, 0, 0
	for _, seed := range car.Seeds {
		one := 0
		for _, f := range car.Pick(c, m, car.PerSeed, seed) {
			x := car.Find(m, c, f)
			if x.Group >= 1 && x.Group <= 3 {
				grouped++
			}
			if x.Held && len(x.Left) == 1 && x.Steps <= fewestSteps {
				one++
			}
			n++
			steps += x.Steps
		}
		fmt.Fprintf(l.Out, "  seed %d: %d of %d found\n", seed, one, car.PerSeed)
		found += one
	}
	fmt.Fprintf(l.Out, "  %d faults: %d in the first three groups, %d found after at most %d measurements, %.1f on average\n",
		n, grouped, found, fewestSteps, float64(steps)/float64(n))
	return 100 * float64(n-min(grouped, found)) / float64(n), nil
}
