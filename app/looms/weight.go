package looms

import (
	"strconv"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/unit"
)

// weightFigure explains what a loom weighs: the sum over its runs. An empty id is what lies in no loom.
func (w *worker) weightFigure(id string) unit.Figure {
	b := w.s.B()
	x := unit.Figure{What: "Mass of what is in no loom", Formula: "the sum of its runs: wires and covers", Source: "each run says its own"}
	if id != "" {
		x.What = "Mass of " + kit.LoomName(b, id)
	}
	total := 0.0
	all := w.all()
	for i := range all {
		f := &all[i]
		_, known := b.Looms.Get(f.Loom)
		if len(f.Wires) == 0 || f.Loom != id && (id != "" || known) {
			continue
		}
		total += f.Weight.Loom
		t := unit.Term{Name: kit.RunName(b, f.Run.Run), Text: grams(f.Weight.Loom), Card: "mass." + f.ID}
		if !f.Measured || len(f.Weight.Unknown) > 0 {
			t.Text, x.Note = "> "+t.Text, "Not all of it is known: it weighs more."
		}
		x.Terms = append(x.Terms, t)
	}
	x.Value = grams(total)
	return x
}

// ofWire is the key of a number of one wire in a run.
func ofWire(what string, f loom.Facts, wire string) string {
	for i := range f.Wires {
		if f.Wires[i].ID == wire {
			return what + "." + f.ID + "." + strconv.Itoa(i)
		}
	}
	return what + "." + f.ID
}

// wireFigure explains a number of a wire in a run: how thick it is, or how far it goes on.
func (w *worker) wireFigure(what, run string, x loom.Wire) unit.Figure {
	sys := w.s.B().Settings.Unit
	of := string(harness.KindWire)
	if what == "od" {
		f := unit.Figure{What: "How thick " + x.Name + " is", Value: millimetres(x.Outside.MM(), sys), Formula: "over its insulation", Source: x.Source, Of: of, ID: x.ID,
			Terms: []unit.Term{{Name: "size", Text: x.Size, Of: of, ID: x.ID}, {Name: "over its insulation", Text: millimetres(x.Outside.MM(), sys), Source: x.Source}}}
		if x.Size == "" {
			f.Terms = f.Terms[1:]
		}
		if x.Outside <= 0 {
			f.Value, f.Note, f.Source = notKnown, "Measure it, or choose a size that is in a table.", "a caliper, or the table of its size"
			f.Terms = []unit.Term{{Name: "size", Text: notKnown, Of: of, ID: x.ID}}
		}
		return f
	}
	return unit.Figure{What: "How far " + x.Name + " goes on behind " + run, Value: x.Rest.Format(sys), Formula: "its way less what lies before it",
		Source: "the runs as adjusted; what goes farthest lies in the core", Of: of, ID: x.ID,
		Terms: []unit.Term{{Name: "leaves at", Text: kit.PlaceName(w.s.B(), x.Leaves), Of: string(harness.KindPlace), ID: x.Leaves},
			{Name: "way to there", Text: x.Rest.Format(sys), Formula: "sum of the runs behind this one", Card: "need." + x.ID}}}
}
