package kit

import (
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/session"
	"loomwright/calc/harness"
)

// Wide tells whether a sketch fits beside the text.
func Wide() bool {
	w, _ := app.Window().Size()
	return w >= 800
}

// Lit is a sketch for Frame.Beside with some places ringed and the ways of some wires drawn in the accent. It is nil on a
// phone, where nothing is worked out for it, and where there is nothing to light.
func Lit(s *session.Session, places []string, wires []harness.Wire) *Sketch {
	if !Wide() || len(places)+len(wires) == 0 {
		return nil
	}
	x := &Sketch{S: s, Rev: s.Rev(), Class: "full"}
	add := func(place string) {
		if _, ok := s.B().Places.Get(place); ok && !slices.Contains(x.Places, place) {
			x.Places = append(x.Places, place)
		}
	}
	for _, p := range places {
		add(p)
	}
	for _, w := range wires {
		for _, e := range [2]harness.End{w.From, w.To} {
			place, _ := s.B().EndPlace(e)
			add(place)
		}
		if path, err := s.Graph().Wire(w); err == nil {
			for _, run := range path.Runs {
				if !slices.Contains(x.Runs, run) {
					x.Runs = append(x.Runs, run)
				}
			}
		}
	}
	return x
}
