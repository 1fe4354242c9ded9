package sheet

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

// WireTag is how a tag sits on a wire.
type WireTag string

// The ways to tag a wire.
const (
	Flag WireTag = ""     // folded round the wire, QR square on one face and text on the other
	Tape WireTag = "wrap" // laid round the wire: text alone where the wire is too thin for a square
	Tube WireTag = "tube" // threaded on or stuck along: text alone
)

// TagOptions is how tags are printed. The zero value prints every tag on A4, flags on wires.
type TagOptions struct {
	Grid             Grid        // zero is the first of Grids
	Start            int         // the first label to use, from 1; 0 is 1
	OffsetX, OffsetY unit.Length // to the right and down, where a printer is off
	DPI              int         // 0 is 300
	Payload          tag.Payload // empty is a link, or the code alone where no address is set
	Address          string      // of the app, for links
	Width            unit.Length // the most a QR square may take with its quiet zone; 0 is 12 mm
	Smallest         unit.Length // the least module; 0 is 0.15 mm
	Wires            WireTag
	Bundles          BundleTag
	Connectors       ConnectorTag
	BundlesPlain     bool       // text alone on all but wires
	Kinds            []tag.Kind // empty is all
	Only             []string   // codes; empty is every tag that is not retired
	Page             int        // for SVG, which page, from 1; 0 is 1
}

// TagPlan is what would be printed, worked out to the millimetre, with what a person should know before printing.
type TagPlan struct {
	Grid     Grid
	Labels   []PlacedLabel
	Pages    int
	Squares  int     // how many labels have a QR square
	Least    float64 // smallest and largest module in millimetres; 0 without a square
	Most     float64
	Widest   float64 // largest square with its quiet zone in millimetres
	Doubtful int     // how many squares will not reliably scan
	Warnings []tag.Warning
	Notes    []string
	Ruler    Ruler
	dpi      int
}

// PlacedLabel is one label on its page. Positions are millimetres from the top left of the page.
type PlacedLabel struct {
	tag.Label
	Page, Slot int // from 1
	X, Y, W, H float64
	Square     *tag.Square // nil for text alone
	SquareX    float64     // the corner of the quiet zone
	SquareY    float64
	Grade      tag.Grade // how surely the square is read; empty without one
	Why        string    // why there is no square
	Lines      []TagLine // as printed
	Fold       float64   // where a flag is folded; 0 for none
	Round      float64   // how far a collar goes once round its bundle; 0 for none
	Punch      float64   // where a hole for a tie goes, in the middle of the height; 0 for none
	face       float64   // how wide one face of a flag is, or what a square may take
	bundle     girth
	tied       bool // a plate, because the label is too short for its bundle
}

// TagLine is one line of text; X and Y are the left end of its base line.
type TagLine struct {
	X, Y   float64
	Points float64
	Bold   bool
	Text   string
}

// UsualDPI is what a printer is taken for where nobody says. Source: our choice, an office printer at its coarsest.
const UsualDPI = 300

// defaults fills in what is zero.
func (o TagOptions) defaults() TagOptions {
	if o.Grid == (Grid{}) {
		o.Grid = Grids()[0]
	}
	o.Start = max(o.Start, 1)
	o.DPI = cmp.Or(o.DPI, UsualDPI)
	o.Width = cmp.Or(o.Width, tag.DefaultWidth)
	if o.Payload == "" {
		o.Payload = tag.Code
		if o.Address != "" {
			o.Payload = tag.Link
		}
	}
	return o
}

// PlanTags lays the tags of a build out on label sheets. Wires come first, both ends one after the other, then
// places, connectors and bundles. A square that would be too small is an error with the reason, tag.ErrTooSmall, and nothing is planned: a
// sheet of tags that no phone reads is worse than none. The error is ErrNoTags if there is none.
func PlanTags(b *harness.Build, o Options) (TagPlan, error) {
	t := o.Tags.defaults()
	if err := t.Grid.Check(); err != nil {
		return TagPlan{}, err
	}
	if t.Start > t.Grid.PerPage() {
		return TagPlan{}, fmt.Errorf("sheet: first label %d: the sheet has %d", t.Start, t.Grid.PerPage())
	}
	plan := TagPlan{Grid: t.Grid, dpi: t.DPI, Ruler: t.Grid.ruler()}
	var address tag.Address
	if t.Payload == tag.Link {
		var err error
		if address, err = tag.ParseAddress(t.Address); err != nil {
			return TagPlan{}, err
		}
		plan.Warnings = address.Warnings
	}
	width, err := o.Font.Measure()
	if err != nil {
		return TagPlan{}, err
	}
	labels, notes := labelsOf(b, t)
	plan.Notes = append(plan.Notes, notes...)
	if len(labels) == 0 {
		return plan, ErrNoTags
	}
	around := girths(b, o, labels)
	var refused []error
	shortened := 0
	for i, l := range labels {
		n := t.Start - 1 + i
		p := PlacedLabel{Label: l, Page: n/t.Grid.PerPage() + 1, Slot: n%t.Grid.PerPage() + 1}
		p.X, p.Y = t.Grid.slot(p.Slot - 1)
		p.X, p.Y = p.X+t.OffsetX.MM(), p.Y+t.OffsetY.MM()
		p.W, p.H = t.Grid.LabelW.MM(), t.Grid.LabelH.MM()
		p.bundle = around[l.Tag.Subject]
		if err := p.arrange(t, address); err != nil {
			refused = append(refused, err)
			continue
		}
		if p.write(width) {
			shortened++
		}
		if q := p.Square; q != nil {
			plan.Squares++
			if plan.Least == 0 || q.Module() < plan.Least {
				plan.Least = q.Module()
			}
			plan.Most, plan.Widest = max(plan.Most, q.Module()), max(plan.Widest, q.Width())
			if p.Grade == tag.Doubtful {
				plan.Doubtful++
			}
		}
		plan.Labels = append(plan.Labels, p)
		plan.Pages = p.Page
	}
	if len(refused) > 0 {
		return TagPlan{}, fmt.Errorf("sheet: %d of %d tags cannot be printed so: %w", len(refused), len(labels), errors.Join(distinct(refused)...))
	}
	if shortened > 0 {
		plan.Notes = append(plan.Notes, fmt.Sprintf("%s: the text is shortened to fit the label", counted(shortened, "tag", "tags")))
	}
	if plan.Squares > 0 {
		plan.Notes = append(plan.Notes, fmt.Sprintf("modules of %.2f mm at %d dpi, squares up to %.1f mm wide with their white border", plan.Least, t.DPI, plan.Widest))
		switch {
		case plan.Doubtful > 0:
			plan.Notes = append(plan.Notes, fmt.Sprintf("%s will not reliably scan: print one and scan it first, or use larger labels, the code instead of a link, or a flag",
				counted(plan.Doubtful, "square", "squares")))
		case plan.Least < tag.EasyModule.MM():
			plan.Notes = append(plan.Notes, fmt.Sprintf("modules under %.2f mm need a good print and a phone that focuses near: print one and scan it first", tag.EasyModule.MM()))
		}
	}
	plan.Notes = append(plan.Notes, plan.shaped()...)
	if plan.Ruler == (Ruler{}) {
		plan.Notes = append(plan.Notes, "the margins have no room for the ruler: measure a label instead")
	}
	return plan, nil
}

// labelsOf returns the tags to print in their order, and notes on those that are left out.
func labelsOf(b *harness.Build, t TagOptions) (labels []tag.Label, notes []string) {
	order := map[string]int{}
	for i, w := range b.Wires.All() {
		order[w.ID] = i
	}
	for _, p := range b.Places.All() {
		order[p.ID] = len(order)
	}
	for _, c := range b.Connectors.All() {
		order[c.ID] = len(order)
	}
	for _, r := range b.Runs.All() {
		order[r.ID] = len(order)
	}
	deleted, lost := 0, 0
	for _, rec := range b.Tags.All() {
		if len(t.Only) > 0 && !slices.Contains(t.Only, rec.Code) || len(t.Only) == 0 && rec.Retired {
			continue
		}
		l, ok := tag.Describe(b, rec)
		switch {
		case !ok:
			lost++
		case l.Deleted && len(t.Only) == 0:
			deleted++
		case len(t.Kinds) > 0 && !slices.Contains(t.Kinds, l.Kind):
		default:
			labels = append(labels, l)
		}
	}
	sorting.By(labels, func(x, y tag.Label) int {
		side := func(l tag.Label) int {
			if l.Wire {
				return 0
			}
			return 1
		}
		return cmp.Or(cmp.Compare(side(x), side(y)), cmp.Compare(order[x.Tag.Subject], order[y.Tag.Subject]),
			cmp.Compare(x.Tag.End, y.Tag.End), cmp.Compare(x.Tag.Code, y.Tag.Code))
	})
	if deleted > 0 {
		notes = append(notes, fmt.Sprintf("%s left out: what they were on is deleted", counted(deleted, "tag is", "tags are")))
	}
	if lost > 0 {
		notes = append(notes, fmt.Sprintf("%s left out: this build does not know what they are on", counted(lost, "tag is", "tags are")))
	}
	if n := len(tag.Missing(b)); n > 0 && len(t.Only) == 0 {
		notes = append(notes, fmt.Sprintf("%s not made yet, for ends of wires and for places", counted(n, "tag is", "tags are")))
	}
	return labels, notes
}

// margin is what is left white at the edges of a label, in millimetres, beside a quiet zone none.
//
// Source: our choice, because sheets are cut and printers feed half a millimetre off.
const margin = 1.0

// looseGap is how wide the strip of a flag round a wire is where the wire's thickness is not known, in millimetres.
//
// Source: our choice, the round of a wire of 2.5 mm.
const looseGap = 8.0

// arrange decides on the square and where it and the text go.
func (p *PlacedLabel) arrange(t TagOptions, address tag.Address) error {
	text, err := t.Payload.Text(address, p.Subject())
	if err != nil {
		return err
	}
	symbol, err := tag.NewSymbol(text, tag.FloorLevel)
	if err != nil {
		return err
	}
	bent, why := p.shape(t, symbol)
	if p.Why = why; why != "" {
		return nil
	}
	print := tag.Print{DPI: t.DPI, Width: min(t.Width, mm(p.face), mm(p.H)), Smallest: t.Smallest}
	square, err := symbol.Square(print)
	if err != nil {
		return fmt.Errorf("%s on a label of %.1f × %.1f mm: %w", t.Payload, p.W, p.H, err)
	}
	grade := square.Flat()
	if bent > 0 {
		if square, grade, err = symbol.Round(print, bent); err != nil {
			return err
		}
		if grade == tag.WillNot {
			p.Why = fmt.Sprintf("%.1f mm of wire is too thin to carry a square of %.1f mm round it", bent.MM(), square.Width())
			return nil
		}
	}
	p.Square, p.Grade = &square, grade
	// The corner lies on a whole dot, as the modules do.
	snap := func(v float64) float64 { return math.Floor(v/square.Dot()+1e-6) * square.Dot() }
	p.SquareX = snap(p.X + min(margin, (p.face-square.Width())/2))
	p.SquareY = snap(p.Y + (p.H-square.Width())/2)
	return nil
}

func mm(v float64) unit.Length { return unit.Length(math.Floor(v * float64(unit.Millimetre))) }

// distinct returns the errors with a text of their own, at most five.
func distinct(all []error) []error {
	var out []error
	seen := map[string]bool{}
	for _, err := range all {
		if s := err.Error(); !seen[s] && len(out) < 5 {
			seen[s] = true
			out = append(out, err)
		}
	}
	return out
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
