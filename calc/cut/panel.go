package cut

import (
	"fmt"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// DefaultPitch is how far the positions of a panel are apart where nobody said.
const DefaultPitch = 40 * mm

// Pitch returns how far the positions of a panel are apart, and where the number comes from. A setting that is not above
// zero and at most unit.Longest is not used.
func Pitch(p harness.Place) (value unit.Length, source string) {
	if p.Pitch != nil && *p.Pitch > 0 && *p.Pitch <= unit.Longest {
		return *p.Pitch, SetInBuild
	}
	return DefaultPitch, "our choice: a relay in its holder, and room for the wires beside it"
}

// inside returns what a wire takes that stays in one panel: along its rows and columns, from the position of one part to that
// of the other, at least one position because it bends out and in again. Where a part has no position the way is not known:
// unplaced names it. ok is false for other wires, and in
// a panel that has neither parts nor a grid.
func (c *counter) inside(w harness.Wire) (t Term, unplaced []string, ok bool) {
	from, okA := c.b.EndPlace(w.From)
	to, okB := c.b.EndPlace(w.To)
	place, _ := c.b.Places.Get(from)
	if !okA || !okB || from != to || place.Kind != harness.Panel && place.Kind != harness.TerminalStrip {
		return t, nil, false
	}
	var at [2][2]int
	arranged := place.Rows > 0 && place.Columns > 0
	for i, e := range [2]harness.End{w.From, w.To} {
		terminal, _ := c.b.Terminals.Get(e.Terminal)
		part, there := c.b.Parts.Get(terminal.Part)
		arranged = arranged || there
		if e.Joint != "" || !there || part.Row < 1 || part.Column < 1 || part.Row > harness.GridLimit || part.Column > harness.GridLimit {
			name := "one of its ends"
			if there {
				name = part.Name
			}
			unplaced = append(unplaced, name)
			continue
		}
		at[i] = [2]int{part.Row, part.Column}
	}
	if !arranged {
		return t, nil, false
	}
	rows, columns := away(at[0][0], at[1][0]), away(at[0][1], at[1][1])
	each, source := Pitch(place)
	n := max(rows+columns, 1)
	return Term{Kind: InPanel, Group: OfRoute, Value: unit.Length(n) * each, Name: "Across " + c.name(place.ID),
		Reason: fmt.Sprintf("%d rows and %d columns apart", rows, columns), Source: source, Of: harness.KindPlace, ID: place.ID, Count: n, Each: each}, unplaced, true
}

// LooseWord says of a wire inside a panel what has no position in it; it is empty where that is not what is missing.
func (r Result) LooseWord() string {
	if len(r.Loose) == 0 {
		return ""
	}
	return "no position in the panel: " + strings.Join(r.Loose, ", ")
}

func away(a, b int) int {
	if a > b {
		return a - b
	}
	return b - a
}
