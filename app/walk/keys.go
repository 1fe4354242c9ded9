package walk

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
)

// onKeyDown is the keyboard: signs key in, Enter and Tab go on, arrows go on and back. Fields keep their own keys, and
// buttons keep Enter.
func (w *walk) onKeyDown(ctx app.Context, e app.Event) {
	if !w.hasPad() || e.Get("ctrlKey").Bool() || e.Get("metaKey").Bool() || e.Get("altKey").Bool() {
		return
	}
	tag := strings.ToLower(e.Get("target").Get("tagName").String())
	if tag == "input" || tag == "textarea" || tag == "select" {
		return
	}
	if w.hardKey(ctx, e.Get("key").String(), e.Get("shiftKey").Bool(), tag == "button") {
		e.PreventDefault()
		w.reveal(ctx)
		w.Update() // a listener of the window draws the root again, and that looks the same
	}
}

// hasPad tells whether the part that is shown has the number pad.
func (w *walk) hasPad() bool {
	return w.At.Mode == "" && w.d.Way != wayLater || w.At.Mode == partTape
}

// hardKey takes a key of a keyboard; false if it is none of ours.
func (w *walk) hardKey(ctx app.Context, key string, shift, onButton bool) bool {
	switch key {
	case "Enter":
		if onButton {
			return false
		}
		w.onKey(ctx, kit.KeyNext)
	case "Tab":
		if w.text() == "" && w.At.Mode != partTape && w.d.Fix == "" {
			return false // nothing to take: it moves on to the buttons, as everywhere
		}
		if shift {
			w.back()
		} else {
			w.onKey(ctx, kit.KeyNext)
		}
	case "ArrowUp", "ArrowLeft":
		w.back()
	case "ArrowDown", "ArrowRight":
		w.forward()
	default:
		typed, ok := kit.Entry(w.text()).Type(key)
		if !ok {
			return false
		}
		w.quiet()
		w.setText(string(typed))
	}
	return true
}

// text is what is keyed in: at the tape, the number of the mark that is read.
func (w *walk) text() string {
	if w.At.Mode == partTape {
		if w.d.Row < len(w.d.String.Marks) {
			return w.d.String.Marks[w.d.Row].Text
		}
		return ""
	}
	return w.d.Text
}

func (w *walk) setText(text string) {
	d := w.d
	if w.At.Mode == partTape {
		switch {
		case d.Row >= len(d.String.Marks):
		case d.String.Marks[d.Row].Reading != "":
			w.wrong = "That mark is taken already. Change it under Correct."
		default:
			d.String = d.String.Typed(d.Row, text)
			d.Sure = false
		}
	} else {
		d.Text, d.Sure = text, false
	}
	w.keep(d)
}

// onKey takes a key of the pad.
func (w *walk) onKey(ctx app.Context, key string) {
	w.sync()
	if key == kit.KeyNext {
		w.next(ctx)
		w.reveal(ctx)
		return
	}
	w.quiet()
	w.setText(string(kit.Entry(w.text()).Press(key)))
}

// onBack goes back to the number before, to look at it or to key it in again.
func (w *walk) onBack(ctx app.Context, _ app.Event) {
	w.back()
	w.reveal(ctx)
}

func (w *walk) back() {
	w.quiet()
	d := w.d
	if w.At.Mode == partTape {
		d.Row = max(0, d.Row-1)
		w.keep(d)
		return
	}
	at := len(d.Trail)
	for i, s := range d.Trail {
		if s.Reading == d.Fix {
			at = i
		}
	}
	if at > 0 {
		w.keep(d.fixing(d.Trail[at-1].Reading))
	}
}

// forward goes on to the number after, and after the last one to the next to be keyed in.
func (w *walk) forward() {
	w.quiet()
	d := w.d
	if w.At.Mode == partTape {
		d.Row = min(d.Row+1, max(0, len(d.String.Marks)-1))
		w.keep(d)
		return
	}
	if d.Fix == "" {
		return
	}
	for i, s := range d.Trail {
		if s.Reading == d.Fix && i+1 < len(d.Trail) {
			w.keep(d.fixing(d.Trail[i+1].Reading))
			return
		}
	}
	w.keep(d.fixed())
}
