package sheet

import (
	"fmt"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
)

// Wires is the wire list: every wire with its ends, size, colour, way and length.
func Wires(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "wires", Title: "Wire list", Columns: []Column{
		{Key: "wire", Title: "Wire", Wide: 0.8}, {Key: "function", Title: "Function", Wide: 2},
		{Key: "from", Title: "From", Wide: 1.6}, {Key: "to", Title: "To", Wide: 1.6},
		{Key: "size", Title: "Size", Wide: 1.1}, {Key: "colour", Title: "Colour", Wide: 1.3}, {Key: "loom", Title: "Loom"},
		{Key: "twist", Title: "Twist", Wide: 0.8}, {Key: "lead", Title: "Made of", Wide: 1.4},
		f.lengthColumn("route_mm", "Route"), f.lengthColumn("needs_mm", "Needs"), f.lengthColumn("supplied_mm", "Lead"),
		{Key: "state", Title: "State", Wide: 1.8}, {Key: "from_tag", Title: "Tag from", Wide: 1.25}, {Key: "to_tag", Title: "Tag to", Wide: 1.25}, {Key: "note", Title: "Note", Wide: 1.5},
	}}
	var rows [][]Cell
	open := 0
	for _, w := range b.Wires.All() {
		size, colour := f.conductor(w)
		made, supplied, state := text("new wire"), Cell{}, Cell{}
		var r cut.Result
		needs := text(unknown)
		if f.supplied(w) {
			lead, _ := b.Leads.Get(w.Lead)
			l := cut.Lead(b, f.graph, w)
			r, made, state, supplied = l.Result, text("lead "+lead.Legend), text(f.verdict(l)), text(unknown)
			if lead.Length != nil {
				supplied = f.mm(*lead.Length)
			}
			if r.Known() {
				needs = f.mm(r.Exact)
			}
		} else {
			r = cut.Length(b, f.graph, w)
			if r.Known() {
				needs = f.mm(r.Sum)
				if w.Cut != nil {
					state = text(f.changed("cut", cut.After(*w.Cut, r)))
				}
			} else {
				state = text(f.why(r))
			}
		}
		way := text(unknown)
		if r.Known() {
			way = f.mm(r.Route)
		} else {
			open++
		}
		rows = append(rows, []Cell{text(w.Name), text(w.Function), f.end(w.From), f.end(w.To), size, colour, text(f.looms(r.Path.Runs)),
			text(w.Twist), made, way, needs, supplied, state, f.code(w.ID, harness.FromEnd), f.code(w.ID, harness.ToEnd), text(w.Note)})
	}
	t.Groups = []Group{{Rows: rows}}
	t.Notes = append(t.Notes, counted(len(rows), "wire", "wires")+"; a new wire needs its cut length, rounded up; a lead needs its length to the bare end, tail included")
	if open > 0 {
		t.Notes = append(t.Notes, counted(open, "length is", "lengths are")+" unknown: see the state of each")
	}
	return t, nil
}

// verdict says whether a lead reaches.
func (f facts) verdict(l cut.LeadResult) string {
	number := func(c Cell) string { return c.Text }
	switch l.Verdict {
	case cut.Reaches:
		return "reaches"
	case cut.ReachesShortTail:
		return fmt.Sprintf("reaches, %s %s of tail left", number(f.mm(l.Left)), LengthUnit(f.system))
	case cut.TrulyShort:
		return fmt.Sprintf("short by %s %s", number(f.mm(l.By)), LengthUnit(f.system))
	}
	switch l.Because {
	case cut.NoLead:
		return "unknown: the lead is gone"
	case cut.NoLength:
		return "unknown: measure the lead"
	}
	return "unknown: " + f.why(l.Result)
}
