package circuit

import (
	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// Cell is a cavity where it is seen.
type Cell struct {
	Terminal    harness.Terminal
	Row, Column int // from 1, from the upper left
}

// View is a connector as it is seen from one side.
type View struct {
	Face          harness.Face // from where; unknown where nobody said from where the source drew it
	Rows, Columns int          // 0 and 0 of a connector that is free
	Cells         []Cell       // by row, then column
	Loose         []harness.Terminal
}

// Face returns a connector as it is seen from a side: from the side that its source did not use, each row runs the other
// way. Cavities with no position get the next in their order, row by row, where the connector has rows and columns; what
// has no position in it is loose, such as everything in a free one. Two cavities in one position are both there.
//
// Where nobody said from which side the source drew it, it is shown as drawn and the face stays unknown.
func (n *Net) Face(c harness.Connector, from harness.Face) View {
	v := View{Face: from, Rows: c.Rows, Columns: c.Columns}
	if c.Face == harness.NoFace {
		v.Face = harness.NoFace
	}
	if c.Rows < 1 || c.Columns < 1 || c.Rows > harness.GridLimit || c.Columns > harness.GridLimit {
		v.Rows, v.Columns = 0, 0
	}
	taken := map[[2]int]bool{}
	var rest []harness.Terminal
	terminals := n.b.Terminals.All()
	for i := range terminals {
		t := terminals[i]
		switch {
		case t.Place != c.Place || t.Connector != c.Name:
		case t.Row >= 1 && t.Column >= 1 && t.Row <= v.Rows && t.Column <= v.Columns:
			taken[[2]int{t.Row, t.Column}] = true
			v.Cells = append(v.Cells, Cell{t, t.Row, t.Column})
		default:
			rest = append(rest, t)
		}
	}
	sorting.By(rest, compareCavities)
	at := 0
	for _, t := range rest {
		for at < v.Rows*v.Columns && taken[[2]int{1 + at/v.Columns, 1 + at%v.Columns}] {
			at++
		}
		if at >= v.Rows*v.Columns || t.Row != 0 || t.Column != 0 {
			v.Loose = append(v.Loose, t)
			continue
		}
		v.Cells = append(v.Cells, Cell{t, 1 + at/v.Columns, 1 + at%v.Columns})
		at++
	}
	if v.Face != c.Face {
		for i := range v.Cells {
			v.Cells[i].Column = v.Columns + 1 - v.Cells[i].Column
		}
	}
	sorting.By(v.Cells, func(x, y Cell) int {
		if x.Row != y.Row {
			return x.Row - y.Row
		}
		return x.Column - y.Column
	})
	return v
}
