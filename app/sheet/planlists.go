package sheet

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Pins is the pin list: every lead by connector and cavity, with what becomes of it.
func Pins(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "pins", Title: "Pin list", Columns: []Column{
		{Key: "cavity", Title: "Cavity", Wide: 0.7}, {Key: "function", Title: "Function", Wide: 2}, {Key: "legend", Title: "Printed legend", Wide: 1.2},
		{Key: "decision", Title: "Decision"}, {Key: "done", Title: "Done", Tick: true, Wide: 0.7}, {Key: "signal", Title: "Signal", Wide: 1.2},
		{Key: "direction", Title: "Direction", Wide: 0.8}, {Key: "size", Title: "Size"}, {Key: "colour", Title: "Colour", Wide: 1.3}, f.lengthColumn("supplied_mm", "Supplied length"),
		{Key: "group", Title: "Twist, shield"}, {Key: "reassign", Title: "Can change", Wide: 0.7}, {Key: "circuit", Title: "Circuit", Wide: 1.4}, {Key: "why", Title: "Why", Wide: 1.4}, {Key: "note", Title: "Note", Wide: 1.6},
	}}
	n := circuit.NewNet(b)
	places := groups{}
	for _, p := range n.Pins() {
		l := p.Lead
		c, _ := b.Circuits.Get(p.Terminal.Circuit)
		supplied := text(unknown)
		if l.Length != nil {
			supplied = f.mm(*l.Length)
		}
		why := l.DecisionWhy
		if len(p.Shared) > 0 {
			why = strings.TrimPrefix(why+"; shared: "+cmp.Or(p.Terminal.SharedWhy, unknown), "; ")
		}
		legend := l.Legend
		if l.Function != "" && legend == l.Function {
			legend = ""
		}
		places.add(f.plug(p.Terminal), []Cell{text(cmp.Or(p.Cavity, unknown)), text(l.Does()), text(legend), text(decision(l.Decision)), yes(l.Done()), orUnknown(string(l.Signal)),
			text(string(l.Direction)), orUnknown(l.Size), leadColour(l), supplied, text(joined(l.Twist, l.Shield)), text(string(l.Reassign)), text(c.Name), text(why), text(l.Note)})
	}
	t.Groups = places.all
	c := circuit.Count(b)
	t.Notes = append(t.Notes, fmt.Sprintf("%s: %d used, %d kept, %d removed, %d undecided, %d without a lead; %d done",
		counted(c.Leads, "pin", "pins"), c.Use, c.Keep, c.Remove, c.Undecided, c.Empty, c.Done))
	return t, nil
}

// Removal is the list to pull pins by, then the check that the others sit, then where kept leads end.
func Removal(b *harness.Build, o Options) (Table, error) {
	t := Table{Name: "removal", Title: "Pins to pull, seating check", Columns: []Column{
		{Key: "cavity", Title: "Cavity", Wide: 0.7}, {Key: "lead", Title: "Lead", Wide: 1.8}, {Key: "size", Title: "Size"}, {Key: "colour", Title: "Colour", Wide: 1.2},
		{Key: "do", Title: "What to do", Wide: 3}, {Key: "done", Title: "Done", Tick: true, Wide: 0.7}, {Key: "why", Title: "Why", Wide: 1.6}, {Key: "ends", Title: "Ends", Wide: 1.4},
	}}
	n := circuit.NewNet(b)
	group := func(title string, pins []circuit.Pin) {
		g := Group{Title: title}
		for _, p := range pins {
			g.Rows = append(g.Rows, []Cell{text(cmp.Or(p.Cavity, unknown)), text(p.Lead.Does()), orUnknown(p.Lead.Size), leadColour(p.Lead), text(p.Do), yes(p.Done), text(p.Lead.DecisionWhy), text(p.Ends)})
		}
		if len(g.Rows) > 0 {
			t.Groups = append(t.Groups, g)
		}
	}
	removal, seating, kept := n.Removal(), n.Seating(), n.Kept()
	group("To pull", removal)
	group("Seating: every pin that stays, once the lock is closed", seating)
	group("Kept for later", kept)
	t.Notes = append(t.Notes, counted(len(removal), "pin", "pins")+" to pull, "+strconv.Itoa(len(seating))+" to check, "+strconv.Itoa(len(kept))+" kept; open the lock first, close it before the check")
	return t, nil
}

// Circuits is every circuit with what feeds it, its load and its ends.
func Circuits(b *harness.Build, o Options) (Table, error) {
	t := Table{Name: "circuits", Title: "Circuits", Columns: []Column{
		{Key: "circuit", Title: "Circuit", Wide: 1.6}, {Key: "signal", Title: "Signal", Wide: 1.1}, {Key: "class", Title: "Class"}, {Key: "feed", Title: "Fed through", Wide: 1.4},
		{Key: "load_a", Title: "Load", Unit: "A", Wide: 0.8}, {Key: "ends", Title: "Ends", Wide: 3}, {Key: "wires", Title: "Wires", Wide: 1.4}, {Key: "note", Title: "Note", Wide: 1.2},
	}}
	n := circuit.NewNet(b)
	byCircuit := map[string][]string{}
	for _, w := range b.Wires.All() {
		byCircuit[w.Circuit] = append(byCircuit[w.Circuit], w.Name)
	}
	var rows [][]Cell
	for _, c := range b.Circuits.All() {
		var feed, ends []string
		for _, id := range c.Feed {
			part, _ := b.Parts.Any(id)
			feed = append(feed, cmp.Or(part.Name, unknown))
		}
		for _, e := range n.Ends(c.ID) {
			ends = append(ends, n.Name(e))
		}
		amps, open := n.Load(c)
		rows = append(rows, []Cell{text(c.Name), orUnknown(string(c.Signal)), orUnknown(string(n.ClassOf(c))), text(strings.Join(feed, ", ")), text(ampsText(amps, open)),
			text(strings.Join(ends, "; ")), text(strings.Join(byCircuit[c.ID], ", ")), text(c.Note)})
	}
	t.Groups = []Group{{Rows: rows}}
	t.Notes = append(t.Notes, counted(len(rows), "circuit", "circuits")+"; a load is what its devices typically draw where nobody measured it")
	return t, nil
}

// PanelParts is every panel and terminal strip with its parts: where each is, what feeds it and what it feeds.
func PanelParts(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "panel", Title: "Panels", Columns: []Column{
		{Key: "part", Title: "Part", Wide: 0.8}, {Key: "kind", Title: "Kind"}, {Key: "for", Title: "For", Wide: 1.6}, {Key: "rating_a", Title: "Rating", Unit: "A", Number: true, Wide: 0.6},
		{Key: "position", Title: "Position", Wide: 0.8}, {Key: "fed_from", Title: "Fed from", Wide: 1.4}, {Key: "feeds", Title: "Feeds", Wide: 2.6}, {Key: "load_a", Title: "Load", Unit: "A", Wide: 0.8}, {Key: "state", Title: "State", Wide: 0.7},
	}}
	n := circuit.NewNet(b)
	spare := 0
	for _, place := range b.Places.All() {
		p := n.Panel(place.ID)
		if len(p.Ways) == 0 {
			continue
		}
		g := Group{Title: f.place(place.ID)}
		if p.Free > 0 {
			g.Title += ", " + counted(p.Free, "free position", "free positions")
		}
		for _, w := range p.Ways {
			position, state, rating := "", "", Cell{}
			if w.Part.Row > 0 && w.Part.Column > 0 {
				position = fmt.Sprintf("row %d, %d", w.Part.Row, w.Part.Column)
			}
			if w.Spare {
				state = "spare"
				spare++
			}
			if r := w.Part.Rating; r != nil {
				rating = Cell{Text: unit.Shown(*r), Number: r}
			}
			g.Rows = append(g.Rows, []Cell{text(w.Part.Name), text(string(w.Part.Kind)), text(w.Part.Label), rating, text(position), text(w.Fed), text(strings.Join(w.Feeds, "; ")),
				text(ampsText(w.Amps, w.Blank)), text(state)})
		}
		t.Groups = append(t.Groups, g)
		if len(p.Inner) > 0 {
			t.Notes = append(t.Notes, f.place(place.ID)+": inside it "+wireNames(p.Inner))
		}
		t.Notes = append(t.Notes, fmt.Sprintf("%s: %s leave it as leads, %s are added", f.place(place.ID), counted(len(p.Leads), "wire", "wires"), strconv.Itoa(len(p.Added))))
	}
	t.Notes = append(t.Notes, counted(spare, "spare way", "spare ways"))
	return t, nil
}

func wireNames(wires []harness.Wire) string {
	names := make([]string, len(wires))
	for i, w := range wires {
		names[i] = w.Name
	}
	return strings.Join(names, ", ")
}

// ampsText is a load: a number, a range, or what is known of it.
func ampsText(r circuit.Range, open int) string {
	s := ""
	switch {
	case r.Known() && r.Low == r.High:
		s = unit.Shown(r.Low)
	case r.Known():
		s = unit.Shown(r.Low) + " to " + unit.Shown(r.High)
	case open > 0:
		return unknown
	}
	if open > 0 {
		s += " + " + strconv.Itoa(open) + " unknown"
	}
	return s
}

// groups collects rows under headings in the order the headings first come.
type groups struct{ all []Group }

func (g *groups) add(title string, row []Cell) {
	for i := range g.all {
		if g.all[i].Title == title {
			g.all[i].Rows = append(g.all[i].Rows, row)
			return
		}
	}
	g.all = append(g.all, Group{Title: title, Rows: [][]Cell{row}})
}

// plug is the connector of a cavity by its place and name.
func (f facts) plug(t harness.Terminal) string {
	if t.ID == "" {
		return "in no cavity"
	}
	if t.Connector == "" {
		return f.place(t.Place)
	}
	return f.place(t.Place) + ", plug " + t.Connector
}

func decision(d harness.Decision) string {
	if d == harness.Undecided {
		return "undecided"
	}
	return string(d)
}

func yes(is bool) Cell {
	if is {
		return text("yes")
	}
	return Cell{}
}

func joined(words ...string) string {
	var out []string
	for _, w := range words {
		if w != "" && (len(out) == 0 || out[0] != w) {
			out = append(out, w)
		}
	}
	return strings.Join(out, ", ")
}

func leadColour(l harness.Lead) Cell {
	c := unit.Colour{Base: l.Base, Tracer: l.Tracer}
	return Cell{Text: orUnknown(c.String()).Text, Colour: [2]string{c.Base, c.Tracer}}
}
