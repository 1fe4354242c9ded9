package walk

import (
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/survey"
)

// target is what may come next on the string: a place that is there already, over a run that is drawn or not, or a new
// place of a kind. The zero value is nothing chosen yet.
type target struct {
	Place string            `json:"place,omitzero"`
	Run   string            `json:"run,omitzero"` // a run that is drawn and not measured
	Kind  harness.PlaceKind `json:"kind,omitzero"`
}

func (t target) chosen() bool { return t != target{} }

const (
	mostDrawn = 4 // drawn runs that are offered at once; more are under Other
	mostLoose = 2 // places without a run that are offered at once
)

// drawn are the runs from a place that are not measured, in their order.
func drawn(b *harness.Build, l *survey.Lengths, place string) []target {
	var all []target
	for _, r := range runsAt(b, place) {
		far, _ := r.OtherEnd(place)
		if _, lives := b.Places.Get(far); !lives || far == place {
			continue
		}
		if _, known := l.Run(r.ID); !known {
			all = append(all, target{Place: far, Run: r.ID})
		}
	}
	return all
}

// loose are the places that no run reaches, in their order, without the one where one stands.
func loose(b *harness.Build, here string) []target {
	reached := map[string]bool{here: true}
	for _, r := range b.Runs.All() {
		reached[r.A], reached[r.B] = true, true
	}
	var all []target
	for _, p := range b.Places.All() {
		if !reached[p.ID] {
			all = append(all, target{Place: p.ID})
		}
	}
	return all
}

// suggest says what is likely to come next: drawn runs that only want a number, then places that stand nowhere yet, then
// a new split and a new device. From a place where the string ends, nothing new is likely.
func suggest(b *harness.Build, l *survey.Lengths, here string) []target {
	runs := drawn(b, l, here)
	all := runs[:min(len(runs), mostDrawn)]
	if len(runs) < mostDrawn {
		free := loose(b, here)
		all = append(all, free[:min(len(free), mostLoose)]...)
	}
	return append(all, target{Kind: harness.Split}, target{Kind: harness.Device})
}

// ends are the kinds of place where a string ends: one goes back from there.
var ends = []harness.PlaceKind{harness.Device, harness.Ground, harness.Supply, harness.CarWire}

// cameFrom is the place that a walk to the end of a string came from, or "" elsewhere.
func cameFrom(b *harness.Build, here string, trail []step) string {
	p, _ := b.Places.Get(here)
	if len(trail) == 0 || !slices.Contains(ends, p.Kind) {
		return ""
	}
	from := trail[len(trail)-1].At
	if _, lives := b.Places.Get(from); !lives || from == here {
		return ""
	}
	return from
}

// first is what is chosen before a person has chosen: the first drawn run, or nothing.
func first(b *harness.Build, l *survey.Lengths, here string) target {
	if runs := drawn(b, l, here); len(runs) > 0 {
		return runs[0]
	}
	return target{}
}

// others are all living places but the one where one stands, in their order: those without a run between here and there
// are connected when they are chosen.
func others(b *harness.Build, here string) []harness.Place {
	var all []harness.Place
	for _, p := range b.Places.All() {
		if p.ID != here {
			all = append(all, p)
		}
	}
	return all
}

// between returns the run that a walk from here to a place is along: the first that is not measured, else the first.
func between(b *harness.Build, l *survey.Lengths, here, place string) string {
	id := ""
	for _, r := range runsAt(b, here) {
		if far, ok := r.OtherEnd(here); !ok || far != place {
			continue
		}
		if _, known := l.Run(r.ID); !known {
			return r.ID
		}
		if id == "" {
			id = r.ID
		}
	}
	return id
}

// openEnds are the places to go back to, in the order of the walk: those with runs that are not measured, and splits
// that nothing leads on from.
func openEnds(b *harness.Build, l *survey.Lengths, here string) []string {
	var all []string
	for _, p := range b.Places.All() {
		if p.ID == here {
			continue
		}
		if len(drawn(b, l, p.ID)) > 0 || p.Kind == harness.Split && len(runsAt(b, p.ID)) < 2 {
			all = append(all, p.ID)
		}
	}
	// A drawn run is open at both ends; the one nearer to the start is where one goes back to.
	return slices.DeleteFunc(all, func(id string) bool {
		p, _ := b.Places.Get(id)
		if p.Kind == harness.Split {
			return false
		}
		for _, t := range drawn(b, l, id) {
			if !slices.Contains(all, t.Place) && t.Place != here {
				return false
			}
			if q, _ := b.Places.Get(t.Place); q.Order > p.Order {
				return false
			}
		}
		return true
	})
}

// nearestOpen is the place with a run that is not measured, fewest runs away; from itself counts. It is "" if there is
// none that the runs lead to.
func nearestOpen(b *harness.Build, l *survey.Lengths, from string) string {
	seen := map[string]bool{from: true}
	for queue := []string{from}; len(queue) > 0; queue = queue[1:] {
		if len(drawn(b, l, queue[0])) > 0 {
			return queue[0]
		}
		for _, r := range runsAt(b, queue[0]) {
			far, ok := r.OtherEnd(queue[0])
			if _, lives := b.Places.Get(far); ok && lives && !seen[far] {
				seen[far] = true
				queue = append(queue, far)
			}
		}
	}
	return ""
}
