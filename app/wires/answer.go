package wires

import (
	"fmt"

	"loomwright/app/figure"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/unit"
)

// answer is what the card says of a wire's length: the big word or number, what stands beside it, and the lines it is
// the sum of.
type answer struct {
	big    string
	word   bool // big is a word, not a number
	bad    bool
	beside []string
	key    string // what explains it
	note   remark // under it; none if empty
	lines  []line
	more   []remark

	result cut.Result
	mends  []cut.Mend
	lead   bool
}

// remark is a sentence that matters.
type remark struct {
	tone, strong, rest string
	key                string // what explains its numbers, if it has any
}

// line is one line of the length.
type line struct {
	name, value string
	sum         bool // a sum of the lines above it
	key         string
	term        cut.Term
}

// answerTo works out what the card says of a wire.
func answerTo(s *session.Session, w harness.Wire) answer {
	b := s.B()
	sys := b.Settings.Unit
	var a answer
	if _, ok := b.Leads.Get(w.Lead); ok {
		a = answerLead(b, cut.LeadOf(b, s.Graph(), w, s.Cut(w)))
		if w.Trimmed != nil {
			a.more = append(a.more, changed("Trimmed to", cut.AfterTrim(*w.Trimmed, a.result), sys, figure.Done(w.ID)))
		}
	} else {
		a = answerCut(s.Cut(w), sys)
		if w.Cut != nil {
			a.more = append(a.more, changed("Cut at", cut.After(*w.Cut, a.result), sys, figure.Done(w.ID)))
		}
	}
	for _, n := range a.result.Notes {
		a.more = append(a.more, remark{"warn", "Mind:", n.Text + ".", figure.Need(w.ID)})
	}
	return a
}

// answerCut is the answer of a wire that is made new.
func answerCut(r cut.Result, sys unit.System) answer {
	a := answer{result: r, key: figure.Cut(r.Wire)}
	if !a.open(sys) {
		return a
	}
	a.big, a.beside = kit.Number(r.Sum, sys), []string{unitWord(sys), otherUp(r.Sum, sys)}
	for i, t := range r.Terms {
		if t.Group == cut.OfRounding {
			a.add("It needs", r.Exact, sys, figure.Need(r.Wire))
		}
		a.term(i, t, sys)
	}
	a.add("Cut to", r.Sum, sys, a.key)
	return a
}

// answerLead is the answer of a supplied lead.
func answerLead(b *harness.Build, l cut.LeadResult) answer {
	sys := b.Settings.Unit
	r := l.Result
	a := answer{result: r, key: figure.Lead(r.Wire), lead: true, mends: l.Mends}
	if !a.open(sys) {
		return a
	}
	tails := unit.Length(0)
	for i, t := range r.Terms {
		switch {
		case t.Kind == cut.Tail:
			tails += t.Value
		case t.Group != cut.OfRounding:
			a.term(i, t, sys)
		}
	}
	if tails > 0 {
		a.add("It needs, without a tail", r.Exact-tails, sys, figure.Trim(r.Wire))
		for i, t := range r.Terms {
			if t.Kind == cut.Tail {
				a.term(i, t, sys)
			}
		}
	} else {
		a.add("It needs", r.Exact, sys, figure.Need(r.Wire))
	}
	if l.Verdict == cut.Unknown {
		a.big, a.word, a.beside = "not measured", true, []string{"the lead itself"}
		a.note = remark{"warn", "How long is the lead?", "Measure it from the rear face of the connector to its bare end.", ""}
		return a
	}
	a.big, a.word = "reaches", true
	a.beside = []string{"lead " + l.Supplied.Grouped(sys) + ","}
	a.add("Lead as supplied", l.Supplied, sys, a.key)
	switch {
	case l.Verdict == cut.TrulyShort:
		a.big, a.bad = "truly short", true
		a.beside = append([]string{"by " + l.By.Grouped(sys) + ","}, a.beside...)
		a.beside[1] = "lead " + l.Supplied.Grouped(sys)
		a.note = remark{"bad", "It does not reach.", "The way and one strip and crimp take " + r.Least.Grouped(sys) + ".", a.key}
	case l.Verdict == cut.Reaches && r.Tail == 0:
		a.beside = append(a.beside, kit.Number(l.Spare, sys)+" to spare")
	case l.Verdict == cut.Reaches:
		a.beside = append(a.beside, kit.Number(whole(r.Tail+l.Spare), sys)+" of tail left")
	case l.Left > 0:
		a.beside = append(a.beside, kit.Number(whole(l.Left), sys)+" of tail left")
		a.note = remark{"", (r.Tail - l.Left).Grouped(sys) + " less tail than you asked for.", "It still reaches.", a.key}
	default:
		a.beside = append(a.beside, "no tail left")
		a.note = remark{"warn", "No tail is left.", "", a.key}
		if l.Eats > 0 {
			a.note.rest = l.Eats.Grouped(sys) + " of the room at its ends is used up as well: crimp it right the first time."
		}
	}
	return a
}

// whole is what is left of a length, in whole millimetres: never more than it is.
func whole(l unit.Length) unit.Length { return l - l%unit.Millimetre }

// open fills the answer of a wire whose length is not known, and returns false then.
func (a *answer) open(sys unit.System) bool {
	switch {
	case a.result.Problem != nil:
		a.big, a.word = "no route", true
	case len(a.result.Missing) > 0:
		a.big, a.word = "not measured", true
		a.beside = []string{count(len(a.result.Missing), "run") + " on the way"}
		for i, t := range a.result.Terms {
			if t.Group != cut.OfRounding {
				a.term(i, t, sys)
			}
		}
	case len(a.result.Loose) > 0:
		a.big, a.word = "not placed", true
		a.beside = []string{a.result.LooseWord()}
	default:
		return true
	}
	return false
}

func (a *answer) add(name string, value unit.Length, sys unit.System, key string) {
	a.lines = append(a.lines, line{name: name, value: kit.Number(value, sys), sum: true, key: key})
}

func (a *answer) term(i int, t cut.Term, sys unit.System) {
	name := t.Name
	if t.Count > 1 {
		name += fmt.Sprintf(", %d × %s", t.Count, kit.Number(t.Each, sys))
	}
	key := figure.Term(a.result.Wire, i)
	switch t.Kind {
	case cut.OneRun:
		key = figure.Run(t.ID)
	case cut.Margin:
		key = figure.Margin(a.result.Wire)
	}
	a.lines = append(a.lines, line{name: name, value: kit.Number(t.Value, sys), key: key, term: t})
}

// otherUp is a length to cut in the other unit, never less than it is.
func otherUp(l unit.Length, sys unit.System) string {
	if sys == unit.Imperial {
		return l.RoundUp(unit.Millimetre).Grouped(unit.Metric)
	}
	return l.RoundUp(unit.Inch / 16).Format(unit.Imperial)
}

// changed compares what was done with what is needed now: "Cut at 1 240, now needs 1 285: short by 45."
func changed(did string, c cut.Change, sys unit.System, key string) remark {
	strong := did + " " + kit.Number(c.Was, sys) + "."
	switch {
	case !c.Known:
		return remark{"warn", strong, "What it needs now is not known.", key}
	case c.Short > 0:
		tone := "warn"
		if c.Truly {
			tone = "bad"
		}
		return remark{tone, fmt.Sprintf("%s %s, now needs %s:", did, kit.Number(c.Was, sys), kit.Number(c.Now, sys)), "short by " + c.Short.Grouped(sys) + ".", key}
	case c.Over > 0:
		return remark{"", strong, "Now it needs " + kit.Number(c.Now, sys) + ": " + c.Over.Grouped(sys) + " over.", key}
	}
	return remark{"good", strong, "That is what it needs.", key}
}

// jump is where something can be mended, and the word for it.
type jump struct {
	word string
	to   kit.Addr
}

// wayJump is where it can be mended that a wire has no way.
func wayJump(at kit.Addr, e *route.NoPath) jump {
	switch e.Trouble {
	case route.NoEnd, route.LostEnd:
		return jump{"Choose where it " + endWord(e.End), at.In(endPart(e.End))}
	case route.LostVia:
		return jump{"Change what it must pass", at.In(partVia)}
	case route.OtherLoom:
		return jump{"Change its looms", at.In(partLooms)}
	}
	return jump{"Draw the missing run", at.On("route").With(e.Place).In("connect")}
}

// measureAt is where the length of a run is keyed in.
func measureAt(at kit.Addr, run string) kit.Addr { return at.On("route").With(run).In("read") }
