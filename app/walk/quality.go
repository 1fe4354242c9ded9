package walk

import (
	"fmt"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// qualityWord says in a word how well the length of a run is known, as the sketch draws it.
func qualityWord(k survey.Known) string {
	switch k.Quality {
	case survey.Guessed:
		return "guessed"
	case survey.Once:
		return "read once"
	case survey.Checked:
		return "checked"
	case survey.Disagreeing:
		return "disagrees"
	}
	return "not measured"
}

// give is how far off a length is likely to be.
func give(sigma unit.Length, sys unit.System) string { return "± " + sigma.Format(sys) }

// apart is a difference between readings: whole millimetres, or sixteenths.
func apart(l unit.Length, sys unit.System) string {
	l = max(l, -l)
	if sys != unit.Imperial {
		l = (l + unit.Millimetre/2) / unit.Millimetre * unit.Millimetre
	}
	return l.Format(sys)
}

// fitWords says how a reading fits the others: "18 mm long against the others".
func fitWords(f survey.Fit, sys unit.System) string {
	word := ""
	switch f.Use {
	case survey.ThrownOut:
		word = "thrown out; "
	case survey.SetAside:
		word = "set aside, as a run would be no longer than nothing; "
	case survey.NotNeeded:
		word = "not needed; "
	}
	switch {
	case !f.Checkable():
		return word + "nothing checks it yet"
	case f.Gross >= unit.Millimetre/2:
		return word + apart(f.Gross, sys) + " long against the others"
	case f.Gross <= -unit.Millimetre/2:
		return word + apart(f.Gross, sys) + " short against the others"
	}
	return word + "as the others say"
}

// pathName is a path of runs by its ends.
func pathName(b *harness.Build, runs []string) string {
	from := endOf(b, runs)
	places, ok := placesAlong(b, from, runs)
	if !ok {
		return runNames(b, runs)
	}
	return kit.PlaceName(b, from) + " to " + kit.PlaceName(b, places[len(places)-1])
}

// suspectWords names the reading that is most likely wrong, or says of how many one is.
func suspectWords(b *harness.Build, s survey.Suspicion) string {
	if len(s.Readings) == 1 {
		word := "long"
		if s.Gross < 0 {
			word = "short"
		}
		return fmt.Sprintf("Most likely wrong: %s, %s too %s.", suspectNames(b, s), apart(s.Gross, b.Settings.Unit), word)
	}
	return fmt.Sprintf("One of these %d is wrong by about %s, and nothing tells which.", len(s.Readings), apart(s.Gross, b.Settings.Unit))
}

// suspectNames are the readings that cannot be told apart.
func suspectNames(b *harness.Build, s survey.Suspicion) string {
	var all []string
	for _, id := range s.Readings {
		r, _ := b.Readings.Any(id)
		all = append(all, readingEnds(b, r)+" ("+r.Value.Format(b.Settings.Unit)+")")
	}
	return strings.Join(all, "; ")
}

// again is what to read once more: what settles which reading is wrong, or where that is clear, what it passes.
func again(s survey.Suspicion) []string {
	if len(s.Settle) == 0 {
		return s.Runs
	}
	return s.Settle
}

// settleWords says what to read to know.
func settleWords(b *harness.Build, s survey.Suspicion) string {
	if len(again(s)) == 0 {
		return "Read them again."
	}
	words := "Read " + pathName(b, again(s)) + " again"
	switch {
	case len(s.Readings) == 1:
		return words + "."
	case s.Leaves > 1:
		return words + fmt.Sprintf(": that leaves %d of them at most.", s.Leaves)
	}
	return words + ": that settles it."
}

// needWords says why something is to be measured.
func needWords(n survey.Need) string {
	switch n {
	case survey.NeedLength:
		return "not measured"
	case survey.NeedProof:
		return "readings disagree: this tells which is wrong"
	case survey.NeedString:
		return "only a guess"
	case survey.NeedCheck:
		return "nothing would show a slip"
	}
	return ""
}

// savingWords says what one more reading of a run is worth to the wires in it.
func savingWords(s cut.Saving, sys unit.System) string {
	return fmt.Sprintf("saves %s on %s", apart(s.Most, sys), plural(len(s.Wires), "wire", "wires"))
}

// onMeasure goes to read a path once more, from end to end.
func (p *routePage) onMeasure(from string, runs []string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		d := loadDraft(p.S).toMeasure(p.S.B(), p.S.Lengths(), from, runs)
		d.save(p.S)
		kit.Go(ctx, p.At.On("walk"))
	}
}

// suspicions are the readings that are most likely wrong, each with what to do.
func (p *routePage) suspicions() []app.UI {
	b := p.S.B()
	var body []app.UI
	for _, s := range p.S.Lengths().Suspicions() {
		body = append(body, kit.Note("bad", suspectWords(b, s), settleWords(b, s)))
		var chips []app.UI
		if runs := again(s); len(runs) > 0 {
			chips = append(chips, kit.Plain("Read "+pathName(b, runs)+" again", p.onMeasure(endOf(b, runs), runs), runs[0], len(runs)))
		}
		for _, id := range s.Readings[:min(len(s.Readings), mostSuspects)] {
			r, _ := b.Readings.Any(id)
			chips = append(chips, kit.Plain("Look at "+readingEnds(b, r)+", "+r.Value.Format(b.Settings.Unit), kit.To(p.card(id)), p.card(id)))
		}
		body = append(body, kit.Chips(chips...))
	}
	return body
}

// toMeasure is what to measure next, in the order of a walk round the car, and what a second reading would save.
func (p *routePage) toMeasure() []app.UI {
	b, l, sys := p.S.B(), p.S.Lengths(), p.system()
	body := p.suspicions()
	tasks := l.Next(loadDraft(p.S).At)
	if len(tasks) == 0 && b.Runs.Len() > 0 {
		body = append(body, kit.Note("good", "Nothing is left to measure.", "Every run is measured, and checked by another reading."))
	}
	must := slices.IndexFunc(tasks, func(t survey.Task) bool { return t.Need == survey.NeedCheck })
	if must < 0 {
		must = len(tasks)
	}
	body = append(body, p.taskRows("Must be measured", tasks[:must], 0)...)
	var rows []app.UI
	savings := p.savings()
	for _, s := range savings[:min(len(savings), mostSavings)] {
		r, _ := b.Runs.Get(s.Run)
		rows = append(rows, kit.Row("", "Measure "+kit.RunName(b, r)+" again: "+savingWords(s, sys), wireNames(b, s.Wires), "", "", p.onMeasure(r.A, []string{r.ID}), r.ID))
	}
	if len(rows) > 0 {
		body = append(body, kit.Section("What one more reading saves", "on the margin of wires"), app.Div().Class("rows").Body(rows...))
	}
	return append(body, p.taskRows("Surer with a second reading", tasks[must:], must)...)
}

// taskRows lists readings to take; before is how many come before them.
func (p *routePage) taskRows(title string, tasks []survey.Task, before int) []app.UI {
	if len(tasks) == 0 {
		return nil
	}
	b := p.S.B()
	var rows []app.UI
	for i, t := range tasks[:min(len(tasks), mostRows/2)] {
		name := kit.PlaceName(b, t.From) + " to " + kit.PlaceName(b, t.To)
		rows = append(rows, kit.Row(fmt.Sprint(before+i+1), name, needWords(t.Need), "", "", p.onMeasure(t.From, t.Runs), t.From, t.To, strings.Join(t.Runs, " ")))
	}
	body := []app.UI{kit.Section(title, "in the order of a walk"), app.Div().Class("rows").Body(rows...)}
	if n := len(tasks) - len(rows); n > 0 {
		body = append(body, kit.Lines(fmt.Sprintf("And %d more, when these are done.", n)))
	}
	return body
}

// mostSuspects is how many of the readings that cannot be told apart are offered to look at.
const mostSuspects = 6

// mostSavings is how many runs are offered for what they would save.
const mostSavings = 5

// wireNames names the wires that would gain most.
func wireNames(b *harness.Build, wires []string) string {
	var all []string
	for i, id := range wires {
		if i == 4 {
			all = append(all, "…")
			break
		}
		w, _ := b.Wires.Get(id)
		all = append(all, w.Name)
	}
	return strings.Join(all, ", ")
}

// savings are what one more reading of each run would save, worked out once for a state of the build.
func (p *routePage) savings() []cut.Saving {
	if p.saved == nil || p.savedRev != p.S.Rev() {
		p.saved, p.savedRev = cut.Benefits(p.S.B(), p.S.Graph()), p.S.Rev()
		if p.saved == nil {
			p.saved = []cut.Saving{}
		}
	}
	return p.saved
}
