package wires

import (
	"reflect"

	"loomwright/app/figure"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// verdict is what the length of a wire comes to: a word or a number for the list, and which problem it is.
type verdict struct {
	number, below string
	problem       string // noRoute, notMeasured, tooShort or none
	key           string // what explains it
}

// judge works out verdicts and keeps each until something changes that it rests on.
type judge struct {
	s     *session.Session
	made  basis
	wires *harness.Wire        // stamp of the wires that known was last held against
	round int                  // counts those stamps
	known map[string]judgement // by wire
}

type judgement struct {
	wire    harness.Wire
	verdict verdict
	round   int // in which the wire was last seen to be as it was
}

// basis tells one state of all that verdicts rest on, wires apart, from another; see stamp.
type basis struct {
	build    *harness.Build
	settings harness.Settings
	records  stamp
	runs     *harness.Run
	readings *harness.Reading
	n        [2]int
}

func basisOf(b *harness.Build) basis {
	s := basis{build: b, settings: b.Settings, records: stampOf(b).words()}
	s.runs, s.n[0] = first(b.Runs.All())
	s.readings, s.n[1] = first(b.Readings.All())
	return s
}

// of returns a judge that holds for the open build as it is now.
func (j *judge) of(s *session.Session) *judge {
	if now := basisOf(s.B()); j.known == nil || now != j.made {
		j.s, j.made, j.known = s, now, map[string]judgement{}
	}
	if wires, _ := first(s.B().Wires.All()); wires != j.wires {
		j.wires = wires
		j.round++
	}
	return j
}

// verdict returns the verdict on a wire of the build. Cost: that of its length the first time.
func (j *judge) verdict(w harness.Wire) verdict {
	k, ok := j.known[w.ID]
	if ok && k.round == j.round {
		return k.verdict
	}
	if !ok || !reflect.DeepEqual(k.wire, w) {
		k = judgement{wire: w, verdict: judged(j.s, w)}
	}
	k.round = j.round
	j.known[w.ID] = k
	return k.verdict
}

func (j *judge) problem(w harness.Wire) string { return j.verdict(w).problem }

func judged(s *session.Session, w harness.Wire) verdict {
	b := s.B()
	sys := b.Settings.Unit
	if _, ok := b.Leads.Get(w.Lead); ok {
		return judgedLead(sys, w, cut.LeadOf(b, s.Graph(), w, s.Cut(w)))
	}
	r := s.Cut(w)
	if v, open := unknown(r); open {
		v.key = figure.Cut(w.ID)
		return v
	}
	v := verdict{number: kit.Number(r.Sum, sys), below: unitWord(sys), key: figure.Cut(w.ID)}
	if w.Cut != nil {
		v.below, v.key = "cut", figure.Done(w.ID)
		if c := cut.After(*w.Cut, r); c.Short > 0 {
			v.below, v.problem = "cut, short by "+kit.Number(c.Short, sys), tooShort
		}
	}
	return v
}

func judgedLead(sys unit.System, w harness.Wire, a cut.LeadResult) verdict {
	if v, open := unknown(a.Result); open {
		v.key = figure.Lead(w.ID)
		return v
	}
	if w.Trimmed != nil {
		v := verdict{number: kit.Number(w.Trimmed.Length, sys), below: "trimmed", key: figure.Done(w.ID)}
		if c := cut.AfterTrim(*w.Trimmed, a.Result); c.Short > 0 {
			v.below, v.problem = "trimmed, short by "+kit.Number(c.Short, sys), tooShort
		}
		return v
	}
	switch a.Verdict {
	case cut.Reaches:
		return verdict{number: "reaches", below: "full tail", key: figure.Lead(w.ID)}
	case cut.ReachesShortTail:
		left := kit.Number(whole(a.Left), sys)
		if a.Left < unit.Millimetre {
			left = "none"
		}
		return verdict{number: "reaches", below: left + " of tail", key: figure.Lead(w.ID)}
	case cut.TrulyShort:
		return verdict{number: "short", below: "by " + kit.Number(a.By.RoundUp(unit.Millimetre), sys), problem: tooShort, key: figure.Lead(w.ID)}
	}
	return verdict{number: "lead", below: "not measured", problem: notMeasured, key: figure.Lead(w.ID)}
}

func unknown(r cut.Result) (verdict, bool) {
	switch {
	case r.Problem != nil:
		return verdict{number: "no route", problem: noRoute}, true
	case len(r.Missing) > 0:
		return verdict{number: "not", below: "measured", problem: notMeasured}, true
	case len(r.Loose) > 0:
		return verdict{number: "not", below: "placed", problem: notMeasured}, true
	}
	return verdict{}, false
}

// unitWord is the unit that numbers without one are in.
func unitWord(sys unit.System) string {
	_, u := unit.Length(0).Figures(sys)
	return u
}
