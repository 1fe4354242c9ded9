package sheet

import (
	"cmp"
	"fmt"
	"slices"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/unit"
)

// cutWire is a wire of the cut list with what it is sorted by.
type cutWire struct {
	row    []Cell
	size   unit.Size
	colour string
	branch string
	length unit.Length
	known  bool
	place  int // in the order of wires
}

// Cut is the cut list: the wires that are added, cut on the bench, longest first. Supplied leads are not in it: they
// are trimmed in the car, see Trim. Wires that are cut from one spool are together; with ByBranch, those that leave at
// one split.
func Cut(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "cut", Title: "Cut list", Columns: []Column{
		{Key: "done", Title: "Cut", Wide: 0.5, Tick: true}, {Key: "wire", Title: "Wire", Wide: 0.8}, f.lengthColumn("cut_mm", "Length"),
		{Key: "size", Title: "Size"}, {Key: "colour", Title: "Colour", Wide: 1.1}, {Key: "function", Title: "Function", Wide: 2},
		{Key: "from", Title: "From", Wide: 1.5}, {Key: "to", Title: "To", Wide: 1.5}, {Key: "state", Title: "State", Wide: 1.8},
		{Key: "cut_on", Title: "Cut on", Wide: 1}, {Key: "from_tag", Title: "Tag from", Wide: 1.1}, {Key: "to_tag", Title: "Tag to", Wide: 1.1},
	}}
	groups := map[string][]cutWire{}
	var keys []string
	for i, w := range b.Wires.All() {
		if f.supplied(w) {
			continue
		}
		c := f.cutWire(w, i)
		key := c.branch
		if !o.ByBranch {
			key = cmp.Or(c.size.String(), "size unknown") + " " + cmp.Or(c.colour, "colour unknown")
		}
		if groups[key] == nil {
			keys = append(keys, key)
		}
		groups[key] = append(groups[key], c)
	}
	slices.SortStableFunc(keys, func(x, y string) int {
		a, b := groups[x][0], groups[y][0]
		if o.ByBranch {
			return cmp.Compare(a.place, b.place)
		}
		if a.size.Known() != b.size.Known() {
			return cmp.Compare(b.size.Area(), a.size.Area()) // what is not known comes last
		}
		return cmp.Or(a.size.Compare(b.size), cmp.Compare(a.colour, b.colour))
	})
	wires, total, open := 0, unit.Length(0), 0
	for _, key := range keys {
		all := groups[key]
		sorting.By(all, func(x, y cutWire) int { return cmp.Or(-cmp.Compare(x.length, y.length), cmp.Compare(x.place, y.place)) })
		g := Group{Title: key}
		sum, unknowns := unit.Length(0), 0
		for _, c := range all {
			g.Rows = append(g.Rows, c.row)
			sum += c.length
			if !c.known {
				unknowns++
			}
		}
		if len(all) > 1 {
			g.Total = f.total(len(t.Columns), len(all), sum, unknowns)
		}
		t.Groups = append(t.Groups, g)
		wires, total, open = wires+len(all), total+sum, open+unknowns
	}
	if wires == 0 {
		t.Notes = append(t.Notes, "no wire is added: every wire is made of a supplied lead")
		return t, nil
	}
	t.Notes = append(t.Notes, fmt.Sprintf("%s, %s in all, offcuts and spares not counted", counted(wires, "wire", "wires"), total.Grouped(f.system)))
	if open > 0 {
		t.Notes = append(t.Notes, counted(open, "length is", "lengths are")+" unknown and not in the totals")
	}
	t.Notes = append(t.Notes, "lengths are rounded up; supplied leads are on the trim list")
	return t, nil
}

func (f facts) cutWire(w harness.Wire, place int) cutWire {
	r := cut.Length(f.b, f.graph, w)
	size, colour := f.conductor(w)
	c := cutWire{place: place, known: r.Known(), branch: f.branch(r.Path)}
	if parsed, err := unit.ParseSize(size.Text); err == nil {
		c.size = parsed
	}
	if colour.Text != unknown {
		c.colour = colour.Text
	}
	need, state := text(unknown), ""
	if c.known {
		c.length = r.Sum
		need = f.mm(r.Sum)
	} else {
		state = f.why(r)
		if r.Problem != nil {
			c.branch = "no way"
		}
	}
	done, on := Cell{}, Cell{}
	if w.Cut != nil {
		done, on = text("yes"), text(day(w.Cut.At))
		if now := f.changed("cut", cut.After(*w.Cut, r)); c.known {
			state = now
		} else {
			state = now + "; " + state
		}
	}
	c.row = []Cell{done, text(w.Name), need, size, colour, text(w.Function), f.end(w.From), f.end(w.To), text(state), on,
		f.code(w.ID, harness.FromEnd), f.code(w.ID, harness.ToEnd)}
	return c
}

// total is the last row of a group: how many wires, and their length in the third column.
func (f facts) total(columns, wires int, sum unit.Length, unknowns int) []Cell {
	row := make([]Cell, columns)
	row[1] = text(counted(wires, "wire", "wires"))
	row[2] = f.mm(sum)
	if unknowns > 0 {
		row[5] = text(fmt.Sprintf("and %d of unknown length", unknowns))
	}
	return row
}

// Trim is the trim list: the supplied leads, which are laid in whole and trimmed in the car. Those that do not reach
// come first, then those whose length is not known.
func Trim(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "trim", Title: "Trim list", Columns: []Column{
		{Key: "done", Title: "Done", Wide: 0.6, Tick: true}, {Key: "wire", Title: "Wire", Wide: 0.8}, {Key: "legend", Title: "Printed on it", Wide: 1.3},
		{Key: "from", Title: "Cavity", Wide: 1.4}, {Key: "to", Title: "To", Wide: 1.5}, {Key: "function", Title: "Function", Wide: 2},
		f.lengthColumn("supplied_mm", "Lead"), f.lengthColumn("needs_mm", "Needs"), f.lengthColumn("trim_to_mm", "Trim to"), f.lengthColumn("comes_off_mm", "Comes off"),
		{Key: "state", Title: "State", Wide: 2}, {Key: "trimmed_on", Title: "On", Wide: 1}, {Key: "to_tag", Title: "Tag to", Wide: 1.1},
	}}
	groups := []Group{{Title: "Does not reach"}, {Title: "Not known yet"}, {Title: "Reaches, with less tail than asked"}, {Title: "Reaches"}}
	which := map[cut.Verdict]int{cut.TrulyShort: 0, cut.Unknown: 1, cut.ReachesShortTail: 2, cut.Reaches: 3}
	for _, w := range b.Wires.All() {
		if !f.supplied(w) {
			continue
		}
		l := cut.Lead(b, f.graph, w)
		n := which[l.Verdict]
		groups[n].Rows = append(groups[n].Rows, f.trimRow(w, l))
	}
	leads := 0
	for _, g := range groups {
		if len(g.Rows) > 0 {
			leads += len(g.Rows)
			g.Title = fmt.Sprintf("%s: %d", g.Title, len(g.Rows))
			t.Groups = append(t.Groups, g)
		}
	}
	if leads == 0 {
		t.Notes = append(t.Notes, "no wire is made of a supplied lead")
		return t, nil
	}
	t.Notes = append(t.Notes,
		"trim only in the car, with the loom laid in and all splits fixed; the length counts from the rear face of the connector",
		"“needs” includes the tail; “trim to” is without it, rounded up, and leaves room for strip, crimp and rework")
	return t, nil
}

func (f facts) trimRow(w harness.Wire, l cut.LeadResult) []Cell {
	lead, _ := f.b.Leads.Get(w.Lead)
	supplied, needs, trimTo, off := text(unknown), text(unknown), text(unknown), text(unknown)
	if lead.Length != nil {
		supplied = f.mm(*lead.Length)
	}
	if r := l.Result; r.Known() {
		needs = f.mm(r.Exact)
		to := (r.Exact - r.Tail).RoundCut(f.system)
		trimTo = f.mm(to)
		switch {
		case lead.Length == nil:
		case l.Verdict == cut.TrulyShort || to >= *lead.Length:
			// Nothing may come off; a lead that cannot give the room asked for is used whole.
			trimTo, off = Cell{}, f.mm(0)
		default:
			off = f.mm(*lead.Length - to)
		}
	}
	state := f.verdict(l)
	done, on := Cell{}, Cell{}
	if w.Trimmed != nil {
		done, on = text("yes"), text(day(w.Trimmed.At))
		state = f.changed("trimmed", cut.AfterTrim(*w.Trimmed, l.Result))
	}
	return []Cell{done, text(w.Name), text(lead.Legend), f.end(w.From), f.end(w.To), text(w.Function), supplied, needs, trimTo, off,
		text(state), on, f.code(w.ID, harness.ToEnd)}
}
