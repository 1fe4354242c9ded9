package cut

import (
	"cmp"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/sorting"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

// Item is one wire of a list of work.
type Item struct {
	Wire         harness.Wire
	Size         string // of the wire, or of the lead it is made of; empty is not known
	Base, Tracer string // the same
	Far          string // the place of the end that is reached last, "" if not known
	Branch       string // the last split, pass-through or panel before it on the way, or Far if there is none
	Result       Result
	Lead         *LeadResult // of a supplied lead
	Change       Change      // of one that is done: what it would need now
}

// Done returns what was done to the wire, or nil: trimmed for a lead, else cut.
func (i Item) Done() *harness.Done {
	if i.Lead != nil {
		return i.Wire.Trimmed
	}
	return i.Wire.Cut
}

// Batch is items that are worked on together. Either Place or Size, Base and Tracer say what they share.
type Batch struct {
	Place        string
	Branch       string // of a place: the split it hangs on, "" if it is that itself
	Size         string
	Base, Tracer string
	Items        []Item
	Total        unit.Length // of a cut list: of all items
	Left         unit.Length // of a cut list: of those not cut yet
}

// By is how a list is grouped.
type By string

// The ways to group a list.
const (
	BySize   By = "size"   // size and colour, as wire comes off a spool
	ByBranch By = "branch" // the branch it is laid into
	ByPlace  By = "place"  // the place where it ends
)

// CutList returns the wires that are made new and whose length is known, in groups, longest first, and those whose length is
// not, in the order of wires. Sizes come thin first, then by colour; branches and places in the order of places. Lengths
// come from length, which may have kept them; nil works each out. Cost: length for each.
func CutList(b *harness.Build, g *route.Graph, by By, length func(harness.Wire) Result) (batches []Batch, open []Item) {
	if length == nil {
		length = func(w harness.Wire) Result { return Length(b, g, w) }
	}
	var known []Item
	for _, w := range b.Wires.All() {
		if _, lead := b.Leads.Get(w.Lead); lead {
			continue
		}
		i := item(b, w, length(w))
		if w.Cut != nil {
			i.Change = After(*w.Cut, i.Result)
		}
		if i.Result.Known() {
			known = append(known, i)
		} else {
			open = append(open, i)
		}
	}
	sorting.By(known, func(x, y Item) int { return cmp.Compare(y.Result.Sum, x.Result.Sum) })
	return batch(b, known, by), open
}

// TrimList returns the wires that are made of supplied leads, which are trimmed in the car, in groups. Lengths
// come from length, as in CutList. Cost: length and LeadOf for each.
func TrimList(b *harness.Build, g *route.Graph, by By, length func(harness.Wire) Result) []Batch {
	if length == nil {
		length = func(w harness.Wire) Result { return Length(b, g, w) }
	}
	var all []Item
	for _, w := range b.Wires.All() {
		if _, lead := b.Leads.Get(w.Lead); !lead {
			continue
		}
		a := LeadOf(b, g, w, length(w))
		i := item(b, w, a.Result)
		i.Lead = &a
		if w.Trimmed != nil {
			i.Change = AfterTrim(*w.Trimmed, a.Result)
		}
		all = append(all, i)
	}
	return batch(b, all, by)
}

func item(b *harness.Build, w harness.Wire, r Result) Item {
	i := Item{Wire: w, Result: r, Base: w.Base, Tracer: w.Tracer}
	i.Size, _ = tag.Conductor(b, w)
	if lead, ok := b.Leads.Any(w.Lead); ok && i.Base == "" {
		i.Base, i.Tracer = lead.Base, lead.Tracer
	}
	places := slices.Clone(r.Path.Places)
	if i.Far, _ = b.EndPlace(w.To); fixed(b, i.Far) && w.Lead == "" {
		// A wire that was entered from the car to the controller is laid like any other: from the controller outward.
		if from, ok := b.EndPlace(w.From); ok && !fixed(b, from) {
			i.Far = from
			slices.Reverse(places)
		}
	}
	i.Branch = i.Far
	for n, id := range places {
		p, _ := b.Places.Get(id)
		if n == len(places)-1 {
			break
		}
		switch p.Kind {
		case harness.Split, harness.PassThrough, harness.Panel:
			i.Branch = id
		}
	}
	return i
}

// fixed reports whether the loom is laid up from a place and not to it.
func fixed(b *harness.Build, place string) bool {
	p, _ := b.Places.Get(place)
	switch p.Kind {
	case harness.Controller, harness.Panel, harness.TerminalStrip:
		return true
	}
	return false
}

func batch(b *harness.Build, items []Item, by By) []Batch {
	order := map[string]int{}
	for n, p := range b.Places.All() {
		order[p.ID] = n + 1
	}
	key := func(i Item) Batch {
		switch by {
		case ByBranch:
			return Batch{Place: i.Branch}
		case ByPlace:
			g := Batch{Place: i.Far, Branch: i.Branch}
			if g.Branch == g.Place {
				g.Branch = ""
			}
			return g
		}
		return Batch{Size: i.Size, Base: i.Base, Tracer: i.Tracer}
	}
	var groups []Batch
	for _, i := range items {
		k := key(i)
		at := slices.IndexFunc(groups, func(g Batch) bool {
			return g.Place == k.Place && g.Branch == k.Branch && g.Size == k.Size && g.Base == k.Base && g.Tracer == k.Tracer
		})
		if at < 0 {
			groups, at = append(groups, k), len(groups)
		}
		g := &groups[at]
		g.Items = append(g.Items, i)
		if i.Lead == nil {
			g.Total += i.Result.Sum
			if i.Wire.Cut == nil {
				g.Left += i.Result.Sum
			}
		}
	}
	at := func(place string) int {
		if n := order[place]; n > 0 {
			return n
		}
		return len(order) + 1 // what ends nowhere comes last
	}
	sorting.By(groups, func(x, y Batch) int {
		return cmp.Or(
			cmp.Compare(at(cmp.Or(x.Branch, x.Place)), at(cmp.Or(y.Branch, y.Place))),
			cmp.Compare(at(x.Place), at(y.Place)),
			compareSizes(x.Size, y.Size), cmp.Compare(x.Base, y.Base), cmp.Compare(x.Tracer, y.Tracer))
	})
	return groups
}

// compareSizes orders sizes thin first; what is no size comes last, by its text.
func compareSizes(x, y string) int {
	sx, errX := unit.ParseSize(x)
	sy, errY := unit.ParseSize(y)
	switch {
	case errX != nil && errY != nil:
		return cmp.Compare(x, y)
	case errX != nil:
		return 1
	case errY != nil:
		return -1
	}
	return sx.Compare(sy)
}

// Trim returns the length to trim a lead to, from the rear face of its connector: what it needs without a tail, rounded up
// to what is easily read off a tape, but no more than there is. ok is false if that is not known, and for a lead that is
// truly short.
func (a LeadResult) Trim(sys unit.System) (l unit.Length, ok bool) {
	if !a.Result.Known() || a.Verdict == TrulyShort || a.Because == NoLead {
		return 0, false
	}
	l = (a.Result.Exact - a.Result.Tail).RoundCut(sys)
	if a.Supplied > 0 {
		l = min(l, a.Supplied)
	}
	return l, true
}
