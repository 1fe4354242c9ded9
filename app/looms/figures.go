package looms

import (
	"strconv"
	"strings"

	"loomwright/app/kit"
	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/unit"
)

// mostWires is how many wires are named one by one in an account.
const mostWires = 80

// figure explains the numbers of the page.
func (w *worker) figure(key string) unit.Figure {
	what, id, _ := strings.Cut(key, ".")
	b := w.s.B()
	if b == nil {
		return unit.Figure{}
	}
	if what == "pull" {
		return w.pullFigure(id)
	}
	if what == "weight" {
		return w.weightFigure(id)
	}
	id, which, _ := strings.Cut(id, ".")
	f, ok := w.of(id)
	if !ok || len(f.Wires) == 0 {
		return unit.Figure{}
	}
	name := kit.RunName(b, f.Run.Run)
	sys := b.Settings.Unit
	mm := func(v float64) string {
		if v <= 0 {
			return notKnown
		}
		return millimetres(v, sys)
	}
	x := unit.Figure{Of: string(harness.KindRun), ID: id}
	if n := len(f.Missing()); n > 0 {
		x.Note = "The diameter of " + number(n, "wire") + " is not known."
	}
	if i, err := strconv.Atoi(which); err == nil && i >= 0 && i < len(f.Wires) {
		return w.wireFigure(what, name, f.Wires[i])
	}
	bundleTerm := unit.Term{Name: "bundle", Text: mm(f.Packed.Bundle.Diameter), Formula: "the smallest circle found", Card: "dia." + id}
	switch what {
	case "dia", "thumb":
		x.What, x.Value = "Diameter of "+name, mm(f.Packed.Bundle.Diameter)
		x.Formula = "the smallest circle that was found to hold all wires, twisted and shielded ones packed first"
		x.Source = "circles packed by basin hopping: Grosso, Jamali, Locatelli, Schoen, Journal of Global Optimization 47, 2010"
		if what == "thumb" {
			x.What, x.Value = "Rule of thumb for "+name, mm(f.Packed.Thumb)
			x.Formula, x.Source = "1.2 × the root of the sum of the diameters squared", "common practice; factors of 1.15 to 1.45 are in use"
		}
		for i := range f.Wires {
			wire := &f.Wires[i]
			t := unit.Term{Name: strings.TrimSpace(wire.Name + " " + wire.Size), Text: mm(wire.Outside.MM()), Source: wire.Source, Of: string(harness.KindWire), ID: wire.ID}
			if i < mostWires {
				x.Terms = append(x.Terms, t)
			}
		}
	case "bend":
		x.What, x.Value, x.Formula, x.Source = "Least bend of "+name, mm(f.Bend), "10 × the diameter, measured inside the bend", "FAA AC 43.13-1B chapter 11"
		x.Terms = []unit.Term{bundleTerm, {Name: "times", Value: 10, Source: x.Source}}
	case "cover":
		x.What, x.Value, x.Formula, x.Source = "Size of "+string(f.Cover)+" for "+name, choiceWord(f.Choice), "the smallest size of the list that fits", "the list of sizes"
		x.Terms = append([]unit.Term{bundleTerm}, loom.Terms(f.Choice.Terms)...)
	case "grommet":
		x.What, x.Value, x.Formula, x.Source = "Grommet for "+name, choiceWord(f.Grommet), "the smallest of the list that leaves room to grow", "the list of sizes"
		x.Terms = append([]unit.Term{bundleTerm}, loom.Terms(f.Grommet.Terms)...)
	case "copper", "mass":
		x.What, x.Value, x.Formula = "Copper in "+name, grams(f.Weight.Copper), "length × the copper in a metre of each wire"
		if what == "mass" {
			x.What, x.Value, x.Formula = "Mass of "+name, grams(f.Weight.Loom), "copper, insulation, and the cover where its mass is known"
		}
		x.Source = "copper of 8.89 g/cm³ (IEC 60028); insulation of 1.4 g/cm³, from memory"
		if !f.Measured {
			x.Value = notKnown
		}
		x.Terms = loom.Terms(f.Weight.Terms)
		if len(x.Terms) > 0 {
			x.Terms[0] = unit.Term{Name: "length", Text: f.Length.Grouped(sys), Card: "run." + id}
			if !f.Measured {
				x.Terms[0].Text = notKnown
			}
		}
		if len(f.Sleeves) > 0 && what == "mass" {
			x.Note = strings.TrimSpace(x.Note + " What shields weigh is not known.")
		}
		if f.Choice.OK && f.Choice.Stock.Mass <= 0 && what == "mass" {
			x.Note = strings.TrimSpace(x.Note + " What the " + string(f.Cover) + " weighs is not known.")
		}
	default:
		return unit.Figure{}
	}
	return x
}

func choiceWord(c bundle.Choice) string {
	if c.OK {
		return c.Stock.Name
	}
	if len(c.Terms) > 1 {
		return "none fits"
	}
	return notKnown
}

// pullFigure explains how a hole is gone through.
func (w *worker) pullFigure(id string) unit.Figure {
	w.follow()
	for _, h := range w.looms.Holes {
		if h.ID != id || len(h.Bundle.Wires) == 0 {
			continue
		}
		pull := w.pull(h)
		x := unit.Figure{What: "Through " + w.looms.Name(id), Value: notKnown, Formula: "the largest thing that is pulled through, against the hole", Terms: loom.Terms(pull.Terms),
			Source: "our choice: what is known of bundle, branches and connectors, on the easier side or the one chosen", Of: string(harness.KindPlace), ID: id}
		if pull.Largest.Size > 0 {
			x.Value = millimetres(pull.Largest.Size, w.s.B().Settings.Unit)
		}
		for i := range x.Terms {
			if x.Terms[i].Value == 0 {
				x.Terms[i].Text = notKnown
			}
		}
		if len(pull.Unknown) > 0 {
			x.Note = "Not known: " + strings.Join(pull.Unknown, ", ") + "."
		}
		return x
	}
	return unit.Figure{}
}
