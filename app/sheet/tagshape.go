package sheet

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// BundleTag is how a tag sits on a bundle.
type BundleTag string

// The ways to tag a bundle. Where the label is too short for the one that is chosen, a plate is made.
const (
	Collar     BundleTag = ""     // once round and over itself; a flag where the bundle is too thin for the square
	BundleFlag BundleTag = "flag" // folded round it, square on one face and text on the other
)

// ConnectorTag is how a tag sits on a connector.
type ConnectorTag string

// The ways to tag a connector.
const (
	Stuck  ConnectorTag = ""       // stuck on, square and text beside each other
	Plate  ConnectorTag = "plate"  // the same, with a cross where a hole for a tie is punched
	Folded ConnectorTag = "folded" // folded over a tie: square on one side, text on the other
)

// The sizes of tags on bundles and connectors, in millimetres.
//
// Source: our choice. The tail is what common practice lays over the beginning, with room for the tear of it; thinner
// bundles than leastRound have no room for text round them; a face holds a square of 12 mm and a code beside it.
const (
	clearTail  = 10.0 // behind the round of a collar, nothing printed on it
	leastRound = 30.0
	flagFace   = 25.0 // on a tape, which is cut to length
	leastFace  = 14.0
	tieGap     = 6.0 // of a folded plate, for the tie
	loosely    = 40.0
	punchRoom  = 6.0
	punchCross = 3.0
)

// girth is what is known of the bundle that a tag goes round.
type girth struct {
	over  float64 // diameter over its cover, mm; 0 is not known
	wires int
}

// girths returns the bundles of those labels that are on one, by run. Without such a label nothing is packed.
func girths(b *harness.Build, o Options, labels []tag.Label) map[string]girth {
	out := map[string]girth{}
	for _, l := range labels {
		if l.Kind != tag.OnBundle {
			continue
		}
		for _, x := range factsOf(b, o).packed(o) {
			out[x.ID] = girth{x.Over, len(x.Wires)}
		}
		break
	}
	return out
}

// endless reports whether a tape is cut to the length of each label.
func (g Grid) endless() bool { return strings.HasPrefix(g.Name, tapePrefix) }

// PageWidth is how wide a page is, in millimetres: on a tape as wide as its label.
func (p TagPlan) PageWidth(page int) float64 {
	wide := p.Grid.PageW.MM()
	if p.Grid.endless() {
		for _, l := range p.Labels {
			if l.Page == page {
				wide += l.W - p.Grid.LabelW.MM()
			}
		}
	}
	return wide
}

// shape decides how the label is folded or wrapped, and returns how thick what the square is bent round is: 0 for flat. why
// says why there can be no square.
func (p *PlacedLabel) shape(t TagOptions, s tag.Symbol) (bent unit.Length, why string) {
	p.face = p.W
	switch p.Kind {
	case tag.OnWire:
		diameter, _, known := wire.OutsideDiameter(p.Size)
		switch {
		case t.Wires == Tube:
			return 0, "text alone was chosen"
		case t.Wires == Tape && !known:
			return 0, "the thickness of the wire is not known"
		case t.Wires == Tape:
			return diameter, ""
		case known:
			p.fold(math.Pi * diameter.MM())
		default:
			p.fold(looseGap)
		}
		return 0, ""
	case tag.OnBundle:
		bent = p.collar(t, s)
	case tag.OnConnector:
		switch {
		case t.Connectors == Folded && (p.W-tieGap)/2 >= leastFace:
			p.fold(tieGap)
		case t.Connectors != Stuck:
			p.punch()
		}
	}
	if t.BundlesPlain {
		return 0, "text alone was chosen"
	}
	return bent, ""
}

// fold makes two faces with a gap between them that goes round something.
func (p *PlacedLabel) fold(gap float64) {
	p.face, p.Fold = (p.W-gap)/2, p.X+p.W/2
}

// punch marks where a hole for a tie goes, and leaves that end free.
func (p *PlacedLabel) punch() {
	p.Punch = p.X + p.W - punchRoom/2
	p.face = p.W - punchRoom
}

// collar shapes a tag for its bundle: once round where the square is surely read so, else a flag, else a plate to tie on.
func (p *PlacedLabel) collar(t TagOptions, s tag.Symbol) (bent unit.Length) {
	round := math.Pi * p.bundle.over
	if t.Bundles == Collar && round >= leastRound && (t.Grid.endless() || round+clearTail <= p.W) {
		over := mm(p.bundle.over)
		_, grade, err := s.Round(tag.Print{DPI: t.DPI, Width: min(t.Width, mm(round/2), mm(p.H)), Smallest: t.Smallest}, over)
		if t.BundlesPlain || err == nil && grade == tag.Scans {
			if t.Grid.endless() {
				p.W = round + clearTail
			}
			p.Round, p.face = round, round/2
			return over
		}
	}
	gap := cmp.Or(round, loosely)
	if t.Grid.endless() {
		p.W = gap + 2*flagFace
	}
	if (p.W-gap)/2 < leastFace {
		p.punch()
		p.tied = true
		return 0
	}
	p.fold(gap)
	return 0
}

// Strokes returns the thin lines that are printed on a label beside its text and square, each from one point to another in
// millimetres on the page: where it is folded, where the round of a collar ends, where it is punched.
func (p PlacedLabel) Strokes() (lines [][4]float64) {
	for _, x := range []float64{p.Fold, p.end()} {
		if x > 0 {
			lines = append(lines, [4]float64{x, p.Y, x, p.Y + 1}, [4]float64{x, p.Y + p.H - 1, x, p.Y + p.H})
		}
	}
	if p.Punch > 0 {
		x, y := p.Punch, p.Y+p.H/2
		lines = append(lines, [4]float64{x - punchCross/2, y, x + punchCross/2, y}, [4]float64{x, y - punchCross/2, x, y + punchCross/2})
	}
	return lines
}

// end is where the round of a collar ends and its tail begins.
func (p PlacedLabel) end() float64 {
	if p.Round == 0 {
		return 0
	}
	return p.X + p.Round
}

// shaped says what a person should know of the shapes of tags on bundles.
func (p TagPlan) shaped() (notes []string) {
	collars, tied, unknown := 0, 0, 0
	for _, l := range p.Labels {
		switch {
		case l.Round > 0:
			collars++
		case l.tied:
			tied++
		}
		if l.Kind == tag.OnBundle && l.bundle.over == 0 {
			unknown++
		}
	}
	if collars > 0 {
		notes = append(notes, fmt.Sprintf("%s round a bundle: the ticks are once round it, what is behind them is the clear tail of %.0f mm or more", counted(collars, "tag goes", "tags go"), clearTail))
	}
	if tied > 0 {
		notes = append(notes, fmt.Sprintf("%s too thick for this label: punch it at the cross and tie it on, or print on a tape", counted(tied, "bundle is", "bundles are")))
	}
	if unknown > 0 {
		notes = append(notes, fmt.Sprintf("%s not known: the gap of the flag is %.0f mm", counted(unknown, "bundle's thickness is", "bundles' thicknesses are"), loosely))
	}
	return notes
}
