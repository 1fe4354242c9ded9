package wires

import (
	"cmp"
	"fmt"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
)

// rowsDrawn is how many rows a list shows before it asks whether to show more. The first rowsFirst are drawn with the
// tap, the others a few at a time as long as no other tap comes. Our choice: all at once would keep a tap waiting on a
// slow phone, and the first fill the screen.
const (
	rowsDrawn = 120
	rowsFirst = 24
	rowsPause = 60 * time.Millisecond // leaves the browser time to paint and to take a tap in between
)

// set changes what the list shows.
func (p *page) set(ctx app.Context, f filter) {
	p.filter, p.shown, p.drawn = f, rowsDrawn, rowsFirst
	f.save(p.S)
	p.grow(ctx)
}

// grow draws the rows that are not drawn yet.
func (p *page) grow(ctx app.Context) {
	p.growth++
	mine := p.growth
	if p.drawn >= p.found {
		return
	}
	var more func(ctx app.Context)
	more = func(ctx app.Context) {
		if mine == p.growth && p.drawn < p.found {
			p.drawn += rowsFirst
			ctx.After(rowsPause, more)
		}
	}
	ctx.After(rowsPause, more)
}

func (p *page) onSearch(ctx app.Context, _ app.Event) {
	f := p.filter
	f.Query = kit.Value(ctx)
	p.set(ctx, f)
}

func (p *page) onFilters(app.Context, app.Event)   { p.opened = !p.opened }
func (p *page) onAll(ctx app.Context, _ app.Event) { p.set(ctx, filter{Query: p.filter.Query}) }

func (p *page) onMore(ctx app.Context, _ app.Event) {
	p.shown += rowsDrawn
	p.drawn += rowsFirst
	p.grow(ctx)
}

// onPlace shows the wires that end at a place.
func (p *page) onPlace(ctx app.Context, place string) {
	f := p.filter
	f.Place = place
	p.set(ctx, f)
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
	found := p.search()
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
		p.growth++ // no more rows while another part is shown
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
	found := p.search()
	s.body = []app.UI{
		kit.Field("Search", p.filter.Query, "name, function, place, colour", p.onSearch),
		p.chips(),
	}
	if p.opened {
		s.body = append(s.body, p.filters()...)
	}
	told := count(len(p.entries().all), "wire")
	if len(found) < len(p.entries().all) {
		told = fmt.Sprintf("%d of %s", len(found), told)
	}
	s.body = append(s.body, app.Div().Class("small").Aria("live", "polite").Text(told), p.rows(found))
	if len(found) > p.shown && p.drawn >= p.shown {
		s.body = append(s.body, kit.Plain(fmt.Sprintf("Show the next %d", min(rowsDrawn, len(found)-p.shown)), p.onMore))
	}
	switch {
	case p.opened:
		s.foot = []app.UI{kit.Act("Show "+count(len(found), "wire"), p.onFilters)}
	case p.ticks == nil:
		s.foot = []app.UI{p.newButton()}
	default:
		n := len(p.targets())
		s.foot = []app.UI{kit.ActIf(n > 0, "Change "+count(n, "wire"), "Tick the wires to change", kit.To(p.list().In(partMany)), p.list().In(partMany))}
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
		kit.Choice("Select", "", p.ticks != nil, p.onSelect),
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
	return func(ctx app.Context, _ app.Event) {
		f.Query = p.filter.Query
		p.set(ctx, f)
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
	for _, size := range p.entries().sizes {
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
	p.found = min(len(found), p.shown)
	found = found[:min(p.found, p.drawn)]
	at := p.list()
	return app.Div().Class("rows").Body(app.Range(found).Slice(func(i int) app.UI {
		e := found[i]
		v := p.judge.of(p.S).verdict(e.wire)
		return &row{Page: p, ID: e.wire.ID, Ticked: p.ticks[e.wire.ID], Text: rowText{
			Name: e.wire.Name, Function: functionOf(e.wire), Ends: e.ends, Size: e.size, Base: e.base, Tracer: e.tracer,
		}, Number: rowNumber{At: at, Text: v.number, Below: v.below, Bad: v.problem != "", Key: v.key}}
	}))
}

func functionOf(w harness.Wire) string {
	if w.Function == "" {
		return "no function yet"
	}
	return w.Function
}

// row is one wire of the list: what can be tapped, around what is read.
type row struct {
	app.Compo
	Page   *page
	ID     string
	Ticked bool
	Text   rowText
	Number rowNumber
}

func (r *row) onTap(ctx app.Context, _ app.Event) { r.Page.tap(ctx, r.ID) }

// Render draws it.
func (r *row) Render() app.UI {
	b := app.Button().Type("button").Class("pick").OnClick(r.onTap)
	if r.Ticked {
		b = b.Aria("pressed", true)
	}
	return kit.Split(b.Body(&rowBody{Text: r.Text}), &number{Of: r.Number})
}

// rowText is what is read of a wire.
type rowText struct {
	Name, Function, Ends string
	Size, Base, Tracer   string
}

// rowNumber is the number of a row: what it shows, and what explains it.
type rowNumber struct {
	At               kit.Addr
	Text, Below, Key string
	Bad              bool
}

// number draws it. It too is left alone by a tick.
type number struct {
	app.Compo
	Of rowNumber
}

// Render draws it.
func (n *number) Render() app.UI {
	class := ""
	if n.Of.Bad {
		class = "bad"
	}
	return kit.NumIn(n.Of.At, class, n.Of.Text, n.Of.Below, n.Of.Key)
}

// rowBody draws it. It is a component of its own so that a tick does not draw it again.
type rowBody struct {
	app.Compo
	Text rowText
}

// Render draws it.
func (r *rowBody) Render() app.UI {
	t := r.Text
	return app.Span().Class("row wire alone").Body(
		app.Span().Text(t.Name),
		app.Span().Body(
			app.B().Text(t.Function),
			app.Small().Text(t.Ends),
			app.Small().Body(app.Text(cmp.Or(kit.SizeWord(t.Size), "no size")+" · "), &colour{Base: t.Base, Tracer: t.Tracer}),
		),
	)
}

// colour is a swatch with its letters, drawn again only for another colour.
type colour struct {
	app.Compo
	Base, Tracer string
}

// Render draws it.
func (c *colour) Render() app.UI { return kit.Colour(c.Base, c.Tracer) }

// onBringBack undeletes a wire.
func (p *page) onBringBack(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		if p.took(undelete(p.S, id)) {
			p.S.Say(session.Notice{Text: "It is back.", Undo: true})
		}
	}
}
