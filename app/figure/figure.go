// Package figure explains the numbers that more than one page shows: of each it says what it is, how it comes from what went
// in, where that comes from, and what is missing. A number is known by a key, which is part of the address of its card.
package figure

import (
	"strings"

	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// What a key begins with; the id of a record follows.
const (
	cutTo      = "cut"      // a wire: the length to cut
	needs      = "need"     // a wire: what it needs, to the nanometre
	leadIs     = "lead"     // a wire: the supplied lead beside what it needs
	trimTo     = "trim"     // a wire: the length to trim its lead to
	doneAt     = "done"     // a wire: what it was cut or trimmed to beside what it needs now
	marginOf   = "margin"   // a wire
	termOf     = "term"     // a wire, and which of its terms
	runOf      = "run"      // a run: its length
	fitOf      = "fit"      // a reading: what the adjustment makes of it
	supplied   = "supplied" // a lead: how long it is
	electricOf = "wire"     // a wire, and which of its numbers
	mendOf     = "mend"     // a wire, and which way to mend that its lead is too short
	totalOf    = "total"    // wires to cut: which list, and which batch of it
)

// Cut is the key of the length that a wire is cut to.
func Cut(wire string) string { return cutTo + "." + wire }

// Need is the key of the length that a wire needs.
func Need(wire string) string { return needs + "." + wire }

// Lead is the key of whether a supplied lead reaches, by how much.
func Lead(wire string) string { return leadIs + "." + wire }

// Trim is the key of the length that a supplied lead is trimmed to.
func Trim(wire string) string { return trimTo + "." + wire }

// Done is the key of what a wire was cut or trimmed to.
func Done(wire string) string { return doneAt + "." + wire }

// Margin is the key of the margin for the readings of a wire's way.
func Margin(wire string) string { return marginOf + "." + wire }

// Run is the key of the length of a run.
func Run(run string) string { return runOf + "." + run }

// Reading is the key of what the adjustment makes of a reading.
func Reading(reading string) string { return fitOf + "." + reading }

// Supplied is the key of the length of a lead.
func Supplied(lead string) string { return supplied + "." + lead }

// asker explains for one session.
type asker struct {
	s   *session.Session
	b   *harness.Build
	sys unit.System
}

// Of explains a number of the open build. The zero value is one that is not there.
func Of(s *session.Session, key string) unit.Figure {
	b := s.B()
	if b == nil {
		return unit.Figure{}
	}
	a := asker{s, b, b.Settings.Unit}
	what, id, _ := strings.Cut(key, ".")
	switch what {
	case runOf:
		return a.run(id)
	case fitOf:
		return a.reading(id)
	case supplied:
		return a.leadLength(id)
	case totalOf:
		return a.total(id)
	}
	rest := ""
	if what == termOf || what == mendOf || what == electricOf {
		id, rest, _ = strings.Cut(id, ".")
	}
	w, ok := b.Wires.Get(id)
	if !ok {
		return unit.Figure{}
	}
	switch what {
	case cutTo:
		return a.cut(w)
	case needs:
		return a.need(w)
	case leadIs:
		return a.lead(w)
	case trimTo:
		return a.trim(w)
	case doneAt:
		return a.done(w)
	case marginOf:
		return a.margin(w)
	case termOf:
		return a.term(w, rest)
	case electricOf:
		return a.electric(w.ID, rest)
	case mendOf:
		return a.mend(w, rest)
	}
	return unit.Figure{}
}

func (a asker) length(l unit.Length) string { return l.Grouped(a.sys) }

// value is a term with a length.
func (a asker) value(name string, l unit.Length, formula, source string) unit.Term {
	return unit.Term{Name: name, Text: a.length(l), Formula: formula, Source: source}
}
