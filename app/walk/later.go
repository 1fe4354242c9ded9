package walk

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/app/walk/tape"
)

// flag puts the next flag on the string, at what comes next, and goes on there. What is not there yet is made; the length
// follows at the tape.
func (w *walk) flag() {
	line := w.d.line()
	if w.otherString() {
		w.wrong = waitingWords
		return
	}
	m := newMaker(w.S)
	places, runs, changes := m.leg(w.d, w.S.Lengths(), w.S.Graph(), true)
	next := line.With(tape.Mark{Places: places, Runs: runs})
	if _, over := next.Path(len(next.Marks) - 1); passesTwice(over) {
		w.wrong = twiceWords
		return
	}
	if len(changes) > 0 && !w.do(m.err, changes...) {
		return
	}
	w.rev = w.S.Rev()
	d := w.d
	d.String = next
	w.keep(d.stand(w.S.B(), w.S.Lengths(), d.String.End()))
}

// onUnflag takes the last flag off the string again. The place it was at stays.
func (w *walk) onUnflag(ctx app.Context, _ app.Event) {
	w.quiet()
	d := w.d
	n := len(d.String.Marks)
	if n == 0 || d.String.Marks[n-1].Reading != "" {
		return
	}
	d.String.Marks = d.String.Marks[: n-1 : n-1]
	w.keep(d.stand(w.S.B(), w.S.Lengths(), d.String.End()))
}

// flagging is the walk while flags are put on the string: no number is keyed in.
func (w *walk) flagging() app.UI {
	b := w.S.B()
	line := w.d.line()
	ask := w.said()
	if w.wrong != "" {
		ask = append(ask, kit.Note("warn", w.wrong, "Nothing is lost."))
	}
	if other := w.d.String; w.otherString() {
		ask = append(ask,
			kit.Note("", plural(w.d.unread(), "flag", "flags")+" from "+kit.PlaceName(b, other.From)+" wait for the tape.", "This string ends at "+kit.PlaceName(b, other.End())+"."),
			kit.Chips(kit.Plain("Go back to "+kit.PlaceName(b, other.End()), w.onStand(other.End()), other.End())))
	} else {
		next := len(line.Marks) + 1
		ask = append(ask, app.Div().Body(
			app.P().Body(app.Text("Tap where "), app.B().Text(fmt.Sprintf("flag %d", next)), app.Text(" goes on the string.")),
			app.P().Class("refer").Text(w.reference()),
		))
		ask = append(ask, w.nextChips())
		if w.d.To.Kind != "" {
			ask = append(ask, w.name())
		}
		ask = append(ask, w.undecided())
	}
	if n := len(line.Marks); n > 0 {
		var flags []app.UI
		for i := n - 1; i >= max(0, n-4); i-- {
			flags = append(flags, app.P().Class("small").Text(fmt.Sprintf("Flag %d at %s", i+1, kit.PlaceName(b, line.Marks[i].Place()))))
		}
		ask = append(ask, app.Div().Body(flags...))
		if line.Marks[n-1].Reading == "" {
			ask = append(ask, kit.Chips(kit.Plain(fmt.Sprintf("Take flag %d off", n), w.onUnflag, n)))
		}
	}
	foot := kit.ActIf(w.d.unread() > 0, fmt.Sprintf("Read %s at the tape", plural(w.d.unread(), "flag", "flags")),
		fmt.Sprintf("Tap a place: it gets flag %d", len(line.Marks)+1), w.onTape, w.d.unread())
	return app.Div().Class("side").Body(
		app.Div().Class("ask stack").Body(ask...),
		w.tools(),
		app.Div().Class("foot").Body(foot),
	)
}

// nextRow goes to the next flag that has no number, and after the last one takes them all.
func (w *walk) nextRow() {
	d := w.d
	s, sys := d.String, w.system()
	if d.Row < len(s.Marks) {
		row := s.Rows(sys)[d.Row]
		switch {
		case row.Wrong != "":
			w.wrong = row.Wrong
			return
		case row.Read && row.Since > 0 && !d.Sure && s.Marks[d.Row].Reading == "":
			if w.doubts(row.Since, w.since(d.Row)...) {
				return
			}
		}
	}
	d.Sure = false
	for step := 1; step <= len(s.Marks); step++ {
		if i := (d.Row + step) % len(s.Marks); s.Marks[i].Text == "" && (i > d.Row || step == len(s.Marks) || !anyAfter(s, d.Row)) {
			d.Row = i
			w.keep(d)
			return
		}
	}
	if d.Row+1 < len(s.Marks) {
		d.Row++
	}
	w.keep(d)
}

// since are the runs that a mark adds to the last one before it that is read.
func (w *walk) since(mark int) (runs []string) {
	rows := w.d.String.Rows(w.system())
	for i := mark; i >= 0; i-- {
		if i < mark && rows[i].Read {
			break
		}
		runs = append(runs, w.d.String.Marks[i].Runs...)
	}
	return runs
}

// anyAfter tells whether a mark after this one waits for its number.
func anyAfter(s tape.String, row int) bool {
	for _, m := range s.Marks[min(row+1, len(s.Marks)):] {
		if m.Text == "" {
			return true
		}
	}
	return false
}

func (w *walk) onRow(i int) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w.quiet()
		w.d.Row = i
		w.keep(w.d)
		w.reveal(ctx)
	}
}

// swapRows swaps the numbers of the first two rows that fall and fit swapped.
func (w *walk) swapRows() {
	for _, f := range w.d.String.Falls(w.system()) {
		if w.swappable(f) {
			w.quiet()
			d := w.d
			d.String = d.String.Swapped(f.Earlier, f.Later)
			w.keep(d)
			return
		}
	}
}

// swappable tells whether the numbers of two rows can be swapped: neither is a reading yet.
func (w *walk) swappable(f tape.Fall) bool {
	return f.Swap && w.d.String.Marks[f.Earlier].Reading == "" && w.d.String.Marks[f.Later].Reading == ""
}

// onTape goes to the tape, to the first flag without a number.
func (w *walk) onTape(ctx app.Context, _ app.Event) {
	w.quiet()
	d := w.d
	d.Row, d.Zero = 0, false
	for i, m := range d.String.Marks {
		if m.Reading == "" && m.Text == "" {
			d.Row = i
			break
		}
	}
	w.keep(d)
	kit.Go(ctx, w.here().In(partTape))
}

// ready tells whether the flags can be taken, or what is missing.
func (w *walk) ready() (ok bool, why string) {
	s := w.d.String
	left := 0
	for i, row := range s.Rows(w.system()) {
		if row.Wrong != "" {
			return false, fmt.Sprintf("Flag %d is no length yet", i+1)
		}
		if !row.Read {
			left++
		}
	}
	switch {
	case len(s.Falls(w.system())) > 0:
		return false, "Marks along a string only grow"
	case left > 0:
		return false, plural(left, "flag has", "flags have") + " no number yet"
	}
	return true, ""
}

// onTakeAll makes the readings of all flags, in one edit, and goes on in the car with a new string.
func (w *walk) onTakeAll(ctx app.Context, _ app.Event) {
	w.quiet()
	if ok, why := w.ready(); !ok {
		w.wrong = why
		return
	}
	n := w.d.unread()
	m := newMaker(w.S)
	done, last, changes := m.marks(w.d.String, number{unit: w.system(), method: w.d.Method, at: w.S.Now(), with: w.d.With})
	if len(changes) == 0 || !w.do(m.err, changes...) {
		return
	}
	w.rev = w.S.Rev()
	d := w.d
	d.Row = 0
	end := d.String.End()
	d.String = done
	d = d.step(w.S.B(), w.S.Lengths(), last, end)
	w.keep(d.carryOn(w.S.B(), w.S.Lengths()))
	w.S.Say(session.Notice{Tone: "good", Text: plural(n, "mark is", "marks are") + " read.", Undo: true})
	kit.Go(ctx, w.here())
}

// tapeView is the list of flags with the pad under it.
func (w *walk) tapeView() app.UI {
	b, s, sys := w.S.B(), w.d.String, w.system()
	rows := s.Rows(sys)
	falls := s.Falls(sys)
	var list []app.UI
	zero, _ := s.Start(sys)
	list = append(list, app.Div().Class("line mid").Body(
		app.Span().Class("grow small").Text("String from "+kit.PlaceName(b, s.From)),
		kit.Plain("Tape at "+zero.Format(sys), w.onZeroLater, s.From),
	))
	if w.d.Zero {
		list = append(list, app.Div().Class("chips").Body(w.zeroChips()...))
	}
	if w.doubt != "" {
		list = append(list, w.doubtful()...)
	}
	for i, m := range s.Marks {
		if m.Reading != "" && i+1 < len(s.Marks) && s.Marks[i+1].Reading != "" {
			continue // taken long ago: the last taken one is enough to go on from
		}
		under := "not read yet"
		switch {
		case rows[i].Wrong != "":
			under = rows[i].Wrong
		case rows[i].Read && rows[i].Since > 0:
			under = "+ " + rows[i].Since.Format(sys)
		case rows[i].Read:
			under = "not beyond the mark before it"
		}
		if len(fallsOf(falls, i)) > 0 {
			under = "⚠ " + under
		}
		list = append(list, app.Button().Type("button").Class("row").Aria("pressed", i == w.d.Row).
			OnClick(w.onRow(i), i, m.Place()).Body(
			app.Span().Text(fmt.Sprint(i+1)),
			app.Span().Body(app.B().Text(kit.PlaceName(b, m.Place())), app.Small().Text(under)),
			app.Span().Text(m.Text),
		))
	}
	return app.Div().Class("side").Body(
		app.Div().Class("scroll").Body(app.Div().Class("narrow stack").Body(list...)),
		w.takeAll(),
		w.entry(),
		kit.Keys(sys, "Next", w.onKey),
	)
}

// takeAll is the button that takes all flags, or what is missing for it: the first two rows that fall, with their swap.
func (w *walk) takeAll() app.UI {
	for _, f := range w.d.String.Falls(w.system()) {
		parts := []app.UI{kit.Note("warn", fallWords(w.S.B(), w.d.String, f, w.system()), "")}
		if w.swappable(f) {
			parts = append(parts, kit.Plain(fmt.Sprintf("Swap flags %d and %d", f.Earlier+1, f.Later+1), w.onSwap, f.Earlier, f.Later))
		}
		return app.Div().Class("foot thin").Body(app.Div().Class("line mid undecided").Body(parts...))
	}
	ok, why := w.ready()
	if !ok {
		return app.P().Class("small missing").Text(why + ".")
	}
	return app.Div().Class("foot thin").Body(kit.Act(fmt.Sprintf("Take all %d flags", w.d.unread()), w.onTakeAll, w.d.unread()))
}

// reveal brings the row that is keyed in into sight.
func (w *walk) reveal(ctx app.Context) {
	if w.At.Mode != partTape || !w.Mounted() {
		return
	}
	ctx.Defer(func(app.Context) {
		if !w.Mounted() {
			return
		}
		if row := w.JSValue().Call("querySelector", `.row[aria-pressed="true"]`); row.Truthy() {
			row.Call("scrollIntoView", map[string]any{"block": "nearest"})
		}
	})
}

// onZeroLater shows or hides the answers to what the tape shows where the string begins.
func (w *walk) onZeroLater(ctx app.Context, _ app.Event) {
	w.d.Zero = !w.d.Zero
	w.keep(w.d)
}

// zeroChips are the answers that are one tap away; any other is keyed in before the flags are put on.
func (w *walk) zeroChips() []app.UI {
	var chips []app.UI
	for _, text := range zeroAnswers(w.system()) {
		l, _ := tape.ReadZero(text, w.system())
		chips = append(chips, kit.Choice(l.Format(w.system()), "", w.d.String.Zero == text, w.onZeroIs(text), text))
	}
	return chips
}

func (w *walk) onZeroIs(text string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w.d.String.Zero, w.d.Zero = text, false
		w.keep(w.d)
	}
}
