package supply

import (
	"cmp"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/sorting"
	"loomwright/calc/stock"
	"loomwright/calc/unit"
)

// Key is what pieces that are cut from one wire share.
type Key struct {
	Size, Base, Tracer string
	Insulation         harness.Insulation // empty is not known
}

// Piece is one length to cut: an added wire, or what is spliced onto a lead that is too short.
type Piece struct {
	Wire      harness.Wire
	Key       Key
	Length    unit.Length // 0 is not known
	Extension bool        // it is spliced onto the wire's lead, at Wire.ExtendAt
	Missing   string      // of one that cannot be planned: what is not known
}

// Done returns what it was cut to, or nil.
func (p Piece) Done() *harness.Done {
	if p.Extension {
		return p.Wire.Extended
	}
	return p.Wire.Cut
}

// Group is the pieces that are cut from wire of one kind, and how.
type Group struct {
	Key
	Pieces []Piece         // still to be cut, long ones first
	Cut    []Piece         // cut already
	Hand   []harness.Stock // on hand, one for each length: one record may stand here several times
	Plan   stock.Plan      // its pieces and lengths on hand are indexes into Pieces and Hand
	Total  unit.Length     // of Pieces
	Kept   unit.Length     // rests of the plan that are kept
	Failed string          // why there is no plan; else empty
	Sold   []unit.Length   // the lengths it is sold in; none is by the metre
}

// Above is how much more the plan buys than the least that any plan could; 0 says that none buys less.
func (g Group) Above() unit.Length { return g.Plan.Bought - g.Plan.Lower }

// Planned is everything that is cut, and from what.
type Planned struct {
	Groups []Group
	Open   []Piece // those of unknown size, colour or length
}

// Find returns a piece and its group.
func (p Planned) Find(wire string, extension bool) (g Group, piece Piece, ok bool) {
	for _, g := range p.Groups {
		for _, all := range [2][]Piece{g.Pieces, g.Cut} {
			for _, x := range all {
				if x.Wire.ID == wire && x.Extension == extension {
					return g, x, true
				}
			}
		}
	}
	return Group{}, Piece{}, false
}

// From returns the wire on hand that a piece is planned to be cut from; ok is false if it is cut from what is bought.
func (g Group) From(p Piece) (s harness.Stock, ok bool) {
	for _, st := range g.Plan.Stocks {
		for _, c := range st.Cuts {
			if x := g.Pieces[c]; x.Wire.ID == p.Wire.ID && x.Extension == p.Extension {
				if st.OnHand < 0 {
					return s, false
				}
				return g.Hand[st.OnHand], true
			}
		}
	}
	return s, false
}

// Plan sorts what is to be cut into groups of one size, colour and insulation, thin wires first, and plans each. A wire of
// unknown insulation may be cut from any; one of a known class only from wire of that class. Lengths come from length, which
// may have kept them; nil works each out. Cost: a plan for each group.
func Plan(b *harness.Build, g *route.Graph, length func(harness.Wire) cut.Result) Planned {
	if length == nil {
		length = func(w harness.Wire) cut.Result { return cut.Length(b, g, w) }
	}
	var out Planned
	at := map[Key]int{}
	for _, p := range pieces(b, g, length) {
		if p.Missing != "" {
			out.Open = append(out.Open, p)
			continue
		}
		i, ok := at[p.Key]
		if !ok {
			i = len(out.Groups)
			at[p.Key] = i
			out.Groups = append(out.Groups, Group{Key: p.Key})
		}
		gr := &out.Groups[i]
		if p.Done() != nil {
			gr.Cut = append(gr.Cut, p)
			continue
		}
		gr.Pieces = append(gr.Pieces, p)
		gr.Total += p.Length
	}
	sorting.By(out.Groups, func(x, y Group) int { return compareKeys(x.Key, y.Key) })
	used := map[string]int{} // by stock: how many of it
	for _, known := range [2]bool{true, false} {
		for i := range out.Groups {
			if gr := &out.Groups[i]; (gr.Insulation != harness.NoInsulation) == known {
				gr.plan(b, used)
			}
		}
	}
	return out
}

// compareKeys puts thin wires first, then by colour.
func compareKeys(x, y Key) int {
	sx, _ := unit.ParseSize(x.Size)
	sy, _ := unit.ParseSize(y.Size)
	return cmp.Or(sx.Compare(sy), cmp.Compare(x.Base, y.Base), cmp.Compare(x.Tracer, y.Tracer), cmp.Compare(x.Insulation, y.Insulation))
}

// pieces lists everything that is cut, long ones first.
func pieces(b *harness.Build, g *route.Graph, length func(harness.Wire) cut.Result) (all []Piece) {
	wires := b.Wires.All()
	for i := range wires {
		w := wires[i]
		lead, made := b.Leads.Get(w.Lead)
		p := Piece{Wire: w}
		if made {
			if w.ExtendAt == "" {
				continue
			}
			x := extension(b, g, w, w.ExtendAt)
			p.Extension, p.Length, p.Missing = true, x.Length, x.Missing
		} else if r := length(w); r.Known() {
			p.Length = r.Sum
		} else {
			p.Missing = "length"
		}
		p.Key = Key{Size: canonical(cmp.Or(w.Size, lead.Size)), Base: w.Base, Tracer: w.Tracer, Insulation: w.Insulation}
		if p.Key.Base == "" {
			p.Key.Base, p.Key.Tracer = lead.Base, lead.Tracer
		}
		if p.Key.Insulation == "" {
			p.Key.Insulation = lead.Insulation
		}
		for _, m := range [2]struct{ value, name string }{{p.Key.Size, "size"}, {p.Key.Base, "colour"}} {
			if m.value == "" {
				if p.Missing != "" {
					p.Missing += ", "
				}
				p.Missing += m.name
			}
		}
		all = append(all, p)
	}
	sorting.By(all, func(x, y Piece) int { return cmp.Compare(y.Length, x.Length) })
	return all
}

// canonical is the canonical text of a size, empty for what is none.
func canonical(size string) string {
	s, err := unit.ParseSize(size)
	if err != nil {
		return ""
	}
	return s.String()
}

// plan plans a group from what is on hand and not used yet.
func (g *Group) plan(b *harness.Build, used map[string]int) {
	s := b.Settings
	supply := stock.Supply{Step: BuyStep(s), Kerf: Kerf(s), Useful: Offcut(s)}
	for _, x := range b.Stocks.All() {
		if !g.fits(x) || x.Length <= 0 || x.Length > unit.Longest {
			continue
		}
		if x.Sold {
			if len(supply.Spools) < 20 {
				supply.Spools = append(supply.Spools, x.Length)
			}
			continue
		}
		for n := used[x.ID]; n < x.Pieces() && len(g.Hand) < stock.MostCuts; n++ {
			g.Hand = append(g.Hand, x)
			supply.OnHand = append(supply.OnHand, x.Length)
		}
	}
	g.Sold = supply.Spools
	cuts := make([]unit.Length, len(g.Pieces))
	for i, p := range g.Pieces {
		cuts[i] = p.Length
	}
	plan, err := stock.Cut(cuts, supply)
	if err != nil {
		g.Failed = err.Error()
		return
	}
	g.Plan = plan
	for _, st := range plan.Stocks {
		if st.OnHand >= 0 {
			used[g.Hand[st.OnHand].ID]++
		}
		if st.Kept {
			g.Kept += st.Left
		}
	}
}

// fits reports whether pieces of the group may be cut from a wire. A length that is sold fits with what it leaves open.
func (g *Group) fits(x harness.Stock) bool {
	size := canonical(x.Size)
	if x.Sold {
		return (size == "" || size == g.Size) && (x.Base == "" || x.Base == g.Base && x.Tracer == g.Tracer)
	}
	return size == g.Size && x.Base == g.Base && x.Tracer == g.Tracer && (g.Insulation == harness.NoInsulation || x.Insulation == g.Insulation)
}
