package looms

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/unit"
)

// holes lists the pass-throughs.
func (p *page) holes() screen {
	s := screen{title: "Pass-throughs", back: p.At.On(pageName)}
	p.Work.follow()
	var rows []app.UI
	for _, h := range p.Work.looms.Holes {
		to := p.At.On(pageName).With(h.ID).In(partHoles)
		pull := p.Work.pull(h)
		right, below := notKnown, "hole"
		if h.Hole != nil {
			right = p.mm(h.Hole.MM())
		}
		rows = append(rows, kit.Row("", kit.PlaceName(p.S.B(), h.ID), number(len(h.Bundle.Wires), "wire")+", "+pullWord(h, pull), right, below, kit.To(to), to))
	}
	if len(rows) == 0 {
		s.body = []app.UI{kit.Note("", "No pass-through yet.", "It is a kind of place: put one into the run where the loom goes through a wall.")}
		return s
	}
	s.body = []app.UI{app.Div().Class("rows").Body(rows...)}
	return s
}

func (w *worker) pull(h loom.Hole) bundle.Pull {
	w.follow()
	return w.looms.Pull(h, w.together(h), w.diameter)
}

// pullWord says in a word whether the loom gets through.
func pullWord(h loom.Hole, pull bundle.Pull) string {
	switch {
	case len(h.Bundle.Wires) == 0:
		return "nothing goes through"
	case h.Hole == nil:
		return "size of the hole not known"
	case pull.Passes:
		return "it goes through"
	case pull.Room < 0:
		return "does not go through"
	}
	return "goes through as far as is known"
}

// hole is all of one pass-through.
func (p *page) hole() screen {
	b := p.S.B()
	s := screen{title: "No such pass-through", back: p.At.On(pageName).In(partHoles)}
	p.Work.follow()
	var h loom.Hole
	for _, x := range p.Work.looms.Holes {
		if x.ID == p.At.Record {
			h = x
		}
	}
	if h.ID == "" {
		s.body = []app.UI{kit.Note("", "It was deleted, or is of another kind now.", "")}
		return s
	}
	s.title = kit.PlaceName(b, h.ID)
	place := func(f func(*harness.Place)) app.EventHandler {
		return func(app.Context, app.Event) { change(p, harness.KindPlace, &p.S.B().Places, p.At.Record, f) }
	}
	s.body = []app.UI{
		p.length(h.ID, "hole", "Hole, across", h.Hole, func(v *unit.Length) { place(func(x *harness.Place) { x.Hole = v })(nil, app.Event{}) }),
		p.length(h.ID, "bore", "Grommet, inside", h.Bore, func(v *unit.Length) { place(func(x *harness.Place) { x.Bore = v })(nil, app.Event{}) }),
		kit.Chips(kit.Choice("The grommet is slit", "goes on at any time", h.Slit, place(func(x *harness.Place) { x.Slit = !x.Slit }), h.ID, "slit")),
	}
	if len(h.Bundle.Wires) == 0 {
		s.body = append(s.body, kit.Note("", "No wire goes through it yet.", ""))
		return s
	}
	pull := p.Work.pull(h)
	s.body = append(s.body, p.pulling(h, pull)...)
	chips := []app.UI{kit.Choice("the easier side", "", h.Pull == "", place(func(x *harness.Place) { x.Pull = "" }), h.ID, "easier")}
	for _, side := range h.Beside {
		chips = append(chips, kit.Choice("from "+kit.PlaceName(b, side), "", h.Pull == side, place(func(x *harness.Place) { x.Pull = side }), h.ID, side))
	}
	s.body = append(s.body, kit.Section("Pull it", ""), kit.Chips(chips...))
	for i, side := range h.Beside {
		s.body = append(s.body, kit.Section("On the side of "+kit.PlaceName(b, side), "connectors"))
		for _, end := range h.Ends(i) {
			s.body = append(s.body, p.connector(end)...)
		}
	}
	return s
}

// pulling says how the loom gets through.
func (p *page) pulling(h loom.Hole, pull bundle.Pull) (out []app.UI) {
	b := p.S.B()
	row := func(name, under, value string) app.UI {
		return app.Div().Class("term").Body(app.Span().Body(app.Text(name), app.Small().Text(under)), kit.Num(p.At, value, "pull."+h.ID))
	}
	largest, room := notKnown, notKnown
	if pull.Largest.Size > 0 {
		largest = p.mm(pull.Largest.Size)
		if h.Hole != nil {
			room = p.mm(pull.Room)
		}
	}
	from := kit.PlaceName(b, h.Beside[pull.From])
	switch {
	case h.Hole == nil:
		out = append(out, kit.Note("", "Measure the hole, and it says what goes through.", ""))
	case pull.Room < 0:
		out = append(out, kit.Note("bad", pull.Largest.Name+" does not go through.", "Finish it after pulling, pull from the other side, or make the hole wider."))
	case pull.Passes:
		out = append(out, kit.Note("good", "It goes through, pulled from "+from+".", ""))
	}
	if len(pull.Unknown) > 0 {
		out = append(out, kit.Note("warn", "Not known:", strings.Join(pull.Unknown, ", ")+"."))
	}
	out = append(out, app.Div().Class("terms").Body(
		row("The largest thing through it", pull.Largest.Name+", pulled from "+from, largest),
		row("Room", "hole less that", room)))
	if word := grommetWord(pull.Grommet); word != "" {
		out = append(out, kit.Note("", word, ""))
	}
	return out
}

func grommetWord(g bundle.GrommetOn) string {
	switch g {
	case bundle.OnBefore:
		return "Grommet: thread it on before the ends are made, seat it after pulling."
	case bundle.InPanel:
		return "Grommet: seat it in the panel first, the loom goes through it."
	case bundle.SlitOn:
		return "Grommet: put it on after pulling."
	case bundle.GrommetToo:
		return "Grommet: the bundle itself does not go through it."
	}
	return ""
}

// connector asks how wide what is finished at a place is, and whether it is finished before pulling.
func (p *page) connector(id string) []app.UI {
	x, ok := p.S.B().Places.Get(id)
	if !ok {
		return nil
	}
	switch x.Kind {
	case harness.Split, harness.Splice, harness.PassThrough: // wires only meet there
		return nil
	}
	set := func(f func(*harness.Place)) app.EventHandler {
		return func(app.Context, app.Event) { change(p, harness.KindPlace, &p.S.B().Places, id, f) }
	}
	made := x.Made == harness.Yes || x.Made == harness.Unknown && x.Kind == harness.Controller
	name := kit.PlaceName(p.S.B(), id)
	out := []app.UI{kit.Even(
		kit.Choice(name+": finished before", "", made, set(func(x *harness.Place) { x.Made = harness.Yes }), id, "before"),
		kit.Choice(name+": after pulling", "", !made, set(func(x *harness.Place) { x.Made = harness.No }), id, "after"),
	)}
	if made {
		out = append(out, p.length(id, "across", "Smallest hole that the connector of "+name+" passes", x.Across, func(v *unit.Length) { set(func(x *harness.Place) { x.Across = v })(nil, app.Event{}) }))
	}
	return out
}

// length is a field of a length; empty is not known. It becomes an edit when it is left.
func (p *page) length(id, field, label string, now *unit.Length, set func(*unit.Length)) app.UI {
	sys := p.S.B().Settings.Unit
	text := ""
	if now != nil {
		text = now.Exact(sys)
	}
	typing := kit.Typing{S: p.S, Page: pageName}
	if typed, is := typing.Text(id, field); is {
		text = typed
	}
	on := func(ctx app.Context, _ app.Event) { typing.Keep(id, field, kit.Value(ctx)) }
	done := func(ctx app.Context, _ app.Event) {
		p.enter(strings.TrimSpace(kit.Value(ctx)), typing, set)
	}
	return &kit.Text{Label: label, Value: text, Hint: "not known", Mode: "decimal", On: on, Done: done, Key: id + field}
}

// enter makes an edit of a length that was typed. What is no length stays in its field.
func (p *page) enter(text string, typing kit.Typing, set func(*unit.Length)) {
	if text == "" {
		typing.Entered()
		set(nil)
		return
	}
	typed := kit.Read(text, p.S.B().Settings.Unit)
	if !typed.OK {
		p.refuse = typed.Line
		return
	}
	typing.Entered()
	set(&typed.Length)
}
