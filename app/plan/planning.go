package plan

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/circuit"
)

// planning is the ways to what is planned, each with how far it is.
func (p *plan) planning() []app.UI {
	b := p.S.B()
	row := func(name, under, number, below, page string) app.UI {
		to := p.At.On(page)
		return kit.Row("", name, under, number, below, kit.To(to), to)
	}
	c := circuit.Count(b)
	pins, below := "the controller's leads: use, keep, remove", "pins"
	if c.Leads > 0 {
		pins, below = fmt.Sprintf("%d used, %d kept, %d removed, %d done", c.Use, c.Keep, c.Remove, c.Done), fmt.Sprintf("%d undecided", c.Undecided)
	}
	return []app.UI{
		row("Pins", pins, fmt.Sprint(c.Leads), below, "pins"),
	}
}
