package walk

import (
	"strings"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
)

// trouble is an issue of the route in words, with the way to its mend.
type trouble struct {
	tone        string
	what, fix   string
	run, place  string // the card where it is mended; one of them, or none
	measureFrom string // instead: the place to stand at
}

// describe puts an issue into words: what it is, and what to do.
func describe(b *harness.Build, i route.Issue) trouble {
	sys := b.Settings.Unit
	run, runName := "", ""
	if len(i.Runs) > 0 {
		run = i.Runs[0]
		if r, ok := b.Runs.Any(run); ok {
			runName = kit.RunName(b, r)
		}
	}
	place := ""
	if len(i.Places) > 0 {
		place = i.Places[0]
	}
	switch i.Kind {
	case route.LostPlace:
		what := "The run " + runName + " has an end nowhere."
		if len(i.Places) > 0 {
			what = "The run " + runName + " ends at a place that was deleted."
		}
		return trouble{tone: "bad", what: what, fix: "Bring the place back with Undo or the history, or delete the run.", run: run}
	case route.SelfRun:
		return trouble{tone: "bad", what: "A run begins and ends at " + kit.PlaceName(b, place) + ".", fix: "Delete it.", run: run}
	case route.Contradiction:
		return trouble{
			tone: "bad", what: "The readings give " + runName + " a length of " + i.Got.Format(sys) + ".",
			fix: "They cannot all be right: " + readingNames(b, i.Readings) + ". Read the run again.", run: run,
		}
	case route.LongRun:
		return trouble{
			tone: "warn", what: runName + " is " + i.Got.Format(sys) + " long.",
			fix: "More than " + i.Limit.Format(sys) + " is unusual for one run: read it again, or split it.", run: run,
		}
	case route.ReadAgain, route.LookAgain:
		t := trouble{
			tone: "warn", what: readingNames(b, i.Readings[:min(1, len(i.Readings))]) + " was read as " + i.Got.Format(sys) +
				", the other readings make it " + i.Limit.Format(sys) + ".",
			fix: "It may be chance, but it is worth a look: read it again.", run: run,
		}
		if i.Kind == route.ReadAgain {
			t.tone, t.fix = "bad", "One of them is wrong, most likely this one: read it again."
		}
		return t
	case route.Island:
		return trouble{
			tone: "bad", what: "No run leads from the rest to " + names(b, i.Places) + ".",
			fix: "Wires cannot get there. Connect one of them.", place: place,
		}
	case route.Loose:
		return trouble{tone: "warn", what: kit.PlaceName(b, place) + " has no run.", fix: "Wires cannot get there. Connect it, or walk to it.", place: place}
	case route.Loop:
		return trouble{
			tone: "", what: "A loop: " + names(b, i.Places) + ".",
			fix: "That is allowed: each wire takes the shorter way.", run: run,
		}
	case route.LostLoom:
		return trouble{tone: "warn", what: runName + " is in a loom that was deleted.", fix: "Choose its loom.", run: run}
	case route.UnusedReading:
		return trouble{tone: "", what: "The reading " + readingNames(b, i.Readings) + " is not used.", fix: unusedWords(i.Because)}
	case route.Unmeasured:
		t := trouble{tone: "", what: runName + " is not measured.", fix: "Stand there and key it in.", run: run}
		if r, ok := b.Runs.Get(run); ok {
			t.measureFrom = r.A
		}
		if i.Why == survey.Together && len(i.Runs) > 1 {
			t.fix = "It is known only together with " + runNames(b, i.Runs[1:]) + ": read one of them alone."
		}
		return t
	}
	return trouble{what: string(i.Kind)}
}

// unusedWords says why a reading is not used, and what to do.
func unusedWords(c survey.Because) string {
	switch c {
	case survey.NoValue:
		return "It has no length. Read the run again."
	case survey.NoPath:
		return "Its places do not settle which runs it passed. Read them again."
	case survey.LostRun:
		return "It names a run that is not in this build."
	case survey.MovedRun:
		return "A run it passed ends elsewhere now. Read it again."
	case survey.PassTwice:
		return "It passes one run two times. Read it again."
	}
	return ""
}

// names lists places, at most six.
func names(b *harness.Build, places []string) string {
	var list []string
	for i, id := range places {
		if i == 6 {
			return strings.Join(list, ", ") + " and " + plural(len(places)-6, "more place", "more places")
		}
		list = append(list, kit.PlaceName(b, id))
	}
	return strings.Join(list, ", ")
}

func runNames(b *harness.Build, runs []string) string {
	var list []string
	for _, id := range runs {
		if r, ok := b.Runs.Any(id); ok {
			list = append(list, kit.RunName(b, r))
		}
	}
	return strings.Join(list, ", ")
}

func readingNames(b *harness.Build, readings []string) string {
	var list []string
	for _, id := range readings {
		if r, ok := b.Readings.Any(id); ok {
			list = append(list, readingName(b, r))
		}
	}
	return strings.Join(list, ", ")
}
