package loom

import (
	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Kinds lists what covers a loom, loose ones first.
var Kinds = []bundle.CoverKind{bundle.SlitTube, bundle.Corrugated, bundle.Braid, bundle.Shrink2, bundle.Shrink3}

// ownList is the source of a size that a person entered.
const ownList = "your own list"

// Own reports whether the build has sizes of a kind of its own.
func Own(b *harness.Build, kind bundle.CoverKind) bool {
	all := b.CoverSizes.All()
	for i := range all {
		if all[i].Kind == harness.Cover(kind) {
			return true
		}
	}
	return false
}

// Stock returns the sizes to choose from: of each kind those of the build, or the usual ones where it has none.
func Stock(b *harness.Build) (stock []bundle.Stock) {
	own := map[bundle.CoverKind]bool{}
	all := b.CoverSizes.All()
	for i := range all {
		c := &all[i]
		own[bundle.CoverKind(c.Kind)] = true
		s := bundle.Stock{Kind: bundle.CoverKind(c.Kind), Name: c.Name, Inside: c.Inside.MM(), Least: mm(c.Least), Wall: mm(c.Wall), Hole: mm(c.Hole), Source: ownList}
		if c.Mass != nil {
			s.Mass = *c.Mass
		}
		stock = append(stock, s)
	}
	for _, s := range bundle.Usual() {
		if !own[s.Kind] {
			stock = append(stock, s)
		}
	}
	return stock
}

func mm(l *unit.Length) float64 {
	if l == nil {
		return 0
	}
	return l.MM()
}

// Copy returns the usual sizes of a kind as records without ids, to be changed by a person.
func Copy(kind bundle.CoverKind) (sizes []harness.CoverSize) {
	length := func(v float64) *unit.Length {
		if v <= 0 {
			return nil
		}
		l := unit.Length(v*1000+0.5) * unit.Millimetre / 1000
		return &l
	}
	for _, s := range bundle.Usual() {
		if s.Kind == kind {
			sizes = append(sizes, harness.CoverSize{Kind: harness.Cover(kind), Name: s.Name, Inside: *length(s.Inside), Least: length(s.Least), Wall: length(s.Wall), Hole: length(s.Hole),
				Order: float64(len(sizes) + 1)})
		}
	}
	return sizes
}
