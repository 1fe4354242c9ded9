// Package walk is the route: the sketch with its places and runs, and the walk along the string that measures them.
package walk

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/app/walk/tape"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// Pages returns the pages of this package.
func Pages(s *session.Session) []kit.Page {
	return []kit.Page{
		{
			Name: "route", Step: "Route",
			Count: func(b *harness.Build) string { return fmt.Sprint(b.Runs.Len()) },
			New:   func(at kit.Addr, rev int) app.UI { return &routePage{S: s, At: at, Rev: rev} },
		},
		{
			Name: "walk", Alone: true,
			New: func(at kit.Addr, rev int) app.UI { return &walk{S: s, At: at, Rev: rev} },
		},
	}
}

// The parts of the walk, as in the address. They are places of the history, so that the back gesture leaves them and
// nothing that was keyed in.
const (
	partOther   = "other"   // what comes next, out of everything
	partBack    = "back"    // where to go back to
	partEntries = "entries" // the last numbers, to correct them
	partHow     = "how"     // how readings are taken
	partTape    = "tape"    // the flags of a string, read off at the tape
	partEnds    = "ends"    // the ends of a check, in a list
	partHelp    = "help"    // what to know before the walk
)

// walk is the measuring walk: where one stands, what comes next, how far it is.
type walk struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	build   string // whose draft d is
	rev     int    // of the build, when the draft was last mended
	d       draft
	wrong   string      // why the number was not taken
	doubt   route.Doubt // the question about it, until it is answered
	usual   unit.Length // what it was compared with
	doubted unit.Length // the length that is doubted: of a mark, the stretch before it
	fall    *tape.Fall  // the mark that falls, and the one it falls behind
	checked string      // the reading of the check that was just made
	went    string      // the place one was led back to, to be said
	ended   bool        // the last run of a drawn route was just measured
	unkeys  func()
}

// OnMount keeps the screen on and listens to the keyboard.
func (w *walk) OnMount(ctx app.Context) {
	w.S.Device.Wake.Keep()
	w.unkeys = app.Window().AddEventListener("keydown", w.onKeyDown)
}

// OnDismount lets both go.
func (w *walk) OnDismount() {
	w.S.Device.Wake.Release()
	if w.unkeys != nil {
		w.unkeys()
	}
	if w.S.ID() == w.build && w.d.Came != "" {
		w.d.Came = ""
		w.d.save(w.S)
	}
}

// sync brings the draft in line with the open build and the address.
func (w *walk) sync() {
	if w.build != w.S.ID() {
		w.build, w.rev, w.d = w.S.ID(), w.S.Rev(), loadDraft(w.S)
		w.quiet()
	}
	if w.rev != w.S.Rev() {
		w.rev = w.S.Rev()
		w.d.mend(w.S.B(), w.S.Lengths())
		w.d.save(w.S)
	}
	if to := w.At.Record; to != "" && to != w.d.Came {
		if _, ok := w.S.B().Places.Get(to); ok {
			w.d = w.d.elsewhere(w.S.B(), w.S.Lengths(), to)
		}
		w.d.Came = to
		w.quiet()
		w.d.save(w.S)
	}
}

// quiet takes the sentences about the last number away.
func (w *walk) quiet() {
	w.wrong, w.doubt, w.went, w.ended, w.fall, w.checked = "", "", "", false, nil, ""
}

// keep takes a changed draft.
func (w *walk) keep(d draft) {
	w.d = d
	w.d.save(w.S)
}

// here is the address of the walk itself.
func (w *walk) here() kit.Addr { return kit.Addr{Build: w.At.Build, Page: "walk"} }

// onSure is the answer to the doubt: the number is right.
func (w *walk) onSure(ctx app.Context, _ app.Event) {
	w.d.Sure = true
	w.next(ctx)
}

// onOtherUnit is the other answer: the number was meant in the other unit.
func (w *walk) onOtherUnit(ctx app.Context, _ app.Event) {
	w.setText(w.otherUnit())
	w.d.Sure = true
	w.next(ctx)
}

// otherUnit is the number with the unit it may have been meant in.
func (w *walk) otherUnit() string {
	if w.system() == unit.Imperial {
		return w.text() + " mm"
	}
	return w.text() + " in"
}

func (w *walk) system() unit.System {
	if u := w.S.B().Settings.Unit; u != "" {
		return u
	}
	return unit.Metric
}

// next takes the number. What it cannot take stays as it was keyed in, with the reason.
func (w *walk) next(ctx app.Context) {
	w.quiet()
	if w.At.Mode == partTape {
		w.nextRow()
		return
	}
	typed := kit.Read(w.d.Text, w.system())
	blank := strings.TrimSpace(w.d.Text) == ""
	switch {
	case w.d.Zero:
		w.setZero()
		return
	case blank && w.d.Fix != "":
		w.forward()
		return
	case blank:
		w.wrong = "Key in the length first."
		return
	case !typed.OK && !(kit.IsZero(typed.Err) && w.d.Way == wayMarks && w.d.Fix == ""):
		w.wrong = typed.Line
		return
	}
	n := number{
		text: strings.TrimSpace(w.d.Text), unit: w.system(), value: typed.Length, method: w.d.Method, at: w.S.Now(), with: w.d.With,
	}
	switch {
	case w.d.Fix != "":
		w.fix(n)
	case w.d.Way == wayCheck:
		w.enterCheck(n)
	case !w.d.To.chosen():
		w.wrong = "Tap what comes next first. The number stays."
	case w.d.Way == wayMarks:
		w.enterMark(n)
	default:
		w.enter(n)
	}
}

// doubts asks about a number that looks like a slip, once; false if there is nothing to ask or it was answered.
func (w *walk) doubts(value unit.Length, runs ...string) bool {
	if w.d.Sure {
		return false
	}
	if len(runs) > 1 {
		w.doubt, w.usual = route.DoubtfulOver(value, runs, w.S.Lengths())
	} else {
		w.doubt, w.usual = route.Doubtful(value, w.S.Lengths())
	}
	w.doubted = value
	return w.doubt != ""
}

// enter makes the edit of one entry: the new place, the new run and the reading, whatever of them is missing; and goes
// on to the place.
func (w *walk) enter(n number) {
	if w.doubts(n.value) {
		return
	}
	m := newMaker(w.S)
	isDrawn := w.isDrawn()
	places, runs, changes := m.leg(w.d, w.S.Lengths(), w.S.Graph(), false)
	reading, change := m.reading(append([]string{w.d.At}, places...), runs, n)
	if w.do(m.err, append(changes, change)...) {
		w.goOn(w.d, reading, places[len(places)-1], isDrawn)
	}
}

// isDrawn tells whether what comes next only wants a number.
func (w *walk) isDrawn() bool {
	return w.d.To.Run != "" || w.d.To.Place != "" && between(w.S.B(), w.S.Lengths(), w.d.At, w.d.To.Place) != ""
}

// goOn stands where an entry led to, or, on a drawn route where nothing is left to measure there, at the nearest place
// that has something.
func (w *walk) goOn(d draft, reading, to string, isDrawn bool) {
	w.rev = w.S.Rev()
	b, l := w.S.B(), w.S.Lengths()
	d = d.step(b, l, reading, to)
	done, of := l.Measured()
	w.ended = isDrawn && done == of
	if isDrawn && len(drawn(b, l, to)) == 0 {
		if open := nearestOpen(b, l, to); open != "" {
			d = d.stand(b, l, open)
			w.went = open
		}
	}
	w.keep(d)
}

// fix puts the number in place of the one that is being corrected.
func (w *walk) fix(n number) {
	old, _ := w.S.B().Readings.Get(w.d.Fix)
	mark := w.markOf(w.d.Fix)
	if mark >= 0 {
		s := w.d.String.Typed(mark, n.text)
		if falls := fallsOf(s.Falls(w.system()), mark); len(falls) > 0 {
			w.wrong = fallWords(w.S.B(), s, falls[0], w.system())
			return
		}
	}
	if n.value -= zeroOf(old); n.value <= 0 {
		w.wrong = belowStart(w.S.B(), old)
		return
	}
	if w.doubts(n.value, old.Runs...) {
		return
	}
	m := newMaker(w.S)
	n.method = old.Method
	id, changes := m.correct(w.d.Fix, n)
	d := w.d
	if mark >= 0 {
		d.String = d.String.Typed(mark, n.text)
		d.String.Marks[mark].Reading, d.String.Marks[mark].Was = id, old.ID
	}
	for i := range d.Trail {
		if d.Trail[i].Reading == d.Fix {
			d.Trail[i].Reading, d.Trail[i].Was = id, old.ID
		}
	}
	if !w.do(m.err, changes...) {
		return
	}
	d = d.fixed()
	w.rev = w.S.Rev()
	d.mend(w.S.B(), w.S.Lengths())
	w.keep(d)
}

// markOf is the mark of the string that became a reading, or -1.
func (w *walk) markOf(reading string) int {
	return slices.IndexFunc(w.d.String.Marks, func(m tape.Mark) bool { return m.Reading == reading && reading != "" })
}

// do applies the changes; false if they were not taken, and w.wrong says why.
func (w *walk) do(err error, changes ...storage.Change) bool {
	if err == nil {
		err = w.S.Do(changes...)
	}
	if err != nil {
		w.wrong = kit.Explain(err)
		return false
	}
	return true
}

// onTarget chooses what comes next; a number that is keyed in already stays.
func (w *walk) onTarget(t target) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { w.choose(ctx, t) }
}

func (w *walk) choose(ctx app.Context, t target) {
	w.quiet()
	d := w.d
	if t.Kind != d.To.Kind {
		d.Name = ""
	}
	if d.Fix != "" {
		d = d.fixed()
	}
	d.To, d.Sure = t, false
	w.keep(d)
	if d.Way == wayLater {
		w.flag()
	}
	if w.At.Mode != "" {
		kit.Go(ctx, w.here())
	}
}

// onStand goes to another place.
func (w *walk) onStand(place string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { w.stand(ctx, place) }
}

func (w *walk) stand(ctx app.Context, place string) {
	w.quiet()
	if w.d.Way == wayCheck {
		w.keep(w.d.checking(place))
	} else {
		w.keep(w.d.elsewhere(w.S.B(), w.S.Lengths(), place))
	}
	if w.At.Mode != "" {
		kit.Go(ctx, w.here())
	}
}

// onFix begins to correct a reading; the old number is shown until another is keyed in.
func (w *walk) onFix(reading string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w.quiet()
		w.keep(w.d.fixing(reading))
		kit.Go(ctx, w.here())
	}
}

func (w *walk) onLeaveFix(ctx app.Context, _ app.Event) {
	w.quiet()
	w.keep(w.d.fixed())
}

// onLoom takes the next loom for the runs to come; of a run that is drawn it changes the loom at once.
func (w *walk) onLoom(ctx app.Context, _ app.Event) {
	b := w.S.B()
	d := w.d
	d.Loom = nextLoom(b, d.loomFor(b))
	if d.To.Run != "" && !w.do(nil, changed(&b.Runs, harness.KindRun, d.To.Run, func(r *harness.Run) { r.Loom = d.Loom })...) {
		return
	}
	w.keep(d)
}

// onName takes a name for the new place.
func (w *walk) onName(ctx app.Context, _ app.Event) {
	d := w.d
	d.Name = kit.Value(ctx)
	w.keep(d)
}

// lengths says what is measured.
func lengthText(k survey.Known, sys unit.System) string {
	if !k.Measured() {
		return "?"
	}
	return k.Length.Format(sys)
}

// clock is the time of day of a reading, or nothing.
func clock(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return ""
	}
	return t.Local().Format("15:04")
}
