package calc

import (
	"fmt"

	"loomwright/calc/bundle"
)

// mostCircles bounds the time that one request takes. Source: our choice; a person bundles at most 75 wires.
const mostCircles = 300

type bundleRequest struct {
	head
	Diameters []float64 `json:"diameters_mm"`
	Grade     string    `json:"grade"`
}

func pack(in bundleRequest) (any, error) {
	if err := need("bundle", field{"diameters_mm", in.Diameters != nil}); err != nil {
		return nil, err
	}
	if len(in.Diameters) > mostCircles {
		return nil, fmt.Errorf("calc: bundle: %d circles, the most is %d", len(in.Diameters), mostCircles)
	}
	grade := bundle.Thorough
	switch in.Grade {
	case "", "thorough":
	case "quick":
		grade = bundle.Quick
	default:
		return nil, fmt.Errorf(`calc: bundle: grade %q is neither "thorough" nor "quick"`, in.Grade)
	}
	p, err := bundle.Pack(in.Diameters, grade)
	if err != nil {
		return nil, err
	}
	out := struct {
		Diameter float64      `json:"diameter_mm"`
		Centres  [][2]float64 `json:"centres_mm"`
	}{p.Diameter, make([][2]float64, len(p.Centres))}
	for i, c := range p.Centres {
		out.Centres[i] = [2]float64{c.X, c.Y}
	}
	return out, nil
}
