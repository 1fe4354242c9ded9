package walk

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/walk/tape"
)

// tools are the choices that stay from entry to entry, and the two lists.
func (w *walk) tools() app.UI {
	if w.d.Fix != "" {
		return nil
	}
	b := w.S.B()
	back, entries, how := w.here().In(partBack), w.here().In(partEntries), w.here().In(partHow)
	loom := w.d.loomFor(b)
	_, short, _ := w.d.Way.words()
	buttons := []app.UI{tool(short, methodWord(w.d.Method), kit.To(how), how)}
	if b.Looms.Len() > 0 && w.d.Way != wayCheck {
		buttons = append(buttons, tool(kit.LoomName(b, loom), "loom", w.onLoom, loom, w.d.To.Run))
	}
	if w.d.Way != wayLater {
		buttons = append(buttons, tool(fmt.Sprint(w.corners()), "corners", w.onCorner, w.corners()))
	}
	if w.d.Way != wayCheck {
		buttons = append(buttons, tool("Go back", plural(len(openEnds(b, w.S.Lengths(), w.d.At)), "open", "open"), kit.To(back), back))
	} else {
		buttons = append(buttons, tool("One run", "walk on", w.onWay(wayRun), "walk on"))
	}
	return app.Div().Class("chips tools").Body(append(buttons, tool("Correct", "a number", kit.To(entries), entries))...)
}

func tool(label, under string, do app.EventHandler, scope ...any) app.UI {
	return app.Button().Type("button").Class("plain").OnClick(do, append(scope, label)...).Body(
		app.Text(label), app.Small().Text(under),
	)
}

// entry is the number in big numerals, what it means or what is wrong with it, and the numbers before it.
func (w *walk) entry() app.UI {
	sys, text := w.system(), w.text()
	line, class := string(sys), "both"
	switch {
	case w.wrong != "" && w.fall == nil:
		line, class = w.wrong, "both bad"
	case w.d.Zero && text == "":
		line = "now " + w.zeroNow()
	case text != "":
		typed := kit.Read(text, sys)
		if line = typed.Line; !typed.OK {
			class = "both bad"
		}
		if w.d.Zero && kit.IsZero(typed.Err) {
			line, class = "0: its end", "both"
		}
	}
	return app.Div().Class("entry").Body(
		app.Span().Class("big caret").Aria("live", "polite").Aria("label", "length").Text(text),
		app.Span().Class("grow").Body(
			app.Span().Class(class).Aria("role", "status").Text(line),
			app.Small().Class("so-far").Text(w.soFar()),
		),
		w.backButton(),
	)
}

func (w *walk) zeroNow() string {
	zero, _ := w.d.line().Start(w.system())
	return zero.Format(w.system())
}

// soFar is the number before, and how far it is in all.
func (w *walk) soFar() string {
	b, sys := w.S.B(), w.system()
	switch {
	case w.At.Mode == partTape:
		if w.d.Row > 0 && w.d.Row < len(w.d.String.Marks) {
			return fmt.Sprintf("flag %d: %s", w.d.Row, w.d.String.Marks[w.d.Row-1].Text)
		}
		return ""
	case w.d.Fix != "" || w.d.Way == wayCheck || w.d.Zero:
		return ""
	}
	var parts []string
	if typed := kit.Read(w.d.Text, sys); w.d.Way == wayMarks && typed.OK && w.d.To.chosen() {
		line := w.d.line().With(tape.Mark{Places: []string{""}, Runs: []string{""}, Text: w.d.Text})
		if since := line.Rows(sys)[len(line.Marks)-1].Since; since > 0 {
			parts = append(parts, "this run "+since.Format(sys))
		}
	}
	if n := len(w.d.Trail); n > 0 {
		if r, ok := b.Readings.Get(w.d.Trail[n-1].Reading); ok {
			parts = append(parts, "before "+r.Text)
		}
	}
	if from := start(b); from != w.d.At {
		if p, err := w.S.Graph().Path(from, w.d.At, nil, nil); err == nil && p.Measured() {
			parts = append(parts, p.Length.Format(sys)+" from "+kit.PlaceName(b, from))
		}
	}
	return strings.Join(parts, " · ")
}

// backButton leads to the number before, on the pad.
func (w *walk) backButton() app.UI {
	if w.At.Mode != partTape && (len(w.d.Trail) == 0 || w.d.Zero) {
		return nil
	}
	return app.Button().Type("button").Class("tool").Aria("label", "the number before").OnClick(w.onBack, "before").Text("‹ Back")
}
