package faults

import (
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// zone says where a place lies.
func zone(e *Edit, name string, z wire.Zone) {
	e.place(name, func(p *harness.Place) { p.Zone = harness.Zone(z) })
}

// opening makes a hole and its grommet of so many millimetres, 0 being not known, pulled from a place.
func opening(name string, hole, bore int64, from string) func(*Edit) {
	return func(e *Edit) {
		e.place(name, func(p *harness.Place) {
			p.Hole, p.Bore = millimetres(hole), millimetres(bore)
			if from != "" {
				p.Pull = id(harness.KindPlace, from)
			}
		})
	}
}

// plug makes the connector of a place so wide.
func plug(e *Edit, name string, across int64, made harness.Answer) {
	e.place(name, func(p *harness.Place) { p.Across, p.Made = millimetres(across), made })
}

func millimetres(n int64) *unit.Length {
	if n == 0 {
		return nil
	}
	l := unit.Length(n) * unit.Millimetre
	return &l
}

func cover(e *Edit, run string, c harness.Cover) {
	e.run(run, func(r *harness.Run) { r.Cover = c })
}

// own makes one size all there is of a kind of cover.
func own(e *Edit, c harness.Cover, inside, least int64) {
	e.set(harness.KindCoverSize, id(harness.KindCoverSize, string(c)), harness.CoverSize{Kind: c, Name: "what is on the shelf", Inside: *millimetres(inside), Least: millimetres(least)})
}
