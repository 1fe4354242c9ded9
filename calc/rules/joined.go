package rules

import (
	"strconv"
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/route"
)

// planned adds what is not planned yet, or planned so that it does not work. Wires to places that no run leads to are told
// of once: the route is not walked there yet.
func (f *facts) planned() {
	unwalked := -1
	for _, x := range circuit.Judge(f.b, f.g) {
		switch {
		case x.Rule == circuit.ShieldTwice:
			x.Severity = harness.Stop
		case x.Rule == circuit.NoRoute && f.unwalked(x.Subject.ID):
			if unwalked >= 0 {
				first := &f.all[unwalked]
				first.Also = append(first.Also, x.Subject)
				continue
			}
			unwalked = len(f.all)
			x.Severity = harness.Warn
		}
		f.add(x)
	}
	if unwalked < 0 {
		return
	}
	x := &f.all[unwalked]
	n := len(x.Also) + 1
	x.What = count(n, "wire") + " with no way yet: no run leads to where they end"
	x.Got, x.Fix = count(n, "wire"), harness.Fix{At: x.Subject, Do: "walk the route there"}
}

// unwalked reports whether a wire has no way because no run leads to one of its ends.
func (f *facts) unwalked(wire string) bool {
	i, ok := f.byID[wire]
	if !ok || f.wires[i].routed {
		return false
	}
	problem := f.cut(&f.wires[i]).Problem
	return problem != nil && problem.Trouble == route.NoRuns
}

// routed adds what is wrong with the runs and their readings.
func (f *facts) routed() {
	for _, i := range f.g.Issues() {
		how, ok := kindOf(i.Kind)
		if !ok {
			continue
		}
		x := harness.Finding{Rule: string(i.Kind), Severity: how.severity, Source: how.source, Fix: harness.Fix{Do: how.do}}
		var refs []harness.Ref
		add := func(kind harness.Kind, ids []string) {
			for _, id := range ids {
				refs = append(refs, harness.Ref{Kind: kind, ID: id})
			}
		}
		add(harness.KindReading, i.Readings)
		add(harness.KindRun, i.Runs)
		add(harness.KindPlace, i.Places)
		switch i.Kind {
		case route.LostPlace, route.SelfRun, route.Contradiction, route.LongRun, route.LostLoom, route.Unmeasured, route.Loop:
			refs = refs[:0]
			add(harness.KindRun, i.Runs)
			add(harness.KindReading, i.Readings)
			add(harness.KindPlace, i.Places)
		}
		if len(refs) == 0 {
			continue
		}
		x.Subject, x.Also, x.Fix.At = refs[0], refs[1:], refs[0]
		x.What = f.where(i) + how.what
		if i.Got != 0 || i.Limit != 0 {
			x.Got = f.length(i.Got)
		}
		if i.Limit != 0 {
			x.Limit = f.length(i.Limit)
		}
		f.add(x)
	}
}

// issue is how a kind of issue is told.
type issue struct {
	severity         harness.Severity
	what, source, do string
}

// kindOf says how a kind of issue is told; ok is false for one that is not.
func kindOf(k route.Kind) (i issue, ok bool) {
	switch k {
	case route.LostPlace:
		i = issue{harness.Stop, "ends at a place that is not there", common, "say where it ends, or delete it"}
	case route.SelfRun:
		i = issue{harness.Stop, "begins and ends at one place", common, "say where it ends"}
	case route.Contradiction:
		i = issue{harness.Stop, "comes out at nothing or less: its readings contradict each other", least, "read it again"}
	case route.LongRun:
		i = issue{harness.Warn, "is longer than runs are", "common practice: over 3 m is asked about", "look whether the reading has a sign too many"}
	case route.ReadAgain:
		i = issue{harness.Warn, "was most likely read wrong", least, "read it again"}
	case route.Island:
		i = issue{harness.Warn, "does not hang together with the rest of the route", common, "add the run that is missing"}
	case route.Loose:
		i = issue{harness.Note, "has no run", common, "add a run to it"}
	case route.Loop:
		i = issue{harness.Note, "has two ways round: wires take the shorter one", common, "nothing, if both ways are meant"}
	case route.LookAgain:
		i = issue{harness.Note, "does not quite agree with the others", least, "read it again if it matters"}
	case route.LostLoom:
		i = issue{harness.Warn, "is in a loom that is not there", common, "say which loom it is in"}
	case route.UnusedReading:
		i = issue{harness.Note, "says nothing about the runs there are", common, "throw it out, or read the run"}
	case route.Unmeasured:
		i = issue{harness.Note, "was not measured: no wire in it has a length", common, "read its length"}
	default:
		return i, false
	}
	return i, true
}

const least = "least squares over all readings (Ghilani, Adjustment Computations)"

// where says what an issue is about.
func (f *facts) where(i route.Issue) string {
	switch {
	case len(i.Readings) > 0 && i.Kind != route.Contradiction:
		r, _ := f.b.Readings.Any(i.Readings[0])
		return "the reading " + r.Text + " (" + f.called(r.Places) + ") "
	case len(i.Runs) > 0 && i.Kind != route.Loop:
		r := f.runs[i.Runs[0]]
		if r == nil {
			return "a run "
		}
		return f.called([]string{r.A, r.B}) + " "
	case i.Kind == route.Loop:
		return "the circle " + f.called(i.Places) + " "
	case len(i.Places) > 0:
		return f.called(i.Places[:1]) + " "
	}
	return "the route "
}

func (f *facts) called(places []string) string {
	var names []string
	for _, id := range places {
		p, ok := f.b.Places.Any(id)
		switch {
		case !ok:
			names = append(names, "?")
		case p.Name == "":
			names = append(names, string(p.Kind))
		default:
			names = append(names, p.Name)
		}
	}
	if len(names) > 6 {
		names = append(names[:5:5], "…", names[len(names)-1])
	}
	return strings.Join(names, " – ")
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}
