package circuits

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
)

// OnResize draws the page anew: a tablet that is turned gets the sketch beside it, or loses it.
func (p *page) OnResize(app.Context) {}

// lit is the sketch beside a page about a place, a part, a terminal or a circuit: that is ringed, and the ways of its wires
// are lit.
func (p *page) lit() *kit.Sketch {
	b := p.S.B()
	name, id, _ := strings.Cut(p.At.Mode, ".")
	place := p.At.Record
	switch name {
	case partJoin, partTap:
		t, _ := b.Terminals.Get(id)
		return kit.Lit(p.S, []string{t.Place}, p.net.Wires(id))
	case partPart, partFeed:
		if x, ok := b.Parts.Get(id); ok {
			place = x.Place
		}
	}
	if q, ok := b.Places.Get(place); ok {
		return kit.Lit(p.S, []string{q.ID}, nil)
	}
	c, ok := b.Circuits.Get(p.At.Record)
	if !ok || !kit.Wide() {
		return nil
	}
	var places []string
	for _, t := range p.net.Ends(c.ID) {
		places = append(places, t.Place)
	}
	var wires []harness.Wire
	for _, w := range b.Wires.All() {
		if w.Circuit == c.ID {
			wires = append(wires, w)
		}
	}
	return kit.Lit(p.S, places, wires)
}
