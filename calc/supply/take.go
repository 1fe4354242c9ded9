package supply

import (
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Taken is what changes when a piece is cut, or is not cut after all: the wire, and the wire on hand it came from. Records
// are given as they are to be; those of Stocks with their ids.
type Taken struct {
	Wire   harness.Wire
	Stocks []harness.Stock
}

// Take returns what changes when a piece is cut to a length from wire on hand; from is the id of that record, empty where
// it comes from wire that is not on the list. What is left shorter than the build keeps is gone. Of several lengths in one
// record one is taken out; fresh makes the id of its rest.
func Take(b *harness.Build, p Piece, from string, length unit.Length, at string, fresh func() string) Taken {
	t := Taken{Wire: p.Wire}
	done := &harness.Done{Length: length, At: at}
	if p.Extension {
		t.Wire.Extended = done
	} else {
		t.Wire.Cut = done
	}
	t.Wire.Stock = ""
	s, ok := b.Stocks.Get(from)
	if !ok || s.Sold {
		return t
	}
	rest := s
	if s.Pieces() > 1 {
		s.Count = s.Pieces() - 1
		t.Stocks = append(t.Stocks, s)
		rest.ID, rest.Count = fresh(), 0
	}
	rest.Count = 0
	rest.Length = max(s.Length-length-Kerf(b.Settings), 0)
	rest.Gone = rest.Length < Offcut(b.Settings) || rest.Length == 0
	t.Wire.Stock = rest.ID
	t.Stocks = append(t.Stocks, rest)
	return t
}

// GiveBack returns what changes when a piece was not cut after all: what it was cut from is as long as before.
func GiveBack(b *harness.Build, p Piece) Taken {
	t := Taken{Wire: p.Wire}
	done := p.Done()
	if p.Extension {
		t.Wire.Extended = nil
	} else {
		t.Wire.Cut = nil
	}
	t.Wire.Stock = ""
	if s, ok := b.Stocks.Any(p.Wire.Stock); ok && done != nil {
		s.Length += done.Length + Kerf(b.Settings)
		s.Gone = false
		t.Stocks = append(t.Stocks, s)
	}
	return t
}

// CutUp returns the wire on hand that a removed lead is once it is cut up.
func CutUp(l harness.Lead) harness.Stock {
	s := harness.Stock{Size: canonical(l.Size), Base: l.Base, Tracer: l.Tracer, Insulation: l.Insulation, Lead: l.ID}
	if l.Length != nil {
		s.Length = *l.Length
	}
	s.ID = harness.ProposedID(harness.KindStock, "lead", l.ID)
	return s
}

// Removed returns the leads that are pulled, or are to be, and whether each is cut up. They keep their terminals and are
// the spares, and what is printed on them would be wrong on another wire: so they are cut up only where a person says so.
func Removed(b *harness.Build) (leads []harness.Lead, cutUp []bool) {
	for _, l := range b.Leads.All() {
		if l.Decision != harness.Remove {
			continue
		}
		_, is := b.Stocks.Get(harness.ProposedID(harness.KindStock, "lead", l.ID))
		leads, cutUp = append(leads, l), append(cutUp, is)
	}
	return leads, cutUp
}
