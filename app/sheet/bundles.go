package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/unit"
)

// packed is the runs of a build as bundles.
func (f facts) packed(o Options) []loom.Facts {
	grade := bundle.Quick
	if o.Thorough {
		grade = bundle.Thorough
	}
	l := loom.New(f.b, f.graph)
	all, err := l.Pack(bundle.NewPaced(grade, nil))
	if err != nil { // a diameter that is no length: there is none
		return nil
	}
	out := make([]loom.Facts, len(all))
	for i, p := range all {
		out[i] = l.Facts(l.Runs[i], p)
	}
	return out
}

// thick returns a cell with a size of a loom in mm, to a tenth; 0 is not known.
func (f facts) thick(v float64) Cell {
	if v <= 0 {
		return text(unknown)
	}
	return Cell{Text: thickness(v, f.system), Number: &v}
}

// thickness shows a size of a loom: to a tenth of a millimetre or a hundredth of an inch.
func thickness(v float64, system unit.System) string {
	if system == unit.Imperial {
		return strconv.FormatFloat(v/25.4, 'f', 2, 64)
	}
	return strconv.FormatFloat(v, 'f', 1, 64)
}

func weight(v float64, known bool) Cell {
	if !known {
		return text(unknown)
	}
	return Cell{Text: strconv.FormatFloat(v, 'f', 1, 64), Number: &v}
}

// Bundles is how thick each run is, what covers it, how it bends and what it weighs, by loom.
func Bundles(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "bundles", Title: "Bundles", Columns: []Column{
		{Key: "from", Title: "From", Wide: 1.5}, {Key: "to", Title: "To", Wide: 1.5}, {Key: "wires", Title: "Wires", Number: true, Wide: 0.6},
		f.lengthColumn("diameter_mm", "Diameter"), f.lengthColumn("thumb_mm", "Thumb"), {Key: "cover", Title: "Cover", Wide: 1.5}, f.lengthColumn("over_mm", "Over cover"),
		{Key: "grommet", Title: "Grommet", Wide: 1.3}, f.lengthColumn("bend_mm", "Bend"), {Key: "copper_g", Title: "Copper", Unit: "g", Number: true, Wide: 0.8},
		{Key: "mass_g", Title: "Mass", Unit: "g", Number: true, Wide: 0.8}, {Key: "missing", Title: "Not known", Wide: 1.2},
	}}
	groups := map[string]int{}
	for _, x := range f.packed(o) {
		name := f.loom(x.Loom)
		if name == "" {
			name = "in no loom"
		}
		at, had := groups[name]
		if !had {
			at = len(t.Groups)
			groups[name] = at
			t.Groups = append(t.Groups, Group{Title: name})
		}
		t.Groups[at].Rows = append(t.Groups[at].Rows, f.bundle(x))
	}
	grade := "within 2 %"
	if o.Thorough {
		grade = "as well as it goes"
	}
	t.Notes = append(t.Notes, "diameter: wires packed in the smallest circle, "+grade+"; thumb: 1.2 × √(sum of the diameters squared), for comparison",
		"bend: inside radius, at least 10 × the diameter (FAA AC 43.13-1B ch. 11); a size is the smallest of the list that fits, a grommet has room to grow")
	return t, nil
}

func (f facts) bundle(x loom.Facts) []Cell {
	d := x.Packed.Bundle.Diameter
	missing := x.Missing()
	row := []Cell{text(f.place(x.Near)), text(f.place(x.Far)), count(len(x.Wires))}
	if len(x.Wires) == 0 {
		return append(row, text(""), text(""), text(""), text(""), text(""), text(""), text(""), text(""), text("no wire"))
	}
	thick := f.thick(d)
	if len(missing) > 0 && d > 0 {
		thick.Text = "> " + thick.Text
	}
	cover, over := text("not chosen"), text("")
	switch {
	case x.Cover == harness.NoCover:
		cover = text("bare")
	case x.Cover == harness.CoverOpen:
	case x.Choice.OK:
		cover, over = text(string(x.Cover)+" "+x.Choice.Stock.Name), f.thick(x.Over)
	case x.Packed.Bundle.Known():
		cover = text(string(x.Cover) + ": none fits")
	default:
		cover = text(string(x.Cover) + ": " + unknown)
	}
	grommet := text(unknown)
	if x.Grommet.OK {
		grommet = text(x.Grommet.Stock.Name)
	} else if x.Packed.Bundle.Known() {
		grommet = text("none fits")
	}
	var not []string
	for _, w := range missing {
		not = append(not, w.Name)
	}
	if !x.Measured {
		not = append(not, "length")
	}
	if x.Choice.OK && x.Choice.Stock.Mass <= 0 {
		not = append(not, "mass of the cover")
	}
	mass := weight(x.Weight.Loom, x.Measured)
	copper := weight(x.Weight.Copper, x.Measured)
	if x.Measured && len(x.Weight.Unknown) > 0 {
		mass.Text = "> " + mass.Text
		if len(missing) > 0 {
			copper.Text = "> " + copper.Text
		}
	}
	return append(row, thick, f.thick(x.Packed.Thumb), cover, over, grommet, f.thick(x.Bend), copper, mass, text(strings.Join(not, ", ")))
}

// LayUp is the order in which the wires of each run are laid up, the core first.
func LayUp(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "layup", Title: "Lay order", Columns: []Column{
		{Key: "step", Title: "Step", Number: true, Wide: 0.5}, {Key: "layer", Title: "Layer", Wide: 0.6}, {Key: "wire", Title: "Wire", Wide: 0.8}, {Key: "group", Title: "Twisted or shielded", Wide: 1.1},
		{Key: "function", Title: "Function", Wide: 2}, {Key: "size", Title: "Size"}, {Key: "colour", Title: "Colour", Wide: 1.2}, {Key: "leaves", Title: "Leaves at", Wide: 1.6}, f.lengthColumn("after_mm", "After"),
	}}
	for _, r := range loom.New(b, f.graph).Runs {
		if len(r.Wires) == 0 {
			continue
		}
		wires := map[string]loom.Wire{}
		for _, w := range r.Wires {
			wires[w.ID] = w
		}
		g := Group{Title: f.place(r.Near) + " to " + f.place(r.Far)}
		for i, s := range r.Lay() {
			ids, group := s.Parts, s.ID
			if len(ids) == 0 {
				ids, group = []string{s.ID}, ""
			}
			layer := "core"
			if s.Layer > 0 {
				layer = strconv.Itoa(s.Layer)
			}
			for _, id := range ids {
				w, ok := wires[id]
				if !ok { // a group within a group
					g.Rows = append(g.Rows, []Cell{count(i + 1), text(layer), text(""), text(id), {}, {}, {}, {}, {}})
					continue
				}
				size, colour := f.conductor(w.Wire)
				after := f.mm(w.Rest)
				if !w.Sure {
					after.Text = "> " + after.Text
				}
				g.Rows = append(g.Rows, []Cell{count(i + 1), text(layer), text(w.Name), text(group), text(w.Function), size, colour, text(f.place(w.Leaves)), after})
			}
		}
		t.Groups = append(t.Groups, g)
	}
	t.Notes = append(t.Notes, "what leaves last lies in the core; after: the way from the end of the run to where the wire leaves",
		fmt.Sprintf("%s with wires", counted(len(t.Groups), "run", "runs")))
	return t, nil
}
