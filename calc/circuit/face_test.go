package circuit

import (
	"fmt"
	"testing"

	"loomwright/calc/harness"
)

func cells(v View) (text string) {
	for _, c := range v.Cells {
		text += fmt.Sprintf("%s@%d,%d ", c.Terminal.Name, c.Row, c.Column)
	}
	for _, t := range v.Loose {
		text += t.Name + " loose "
	}
	return text
}

func TestFace(t *testing.T) {
	b := harness.NewBuild("b")
	terminal := func(name string, row, column int) harness.Terminal {
		return harness.Terminal{Record: rec("t" + name), Place: "p", Connector: "A", Name: name, Row: row, Column: column}
	}
	put(t, b, Records{Terminals: []harness.Terminal{terminal("1", 1, 1), terminal("2", 1, 2), terminal("3", 1, 3), terminal("4", 2, 1), terminal("10", 0, 0),
		terminal("9", 0, 0), terminal("8", 7, 7), {Record: rec("other"), Place: "p", Connector: "B", Name: "1"}}})
	n := NewNet(b)
	c := harness.Connector{Place: "p", Name: "A", Rows: 2, Columns: 3, Face: harness.WireSide}
	for _, row := range []struct {
		name string
		c    harness.Connector
		from harness.Face
		want string
		face harness.Face
	}{
		{"as drawn", c, harness.WireSide, "1@1,1 2@1,2 3@1,3 4@2,1 9@2,2 10@2,3 8 loose ", harness.WireSide},
		{"from the other side", c, harness.MatingFace, "3@1,1 2@1,2 1@1,3 10@2,1 9@2,2 4@2,3 8 loose ", harness.MatingFace},
		{"nobody said from where", harness.Connector{Place: "p", Name: "A", Rows: 2, Columns: 3}, harness.MatingFace, "1@1,1 2@1,2 3@1,3 4@2,1 9@2,2 10@2,3 8 loose ", harness.NoFace},
		{"free", harness.Connector{Place: "p", Name: "A", Face: harness.WireSide}, harness.MatingFace, "1 loose 2 loose 3 loose 4 loose 8 loose 9 loose 10 loose ", harness.MatingFace},
		{"absurd", harness.Connector{Place: "p", Name: "A", Rows: 1 << 40, Columns: 1 << 40}, harness.WireSide, "1 loose 2 loose 3 loose 4 loose 8 loose 9 loose 10 loose ", harness.NoFace},
		{"too small", harness.Connector{Place: "p", Name: "A", Rows: 1, Columns: 2, Face: harness.WireSide}, harness.WireSide, "1@1,1 2@1,2 3 loose 4 loose 8 loose 9 loose 10 loose ", harness.WireSide},
	} {
		v := n.Face(row.c, row.from)
		if got := cells(v); got != row.want || v.Face != row.face {
			t.Errorf("%s: %q from %q, want %q", row.name, got, v.Face, row.want)
		}
	}
}
