package walk

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// The parts of the route, as in the address. The record is a place or a run.
const (
	partRuns    = "runs"    // the list of runs
	partMissing = "missing" // what is wrong or not known
	partAdd     = "add"     // a new place, reached from the record if there is one
	partConnect = "connect" // a run from the record to a place that is there
	partSplit   = "split"   // a new place in the middle of the record, a run
	partTravel  = "travel"  // how far the mount at the record moves
	partRead    = "read"    // another reading of the record, a run
	partFix     = "fix"     // the right number for the record, a reading
	partNext    = "next"    // what to measure next
	partBuilt   = "built"   // the finished loom beside the sheet; of a record, a run: the length of its branch
)

// newName is the pending field for the name of a place that is not made yet.
const newName = "new"

// routePage is the sketch with the places and runs, each with its card.
type routePage struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	shown   kit.Addr    // what the state below belongs to
	pending pending     // a field or number that is no edit yet
	wrong   string      // why the last entry was not taken
	kinds   bool        // the kinds to choose another from are shown
	added   string      // the place that was added last
	doubt   route.Doubt // the question about the number on the pad
	usual   unit.Length // the median it was compared with
	more    int         // further windows of rows

	saved    []cut.Saving // what one more reading of each run would save
	savedRev int          // the revision that is of
}

// pending is what is typed or keyed in and not an edit yet. It is a preference, like the draft of the walk.
type pending struct {
	Record string `json:"record,omitzero"`
	Field  string `json:"field,omitzero"`
	Text   string `json:"text,omitzero"`
}

// OnNav turns what is still being typed into an edit before the card is left.
func (p *routePage) OnNav(ctx app.Context) { p.flush() }

// OnDismount turns what is still being typed into an edit.
func (p *routePage) OnDismount() { p.flush() }

// sync resets what belongs to another address.
func (p *routePage) sync() {
	if p.shown == p.At {
		return
	}
	if p.shown.Build == p.At.Build {
		p.flush()
		if p.shown.Mode != p.At.Mode {
			p.added = ""
		}
	} else {
		p.pending, p.added = loadPending(p.S), ""
	}
	p.shown = p.At
	p.wrong, p.kinds, p.more, p.doubt = "", false, 0, ""
}

// do applies the changes of one tap; false if they were not taken, and p.wrong says why.
func (p *routePage) do(err error, changes ...storage.Change) bool {
	p.wrong = ""
	if err == nil {
		err = p.S.Do(changes...)
	}
	if err != nil {
		p.wrong = kit.Explain(err)
		return false
	}
	return true
}

// list is the address of a list, card that of a place or run.
func (p *routePage) list(mode string) kit.Addr { return p.At.On("route").In(mode) }
func (p *routePage) card(id string) kit.Addr   { return p.At.On("route").With(id) }

func (p *routePage) onPlace(ctx app.Context, place string) {
	switch p.At.Mode {
	case partAdd:
		kit.Go(ctx, p.card(place).In(partAdd))
	case partConnect:
		p.connect(ctx, place)
	default:
		kit.Go(ctx, p.card(place))
	}
}

func (p *routePage) onRun(ctx app.Context, run string) { kit.Go(ctx, p.card(run)) }

// onWalk stands at a place and goes to the walk. Without a place the walk carries on with what is left to measure.
func (p *routePage) onWalk(place string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		d := loadDraft(p.S)
		if place == "" {
			d = d.carryOn(p.S.B(), p.S.Lengths())
		} else if place != d.At {
			d = d.elsewhere(p.S.B(), p.S.Lengths(), place)
		}
		d.save(p.S)
		kit.Go(ctx, p.At.On("walk"))
	}
}

func (p *routePage) onMore(ctx app.Context, _ app.Event) { p.more++ }

// Render draws the list or the card that the address names.
func (p *routePage) Render() app.UI {
	p.sync()
	b := p.S.B()
	back := p.list("")
	f := kit.Frame{S: p.S, Title: "Route", Back: &back}
	sketch := &kit.Sketch{S: p.S, Rev: p.S.Rev(), Class: "short", OnPlace: p.onPlace, OnRun: p.onRun}
	var body []app.UI
	place, isPlace := b.Places.Any(p.At.Record)
	run, isRun := b.Runs.Any(p.At.Record)
	reading, isReading := b.Readings.Any(p.At.Record)
	switch {
	case p.At.Mode == partAdd:
		f.Title, sketch.OnRun = "Add a place", nil
		body, f.Foot = p.adding(place, isPlace && !place.Gone)
	case isReading && p.At.Mode == partFix && !reading.Gone:
		back = p.card(runOf(b, reading))
		f.Title, f.Whole = "Correct: "+readingName(b, reading), p.readRight(reading)
		return f.UI()
	case isReading:
		back = p.card(runOf(b, reading))
		f.Title = readingEnds(b, reading)
		sketch.Runs = reading.Runs
		body, f.Foot = p.readingCard(reading)
	case isRun && p.At.Mode == partBuilt && !run.Gone:
		back = p.list(partBuilt)
		f.Title, f.Whole = kit.RunName(b, run), p.readBuilt(run)
		return f.UI()
	case isPlace && place.Gone, isRun && run.Gone:
		f.Title, body = "Deleted", p.deleted(place, run, isPlace)
	case isPlace && p.At.Mode == partConnect:
		f.Title, sketch.OnRun, sketch.Act = "Connect "+kit.PlaceName(b, place.ID)+" to", nil, "Connect"
		back, body = p.card(place.ID), p.connecting(place)
	case isPlace && p.At.Mode == partTravel:
		back = p.card(place.ID)
		f.Title, f.Whole = "How far it moves", p.travel(place)
		return f.UI()
	case isPlace:
		f.Title = kit.PlaceName(b, place.ID)
		body, f.Foot = p.placeCard(place)
	case isRun && p.At.Mode == partSplit:
		back = p.card(run.ID)
		f.Title, body = "A place in this run", p.splitting(run)
	case isRun && p.At.Mode == partRead:
		back = p.card(run.ID)
		f.Title, f.Whole = kit.RunName(b, run), p.readAgain(run)
		return f.UI()
	case isRun:
		f.Title, back = kit.RunName(b, run), p.list(partRuns)
		body, f.Foot = p.runCard(run)
	default:
		plan := p.At.On("plan")
		f.Back, sketch.Class = &plan, "tall"
		body, f.Foot = p.lists(), p.next()
	}
	if isPlace && !place.Gone {
		sketch.Here = place.ID
	}
	if isRun && !run.Gone {
		sketch.Runs = []string{run.ID}
	}
	if p.wrong != "" {
		body = append([]app.UI{kit.Note("bad", "That was not taken.", p.wrong)}, body...)
	}
	f.Whole = app.Div().Class("two").Body(
		sketch,
		app.Div().Class("side").Body(app.Div().Class("scroll").Body(app.Div().Class("narrow stack").Body(body...))),
	)
	return f.UI()
}

// lists are the three lists and the chips to switch between them.
func (p *routePage) lists() []app.UI {
	b := p.S.B()
	issues, n := loopsLast(p.S.Graph().Issues())
	chip := func(mode, label string, n int) app.UI {
		return kit.Choice(label, fmt.Sprint(n), p.At.Mode == mode, kit.To(p.list(mode)), p.list(mode))
	}
	under := ""
	if len(p.S.Lengths().Suspicions()) > 0 {
		under = "one is wrong"
	}
	body := []app.UI{app.Div().Class("chips even lists").Body(
		chip("", "Places", b.Places.Len()), chip(partRuns, "Runs", b.Runs.Len()), chip(partMissing, "Missing", n),
		kit.Choice("Next", cmp.Or(under, "to read"), p.At.Mode == partNext, kit.To(p.list(partNext)), p.list(partNext), under),
	)}
	switch p.At.Mode {
	case partNext:
		return append(body, p.toMeasure()...)
	case partBuilt:
		return append(body, p.built()...)
	case partRuns:
		return append(body, p.runs()...)
	case partMissing:
		return append(body, p.missing(issues)...)
	}
	return append(body, p.places()...)
}

// next is the one next action of the lists.
func (p *routePage) next() []app.UI {
	if p.S.B().Places.Len() == 0 {
		to := p.list(partAdd)
		return []app.UI{kit.Act("Place the controller", kit.To(to), to)}
	}
	n, of := p.S.Lengths().Measured()
	if n == of && of > 0 {
		to := p.At.On("wires")
		return []app.UI{kit.Act(allMeasured(of)+" On to the wires", kit.To(to), to)}
	}
	label := "Walk the route"
	if of > 0 {
		label = fmt.Sprintf("Measure: %d of %d done", n, of)
	}
	return []app.UI{kit.Act(label, p.onWalk(""))}
}

func (p *routePage) places() []app.UI {
	b := p.S.B()
	var rows []app.UI
	all := b.Places.All()
	top := min(len(all), mostRows*(1+p.more))
	for _, place := range all[max(0, top-mostRows):top] {
		under := string(place.Kind) + ", " + statusWord(place.Status)
		rows = append(rows, kit.Row("", kit.PlaceName(b, place.ID), under, "", runsWord(b, place.ID), kit.To(p.card(place.ID)), p.card(place.ID)))
	}
	add := p.list(partAdd)
	body := []app.UI{app.Div().Class("rows").Body(rows...)}
	body = append(body, p.moreRows(len(all), top)...)
	return append(body, kit.Chips(
		kit.Plain("Add a place", kit.To(add), add),
		kit.Plain("Walk and measure", p.onWalk("")),
	))
}

func runsWord(b *harness.Build, place string) string {
	return plural(len(runsAt(b, place)), "run", "runs")
}

func (p *routePage) runs() []app.UI {
	b, sys := p.S.B(), p.S.B().Settings.Unit
	var rows []app.UI
	all := b.Runs.All()
	top := min(len(all), mostRows*(1+p.more))
	for _, r := range all[max(0, top-mostRows):top] {
		k, _ := p.S.Lengths().Run(r.ID)
		under := kit.LoomName(b, r.Loom)
		if flags := flagWords(r); flags != "" {
			under += ", " + flags
		}
		rows = append(rows, kit.Row("", kit.RunName(b, r), under, lengthText(k, sys), qualityWord(k), kit.To(p.card(r.ID)), p.card(r.ID)))
	}
	if len(all) == 0 {
		return []app.UI{kit.Note("", "There is no run yet.", "Add a place from another one, or walk the route.")}
	}
	body := []app.UI{kit.Legend(p.counts()), app.Div().Class("rows").Body(rows...)}
	body = append(body, p.moreRows(len(all), top)...)
	built := p.list(partBuilt)
	return append(body, kit.Chips(kit.Plain("The finished loom beside the sheet", kit.To(built), built)))
}

// counts is how many runs are known how well.
func (p *routePage) counts() map[survey.Quality]int {
	n := map[survey.Quality]int{}
	for _, k := range p.S.Lengths().All() {
		n[k.Quality]++
	}
	return n
}

// loopsLast moves what is only worth knowing behind what is missing, and counts the latter.
func loopsLast(all []route.Issue) (sorted []route.Issue, missing int) {
	var loops []route.Issue
	for _, i := range all {
		if i.Kind == route.Loop {
			loops = append(loops, i)
		} else {
			sorted = append(sorted, i)
		}
	}
	return append(sorted, loops...), len(sorted)
}

// moreRows leads on to the next window of a long list.
func (p *routePage) moreRows(n, top int) []app.UI {
	if top >= n {
		return nil
	}
	return []app.UI{kit.Plain(fmt.Sprintf("Next %d of %d", min(mostRows, n-top), n), p.onMore)}
}

// missing are the issues of the route, each with the way to its mend.
func (p *routePage) missing(issues []route.Issue) []app.UI {
	b := p.S.B()
	var body []app.UI
	if _, n := loopsLast(issues); n == 0 {
		body = append(body, kit.Note("good", "Nothing is missing.", "Every place can be reached and every run is measured."))
	}
	for _, i := range issues[:min(len(issues), mostRows)] {
		t := describe(b, i)
		line := []app.UI{app.Div().Class("grow").Body(kit.Note(t.tone, t.what, t.fix))}
		switch {
		case t.measureFrom != "":
			line = append(line, kit.Plain("Measure", p.onWalk(t.measureFrom), t.measureFrom))
		case t.run != "":
			line = append(line, kit.Plain("Show", kit.To(p.card(t.run)), p.card(t.run)))
		case t.place != "":
			line = append(line, kit.Plain("Show", kit.To(p.card(t.place)), p.card(t.place)))
		}
		body = append(body, app.Div().Class("line mid issue").Body(line...))
	}
	if len(issues) > mostRows {
		body = append(body, kit.Lines(fmt.Sprintf("And %d more.", len(issues)-mostRows)))
	}
	return body
}

// deleted is the card of a record that is gone, as an old link or another phone may name it.
func (p *routePage) deleted(place harness.Place, run harness.Run, isPlace bool) []app.UI {
	b := p.S.B()
	if isPlace {
		return []app.UI{
			kit.Note("", kit.PlaceName(b, place.ID)+".", "It can be brought back; its runs are brought back one by one."),
			kit.Plain("Bring it back", p.onBack(harness.KindPlace, place.ID), place.ID),
		}
	}
	body := []app.UI{kit.Note("", "This run was deleted.", kit.RunName(b, run))}
	if len(run.Became) > 0 {
		body = append(body, kit.Section("It became", ""))
		for _, id := range run.Became {
			if r, ok := b.Runs.Get(id); ok {
				body = append(body, kit.Row("", kit.RunName(b, r), kit.LoomName(b, r.Loom), "", "", kit.To(p.card(id)), p.card(id)))
			}
		}
		return body
	}
	return append(body, kit.Plain("Bring it back", p.onBack(harness.KindRun, run.ID), run.ID))
}

func (p *routePage) onBack(kind harness.Kind, id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.do(nil, storage.Undelete(kind, id)) }
}

// flagWords lists what is special about a run.
func flagWords(r harness.Run) string {
	var words []string
	for _, f := range flags {
		if *f.of(&r) {
			words = append(words, f.word)
		}
	}
	if r.Corners > 0 {
		words = append(words, plural(r.Corners, "corner", "corners"))
	}
	return strings.Join(words, ", ")
}

// flag is something special about a run that is set by one tap.
type flag struct {
	word string
	of   func(*harness.Run) *bool
}

var flags = []flag{
	{"hot", func(r *harness.Run) *bool { return &r.Hot }},
	{"moves", func(r *harness.Run) *bool { return &r.Moves }},
	{"wet", func(r *harness.Run) *bool { return &r.Wet }},
	{"drip loop", func(r *harness.Run) *bool { return &r.Drip }},
	{"sharp edge", func(r *harness.Run) *bool { return &r.Sharp }},
	{"clip here", func(r *harness.Run) *bool { return &r.Clip }},
}
