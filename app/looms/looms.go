// Package looms has the page of the bundles: how thick each run is, what covers it, how it is laid up and pulled through
// holes; the sizes of covers on hand, what a caliper says of the wires, and whose rules say what they may carry.
package looms

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/unit"
	"loomwright/storage"
)

const pageName = "looms"

// Page returns the page.
func Page(s *session.Session) kit.Page {
	w := newWorker(s)
	return kit.Page{Name: pageName, Figure: w.figure, New: func(at kit.Addr, rev int) app.UI { return &page{S: s, At: at, Rev: rev, Work: w} }}
}

// The parts of the page, as in the mode of the address. A dot and a word may follow.
const (
	partLoom  = "loom"  // the record is a loom: what covers it
	partHoles = "holes" // the list of pass-throughs; with a record one of them
	partStock = "stock" // the sizes of covers; a number of a kind may follow, the record is a size
	partWires = "wires" // what a caliper says; with a record of one wire
	partRules = "rules" // whose rules say what a wire may carry
)

type page struct {
	app.Compo
	S    *session.Session
	At   kit.Addr
	Rev  int
	Work *worker

	at     kit.Addr // what the next ones belong to
	refuse string
	shown  int
}

// OnMount, OnNav and OnUpdate begin to pack what the page shows.
func (p *page) OnMount(ctx app.Context)  { p.Work.start(ctx, p.run()) }
func (p *page) OnNav(ctx app.Context)    { p.Work.start(ctx, p.run()) }
func (p *page) OnUpdate(ctx app.Context) { p.Work.start(ctx, p.run()) }

// run is the run whose card is open.
func (p *page) run() string {
	if p.At.Mode == "" {
		return p.At.Record
	}
	return ""
}

// rowsDrawn is how many rows a list shows before it asks whether to show more.
const rowsDrawn = 120

func (p *page) onMore(app.Context, app.Event) { p.shown += rowsDrawn }

func (p *page) took(err error) bool {
	p.refuse = ""
	if err != nil {
		p.refuse = kit.Explain(err)
	}
	return err == nil
}

// change edits one record, as it is now.
func change[T any](p *page, kind harness.Kind, all *harness.Table[T], id string, f func(*T)) {
	if old, ok := all.Get(id); ok {
		now := old
		f(&now)
		p.took(p.S.Do(storage.Put(kind, id, old, now)))
	}
}

// screen is what one part shows.
type screen struct {
	title string
	back  kit.Addr
	draw  app.UI
	body  []app.UI
	foot  []app.UI
}

// Render draws the part that the address names.
func (p *page) Render() app.UI {
	if p.at != p.At {
		p.at, p.refuse, p.shown = p.At, "", rowsDrawn
	}
	name, rest, _ := strings.Cut(p.At.Mode, ".")
	var s screen
	switch {
	case name == partLoom:
		s = p.loom()
	case name == partHoles && p.At.Record != "":
		s = p.hole()
	case name == partHoles:
		s = p.holes()
	case name == partStock && p.At.Record != "":
		s = p.size()
	case name == partStock:
		s = p.stock(rest)
	case name == partWires:
		s = p.wires()
	case name == partRules:
		s = p.rules()
	case p.At.Record != "":
		s = p.card()
	default:
		s = p.list()
	}
	f := kit.Frame{S: p.S, Title: s.title, Back: &s.back, Body: s.body, No: p.refuse, Foot: s.foot}
	if s.draw != nil {
		body := s.body
		if p.refuse != "" {
			body = append([]app.UI{kit.Note("bad", "That was not taken.", p.refuse)}, body...)
		}
		f.Whole = app.Div().Class("two").Body(s.draw,
			app.Div().Class("side").Body(app.Div().Class("scroll").Body(app.Div().Class("narrow stack").Body(body...))))
	}
	return f.UI()
}

func (p *page) mm(v float64) string { return millimetres(v, p.S.B().Settings.Unit) }

// millimetres shows a size of a loom: to a tenth of a millimetre or a hundredth of an inch.
func millimetres(v float64, sys unit.System) string {
	if sys == unit.Imperial {
		return strconv.FormatFloat(v/25.4, 'f', 2, 64) + " in"
	}
	return strconv.FormatFloat(v, 'f', 1, 64) + " mm"
}

func grams(v float64) string {
	if v < 100 {
		return strconv.FormatFloat(v, 'f', 1, 64) + " g"
	}
	return strconv.FormatFloat(v, 'f', 0, 64) + " g"
}

func number(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}

const notKnown = "unknown"

// diameter shows how thick a run is: at least so much where a wire's diameter is not known, about where it is packed
// roughly yet.
func (p *page) diameter(f loom.Facts) (text, below string) {
	d := f.Packed.Bundle.Diameter
	missing := len(f.Missing())
	switch {
	case len(f.Wires) == 0:
		return "–", "no wire"
	case d == 0:
		return notKnown, "no sizes"
	case missing > 0:
		return "> " + p.mm(d), strconv.Itoa(missing) + " unknown"
	case !p.Work.ready:
		return "≈ " + p.mm(d), "packing…"
	}
	return p.mm(d), mass(f)
}

// mass is the mass of a run in a word.
func mass(f loom.Facts) string {
	switch {
	case !f.Measured:
		return "length?"
	case len(f.Weight.Unknown) > 0:
		return "> " + grams(f.Weight.Loom)
	}
	return grams(f.Weight.Loom)
}

// coverWord is what covers a run.
func coverWord(f loom.Facts) string {
	switch {
	case f.Cover == harness.CoverOpen:
		return "no cover chosen"
	case f.Cover == harness.NoCover:
		return "bare"
	case f.Choice.OK:
		return string(f.Cover) + " " + f.Choice.Stock.Name
	case f.Packed.Bundle.Known():
		return string(f.Cover) + ": no size fits"
	}
	return string(f.Cover) + ": size unknown"
}

// list is every loom with its runs.
func (p *page) list() screen {
	b := p.S.B()
	s := screen{title: "Looms and bundles", back: p.At.On("plan")}
	all := p.Work.all()
	if !p.Work.ready && len(all) > 0 {
		s.body = append(s.body, kit.Lines("Packing the wires… until then diameters are rough, and without shields."))
	}
	drawn := 0
	group := func(id, name string, known bool) {
		var rows []app.UI
		total, open := 0.0, 0
		for i := range all {
			f := &all[i]
			if _, ok := b.Looms.Get(f.Loom); f.Loom != id && (known || ok) {
				continue
			}
			total += f.Weight.Loom
			if !f.Measured && len(f.Wires) > 0 || len(f.Weight.Unknown) > 0 {
				open++
			}
			if drawn++; drawn > p.shown {
				continue
			}
			to := p.At.On(pageName).With(f.ID)
			text, below := p.diameter(*f)
			row := kit.Row(strconv.Itoa(len(f.Wires)), kit.RunName(b, f.Run.Run), coverWord(*f), "", "", kit.To(to), to)
			if len(f.Wires) > 0 {
				row = kit.Split(row, kit.NumIn(p.At, "", text, below, "dia."+f.ID))
			}
			rows = append(rows, row)
		}
		if len(rows) == 0 {
			return
		}
		weight := grams(total)
		if open > 0 {
			weight = "> " + weight + ", " + number(open, "run") + " not all known"
		}
		s.body = append(s.body, app.H2().Class("section").Body(app.Span().Text(name), app.Span().Class("small").Body(kit.Num(p.At, weight, "weight."+id))))
		if known {
			l, _ := b.Looms.Get(id)
			to := p.At.On(pageName).With(id).In(partLoom)
			word := string(l.Cover)
			if l.Cover == harness.CoverOpen {
				word = "not chosen"
			}
			s.body = append(s.body, kit.Plain("Cover of "+name+": "+word, kit.To(to), to))
		}
		s.body = append(s.body, app.Div().Class("rows").Body(rows...))
	}
	looms := b.Looms.All()
	for i := range looms {
		group(looms[i].ID, looms[i].Name, true)
	}
	group("", "In no loom", false)
	if drawn > p.shown {
		s.body = append(s.body, kit.Plain("Show the next "+strconv.Itoa(min(rowsDrawn, drawn-p.shown)), p.onMore))
	}
	if len(all) == 0 {
		to := p.At.On("walk")
		s.body = append(s.body, app.P().Class("lede").Text("No run yet."), app.P().Text("A bundle is what lies in a run. Draw the route first."))
		s.foot = []app.UI{kit.Act("Draw the route", kit.To(to), to)}
	}
	row := func(name, under, right, mode string) app.UI {
		to := p.At.On(pageName).In(mode)
		return kit.Row("", name, under, right, "", kit.To(to), to)
	}
	s.body = append(s.body, kit.Section("What it rests on", ""), app.Div().Class("rows").Body(
		row("Pass-throughs", "holes, grommets, how the loom is pulled", strconv.Itoa(len(p.Work.looms.Holes)), partHoles),
		row("Covers, heat-shrink, grommets", "the sizes there are", stockWord(b), partStock),
		row("How thick the wires are", "a caliper beats the table", strconv.Itoa(b.Calipers.Len()), partWires),
		row("What a wire may carry", string(rulesOf(b)), "", partRules),
	))
	if len(all) > 0 {
		s.body = append(s.body, p.print()...)
	}
	return s
}

// coverChips offers the kinds of cover. open is the word for leaving it to something else.
func (p *page) coverChips(now harness.Cover, open string, on func(harness.Cover) app.EventHandler) app.UI {
	chips := []app.UI{
		kit.Choice(open, "", now == harness.CoverOpen, on(harness.CoverOpen), p.At.Record, "open"),
		kit.Choice("bare", "", now == harness.NoCover, on(harness.NoCover), p.At.Record, "none"),
	}
	for _, k := range loom.Kinds {
		chips = append(chips, kit.Choice(string(k), "", now == harness.Cover(k), on(harness.Cover(k)), p.At.Record, string(k)))
	}
	return kit.Chips(chips...)
}

// loom is what covers a loom.
func (p *page) loom() screen {
	l, ok := p.S.B().Looms.Get(p.At.Record)
	s := screen{title: "Cover of " + l.Name, back: p.At.On(pageName)}
	if !ok {
		s.title, s.body = "No such loom", []app.UI{kit.Note("", "It was deleted.", "")}
		return s
	}
	on := func(c harness.Cover) app.EventHandler {
		return func(app.Context, app.Event) {
			change(p, harness.KindLoom, &p.S.B().Looms, p.At.Record, func(l *harness.Loom) { l.Cover = c })
		}
	}
	s.body = []app.UI{app.P().Text("Over all runs of the loom; a run may have another one."), p.coverChips(l.Cover, "not chosen", on)}
	sizes := map[string]int{}
	var names []string
	for _, f := range p.Work.all() {
		if f.Loom == l.ID && f.ByLoom && len(f.Wires) > 0 {
			word := coverWord(f)
			if sizes[word] == 0 {
				names = append(names, word)
			}
			sizes[word]++
		}
	}
	var rows []app.UI
	for _, n := range names {
		rows = append(rows, app.Div().Class("term").Body(app.Span().Text(n), app.Span().Text(number(sizes[n], "run"))))
	}
	if len(rows) > 0 {
		s.body = append(s.body, kit.Section("So its runs take", ""), app.Div().Class("terms").Body(rows...))
	}
	return s
}

// letters are the letters of the wires of a bundle, by their ids.
func letters(b bundle.Bundle) (by map[string]string, order []string) {
	by = map[string]string{}
	for _, c := range b.Circles {
		if !c.Group {
			by[c.ID] = bundle.Letter(len(by))
			order = append(order, c.ID)
		}
	}
	return by, order
}
