package wires

import (
	"fmt"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
)

// typing is what is typed here and not entered yet.
func (p *page) typing() kit.Typing { return kit.Typing{S: p.S, Page: "wires"} }

// textField is a field of a wire that becomes an edit when it is left. enter looks up what it changes, as it is then.
func (p *page) textField(wire, field, label, value, hint string, enter func(text string)) app.UI {
	if text, is := p.typing().Text(wire, field); is {
		value = text
	}
	input := func(ctx app.Context, _ app.Event) { p.typing().Keep(wire, field, kit.Value(ctx)) }
	done := func(ctx app.Context, _ app.Event) {
		text := kit.Value(ctx)
		p.typing().Entered()
		enter(text)
	}
	return kit.FieldDone(label, value, hint, input, done, wire, field)
}

// words are the fields of a wire that are typed.
func (p *page) words() sheet {
	w, ok := p.wire()
	if !ok {
		return p.nothing()
	}
	s := sheet{title: w.Name + " in words", back: p.card(w.ID), foot: p.done()}
	line := func(field, label, value, hint string, set func(w *harness.Wire, text string)) app.UI {
		return p.textField(w.ID, field, label, value, hint, func(text string) { p.enter(w.ID, text, set) })
	}
	s.body = []app.UI{
		line("function", "Function: what it is for", w.Function, "Coolant temperature", func(w *harness.Wire, t string) { w.Function = t }),
		p.textField(w.ID, "name", "Name, as on its tags", w.Name, "", func(text string) { p.rename(w.ID, text) }),
	}
	if text, is := p.typing().Text(w.ID, "name"); is && p.refuse != "" && text != w.Name {
		free := p.S.B().NextWireName()
		s.body = append(s.body, kit.Chips(
			kit.Plain("Use "+free, p.onName(w.ID, free), w.ID, free),
			kit.Plain("Leave it "+w.Name, p.onName(w.ID, w.Name), w.ID, w.Name),
		))
	}
	s.body = append(s.body, line("twist", "Twisted with the wires that have the same word here", w.Twist, "crank", func(w *harness.Wire, t string) { w.Twist = t }))
	var groups []app.UI
	for _, g := range p.twists(w) {
		under := "new"
		if g.wires > 0 {
			under = count(g.wires, "wire")
		}
		groups = append(groups, kit.Choice(g.word, under, g.word == w.Twist, p.onTwist(w.ID, g.word), w.ID, g.word))
	}
	if len(groups) > 0 {
		s.body = append(s.body, kit.Chips(groups...))
	}
	s.body = append(s.body, line("note", "Note", w.Note, "", func(w *harness.Wire, t string) { w.Note = t }))
	return s
}

// enter makes an edit of what was typed.
func (p *page) enter(id, text string, set func(w *harness.Wire, text string)) {
	w, ok := p.S.B().Wires.Get(id)
	if !ok {
		return
	}
	_, err := change(p.S, []harness.Wire{w}, func(w *harness.Wire) { set(w, strings.Join(strings.Fields(text), " ")) })
	p.took(err)
}

// rename enters another name. What is refused stays in the field.
func (p *page) rename(id, text string) {
	w, ok := p.S.B().Wires.Get(id)
	if !ok {
		return
	}
	refused, err := rename(p.S, w, text)
	if p.took(err); refused != "" {
		p.refuse = refused
		p.typing().Keep(id, "name", text)
	}
}

func (p *page) onName(id, name string) app.EventHandler {
	return func(app.Context, app.Event) {
		p.typing().Entered()
		p.rename(id, name)
	}
}

func (p *page) onTwist(id, word string) app.EventHandler {
	return func(app.Context, app.Event) {
		p.enter(id, word, func(w *harness.Wire, t string) {
			if w.Twist == t {
				t = ""
			}
			w.Twist = t
		})
	}
}

type twist struct {
	word  string
	wires int
}

// twists are the twisted groups of the build, and first one that begins with this wire if it is in none.
func (p *page) twists(w harness.Wire) []twist {
	var all []twist
	for _, e := range p.entries().all {
		word := e.wire.Twist
		if word == "" {
			continue
		}
		if i := slices.IndexFunc(all, func(t twist) bool { return t.word == word }); i >= 0 {
			all[i].wires++
		} else {
			all = append(all, twist{word, 1})
		}
	}
	if w.Twist == "" && !slices.ContainsFunc(all, func(t twist) bool { return t.word == newTwist(w) }) {
		all = append([]twist{{newTwist(w), 0}}, all...)
	}
	return all[:min(len(all), twistsShown)]
}

// twistsShown keeps the groups on one screen; others are typed.
const twistsShown = 12

func newTwist(w harness.Wire) string { return fmt.Sprintf("pair %s", w.Name) }
