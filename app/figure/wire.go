package figure

import (
	"strconv"

	"loomwright/app/kit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

const (
	sumSource = "each line says its own; a length to cut is rounded up, because too short is the failure"
	practice  = "common practice"
	unknown   = "unknown"
)

// Term is the key of one term of a wire's length: i counts from 0.
func Term(wire string, i int) string { return termOf + "." + wire + "." + strconv.Itoa(i) }

// lines are the terms of a wire's length, each with what explains it.
func (a asker) lines(w harness.Wire, r cut.Result, keep func(cut.Term) bool) (all []unit.Term) {
	for i, t := range r.Terms {
		if keep != nil && !keep(t) {
			continue
		}
		x := a.value(t.Name, t.Value, t.Reason, t.Source)
		x.Card = Term(w.ID, i)
		switch t.Kind {
		case cut.OneRun:
			x.Card = Run(t.ID)
		case cut.Margin:
			x.Card = Margin(w.ID)
		}
		all = append(all, x)
	}
	return all
}

// result is what a wire needs, whatever it is made of.
func (a asker) result(w harness.Wire) cut.Result { return a.s.Cut(w) }

// lacks says why a length is not known, and fills the figure with what is.
func (a asker) lacks(f *unit.Figure, w harness.Wire, r cut.Result) bool {
	switch {
	case r.Problem != nil:
		f.Value, f.Note = unknown, kit.NoWay(a.b, r.Problem)
		f.Terms = []unit.Term{{Name: "its way", Text: "none", Formula: "from " + kit.EndName(a.b, w.From) + " to " + kit.EndName(a.b, w.To),
			Of: string(harness.KindWire), ID: w.ID}}
	case len(r.Missing) > 0:
		f.Value, f.Note = unknown, "Not all of its way is measured."
		for _, id := range r.Missing {
			run, _ := a.b.Runs.Any(id)
			f.Terms = append(f.Terms, unit.Term{Name: kit.RunName(a.b, run), Text: unknown, Formula: "not measured", Card: Run(id)})
		}
		f.Terms = append(f.Terms, a.lines(w, r, nil)...)
	case len(r.Loose) > 0:
		f.Value, f.Note = unknown, "It stays inside the panel: "+r.LooseWord()+"."
		f.Terms = append(f.Terms, a.lines(w, r, nil)...)
	default:
		return false
	}
	return true
}

func (a asker) cut(w harness.Wire) unit.Figure {
	r := a.result(w)
	f := unit.Figure{What: "Length to cut of " + w.Name, Formula: "the sum of the lines below", Source: sumSource, Of: string(harness.KindWire), ID: w.ID}
	if !a.lacks(&f, w, r) {
		f.Value, f.Terms = a.length(r.Sum), a.lines(w, r, nil)
	}
	return f
}

func (a asker) need(w harness.Wire) unit.Figure {
	r := a.result(w)
	f := unit.Figure{What: "Length that " + w.Name + " needs", Formula: "the sum of the lines below, not rounded", Source: "each line says its own", Of: string(harness.KindWire), ID: w.ID}
	if !a.lacks(&f, w, r) {
		f.Value, f.Terms = a.length(r.Exact), a.lines(w, r, func(t cut.Term) bool { return t.Group != cut.OfRounding })
	}
	return f
}

// supplied is the length of the lead as a term.
func (a asker) supplied(w harness.Wire) unit.Term {
	t := unit.Term{Name: "lead as supplied", Text: unknown, Formula: "from the rear face of the connector to its bare end", Of: string(harness.KindLead), ID: w.Lead}
	if l, ok := a.b.Leads.Get(w.Lead); ok && l.Length != nil {
		t.Text = a.length(*l.Length)
	}
	return t
}

func (a asker) leadLength(id string) unit.Figure {
	l, ok := a.b.Leads.Get(id)
	if !ok {
		return unit.Figure{}
	}
	t := a.supplied(harness.Wire{Lead: id})
	f := unit.Figure{What: "Length of the lead " + l.Legend, Value: t.Text, Formula: "as it was measured", Source: "keyed in", Terms: []unit.Term{t}, Of: t.Of, ID: id}
	if l.Length == nil {
		f.Note = "Nobody has measured it."
	}
	return f
}

func (a asker) lead(w harness.Wire) unit.Figure {
	l := cut.LeadOf(a.b, a.s.Graph(), w, a.result(w))
	r := l.Result
	f := unit.Figure{What: "Does the lead of " + w.Name + " reach?", Source: "measured lead less the length it needs; only what is shorter than the way and one strip and crimp is truly short",
		Of: string(harness.KindWire), ID: w.ID}
	if a.lacks(&f, w, r) {
		f.Terms = append(f.Terms, a.supplied(w))
		return f
	}
	f.Terms = []unit.Term{a.supplied(w),
		{Name: "needs, with its tail", Text: a.length(r.Exact), Formula: "way, run terms, ends, margin and tail", Card: Need(w.ID)},
		a.value("of that its tail", r.Tail, "left long, trimmed in the car", practice),
		a.value("least", r.Least, "the way as read, its run terms, and one strip and crimp", "any shorter and it does not reach")}
	switch l.Verdict {
	case cut.Reaches:
		f.Value, f.Formula = "reaches, "+a.length(l.Spare)+" to spare", "lead less what it needs"
	case cut.ReachesShortTail:
		f.Value, f.Formula = "reaches, "+a.length(l.Left)+" of tail left", "lead less what it needs without a tail"
		if l.Eats > 0 {
			f.Note = a.length(l.Eats) + " of the room at its ends is used up as well: crimp it right the first time."
		}
	case cut.TrulyShort:
		f.Value, f.Formula = "short by "+a.length(l.By), "least less lead"
	default:
		f.Value, f.Note = unknown, "Nobody has measured the lead."
	}
	return f
}

func (a asker) trim(w harness.Wire) unit.Figure {
	l := cut.LeadOf(a.b, a.s.Graph(), w, a.result(w))
	f := unit.Figure{What: "Length to trim " + w.Name + " to", Formula: "what it needs without a tail, rounded up, and no more than there is", Source: sumSource,
		Of: string(harness.KindWire), ID: w.ID}
	to, ok := l.Trim(a.sys)
	if !ok {
		if !a.lacks(&f, w, l.Result) {
			f = a.lead(w)
		}
		return f
	}
	f.Value = a.length(to)
	f.Terms = a.lines(w, l.Result, func(t cut.Term) bool { return t.Kind != cut.Tail && t.Group != cut.OfRounding })
	f.Terms = append(f.Terms, a.value("without a tail", l.Result.Exact-l.Result.Tail, "the sum of the lines above", ""), a.supplied(w))
	return f
}

func (a asker) done(w harness.Wire) unit.Figure {
	r := a.result(w)
	did, what, done := w.Cut, "cut", cut.After
	if _, lead := a.b.Leads.Get(w.Lead); lead {
		did, what, done = w.Trimmed, "trimmed", cut.AfterTrim
	}
	if did == nil {
		return unit.Figure{}
	}
	c := done(*did, r)
	f := unit.Figure{What: w.Name + " as it was " + what, Value: a.length(c.Was), Formula: "what the tape said, beside what it would need now", Source: "keyed in, or taken with the tick",
		Of: string(harness.KindWire), ID: w.ID,
		Terms: []unit.Term{a.value(what+" to", c.Was, "on "+kit.Day(did.At), "")}}
	now := unit.Term{Name: "needs now", Text: unknown, Formula: "as the route is now", Card: Need(w.ID)}
	if c.Known {
		now.Text = a.length(c.Now)
	}
	f.Terms = append(f.Terms, now)
	switch {
	case c.Short > 0:
		f.Terms = append(f.Terms, a.value("short by", c.Short, "needs now less "+what+" to", ""))
	case c.Over > 0:
		f.Terms = append(f.Terms, a.value("over by", c.Over, what+" to less needs now", ""))
	}
	return f
}

func (a asker) margin(w harness.Wire) unit.Figure {
	r := a.result(w)
	f := unit.Figure{What: "Margin of " + w.Name, Formula: "the greater of the two: how sure times the standard deviation of the way, and the least margin",
		Source: "normal distribution, one-sided; judgement of practice for the least: repeats cannot remove a string laid wrongly", Of: string(harness.KindWire), ID: w.ID}
	if a.lacks(&f, w, r) {
		return f
	}
	set := a.b.Settings
	sure := cut.SurenessOf(set)
	way, sigma := r.Path.Length, r.Path.Sigma
	f.Value = a.length(cut.MarginOf(set, way, sigma))
	f.Terms = []unit.Term{
		{Name: "how sure", Value: sure.K, Formula: sure.Word + ": long enough in " + unit.Shown(sure.Percent) + " of 100", Of: string(harness.KindSettings)},
		{Name: "standard deviation of the way", Text: a.length(sigma), Formula: "from the adjustment of all readings, what its runs share counted once", Source: "weighted least squares"},
		a.value("the two multiplied", unit.Length(sure.K*float64(sigma)), "how sure × standard deviation", ""),
		{Name: "the way", Text: a.length(way), Formula: "the sum of its runs", Card: Need(w.ID)},
		a.value("least margin", cut.LeastMargin(way), "3 mm and 0.5 % of the way", "judgement of practice"),
	}
	return f
}

// term explains one line of a length: an allowance, a rounding, what longer readings add.
func (a asker) term(w harness.Wire, which string) unit.Figure {
	i, err := strconv.Atoi(which)
	r := a.result(w)
	if err != nil || i < 0 || i >= len(r.Terms) {
		return unit.Figure{}
	}
	t := r.Terms[i]
	f := unit.Figure{What: t.Name + " of " + w.Name, Value: a.length(t.Value), Formula: t.Reason, Source: t.Source, Of: string(t.Of), ID: t.ID}
	switch t.Kind {
	case cut.Rounding:
		f.Formula = "the length to cut less what it needs"
		f.Terms = []unit.Term{{Name: "needs", Text: a.length(r.Exact), Formula: "the sum of the other lines", Card: Need(w.ID)},
			{Name: "to cut", Text: a.length(r.Sum), Formula: "rounded up to what is easily read off a tape", Card: Cut(w.ID)}}
		f.Of, f.ID = string(harness.KindSettings), ""
	case cut.LongerRead:
		f.Terms = []unit.Term{{Name: "the reading that says most", Text: a.reading(t.ID).Value, Formula: t.Reason, Card: Reading(t.ID)}}
	case cut.RunsAsOne:
		for _, id := range r.Path.Runs {
			run, _ := a.b.Runs.Any(id)
			f.Terms = append(f.Terms, unit.Term{Name: kit.RunName(a.b, run), Text: a.run(id).Value, Formula: "on the way", Card: Run(id)})
		}
	case cut.Travel:
		f.Terms = []unit.Term{{Name: "how far the mount moves", Text: a.length(t.Value), Of: string(harness.KindPlace), ID: t.ID}}
	default:
		each, n := t.Each, t.Count
		if n == 0 {
			each, n = t.Value, 1
		}
		name, of := "allowance for each", string(kit.KindAllowances)
		if t.Kind == cut.Percent || t.Kind == cut.Flat {
			name = "allowance"
		}
		f.Terms = []unit.Term{{Name: name, Text: a.length(each), Source: t.Source, Of: of}, {Name: "how many", Value: float64(n), Formula: t.Reason, Of: string(t.Of), ID: t.ID}}
		if t.Kind == cut.Corners && t.ID != "" && n == 1 {
			f.Terms = []unit.Term{{Name: "corners", Text: a.length(t.Value), Formula: t.Reason, Source: t.Source, Card: Run(t.ID)}}
		}
	}
	return f
}

// Mend is the key of the length of one way to mend a lead that is too short.
func Mend(wire string, i int) string { return mendOf + "." + wire + "." + strconv.Itoa(i) }

func (a asker) mend(w harness.Wire, which string) unit.Figure {
	i, err := strconv.Atoi(which)
	l := cut.LeadOf(a.b, a.s.Graph(), w, a.result(w))
	if err != nil || i < 0 || i >= len(l.Mends) {
		return unit.Figure{}
	}
	m := l.Mends[i]
	f := unit.Figure{What: w.Name + ": " + string(m.Kind), Value: a.length(m.Length), Source: "the lead as measured, and what the wire needs", Of: string(harness.KindWire), ID: w.ID,
		Formula: "by how much the lead is short: least less lead",
		Terms:   []unit.Term{a.supplied(w), {Name: "least", Text: a.length(l.Result.Least), Formula: "the way as read, its run terms, and one strip and crimp", Card: Lead(w.ID)}}}
	switch m.Kind {
	case cut.OtherRoute:
		f.Formula = "what it needs at least, less what it would on the shortest way of all"
	case cut.NewLead:
		f.Formula = "the length to cut of a new wire"
		f.Terms = []unit.Term{{Name: "length to cut", Text: a.length(l.Result.Sum), Formula: "the sum of its terms, rounded up", Card: Cut(w.ID)}}
	}
	return f
}

// Electric is the key of one thing that the rules work out of a wire, by its key there.
func Electric(wire, key string) string { return electricOf + "." + wire + "." + key }

func (a asker) electric(id, key string) unit.Figure {
	for _, n := range a.s.Looked().Wire(id) {
		if n.Key == key {
			n.Figure.Value = kit.SizeWord(n.Figure.Value)
			return n.Figure
		}
	}
	return unit.Figure{}
}
