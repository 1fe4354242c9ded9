package pins

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
)

// OnResize draws the page anew: a tablet that is turned gets the sketch beside it, or loses it.
func (p *page) OnResize(app.Context) {}

// lit is the sketch beside the card of a lead, with the ways of its wires, and beside a plug, with where it is.
func (p *page) lit() *kit.Sketch {
	if x, ok := p.lead(); ok {
		return kit.Lit(p.S, []string{x.Terminal.Place}, p.net.Wires(x.Terminal.ID))
	}
	if name, id, _ := strings.Cut(p.At.Mode, "."); name == partView || name == partShape {
		c, _ := p.S.B().Connectors.Get(id)
		return kit.Lit(p.S, []string{c.Place}, nil)
	}
	return nil
}
