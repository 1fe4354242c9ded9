package trace

import (
	"fmt"
	"slices"
	"strings"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

// fact is one line of what is known.
type fact struct {
	label, text string
	colour      [2]string // base and tracer, shown before the text
}

func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// colourOf is the colour of a wire: its own, or that of the lead it is made of.
func colourOf(b *harness.Build, w harness.Wire) (base, tracer string) {
	if lead, ok := b.Leads.Any(w.Lead); ok && w.Base == "" {
		return lead.Base, lead.Tracer
	}
	return w.Base, w.Tracer
}

// wireFacts is what is known of a wire, in the order in which it is asked under a bonnet. t is the tag it was met by.
func wireFacts(s *session.Session, w harness.Wire, t harness.Tag) []fact {
	b := s.B()
	var out []fact
	add := func(label, text string) {
		if text != "" {
			out = append(out, fact{label: label, text: text})
		}
	}
	base, tracer := colourOf(b, w)
	size, _ := tag.Conductor(b, w)
	if size = kit.SizeWord(size); size == "" {
		size = "size not known"
	}
	if base == "" {
		add("Colour", "not known, "+size)
	} else {
		out = append(out, fact{label: "Colour", text: ", " + size, colour: [2]string{base, tracer}})
	}
	r := s.Cut(w)
	add("Loom", loomWords(b, w, r.Path))
	if len(r.Path.Places) > 2 {
		var via []string
		for _, id := range r.Path.Places[1 : len(r.Path.Places)-1] {
			via = append(via, kit.PlaceName(b, id))
		}
		add("By way of", strings.Join(via, ", "))
	}
	add(lengthWords(s, w, r))
	if lead, ok := b.Leads.Any(w.Lead); ok {
		words := lead.Legend
		if cavity := kit.TerminalName(b, lead.Terminal); cavity != "" {
			words = strings.Trim(words+", cavity "+cavity, ", ")
		}
		add("Supplied lead", words)
	}
	if w.Twist != "" {
		var with []string
		for _, o := range b.Wires.All() {
			if o.ID != w.ID && o.Twist == w.Twist {
				with = append(with, strings.TrimSpace(o.Name+" "+o.Function))
			}
		}
		if len(with) > 0 {
			add("Twisted with", strings.Join(with, ", "))
		}
	}
	out = append(out, shares(b, w, r.Path)...)
	add("Note", w.Note)
	for _, e := range []harness.End{w.From, w.To} {
		if term, ok := b.Terminals.Any(e.Terminal); ok && term.Note != "" {
			add("At "+kit.EndName(b, e), term.Note)
		}
	}
	add("This tag", tag.Format(t.Code))
	add("Far tag", farTag(b, t))
	if lines := s.Log().History(harness.KindWire, w.ID); len(lines) > 0 {
		add("Last changed", kit.Day(lines[len(lines)-1].At))
	}
	return out
}

// farTag is the code of the tag in use on the other end of a wire.
func farTag(b *harness.Build, t harness.Tag) string {
	for _, o := range b.Tags.All() {
		if o.On == t.On && o.Subject == t.Subject && o.End != t.End && !o.Retired {
			return tag.Format(o.Code)
		}
	}
	return ""
}

// loomWords names the looms that a wire lies in, or those that it may use where it has no way.
func loomWords(b *harness.Build, w harness.Wire, p route.Path) string {
	ids := w.Looms
	if len(p.Runs) > 0 {
		ids = nil
		for _, id := range p.Runs {
			r, _ := b.Runs.Any(id)
			if !slices.Contains(ids, r.Loom) {
				ids = append(ids, r.Loom)
			}
		}
	}
	var names []string
	for _, id := range ids {
		names = append(names, kit.LoomName(b, id))
	}
	return strings.Join(names, ", ")
}

// lengthWords is how long a wire is, or was made, or must be.
func lengthWords(s *session.Session, w harness.Wire, r cut.Result) (label, text string) {
	b := s.B()
	sys := b.Settings.Unit
	was := func(verb string, done harness.Done, c cut.Change) string {
		text := verb + " to " + done.Length.Grouped(sys) + " on " + kit.Day(done.At)
		if c.Short > 0 {
			text += fmt.Sprintf("; now needs %s: short by %s", c.Now.Grouped(sys), c.Short.Grouped(sys))
		}
		return text
	}
	if _, ok := b.Leads.Get(w.Lead); ok {
		if w.Trimmed != nil {
			return "Length", was("trimmed", *w.Trimmed, cut.AfterTrim(*w.Trimmed, r))
		}
		return "Length", leadWords(b, cut.LeadOf(b, s.Graph(), w, r), sys)
	}
	if w.Cut != nil {
		return "Length", was("cut", *w.Cut, cut.After(*w.Cut, r))
	}
	if !r.Known() {
		return "Cut length", missing(b, r)
	}
	return "Cut length", r.Sum.Grouped(sys)
}

// leadWords is whether a supplied lead reaches.
func leadWords(b *harness.Build, a cut.LeadResult, sys unit.System) string {
	switch a.Verdict {
	case cut.Reaches:
		return a.Supplied.Grouped(sys) + ", reaches"
	case cut.ReachesShortTail:
		if a.Left > 0 {
			return a.Supplied.Grouped(sys) + ", reaches with " + a.Left.Grouped(sys) + " of tail left"
		}
		return a.Supplied.Grouped(sys) + ", reaches with no tail left"
	case cut.TrulyShort:
		return a.Supplied.Grouped(sys) + ", truly short by " + a.By.Grouped(sys)
	}
	if a.Because == cut.NoLength {
		return "the lead is not measured"
	}
	return missing(b, a.Result)
}

// missing says why a length is not known.
func missing(b *harness.Build, r cut.Result) string {
	if r.Problem != nil {
		return "not known. " + kit.NoWay(b, r.Problem)
	}
	if word := r.LooseWord(); word != "" {
		return "not known: " + word
	}
	return "not known: " + count(len(r.Missing), "run on the way is", "runs on the way are") + " not measured"
}

// bundleFacts is what is known of a place or a run.
func bundleFacts(s *session.Session, t harness.Tag) []fact {
	b := s.B()
	var out []fact
	add := func(label, text string) {
		if text != "" {
			out = append(out, fact{label: label, text: text})
		}
	}
	switch t.On {
	case harness.KindPlace:
		p, _ := b.Places.Any(t.Subject)
		kind := string(p.Kind)
		if p.Kind == harness.Split && p.Fixed == harness.InCar {
			kind += ", decided in the car"
		}
		add("Kind", kind)
		status := string(p.Status)
		if status == "" {
			status = "where it sits is not decided"
		}
		add("Status", status)
		var next []string
		for _, r := range b.Runs.All() {
			if far, ok := r.OtherEnd(t.Subject); ok {
				next = append(next, kit.PlaceName(b, far))
			}
		}
		add("Next to it", strings.Join(next, ", "))
		add("Note", p.Note)
	case harness.KindRun:
		r, _ := b.Runs.Any(t.Subject)
		add("Loom", kit.LoomName(b, r.Loom))
		if k, ok := s.Lengths().Run(r.ID); ok && k.Measured() {
			add("Length", k.Length.Grouped(b.Settings.Unit))
		} else {
			add("Length", "not measured")
		}
		add("Note", r.Note)
	}
	add("This tag", tag.Format(t.Code))
	return out
}

// wiresOf returns the wires that end at the place of a tag, and those that pass through it or its run, each in the order
// of wires. Cost: one way for each wire.
func wiresOf(s *session.Session, t harness.Tag) (at, through []harness.Wire) {
	b := s.B()
	for _, w := range b.Wires.All() {
		from, _ := b.EndPlace(w.From)
		to, _ := b.EndPlace(w.To)
		if t.On == harness.KindPlace && (from == t.Subject || to == t.Subject) {
			at = append(at, w)
			continue
		}
		path, err := s.Graph().Wire(w)
		if err != nil {
			continue
		}
		if t.On == harness.KindPlace && slices.Contains(path.Places, t.Subject) || t.On == harness.KindRun && slices.Contains(path.Runs, t.Subject) {
			through = append(through, w)
		}
	}
	return at, through
}
