package rules

import (
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// Number is one thing worked out of a wire, as its card shows it.
type Number struct {
	Key    string // what it is, in short: "ohm", "load", "carries", "warm", "drop", "fuse", "fault", "size"
	Name   string // what it is, as a person says it
	Figure unit.Figure
	Bad    bool
	Fix    harness.Fix // of "size", where another size is the advice
}

// Looked is a build that the rules have looked over. It answers while the build stays as it is.
type Looked struct {
	f       *facts
	done    bool                // the findings are there
	numbers map[string][]Number // of wires
}

// Look is Check that keeps what it worked out, so that a wire's numbers and the findings are of one piece. The findings are worked
// out when they are asked for first.
func Look(b *harness.Build, g *route.Graph, o Options) *Looked {
	return &Looked{f: gather(b, g, o), numbers: map[string][]Number{}}
}

// Findings are those of Check.
func (l *Looked) Findings() []harness.Finding {
	if !l.done {
		l.f.check()
		l.done = true
	}
	return l.f.sorted()
}

// Wire returns what is worked out of a wire, in the order of Number's keys; what is not known says what is missing, and where
// it is entered. None for a wire that is not there.
func (l *Looked) Wire(id string) []Number {
	if all, had := l.numbers[id]; had {
		return all
	}
	i, ok := l.f.byID[id]
	if !ok {
		return nil
	}
	e := electric{f: l.f, i: i, w: &l.f.wires[i]}
	e.find()
	l.numbers[id] = []Number{e.ohm(), e.load(), e.carries(), e.warm(), e.dropped(), e.fused(), e.faulted(), e.sized()}
	return l.numbers[id]
}

// electric works out the numbers of one wire.
type electric struct {
	f     *facts
	i     int
	w     *wireFacts
	end   int          // the node behind it, -1 for none
	loss  loss         // at the load that loses most through it
	lost  bool         // loss is worked out
	fuse  harness.Part // that guards it; the zero value for none
	blade wire.Blade
}

// find looks for the load that loses most through the wire, and for its fuse.
func (e *electric) find() {
	f := e.f
	e.end = -1
	for _, at := range []int{e.w.from, e.w.to} {
		if f.nodes[at].up == e.i {
			e.end = at
		}
	}
	f.supplied(func(end int, t harness.Terminal) {
		l, _ := f.loss(end, t, e.i)
		if len(l.drop.Pieces) > 0 && (!e.lost || l.drop.Volts/l.may > e.loss.drop.Volts/e.loss.may) {
			e.loss, e.lost = l, true
		}
	})
	if e.end >= 0 {
		if c := f.chain(e.end); !c.unsure && slices.Contains(c.wires, e.i) && c.fuse.Rating != nil && *c.fuse.Rating > 0 {
			e.fuse = c.fuse
		}
	}
	if e.fuse.ID != "" {
		var ok bool
		if e.blade, ok = blade(*e.fuse.Rating); !ok {
			e.fuse = harness.Part{}
		}
	}
}

const notKnown = "unknown"

func (e *electric) number(key, name, formula, source string) Number {
	return Number{Key: key, Name: name, Figure: unit.Figure{What: name + " of " + e.w.Name, Value: notKnown, Formula: formula, Source: source,
		Of: string(harness.KindWire), ID: e.w.ID}}
}

// missing says why a number is not known, and what would tell it.
func (n *Number) missing(note, name string, kind harness.Kind, id string) {
	n.Figure.Note = note
	n.Figure.Of, n.Figure.ID = string(kind), id
	n.Figure.Terms = append(n.Figure.Terms, unit.Term{Name: name, Text: notKnown, Of: string(kind), ID: id})
}

// sizeless fills a number of a wire whose size is not known or in no table.
func (e *electric) sizeless(n *Number) bool {
	if !e.w.size.Known() {
		n.missing("Its size is not known.", "size", harness.KindWire, e.w.ID)
		return true
	}
	if _, err := wire.Of(e.w.size, wire.Usual); err != nil {
		n.missing(e.w.size.String()+" is in no table of resistances.", "size", harness.KindWire, e.w.ID)
		return true
	}
	return false
}

// loadless fills a number that hangs on a current that nobody named.
func (e *electric) loadless(n *Number) bool {
	if !e.w.unsure {
		return false
	}
	for _, at := range e.f.nets[e.f.nodes[e.w.from].net].nodes {
		if id := e.f.nodes[at].blame; id != "" {
			n.missing("Nobody said how much "+e.f.places[id].Name+" draws.", e.f.places[id].Name, harness.KindPlace, id)
			return true
		}
	}
	n.missing("Its wires make a circle, so what flows in each is not known.", "current", harness.KindWire, e.w.ID)
	return true
}

func (e *electric) ohm() Number {
	n := e.number("ohm", "Resistance", "ohms of a kilometre × length, as warm as it gets around it", "Ohm's law; the table named below")
	if e.sizeless(&n) {
		return n
	}
	if !e.f.cut(e.w).Known() {
		n.missing("Its length is not known.", "length", harness.KindWire, e.w.ID)
		return n
	}
	c, _ := wire.Of(e.w.size, wire.Usual)
	cold, err := c.ResistanceOf(e.f.metal(e.w), c.At)
	hot, err2 := c.ResistanceOf(e.f.metal(e.w), e.w.warm)
	if err != nil || err2 != nil {
		n.Figure.Note = "It cannot be reckoned at this temperature."
		n.Figure.Terms = e.terms(unit.Term{Name: "temperature", Value: e.w.warm, Unit: "°C"})
		return n
	}
	n.Figure.Value = milliohms(hot.Ohm) + " warm, " + milliohms(cold.Ohm) + " at " + unit.Shown(c.At) + " °C"
	n.Figure.Terms = e.terms(append(hot.Terms, unit.Term{Name: "cold", Formula: "the same at " + unit.Shown(c.At) + " °C", Text: milliohms(cold.Ohm)})...)
	return n
}

func milliohms(ohm float64) string { return unit.Shown(ohm*1000) + " mΩ" }

// terms gives each value that came in from nowhere else the wire as its origin.
func (e *electric) terms(all ...unit.Term) []unit.Term {
	for k := range all {
		if t := &all[k]; t.Of == "" && t.Source == "" && t.Formula == "" {
			t.Of, t.ID = string(harness.KindWire), e.w.ID
		}
	}
	return all
}

func (e *electric) load() Number {
	n := e.number("load", "Current", "the sum of what it feeds, by how much of the time for what heats it", "what each device says, its circuit, or what is typical of its kind")
	if e.f.nets[e.f.nodes[e.w.from].net].kind == signalNet {
		n.Figure.Value, n.Figure.Terms = "next to nothing", []unit.Term{{Name: "a signal", Text: "milliamperes", Source: common}}
		return n
	}
	if e.loadless(&n) {
		return n
	}
	n.Figure.Value = amperes(e.w.amps)
	n.Figure.Terms = e.terms(unit.Term{Name: "flows at most", Formula: "all that are known run at once", Value: e.w.amps, Unit: "A"},
		unit.Term{Name: "heats it", Formula: "amperes × √ of the time it is on; starts of a second do not count", Value: e.w.heat, Unit: "A"})
	if c, ok := e.f.b.Circuits.Get(e.w.Circuit); ok && c.Amps != nil {
		n.Figure.Terms = append(n.Figure.Terms, unit.Term{Name: "its circuit says", Value: *c.Amps, Unit: "A", Of: string(harness.KindCircuit), ID: c.ID})
	}
	return n
}

func (e *electric) carries() Number {
	n := e.number("carries", "May carry", "by size, insulation, the heat around it and how many loaded wires lie beside it", "the rule set named below")
	if !e.w.size.Known() {
		e.sizeless(&n)
		return n
	}
	c := e.f.may(e.i)
	if c.err != nil {
		n.missing(c.err.Error()+".", "size and insulation", harness.KindWire, e.w.ID)
		return n
	}
	n.Figure.Value, n.Figure.Source, n.Figure.Terms = amperes(c.Amps), c.Rule+"; corrected for the heat around it (derived)", e.terms(slices.Clone(c.Terms)...)
	if !e.w.unsure {
		n.Figure.Terms = append(n.Figure.Terms, unit.Term{Name: "headroom", Formula: "may carry less what heats it", Value: c.Amps - e.w.heat, Unit: "A"})
	}
	n.Bad = e.w.heat > c.Amps*(1+1e-9) && e.w.heat >= fromAmps
	if e.w.insulation == 0 {
		n.Figure.Note = "Nobody named its insulation: judged as if it were the best, of " + unit.Shown(bestInsulation) + " °C."
	}
	return n
}

func (e *electric) warm() Number {
	n := e.number("warm", "Conductor gets", "around it + headroom × √(current/may carry)", "estimate: heat lost grows with the difference in temperature; the root is on the safe side")
	if !e.w.size.Known() {
		e.sizeless(&n)
		return n
	}
	if e.loadless(&n) {
		return n
	}
	c := e.f.may(e.i)
	if c.err != nil {
		n.missing(c.err.Error()+".", "size and insulation", harness.KindWire, e.w.ID)
		return n
	}
	w, err := wire.Temperature(c.Current, e.w.heat)
	if err != nil {
		n.Figure.Note, n.Bad = err.Error()+".", true
		n.Figure.Terms = e.terms(unit.Term{Name: "around it", Value: e.w.hot, Unit: "°C"})
		return n
	}
	n.Figure.Value, n.Figure.Terms = unit.Shown(w.Celsius)+" °C", e.terms(w.Terms...)
	return n
}

func (e *electric) dropped() Number {
	n := e.number("drop", "Volt drop", "the sum of current × resistance of every piece from the battery to the load and back", "Ohm's law; ABYC E-11 as trade tables quote it: 3 % where it must not sag, 10 % elsewhere")
	switch {
	case e.lost:
		n.Figure.What = "Volt drop to " + e.f.net.Name(e.loss.t) + " through " + e.w.Name
		n.Figure.Value = unit.Shown(e.loss.drop.Volts) + " V out and back"
		n.Figure.Terms = e.terms(append(slices.Clone(e.loss.drop.Terms), unit.Term{Name: "supply", Value: e.f.volts, Unit: "V", Of: string(harness.KindSettings)},
			unit.Term{Name: "may be lost", Formula: "supply × " + unit.Shown(e.loss.share*100) + " %", Value: e.loss.may, Unit: "V"})...)
		n.Bad = e.loss.drop.Volts > e.loss.may*(1+1e-9)
	case e.sizeless(&n), e.loadless(&n):
	default:
		n.Figure.Value, n.Figure.Terms = "not asked", []unit.Term{{Name: "reckoned from", Value: fromAmps, Unit: "A", Source: "our choice: below that, little is lost"},
			{Name: "current", Value: e.w.amps, Unit: "A", Of: string(harness.KindWire), ID: e.w.ID}}
	}
	return n
}

// fuseless fills a number of a wire that no fuse guards.
func (e *electric) fuseless(n *Number) bool {
	if e.fuse.ID != "" {
		return false
	}
	n.missing("No fuse with a rating is found between the battery and this wire.", "fuse", harness.KindWire, e.w.ID)
	if e.f.nets[e.f.nodes[e.w.from].net].kind != feedNet {
		n.Figure.Note, n.Figure.Value = "", "not asked"
		n.Figure.Terms = []unit.Term{{Name: "its current", Text: "comes from no fuse", Formula: "a signal, a ground, or switched to ground: the fuse of the feed guards it", Source: common}}
	}
	return true
}

func (e *electric) fused() Number {
	n := e.number("fuse", "Fuse", "between what the load needs and what the smallest wire behind it may carry, by two schools", "1.5 × the load: a training course; at most 80 %: common practice, from memory; 33 CFR 183.455")
	if e.fuseless(&n) {
		return n
	}
	g := e.f.guards(e.fuse)
	n.Figure.Value = amperes(*e.fuse.Rating) + " " + e.fuse.Name
	n.Figure.Terms = []unit.Term{{Name: "fuse", Value: *e.fuse.Rating, Unit: "A", Of: string(harness.KindPart), ID: e.fuse.ID}}
	n.Figure.Of, n.Figure.ID = string(harness.KindPart), e.fuse.ID
	weakest, may := e.f.weakest(g)
	if weakest < 0 || e.f.open(g) {
		n.Figure.Note = "What hangs on it is not all known: no other fuse is proposed."
		return n
	}
	choice, err := wire.FuseFor(wire.Load{Amps: g.amps, Inrush: g.start, Start: startSeconds}, may.Amps, roomCelsius, e.blade)
	if err != nil {
		n.Figure.Note = err.Error() + "."
		return n
	}
	n.Figure.Terms = e.terms(append(n.Figure.Terms, choice.Terms...)...)
	n.Figure.Terms = append(n.Figure.Terms, unit.Term{Name: "the smallest wire behind it", Text: e.f.wires[weakest].name(), Of: string(harness.KindWire), ID: e.f.wires[weakest].ID})
	n.Bad = choice.Rating > 0 && *e.fuse.Rating > choice.Most*(1+1e-9)
	return n
}

func (e *electric) faulted() Number {
	n := e.number("fault", "In a short", "the fault current against the slowest the fuse may be, and what the weakest wire bears meanwhile", "IEC 60364-4-43: I²t ≤ k²S², from memory; ISO 8820-3 times, from memory")
	if e.fuseless(&n) || e.sizeless(&n) {
		return n
	}
	var worst wire.Fault
	var short wire.Short
	found := false
	for _, end := range append(e.f.guards(e.fuse).ends, e.end) {
		e.f.shorts(e.fuse, e.blade, end, func(x wire.Fault, s wire.Short) {
			mine := slices.ContainsFunc(s.Pieces, func(p wire.Piece) bool { return p.ID == e.w.ID })
			if mine && (!found || worse(x, worst) || worst.Opens == wire.InTime && x.Opens != wire.InTime) {
				worst, short, found = x, s, true
			}
		})
	}
	if !found {
		n.missing("The way of the current is not known.", "size of the wires", harness.KindWire, e.w.ID)
		return n
	}
	worst, _ = wire.FaultAt(short)
	n.Figure.Value, n.Figure.Terms, n.Bad = "opens "+string(worst.Opens), e.terms(worst.Terms...), worst.Opens != wire.InTime
	if worst.Opens == wire.Never {
		n.Figure.Value = "may never open"
	}
	if worst.Longest > 0 && worst.Longest < 1000 {
		n.Figure.Value += ", protects up to " + unit.Shown(worst.Longest) + " m"
	}
	return n
}

func (e *electric) sized() Number {
	n := e.number("size", "Least size", "the smallest size that passes what it may carry, volt drop, fuse and short", "the rules of each check below")
	if e.loadless(&n) {
		return n
	}
	sizes := sizesLike(e.w.size)
	if !e.w.size.Known() {
		sizes = wire.Sizes(wire.ISO6722)
	}
	need := wire.Need{Load: wire.Load{Amps: e.w.heat}, Use: e.f.use(e.i, e.w.size, e.w.insulation), Volts: e.f.volts, SourceOhm: batteryOhm, Sizes: sizes}
	if e.lost {
		need.Pieces, need.AllowedVolts = e.f.pieces(e.loss.wires, e.loss.amps, false), e.loss.may
		for k := range need.Pieces {
			if need.Pieces[k].ID == e.w.ID {
				need.Pieces[k].Size = unit.Size{}
			}
		}
	}
	if e.fuse.ID != "" && len(need.Pieces) > 0 {
		need.Rating, need.Blade = *e.fuse.Rating, e.blade
	}
	a, err := wire.Advise(need)
	if err != nil {
		n.missing(err.Error()+".", "size", harness.KindWire, e.w.ID)
		return n
	}
	for _, c := range a.Checks {
		t := unit.Term{Name: string(c.Rule), Text: unit.Shown(c.Got) + " of " + unit.Shown(c.Limit) + " " + c.Unit, Formula: "passes"}
		if !c.Passes {
			t.Formula = "fails"
		}
		if c.Unknown != "" {
			t.Text, t.Formula = notKnown, c.Unknown
		}
		n.Figure.Terms = append(n.Figure.Terms, t)
	}
	if !a.Size.Known() {
		n.Figure.Note, n.Bad = "No size passes: "+string(a.Rule)+" decides.", true
		return n
	}
	n.Figure.Value = a.Size.String()
	n.Figure.Terms = append(n.Figure.Terms, unit.Term{Name: "decided by", Text: string(a.Rule), Formula: "the first check that the next thinner size fails"})
	if a.Below.Known() {
		n.Figure.Terms = append(n.Figure.Terms, unit.Term{Name: "next thinner", Text: a.Below.String(), Formula: "it fails " + string(a.Rule)})
	}
	if e.w.size.Known() && a.Size.Compare(e.w.size) > 0 {
		n.Bad = true
		x := harness.Finding{Fix: harness.Fix{At: harness.Ref{Kind: harness.KindWire, ID: e.w.ID}, Field: "size"}}
		e.f.resize(&x, e.w, a.Size)
		n.Fix = x.Fix
	}
	return n
}
