// Package walk is the route: the sketch with its places and runs, and the walk along the string that measures them.
package walk

import (
	"fmt"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
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
)

// walk is the measuring walk: where one stands, what comes next, how far it is.
type walk struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	build  string // whose draft d is
	rev    int    // of the build, when the draft was last mended
	d      draft
	wrong  string      // why the number was not taken
	doubt  route.Doubt // the question about it, until it is answered
	usual  unit.Length // the median it was compared with
	went   string      // the place one was led back to, to be said
	ended  bool        // the last run of a drawn route was just measured
	unkeys func()
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
func (w *walk) quiet() { w.wrong, w.doubt, w.went, w.ended = "", "", "", false }

// keep takes a changed draft.
func (w *walk) keep(d draft) {
	w.d = d
	w.d.save(w.S)
}

// here is the address of the walk itself.
func (w *walk) here() kit.Addr { return kit.Addr{Build: w.At.Build, Page: "walk"} }

// onKeyDown is the keyboard: digits and Backspace key in, Enter is Next. Fields and buttons keep their own keys.
func (w *walk) onKeyDown(ctx app.Context, e app.Event) {
	if w.At.Mode != "" || e.Get("ctrlKey").Bool() || e.Get("metaKey").Bool() || e.Get("altKey").Bool() {
		return
	}
	tag := strings.ToLower(e.Get("target").Get("tagName").String())
	if tag == "input" || tag == "textarea" || tag == "select" {
		return
	}
	key := e.Get("key").String()
	switch {
	case key == "Enter":
		if tag == "button" {
			return
		}
		key = kit.KeyNext
	case key == "Backspace":
		key = kit.KeyBack
	case len(key) == 1 && strings.Contains("0123456789.'", key):
	default:
		return
	}
	w.onKey(ctx, key)
	w.Update() // a listener of the window draws the root again, and that looks the same
}

// onKey takes a key of the pad.
func (w *walk) onKey(ctx app.Context, key string) {
	w.sync()
	if key == kit.KeyNext {
		w.next(ctx)
		return
	}
	w.quiet()
	d := w.d
	d.Text, d.Sure = string(kit.Entry(d.Text).Press(key)), false
	w.keep(d)
}

// onSure is the answer to the doubt: the number is right.
func (w *walk) onSure(ctx app.Context, _ app.Event) {
	w.d.Sure = true
	w.next(ctx)
}

// onOtherUnit is the other answer: the number was meant in the other unit.
func (w *walk) onOtherUnit(ctx app.Context, _ app.Event) {
	w.d.Text, w.d.Sure = w.otherUnit(), true
	w.next(ctx)
}

// otherUnit is the number with the unit it may have been meant in.
func (w *walk) otherUnit() string {
	if w.system() == unit.Imperial {
		return w.d.Text + " mm"
	}
	return w.d.Text + " in"
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
	typed := kit.Read(w.d.Text, w.system())
	switch {
	case strings.TrimSpace(w.d.Text) == "":
		w.wrong = "Key in the length first."
		return
	case !typed.OK:
		w.wrong = typed.Line
		return
	case w.d.Fix == "" && !w.d.To.chosen():
		w.wrong = "Tap what comes next first. The number stays."
		return
	}
	if !w.d.Sure {
		if w.doubt, w.usual = route.Doubtful(typed.Length, w.S.Lengths()); w.doubt != "" {
			return
		}
	}
	n := number{strings.TrimSpace(w.d.Text), w.system(), typed.Length, w.d.Method, w.S.Now()}
	if w.d.Fix != "" {
		w.fix(ctx, n)
		return
	}
	w.enter(ctx, n)
}

// enter makes the edit of one entry: the new place, the new run and the reading, whatever of them is missing; and goes
// on to the place.
func (w *walk) enter(ctx app.Context, n number) {
	b, l := w.S.B(), w.S.Lengths()
	m := newMaker(w.S)
	to, run := w.d.To.Place, w.d.To.Run
	loom := w.d.loomFor(b)
	var changes []storage.Change
	if to == "" {
		to, changes = m.place(w.d.To.Kind, strings.TrimSpace(w.d.Name))
	} else if run == "" {
		run = between(b, l, w.d.At, to)
	}
	isDrawn := run != ""
	if !isDrawn {
		id, change := m.run(w.d.At, to, loom)
		run, changes = id, append(changes, change)
	}
	reading, change := m.reading(run, w.d.At, to, n)
	if !w.do(m.err, append(changes, change)...) {
		return
	}
	w.rev = w.S.Rev()
	d := w.d.step(w.S.B(), w.S.Lengths(), reading, to)
	done, of := w.S.Lengths().Measured()
	w.ended = isDrawn && done == of
	if isDrawn && len(drawn(w.S.B(), w.S.Lengths(), to)) == 0 {
		if open := nearestOpen(w.S.B(), w.S.Lengths(), to); open != "" {
			d = d.stand(w.S.B(), w.S.Lengths(), open)
			w.went = open
		}
	}
	w.keep(d)
}

// fix puts the number in place of the one that is being corrected.
func (w *walk) fix(ctx app.Context, n number) {
	m := newMaker(w.S)
	old, _ := w.S.B().Readings.Get(w.d.Fix)
	n.method = old.Method
	id, changes := m.correct(w.d.Fix, n)
	if !w.do(m.err, changes...) {
		return
	}
	d := w.d
	for i := range d.Trail {
		if d.Trail[i].Reading == d.Fix {
			d.Trail[i].Reading = id
		}
	}
	d = d.fixed()
	w.rev = w.S.Rev()
	d.mend(w.S.B(), w.S.Lengths())
	w.keep(d)
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
	w.keep(w.d.elsewhere(w.S.B(), w.S.Lengths(), place))
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

// onMethod takes the next way of reading.
func (w *walk) onMethod(ctx app.Context, _ app.Event) {
	d := w.d
	for i, m := range methods {
		if m == d.Method {
			d.Method = methods[(i+1)%len(methods)]
			break
		}
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
