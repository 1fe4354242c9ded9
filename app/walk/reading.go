package walk

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// setReading edits what a reading states beside its number. The number itself is never rewritten.
func (p *routePage) setReading(edit func(*harness.Reading)) {
	p.do(nil, changed(&p.S.B().Readings, harness.KindReading, p.At.Record, edit)...)
}

func (p *routePage) onOut(why string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		p.flush()
		p.setReading(func(r *harness.Reading) { r.Out, r.OutWhy = true, why })
		if p.wrong == "" {
			p.S.Say(session.Notice{Text: "The reading is thrown out: kept, shown, and not used.", Undo: true})
		}
	}
}

func (p *routePage) onIn(ctx app.Context, _ app.Event) {
	p.setReading(func(r *harness.Reading) { r.Out, r.OutWhy = false, "" })
}

func (p *routePage) onReadingSigma(l unit.Length) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		p.setReading(func(r *harness.Reading) {
			if r.Sigma = &l; l == 0 {
				r.Sigma = nil
			}
		})
	}
}

func (p *routePage) onReadingCorners(n int) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		p.setReading(func(r *harness.Reading) {
			if r.Corners = &n; n < 0 {
				r.Corners = nil
			}
		})
	}
}

func (p *routePage) onReadingThick(l unit.Length) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.setReading(func(r *harness.Reading) { r.Thick = &l }) }
}

func (p *routePage) onDropReading(ctx app.Context, _ app.Event) {
	b := p.S.B()
	r, _ := b.Readings.Get(p.At.Record)
	if !p.do(nil, storage.Delete(harness.KindReading, r.ID)) {
		return
	}
	p.S.Say(session.Notice{Text: "The reading " + readingName(b, r) + " is deleted.", Undo: true})
	kit.Go(ctx, p.card(runOf(b, r)))
}

// outReasons are the usual reasons to throw a reading out; any other is a note. Source: our choice, from what people get
// wrong: a place that moved, the string off its way, a slip at the tape.
var outReasons = []string{"misread", "string slipped", "another way", "the place moved since"}

// fitOf is how a reading fits; ok is false if it says nothing about the runs there are.
func fitOf(l *survey.Lengths, reading string) (f survey.Fit, ok bool) {
	for _, f := range l.Fits() {
		if f.Reading == reading {
			return f, true
		}
	}
	return f, false
}

// readings are all the readings that pass the run, the newest first, with those that were taken back.
func (p *routePage) readings(r harness.Run) []app.UI {
	b, sys := p.S.B(), p.system()
	body := []app.UI{kit.Section("Readings", "the newest first")}
	all := readingsOf(b, r.ID)
	if len(all) == 0 {
		return append(body, kit.Lines("None yet."))
	}
	fits := map[string]survey.Fit{}
	for _, f := range p.S.Lengths().Fits() {
		fits[f.Reading] = f
	}
	var rows []app.UI
	for _, x := range all[:min(len(all), mostRows)] {
		said := strings.Trim("typed "+x.Text+", "+methodWord(x.Method)+", "+kit.Day(x.At), ", ")
		if len(x.Places) > 2 || len(x.Runs) == 1 && x.Runs[0] != r.ID {
			said += ", " + readingEnds(b, x)
		}
		under := "deleted or corrected"
		if f, ok := fits[x.ID]; ok && !x.Gone {
			under = fitWords(f, sys)
		} else if !x.Gone {
			under = "not used"
		}
		if x.Out && x.OutWhy != "" {
			under += " (" + x.OutWhy + ")"
		}
		rows = append(rows, kit.Row("", x.Value.Format(sys)+": "+under, said, "›", "", kit.To(p.card(x.ID)), p.card(x.ID)))
	}
	return append(body, app.Div().Class("rows").Body(rows...))
}

// readingEnds is a reading by the places it begins and ends at.
func readingEnds(b *harness.Build, r harness.Reading) string {
	if len(r.Places) < 2 {
		return readingName(b, r)
	}
	return kit.PlaceName(b, r.Places[0]) + " to " + kit.PlaceName(b, r.Places[len(r.Places)-1])
}

// readingCard is all about one reading.
func (p *routePage) readingCard(x harness.Reading) (body, foot []app.UI) {
	b, sys := p.S.B(), p.system()
	_, other := x.Value.Both(sys)
	figure, name := x.Value.Figures(sys)
	body = append(body, app.Div().Class("line").Body(
		app.Span().Class("big").Text(figure), app.Span().Class("both").Text(name+", "+other),
	))
	typed := "Keyed in as " + x.Text
	if x.Zero != nil {
		typed += ", a mark on a string that begins at " + x.Zero.Format(sys)
	}
	if len(x.Places) > 2 {
		typed += ". It passes " + strings.Join(placeNames(b, x.Places), " – ")
	}
	body = append(body, app.P().Text(typed+". "+kit.Day(x.At)+"."))
	if x.Gone {
		return append(body, kit.Note("", "It was deleted or corrected.", "It is kept in the history."),
			kit.Chips(kit.Plain("Bring it back", p.onBack(harness.KindReading, x.ID), x.ID))), nil
	}
	f, ok := fitOf(p.S.Lengths(), x.ID)
	switch {
	case !ok:
		body = append(body, kit.Note("warn", "It is not used.", unusedOf(p.S.Lengths(), x.ID)))
	case x.Out:
		why := ""
		if x.OutWhy != "" {
			why = "Because: " + x.OutWhy + ". "
		}
		body = append(body, kit.Note("warn", "Thrown out.", why+"It is kept and not used; "+strings.TrimPrefix(fitWords(f, sys), "thrown out; ")+"."))
	default:
		body = append(body, kit.Note(fitTone(p.S.Lengths(), f), strings.ToUpper(fitWords(f, sys)[:1])+fitWords(f, sys)[1:]+".", p.fitDetail(f)))
	}
	body = append(body, p.accused(x)...)
	if x.Out {
		body = append(body, kit.Chips(kit.Plain("Use it again", p.onIn, x.ID)))
	} else {
		body = append(body, kit.Section("Throw it out because", "it is kept, and not used"))
		var chips []app.UI
		for _, why := range outReasons {
			chips = append(chips, kit.Plain(why, p.onOut(why), x.ID, why))
		}
		body = append(body, kit.Chips(chips...))
	}
	body = append(body, p.states(x)...)
	body = append(body, kit.Section("The number itself", ""), kit.Chips(
		kit.Plain("Correct it", kit.To(p.At.In(partFix)), p.At.In(partFix)),
		kit.Danger("Delete this reading", p.onDropReading, x.ID),
	))
	if len(f.Runs) > 0 {
		foot = []app.UI{kit.Act("Read it again", p.onMeasure(endOf(b, f.Runs), f.Runs), x.ID, len(f.Runs))}
	}
	return body, foot
}

func fitTone(l *survey.Lengths, f survey.Fit) string {
	switch {
	case f.W > survey.Critical || -f.W > survey.Critical:
		return "bad"
	case grade(l, f.Reading) != survey.Closes:
		return "warn"
	}
	return ""
}

// fitDetail is the arithmetic behind the words.
func (p *routePage) fitDetail(f survey.Fit) string {
	sys := p.system()
	words := "Counted as " + (f.Read + f.Corners).Format(sys) + " " + give(f.Sigma, sys)
	if f.Corners != 0 {
		words += ", " + f.Corners.Format(sys) + " of it for corners"
	}
	if f.Known {
		words += "; all readings together say " + f.Adjusted.Format(sys)
	}
	if f.Checkable() {
		w := max(f.W, -f.W)
		words += ", " + strconv.FormatFloat(w, 'f', 1, 64) + " times its usual spread"
	}
	return words + "."
}

// accused says that the reading is among those of which one is wrong, and what settles it.
func (p *routePage) accused(x harness.Reading) []app.UI {
	b := p.S.B()
	for _, s := range p.S.Lengths().Suspicions() {
		if slices.Contains(s.Readings, x.ID) {
			return []app.UI{
				kit.Note("bad", suspectWords(b, s), settleWords(b, s)),
				app.P().Class("small").Text("In doubt: " + suspectNames(b, s) + "."),
			}
		}
	}
	return nil
}

// states is what the reading states beside its number, each one tap away.
func (p *routePage) states(x harness.Reading) []app.UI {
	b, sys := p.S.B(), p.system()
	var sigma, corners, thick []app.UI
	sigma = append(sigma, kit.Choice("by the method", give(survey.Sigma(b.Settings, without(x)), sys), x.Sigma == nil, p.onReadingSigma(0), x.ID, 0))
	for _, l := range sigmas {
		sigma = append(sigma, kit.Choice(give(l, sys), "", x.Sigma != nil && *x.Sigma == l, p.onReadingSigma(l), x.ID, int64(l)))
	}
	corners = append(corners, kit.Choice("as the run", "", x.Corners == nil, p.onReadingCorners(-1), x.ID, -1))
	for n := range 9 {
		corners = append(corners, kit.Choice(strconv.Itoa(n), "", x.Corners != nil && *x.Corners == n, p.onReadingCorners(n), x.ID, n))
	}
	now := thickOf(b.Settings)
	if x.Thick != nil {
		now = *x.Thick
	}
	for _, l := range thicks {
		thick = append(thick, kit.Choice(l.Format(sys), "", l == now, p.onReadingThick(l), x.ID, int64(l)))
	}
	return []app.UI{
		kit.Section("Give or take", methodWord(x.Method)), kit.Chips(sigma...),
		kit.Section("Corners of 90 degrees", "the string was pulled round"), app.Div().Class("chips corners").Body(corners...),
		kit.Section("Thickness of the string", ""), kit.Chips(thick...),
		p.area("Note", "note", x.Note),
	}
}

// without is a reading without a spread of its own.
func without(x harness.Reading) harness.Reading {
	x.Sigma = nil
	return x
}

// unusedOf says why a reading is not used.
func unusedOf(l *survey.Lengths, reading string) string {
	for _, u := range l.Unused() {
		if u.Reading == reading {
			return unusedWords(u.Because)
		}
	}
	return ""
}
