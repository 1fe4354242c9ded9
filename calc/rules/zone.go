package rules

import (
	"loomwright/calc/harness"
	"loomwright/calc/wire"
)

// zone is where a run lies, and why that is known.
type zone struct {
	wire.Zone
	because string
}

// roomCelsius is what is around a wire that takes no run: one that stays in a panel. Source: as wire.Cabin.
const roomCelsius = 40

func (z zone) celsius() float64 {
	c, ok := z.Ambient()
	if !ok {
		return roomCelsius
	}
	return c
}

// onEngine are the kinds of device that stand on an engine or beside it.
var onEngine = []string{"injector", "injector, low impedance", "coil with driver", "coil", "pick-up", "knock sensor", "knock sensor, one wire",
	"starter", "alternator", "oxygen sensor", "wideband sensor", "pressure and temperature sensor", "fan", "two fans"}

// zones tells the zone of each run. What is marked hot is near the exhaust. The rest of the loom falls apart at its
// pass-throughs; a part with a device that stands on an engine is in the engine bay, and the others are not. What hangs
// together with no pass-through between is in the engine bay, because that is the harder of the two. What a person says of a
// place counts before what stands there, and for the runs that end at it; of two ends the hotter counts.
//
// Source: our choice; that an engine is on one side of a bulkhead is common practice.
func zones(f *facts) map[string]zone {
	next := map[string][]string{} // place to its runs
	runs := f.b.Runs.All()
	for i := range runs {
		next[runs[i].A] = append(next[runs[i].A], runs[i].ID)
		next[runs[i].B] = append(next[runs[i].B], runs[i].ID)
	}
	engine := map[string]bool{}
	for _, key := range onEngine {
		engine[key] = true
	}
	all := make(map[string]zone, len(runs))
	for i := range runs {
		if _, had := all[runs[i].ID]; had {
			continue
		}
		z := zone{wire.Cabin, "no device of the engine is on this side of the pass-throughs"}
		var part []string
		seen := map[string]bool{}
		all[runs[i].ID] = z
		for open := []string{runs[i].ID}; len(open) > 0; open = open[1:] {
			r := f.runs[open[0]]
			part = append(part, r.ID)
			for _, id := range [2]string{r.A, r.B} {
				p := f.places[id]
				if seen[id] || p.Kind == harness.PassThrough {
					continue
				}
				seen[id] = true
				if z.Zone == wire.Cabin && (p.Zone == "" && engine[p.Device] || p.Zone != "" && p.Zone != harness.Zone(wire.Cabin)) {
					z = zone{wire.EngineBay, p.Name + " is on this side of the pass-throughs"}
				}
				for _, far := range next[id] {
					if _, had := all[far]; !had {
						all[far] = z
						open = append(open, far)
					}
				}
			}
		}
		for _, id := range part {
			all[id] = z
			if f.runs[id].Hot {
				all[id] = zone{wire.NearExhaust, "the run is marked as hot"}
			} else if told, ok := f.told(f.runs[id].Run); ok {
				all[id] = told
			}
		}
	}
	return all
}

// told is the zone that a person gave an end of a run, the hotter where both have one.
func (f *facts) told(r harness.Run) (z zone, ok bool) {
	most := 0.0
	for _, id := range [2]string{r.A, r.B} {
		p := f.places[id]
		if around, is := wire.Zone(p.Zone).Ambient(); is && around > most {
			z, ok, most = zone{wire.Zone(p.Zone), "so it is said of " + p.Name}, true, around
		}
	}
	return z, ok
}
