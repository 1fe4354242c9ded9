package walk

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/walk/tape"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// line is the string that is marked from where one stands: the one at hand if it ends here, else a new one. What the tape
// shows at its beginning stays from string to string, as it is a habit.
func (d draft) line() tape.String {
	if d.String.From != "" && !d.String.Done && d.String.End() == d.At {
		return d.String
	}
	return tape.String{From: d.At, Zero: d.String.Zero}
}

// unread counts the flags of the string that are no readings yet.
func (d draft) unread() (n int) {
	for _, m := range d.String.Marks {
		if m.Reading == "" {
			n++
		}
	}
	return n
}

// otherString tells whether flags of another string than the one from where one stands wait to be read.
func (w *walk) otherString() bool {
	return w.d.unread() > 0 && w.d.String.End() != w.d.At
}

// waitingWords say why no mark is put on a string while another one waits.
const waitingWords = "The flags of the other string are not read yet. Read them first, or go back to its end."

// enterMark makes the reading of one mark: from where the string begins to it.
func (w *walk) enterMark(n number) {
	line := w.d.line()
	if w.otherString() {
		w.wrong = waitingWords
		return
	}
	zero, _ := line.Start(n.unit)
	m := newMaker(w.S)
	isDrawn := w.isDrawn()
	places, runs, changes := m.leg(w.d, w.S.Lengths(), w.S.Graph(), true)
	line = line.With(tape.Mark{Places: places, Runs: runs, Text: n.text})
	last := len(line.Marks) - 1
	if falls := fallsOf(line.Falls(n.unit), last); len(falls) > 0 {
		w.fall = &falls[0]
		if w.d.To.Kind != "" { // the place is made only when its mark is taken
			line.Marks[last].Places, line.Marks[last].Runs = []string{""}, []string{""}
		}
		w.wrong = fallWords(w.S.B(), line, falls[0], n.unit)
		return
	}
	if w.doubts(line.Rows(n.unit)[last].Since, runs...) {
		return
	}
	passed, over := line.Path(last)
	if passesTwice(over) {
		w.wrong = twiceWords
		return
	}
	n.value -= zero
	if zero != 0 {
		n.zero = &zero
	}
	reading, change := m.reading(passed, over, n)
	d := w.d
	line.Marks[last].Reading = reading
	if w.do(m.err, append(changes, change)...) {
		d.String = line
		w.goOn(d, reading, line.End(), isDrawn)
	}
}

// twiceWords say why a mark is not taken that the string would have to turn back for.
const twiceWords = "The string would pass one run twice that way. Go back to where it branches, and begin a new one there."

// onSwap gives the mark before the number that was keyed in, and this mark the number of the one before: one edit.
func (w *walk) onSwap(ctx app.Context, _ app.Event) {
	w.sync()
	if w.At.Mode == partTape {
		w.swapRows()
		return
	}
	s := w.d.String
	at := len(s.Marks) - 1
	if w.fall == nil || at < 0 || s.End() != w.d.At {
		return
	}
	old, ok := w.S.B().Readings.Get(s.Marks[at].Reading)
	typed := kit.Read(w.d.Text, w.system())
	if !ok || !typed.OK {
		return
	}
	zero, _ := s.Start(w.system())
	before, after := old.Value+zero, w.d.Text
	m := newMaker(w.S)
	n := number{text: after, unit: w.system(), value: typed.Length - zero, method: old.Method}
	fixed, changes := m.correct(old.ID, n)
	isDrawn := w.isDrawn()
	places, runs, leg := m.leg(w.d, w.S.Lengths(), w.S.Graph(), true)
	s = s.Typed(at, after).With(tape.Mark{Places: places, Runs: runs, Text: old.Text})
	s.Marks[at].Reading, s.Marks[at].Was = fixed, old.ID
	passed, over := s.Path(at + 1)
	n = number{text: old.Text, unit: old.Unit, value: before - zero, method: w.d.Method, at: w.S.Now(), zero: old.Zero, with: w.d.With}
	reading, change := m.reading(passed, over, n)
	s.Marks[at+1].Reading = reading
	d := w.d
	for i := range d.Trail {
		if d.Trail[i].Reading == old.ID {
			d.Trail[i].Reading, d.Trail[i].Was = fixed, old.ID
		}
	}
	d.String = s
	w.quiet()
	changes = append(append(changes, leg...), change)
	if w.do(m.err, changes...) {
		w.goOn(d, reading, s.End(), isDrawn)
	}
}

// onAskZero asks what the tape shows where the string begins, or stops to ask.
func (w *walk) onAskZero(ctx app.Context, _ app.Event) {
	w.quiet()
	d := w.d
	if d.Zero = !d.Zero; d.Zero {
		d.Kept, d.Text = d.Text, ""
	} else {
		d.Text, d.Kept = d.Kept, ""
	}
	w.keep(d)
}

// onZero takes an answer that is one tap away.
func (w *walk) onZero(text string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w.d.Text = text
		w.setZero()
	}
}

// setZero takes what the tape shows where the string begins. Marks that became readings keep theirs.
func (w *walk) setZero() {
	if _, ok := tape.ReadZero(w.d.Text, w.system()); !ok {
		w.wrong = kit.Read(w.d.Text, w.system()).Line
		return
	}
	d := w.d
	d.String = d.line()
	d.String.Zero = d.Text
	d.Zero, d.Text, d.Kept = false, d.Kept, ""
	w.keep(d)
}

// zeroAnswers are what tapes are often laid to: their end, or the first figure that the hook is not in the way of.
func zeroAnswers(sys unit.System) []string {
	if sys == unit.Imperial {
		return []string{"0", "1", "10"}
	}
	return []string{"0", "100"}
}

// lineView is the string that is marked, and what the tape shows where it begins; that can be changed until its first mark.
func (w *walk) lineView() app.UI {
	b, line := w.S.B(), w.d.line()
	zero, _ := line.Start(w.system())
	words := fmt.Sprintf("Mark %d from %s: tap where it is.", len(line.Marks)+1, kit.PlaceName(b, line.From))
	if len(line.Marks) > 0 {
		return app.Div().Body(app.P().Text(words), app.P().Class("refer").Text("The tape showed "+zero.Format(w.system())+" there. "+w.reference()))
	}
	return app.Div().Class("line mid undecided").Body(
		app.Span().Class("grow").Body(app.P().Text(words), app.P().Class("refer").Text(w.reference())),
		kit.Plain("Tape at "+zero.Format(w.system()), w.onAskZero, w.d.At, w.d.String.Zero),
	)
}

// asking asks what the tape shows where the string begins.
func (w *walk) asking() []app.UI {
	var chips []app.UI
	for _, text := range zeroAnswers(w.system()) {
		l, _ := tape.ReadZero(text, w.system())
		chips = append(chips, kit.Plain(l.Format(w.system()), w.onZero(text), text))
	}
	chips = append(chips, kit.Plain("Leave it", w.onAskZero, w.d.Zero))
	return []app.UI{
		app.P().Text("What does the tape show at " + kit.PlaceName(w.S.B(), w.d.line().From) + ", where the string begins? It is taken off every mark."),
		kit.Chips(chips...),
	}
}

// falling points to the two marks, and offers the swap where that mends it.
func (w *walk) falling() []app.UI {
	b, s := w.S.B(), w.d.line()
	before, at := "the beginning", ""
	if i := w.fall.Earlier; i != tape.Beginning && i < len(s.Marks) {
		before = kit.PlaceName(b, s.Marks[i].Place())
		at = s.Marks[i].Text
	}
	here, _ := w.targetWords(w.d.To)
	body := []app.UI{kit.Note("warn", w.wrong, "Both stay as they are until you say.")}
	var chips []app.UI
	if w.fall.Swap {
		chips = append(chips, kit.Plain("Swap: "+w.d.Text+" at "+before+", "+at+" at "+here, w.onSwap, w.d.Text, at))
	}
	if w.fall.Earlier != tape.Beginning {
		chips = append(chips, kit.Plain("Key in "+before+" again", w.onBack, before))
	}
	return append(body, kit.Chips(chips...))
}

// fallsOf are the falls that a mark takes part in.
func fallsOf(falls []tape.Fall, mark int) []tape.Fall {
	var of []tape.Fall
	for _, f := range falls {
		if f.Earlier == mark || f.Later == mark {
			of = append(of, f)
		}
	}
	return of
}

// fallWords names two marks of which the later is not beyond the earlier.
func fallWords(b *harness.Build, s tape.String, f tape.Fall, sys unit.System) string {
	name := func(i int) string {
		if id := s.Marks[i].Place(); id != "" {
			return fmt.Sprintf("Mark %d (%s, %s)", i+1, kit.PlaceName(b, id), s.Marks[i].Text)
		}
		return fmt.Sprintf("Mark %d (%s)", i+1, s.Marks[i].Text)
	}
	if f.Earlier == tape.Beginning {
		zero, _ := s.Start(sys)
		return name(f.Later) + " is not beyond where the string begins (" + zero.Format(sys) + ")."
	}
	earlier := name(f.Earlier)
	return name(f.Later) + " is not beyond m" + earlier[1:] + "."
}

// marks makes the readings of all marks that are read and none yet; last is that of the last one.
func (m *maker) marks(s tape.String, n number) (done tape.String, last string, changes []storage.Change) {
	zero, _ := s.Start(n.unit)
	done = s
	done.Done = true
	for i, row := range s.Rows(n.unit) {
		if !row.Read || s.Marks[i].Reading != "" {
			continue
		}
		n.text, n.value, n.zero = s.Marks[i].Text, row.Value, nil
		if zero != 0 {
			n.zero = &zero
		}
		places, runs := s.Path(i)
		id, change := m.reading(places, runs, n)
		done = done.Typed(i, n.text)
		done.Marks[i].Reading = id
		last, changes = id, append(changes, change)
	}
	return done, last, changes
}
