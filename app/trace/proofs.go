package trace

import (
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/prove"
)

// proofs are what a wire should read and what it last read. All tests of the build are made for it.
func proofs(s *session.Session, wire string) (rows []app.UI) {
	b := s.B()
	sheet := prove.New(b, circuit.NewNet(b), prove.Options{Length: s.Cut})
	state := sheet.Read()
	for i := range sheet.Tests {
		t := &sheet.Tests[i]
		if !slices.Contains(t.Wires, wire) {
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
	if len(rows) == 0 {
		return nil
	}
	return append([]app.UI{kit.Section("What it should read", "")}, rows...)
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
