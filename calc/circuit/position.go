package circuit

import (
	"errors"
	"fmt"
	"slices"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// Position is what the wires of a build come to with everything where it stands.
type Position struct {
	Wires     int
	Added     int         // of Wires: to be cut
	Metres    unit.Length // the cut lengths of the added wires that are known
	Way       unit.Length // the routes of all wires that are known
	Unknown   int         // wires of which no length is known
	NoWay     []string    // wires that have no way
	Short     []string    // wires made of leads that do not reach
	LessTail  []string    // wires made of leads that reach with less than their full tail
	Through   []Through   // in the order of the places
	Inside    int         // terminations to be made in the car
	OnBench   int         // terminations that can be made on the bench
	Splices   int         // ends that go into a splice
	Crossings int         // conductors in all pass-throughs together
}

// Through is a pass-through with the wires in it.
type Through struct {
	Place string
	Wires []string // in their order
}

// At returns what a build comes to. A termination is made in the car where a tail is left for it, and at a controller, panel
// or terminal strip that a pass-through parts from the first controller: only what stands on one side of it can be mounted
// on the bench together. Cost: a length for each wire.
//
// Source: our choice, because a terminated connector rarely fits through a hole with its loom.
func At(b *harness.Build, g *route.Graph) Position {
	var p Position
	passed := map[string][]string{}
	bench := onBench(b, g)
	wires := b.Wires.All()
	for i := range wires {
		w := wires[i]
		p.Wires++
		r := cut.Length(b, g, w)
		lead, made := b.Leads.Get(w.Lead)
		if !made {
			p.Added++
		}
		switch {
		case r.Problem != nil:
			p.NoWay = append(p.NoWay, w.ID)
			p.Unknown++
		case !r.Known():
			p.Unknown++
		default:
			p.Way += r.Route
			if !made {
				p.Metres += r.Sum
			}
		}
		if made && lead.There() {
			switch cut.LeadOf(b, g, w, r).Verdict {
			case cut.TrulyShort:
				p.Short = append(p.Short, w.ID)
			case cut.ReachesShortTail:
				p.LessTail = append(p.LessTail, w.ID)
			}
		}
		for _, place := range r.Path.Places {
			if at, _ := b.Places.Get(place); at.Kind == harness.PassThrough && !slices.Contains(passed[place], w.ID) {
				passed[place] = append(passed[place], w.ID)
				p.Crossings++
			}
		}
		p.ends(b, w, made, bench)
	}
	places := b.Places.All()
	for i := range places {
		if places[i].Kind == harness.PassThrough {
			p.Through = append(p.Through, Through{places[i].ID, passed[places[i].ID]})
		}
	}
	return p
}

// ends counts where the two ends of a wire are terminated.
func (p *Position) ends(b *harness.Build, w harness.Wire, made bool, bench map[string]bool) {
	for i, e := range [2]harness.End{w.From, w.To} {
		id, _ := b.EndPlace(e)
		at, _ := b.Places.Get(id)
		switch {
		case i == 0 && made: // as supplied
		case e.Joint != "" || at.Kind == harness.Splice:
			p.Splices++
		case bench[id]:
			p.OnBench++
		default:
			p.Inside++
		}
	}
}

// onBench returns the controllers, panels and strips that can be mounted on the bench with the first controller.
func onBench(b *harness.Build, g *route.Graph) map[string]bool {
	on := map[string]bool{}
	places := b.Places.All()
	i := slices.IndexFunc(places, func(p harness.Place) bool { return p.Kind == harness.Controller })
	if i < 0 {
		return on
	}
	for _, p := range places {
		switch p.Kind {
		case harness.Controller, harness.Panel, harness.TerminalStrip:
		default:
			continue
		}
		path, err := g.Path(places[i].ID, p.ID, nil, nil)
		on[p.ID] = p.ID == places[i].ID || err == nil && !slices.ContainsFunc(path.Places, func(id string) bool {
			at, _ := b.Places.Get(id)
			return at.Kind == harness.PassThrough
		})
	}
	return on
}

// Difference is what another position changes.
type Difference struct {
	Now, Then      Position
	Metres, Way    unit.Length // Then − Now; compare only where as many lengths are known
	Comparable     bool        // the same wires have a known length in both
	NewShort       []string    // wires that reach now and would not then
	Mended         []string    // wires that do not reach now and would then
	Through        []Crossing  // pass-throughs with another number of wires
	Inside, Splice int         // Then − Now
}

// Crossing is a pass-through before and after.
type Crossing struct {
	Place     string
	Now, Then int
}

// Compare returns what changes between two builds: as it is, and with a place moved. Both graphs are of their builds.
func Compare(now, then *harness.Build, gNow, gThen *route.Graph) Difference {
	d := Difference{Now: At(now, gNow), Then: At(then, gThen)}
	d.Metres, d.Way = d.Then.Metres-d.Now.Metres, d.Then.Way-d.Now.Way
	d.Comparable = d.Now.Unknown == d.Then.Unknown && d.Now.Wires == d.Then.Wires
	d.NewShort, d.Mended = without(d.Then.Short, d.Now.Short), without(d.Now.Short, d.Then.Short)
	d.Inside, d.Splice = d.Then.Inside-d.Now.Inside, d.Then.Splices-d.Now.Splices
	was := map[string]int{}
	for _, t := range d.Now.Through {
		was[t.Place] = len(t.Wires)
	}
	for _, t := range d.Then.Through {
		if n := was[t.Place]; n != len(t.Wires) {
			d.Through = append(d.Through, Crossing{t.Place, n, len(t.Wires)})
		}
	}
	return d
}

// without returns what is in all and not in these.
func without(all, these []string) (rest []string) {
	for _, x := range all {
		if !slices.Contains(these, x) {
			rest = append(rest, x)
		}
	}
	return rest
}

// ErrNoSuchPlace is returned by Move for a place that is not there.
var ErrNoSuchPlace = errors.New("no such place")

// Move returns a copy of a build in which a controller or panel stands elsewhere: the runs that lead to it are gone, and
// one run of this length, a guess, leads to it from another place in a loom. Runs beyond keep their lengths.
func Move(b *harness.Build, place, from, loom string, length unit.Length) (*harness.Build, error) {
	for _, id := range []string{place, from} {
		if _, ok := b.Places.Get(id); !ok || place == from {
			return nil, fmt.Errorf("circuit: move: %q: %w", id, ErrNoSuchPlace)
		}
	}
	c := b.Clone()
	runs := b.Runs.All()
	for i := range runs {
		if r := runs[i]; r.A == place || r.B == place {
			r.Gone = true
			if err := into(c, harness.KindRun, []harness.Run{r}); err != nil {
				return nil, err
			}
		}
	}
	run := harness.Run{Record: harness.Record{ID: harness.ProposedID(harness.KindRun, "move", place, from)}, A: from, B: place, Loom: loom}
	reading := harness.Reading{Record: harness.Record{ID: harness.ProposedID(harness.KindReading, "move", place, from)}, Places: []string{from, place},
		Runs: []string{run.ID}, Value: length, Method: harness.ByGuess, Text: length.Exact(unit.Metric), Unit: unit.Metric}
	if err := into(c, harness.KindRun, []harness.Run{run}); err != nil {
		return nil, err
	}
	if err := into(c, harness.KindReading, []harness.Reading{reading}); err != nil {
		return nil, err
	}
	return c, nil
}

// Try compares a build with one in which a place is moved, see Move and Compare.
func Try(b *harness.Build, place, from, loom string, length unit.Length) (Difference, error) {
	moved, err := Move(b, place, from, loom, length)
	if err != nil {
		return Difference{}, err
	}
	return Compare(b, moved, route.New(b, survey.Adjust(b, nil)), route.New(moved, survey.Adjust(moved, nil))), nil
}
