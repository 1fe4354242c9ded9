package cut

import (
	"errors"
	"fmt"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// Group is what a term does.
type Group string

// Runs and run terms move every mark downstream of them; the rest belongs to the one wire.
const (
	OfRoute    Group = "route"     // the runs as read
	OfRun      Group = "run"       // lengthens a run for every wire in it
	OfEnd      Group = "end"       // belongs to this wire
	OfShop     Group = "allowance" // a flat amount or a per cent in place of the terms of runs and ends
	OfRounding Group = "rounding"
)

// Term is one part of a length, never below zero.
type Term struct {
	Kind   TermKind
	Group  Group
	Value  unit.Length
	Name   string         // what it is
	Reason string         // why this wire has it
	Source string         // where the number comes from
	Of     harness.Kind   // the record it comes from: a run, place, wire, reading, or the build
	ID     string         // of that record
	End    harness.TagEnd // of a term that one end needs
	Count  int            // how often Each is in Value; 0 where it is not a multiple
	Each   unit.Length
}

// Note is something a person should know beside the length.
type Note struct {
	Kind  NoteKind
	Text  string
	Value unit.Length
}

// NoteKind names a note.
type NoteKind string

// The notes.
const (
	TwistUnknown NoteKind = "twist"      // the twist's take-up is not in the length
	Guessed      NoteKind = "guess"      // a run on the way is a guess
	ShopBelow    NoteKind = "shop below" // the flat amount or per cent is less than the terms, by Value
	LostLead     NoteKind = "lost lead"  // the lead it was made of is gone: counted as a new wire
	LongWire     NoteKind = "long wire"  // longer than LongestWire: a slip of the finger?
)

// Result is the length of a wire and how it comes about.
type Result struct {
	Wire    string
	Path    route.Path
	Problem *route.NoPath // why there is no way; nil if there is one
	Missing []string      // runs on the way whose length is not known
	Loose   []string      // of a wire inside a panel: the parts that have no position in it yet
	Terms   []Term
	Route   unit.Length // the runs on the way, and what longer readings add beyond the margin
	Least   unit.Length // what was read along the way, its run terms, and one strip and crimp: any shorter and it does not reach
	Tail    unit.Length // the part of Exact that is left long, to be trimmed in the car
	Exact   unit.Length // all terms but the rounding
	Sum     unit.Length // all terms: what to cut
	Notes   []Note

	read unit.Length // what readings along the way say more than the adjusted runs
}

// Known reports whether the length is known. If it is not, Terms holds what is known of it and all lengths are 0.
func (r Result) Known() bool { return r.Problem == nil && len(r.Missing) == 0 && len(r.Loose) == 0 }

// Of returns the sum of a group of terms.
func (r Result) Of(g Group) (sum unit.Length) {
	for _, t := range r.Terms {
		if t.Group == g {
			sum += t.Value
		}
	}
	return sum
}

// Length returns how long a wire must be: the runs on its way, the terms of each run, the terms of its two ends, the
// margin for the readings, and what rounds it up to a length that is easily read off a tape. In a build that allows a flat
// amount or a per cent, that stands in place of all terms but the runs.
//
// The terms are in the order of TermKind's constants within runs, ends and the rest. Sum is the sum of the terms, and no
// term is below zero. A wire that stays at one place has no runs, no margin, no service loop and no tail.
func Length(b *harness.Build, g *route.Graph, w harness.Wire) Result {
	c := &counter{b: b, r: Result{Wire: w.ID}}
	path, err := g.Wire(w)
	if errors.As(err, &c.r.Problem) {
		return c.r
	}
	c.r.Path, c.r.Missing = path, path.Missing
	c.runs(g)
	if t, loose, ok := c.inside(w); ok && len(loose) > 0 {
		c.r.Loose = loose
	} else if ok {
		c.add(t)
	}
	reach := c.r.Of(OfRoute)
	detailed := c.detailed(w, g)
	covered := unit.Length(0)
	if b.Settings.AllowBy == harness.AllowTerms {
		for _, t := range detailed {
			if t.Kind == Margin {
				covered = t.Value
			}
		}
	}
	c.longer(covered)
	c.r.Route = c.r.Of(OfRoute)
	reach += c.r.read
	once := unit.Length(0)
	for _, t := range detailed {
		if t.End == harness.ToEnd && (t.Kind == StripCrimp || t.Kind == SpliceEnd) {
			once = t.Value
		}
	}
	switch b.Settings.AllowBy {
	case harness.AllowFlat, harness.AllowPercent:
		shop := c.shop()
		var sum unit.Length
		for _, t := range detailed {
			sum += t.Value
		}
		if less := sum - shop.Value; less > 0 {
			c.note(ShopBelow, less, "term by term it would be %s more", less.Format(b.Settings.Unit))
		}
		c.add(shop)
		c.r.Least = reach + min(once, shop.Value)
		c.r.Tail = shop.Value - min(once, shop.Value)
	default:
		for _, t := range detailed {
			c.add(t)
			if t.Kind == Tail {
				c.r.Tail += t.Value
			}
		}
		c.r.Least = reach + c.r.Of(OfRun) + once
	}
	c.notes(w)
	if !c.r.Known() {
		c.r.Route, c.r.Least, c.r.Tail = 0, 0, 0
		return c.r
	}
	for _, t := range c.r.Terms {
		c.r.Exact += t.Value
	}
	c.r.Sum = c.r.Exact.RoundCut(b.Settings.Unit)
	if c.r.Sum > LongestWire {
		c.note(LongWire, c.r.Sum, "longer than %s: is every run of it right?", LongestWire.Format(b.Settings.Unit))
	}
	c.add(Term{Kind: Rounding, Group: OfRounding, Value: c.r.Sum - c.r.Exact, Name: "Rounded up",
		Reason: "to what is easily read off a tape", Source: "common practice", Of: harness.KindSettings, ID: b.Settings.ID})
	return c.r
}

// counter makes the terms of one wire.
type counter struct {
	b *harness.Build
	r Result
}

// add keeps a term that is above zero.
func (c *counter) add(t Term) {
	if t.Value > 0 {
		c.r.Terms = append(c.r.Terms, t)
	}
}

func (c *counter) note(kind NoteKind, value unit.Length, format string, args ...any) {
	c.r.Notes = append(c.r.Notes, Note{kind, fmt.Sprintf(format, args...), value})
}

func (c *counter) name(place string) string { return placeName(c.b, place) }

// placeName is what a place is called: its name, or what stands there.
func placeName(b *harness.Build, id string) string {
	p, _ := b.Places.Any(id)
	switch {
	case p.Name != "":
		return p.Name
	case p.Kind != "":
		return string(p.Kind)
	}
	return "a place without a name"
}

// runs adds the runs of the path, adjusted, their corners apart.
func (c *counter) runs(g *route.Graph) {
	known, together := unit.Length(0), ""
	for i, id := range c.r.Path.Runs {
		k, ok := g.Lengths().Run(id)
		if !ok {
			if together != "" {
				together += ", "
			}
			together += c.name(c.r.Path.Places[i]) + " to " + c.name(c.r.Path.Places[i+1])
			continue
		}
		known += k.Read()
		source := "readings, adjusted"
		if k.Guess {
			source = "a guess"
		}
		c.add(Term{Kind: OneRun, Group: OfRoute, Value: k.Read(), Source: source, Of: harness.KindRun, ID: id,
			Name:   c.name(c.r.Path.Places[i]) + " to " + c.name(c.r.Path.Places[i+1]),
			Reason: fmt.Sprintf("run %d on the way", i+1)})
	}
	if together != "" && c.r.Path.Measured() {
		c.add(Term{Kind: RunsAsOne, Group: OfRoute, Value: c.r.Path.Length - c.r.Path.Corners - known, Source: "readings", Of: harness.KindWire,
			ID: c.r.Wire, Name: together, Reason: "read together, not one by one"})
	}
}

// RunTerms returns what lengthens a run for every wire in it: the travel of the places at its ends, movement between
// engine and body, a drip loop, corners, and the pass-throughs it ends at. Corners are those that the adjustment worked
// out where it knows the bundle of the run, else an allowance for each.
func RunTerms(b *harness.Build, l *survey.Lengths, r harness.Run) []Term {
	var terms []Term
	add := func(kind TermKind, value unit.Length, count int, of harness.Kind, id, source, name, reason string) {
		if value > 0 && count > 0 {
			terms = append(terms, Term{Kind: kind, Group: OfRun, Value: unit.Length(count) * value, Name: name, Reason: reason,
				Source: source, Of: of, ID: id, Count: count, Each: value})
		}
	}
	where := placeName(b, r.A) + " to " + placeName(b, r.B)
	for _, id := range []string{r.A, r.B} {
		if p, ok := b.Places.Get(id); ok && p.Travel != nil && *p.Travel <= unit.Longest {
			add(Travel, *p.Travel, 1, harness.KindPlace, id, SetInBuild, "Travel of "+placeName(b, id), "hinges or lowers, in "+where)
		}
	}
	one := func(kind TermKind, count int, of harness.Kind, id, name, reason string) {
		value, source := Allowance(b.Settings, kind)
		add(kind, value, count, of, id, source, name, reason)
	}
	if r.Moves {
		one(Movement, 1, harness.KindRun, r.ID, "Movement", "engine against body, in "+where)
	}
	if r.Drip {
		one(DripLoop, 1, harness.KindRun, r.ID, "Drip loop", "in "+where)
	}
	if k, ok := l.Run(r.ID); ok && k.Bundled {
		d, _ := l.Bundle(r.ID)
		add(Corners, k.Corners, 1, harness.KindRun, r.ID, "derived: 0.785 × (bundle − string) each, through the adjustment", "Corners",
			fmt.Sprintf("a thin string reads short round a bundle of %s, in %s", d.Format(b.Settings.Unit), where))
	} else if r.Corners > 0 {
		n := min(r.Corners, 1000) // more are a slip of the finger, and must not overflow
		one(Corners, n, harness.KindRun, r.ID, "Corners", fmt.Sprintf("%d of 90 degrees, in %s", n, where))
	}
	for _, id := range []string{r.A, r.B} {
		if p, ok := b.Places.Get(id); ok && p.Kind == harness.PassThrough {
			one(PassThrough, 1, harness.KindPlace, id, "Through "+placeName(b, id), "in "+where)
		}
	}
	return terms
}

// detailed returns the terms of runs and ends.
func (c *counter) detailed(w harness.Wire, g *route.Graph) []Term {
	var terms []Term
	for _, id := range c.r.Path.Runs {
		r, _ := c.b.Runs.Get(id)
		terms = append(terms, RunTerms(c.b, g.Lengths(), r)...)
	}
	terms = append(terms, c.breakouts()...)
	terms = append(terms, c.end(w, w.From, harness.FromEnd)...)
	terms = append(terms, c.end(w, w.To, harness.ToEnd)...)
	if len(c.r.Path.Runs) > 0 && c.r.Path.Measured() {
		terms = append(terms, c.margin())
	}
	return append(terms, c.tails(w)...)
}

// breakouts counts the splits in the inside of the path.
func (c *counter) breakouts() []Term {
	n := 0
	for i, id := range c.r.Path.Places {
		p, _ := c.b.Places.Get(id)
		if i > 0 && i < len(c.r.Path.Places)-1 && p.Kind == harness.Split {
			n++
		}
	}
	each, source := Allowance(c.b.Settings, Breakout)
	if n == 0 {
		return nil
	}
	name := "Breakouts passed"
	if n == 1 {
		name = "Breakout passed"
	}
	return []Term{{Kind: Breakout, Group: OfEnd, Value: unit.Length(n) * each, Name: name, Reason: fmt.Sprintf("%d on the way", n),
		Source: source, Of: harness.KindWire, ID: c.r.Wire, Count: n, Each: each}}
}

// end returns what one end of the wire needs, its tail apart.
func (c *counter) end(w harness.Wire, end harness.End, name harness.TagEnd) []Term {
	id, _ := c.b.EndPlace(end)
	place, _ := c.b.Places.Get(id)
	var terms []Term
	add := func(kind TermKind, title, reason string) {
		value, source := Allowance(c.b.Settings, kind)
		terms = append(terms, Term{Kind: kind, Group: OfEnd, Value: value, Name: title, Reason: reason + " at " + c.name(id),
			Source: source, Of: harness.KindPlace, ID: id, End: name})
	}
	_, lead := c.b.Leads.Get(w.Lead)
	switch {
	case end.Joint != "" || place.Kind == harness.Splice:
		add(SpliceEnd, "Into the splice", "overlap and strip")
		if j, ok := c.b.Joints.Get(end.Joint); ok && j.Offset > 0 && j.Offset <= unit.Longest {
			terms = append(terms, Term{Kind: SpliceOff, Group: OfEnd, Value: j.Offset, Name: "Splice set off",
				Reason: "so that splices do not lie side by side at " + c.name(id), Source: "workmanship standards: splices are staggered; how far is common practice",
				Of: harness.KindJoint, ID: j.ID, End: name})
		}
	case lead && name == harness.FromEnd: // terminated as supplied
	default:
		add(StripCrimp, "Strip and crimp", "bare end")
		add(Rework, "Room for two more", "bare end")
	}
	switch place.Kind {
	case harness.Controller, harness.Panel, harness.TerminalStrip:
		if end.Joint == "" && len(c.r.Path.Runs) > 0 {
			add(ServiceLoop, "Service loop", "so that it can be pulled out")
		}
	}
	return terms
}

// tails returns what is left long at the ends that are trimmed in the car: all but those at a controller, panel or strip,
// in a splice, or at a place where no connector is made.
func (c *counter) tails(w harness.Wire) []Term {
	var terms []Term
	_, lead := c.b.Leads.Get(w.Lead)
	for _, e := range []struct {
		end  harness.End
		name harness.TagEnd
	}{{w.From, harness.FromEnd}, {w.To, harness.ToEnd}} {
		id, _ := c.b.EndPlace(e.end)
		place, _ := c.b.Places.Get(id)
		switch place.Kind {
		case harness.Device, harness.Ground, harness.Supply, harness.Inline, harness.CarWire:
			if e.end.Joint == "" && len(c.r.Path.Runs) > 0 && !(lead && e.name == harness.FromEnd) {
				value, source := Allowance(c.b.Settings, Tail)
				terms = append(terms, Term{Kind: Tail, Group: OfEnd, Value: value, Name: "Tail", Reason: "trimmed in the car at " + c.name(id),
					Source: source, Of: harness.KindPlace, ID: id, End: e.name})
			}
		}
	}
	return terms
}

// shop returns the flat amount or the per cent.
func (c *counter) shop() Term {
	t := Term{Kind: Flat, Group: OfShop, Name: "Flat amount", Reason: "in place of the terms", Of: harness.KindSettings, ID: c.b.Settings.ID}
	if c.b.Settings.AllowBy == harness.AllowPercent {
		p, source := AllowancePercent(c.b.Settings)
		t.Kind, t.Value, t.Source, t.Name = Percent, part(c.r.Route, p), source, fmt.Sprintf("%g %% of the way", p)
		return t
	}
	t.Value, t.Source = Allowance(c.b.Settings, Flat)
	return t
}

func (c *counter) notes(w harness.Wire) {
	if w.Twist != "" {
		c.note(TwistUnknown, 0, "twist take-up not known: the wire's diameter and the lay are not recorded")
	}
	if c.r.Path.Guess {
		c.note(Guessed, 0, "a run on the way is a guess")
	}
	if _, ok := c.b.Leads.Get(w.Lead); w.Lead != "" && !ok {
		c.note(LostLead, 0, "the lead it was made of is gone: counted as a new wire")
	}
}
