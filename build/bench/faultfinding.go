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

// plantedFaults is how many faults are planted, one at a time, and fewestSteps within how many measurements each is to be
// found.
const (
	plantedFaults = 200
	fewestSteps   = 4
)

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
	grouped, found, steps := 0, 0, 0
	for _, f := range car.Pick(c, m, plantedFaults, 7) {
		x := car.Find(m, c, f)
		if x.Group >= 1 && x.Group <= 3 {
			grouped++
		}
		if x.Held && len(x.Left) == 1 && x.Steps <= fewestSteps {
			found++
		}
		steps += x.Steps
	}
	fmt.Fprintf(l.Out, "  %d faults: %d in the first three groups, %d found after at most %d measurements, %.1f on average\n",
		plantedFaults, grouped, found, fewestSteps, float64(steps)/plantedFaults)
	return 100 * float64(plantedFaults-min(grouped, found)) / plantedFaults, nil
}
