package bench

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/figure"
	"loomwright/app/kit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Preferences of this phone.
const (
	prefCutBy  = "make:cut by"
	prefTrimBy = "make:trim by"
)

// grouping reads how a list is grouped; the first of choices is the usual way.
func (p *page) grouping(pref string, choices ...cut.By) cut.By {
	for _, by := range choices {
		if p.S.Device.Prefs.Get(pref) == string(by) {
			return by
		}
	}
	return choices[0]
}

func (p *page) onGroup(pref string, by cut.By) app.EventHandler {
	return func(app.Context, app.Event) { p.S.Device.Prefs.Put(pref, string(by)) }
}

func (p *page) groupChoice(label, under, pref string, by, now cut.By) app.UI {
	return kit.Choice(label, under, by == now, p.onGroup(pref, by), pref, by)
}

// cutList is the part that is done on the bench.
func (p *page) cutList() (body, foot []app.UI) {
	b, sys := p.S.B(), p.S.B().Settings.Unit
	by := p.grouping(prefCutBy, cut.BySize, cut.ByBranch)
	l := &p.cut
	l.refresh(p.S, by)
	done, of, short := l.progress()
	body = []app.UI{p.counted(), p.standing(done, of, short, "cut")}
	if of == 0 {
		return append(body,
			kit.Note("", "No wire is added yet.", "Wires that are not made of a supplied lead are cut here."),
			kit.Plain("List the wires", kit.To(p.At.On("wires")), p.At.On("wires"))), nil
	}
	body = append(body, kit.Even(
		p.groupChoice("By size", "and colour", prefCutBy, cut.BySize, by),
		p.groupChoice("By branch", "as it is laid", prefCutBy, cut.ByBranch, by)))
	var total, left unit.Length
	for _, g := range l.batches {
		total, left = total+g.Total, left+g.Left
	}
	body = append(body, app.Div().Class("line").Body(
		app.Span().Class("small").Text("Still to cut"), kit.NumIn(p.At, "num", left.Grouped(sys), "of "+total.Grouped(sys), figure.Total(by, figure.Whole)),
	))
	n := -1
	body = append(body, p.batches(l, func(g cut.Batch) app.UI {
		n++
		right := g.Total.Grouped(sys)
		switch {
		case g.Left == 0:
			right += ", all cut"
		case g.Left != g.Total:
			right = kit.Number(g.Left, sys) + " of " + right + " left"
		}
		return batchHead(b, g, by, kit.Num(p.At, count(len(g.Items), "wire", "wires")+", "+right, figure.Total(by, n)))
	})...)
	body = append(body, p.unknown(l)...)
	body = append(body, p.export("cut")...)
	return body, p.nextFoot(l)
}

// trimList is the part that is done in the car.
func (p *page) trimList() (body, foot []app.UI) {
	b := p.S.B()
	by := p.grouping(prefTrimBy, cut.ByPlace, cut.ByBranch)
	l := &p.trim
	l.leads = true
	l.refresh(p.S, by)
	done, of, short := l.progress()
	body = []app.UI{p.counted(), p.standing(done, of, short, "trimmed")}
	if of == 0 {
		return append(body,
			kit.Note("", "No supplied lead is in use.", "A wire that is made of a supplied lead is trimmed in the car, after the loom is laid in."),
			kit.Plain("List the wires", kit.To(p.At.On("wires")), p.At.On("wires"))), nil
	}
	body = append(body,
		kit.Lines("Lay the loom into the car first. Lengths are from the rear face of the controller's connector."),
		kit.Even(
			p.groupChoice("By place", "where it ends", prefTrimBy, cut.ByPlace, by),
			p.groupChoice("By branch", "where it leaves", prefTrimBy, cut.ByBranch, by)))
	body = append(body, p.batches(l, func(g cut.Batch) app.UI {
		right := count(len(g.Items), "lead", "leads")
		if g.Branch != "" {
			right = "from " + kit.PlaceName(b, g.Branch) + ", " + right
		}
		return batchHead(b, g, by, app.Text(right))
	})...)
	body = append(body, p.export("trim")...)
	return body, p.nextFoot(l)
}

// batchHead is the line above a batch.
func batchHead(b *harness.Build, g cut.Batch, by cut.By, right app.UI) app.UI {
	name := app.Span().Text(batchName(b, g))
	if by == cut.BySize {
		size := g.Size
		if size == "" {
			size = "size not known"
		}
		name = app.Span().Body(kit.Colour(g.Base, g.Tracer), app.Text(" "+kit.SizeWord(size)))
	}
	return app.H2().Class("section").Body(name, app.Span().Class("small").Body(right))
}

// counted is the choice of the part with how far each is.
func (p *page) counted() app.UI {
	b := p.S.B()
	var cutN, cutOf, trimN, trimOf int
	for _, w := range b.Wires.All() {
		if _, lead := b.Leads.Get(w.Lead); lead {
			trimOf++
			if w.Trimmed != nil {
				trimN++
			}
		} else {
			cutOf++
			if w.Cut != nil {
				cutN++
			}
		}
	}
	return p.parts(fmt.Sprintf("%d of %d", cutN, cutOf), fmt.Sprintf("%d of %d", trimN, trimOf), fmt.Sprint(b.Tags.Len()))
}

// standing says how far a list is, and what is wrong in it.
func (p *page) standing(done, of int, short []string, verb string) app.UI {
	switch n := len(short); {
	case n > 0:
		names := strings.Join(short[:min(n, 6)], ", ")
		if n > 6 {
			names += fmt.Sprintf(" and %d more", n-6)
		}
		return kit.Note("bad", count(n, "wire is", "wires are")+" too short now: "+names+".", "The route changed after the tick.")
	case of > 0 && done == of:
		return kit.Note("good", "All "+verb+".", "")
	}
	return nil
}

// unknown lists the wires whose length cannot be worked out, with what is missing.
func (p *page) unknown(l *list) []app.UI {
	if len(l.open) == 0 {
		return nil
	}
	b := p.S.B()
	rows := make([]app.UI, 0, min(len(l.open), windowRows))
	for n, i := range l.open {
		if n == windowRows {
			break
		}
		to := p.At.On("wires").With(i.Wire.ID)
		number, below, _ := answer(b, i)
		rows = append(rows, kit.Split(kit.Row(i.Wire.Name, kit.EndName(b, i.Wire.From)+" > "+kit.EndName(b, i.Wire.To), missing(b, i.Result), "", "", kit.To(to), to), kit.NumIn(p.At, "", number, below, figureKey(i))))
	}
	out := []app.UI{kit.Section("Not known yet", count(len(l.open), "wire", "wires")),
		kit.Lines("These are in no total above."), app.Div().Class("rows").Body(rows...)}
	if n := len(l.open) - len(rows); n > 0 {
		out = append(out, kit.Lines(fmt.Sprintf("and %d more", n)))
	}
	return out
}

// nextFoot is the next wire to do and the tap that does it.
func (p *page) nextFoot(l *list) []app.UI {
	b, sys := p.S.B(), p.S.B().Settings.Unit
	i, ok := l.next(sys)
	if !ok {
		return nil
	}
	to, _ := target(i, sys)
	w := p.work(i)
	verb := "cut to"
	if l.leads {
		verb = "trimmed to"
	}
	other := p.At.With(i.Wire.ID)
	return []app.UI{
		app.Div().Class("upnext").Body(
			app.Span().Class("small").Body(
				kit.Colour(i.Base, i.Tracer), app.Text(" "+kit.SizeWord(w.Size)+", "+w.Ends+", "+batchWhere(b, i)),
			),
			kit.Plain("Other length", kit.To(other), other),
		),
		kit.Act(fmt.Sprintf("%s %s %s", i.Wire.Name, verb, to.Grouped(sys)), p.onNext(l, i.Wire.ID), i.Wire.ID, l.leads),
	}
}

// batchWhere says where a wire lies.
func batchWhere(b *harness.Build, i cut.Item) string {
	if i.Branch == "" || i.Branch == i.Far {
		return kit.PlaceName(b, i.Far)
	}
	return "from " + kit.PlaceName(b, i.Branch)
}

func (p *page) onNext(l *list, wire string) app.EventHandler {
	return func(app.Context, app.Event) { p.tick(l, wire) }
}

// other asks for the length that a wire was really cut or trimmed to.
func (p *page) other(l *list, w harness.Wire) app.UI {
	b, sys := p.S.B(), p.S.B().Settings.Unit
	lead := p.At.Mode == partTrim
	by := cut.BySize
	if lead {
		by = cut.ByPlace
	}
	l.leads = lead
	l.refresh(p.S, by)
	i, _ := l.find(w.ID)
	line := kit.Read(string(p.entry), sys).Line
	var needs app.UI
	if to, ok := target(i, sys); ok && p.entry == "" {
		line, needs = "", kit.Num(p.At, "it needs "+to.Grouped(sys), figureKey(i))
	}
	why := p.failed
	return app.Div().Class("side").Body(
		app.Div().Class("scroll").Body(
			app.P().Class("lede").Text(kit.EndName(b, w.From)+" > "+kit.EndName(b, w.To)),
			needs,
			app.P().Class("bad").Text(why),
			kit.Lines("Key in what the tape says now. A later change of the route is compared with it."),
		),
		app.Div().Class("entry").Body(p.entry.Shown(sys, line)),
		kit.Keys(sys, "Done", p.onLength),
	)
}

// onLength is the pad of other.
func (p *page) onLength(ctx app.Context, key string) {
	if key != kit.KeyNext {
		p.press(key)
		return
	}
	lead := p.At.Mode == partTrim
	l := p.listOf(lead)
	i, ok := l.find(p.At.Record)
	typed := kit.Read(string(p.entry), p.S.B().Settings.Unit)
	switch {
	case !ok:
		p.failed = "This wire is not on the list any more. Nothing was changed."
	case !typed.OK:
		p.failed = typed.Line
	default:
		if p.do(mark(p.S, i, &typed.Length)) {
			p.keyed()
			kit.Go(ctx, p.At.On(pageName).In(p.At.Mode))
		}
	}
}
