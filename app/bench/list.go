package bench

import (
	"fmt"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/cut"
	"loomwright/calc/unit"
)

// list is a list of work, kept until the build changes.
type list struct {
	leads   bool // trim list; else cut list
	by      cut.By
	made    bool
	rev     int
	batches []cut.Batch
	open    []cut.Item // of the cut list: those whose length is not known
}

// refresh makes the list again if the build or the grouping changed.
func (l *list) refresh(s *session.Session, by cut.By) {
	if l.made && l.rev == s.Rev() && l.by == by {
		return
	}
	l.made, l.rev, l.by = true, s.Rev(), by
	if l.leads {
		l.batches, l.open = cut.TrimList(s.B(), s.Graph(), by, s.Cut), nil
		return
	}
	l.batches, l.open = cut.CutList(s.B(), s.Graph(), by, s.Cut)
}

// progress counts what is done, of how many, and names the wires that are too short now.
func (l *list) progress() (done, of int, short []string) {
	count := func(items []cut.Item) {
		for _, i := range items {
			of++
			if i.Done() != nil {
				done++
			}
			if i.Change.Short > 0 {
				short = append(short, i.Wire.Name)
			}
		}
	}
	for _, g := range l.batches {
		count(g.Items)
	}
	count(l.open)
	return done, of, short
}

// next returns the first item that can be done and is not.
func (l *list) next(sys unit.System) (cut.Item, bool) {
	for _, g := range l.batches {
		for _, i := range g.Items {
			if _, ok := target(i, sys); ok && i.Done() == nil {
				return i, true
			}
		}
	}
	return cut.Item{}, false
}

// find returns the item of a wire.
func (l *list) find(wire string) (cut.Item, bool) {
	for _, g := range l.batches {
		for _, i := range g.Items {
			if i.Wire.ID == wire {
				return i, true
			}
		}
	}
	for _, i := range l.open {
		if i.Wire.ID == wire {
			return i, true
		}
	}
	return cut.Item{}, false
}

// target is the length to cut or trim to.
func target(i cut.Item, sys unit.System) (unit.Length, bool) {
	if i.Lead != nil {
		return i.Lead.Trim(sys)
	}
	return i.Result.Sum, i.Result.Known()
}

// mark makes a wire done at a length, or not done with nil, in one edit.
func mark(s *session.Session, i cut.Item, length *unit.Length) error {
	return s.Do(wireDone(s, i.Wire, doesOf(i), length)...)
}

// tick turns a wire's tick over.
func (p *page) tick(l *list, wire string) {
	i, ok := l.find(wire)
	if !ok {
		return
	}
	if i.Done() != nil {
		if was := *i.Done(); p.do(mark(p.S, i, nil)) {
			p.S.Say(session.Notice{Text: fmt.Sprintf("%s is open again; it was done at %s.", i.Wire.Name, was.Length.Grouped(p.S.B().Settings.Unit)), Undo: true})
		}
	} else if to, ok := target(i, p.S.B().Settings.Unit); ok {
		p.do(mark(p.S, i, &to))
	}
	p.redraw()
}

// day is the day of a time, as the phone shows it.
func day(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return "on an unknown day"
	}
	return t.Local().Format("2 Jan")
}

// row is one wire of a list: a tick, and beside it what it is and how long. It keeps nothing of its own.
type row struct {
	app.Compo
	P    *page
	Work work
}

// work is what a row shows.
type work struct {
	Leads        bool
	Wire         string // its id
	Name         string
	Ends         string
	Under        string
	Size         string // empty with the colour where the heading says both
	Lead         string // the supplied lead it is made of
	Base, Tracer string
	Number       string
	Below        string
	Key          string   // what explains the number
	At           kit.Addr // of the page
	Tone         string
	Done         bool
	CanTick      bool
}

func (r *row) onTick(ctx app.Context, _ app.Event) { r.P.tick(r.P.listOf(r.Work.Leads), r.Work.Wire) }

func (r *row) onOpen(ctx app.Context, _ app.Event) {
	kit.Go(ctx, r.P.At.On("wires").With(r.Work.Wire))
}

// Render draws the row.
func (r *row) Render() app.UI {
	w := r.Work
	name, sign := w.Name+" is cut", ""
	if w.Leads {
		name = w.Name + " is trimmed"
	}
	if w.Done {
		sign = "✓"
	}
	class := "work"
	if w.Done {
		class += " done"
	}
	return app.Li().Class(class).Body(
		app.Button().Type("button").Class("tick").Aria("label", name).Aria("pressed", w.Done).Disabled(!w.CanTick && !w.Done).
			OnClick(r.onTick).Text(sign),
		app.Button().Type("button").Class("row").OnClick(r.onOpen).Body(
			app.Span().Text(w.Name),
			app.Span(),
			app.Span().Body(
				app.B().Text(w.Ends),
				r.conductor(),
				app.Small().Text(w.Under),
				r.below(),
			),
		),
		kit.NumIn(w.At, w.Tone, w.Number, r.under(), w.Key),
	)
}

// conductor is the colour and the size, where the heading above does not say it.
func (r *row) conductor() app.UI {
	if r.Work.Size == "" {
		return nil
	}
	text := " " + kit.SizeWord(r.Work.Size)
	if r.Work.Lead != "" {
		text += " · " + r.Work.Lead
	}
	return app.Small().Body(kit.Colour(r.Work.Base, r.Work.Tracer), app.Text(text))
}

// under is what stands below the number: words with numbers in them, which its card explains.
func (r *row) under() string {
	if strings.ContainsAny(r.Work.Below, "0123456789") {
		return r.Work.Below
	}
	return ""
}

func (r *row) below() app.UI {
	if r.Work.Below == "" || r.under() != "" {
		return nil
	}
	return app.Small().Class(r.Work.Tone).Text(r.Work.Below)
}

func (p *page) listOf(leads bool) *list {
	if leads {
		return &p.trim
	}
	return &p.cut
}

const windowRows = 120

func (p *page) onMore(ctx app.Context, _ app.Event) { p.window += windowRows }

// batches draws the groups of a list, at most so many rows of them.
func (p *page) batches(l *list, head func(g cut.Batch) app.UI) []app.UI {
	var out []app.UI
	left, more := p.window, 0
	for _, g := range l.batches {
		if left == 0 {
			more += len(g.Items)
			continue
		}
		items := g.Items
		if len(items) > left {
			more += len(items) - left
			items = items[:left]
		}
		left -= len(items)
		out = append(out, head(g), p.rows(items, l.by))
	}
	if more > 0 {
		out = append(out, kit.Plain(fmt.Sprintf("Show the next %d of %d more", min(more, windowRows), more), p.onMore))
	}
	return out
}

func (p *page) rows(items []cut.Item, by cut.By) app.UI {
	var rows []app.UI
	for _, i := range items {
		w := p.work(i)
		if by == cut.BySize {
			w.Size, w.Base, w.Tracer = "", "", ""
		}
		rows = append(rows, &row{P: p, Work: w})
	}
	return app.Ul().Class("rows").Body(rows...)
}
