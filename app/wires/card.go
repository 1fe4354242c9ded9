package wires

import (
	"fmt"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
)

// wireCard is all of one wire.
func (p *page) wireCard() sheet {
	w, ok := p.wire()
	if !ok {
		return p.nothing()
	}
	a := answerTo(p.S, w)
	s := sheet{title: w.Name + " " + functionOf(w), back: p.list(), sketch: p.ways()}
	s.body = []app.UI{p.pair(w), p.makeup(w), p.bigAnswer(a)}
	s.body = append(s.body, p.remark(a.note)...)
	s.body = append(s.body, p.missing(a)...)
	s.body = append(s.body, p.mendRows(w, a)...)
	for _, r := range a.more {
		s.body = append(s.body, p.remark(r)...)
	}
	if !p.wide() && len(a.result.Path.Runs) > 0 {
		large := p.At.In(partSketch)
		s.body = append(s.body, kit.Plain("See its way on the sketch", kit.To(large), large))
	}
	s.body = append(s.body, p.sumOf(a)...)
	s.body = append(s.body, p.electric(w.ID))
	s.body = append(s.body, p.more(w)...)
	s.foot = p.next(w, a)
	return s
}

// pair is both ends; a tap changes one.
func (p *page) pair(w harness.Wire) app.UI {
	return app.Div().Class("pair").Body(
		p.endButton(w, harness.FromEnd), app.Span().Aria("hidden", true).Text("→"), p.endButton(w, harness.ToEnd))
}

func (p *page) endButton(w harness.Wire, which harness.TagEnd) app.UI {
	b := p.S.B()
	e := end(w, which)
	to := p.At.In(endPart(which))
	place, under := kit.EndName(b, e), ""
	if e.Joint == "" {
		id, _ := b.EndPlace(e)
		if _, lives := b.Places.Get(id); lives {
			to = p.At.In(endPart(which) + "." + id)
		}
		place = kit.PlaceName(b, id)
		if under = kit.TerminalName(b, e.Terminal); under == "" {
			under = "no terminal yet"
		}
	} else if j, ok := b.Joints.Get(e.Joint); ok {
		under = "at " + kit.PlaceName(b, j.Place)
		to = p.At.In(endPart(which) + "." + j.Place)
	}
	word := "from"
	if which == harness.ToEnd {
		word = "to"
	}
	return app.Button().Type("button").Aria("label", word+" "+place+" "+under).OnClick(kit.To(to), to).Body(
		app.B().Text(place), app.Text(under))
}

// makeup is size, colour and looms.
func (p *page) makeup(w harness.Wire) app.UI {
	b := p.S.B()
	size, _ := tag.Conductor(b, w)
	size = kit.SizeWord(size)
	if size == "" {
		size = "no size"
	}
	c := colourOf(b, w)
	looms := "any loom"
	if len(w.Looms) > 0 {
		looms = loomNames(b, w.Looms)
	}
	to := p.At.In(partColour)
	return app.Div().Class("chips makeup").Body(
		kit.Choice(size, "size", false, kit.To(p.At.In(partSize)), p.At.In(partSize)),
		app.Button().Type("button").Class("plain").OnClick(kit.To(to), to).Body(kit.Colour(c.Base, c.Tracer), app.Small().Text("colour")),
		kit.Choice(looms, "loom", false, kit.To(p.At.In(partLooms)), p.At.In(partLooms)),
	)
}

func (p *page) bigAnswer(a answer) app.UI {
	class := "big"
	if a.word {
		class += " word"
	}
	if a.bad {
		class += " bad"
	}
	var beside []app.UI
	for _, text := range a.beside {
		beside = append(beside, app.Div().Text(text))
	}
	return kit.NumBox(p.At, "fig line mid", a.key, app.Span().Class(class).Text(a.big), app.Div().Class("both").Body(beside...))
}

func (p *page) remark(r remark) []app.UI {
	if r == (remark{}) {
		return nil
	}
	if r.key == "" {
		return []app.UI{kit.Note(r.tone, r.strong, r.rest)}
	}
	return []app.UI{kit.NumBox(p.At, "note "+r.tone, r.key, app.B().Text(r.strong), app.Text(" "+r.rest))}
}

// missing says by name what is missing, each with the way to it.
func (p *page) missing(a answer) []app.UI {
	b := p.S.B()
	if e := a.result.Problem; e != nil {
		j := wayJump(p.At, e)
		return []app.UI{kit.Note("warn", kit.NoWay(b, e), ""), kit.Plain(j.word, kit.To(j.to), j.to)}
	}
	var rows []app.UI
	for _, id := range a.result.Missing {
		r, _ := b.Runs.Any(id)
		k, _ := p.S.Lengths().Run(id)
		to := measureAt(p.At, id)
		rows = append(rows, kit.Row("", kit.RunName(b, r), kit.NotMeasured(b, k), "measure", "", kit.To(to), to))
	}
	if len(rows) == 0 {
		return nil
	}
	return []app.UI{app.Div().Class("rows").Body(rows...)}
}

// sumOf is the table of the length: a tap on a line shows where it comes from.
func (p *page) sumOf(a answer) []app.UI {
	if len(a.lines) == 0 {
		return nil
	}
	title := "How it adds up"
	if !a.result.Known() {
		title = "Known so far"
	}
	var rows []app.UI
	for _, l := range a.lines {
		if l.sum {
			rows = append(rows, kit.NumBox(p.At, "term sum", l.key, app.Span().Text(l.name), app.Span().Text(l.value)))
			continue
		}
		rows = append(rows, kit.NumBox(p.At, "term "+string(l.term.Group), l.key,
			app.Span().Body(app.Text(l.name), app.Small().Text(l.term.Reason)), app.Span().Text(l.value)))
	}
	return []app.UI{kit.Section(title, unitWord(p.S.B().Settings.Unit)), app.Div().Class("terms").Body(rows...),
		kit.Lines("Tap a number to see where it comes from.")}
}

// more is what is not seen at first.
func (p *page) more(w harness.Wire) []app.UI {
	b := p.S.B()
	row := func(name, under, part string) app.UI {
		to := p.At.In(part)
		return kit.Row("", name, under, "→", "", kit.To(to), to)
	}
	lead := "none: it is made new"
	if l, ok := b.Leads.Get(w.Lead); ok {
		lead = strings.TrimPrefix(strings.TrimSpace(l.Legend+", "+leadLength(b, l)), ", ")
	} else if w.Lead != "" {
		lead = "it was deleted"
	}
	via := "the shortest way"
	if len(w.Via) > 0 {
		var names []string
		for _, id := range w.Via {
			names = append(names, kit.PlaceName(b, id))
		}
		via = strings.Join(names, ", ")
	}
	words := []string{}
	if w.Twist != "" {
		words = append(words, "twisted: "+w.Twist)
	}
	if w.Note != "" {
		words = append(words, w.Note)
	}
	if len(words) == 0 {
		words = []string{"function, name, twist, note"}
	}
	out := []app.UI{
		kit.Section("This wire", ""),
		app.Div().Class("rows").Body(
			row("Function, name and note", strings.Join(words, " · "), partWords),
			row("Supplied lead", lead, partLead),
			row("Must pass", via, partVia),
		),
	}
	out = append(out, p.tags(w)...)
	return append(out, kit.Chips(
		kit.Plain("Another like this", p.onAlike(w.ID), w.ID),
		kit.Danger("Delete "+w.Name, p.onDelete(w.ID), w.ID),
	))
}

// tags are the codes of its ends.
func (p *page) tags(w harness.Wire) []app.UI {
	b := p.S.B()
	var out []app.UI
	for _, t := range b.Tags.All() {
		if t.On == harness.KindWire && t.Subject == w.ID && !t.Retired {
			e := end(w, t.End)
			out = append(out, app.Div().Class("line").Body(
				app.Span().Class("num").Text(tag.Format(t.Code)), app.Span().Class("small").Text("tag at "+kit.EndName(b, e))))
		}
	}
	if ends := untagged(b, w.ID); len(ends) > 0 {
		out = append(out, kit.Plain(fmt.Sprintf("Make %s", count(len(ends), "missing tag")), p.onTags(w.ID), w.ID))
	}
	return out
}

func (p *page) onTags(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		changes, err := tagChanges(p.S, id, untagged(p.S.B(), id)...)
		if err == nil {
			err = p.S.Do(changes...)
		}
		p.took(err)
	}
}

func (p *page) onAlike(id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w, ok := p.S.B().Wires.Get(id)
		if !ok {
			return
		}
		made, err := create(p.S, alike(p.S.B(), w))
		if !p.took(err) {
			return
		}
		now, _ := p.S.B().Wires.Get(made)
		p.S.Say(session.Notice{Tone: "good", Text: fmt.Sprintf("%s is made like %s. Its function and terminals are yours to set.", now.Name, w.Name), Undo: true})
		kit.Go(ctx, p.card(made).In(partWords))
	}
}

func (p *page) onDelete(id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w, ok := p.S.B().Wires.Get(id)
		if ok && p.took(remove(p.S, []harness.Wire{w})) {
			p.S.Say(session.Notice{Text: w.Name + " was deleted. Its name does not come back on another wire.", Undo: true})
			kit.Go(ctx, p.list())
		}
	}
}

// next is the one next thing: what the wire lacks, else the next wire of the list.
func (p *page) next(w harness.Wire, a answer) []app.UI {
	do := func(word string, to kit.Addr) []app.UI { return []app.UI{kit.Act(word, kit.To(to), to)} }
	b := p.S.B()
	switch {
	case a.result.Problem != nil:
		j := wayJump(p.At, a.result.Problem)
		return do(j.word, j.to)
	case len(a.result.Missing) > 0:
		r, _ := b.Runs.Any(a.result.Missing[0])
		return do("Measure "+kit.RunName(b, r), measureAt(p.At, r.ID))
	case len(a.result.Loose) > 0:
		at, _ := b.EndPlace(w.From)
		return do("Arrange the panel", p.At.On("devices").With(at))
	case a.lead && a.big == "not measured":
		return do("Enter the length of the lead", p.At.In(partLead))
	}
	switch size, _ := tag.Conductor(b, w); {
	case w.Function == "":
		return do("Say what it is for", p.At.In(partWords))
	case size == "":
		return do("Choose its size", p.At.In(partSize))
	}
	if n, ok := p.after(w.ID); ok {
		return do("Next: "+n.Name+" "+functionOf(n), p.card(n.ID))
	}
	return do("All wires", p.list())
}

// after is the wire after another in the list.
func (p *page) after(id string) (harness.Wire, bool) {
	if p.filter == (filter{}) {
		all := p.S.B().Wires.All()
		i := slices.IndexFunc(all, func(w harness.Wire) bool { return w.ID == id }) + 1
		if i == 0 || i == len(all) {
			return harness.Wire{}, false
		}
		return all[i], true
	}
	found := p.search()
	for i, e := range found {
		if e.wire.ID == id && i+1 < len(found) {
			return found[i+1].wire, true
		}
	}
	return harness.Wire{}, false
}

// large is its way on the sketch, on a phone.
func (p *page) large() sheet {
	w, ok := p.wire()
	if !ok {
		return p.nothing()
	}
	var names []string
	path, err := p.S.Graph().Wire(w)
	if err == nil {
		for _, id := range path.Places {
			names = append(names, kit.PlaceName(p.S.B(), id))
		}
	}
	return sheet{title: w.Name + " on the sketch", back: p.card(w.ID), sketch: p.ways(), above: true, class: "full",
		body: []app.UI{app.P().Text(strings.Join(names, " → "))},
		foot: []app.UI{kit.Act("Back to the wire", kit.To(p.card(w.ID)), p.card(w.ID))}}
}
