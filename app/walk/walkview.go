package walk

import (
	"fmt"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// Render draws the walk, or the list that the address names.
func (w *walk) Render() app.UI {
	w.sync()
	b := w.S.B()
	back := w.At.On("route")
	f := kit.Frame{S: w.S, Back: &back}
	if w.At.Mode != "" {
		here := w.here()
		f.Back = &here
	}
	switch {
	case w.d.At == "":
		f.Title, f.Body = "Walk", []app.UI{
			kit.Note("", "There is no place yet.", "The walk starts at one: place the controller first."),
			kit.Plain("Go to the route", kit.To(back), back),
		}
	case w.At.Mode == partOther:
		f.Title, f.Body = "What comes next", w.other()
	case w.At.Mode == partBack:
		f.Title, f.Body = "Go back to", w.openPlaces()
	case w.At.Mode == partEntries:
		f.Title, f.Body = "Last numbers", w.entries()
	case w.At.Mode == partHow:
		f.Title, f.Body = "How you read", w.how()
	case w.At.Mode == partEnds:
		f.Title, f.Body = "Check: "+w.act(), w.endsView()
	case w.At.Mode == partHelp:
		f.Title, f.Body = "Before the walk", w.helpView()
		f.Foot = []app.UI{kit.Act("Got it", w.onHelpRead, "all")}
	case w.At.Mode == partTape && len(w.d.String.Marks) == 0:
		f.Title, f.Body = "At the tape", []app.UI{kit.Note("", "No flag waits for its number.", "Put flags on the string first.")}
	case w.At.Mode == partTape:
		f.Title, f.Whole = "At the tape", w.tapeView()
	default:
		f.Title = "Stand at: " + kit.PlaceName(b, w.d.At)
		if w.d.Fix != "" {
			r, _ := b.Readings.Get(w.d.Fix)
			f.Title = "Correct: " + readingName(b, r)
		} else if w.d.Way == wayCheck {
			f.Title = "Check"
		}
		f.Whole = w.measuring()
	}
	return f.UI()
}

// measuring is the sketch, the question and the pad.
func (w *walk) measuring() app.UI {
	side := app.Div().Class("side").Body(
		app.Div().Class("ask stack").Body(w.question()...),
		w.tools(),
		w.entry(),
		kit.Keys(w.system(), w.nextWord(), w.onKey),
	)
	if w.d.Way == wayLater && w.d.Fix == "" {
		side = w.flagging().(app.HTMLDiv)
	}
	if w.S.Device.Prefs.Get(helpKey) == "" {
		return app.Div().Class("two walk helping").Body(w.helpCard(), side)
	}
	here, places, runs := w.marked()
	return app.Div().Class("two walk").Body(
		&kit.Sketch{S: w.S, Rev: w.S.Rev(), Here: here, Places: places, Runs: runs, Class: "short", Act: w.act(), OnPlace: w.stand},
		side,
	)
}

// nextWord is the word on the key that takes the number.
func (w *walk) nextWord() string {
	switch {
	case w.d.Fix != "" && w.d.Text == "":
		return "Leave it"
	case w.d.Zero:
		return "Set"
	case w.d.Fix == "" && w.d.Way == wayCheck:
		return "Take it"
	}
	return "Next"
}

// marked is where one stands, the places that come next and the runs that are passed, if they are there already.
func (w *walk) marked() (here string, places, runs []string) {
	if w.d.Fix != "" {
		r, _ := w.S.B().Readings.Get(w.d.Fix)
		return w.d.At, nil, r.Runs
	}
	if w.d.Way == wayCheck {
		_, runs, _ := w.d.Check.path(w.S.B(), w.S.Graph())
		places := append([]string(nil), w.d.Check.Via...)
		if w.d.Check.To != "" {
			places = append(places, w.d.Check.To)
		}
		return w.d.Check.From, places, runs
	}
	if w.d.To.Place != "" {
		places = []string{w.d.To.Place}
	}
	return w.d.At, places, nil
}

// question is what is asked: the doubt about a number, what the number of a reading should be, or what comes next.
func (w *walk) question() []app.UI {
	switch {
	case w.doubt != "":
		return w.doubtful()
	case w.d.Fix != "":
		return w.correcting()
	case w.d.Zero:
		return w.asking()
	case w.fall != nil:
		return w.falling()
	case w.d.Way == wayCheck:
		return w.checkView()
	}
	parts := w.said()
	refer := app.P().Class("refer").Text(w.reference())
	open := w.undecided()
	switch {
	case w.d.Way == wayMarks:
		parts = append(parts, w.lineView())
	case open != nil:
		parts = append(parts, app.P().Text("What comes next on the string?"))
	default:
		parts = append(parts, app.Div().Body(app.P().Text("What comes next on the string?"), refer))
	}
	if open != nil && w.d.Way != wayMarks {
		parts = append(parts, open)
	}
	parts = append(parts, w.nextChips())
	if w.d.To.Kind != "" {
		parts = append(parts, w.name())
	}
	switch {
	case open != nil && w.d.Way == wayMarks:
		parts = append(parts, open)
	case open != nil:
		parts = append(parts, refer)
	}
	return parts
}

// nextChips offers what is likely to come next.
func (w *walk) nextChips() app.UI {
	b := w.S.B()
	var chips []app.UI
	if from := cameFrom(b, w.d.At, w.d.Trail); from != "" && w.d.To.Kind == "" && w.d.Way != wayLater {
		chips = append(chips, kit.Choice("Back to "+kit.PlaceName(b, from), "the string ends here", false, w.onStand(from), from))
	}
	shown := false
	for _, t := range suggest(b, w.S.Lengths(), w.d.At) {
		if w.d.Way == wayLater && t.Place != "" && w.d.line().Passes(t.Place) {
			continue
		}
		chosen := t == w.d.To
		shown = shown || chosen
		if w.d.To.Kind == "" || t.Kind == w.d.To.Kind || t.Kind != "" && common(w.d.To.Kind) {
			chips = append(chips, w.chip(t, chosen && w.d.Way != wayLater))
		}
	}
	if w.d.To.chosen() && !shown {
		chips = append([]app.UI{w.chip(w.d.To, w.d.Way != wayLater)}, chips...)
	}
	other := w.here().In(partOther)
	return kit.Chips(append(chips, kit.Plain("Other…", kit.To(other), other))...)
}

// undecided warns of an end that may still be moved. Splits are decided by the walk itself.
func (w *walk) undecided() app.UI {
	b := w.S.B()
	for _, id := range []string{w.d.At, w.d.To.Place} {
		p, ok := b.Places.Get(id)
		if !ok || p.Status != harness.Open || !slices.Contains(sits, p.Kind) {
			continue
		}
		return app.Div().Class("line mid undecided").Body(
			app.Span().Class("grow small").Body(app.B().Class("warn").Text(kit.PlaceName(b, id)+" is open:"), app.Text(" decide where it sits first.")),
			kit.Plain("It is decided", w.onDecided(id), id),
		)
	}
	return nil
}

// sits are the kinds of place that are mounted somewhere, so that it must be decided where.
var sits = []harness.PlaceKind{
	harness.Controller, harness.Device, harness.Panel, harness.TerminalStrip, harness.Supply, harness.Ground, harness.Inline,
}

func (w *walk) onDecided(place string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w.do(nil, changed(&w.S.B().Places, harness.KindPlace, place, func(p *harness.Place) { p.Status = harness.Decided })...)
	}
}

// common tells whether a kind is among those that are always offered.
func common(k harness.PlaceKind) bool { return k == harness.Split || k == harness.Device }

// name is the field for the name of a new place. It needs the room of a row of chips: while it is shown, the places that
// are there already are under Other.
func (w *walk) name() app.UI {
	kind := string(w.d.To.Kind)
	return &kit.Text{Label: "Name of the new place", Bare: true, Value: w.d.Name, Hint: "Name: " + freeName(w.S.B(), w.d.To.Kind),
		On: w.onName, Key: kind}
}

// said are the sentences about what was just done.
func (w *walk) said() []app.UI {
	var parts []app.UI
	if w.went != "" && w.went == w.d.At {
		parts = append(parts, app.P().Class("small").Text("Back at "+kit.PlaceName(w.S.B(), w.went)+" for the next run."))
	}
	if _, of := w.S.Lengths().Measured(); w.ended {
		to := w.At.On("wires")
		parts = append(parts, app.Div().Class("line mid").Body(
			app.Span().Class("grow").Body(app.B().Text(allMeasured(of))),
			kit.Plain("On to the wires", kit.To(to), to),
		))
	}
	return parts
}

func allMeasured(n int) string {
	if n == 1 {
		return "The one run is measured."
	}
	return fmt.Sprintf("All %d runs are measured.", n)
}

// reference says from which point to which point the string is laid.
func (w *walk) reference() string {
	b := w.S.B()
	here, _ := b.Places.Get(w.d.At)
	text := "from the " + reference(here.Kind)
	kind := w.d.To.Kind
	if p, ok := b.Places.Get(w.d.To.Place); ok {
		kind = p.Kind
	}
	if kind != "" {
		text += " to the " + reference(kind)
	}
	return text
}

func (w *walk) chip(t target, chosen bool) app.UI {
	label, under := w.targetWords(t)
	return kit.Choice(label, under, chosen, w.onTarget(t), t.Place, t.Run, string(t.Kind))
}

func (w *walk) targetWords(t target) (label, under string) {
	b := w.S.B()
	if t.Kind != "" {
		return freeName(b, t.Kind), "new"
	}
	p, _ := b.Places.Get(t.Place)
	under = string(p.Kind)
	if r, ok := b.Runs.Get(t.Run); ok && len(runsBetween(b, r.A, r.B)) > 1 {
		under = kit.LoomName(b, r.Loom)
	}
	return kit.PlaceName(b, t.Place), under
}

// doubtful asks once about a number that looks like a slip; it can also just be keyed in again.
func (w *walk) doubtful() []app.UI {
	sys := w.system()
	buttons := []app.UI{kit.Plain("Yes, "+w.doubted.Format(sys), w.onSure, w.text())}
	if other := kit.Read(w.otherUnit(), sys); w.doubt == route.OtherUnit && other.OK {
		buttons = append(buttons, kit.Plain("No, "+other.Length.Format(otherSystem(sys)), w.onOtherUnit, w.text()))
	}
	return []app.UI{
		kit.Note("warn", doubtWords(w.doubt, w.doubted, w.usual, sys), "Is it right? Nothing is lost: key it in again if not."),
		kit.Chips(buttons...),
	}
}

func otherSystem(sys unit.System) unit.System {
	if sys == unit.Imperial {
		return unit.Metric
	}
	return unit.Imperial
}

func doubtWords(d route.Doubt, got, usual unit.Length, sys unit.System) string {
	switch d {
	case route.TooLong:
		return got.Format(sys) + " is over " + route.Longest.Format(sys) + ", more than a run usually is."
	case route.TenTimes:
		return got.Format(sys) + " is ten times the usual run here (" + usual.Format(sys) + ") or more."
	case route.Tenth:
		return got.Format(sys) + " is a tenth of the usual run here (" + usual.Format(sys) + ") or less."
	case route.OtherUnit:
		return got.Format(sys) + " against the usual " + usual.Format(sys) + ": as if it were in the other unit."
	}
	return ""
}

// correcting asks for the number that a reading should be.
func (w *walk) correcting() []app.UI {
	b := w.S.B()
	r, _ := b.Readings.Get(w.d.Fix)
	return []app.UI{
		app.P().Text("It was keyed in as " + r.Text + " (" + r.Value.Format(w.system()) + ", " + methodWord(r.Method) + "). Key in what it should be; the old one stays in the history."),
		kit.Chips(kit.Plain("Leave it as it is", w.onLeaveFix)),
	}
}

// other is everything that may come next: a new place of any kind, or any place that is there.
func (w *walk) other() []app.UI {
	b, l := w.S.B(), w.S.Lengths()
	var kinds []app.UI
	for _, k := range harness.PlaceKinds {
		kinds = append(kinds, w.chip(target{Kind: k}, w.d.To.Kind == k))
	}
	body := []app.UI{kit.Section("Something new", ""), kit.Chips(kinds...), kit.Section("A place that is there", "makes the run if there is none")}
	all := others(b, w.d.At)
	rows := make([]app.UI, 0, min(len(all), mostRows))
	for _, p := range all[:min(len(all), mostRows)] {
		t := target{Place: p.ID, Run: between(b, l, w.d.At, p.ID)}
		under, number := string(p.Kind), ""
		if t.Run != "" {
			k, _ := l.Run(t.Run)
			number = lengthText(k, w.system())
			if k.Measured() {
				t.Run = ""
			}
		}
		rows = append(rows, kit.Row("", kit.PlaceName(b, p.ID), under, number, "", w.onTarget(t), t.Place, t.Run))
	}
	body = append(body, app.Div().Class("rows").Body(rows...))
	if len(all) > mostRows {
		body = append(body, kit.Lines("More places than fit here: stand at one of them from the route."))
	}
	return body
}

// mostRows is how many rows a list draws at once.
const mostRows = 120

// openPlaces is where to go back to.
func (w *walk) openPlaces() []app.UI {
	b, l := w.S.B(), w.S.Lengths()
	var body, rows []app.UI
	open := openEnds(b, l, w.d.At)
	for _, id := range open {
		rows = append(rows, kit.Row("", kit.PlaceName(b, id), openWords(b, l, id), "", "", w.onStand(id), id))
	}
	if len(open) == 0 {
		n, of := l.Measured()
		body = append(body, kit.Note("good", "No split is open.", fmt.Sprintf("%d of %d runs are measured.", n, of)))
		if n == of && of > 0 {
			to := w.At.On("wires")
			body = append(body, kit.Act("On to the wires", kit.To(to), to))
		}
	} else {
		body = append(body, kit.Section("Not finished", ""), app.Div().Class("rows").Body(rows...))
	}
	rows = nil
	for _, p := range others(b, w.d.At) {
		if len(rows) < mostRows-len(open) && !slices.Contains(open, p.ID) {
			rows = append(rows, kit.Row("", kit.PlaceName(b, p.ID), string(p.Kind), "", "", w.onStand(p.ID), p.ID))
		}
	}
	return append(body, kit.Section("Any other place", ""), app.Div().Class("rows").Body(rows...))
}

// openWords says what is open at a place.
func openWords(b *harness.Build, l *survey.Lengths, place string) string {
	var names []string
	for _, t := range drawn(b, l, place) {
		names = append(names, kit.PlaceName(b, t.Place))
	}
	if len(names) > 0 {
		return "not measured: to " + strings.Join(names, ", ")
	}
	return "nothing leads on from it"
}

// entries are the last numbers; a tap corrects one.
func (w *walk) entries() []app.UI {
	b := w.S.B()
	all := append([]harness.Reading(nil), b.Readings.All()...)
	newestFirst(all)
	if len(all) == 0 {
		return []app.UI{kit.Note("", "No number was keyed in yet.", "")}
	}
	var rows []app.UI
	for _, r := range all[:min(len(all), mostEntries)] {
		under := strings.Trim(methodWord(r.Method)+", "+clock(r.At), ", ")
		if r.Zero != nil || len(r.Runs) > 1 {
			under = "read as " + r.Text + ", " + under
		}
		rows = append(rows, kit.Row("", readingName(b, r), under, r.Value.Format(w.system()), "", w.onFix(r.ID), r.ID))
	}
	return []app.UI{
		app.P().Text("Tap a number to correct it. To read a run a second time, walk it again instead."),
		app.Div().Class("rows").Body(rows...),
	}
}

// mostEntries is how many numbers can be corrected from the walk; all of them can from their runs.
const mostEntries = 30

// readingName is a reading by the places it passes.
func readingName(b *harness.Build, r harness.Reading) string {
	var names []string
	for _, id := range r.Places {
		names = append(names, kit.PlaceName(b, id))
	}
	return strings.Join(names, " to ")
}

// runsBetween are the living runs between two places.
func runsBetween(b *harness.Build, x, y string) []harness.Run {
	var all []harness.Run
	for _, r := range runsAt(b, x) {
		if far, _ := r.OtherEnd(x); far == y {
			all = append(all, r)
		}
	}
	return all
}
