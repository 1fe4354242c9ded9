package figure

import (
	"strconv"
	"strings"

	"loomwright/calc/cut"
	"loomwright/calc/unit"
)

// Total is the key of how much wire the cut list asks for: of all, or from 0 up of one of its batches.
func Total(by cut.By, batch int) string {
	return totalOf + "." + string(by) + "." + strconv.Itoa(batch)
}

// Whole stands for all batches together.
const Whole = -1

// mostTerms is how many wires a total lists one by one. Source: our choice; the list itself is one tap away.
const mostTerms = 40

func (a asker) total(key string) unit.Figure {
	by, which, _ := strings.Cut(key, ".")
	n, err := strconv.Atoi(which)
	batches, open := cut.CutList(a.b, a.s.Graph(), cut.By(by), a.s.Cut)
	if err != nil || n < Whole || n >= len(batches) {
		return unit.Figure{}
	}
	f := unit.Figure{What: "Wire to cut", Formula: "the sum of the lengths to cut, offcuts and spares not counted", Source: "each length says its own"}
	if n != Whole {
		batches, open = batches[n:n+1], nil
		f.What = "Wire to cut in this batch"
	}
	total, left, more := unit.Length(0), unit.Length(0), 0
	for _, g := range batches {
		total, left = total+g.Total, left+g.Left
		for _, i := range g.Items {
			if len(f.Terms) >= mostTerms {
				more++
				continue
			}
			t := unit.Term{Name: i.Wire.Name, Text: a.length(i.Result.Sum), Formula: i.Wire.Function, Card: Cut(i.Wire.ID)}
			if i.Wire.Cut != nil {
				t.Formula = strings.TrimPrefix(t.Formula+", cut already", ", ")
			}
			f.Terms = append(f.Terms, t)
		}
	}
	if more > 0 {
		f.Terms = append(f.Terms, unit.Term{Name: "more wires", Value: float64(more), Source: "the list itself"})
	}
	f.Value = a.length(total)
	f.Terms = append(f.Terms, a.value("still to cut", left, "those that are not ticked", ""))
	if len(open) > 0 {
		f.Note = strconv.Itoa(len(open)) + " more are of unknown length and not in it."
	}
	return f
}
