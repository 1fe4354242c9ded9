package trace

import (
	"slices"
	"strconv"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/prove"
)

// proofs are what a wire should read and what it last read. It works that out when the rest of the page is there: all tests of the
// build are made for it.
type proofs struct {
	app.Compo
	Page *page
	Wire string
	Rev  int

	of   string // the wire and the revision that rows belong to
	rows []app.UI
}

// proofsPause lets the page show before the tests are made: a frame. Our choice.
const proofsPause = 17 * time.Millisecond

func (x *proofs) OnMount(ctx app.Context)  { x.later(ctx) }
func (x *proofs) OnUpdate(ctx app.Context) { x.later(ctx) }

func (x *proofs) key() string { return x.Wire + " " + strconv.Itoa(x.Rev) }

func (x *proofs) later(ctx app.Context) {
	if x.of == x.key() {
		return
	}
	ctx.After(proofsPause, func(app.Context) {
		if x.Page.S.B() != nil && x.of != x.key() {
			x.of, x.rows = x.key(), x.look()
		}
	})
}

func (x *proofs) look() (rows []app.UI) {
	s := x.Page.S
	b := s.B()
	sheet := prove.New(b, circuit.NewNet(b), prove.Options{Length: s.Cut})
	state := sheet.Read()
	for i := range sheet.Tests {
		t := &sheet.Tests[i]
		if !slices.Contains(t.Wires, x.Wire) {
			continue
		}
		under := "not tested yet"
		if all := state.History(t); len(all) > 0 {
			r := &all[len(all)-1]
			under = "last: " + string(r.Outcome)
			if r.Value != nil {
				under += ", " + prove.With(*r.Value, r.Unit)
			}
			under += ", " + kit.Day(r.At)
		}
		number, below := "?", ""
		if e := sheet.Expect(t, prove.UsualMeter.Celsius); e.Unknown == "" {
			number, below = prove.With(e.Ohm, "ohm"), "expected"
			if e.Volts > 0 {
				number = prove.With(e.Volts, "V")
			}
		}
		to := kit.Addr{Build: s.ID(), Page: "prove", Record: t.ID}
		rows = append(rows, kit.Row(mark(state.Of(t)), sheet.Title(t), under, number, below, kit.To(to), to))
	}
	return rows
}

func mark(o harness.Outcome) string {
	switch o {
	case harness.Passed:
		return "✓"
	case harness.Failed:
		return "✕"
	}
	return "○"
}

// Render draws them, as soon as they are there.
func (x *proofs) Render() app.UI {
	switch {
	case x.of != x.key():
		return app.Div().Body(kit.Section("What it should read", ""), kit.Lines("Working it out…"))
	case len(x.rows) == 0:
		return app.Div()
	}
	return app.Div().Body(append([]app.UI{kit.Section("What it should read", "")}, x.rows...)...)
}

// views draws the connectors of both ends of a wire from both sides, its cavity lit.
func (p *page) views(ends ...harness.End) (out []app.UI) {
	n := circuit.NewNet(p.S.B())
	for _, e := range ends {
		for _, face := range []harness.Face{harness.MatingFace, harness.WireSide} {
			if v := kit.Cavities(p.S.B(), n, e.Terminal, face); v != nil {
				out = append(out, v)
			}
		}
	}
	if len(out) > 0 {
		out = append([]app.UI{kit.Section("Pin and cavity", "")}, out...)
	}
	return out
}
