package plan

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/rules"
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
	devices := 0
	for _, x := range b.Places.All() {
		if x.Kind == harness.Device {
			devices++
		}
	}
	look := "…"
	if p.judged {
		look = fmt.Sprint(p.findings())
	}
	to := p.At.On("circuits").In("look")
	record := p.At.On("make").In("record")
	return []app.UI{
		row("Pins", pins, fmt.Sprint(c.Leads), below, "pins"),
		row("Devices and panel", "what the leads go to, fuses, relays", fmt.Sprint(devices), "devices", "devices"),
		row("Circuits", "what is joined together; proposes the wires", fmt.Sprint(b.Circuits.Len()), "circuits", "circuits"),
		row("Looms and bundles", "how thick, what covers them, holes, what a wire may carry", fmt.Sprint(b.Runs.Len()), "runs", "looms"),
		kit.Row("", "Worth a look", "what will hurt, will not work, or is not planned", look, "findings", kit.To(to), to),
		kit.Row("", "The record", "all of it in one file, for the glove box", "→", "", kit.To(record), record),
	}
}

// findings counts what is worth a look in the build as it is. It is worked out only after the page is there.
func (p *plan) findings() int {
	if n := p.S.Log().Len(); p.lookedAt != n || p.lookedIn != p.S.ID() {
		p.lookedAt, p.lookedIn = n, p.S.ID()
		p.looks = 0
		for _, f := range rules.Check(p.S.B(), p.S.Graph(), rules.Options{}) {
			if f.Dismissed == "" {
				p.looks++
			}
		}
	}
	return p.looks
}
