package sheet

import (
	"fmt"
	"io"
	"strings"

	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/unit"
)

// Section is a run cut across, with a line for each wire in it.
type Section struct {
	Title   string
	Facts   string // how thick it is, and what covers it
	Drawing bundle.Section
	Wires   []SectionWire // in the order of their letters
	Missing string        // wires that are not drawn; empty is none
}

// SectionWire is a wire of a section.
type SectionWire struct {
	Letter, Text string
	Colour       [2]string // base and tracer
}

// The sections on a page, in millimetres.
//
// Source: our choice: two columns on A4 and Letter, letters of 2 mm in the thinnest usual wire.
const (
	SectionWidth = 86.0 // of a column
	SectionLine  = 4.0  // of the legend
	SectionHead  = 11.0 // title and facts
	SectionGap   = 6.0
	sectionScale = 4.0  // times as large as it is
	sectionMost  = 56.0 // across, at most
)

// Scale is how many times larger than it is a section is drawn.
func (s Section) Scale() float64 {
	if s.Drawing.Width <= 0 {
		return 1
	}
	return min(sectionScale, sectionMost/s.Drawing.Width)
}

// Height is what a section takes with its legend.
func (s Section) Height() float64 {
	lines := len(s.Wires)
	if s.Missing != "" {
		lines++
	}
	return SectionHead + s.Drawing.Height*s.Scale() + 3 + float64(lines)*SectionLine
}

// SectionsOf returns the runs with at least one wire cut across, in the order of runs.
func SectionsOf(b *harness.Build, o Options) (all []Section) {
	f := factsOf(b, o)
	for _, x := range f.packed(o) {
		if len(x.Wires) > 0 {
			all = append(all, f.section(x))
		}
	}
	return all
}

func (f facts) section(x loom.Facts) Section {
	wall := 0.0
	if x.Choice.OK {
		wall = x.Choice.Stock.Wall
	}
	s := Section{Title: f.place(x.Near) + " – " + f.place(x.Far), Drawing: bundle.Draw(x.Packed.Bundle, wall)}
	cells := f.bundle(x)
	s.Facts = counted(len(x.Wires), "wire", "wires") + ", " + cells[3].Text
	if x.Packed.Bundle.Diameter > 0 {
		s.Facts += " " + LengthUnit(f.system)
	}
	if x.Cover != harness.CoverOpen {
		s.Facts += " · " + cells[5].Text
	}
	wires := map[string]loom.Wire{}
	for _, w := range x.Wires {
		wires[w.ID] = w
	}
	for _, r := range s.Drawing.Rings {
		w, ok := wires[r.ID]
		if r.Kind != bundle.RingWire || !ok {
			continue
		}
		_, colour := f.conductor(w.Wire)
		s.Wires = append(s.Wires, SectionWire{r.Letter, strings.Join(full(w.Name, w.Size, colour.Text, w.Function), " · "), colour.Colour})
	}
	var not []string
	for _, w := range x.Missing() {
		not = append(not, w.Name)
	}
	if len(not) > 0 {
		s.Missing = "not drawn, diameter unknown: " + strings.Join(not, ", ")
	}
	return s
}

func full(texts ...string) (out []string) {
	for _, t := range texts {
		if t != "" {
			out = append(out, t)
		}
	}
	return out
}

// SectionNotes says how to read the sections.
func SectionNotes(system unit.System) string {
	return "sections are larger than they are, up to 4 ×; dashed: the smallest circle round the wires; sizes in " + LengthUnit(system)
}

// drawSections writes all sections on one drawing of two columns, as tall as it needs.
func drawSections(w io.Writer, b *harness.Build, o Options) error {
	const border = 8.0
	all := SectionsOf(b, o)
	var ends [2]float64
	type spot struct{ x, y float64 }
	spots := make([]spot, len(all))
	for i, s := range all {
		column := 0
		if ends[1] < ends[0] {
			column = 1
		}
		spots[i] = spot{border + float64(column)*(SectionWidth+SectionGap), border + ends[column]}
		ends[column] += s.Height() + SectionGap
	}
	width, height := 2*border+2*SectionWidth+SectionGap, 2*border+max(ends[0], ends[1])+6
	d := newDrawing(width, height, Title(b)+", cross-sections")
	for i, s := range all {
		x, y := spots[i].x, spots[i].y
		d.text(x, y+4, s.Title, 9*Point, true, "start")
		d.text(x, y+8.5, s.Facts, 8*Point, false, "start")
		k, top := s.Scale(), y+SectionHead
		for _, r := range s.Drawing.Rings {
			dash := ""
			if r.Kind == bundle.RingBundle || r.Kind == bundle.RingGroup {
				dash = ` stroke-dasharray="1 0.8"`
			}
			fmt.Fprintf(d, "<circle cx=\"%s\" cy=\"%s\" r=\"%s\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"0.2\"%s/>\n", short(x+r.X*k), short(top+r.Y*k), short(r.R*k), dash)
			if size := r.R * k * 1.1; r.Letter != "" {
				d.text(x+r.X*k, top+r.Y*k+size*0.36, r.Letter, min(size, 4), true, "middle")
			}
		}
		line := top + s.Drawing.Height*k + 3 + SectionLine*0.75
		for _, wire := range s.Wires {
			d.text(x, line, wire.Letter, 7*Point, true, "start")
			d.text(x+7, line, wire.Text, 7*Point, false, "start")
			line += SectionLine
		}
		d.text(x, line, s.Missing, 7*Point, false, "start")
	}
	if len(all) == 0 {
		d.text(border, border+4, "No run has a wire yet.", 9*Point, false, "start")
	}
	d.text(border, height-3, SectionNotes(b.Settings.Unit), 6*Point, false, "start")
	return d.flush(w)
}
