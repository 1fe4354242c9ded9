package bench

import (
	"math"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/supply"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// shopList is what is bought, kept until the build changes.
type shopList struct {
	made  bool
	build string
	rev   int
	all   []supply.Line
}

func (p *page) lines() []supply.Line {
	if k := &p.shop; !k.made || k.rev != p.S.Rev() || k.build != p.S.ID() {
		p.shop = shopList{true, p.S.ID(), p.S.Rev(), supply.Shop(p.S.Supply())}
	}
	return p.shop.all
}

// amount is an amount of a line, with its unit.
func amount(l *supply.Line, v float64) string {
	if l.Metres {
		return unit.Shown(math.Round(v*100)/100) + " m"
	}
	return unit.Shown(v)
}

// lineStep is the id of the tick of a line: it is in the bag.
func lineStep(l *supply.Line) string {
	return strings.Join([]string{"buy", string(l.Sort), l.Name, l.Base, l.Tracer, l.Why}, " ")
}

// enough reports whether what was ticked is as much as is bought now.
func enough(was string, l *supply.Line) bool {
	if was == amount(l, l.Buy) {
		return true
	}
	v, ok := unit.ParseAmount(strings.TrimSuffix(was, " m"), 0, math.MaxFloat64)
	return ok && v >= l.Buy && strings.HasSuffix(was, " m") == l.Metres
}

func lineName(l *supply.Line) string {
	if l.Base == "" {
		return l.Name
	}
	return kit.SizeWord(l.Name) + " " + unit.Colour{Base: l.Base, Tracer: l.Tracer}.String()
}

// shopping is what to buy. A tick says that it is there; one that was ticked for less is open again.
func (p *page) shopping(f *kit.Frame) {
	f.Title = "Shopping"
	f.Body = []app.UI{p.counted()}
	all := p.lines()
	if len(all) == 0 {
		f.Body = append(f.Body, kit.Note("", "Nothing to buy yet.", "Plan wires first."))
		return
	}
	var last supply.Sort
	var rows []app.UI
	flush := func() {
		if len(rows) > 0 {
			f.Body = append(f.Body, kit.Section(string(last), strconv.Itoa(len(rows))), app.Div().Class("rows").Body(rows...))
		}
		rows = nil
	}
	got := 0
	for i := range all {
		l := &all[i]
		if l.Sort != last {
			flush()
			last = l.Sort
		}
		mark, under := "○", l.Why
		switch t, ok := p.S.B().Ticks.Get(harness.TickID(lineStep(l))); {
		case ok && enough(t.What, l):
			mark = "✓"
			got++
		case ok:
			mark, under = "!", "was "+t.What
		}
		buy := amount(l, l.Buy)
		if l.Missing != "" {
			under = strings.TrimPrefix(under+"; not known: "+l.Missing, "; ")
			if l.Buy == 0 {
				buy = "?"
			}
		}
		rows = append(rows, kit.Split(kit.Row(mark, lineName(l), under, "", "", p.onGot(lineStep(l), amount(l, l.Buy), mark == "✓"), lineStep(l), amount(l, l.Buy), mark), kit.NumIn(p.At, "", buy, "", "buy."+strconv.Itoa(i))))
	}
	flush()
	head := kit.Lines(strconv.Itoa(got) + " of " + strconv.Itoa(len(all)) + " are here. A tap on a line ticks it; a tap on its number says how it comes about.")
	f.Body = append([]app.UI{f.Body[0], head}, f.Body[1:]...)
	f.Body = append(f.Body, p.export("shopping")...)
}

func (p *page) onGot(step, what string, had bool) app.EventHandler {
	return func(app.Context, app.Event) {
		id := harness.TickID(step)
		old, _ := p.S.B().Ticks.Any(id)
		if t, ok := p.S.B().Ticks.Get(id); ok && (t.What == what || had) {
			p.do(p.S.Do(storage.Delete(harness.KindTick, id)))
			return
		}
		now := harness.Tick{Step: step, What: what, At: p.S.Time()}
		now.ID = id
		p.do(p.S.Do(storage.Put(harness.KindTick, id, old, now)))
	}
}

// supplyFigure explains what is bought: of the cutting plan, and of the shopping list.
func supplyFigure(s *session.Session, key string) unit.Figure {
	what, n, _ := strings.Cut(key, ".")
	i, err := strconv.Atoi(n)
	if err != nil || i < 0 || s.B() == nil {
		return unit.Figure{}
	}
	switch what {
	case "plan":
		return planFigure(s, i)
	case "buy":
		return buyFigure(s, i)
	}
	return unit.Figure{}
}

func planFigure(s *session.Session, i int) unit.Figure {
	groups := s.Supply().Plan.Groups
	if i >= len(groups) {
		return unit.Figure{}
	}
	g, sys, set := &groups[i], s.B().Settings.Unit, s.B().Settings
	x := unit.Figure{What: "To buy of " + wireWord(g.Key), Value: g.Plan.Bought.Grouped(sys),
		Formula: "the pieces are laid into what is on hand and into what is sold, with what each cut loses, so that the least is bought",
		Source:  "one-dimensional cutting stock with several stock lengths: first fit, then exact search where it is small, above a lower bound"}
	for k := range g.Pieces {
		x.Terms = append(x.Terms, unit.Term{Name: g.Pieces[k].Wire.Name, Text: g.Pieces[k].Length.Grouped(sys), Of: string(harness.KindWire), ID: g.Pieces[k].Wire.ID})
	}
	for _, h := range g.Hand {
		x.Terms = append(x.Terms, unit.Term{Name: "on hand", Text: h.Length.Grouped(sys)})
	}
	x.Terms = append(x.Terms, unit.Term{Name: "lost at each cut", Text: supply.Kerf(set).Grouped(sys)}, unit.Term{Name: "no plan buys less than", Text: g.Plan.Lower.Grouped(sys)},
		unit.Term{Name: "rests that are kept", Text: g.Kept.Grouped(sys)})
	if g.Failed != "" {
		x.Value, x.Note = "unknown", g.Failed
	}
	return x
}

func buyFigure(s *session.Session, i int) unit.Figure {
	all := supply.Shop(s.Supply())
	if i >= len(all) {
		return unit.Figure{}
	}
	l, set := &all[i], s.B().Settings
	x := unit.Figure{What: string(l.Sort) + ": " + lineName(l), Value: amount(l, l.Buy), Source: "spares are a judgement, common practice; change them under Stock",
		Formula: "what is needed and a spare, rounded up to what is sold"}
	x.Terms = []unit.Term{{Name: "needed", Text: amount(l, l.Need)}, {Name: "spare", Text: amount(l, l.Spare)}}
	switch l.Sort {
	case supply.WireSort:
		x.Formula = "what the cutting plan buys; if its rests are less than the spare, the difference more; rounded up"
		x.Terms = append(x.Terms, unit.Term{Name: "used of what is on hand", Text: amount(l, l.Hand)}, unit.Term{Name: "spare, per cent", Text: unit.Shown(supply.SpareWire(set))},
			unit.Term{Name: "sold in steps of", Text: supply.BuyStep(set).Grouped(set.Unit)})
	case supply.PinSort, supply.SealSort, supply.PlugSort, supply.SpliceSort:
		x.Terms = append(x.Terms, unit.Term{Name: "spare, per cent", Text: unit.Shown(supply.SparePins(set))})
	}
	if l.Buy == 0 && l.Missing != "" {
		x.Value = "unknown"
	}
	if l.Missing != "" {
		x.Note = "Not known: " + l.Missing + "."
	}
	return x
}
