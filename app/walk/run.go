package walk

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// setRun edits the run of the card.
func (p *routePage) setRun(edit func(*harness.Run)) {
	p.do(nil, changed(&p.S.B().Runs, harness.KindRun, p.At.Record, edit)...)
}

func (p *routePage) onFlag(f flag) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.setRun(func(r *harness.Run) { *f.of(r) = !*f.of(r) }) }
}

func (p *routePage) onCorners(n int) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.setRun(func(r *harness.Run) { r.Corners = n }) }
}

func (p *routePage) onRunLoom(loom string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.setRun(func(r *harness.Run) { r.Loom = loom }) }
}

// onSecond makes another run between the same two places, in the next loom.
func (p *routePage) onSecond(ctx app.Context, _ app.Event) {
	b := p.S.B()
	r, _ := b.Runs.Get(p.At.Record)
	m := newMaker(p.S)
	id, change := m.run(r.A, r.B, nextLoom(b, r.Loom))
	if p.do(m.err, change) {
		kit.Go(ctx, p.card(id))
	}
}

// onDeleteRun takes a run away.
func (p *routePage) onDeleteRun(ctx app.Context, _ app.Event) {
	b := p.S.B()
	r, _ := b.Runs.Get(p.At.Record)
	name := kit.RunName(b, r)
	if !p.do(nil, storage.Delete(harness.KindRun, r.ID)) {
		return
	}
	p.S.Say(session.Notice{Text: "The run " + name + " is deleted.", Undo: true})
	kit.Go(ctx, p.list(partRuns))
}

// runCard is all about one run.
func (p *routePage) runCard(r harness.Run) (body, foot []app.UI) {
	b := p.S.B()
	k, known := p.S.Lengths().Run(r.ID)
	length := app.Div().Class("line").Body(app.Span().Class("big").Text(strings.TrimSuffix(lengthText(k, p.system()), " "+string(p.system()))))
	if known {
		main, other := k.Length.Both(p.system())
		length = app.Div().Class("line").Body(
			app.Span().Class("big").Text(strings.TrimSuffix(main, " "+string(p.system()))),
			app.Span().Class("both").Text(string(p.system())+", "+other),
		)
	}
	body = append(body, length, app.P().Class("why").Text(p.sureWords(k)+howWords(b, k, p.S.Lengths().Explain(r.ID))))
	for _, i := range p.S.Graph().Issues() {
		if i.Kind != route.Unmeasured && i.Kind != route.Loop && len(i.Runs) > 0 && i.Runs[0] == r.ID {
			t := describe(b, i)
			body = append(body, kit.Note(t.tone, t.what, t.fix))
		}
	}
	body = append(body, app.Div().Class("rows").Body(
		kit.Row("", kit.PlaceName(b, r.A), "from", "", "", kit.To(p.card(r.A)), p.card(r.A)),
		kit.Row("", kit.PlaceName(b, r.B), "to", "", "", kit.To(p.card(r.B)), p.card(r.B)),
	))
	if wires := len(p.S.Graph().PerRun()[r.ID]); wires > 0 {
		body = append(body, app.P().Text(plural(wires, "wire goes through it.", "wires go through it.")))
		to := p.At.On("looms").With(r.ID)
		body = append(body, kit.Plain("Cross-section, cover and lay order", kit.To(to), to))
	}
	for _, s := range p.savings() {
		if s.Run == r.ID {
			body = append(body, kit.Note("", "Measured again it "+savingWords(s, p.system())+".", "On their margin: "+wireNames(b, s.Wires)+"."))
		}
	}
	body = append(body, p.readings(r)...)
	body = append(body, p.marks(r)...)
	body = append(body, kit.Section("Change the route", "undo brings it back"), kit.Chips(
		kit.Plain("Put a place into this run", kit.To(p.At.In(partSplit)), p.At.In(partSplit)),
		kit.Plain("Another loom along it", p.onSecond, r.ID),
		kit.Danger("Delete this run", p.onDeleteRun, r.ID),
	))
	return body, []app.UI{kit.Act("Read its length", kit.To(p.At.In(partRead)), p.At.In(partRead))}
}

// sureWords says how sure a length is.
func (p *routePage) sureWords(k survey.Known) string {
	if !k.Measured() {
		return ""
	}
	return strings.ToUpper(qualityWord(k)[:1]) + qualityWord(k)[1:] + ", " + give(k.Sigma, p.system()) + ". "
}

// howWords says how a length is known, or why it is not.
func howWords(b *harness.Build, k survey.Known, a survey.Account) string {
	if !k.Measured() {
		switch k.Why {
		case survey.Together:
			return "Known only together with " + runNames(b, k.With) + ". Read one of them alone."
		case survey.Contradicted:
			return "Its readings cannot all be right: " + readingNames(b, k.Readings) + ". Read it again."
		}
		return "Not measured yet."
	}
	var words string
	switch a.How {
	case survey.OwnReading:
		words = "Its own reading."
	case survey.Mean:
		words = "The mean of its own readings, each by how sure it is."
	case survey.Adjusted:
		words = plural(len(a.Terms), "reading", "readings") + " fitted to each other."
	case survey.SumOf:
		words = "The sum of the readings of the runs it was made of."
	case survey.Difference:
		words = "A longer reading less what is known of it."
	case survey.SplitPart:
		words = "The reading of the run that was split, less the other parts."
	case survey.Solved:
		words = "From several readings together."
	}
	if len(a.Terms) > 1 && len(a.Terms) <= mostTerms {
		var terms []string
		for _, t := range a.Terms {
			terms = append(terms, termWord(t)+t.Value.Format(b.Settings.Unit))
		}
		words += " " + strings.TrimPrefix(strings.Join(terms, " "), "+ ")
	}
	if k.Guess {
		words += " A guess is in it."
	}
	return words
}

// mostTerms is how many terms of a length are written out.
const mostTerms = 4

// termWord is the sign and the share of a term.
func termWord(t survey.Term) string {
	sign, n := "+ ", t.Weight
	if n < 0 {
		sign, n = "− ", -n
	}
	if n > 0.9995 && n < 1.0005 {
		return sign
	}
	return sign + strconv.FormatFloat(n, 'g', 3, 64) + " × "
}

// marks are the loom and what is special about the run, one tap each.
func (p *routePage) marks(r harness.Run) []app.UI {
	var flagChips, corners []app.UI
	for _, f := range flags {
		flagChips = append(flagChips, kit.Choice(f.word, "", *f.of(&r), p.onFlag(f), r.ID, f.word))
	}
	for n := range 10 {
		corners = append(corners, kit.Choice(strconv.Itoa(n), "", n == r.Corners, p.onCorners(n), r.ID, n))
	}
	body := []app.UI{kit.Section("Loom", kit.LoomName(p.S.B(), r.Loom)), p.loomChips(r.Loom, p.onRunLoom)}
	return append(body,
		kit.Section("On the way", ""), kit.Chips(flagChips...),
		kit.Section("Corners of 90 degrees", ""), app.Div().Class("chips corners").Body(corners...),
		p.area("Note", "note", r.Note),
	)
}

// splitting offers the kinds of place to put into a run.
func (p *routePage) splitting(r harness.Run) []app.UI {
	b := p.S.B()
	name := p.text(newName)
	var chips []app.UI
	for _, k := range harness.PlaceKinds {
		if k == harness.Controller {
			continue
		}
		under := freeName(b, k)
		if strings.TrimSpace(name) != "" {
			under = strings.TrimSpace(name)
		}
		chips = append(chips, kit.Choice(kindWord()[k], under, false, p.onSplit(k), r.ID, string(k)))
	}
	return []app.UI{
		app.P().Text("The run becomes two. What was read stays: as soon as one part is read, the other is the rest."),
		kit.Field("Name, if it is to have one of its own", name, "Split behind the head", p.onNewName, r.ID),
		kit.Section("Tap what comes between", ""), kit.Chips(chips...),
	}
}

func (p *routePage) onSplit(kind harness.PlaceKind) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		r, _ := p.S.B().Runs.Get(p.At.Record)
		m := newMaker(p.S)
		place, changes := m.split(r.ID, kind, strings.TrimSpace(p.text(newName)))
		if !p.do(m.err, changes...) {
			return
		}
		p.keep(pending{})
		if spots(r) {
			p.S.Say(session.Notice{Tone: "warn", Text: "Corners, loops and clips of the run are on its first part now. Look whether they belong to the second.", Undo: true})
		}
		kit.Go(ctx, p.card(place))
	}
}

// readAgain asks for another reading of a run.
func (p *routePage) readAgain(r harness.Run) app.UI {
	b := p.S.B()
	from, _ := b.Places.Any(r.A)
	to, _ := b.Places.Any(r.B)
	var chips []app.UI
	d := loadDraft(p.S)
	for _, m := range methods {
		chips = append(chips, kit.Choice(methodWord(m), "", m == d.Method, p.onReadBy(m), r.ID, methodWord(m)))
	}
	question := []app.UI{
		app.P().Body(
			app.Text("Lay the string from "+kit.PlaceName(b, r.A)+" to "+kit.PlaceName(b, r.B)+": "),
			app.Span().Class("both").Text("from the "+reference(from.Kind)+" to the "+reference(to.Kind)+"."),
		),
		kit.Even(chips...),
	}
	return p.pad(append(question, p.doubtful()...), "Take it")
}

// readRight asks for the number that a reading should have been.
func (p *routePage) readRight(x harness.Reading) app.UI {
	question := []app.UI{
		app.P().Text("It was keyed in as " + x.Text + ". Key in what it should be; the old one stays in the history."),
	}
	return p.pad(append(question, p.doubtful()...), "Take it")
}

// doubtful asks once about a number that looks like a slip.
func (p *routePage) doubtful() []app.UI {
	typed := kit.Read(p.text(p.At.Mode), p.system())
	if p.doubt == "" || !typed.OK {
		return nil
	}
	return []app.UI{
		kit.Note("warn", doubtWords(p.doubt, typed.Length, p.usual, p.system()), "Is it right? Nothing is lost: key it in again if not."),
		kit.Chips(kit.Plain("Yes, "+typed.Length.Format(p.system()), p.onSure, p.At.Mode)),
	}
}

func (p *routePage) onReadBy(m harness.Method) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		d := loadDraft(p.S)
		d.Method = m
		d.save(p.S)
	}
}

func (p *routePage) onSure(ctx app.Context, _ app.Event) {
	if typed := kit.Read(p.text(p.At.Mode), p.system()); typed.OK {
		p.take(ctx, typed, true)
	}
}

// take makes the reading of the run, or the correction of the reading, that the address names. It asks once about a
// number that looks like a slip.
func (p *routePage) take(ctx app.Context, typed kit.Typed, sure bool) {
	if p.doubt, p.usual = p.doubtOf(typed.Length); p.doubt != "" && !sure {
		return
	}
	p.doubt = ""
	b := p.S.B()
	d := loadDraft(p.S)
	n := number{
		text: strings.TrimSpace(p.text(p.At.Mode)), unit: p.system(), value: typed.Length, method: d.Method, at: p.S.Now(),
		with: details{Thick: d.With.Thick},
	}
	m := newMaker(p.S)
	var changes []storage.Change
	run := p.At.Record
	if old, ok := b.Readings.Get(p.At.Record); ok {
		n.method, run = old.Method, runOf(b, old)
		if n.value -= zeroOf(old); n.value <= 0 {
			p.wrong = belowStart(b, old)
			return
		}
		_, changes = m.correct(old.ID, n)
	} else if r, ok := b.Runs.Get(run); ok && p.At.Mode == partBuilt {
		p.takeBuilt(ctx, r, n)
		return
	} else if r, ok := b.Runs.Get(run); ok {
		_, change := m.reading([]string{r.A, r.B}, []string{r.ID}, n)
		changes = []storage.Change{change}
	}
	if p.do(m.err, changes...) {
		p.keep(pending{})
		kit.Go(ctx, p.card(run))
	}
}

// doubtOf is the doubt about a number for the run or the reading that the address names.
func (p *routePage) doubtOf(value unit.Length) (route.Doubt, unit.Length) {
	b := p.S.B()
	if old, ok := b.Readings.Get(p.At.Record); ok {
		if len(old.Runs) > 1 {
			return route.DoubtfulOver(value-zeroOf(old), old.Runs, p.S.Lengths())
		}
		return route.Doubtful(value-zeroOf(old), p.S.Lengths())
	}
	return route.DoubtfulOver(value, []string{p.At.Record}, p.S.Lengths())
}

// runOf is the run of whose card a reading is part: the first it passed, or what became of it.
func runOf(b *harness.Build, x harness.Reading) string {
	if len(x.Runs) == 0 {
		return ""
	}
	id := x.Runs[0]
	for range b.Runs.Gone() {
		r, ok := b.Runs.Any(id)
		if !ok || !r.Gone || len(r.Became) == 0 {
			break
		}
		id = r.Became[0]
	}
	return id
}
