package walk

import (
	"errors"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
)

// checking is the draft after a place was picked for the check.
func (d draft) checking(place string) draft {
	d.Check = d.Check.take(place)
	d.Sure = false
	return d
}

// enterCheck makes the reading from end to end, and stays to say how it fits.
func (w *walk) enterCheck(n number) {
	places, runs, err := w.d.Check.path(w.S.B(), w.S.Graph())
	switch {
	case errors.Is(err, errNoEnds):
		w.wrong = "Tap both ends first. The number stays."
		return
	case err != nil:
		w.wrong = "No run leads from one end to the other. The number stays."
		return
	case passesTwice(runs):
		w.wrong = "That way passes one run twice. Take a place off it. The number stays."
		return
	case len(runs) == 0:
		w.wrong = "Both ends are one place. The number stays."
		return
	}
	if w.doubts(n.value, runs...) {
		return
	}
	m := newMaker(w.S)
	reading, change := m.reading(places, runs, n)
	if !w.do(m.err, change) {
		return
	}
	w.rev = w.S.Rev()
	w.checked = reading
	d := w.d
	d.Text, d.Sure, d.With = "", false, details{Thick: d.With.Thick}
	d.Trail = append(slices.Clone(d.Trail), step{At: d.At, Reading: reading})
	d.Trail = d.Trail[max(0, len(d.Trail)-longestTrail):]
	w.keep(d)
}

func passesTwice(runs []string) bool {
	sorted := slices.Sorted(slices.Values(runs))
	return len(slices.Compact(sorted)) < len(runs)
}

func (w *walk) onPick(p pick) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w.quiet()
		d := w.d
		if d.Check.Pick == p {
			p = pickTo
		}
		d.Check.Pick = p
		w.keep(d)
	}
}

func (w *walk) onEnd(place string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w.quiet()
		w.keep(w.d.checking(place))
		if w.At.Mode != "" {
			kit.Go(ctx, w.here())
		}
	}
}

// checkView asks for the ends of the check, and says how the last one fits.
func (w *walk) checkView() []app.UI {
	b, c := w.S.B(), w.d.Check
	name := func(id string) string {
		if id == "" {
			return "tap it"
		}
		return kit.PlaceName(b, id)
	}
	through := "any place"
	if len(c.Via) > 0 {
		through = names(b, c.Via)
	}
	body := []app.UI{app.Div().Class("chips even picks").Body(
		kit.Choice("From", name(c.From), c.Pick == pickFrom, w.onPick(pickFrom), c.From, string(c.Pick)),
		kit.Choice("To", name(c.To), c.Pick == pickTo, w.onPick(pickTo), c.To, string(c.Pick)),
		kit.Choice("Through", through, c.Pick == pickVia, w.onPick(pickVia), through, string(c.Pick)),
	)}
	if w.checked != "" {
		return append(body, w.verdict(w.checked)...)
	}
	places, runs, err := c.path(b, w.S.Graph())
	switch {
	case errors.Is(err, errNoEnds):
		body = append(body, app.P().Class("small").Text("Tap the places on the sketch, or take one here. Lay the string all the way, and read it in one."))
	case err != nil:
		body = append(body, kit.Note("warn", "No run leads from one end to the other.", "Pick other ends."))
	default:
		body = append(body, app.P().Class("small").Text(plural(len(runs), "run", "runs")+": "+strings.Join(placeNames(b, places), " – ")+". Another way: tap Through, then a place."))
	}
	var chips []app.UI
	if c.Pick != pickVia {
		for _, id := range farEnds(b, w.S.Graph(), c.From, 3) {
			if id != c.To {
				chips = append(chips, kit.Choice(kit.PlaceName(b, id), "far end", false, w.onEnd(id), id, string(c.Pick)))
			}
		}
	}
	to := w.here().In(partEnds)
	return append(body, kit.Chips(append(chips, kit.Plain("All places…", kit.To(to), to))...))
}

// endsView is the list of places to pick from.
func (w *walk) endsView() []app.UI {
	b := w.S.B()
	var rows []app.UI
	for _, p := range b.Places.All()[:min(b.Places.Len(), mostRows)] {
		under := string(p.Kind)
		if slices.Contains(w.d.Check.Via, p.ID) {
			under += ", on the way"
		}
		rows = append(rows, kit.Row("", kit.PlaceName(b, p.ID), under, "", "", w.onEnd(p.ID), p.ID))
	}
	return []app.UI{app.Div().Class("rows").Body(rows...)}
}

// act is what a tap on a place of the sketch does.
func (w *walk) act() string {
	if w.d.Way != wayCheck {
		return "Stand here"
	}
	switch w.d.Check.Pick {
	case pickFrom:
		return "From here"
	case pickVia:
		return "Through here"
	}
	return "To here"
}

// verdict says how a reading fits the others, and if something is wrong, what, and what to read next.
func (w *walk) verdict(reading string) (body []app.UI) {
	b, l := w.S.B(), w.S.Lengths()
	if f, ok := fitOf(l, reading); ok {
		tone := "good"
		if grade(l, reading) != survey.Closes {
			tone = "warn"
		}
		body = append(body, kit.Note(tone, "Taken: "+fitWords(f, b.Settings.Unit)+".", gradeWords(grade(l, reading))))
	}
	for _, s := range l.Suspicions()[:min(1, len(l.Suspicions()))] {
		body = append(body, kit.Note("bad", suspectWords(b, s), settleWords(b, s)))
		if runs := again(s); len(runs) > 0 {
			body = append(body, kit.Chips(kit.Plain("Read "+pathName(b, runs)+" again", w.onAgain(runs), runs[0], len(runs))))
		}
		if len(s.Readings) > 1 {
			body = append(body, app.P().Class("small").Text("They are: "+suspectNames(b, s)+"."))
		}
	}
	return body
}

// onAgain goes to read a path once more.
func (w *walk) onAgain(runs []string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w.quiet()
		w.keep(w.d.toMeasure(w.S.B(), w.S.Lengths(), endOf(w.S.B(), runs), runs))
	}
}

// grade is how badly a reading closes against the others.
func grade(l *survey.Lengths, reading string) survey.Misfit {
	for _, c := range l.Checks() {
		if c.Reading == reading {
			return c.Misfit()
		}
	}
	return survey.Closes
}

func gradeWords(m survey.Misfit) string {
	switch m {
	case survey.Again:
		return "That is more than strings differ by: read it again."
	case survey.Look:
		return "That is worth a look."
	}
	return ""
}

func placeNames(b *harness.Build, places []string) []string {
	var all []string
	for _, id := range places {
		all = append(all, kit.PlaceName(b, id))
	}
	return all
}
