package sheet

import (
	"strconv"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/supply"
	"loomwright/calc/unit"
)

// made is a build with what it is made from.
func made(b *harness.Build) supply.Facts { return supply.FactsOf(b, cut.Settle(b), nil) }

// wireName is what wire is called in a heading.
func wireName(k supply.Key) string {
	colour := unit.Colour{Base: k.Base, Tracer: k.Tracer}.Code()
	if k.Insulation != harness.NoInsulation {
		colour += " " + string(k.Insulation)
	}
	return k.Size + " " + colour
}

// StockPlan is from what each added wire is cut, and what is bought for the rest.
func StockPlan(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "stock", Title: "Cutting plan", Columns: []Column{
		{Key: "done", Title: "Cut", Wide: 0.5, Tick: true}, {Key: "wire", Title: "Wire"}, f.lengthColumn("cut_mm", "Length"),
		{Key: "from", Title: "From", Wide: 1.5}, f.lengthColumn("stock_mm", "Which is"), f.lengthColumn("left_mm", "Leaves"),
		{Key: "state", Title: "State", Wide: 2},
	}}
	plan := made(b).Plan
	for _, g := range plan.Groups {
		group := Group{Title: wireName(g.Key)}
		row := func(p supply.Piece, from string, stock, left Cell, state string) {
			done := Cell{}
			length := p.Length
			if d := p.Done(); d != nil {
				done, length = text("yes"), d.Length
			}
			if p.Extension {
				state = "spliced on at " + f.place(p.Wire.ExtendAt) + " " + state
			}
			group.Rows = append(group.Rows, []Cell{done, text(p.Wire.Name), f.mm(length), text(from), stock, left, text(state)})
		}
		for _, st := range g.Plan.Stocks {
			from := "bought"
			if st.OnHand >= 0 {
				if from = "offcut"; g.Hand[st.OnHand].Spool {
					from = "spool"
				}
			}
			for i, c := range st.Cuts {
				left := Cell{}
				if i == len(st.Cuts)-1 {
					left = f.mm(st.Left)
				}
				row(g.Pieces[c], from, f.mm(st.Length), left, "")
			}
		}
		for _, c := range g.Plan.Uncut {
			row(g.Pieces[c], unknown, Cell{}, Cell{}, "longer than what it is sold in")
		}
		for _, p := range g.Cut {
			row(p, "", Cell{}, Cell{}, "")
		}
		t.Groups = append(t.Groups, group)
		switch {
		case g.Failed != "":
			t.Notes = append(t.Notes, group.Title+": no plan: "+g.Failed)
		case g.Plan.Bought > 0 && g.Above() == 0:
			t.Notes = append(t.Notes, group.Title+": "+g.Plan.Bought.Grouped(f.system)+" to buy, and no plan buys less")
		case g.Plan.Bought > 0:
			t.Notes = append(t.Notes, group.Title+": "+g.Plan.Bought.Grouped(f.system)+" to buy; every plan buys at least "+g.Plan.Lower.Grouped(f.system))
		}
	}
	if len(plan.Open) > 0 {
		group := Group{Title: "Not planned"}
		for _, p := range plan.Open {
			group.Rows = append(group.Rows, []Cell{{}, text(p.Wire.Name), text(unknown), {}, {}, {}, text("not known: " + p.Missing)})
		}
		t.Groups = append(t.Groups, group)
	}
	t.Notes = append(t.Notes, "each cut loses "+supply.Kerf(b.Settings).Grouped(f.system)+"; rests from "+supply.Offcut(b.Settings).Grouped(f.system)+" are kept")
	return t, nil
}

// Shopping is everything that is bought, with spares.
func Shopping(b *harness.Build, o Options) (Table, error) {
	t := Table{Name: "shopping", Title: "Shopping list", Columns: []Column{
		{Key: "got", Title: "Got", Wide: 0.5, Tick: true}, {Key: "what", Title: "What", Wide: 2.5}, {Key: "colour", Title: "Colour"},
		{Key: "buy", Title: "Buy", Number: true}, {Key: "unit", Title: "Unit", Wide: 0.6}, {Key: "need", Title: "Needed", Number: true},
		{Key: "spare", Title: "Spare", Number: true}, {Key: "on_hand", Title: "On hand", Number: true}, {Key: "note", Title: "Note", Wide: 2},
	}}
	var last supply.Sort
	for _, l := range supply.Shop(made(b)) {
		if l.Sort != last {
			last = l.Sort
			t.Groups = append(t.Groups, Group{Title: string(last)})
		}
		each, digits := "pieces", 0
		if l.Metres {
			each, digits = "m", 2
		}
		cell := func(v float64) Cell {
			return Cell{Text: strconv.FormatFloat(v, 'f', digits, 64), Number: &v}
		}
		note, buy := l.Why, cell(l.Buy)
		if l.Missing != "" {
			if note != "" {
				note += "; "
			}
			note += "not known: " + l.Missing
			if l.Buy == 0 {
				buy = text(unknown)
			}
		}
		colour := unit.Colour{Base: l.Base, Tracer: l.Tracer}
		group := &t.Groups[len(t.Groups)-1]
		group.Rows = append(group.Rows, []Cell{{}, text(l.Name), {Text: colour.Code(), Colour: [2]string{l.Base, l.Tracer}}, buy, text(each),
			cell(l.Need), cell(l.Spare), cell(l.Hand), text(note)})
	}
	percent := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) + " %" }
	t.Notes = append(t.Notes, "spares: "+percent(supply.SpareWire(b.Settings))+" of wire, "+percent(supply.SparePins(b.Settings))+" of terminals and seals, one fuse of each rating",
		"covers are slit tube of the size that fits")
	return t, nil
}
