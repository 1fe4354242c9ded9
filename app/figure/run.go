package figure

import (
	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

const adjusted = "weighted least squares: Ghilani, Adjustment Computations, 6th ed., ch. 12"

// how says in words how a length comes from its readings.
func how(h survey.How) string {
	switch h {
	case survey.OwnReading:
		return "its own reading"
	case survey.Mean:
		return "the mean of its own readings, each by how sure it is"
	case survey.SumOf:
		return "the sum of the readings of the runs it was made of"
	case survey.Difference:
		return "a longer reading less what is known of it"
	case survey.SplitPart:
		return "the reading of a run that was split, less the other parts"
	case survey.Solved:
		return "several readings that only together settle it"
	}
	return "all readings that pass it, fitted to each other; the sum of weight times reading"
}

func (a asker) run(id string) unit.Figure {
	r, ok := a.b.Runs.Get(id)
	if !ok {
		return unit.Figure{}
	}
	f := unit.Figure{What: "Length of " + kit.RunName(a.b, r), Source: adjusted, Of: string(harness.KindRun), ID: id}
	lengths := a.s.Lengths()
	k, ok := lengths.Run(id)
	if !ok {
		f.Value, f.Note = unknown, "It is "+kit.NotMeasured(a.b, k)+"."
		f.Terms = []unit.Term{{Name: "reading", Text: "none that settles it", Of: string(harness.KindRun), ID: id}}
		return f
	}
	account := lengths.Explain(id)
	f.Value, f.Formula = a.length(k.Length), how(account.How)
	for _, t := range account.Terms {
		formula := ""
		if account.How != survey.OwnReading {
			formula = "weight " + unit.Shown(t.Weight)
		}
		f.Terms = append(f.Terms, unit.Term{Name: a.readingName(t.Reading), Text: a.length(t.Value), Formula: formula, Card: Reading(t.Reading)})
	}
	if k.Corners != 0 {
		f.Terms = append(f.Terms, a.value("of that corners", k.Corners, "0.785 × (bundle − string) for each 90° that a string was pulled round", "derived"))
	}
	f.Terms = append(f.Terms, a.value("give or take", k.Sigma, "standard deviation from the adjustment", adjusted))
	if k.Guess {
		f.Note = "It rests on a guess."
	}
	return f
}

// readingName is a reading by its ends.
func (a asker) readingName(id string) string {
	r, ok := a.b.Readings.Any(id)
	if !ok || len(r.Places) < 2 {
		return "a reading"
	}
	return kit.PlaceName(a.b, r.Places[0]) + " to " + kit.PlaceName(a.b, r.Places[len(r.Places)-1])
}

func (a asker) reading(id string) unit.Figure {
	r, ok := a.b.Readings.Any(id)
	if !ok {
		return unit.Figure{}
	}
	f := unit.Figure{What: "Reading " + a.readingName(id), Value: a.length(r.Value), Source: adjusted, Of: string(harness.KindReading), ID: id,
		Formula: "as it was read, beside what all readings together say"}
	typed := r.Text
	if typed == "" {
		typed = a.length(r.Value)
	}
	f.Terms = []unit.Term{{Name: "as it was keyed in", Text: typed, Formula: kit.Day(r.At), Of: string(harness.KindReading), ID: id}}
	for _, fit := range a.s.Lengths().Fits() {
		if fit.Reading != id {
			continue
		}
		if fit.Corners != 0 {
			f.Terms = append(f.Terms, a.value("corners", fit.Corners, "added for the corners that the string was pulled round", "derived: 0.785 × (bundle − string) each"))
		}
		f.Terms = append(f.Terms, a.value("give or take", fit.Sigma, "standard deviation by the way it was read", "judgement of practice, or stated with the reading"))
		if fit.Known {
			f.Terms = append(f.Terms, a.value("adjusted", fit.Adjusted, "the path by all readings that count", adjusted),
				a.value("difference", fit.Residual, "adjusted less what was read", ""))
			if fit.Redundancy > 0 && fit.Checkable() {
				f.Terms = append(f.Terms,
					unit.Term{Name: "how well it is checked", Value: fit.Redundancy, Formula: "0 if nothing else tells it, 1 if others know it far better", Source: adjusted},
					unit.Term{Name: "odd by", Value: fit.W, Formula: "difference/its own standard deviation: 1 is usual", Source: adjusted})
			}
		}
		switch fit.Use {
		case survey.ThrownOut:
			f.Note = "It was thrown out: it does not count."
		case survey.SetAside:
			f.Note = "It is set aside: with it a run would be no longer than nothing."
		case survey.NotNeeded:
			f.Note = "It does not count: others settle what it tells."
		}
	}
	return f
}
