package walk

import (
	"errors"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/sorting"
)

// check is a reading from any place to any other, end to end.
type check struct {
	From  string   `json:"from,omitzero"`
	To    string   `json:"to,omitzero"`
	Via   []string `json:"via,omitzero"`   // places that the string is laid through, in order
	Along []string `json:"along,omitzero"` // the runs it is laid along, where they were given and not looked for
	Pick  pick     `json:"pick,omitzero"`  // what a tap on a place chooses
}

type pick string

// What is picked on the sketch or in the list.
const (
	pickTo   pick = ""
	pickFrom pick = "from"
	pickVia  pick = "through"
)

// checkFrom is the check that is likely where one stands: from where the loom begins to there.
func checkFrom(b *harness.Build, here string) check {
	c := check{From: start(b)}
	if here != c.From {
		c.To = here
	}
	return c
}

// mend lets go of places and runs that are gone.
func (c *check) mend(b *harness.Build) {
	lives := func(place string) bool { _, ok := b.Places.Get(place); return ok }
	if !lives(c.From) {
		c.From = ""
	}
	if !lives(c.To) {
		c.To = ""
	}
	c.Via = slices.DeleteFunc(slices.Clone(c.Via), func(id string) bool { return !lives(id) })
	if places, ok := placesAlong(b, c.From, c.Along); !ok || places[len(places)-1] != c.To {
		c.Along = nil
	}
}

// take is the check after a place was picked. A place that is picked to pass again is let go.
func (c check) take(place string) check {
	c.Along = nil
	switch c.Pick {
	case pickFrom:
		c.From, c.Pick = place, pickTo
		if c.To == place {
			c.To = ""
		}
	case pickVia:
		c.Via = slices.Clone(c.Via)
		if i := slices.Index(c.Via, place); i >= 0 {
			c.Via = slices.Delete(c.Via, i, i+1)
		} else if place != c.From && place != c.To {
			c.Via = append(c.Via, place)
		}
	default:
		c.To = place
		if c.From == place {
			c.From = ""
		}
	}
	return c
}

// errNoEnds is the error of a check whose ends are not both chosen.
var errNoEnds = errors.New("walk: the ends are not chosen")

// path is what the string passes.
func (c check) path(b *harness.Build, g *route.Graph) (places, runs []string, err error) {
	if c.From == "" || c.To == "" {
		return nil, nil, errNoEnds
	}
	if places, ok := placesAlong(b, c.From, c.Along); ok {
		return places, c.Along, nil
	}
	p, err := g.Path(c.From, c.To, nil, c.Via)
	if err != nil {
		return nil, nil, err
	}
	return p.Places, p.Runs, nil
}

// farEnds are places worth a check from another: the ends of the loom that are reached over the most runs, the farthest
// first, and no more than most.
func farEnds(b *harness.Build, g *route.Graph, from string, most int) []string {
	type end struct {
		place string
		runs  int
	}
	var all []end
	for _, p := range b.Places.All() {
		if !slices.Contains(ends, p.Kind) && p.Kind != harness.Controller || p.ID == from {
			continue
		}
		if runs, err := g.Runs(from, p.ID, nil, nil); err == nil && len(runs) > 1 {
			all = append(all, end{p.ID, len(runs)})
		}
	}
	sorting.By(all, func(a, b end) int { return b.runs - a.runs })
	var places []string
	for _, e := range all[:min(most, len(all))] {
		places = append(places, e.place)
	}
	return places
}
