package sheet

import (
	"fmt"
	"strings"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

// facts is a build with what is worked out of it once for a whole list.
type facts struct {
	b      *harness.Build
	graph  *route.Graph
	system unit.System
	codes  map[tagged]string
}

// tagged is what a tag sits on.
type tagged struct {
	subject string
	end     harness.TagEnd
}

func factsOf(b *harness.Build, o Options) facts {
	f := facts{b: b, graph: o.Graph, system: b.Settings.Unit, codes: map[tagged]string{}}
	if f.graph == nil {
		f.graph = cut.Settle(b).Graph
	}
	for _, t := range b.Tags.All() {
		if k := (tagged{t.Subject, t.End}); !t.Retired && f.codes[k] == "" {
			f.codes[k] = t.Code
		}
	}
	return f
}

// code is the tag of a subject as it is printed, empty if it has none.
func (f facts) code(subject string, end harness.TagEnd) Cell {
	return text(tag.Format(f.codes[tagged{subject, end}]))
}

// place is the name of a place; a place without a name is called by its kind.
func (f facts) place(id string) string {
	p, ok := f.b.Places.Any(id)
	switch {
	case !ok:
		return "unknown place"
	case p.Name == "":
		return string(p.Kind)
	}
	return p.Name
}

func (f facts) run(id string) string {
	r, ok := f.b.Runs.Any(id)
	if !ok {
		return "unknown run"
	}
	return f.place(r.A) + " to " + f.place(r.B)
}

// loom is the name of a loom; a run may be in none.
func (f facts) loom(id string) string {
	if id == "" {
		return ""
	}
	l, ok := f.b.Looms.Any(id)
	if !ok {
		return "unknown loom"
	}
	return l.Name
}

// looms names the looms of a way in the order it enters them.
func (f facts) looms(runs []string) string {
	var names []string
	seen := map[string]bool{}
	for _, id := range runs {
		r, _ := f.b.Runs.Any(id)
		if name := f.loom(r.Loom); name != "" && !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	return strings.Join(names, ", ")
}

// end is where a wire ends; an end that is not chosen, or of which nothing is left, says so.
func (f facts) end(e harness.End) Cell {
	if name := tag.EndName(f.b, e); name != "" {
		return text(name)
	}
	if e != (harness.End{}) {
		return text("deleted")
	}
	return text("not chosen")
}

// conductor returns the cells of size and colour.
func (f facts) conductor(w harness.Wire) (size, colour Cell) {
	s, c := tag.Conductor(f.b, w)
	parsed := unit.ParseColour(c)
	return orUnknown(s), Cell{Text: orUnknown(c).Text, Colour: [2]string{parsed.Base, parsed.Tracer}}
}

func orUnknown(s string) Cell {
	if s == "" {
		return text(unknown)
	}
	return text(s)
}

// mm returns a cell with a length in the unit of the build.
func (f facts) mm(l unit.Length) Cell { return length(l, f.system) }

// lengthColumn returns a column of lengths.
func (f facts) lengthColumn(key, title string) Column {
	return Column{Key: key, Title: title, Unit: LengthUnit(f.system), Number: true, Wide: 1}
}

// supplied reports whether a wire is made of a supplied lead. One whose lead is gone is a new wire.
func (f facts) supplied(w harness.Wire) bool {
	_, ok := f.b.Leads.Get(w.Lead)
	return w.Lead != "" && ok
}

// why says why a length is not known and what is missing.
func (f facts) why(r cut.Result) string {
	if r.Problem != nil {
		return f.noPath(r.Problem)
	}
	if word := r.LooseWord(); word != "" {
		return word
	}
	var runs []string
	for i, id := range r.Missing {
		if i == 3 {
			runs = append(runs, fmt.Sprintf("%d more", len(r.Missing)-i))
			break
		}
		runs = append(runs, f.run(id))
	}
	return "not measured: " + strings.Join(runs, "; ")
}

func (f facts) noPath(e *route.NoPath) string {
	side := "the first end"
	if e.End == harness.ToEnd {
		side = "the second end"
	}
	switch e.Trouble {
	case route.NoEnd:
		return side + " is not chosen"
	case route.LostEnd:
		return side + " is deleted"
	case route.LostVia:
		return "it must pass a place that is deleted"
	case route.NoRuns:
		return "no run leads to " + f.place(e.Place)
	case route.OtherIsland:
		return f.place(e.Place) + " does not hang together with the rest"
	case route.OtherLoom:
		var names []string
		for _, id := range e.Looms {
			if name := f.loom(id); name != "" {
				names = append(names, name)
			} else {
				names = append(names, "no loom")
			}
		}
		return "the way to " + f.place(e.Place) + " needs a loom it may not use: " + strings.Join(names, ", ")
	}
	return "no way: " + string(e.Trouble)
}

// branch is where a way leaves the rest: the last split, pass-through or panel before its far end.
func (f facts) branch(p route.Path) string {
	for i := len(p.Places) - 2; i > 0; i-- {
		switch place, _ := f.b.Places.Any(p.Places[i]); place.Kind {
		case harness.Split, harness.PassThrough, harness.Panel:
			return "from " + f.place(place.ID)
		}
	}
	return "no branch"
}

// day is the date of a moment as it is stored.
func day(at string) string {
	if len(at) >= 10 {
		return at[:10]
	}
	return at
}

// changed says how a wire that was cut or trimmed (the verb) compares with what it needs now.
func (f facts) changed(verb string, c cut.Change) string {
	was, _ := c.Was.Figures(f.system)
	was = verb + " at " + was
	switch {
	case !c.Known:
		return was + ", the need is now unknown"
	case c.Short > 0:
		now, _ := c.Now.Figures(f.system)
		by, _ := c.Short.Figures(f.system)
		if c.Truly {
			return was + ", now needs " + now + ": short by " + by
		}
		return was + ", now needs " + now + ": " + by + " less than asked, it still reaches"
	}
	return was
}
