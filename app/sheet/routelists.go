package sheet

import (
	"fmt"
	"strings"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// Places is the list of places.
func Places(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "places", Title: "Places", Columns: []Column{
		{Key: "place", Title: "Place", Wide: 2}, {Key: "kind", Title: "Kind", Wide: 1.3}, {Key: "status", Title: "Status"},
		{Key: "fixed", Title: "Split fixed"}, f.lengthColumn("travel_mm", "Travel"), {Key: "runs", Title: "Runs", Number: true, Wide: 0.6},
		{Key: "wires", Title: "Wires end here", Number: true, Wide: 0.9}, {Key: "tag", Title: "Tag", Wide: 1.1}, {Key: "note", Title: "Note", Wide: 2},
	}}
	runs, ends := map[string]int{}, map[string]int{}
	for _, r := range b.Runs.All() {
		runs[r.A]++
		runs[r.B]++
	}
	for _, w := range b.Wires.All() {
		for _, e := range []harness.End{w.From, w.To} {
			ends[f.standsAt(e)]++
		}
	}
	var rows [][]Cell
	open := 0
	for _, p := range b.Places.All() {
		status, fixed, travel := string(p.Status), "", Cell{}
		if p.Status == harness.Open {
			status = "open"
			open++
		}
		if p.Kind == harness.Split {
			fixed = "on the bench"
			if p.Fixed == harness.InCar {
				fixed = "in the car"
			}
		}
		if p.Travel != nil {
			travel = f.mm(*p.Travel)
		}
		rows = append(rows, []Cell{text(f.place(p.ID)), text(string(p.Kind)), text(status), text(fixed), travel, count(runs[p.ID]), count(ends[p.ID]),
			f.code(p.ID, ""), text(p.Note)})
	}
	t.Groups = []Group{{Rows: rows}}
	t.Notes = append(t.Notes, counted(len(rows), "place", "places")+fmt.Sprintf(", %d of them open", open))
	return t, nil
}

// standsAt is the place where a wire's end is.
func (f facts) standsAt(e harness.End) string {
	if e.Joint != "" {
		j, _ := f.b.Joints.Any(e.Joint)
		return j.Place
	}
	if t, ok := f.b.Terminals.Any(e.Terminal); ok && t.Place != "" {
		return t.Place
	}
	return e.Place
}

// Runs is the list of runs with what is known of their lengths.
func Runs(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "runs", Title: "Runs", Columns: []Column{
		{Key: "from", Title: "From", Wide: 1.6}, {Key: "to", Title: "To", Wide: 1.6}, {Key: "loom", Title: "Loom"}, f.lengthColumn("length_mm", "Length"),
		{Key: "how", Title: "How known", Wide: 1.6}, f.lengthColumn("added_mm", "Every wire +"), {Key: "wires", Title: "Wires", Number: true, Wide: 0.6},
		{Key: "flags", Title: "Mind", Wide: 1.6}, {Key: "note", Title: "Note", Wide: 1.4},
	}}
	inRun := f.graph.PerRun()
	var rows [][]Cell
	measured, total := 0, unit.Length(0)
	for _, r := range b.Runs.All() {
		known, ok := f.graph.Lengths().Run(r.ID)
		length, how := text(unknown), f.unmeasured(known)
		if ok {
			length, how = f.mm(known.Read()), howKnown(known, f.graph.Lengths().Explain(r.ID))
			measured++
			total += known.Read()
		}
		added := unit.Length(0)
		for _, term := range cut.RunTerms(b, f.graph.Lengths(), r) {
			added += term.Value
		}
		rows = append(rows, []Cell{text(f.place(r.A)), text(f.place(r.B)), text(f.loom(r.Loom)), length, text(how), f.mm(added), count(len(inRun[r.ID])),
			text(flags(r)), text(r.Note)})
	}
	t.Groups = []Group{{Rows: rows}}
	t.Notes = append(t.Notes, fmt.Sprintf("%d of %s measured, %s in all", measured, counted(len(rows), "run", "runs"), total.Grouped(f.system)),
		"lengths are as read; “every wire +” is added to each wire in the run")
	return t, nil
}

func howKnown(k survey.Known, a survey.Account) string {
	how := map[survey.How]string{
		survey.OwnReading: "read", survey.Mean: "mean of readings", survey.Adjusted: "readings fitted together", survey.SumOf: "sum of readings", survey.Difference: "difference of readings",
		survey.SplitPart: "rest of a run that was split", survey.Solved: "several readings together",
	}[a.How]
	if k.Guess {
		how += ", a guess"
	}
	return how
}

func (f facts) unmeasured(k survey.Known) string {
	switch k.Why {
	case survey.Together:
		var with []string
		for _, id := range k.With {
			with = append(with, f.run(id))
		}
		return "only together with " + strings.Join(with, "; ")
	case survey.Contradicted:
		return "readings contradict each other"
	}
	return "no reading"
}

func flags(r harness.Run) string {
	var out []string
	for _, x := range []struct {
		set  bool
		name string
	}{{r.Hot, "hot"}, {r.Moves, "moves"}, {r.Wet, "wet"}, {r.Drip, "drip loop"}, {r.Sharp, "sharp edge"}, {r.Clip, "clip"}} {
		if x.set {
			out = append(out, x.name)
		}
	}
	if r.Corners > 0 {
		out = append(out, counted(r.Corners, "corner", "corners"))
	}
	return strings.Join(out, ", ")
}

// Readings is the list of readings as they were typed, with what became of each.
func Readings(b *harness.Build, o Options) (Table, error) {
	f := factsOf(b, o)
	t := Table{Name: "readings", Title: "Readings", Columns: []Column{
		{Key: "at", Title: "Taken", Wide: 1.2}, {Key: "path", Title: "Places passed", Wide: 3}, {Key: "typed", Title: "As typed"},
		f.lengthColumn("value_mm", "Length"), {Key: "method", Title: "How"}, {Key: "state", Title: "State", Wide: 2}, {Key: "note", Title: "Note", Wide: 1.4},
	}}
	unused := map[string]survey.Because{}
	for _, u := range f.graph.Lengths().Unused() {
		unused[u.Reading] = u.Because
	}
	contradicted := map[string]bool{}
	for _, c := range f.graph.Lengths().Contradictions() {
		contradicted[c.Aside] = true
	}
	checks := map[string]survey.Check{}
	for _, c := range f.graph.Lengths().Checks() {
		checks[c.Reading] = c
	}
	var rows [][]Cell
	for _, r := range b.Readings.All() {
		var names []string
		for _, id := range r.Places {
			names = append(names, f.place(id))
		}
		value, state := text(unknown), ""
		if r.Value > 0 {
			value = f.mm(r.Value)
		}
		if because, ok := unused[r.ID]; ok {
			state = "not used: " + map[survey.Because]string{survey.NoValue: "no length", survey.NoPath: "its runs are not clear", survey.LostRun: "a run is not known",
				survey.MovedRun: "a run was moved since", survey.PassTwice: "it passes a run twice"}[because]
		} else if r.Out {
			state = "thrown out"
			if r.OutWhy != "" {
				state += ": " + r.OutWhy
			}
		} else if contradicted[r.ID] {
			state = "set aside: a run would be shorter than nothing"
		} else if c, ok := checks[r.ID]; ok {
			state = f.closure(c)
		}
		rows = append(rows, []Cell{text(strings.Replace(strings.TrimSuffix(r.At, "Z"), "T", " ", 1)), text(strings.Join(names, " > ")), text(r.Text), value,
			text(method(r.Method)), text(state), text(r.Note)})
	}
	byText(rows, 0)
	t.Groups = []Group{{Rows: rows}}
	t.Notes = append(t.Notes, counted(len(rows), "reading", "readings")+"; all count, each by how sure it is")
	return t, nil
}

func method(m harness.Method) string {
	if m == harness.ByString {
		return "string"
	}
	return string(m)
}

// closure says how a reading agrees with what all others say of its path.
func (f facts) closure(c survey.Check) string {
	diff := c.Diff()
	word := "more"
	if diff < 0 {
		diff, word = -diff, "less"
	}
	number, name := diff.Figures(f.system)
	by := fmt.Sprintf("%s %s %s than the others", number, name, word)
	switch c.Misfit() {
	case survey.Again:
		return by + ": read it again"
	case survey.Look:
		return by + ": worth a look"
	}
	if diff == 0 {
		return "agrees with the others"
	}
	return by + ", agrees"
}
