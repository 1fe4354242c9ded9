package kit

import (
	"fmt"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// Number is a length without its unit, thousands apart: "1 845". For columns that say once what they count in.
func Number(l unit.Length, sys unit.System) string {
	_, u := l.Figures(sys)
	return strings.TrimSuffix(l.Grouped(sys), " "+u)
}

// SizeWord is the canonical text of a size as it is shown: "0.75 mm²".
func SizeWord(size string) string {
	if area, ok := strings.CutSuffix(size, " mm2"); ok {
		return area + " mm²"
	}
	return size
}

// NoWay says why a wire has no way through the runs.
func NoWay(b *harness.Build, e *route.NoPath) string {
	switch e.Trouble {
	case route.NoEnd:
		return "It is not chosen yet where this wire " + endVerb(e.End) + "."
	case route.LostEnd:
		if e.Place == "" {
			return "What this wire " + endVerb(e.End) + " at was deleted."
		}
		return "This wire " + endVerb(e.End) + " at " + PlaceName(b, e.Place) + "."
	case route.LostVia:
		return "It must pass through " + PlaceName(b, e.Place) + "."
	case route.NoRuns:
		return "No run leads to " + PlaceName(b, e.Place) + " yet."
	case route.OtherIsland:
		return "No run joins " + names(b, e.Places, 3, PlaceName) + " to the rest of the route."
	case route.OtherLoom:
		return "The way to " + PlaceName(b, e.Place) + " leads through " + names(b, e.Looms, 3, LoomName) + ", which this wire may not use."
	}
	return "There is no way for this wire."
}

func endVerb(end harness.TagEnd) string {
	if end == harness.ToEnd {
		return "ends"
	}
	return "starts"
}

// names joins the names of records, at most so many.
func names(b *harness.Build, ids []string, most int, name func(*harness.Build, string) string) string {
	var all []string
	for i, id := range ids {
		if i == most {
			all = append(all, fmt.Sprintf("%d more", len(ids)-i))
			break
		}
		all = append(all, name(b, id))
	}
	if len(all) > 1 {
		all[len(all)-2] += " and " + all[len(all)-1]
		all = all[:len(all)-1]
	}
	return strings.Join(all, ", ")
}

// NotMeasured says why the length of a run is not known.
func NotMeasured(b *harness.Build, k survey.Known) string {
	switch k.Why {
	case survey.NoReading:
		return "not measured yet"
	case survey.Together:
		return "measured only together with " + names(b, k.With, 3, runName)
	case survey.Contradicted:
		return "its readings contradict each other: read it once more"
	}
	return "this run is not here any more"
}

func runName(b *harness.Build, id string) string {
	r, ok := b.Runs.Any(id)
	if !ok {
		return "a run that is not here"
	}
	return RunName(b, r)
}
