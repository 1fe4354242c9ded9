package bench

import (
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

// partShort is a lead that is too short, in the stock part; the record is its wire.
const partShort = "short"

// stock is from what the added wires are cut: all of it, one kind of wire, one wire on hand, or one lead that is too short.
func (p *page) stock(f *kit.Frame, home kit.Addr) {
	_, sub, _ := strings.Cut(p.At.Mode, ".")
	if p.At.Record != "" || sub != "" {
		f.Back = &home
	}
	switch i, err := strconv.Atoi(sub); {
	case p.At.Record != "" && sub == partShort:
		p.tooShort(f)
	case p.At.Record != "":
		p.onHand(f)
	case err == nil:
		p.oneKind(f, i)
	default:
		p.allStock(f)
	}
}

// wireWord is wire of one kind in words.
func wireWord(k supply.Key) string {
	word := kit.SizeWord(k.Size) + " " + unit.Colour{Base: k.Base, Tracer: k.Tracer}.String()
	if k.Insulation != harness.NoInsulation {
		word += ", " + string(k.Insulation)
	}
	return word
}

func (p *page) allStock(f *kit.Frame) {
	b, sys, at := p.S.B(), p.S.B().Settings.Unit, p.At.On(pageName).In(partStock)
	plan := p.S.Supply().Plan
	f.Title = "Stock"
	f.Body = []app.UI{p.counted()}
	var rows []app.UI
	for i := range plan.Groups {
		g := &plan.Groups[i]
		under := count(len(g.Pieces), "piece", "pieces") + " to cut"
		if n := len(g.Cut); n > 0 {
			under += ", " + strconv.Itoa(n) + " cut"
		}
		number, below := g.Plan.Bought.Grouped(sys), "to buy"
		switch {
		case g.Failed != "":
			number, below = "?", g.Failed
		case len(g.Pieces) == 0:
			number, below = "✓", "all cut"
		case g.Plan.Bought == 0:
			number, below = "0", "to buy"
		}
		to := at.In(partStock + "." + strconv.Itoa(i))
		rows = append(rows, kit.Split(kit.Row("", wireWord(g.Key), under, "", "", kit.To(to), to), kit.NumIn(p.At, "", number, below, "plan."+strconv.Itoa(i))))
	}
	if len(rows) == 0 {
		rows = append(rows, kit.Note("", "Nothing to cut yet.", "Wires that are not made of a supplied lead are cut here."))
	}
	f.Body = append(f.Body, kit.Section("From what each is cut", ""), app.Div().Class("rows").Body(rows...))
	if n := len(plan.Open); n > 0 {
		var names []string
		for _, x := range plan.Open[:min(n, 8)] {
			names = append(names, x.Wire.Name+": "+x.Missing)
		}
		if n > 8 {
			names = append(names, "and "+strconv.Itoa(n-8)+" more")
		}
		f.Body = append(f.Body, kit.Note("warn", "Not planned, because it is not known: ", strings.Join(names, "; ")+"."))
	}
	f.Body = append(f.Body, p.hand(at)...)
	f.Body = append(f.Body, p.shorts(at)...)
	f.Body = append(f.Body, p.removed(at)...)
	f.Body = append(f.Body, p.stockSettings(b.Settings)...)
	f.Body = append(f.Body, p.export("stock")...)
}

// hand lists the wire on hand, and what wire is sold in.
func (p *page) hand(at kit.Addr) []app.UI {
	var rows, sold []app.UI
	sys := p.S.B().Settings.Unit
	for _, s := range p.S.B().Stocks.All() {
		number := "?"
		if s.Length > 0 {
			number = s.Length.Grouped(sys)
		}
		name, under := wireWord(supply.Key{Size: s.Size, Base: s.Base, Tracer: s.Tracer, Insulation: s.Insulation}), "offcut"
		switch {
		case s.Sold:
			under = "sold in this length"
		case s.Spool:
			under = "spool"
		case s.Lead != "":
			under = "a removed lead, cut up"
		}
		below := ""
		if s.Pieces() > 1 {
			below = "× " + strconv.Itoa(s.Pieces())
		}
		if strings.TrimSpace(name) == "" {
			name = "any wire"
		}
		to := at.With(s.ID)
		row := kit.Row("", name, under, number, below, kit.To(to), to)
		if s.Sold {
			sold = append(sold, row)
		} else {
			rows = append(rows, row)
		}
	}
	out := []app.UI{kit.Section("On hand", strconv.Itoa(len(rows)))}
	if len(rows) == 0 {
		out = append(out, kit.Lines("Nothing entered: everything is bought. Offcuts and spools that are there already are used first."))
	}
	out = append(out, app.Div().Class("rows").Body(rows...), kit.Plain("Add an offcut or spool", p.onNewStock(false), "hand"), kit.Section("Sold in lengths of", ""))
	if len(sold) == 0 {
		out = append(out, kit.Lines("Nothing entered: by the metre."))
	}
	return append(out, app.Div().Class("rows").Body(sold...), kit.Plain("Add a length it is sold in", p.onNewStock(true), "sold"))
}

func (p *page) onNewStock(sold bool) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		all := p.S.B().Stocks.All()
		s := harness.Stock{Sold: sold, Order: 1}
		if n := len(all); n > 0 {
			s.Order = all[n-1].Order + 1
			if !sold {
				s.Size, s.Base, s.Tracer = all[n-1].Size, all[n-1].Base, all[n-1].Tracer
			}
		}
		if g := p.S.Supply().Plan.Groups; s.Size == "" && !sold && len(g) > 0 {
			s.Size, s.Base, s.Tracer = g[0].Size, g[0].Base, g[0].Tracer
		}
		id := p.S.FreshID()
		if p.do(p.S.Do(storage.Put(harness.KindStock, id, harness.Stock{}, s))) {
			kit.Go(ctx, p.At.On(pageName).In(partStock).With(id))
		}
	}
}

// removed lists the leads that are pulled: they are the spares, unless one is cut up.
func (p *page) removed(at kit.Addr) []app.UI {
	leads, cut := supply.Removed(p.S.B())
	if len(leads) == 0 {
		return nil
	}
	out := []app.UI{kit.Section("Removed leads", strconv.Itoa(len(leads))),
		kit.Lines("They keep their terminals and are the spares, and what is printed on them would be wrong on another wire. So none is cut up unless you tick it.")}
	sys := p.S.B().Settings.Unit
	var rows []app.UI
	for i, l := range leads {
		number := "?"
		if l.Length != nil {
			number = l.Length.Grouped(sys)
		}
		under := "a spare"
		mark := "○"
		if cut[i] {
			mark, under = "✓", "cut up"
		}
		rows = append(rows, kit.Row(mark, strings.TrimSpace(kit.TerminalName(p.S.B(), l.Terminal)+" "+l.Does()), under+", "+wireWord(supply.Key{Size: l.Size, Base: l.Base, Tracer: l.Tracer}),
			number, "", p.onCutUp(l.ID), l.ID, cut[i]))
	}
	return append(out, app.Div().Class("rows").Body(rows...))
}

func (p *page) onCutUp(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		l, ok := p.S.B().Leads.Get(id)
		if !ok {
			return
		}
		s := supply.CutUp(l)
		old, _ := p.S.B().Stocks.Any(s.ID)
		if _, is := p.S.B().Stocks.Get(s.ID); is {
			p.do(p.S.Do(storage.Delete(harness.KindStock, s.ID)))
			return
		}
		if p.do(p.S.Do(storage.Put(harness.KindStock, s.ID, old, s))) && s.Length == 0 {
			p.S.Say(session.Notice{Tone: "warn", Text: "Its length is not known: nothing is planned from it until you key it in.", Undo: true})
		}
	}
}

// shorts lists the leads that do not reach.
func (p *page) shorts(at kit.Addr) []app.UI {
	all := supply.Extensions(p.S.B(), p.S.Graph(), p.S.Cut)
	if len(all) == 0 {
		return nil
	}
	sys := p.S.B().Settings.Unit
	var rows []app.UI
	for _, x := range all {
		under := "not decided"
		if x.Chosen {
			under = "spliced at " + kit.PlaceName(p.S.B(), x.At)
		}
		number := "?"
		if x.Missing == "" {
			number = x.Length.Grouped(sys)
		}
		to := at.In(partStock + "." + partShort).With(x.Wire.ID)
		rows = append(rows, kit.Row(x.Wire.Name, "short by "+x.Short.Grouped(sys), under, number, "to splice on", kit.To(to), to))
	}
	return []app.UI{kit.Section("Leads that do not reach", strconv.Itoa(len(rows))), app.Div().Class("rows").Body(rows...)}
}

// tooShort is one of them: extend it, or not.
func (p *page) tooShort(f *kit.Frame) {
	f.Title = "A lead that does not reach"
	sys := p.S.B().Settings.Unit
	for _, x := range supply.Extensions(p.S.B(), p.S.Graph(), p.S.Cut) {
		if x.Wire.ID != p.At.Record {
			continue
		}
		f.Title = x.Wire.Name + " does not reach"
		f.Body = []app.UI{app.P().Class("lede").Text("It is short by " + x.Short.Grouped(sys) + "."),
			app.P().Text("A splice goes to a branch, where both sides can be tied, as near to the end as the lead reaches; never into a pass-through. Another place for the device, or another way, saves the splice.")}
		if x.Missing != "" {
			f.Body = append(f.Body, kit.Note("warn", "Not known: "+x.Missing+".", ""))
		} else {
			f.Body = append(f.Body, kit.Section("Splice at "+kit.PlaceName(p.S.B(), x.At), x.Length.Grouped(sys)),
				kit.Lines("From the splice to the far end with all that end needs, and the overlap of the splice; rounded up.", "Source: splices only right behind a connector or at a branch, tied on both sides: common practice"))
		}
		if x.Sensitive {
			f.Body = append(f.Body, kit.Note("warn", "A crank, cam or knock signal.", "It is spliced only for a good reason."))
		}
		w := x.Wire
		if x.Chosen {
			f.Body = append(f.Body, kit.Note("good", "It is extended.", w.ExtendWhy), kit.Plain("Do not extend it", p.onExtend(w.ID, "", ""), w.ID))
			return
		}
		if x.At == "" {
			return
		}
		if x.Sensitive {
			f.Body = append(f.Body, kit.Field("Why it must be spliced", p.typedWhy, "", p.onTypedWhy, w.ID))
		}
		f.Foot = []app.UI{kit.ActIf(!x.Sensitive || strings.TrimSpace(p.typedWhy) != "", "Extend it at "+kit.PlaceName(p.S.B(), x.At), "Say why first", p.onExtend(w.ID, x.At, p.typedWhy), w.ID, x.At, p.typedWhy)}
		return
	}
	f.Body = []app.UI{kit.Note("good", "It reaches now.", "")}
}

func (p *page) onTypedWhy(ctx app.Context, _ app.Event) { p.typedWhy = kit.Value(ctx) }

func (p *page) onExtend(wire, at, why string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w, ok := p.S.B().Wires.Get(wire)
		if !ok {
			return
		}
		now := w
		now.ExtendAt, now.ExtendWhy = at, strings.TrimSpace(why)
		p.do(p.S.Do(storage.Put(harness.KindWire, wire, w, now)))
	}
}

// oneKind is the cutting plan of one kind of wire.
func (p *page) oneKind(f *kit.Frame, i int) {
	plan := p.S.Supply().Plan
	f.Title = "Stock"
	if i < 0 || i >= len(plan.Groups) {
		f.Body = []app.UI{kit.Note("", "There is no such wire any more.", "The plan changed.")}
		return
	}
	g := &plan.Groups[i]
	sys := p.S.B().Settings.Unit
	f.Title = wireWord(g.Key)
	key := "plan." + strconv.Itoa(i)
	if g.Failed != "" {
		f.Body = append(f.Body, kit.Note("bad", "No plan:", g.Failed+"."))
	} else if len(g.Pieces) > 0 {
		word := "No plan buys less."
		if above := g.Above(); above > 0 {
			word = "Every plan buys at least " + g.Plan.Lower.Grouped(sys) + "."
		}
		f.Body = append(f.Body, app.Div().Class("line").Body(kit.NumIn(p.At, "big", g.Plan.Bought.Grouped(sys), "to buy", key), app.Span().Class("small").Text(word)))
	}
	for n := range g.Plan.Stocks {
		st := &g.Plan.Stocks[n]
		name := "Bought"
		if st.OnHand >= 0 {
			if name = "Offcut"; g.Hand[st.OnHand].Spool {
				name = "Spool"
			}
		}
		var rows []app.UI
		for _, c := range st.Cuts {
			rows = append(rows, p.pieceRow(&g.Pieces[c]))
		}
		rest := "leaves " + st.Left.Grouped(sys)
		if !st.Kept {
			rest += ", for samples"
		}
		f.Body = append(f.Body, kit.Section(name+", "+st.Length.Grouped(sys), rest), app.Div().Class("rows").Body(rows...))
	}
	list := func(title string, all []supply.Piece) {
		if len(all) == 0 {
			return
		}
		var rows []app.UI
		for i := range all {
			rows = append(rows, p.pieceRow(&all[i]))
		}
		f.Body = append(f.Body, kit.Section(title, strconv.Itoa(len(all))), app.Div().Class("rows").Body(rows...))
	}
	var uncut []supply.Piece
	for _, c := range g.Plan.Uncut {
		uncut = append(uncut, g.Pieces[c])
	}
	list("Longer than what it is sold in", uncut)
	list("Cut already", g.Cut)
}

func (p *page) pieceRow(x *supply.Piece) app.UI {
	sys := p.S.B().Settings.Unit
	number, mark := x.Length, ""
	if d := x.Done(); d != nil {
		number, mark = d.Length, "✓"
	}
	under := x.Wire.Function
	if x.Extension {
		under = "spliced on at " + kit.PlaceName(p.S.B(), x.Wire.ExtendAt)
	}
	to := p.At.On("wires").With(x.Wire.ID)
	return kit.Row(mark, x.Wire.Name, under, number.Grouped(sys), "", kit.To(to), to)
}

// onHand is one wire on hand.
func (p *page) onHand(f *kit.Frame) {
	s, ok := p.S.B().Stocks.Get(p.At.Record)
	f.Title = "Wire on hand"
	if !ok {
		f.Body = []app.UI{kit.Note("", "It is used up, or was deleted.", "")}
		return
	}
	if s.Sold {
		f.Title = "Sold in lengths"
	}
	set := func(change func(*harness.Stock)) {
		now := s
		change(&now)
		p.do(p.S.Do(storage.Put(harness.KindStock, s.ID, s, now)))
	}
	f.Body = []app.UI{
		p.text(s.ID, "size", "Size", s.Size, "0.5 mm2 or 20 AWG", func(text string) {
			size, err := unit.ParseSize(text)
			if err != nil && text != "" {
				p.failed = "“" + text + "” is no size of wire. Nothing was changed."
				return
			}
			set(func(s *harness.Stock) {
				if s.Size = ""; text != "" {
					s.Size = size.String()
				}
			})
		}),
		p.text(s.ID, "colour", "Colour", unit.Colour{Base: s.Base, Tracer: s.Tracer}.String(), "red, or red with black", func(text string) {
			c := unit.ParseColour(text)
			set(func(s *harness.Stock) { s.Base, s.Tracer = c.Base, c.Tracer })
		}),
		kit.Colour(s.Base, s.Tracer),
		p.length(s.ID, "length", "Length of each", &s.Length, func(v *unit.Length) {
			set(func(s *harness.Stock) {
				if s.Length = 0; v != nil {
					s.Length = *v
				}
			})
		}),
	}
	if !s.Sold {
		f.Body = append(f.Body,
			p.text(s.ID, "count", "How many of that length", strconv.Itoa(s.Pieces()), "1", func(text string) {
				n, err := strconv.Atoi(text)
				if err != nil || n < 1 || n > 1000 {
					p.failed = "“" + text + "” is no number of pieces. Nothing was changed."
					return
				}
				set(func(s *harness.Stock) { s.Count = n })
			}),
			kit.Even(kit.Choice("Offcut", "", !s.Spool, func(app.Context, app.Event) { set(func(s *harness.Stock) { s.Spool = false }) }, s.ID, s.Spool),
				kit.Choice("Spool", "", s.Spool, func(app.Context, app.Event) { set(func(s *harness.Stock) { s.Spool = true }) }, s.ID, s.Spool)))
	} else {
		f.Body = append(f.Body, kit.Lines("No size or no colour is any."))
	}
	back := *f.Back
	f.Body = append(f.Body, kit.Danger("Delete it", func(ctx app.Context, _ app.Event) {
		if p.do(p.S.Do(storage.Delete(harness.KindStock, s.ID))) {
			p.S.Say(session.Notice{Text: "It was deleted.", Undo: true})
			kit.Go(ctx, back)
		}
	}, s.ID, back))
}

// text is a field that becomes an edit when it is left.
func (p *page) text(id, field, label, value, hint string, enter func(text string)) app.UI {
	typing := kit.Typing{S: p.S, Page: pageName}
	if typed, is := typing.Text(id, field); is {
		value = typed
	}
	return kit.FieldDone(label, value, hint, func(ctx app.Context, _ app.Event) { typing.Keep(id, field, kit.Value(ctx)) },
		func(ctx app.Context, _ app.Event) {
			typing.Entered()
			p.failed = ""
			enter(strings.TrimSpace(kit.Value(ctx)))
		}, id, field)
}

// length is a field for a length; nil is not said. What is no length is told, and changes nothing.
func (p *page) length(id, field, label string, now *unit.Length, set func(*unit.Length)) app.UI {
	sys, text := p.S.B().Settings.Unit, ""
	if now != nil && (*now != 0 || field == "kerf") {
		text = now.Exact(sys)
	}
	return p.text(id, field, label, text, "not known", func(text string) {
		if text == "" {
			set(nil)
			return
		}
		if typed := kit.Read(text, sys); typed.OK {
			set(&typed.Length)
		} else if field == "kerf" && kit.IsZero(typed.Err) {
			none := unit.Length(0)
			set(&none)
		} else {
			p.failed = typed.Line + " Nothing was changed."
		}
	})
}

// stockSettings is how wire is cut and bought.
func (p *page) stockSettings(s harness.Settings) []app.UI {
	set := func(change func(*harness.Settings)) {
		old := p.S.B().Settings
		now := old
		change(&now)
		p.do(p.S.Do(storage.Put(harness.KindSettings, old.ID, old, now)))
	}
	kerf, offcut, step := supply.Kerf(s), supply.Offcut(s), supply.BuyStep(s)
	percent := func(field, label string, now float64, put func(*harness.Settings, *float64)) app.UI {
		return p.text(s.ID, field, label, unit.Shown(now), "", func(text string) {
			v, ok := unit.ParseAmount(text, 0, 1000)
			switch {
			case text == "":
				set(func(s *harness.Settings) { put(s, nil) })
			case !ok:
				p.failed = "“" + text + "” is no per cent from 0 to 1000. Nothing was changed."
			default:
				set(func(s *harness.Settings) { put(s, &v) })
			}
		})
	}
	return []app.UI{
		kit.Section("How it is cut and bought", ""),
		p.length(s.ID, "kerf", "Lost at each cut", &kerf, func(v *unit.Length) { set(func(s *harness.Settings) { s.Kerf = v }) }),
		p.length(s.ID, "offcut", "Shortest rest that is kept", &offcut, func(v *unit.Length) { set(func(s *harness.Settings) { s.Offcut = v }) }),
		p.length(s.ID, "step", "By the metre it is sold in steps of", &step, func(v *unit.Length) { set(func(s *harness.Settings) { s.BuyStep = v }) }),
		percent("wirespare", "Spare wire, per cent", supply.SpareWire(s), func(s *harness.Settings, v *float64) { s.SpareWire = v }),
		percent("pinspare", "Spare terminals and seals, per cent", supply.SparePins(s), func(s *harness.Settings, v *float64) { s.SparePins = v }),
	}
}
