package wires

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
)

// rowsDrawn is how many rows a list draws at a time. Our choice: more would keep a tap waiting on a slow phone.
const rowsDrawn = 120

// set changes what the list shows.
func (p *page) set(f filter) {
	p.filter, p.shown, p.scroll = f, rowsDrawn, 0
	f.save(p.S)
}

func (p *page) onSearch(ctx app.Context, _ app.Event) {
	f := p.filter
	f.Query = kit.Value(ctx)
	p.set(f)
}

func (p *page) onFilters(app.Context, app.Event) { p.opened = !p.opened }
func (p *page) onMore(app.Context, app.Event)    { p.shown += rowsDrawn }
func (p *page) onAll(app.Context, app.Event)     { p.set(filter{Query: p.filter.Query}) }

// onPlace shows the wires that end at a place.
func (p *page) onPlace(_ app.Context, place string) {
	f := p.filter
	f.Place = place
	p.set(f)
}

func (p *page) onSelect(app.Context, app.Event) {
	if p.ticks == nil {
		p.ticks = map[string]bool{}
	} else {
		p.ticks = nil
	}
	saveTicks(p.S, p.ticks)
}

// onTick ticks all that the list shows, or if they all are, none of them.
func (p *page) onTick(app.Context, app.Event) {
	found := p.index.find(p.filter, p.judge.problem)
	all := true
	for _, e := range found {
		all = all && p.ticks[e.wire.ID]
	}
	for _, e := range found {
		if all {
			delete(p.ticks, e.wire.ID)
		} else {
			p.ticks[e.wire.ID] = true
		}
	}
	saveTicks(p.S, p.ticks)
}

// tap opens a wire, or ticks it.
func (p *page) tap(ctx app.Context, id string) {
	if p.ticks == nil {
		if paper := scrolling(); paper.Truthy() {
			p.scroll = paper.Get("scrollTop").Float()
		}
		kit.Go(ctx, p.card(id))
		return
	}
	if p.ticks[id] {
		delete(p.ticks, id)
	} else {
		p.ticks[id] = true
	}
	saveTicks(p.S, p.ticks)
}

// wires is the list.
func (p *page) wires() sheet {
	b := p.S.B()
	s := sheet{title: "Wires", back: p.At.On("plan"), sketch: &kit.Sketch{OnPlace: p.onPlace}}
	if p.filter.Place != "" {
		s.sketch.Places = []string{p.filter.Place}
	}
	if b.Wires.Len() == 0 {
		s.body, s.foot = p.noWires()
		return s
	}
	found := p.index.find(p.filter, p.judge.problem)
	s.body = []app.UI{
		kit.Field("Search", p.filter.Query, "name, function, place, colour", p.onSearch),
		p.chips(),
	}
	if p.opened {
		s.body = append(s.body, p.filters()...)
	}
	told := count(len(p.index.all), "wire")
	if len(found) < len(p.index.all) {
		told = fmt.Sprintf("%d of %s", len(found), told)
	}
	s.body = append(s.body, app.Div().Class("small").Aria("live", "polite").Text(told), p.rows(found))
	if len(found) > p.shown {
		s.body = append(s.body, kit.Plain(fmt.Sprintf("Show the next %d", min(rowsDrawn, len(found)-p.shown)), p.onMore))
	}
	switch {
	case p.opened:
		s.foot = []app.UI{kit.Act("Show "+count(len(found), "wire"), p.onFilters)}
	case p.ticks == nil:
		s.foot = []app.UI{p.newButton()}
	default:
		n := len(p.targets())
		s.foot = []app.UI{kit.ActIf(n > 0, "Change "+count(n, "wire"), "Tick the wires to change", kit.To(p.list().In(partMany)), p.list())}
	}
	return s
}

func (p *page) noWires() (body, foot []app.UI) {
	body = []app.UI{app.P().Class("lede").Text("No wires yet.")}
	if p.S.B().Places.Len() < 2 {
		body = append(body, app.P().Text("A wire leads from one place to another. Draw the route first: the places, and the runs between them."))
		return body, []app.UI{kit.Act("Draw the route", kit.To(p.At.On("walk")), p.At.On("walk"))}
	}
	body = append(body, app.P().Text("A new wire takes two taps: where it starts, and where it ends. Size, colour and terminals can follow at any time."))
	return body, []app.UI{p.newButton()}
}

// chips are what is tapped above the list.
func (p *page) chips() app.UI {
	f := p.filter
	label := "Filter"
	if n := f.chosen(); n > 0 {
		label = fmt.Sprintf("Filter (%d)", n)
	}
	buttons := []app.UI{
		app.Button().Type("button").Class("plain").Aria("expanded", p.opened).OnClick(p.onFilters).Text(label),
		kit.Choice("Select several", "", p.ticks != nil, p.onSelect),
	}
	if p.ticks != nil {
		buttons = append(buttons, kit.Plain("All shown", p.onTick))
	}
	if f.chosen() > 0 {
		buttons = append(buttons, kit.Plain("No filter", p.onAll))
	}
	if f.Place != "" {
		without := f
		without.Place = ""
		buttons = append(buttons, kit.Choice("at "+kit.PlaceName(p.S.B(), f.Place), "", true, p.onFilter(without), without))
	}
	return kit.Chips(buttons...)
}

func (p *page) onFilter(f filter) app.EventHandler {
	return func(app.Context, app.Event) {
		f.Query = p.filter.Query
		p.set(f)
	}
}

// filters are the chips to choose what the list shows, each group one line.
func (p *page) filters() []app.UI {
	b := p.S.B()
	chip := func(label, under string, chosen bool, set func(f *filter)) app.UI {
		f := p.filter
		set(&f)
		return kit.Choice(label, under, chosen, p.onFilter(f), f)
	}
	toggle := func(now, value string) string {
		if now == value {
			return ""
		}
		return value
	}
	f := p.filter
	var kinds, problems, looms, sizes []app.UI
	for _, k := range []struct{ value, label string }{{kindAdded, "Added"}, {kindLead, "Supplied lead"}} {
		kinds = append(kinds, chip(k.label, "", f.Kind == k.value, func(f *filter) { f.Kind = toggle(f.Kind, k.value) }))
	}
	for _, k := range []struct{ value, label string }{
		{tooShort, "Too short"}, {noRoute, "No route"}, {notMeasured, "Not measured"}, {notTagged, "Not tagged"}, {notCut, "Not cut"},
	} {
		problems = append(problems, chip(k.label, "", f.Problem == k.value, func(f *filter) { f.Problem = toggle(f.Problem, k.value) }))
	}
	for _, l := range b.Looms.All() {
		looms = append(looms, chip(kit.LoomName(b, l.ID), "", f.Loom == l.ID, func(f *filter) { f.Loom = toggle(f.Loom, l.ID) }))
	}
	for _, size := range p.index.sizes {
		sizes = append(sizes, chip(kit.SizeWord(size), "", f.Size == size, func(f *filter) { f.Size = toggle(f.Size, size) }))
	}
	out := []app.UI{kit.Chips(kinds...), kit.Chips(problems...)}
	if len(looms) > 0 {
		out = append(out, kit.Chips(looms...))
	}
	if len(sizes) > 0 {
		out = append(out, kit.Chips(sizes...))
	}
	return out
}

// rows draws the first of what was found.
func (p *page) rows(found []*entry) app.UI {
	if len(found) == 0 {
		return app.P().Text("No wire is like that.")
	}
	found = found[:min(len(found), p.shown)]
	return app.Div().Class("rows").Body(app.Range(found).Slice(func(i int) app.UI {
		e := found[i]
		v := p.judge.verdict(e.wire)
		return &row{
			Page: p, ID: e.wire.ID, Name: e.wire.Name, Function: functionOf(e.wire), Ends: e.ends, Size: e.size,
			Base: e.base, Tracer: e.tracer, Number: v.number, Below: v.below, Bad: v.problem != "",
			Selecting: p.ticks != nil, Ticked: p.ticks[e.wire.ID],
		}
	}))
}

func functionOf(w harness.Wire) string {
	if w.Function == "" {
		return "no function yet"
	}
	return w.Function
}

// row is one wire of the list.
type row struct {
	app.Compo
	Page               *page
	ID, Name           string
	Function, Ends     string
	Size, Base, Tracer string
	Number, Below      string
	Bad                bool
	Selecting, Ticked  bool
}

func (r *row) onTap(ctx app.Context, _ app.Event) { r.Page.tap(ctx, r.ID) }

// Render draws it.
func (r *row) Render() app.UI {
	b := app.Button().Type("button").Class("row wire").OnClick(r.onTap)
	if r.Selecting {
		b = b.Aria("pressed", r.Ticked)
	}
	class := ""
	if r.Bad {
		class = "bad"
	}
	size := kit.SizeWord(r.Size)
	if size == "" {
		size = "no size"
	}
	return b.Body(
		app.Span().Text(r.Name),
		app.Span().Body(
			app.B().Text(r.Function),
			app.Small().Text(r.Ends),
			app.Small().Body(app.Text(size+" · "), kit.Colour(r.Base, r.Tracer)),
		),
		app.Span().Class(class).Body(app.Text(r.Number), app.Small().Text(r.Below)),
	)
}

// onBringBack undeletes a wire.
func (p *page) onBringBack(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		if p.took(undelete(p.S, id)) {
			p.S.Say(session.Notice{Text: "It is back.", Undo: true})
		}
	}
}
