package sheet

import (
	"fmt"
	"io"
	"slices"
	"strconv"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Table is a list before it is written in any format. Cells hold what a person reads and, where it is a number,
// the number in the unit that its column names.
type Table struct {
	Name    string // the kind: "wires"
	Title   string
	Columns []Column
	Groups  []Group
	Notes   []string // what the reader must know: what is missing, how numbers were made
}

// Group is rows under one heading.
type Group struct {
	Title string // may be empty
	Rows  [][]Cell
	Total []Cell // as long as a row; nil for none
}

// Column is one column.
type Column struct {
	_      [0]func() // never compared: that saves a function for each length of a list
	Key    string    // for programs: "cut_mm"; lengths are always in mm there
	Title  string    // for people: "Cut"
	Unit   string    // of the text of its cells, printed in the heading: "mm", "in"; may be empty
	Number bool      // set to the right
	Tick   bool      // cells are "yes" or empty, printed as a box to tick
	Wide   float64   // its share of the width of a page; 0 is 1
}

// Cell is one cell. The zero Cell is empty; what is not known says so in Text.
type Cell struct {
	_      [0]func() // never compared: that saves a function for each length of a list
	Text   string
	Number *float64  // in the unit of the column's key
	Colour [2]string // a wire's base and tracer, for a swatch beside the letters
}

// Rows returns the rows of all groups.
func (t Table) Rows() [][]Cell {
	var out [][]Cell
	for _, g := range t.Groups {
		out = append(out, g.Rows...)
	}
	return out
}

func text(s string) Cell { return Cell{Text: s} }

func count(n int) Cell {
	f := float64(n)
	return Cell{Text: strconv.Itoa(n), Number: &f}
}

// length returns a cell with a length in the unit of the build, without the unit, which its column has.
func length(l unit.Length, system unit.System) Cell {
	mm := l.MM()
	number, _ := l.Figures(system)
	return Cell{Text: number, Number: &mm}
}

// unknown is the text of a cell whose value is not known.
const unknown = "unknown"

// LengthUnit is the unit that length leaves out.
func LengthUnit(s unit.System) string {
	if s == unit.Imperial {
		return "in"
	}
	return "mm"
}

// Write writes the table as CSV or JSON.
func (t Table) Write(w io.Writer, format Format, b *harness.Build, o Options) error {
	switch format {
	case CSV:
		return t.writeCSV(w, o)
	case JSON:
		return t.writeJSON(w, b, o)
	}
	return fmt.Errorf("%w: %s as %q", ErrFormat, t.Name, format)
}

// Filled returns the table without the columns in which no cell says anything.
func (t Table) Filled() Table {
	var keep []int
	for i, c := range t.Columns {
		if c.Tick || slices.ContainsFunc(t.Rows(), func(row []Cell) bool { return row[i].Text != "" }) {
			keep = append(keep, i)
		}
	}
	if len(keep) == 0 {
		return t // no rows: the headings say what is missing
	}
	pick := func(row []Cell) (out []Cell) {
		for _, i := range keep {
			if row != nil {
				out = append(out, row[i])
			}
		}
		return out
	}
	out := t
	out.Columns, out.Groups = nil, nil
	for _, i := range keep {
		out.Columns = append(out.Columns, t.Columns[i])
	}
	for _, g := range t.Groups {
		slim := Group{Title: g.Title, Total: pick(g.Total)}
		for _, row := range g.Rows {
			slim.Rows = append(slim.Rows, pick(row))
		}
		out.Groups = append(out.Groups, slim)
	}
	return out
}
