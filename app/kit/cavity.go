package kit

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// FaceWord is the side that a connector is seen from.
func FaceWord(f harness.Face) string {
	switch f {
	case harness.MatingFace:
		return "Mating face"
	case harness.WireSide:
		return "Wire side"
	}
	return "Which side this is, nobody said"
}

// Cavities draws the connector of a terminal as it is seen from a side, with that cavity lit: where a pin sits, or a probe goes. It is
// nil for a terminal of no connector whose rows and columns are known.
func Cavities(b *harness.Build, n *circuit.Net, terminal string, from harness.Face) app.UI {
	t, ok := b.Terminals.Any(terminal)
	if !ok || t.Part != "" {
		return nil
	}
	var plug harness.Connector
	for _, c := range b.Connectors.All() {
		if c.Place == t.Place && c.Name == t.Connector {
			plug = c
		}
	}
	if plug.ID == "" || plug.Rows == 0 {
		return nil
	}
	v := n.Face(plug, from)
	lit, last := circuit.Cell{}, 0
	for i, c := range v.Cells {
		if c.Terminal.ID == t.ID {
			lit = c
		}
		last = i
	}
	if lit.Row == 0 {
		return nil
	}
	const unit = 20
	box := func(c, r int, class, name string) []app.UI {
		x, y := (c-1)*unit, (r-1)*unit
		return []app.UI{
			SVG("rect").DataSet("k", class).Attr("x", x+1).Attr("y", y+1).Attr("width", unit-2).Attr("height", unit-2).Attr("rx", 3),
			SVG("text").DataSet("k", class).Attr("x", x+unit/2).Attr("y", y+14).Attr("text-anchor", "middle").Attr("font-size", 11).Text(name),
		}
	}
	var all []app.UI
	for i, c := range v.Cells {
		name := ""
		if i == 0 || i == last {
			name = c.Terminal.Name
		}
		if c.Row != lit.Row || c.Column != lit.Column {
			all = append(all, box(c.Column, c.Row, "cell", name)...)
		}
	}
	all = append(all, box(lit.Column, lit.Row, "lit", t.Name)...)
	word := circuit.Cavity(t) + ", " + FaceWord(v.Face)
	return app.Div().Class("cavities").Body(
		app.P().Class("small").Text(FaceWord(v.Face)+" of "+PlaceName(b, t.Place)+" "+t.Connector+", cavity "+t.Name+": row "+strconv.Itoa(lit.Row)+", "+strconv.Itoa(lit.Column)+" from the left"),
		SVG("svg").Attr("viewBox", "0 0 "+strconv.Itoa(v.Columns*unit)+" "+strconv.Itoa(v.Rows*unit)).Attr("role", "img").Aria("label", word).Body(all...))
}

// Light shows a place and runs on the sketch: beside the text where there is room, else under it.
func (f *Frame) Light(place string, runs []string) {
	if _, ok := f.S.B().Places.Get(place); !ok && len(runs) == 0 {
		return
	}
	x := &Sketch{S: f.S, Rev: f.S.Rev(), Here: place, Runs: runs, Class: "short"}
	if Wide() {
		x.Class = "full"
		f.Beside = x
		return
	}
	f.Body = append(f.Body, x)
}
