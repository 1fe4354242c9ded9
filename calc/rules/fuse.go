package rules

import (
	"math"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// guarded is what hangs on a fuse: the wires behind it up to the next fuse, and their ends.
type guarded struct {
	wires []int
	ends  []int
	amps  float64 // what it carries at least
	start float64 // the most it carries when one of them is switched on
}

// guards returns what hangs on a fuse, through relays and switches.
func (f *facts) guards(fuse harness.Part) (g guarded) {
	seen := map[int]bool{}
	var walk func(p harness.Part)
	walk = func(p harness.Part) {
		for _, i := range f.behind(p) {
			n := &f.nets[i]
			if seen[i] || n.kind != feedNet {
				continue
			}
			seen[i] = true
			if p.ID == fuse.ID {
				g.amps += n.amps
			}
			g.wires = append(g.wires, n.wires...)
			for _, at := range n.nodes {
				x := &f.nodes[at]
				if x.up < 0 {
					continue
				}
				if len(x.wires) == 1 {
					g.ends = append(g.ends, at)
				}
				g.start = max(g.start, x.rush-x.draws)
				part := f.parts[x.terminal.Part]
				switch part.Kind {
				case harness.Fuse, harness.BreakerPart, harness.FeedBar: // they guard what is behind them, or have fuses that do
				default:
					if takes(part, x.terminal) {
						walk(part)
					}
				}
			}
		}
	}
	walk(fuse)
	g.start += g.amps
	return g
}

// fuses looks at each fuse: what it carries, whether it guards the wires behind it, and whether it opens in a short.
func (f *facts) fuses() {
	parts := f.b.Parts.All()
	for i := range parts {
		p := parts[i]
		if p.Kind != harness.Fuse && p.Kind != harness.BreakerPart {
			if p.Kind == harness.Relay || p.Kind == harness.Switch {
				f.contact(p)
			}
			continue
		}
		g := f.guards(p)
		if len(g.wires) == 0 {
			continue
		}
		at := harness.Ref{Kind: harness.KindPart, ID: p.ID}
		if p.Rating == nil || !(*p.Rating > 0) {
			f.add(harness.Finding{Rule: NotChecked, Severity: harness.Note, Subject: at, What: p.Name + ": not checked, because nobody said what it is rated",
				Source: common, Fix: harness.Fix{At: at, Field: "rating", Do: "say how many amperes it is rated"}})
			continue
		}
		f.blows(p, g)
		if !f.opens(p, g) {
			f.aboveWire(p, g)
		}
	}
}

// blade is the kind of fuse that has a rating; ok is false where no kind has its times here.
func blade(rating float64) (b wire.Blade, ok bool) {
	switch {
	case rating <= 40:
		return wire.Medium, true
	case rating <= 80:
		return wire.Maxi, true
	}
	return wire.Medium, false
}

// blows looks whether a fuse bears what hangs on it.
func (f *facts) blows(p harness.Part, g guarded) {
	rating := *p.Rating
	if g.amps <= 0.8*rating*(1+1e-9) {
		f.starts(p, g)
		return
	}
	severity := harness.Warn
	what := p.Name + " carries more than 80 % of its rating: it may open in the heat"
	if g.amps > rating*(1+1e-9) {
		severity, what = harness.Stop, p.Name+" opens with what hangs on it"
	}
	at := harness.Ref{Kind: harness.KindPart, ID: p.ID}
	x := harness.Finding{Rule: FuseSmall, Severity: severity, Subject: at, What: what, Got: amperes(g.amps), Limit: amperes(0.8 * rating),
		Source: "common practice: a load of at most 80 % of its fuse",
		Terms: []unit.Term{{Name: "load", Formula: "sum of what hangs on it, as far as it is known", Value: g.amps, Unit: "A"},
			{Name: "fuse", Value: rating, Unit: "A", Of: string(harness.KindPart), ID: p.ID},
			{Name: "may carry", Formula: "80 % of the fuse", Value: 0.8 * rating, Unit: "A", Source: "common practice"}},
		Fix: harness.Fix{At: at, Field: "rating", Do: "share its loads between two fuses"}}
	weakest, may := f.weakest(g)
	if b, ok := blade(g.amps / 0.8); ok {
		limit := may.Amps
		if weakest < 0 {
			limit = wire.MostAmps
		}
		choice, err := wire.FuseFor(wire.Load{Amps: g.amps}, limit, roomCelsius, b)
		if err == nil && choice.Rating > rating {
			f.rate(&x, p, choice.Rating)
			x.Terms = append(x.Terms, choice.Terms...)
		} else if weakest >= 0 {
			x.Fix.Do = "share its loads between two fuses: " + f.wires[weakest].name() + " bears no greater one"
		}
	}
	f.add(x)
}

// startSeconds is how long a load draws more when it is switched on. Source: common practice, from memory: a motor of a pump
// or fan comes up within a quarter of a second; a half is our choice, on the safe side.
const startSeconds = 0.5

// starts looks whether a fuse rides through the start of the load behind it that draws most then.
func (f *facts) starts(p harness.Part, g guarded) {
	rating := *p.Rating
	b, ok := blade(rating)
	if !ok || g.start <= g.amps || g.start <= rating || b.Holds(rating, g.start, startSeconds) {
		return
	}
	at := harness.Ref{Kind: harness.KindPart, ID: p.ID}
	x := harness.Finding{Rule: FuseStart, Severity: harness.Warn, Subject: at, What: p.Name + " may open when what hangs on it is switched on", Got: amperes(g.start), Limit: amperes(rating),
		Source: "ISO 8820-3 times, from memory; how long a start lasts is common practice",
		Terms: []unit.Term{{Name: "at the start", Formula: "what runs, and the start of the one that draws most then", Value: g.start, Unit: "A"},
			{Name: "for", Value: startSeconds, Unit: "s", Source: "our choice"}, {Name: "fuse", Value: rating, Unit: "A", Of: string(harness.KindPart), ID: p.ID}},
		Fix: harness.Fix{At: at, Field: "rating", Do: "take a greater fuse and thicker wires"}}
	if weakest, may := f.weakest(g); weakest >= 0 {
		if choice, err := wire.FuseFor(wire.Load{Amps: g.amps, Inrush: g.start, Start: startSeconds}, may.Amps, roomCelsius, b); err == nil && choice.Rating > rating {
			f.rate(&x, p, choice.Rating)
			x.Terms = append(x.Terms, choice.Terms...)
		}
	}
	f.add(x)
}

// rate makes another rating the fix, in one tap.
func (f *facts) rate(x *harness.Finding, p harness.Part, rating float64) {
	now := p
	now.Rating = &rating
	x.Fix = harness.Fix{At: x.Subject, Field: "rating", Do: "fuse " + amperes(rating), Put: []harness.Put{{Ref: harness.Ref{Kind: harness.KindPart, ID: p.ID}, Record: now}}}
}

// weakest returns the wire behind a fuse that may carry least, -1 for none that is known. One that is overloaded is told of
// already.
func (f *facts) weakest(g guarded) (at int, may current) {
	at = -1
	for _, i := range g.wires {
		if !f.wires[i].size.Known() || f.overloaded(i) {
			continue
		}
		if c := f.may(i); c.err == nil && (at < 0 || c.Amps < may.Amps) {
			at, may = i, c
		}
	}
	return at, may
}

// aboveWire looks whether a fuse is more than the weakest wire behind it carries. A fuse guards against a short first, see
// opens; a load that takes more than it should is rarer, so a little above is only worth knowing.
//
// Source: 33 CFR 183.455, from memory, for 150 %; twice is our choice: a fuse holds 110 % of its rating for ever, and at 220 % of
// what it may carry a wire gets nearly five times as much above what is around it as it should.
func (f *facts) aboveWire(p harness.Part, g guarded) {
	weakest, may := f.weakest(g)
	rating := *p.Rating
	if weakest < 0 || rating <= may.Amps*(1+1e-9) || !may.Fits() {
		return
	}
	w := &f.wires[weakest]
	severity := harness.Note
	what := p.Name + " is rated higher than " + w.name() + " carries: an overload may heat the wire for long"
	switch {
	case rating > 2*may.Amps*(1+1e-9):
		severity = harness.Hurt
		what = p.Name + " does not guard " + w.name() + ": an overload heats the wire and the fuse stays closed"
	case rating > 1.5*may.Amps*(1+1e-9):
		severity = harness.Warn
	}
	at := harness.Ref{Kind: harness.KindPart, ID: p.ID}
	x := harness.Finding{Rule: FuseLarge, Severity: severity, Subject: at, Also: []harness.Ref{{Kind: harness.KindWire, ID: w.ID}}, What: what,
		Got: amperes(rating), Limit: amperes(may.Amps), Source: "common practice: a fuse is never above what its wire carries; 33 CFR 183.455, from memory: up to 150 % where nothing else is sold",
		Terms: append([]unit.Term{{Name: "fuse", Value: rating, Unit: "A", Of: string(harness.KindPart), ID: p.ID}}, may.Terms...),
		Fix:   harness.Fix{At: at, Field: "rating", Do: "take a smaller fuse or a thicker wire"}}
	f.mendFuse(&x, p, g, weakest, may)
	f.add(x)
}

// mendFuse makes the fix a smaller fuse if one bears the load, else a thicker wire.
func (f *facts) mendFuse(x *harness.Finding, p harness.Part, g guarded, weakest int, may current) {
	rating := *p.Rating
	if b, ok := blade(min(rating, 2*g.amps)); ok {
		if choice, err := wire.FuseFor(wire.Load{Amps: g.amps}, may.Amps, roomCelsius, b); err == nil && choice.Rating > 0 && choice.Wire < rating && g.amps > 0 && !f.open(g) {
			f.rate(x, p, choice.Wire) // the greatest that guards the wire: it rides through most
			return
		}
	}
	if x.Rule == FuseLate {
		return // a thicker wire alone may only make another the weakest
	}
	f.thicker(x, weakest, rating)
}

// open reports whether more hangs on a fuse than is known.
func (f *facts) open(g guarded) bool {
	for _, i := range g.wires {
		if f.wires[i].unsure {
			return true
		}
	}
	return false
}

// opens looks what the fuse does in a short at each end behind it, and tells the worst: true if there is one to tell. Wires
// between the battery and the fuse only lower the current: they are not this fuse's to guard.
func (f *facts) opens(p harness.Part, g guarded) bool {
	rating := *p.Rating
	b, ok := blade(rating)
	at := harness.Ref{Kind: harness.KindPart, ID: p.ID}
	if !ok {
		f.add(harness.Finding{Rule: NotChecked, Severity: harness.Note, Subject: at, What: p.Name + ": not checked what it does in a short, because no times are known of a fuse of " + amperes(rating),
			Source: "ISO 8820-3 blade fuses end at 80 A", Fix: harness.Fix{At: at, Do: "look into its data sheet"}})
		return false
	}
	worst, end := wire.Fault{}, -1
	weakest := -1
	var short wire.Short
	for _, e := range g.ends {
		f.shorts(p, b, e, func(x wire.Fault, s wire.Short) {
			if x.Opens == wire.InTime || f.overloaded(f.byID[s.Pieces[x.Weakest].ID]) {
				return
			}
			if end < 0 || worse(x, worst) {
				worst, end, weakest, short = x, e, f.byID[s.Pieces[x.Weakest].ID], s
			}
		})
	}
	if end < 0 {
		return false
	}
	worst, _ = wire.FaultAt(short)
	w := &f.wires[weakest]
	what := p.Name + " opens too late for " + w.name() + " in a short"
	if worst.Opens == wire.Never {
		what = p.Name + " may never open in a short at the end of " + f.wires[f.nodes[end].up].name()
	}
	x := harness.Finding{Rule: FuseLate, Severity: harness.Hurt, Subject: at, Also: []harness.Ref{{Kind: harness.KindWire, ID: w.ID}}, What: what,
		Got: "opens: " + seconds(worst.Within), Limit: "bears " + seconds(worst.Bears), Source: "IEC 60364-4-43: I²t ≤ k²S², from memory; ISO 8820-3 times, from memory",
		Terms: worst.Terms, Fix: harness.Fix{At: at, Field: "rating", Do: "take a smaller fuse, thicker wires or a shorter way"}}
	if may := f.may(weakest); may.err == nil {
		f.mendFuse(&x, p, g, weakest, may)
	}
	f.add(x)
	return true
}

// worse reports whether one short is worse than another: a fuse that never opens, then the one that opens slower.
func worse(x, than wire.Fault) bool {
	return x.Opens == wire.Never && than.Opens != wire.Never || x.Opens == than.Opens && x.Multiple < than.Multiple
}

// shorts works out what a fuse does in a short at an end behind it: to the body there, and to the end of its own return.
func (f *facts) shorts(p harness.Part, b wire.Blade, e int, each func(x wire.Fault, s wire.Short)) {
	c := f.chain(e)
	if c.fuse.ID != p.ID || c.unsure {
		return
	}
	ways := [][]int{c.wires}
	if t := f.nodes[e].terminal; t.ID != "" && t.Part == "" {
		if back := f.back(t); len(back) > 0 {
			ways = append(ways, append(c.wires[:len(c.wires):len(c.wires)], back...))
		}
	}
	above := 0.0
	for _, piece := range f.pieces(c.above, 0, true) {
		if _, ohm, err := wire.Volts([]wire.Piece{piece}); err == nil {
			above += ohm
		}
	}
	rating := *p.Rating
	for _, way := range ways {
		pieces := f.pieces(way, 0, true)
		if len(pieces) == 0 {
			continue
		}
		s := wire.Short{Volts: f.volts, SourceOhm: batteryOhm + above, FuseOhm: wire.FuseOhm(rating), Rating: rating, Blade: b, Pieces: pieces}
		if x, err := wire.Outcome(s); err == nil {
			each(x, s)
		}
	}
}

// contact looks whether a relay or switch bears what it switches.
func (f *facts) contact(p harness.Part) {
	if p.Rating == nil || !(*p.Rating > 0) {
		return
	}
	amps := 0.0
	for _, n := range f.behind(p) {
		amps += f.nets[n].amps
	}
	if amps <= *p.Rating*(1+1e-9) || math.IsNaN(amps) {
		return
	}
	at := harness.Ref{Kind: harness.KindPart, ID: p.ID}
	f.add(harness.Finding{Rule: ContactSmall, Severity: harness.Stop, Subject: at, What: p.Name + " switches more than it is rated", Got: amperes(amps), Limit: amperes(*p.Rating),
		Source: common, Terms: []unit.Term{{Name: "load", Formula: "sum of what hangs on it, as far as it is known", Value: amps, Unit: "A"},
			{Name: string(p.Kind), Value: *p.Rating, Unit: "A", Of: string(harness.KindPart), ID: p.ID}},
		Fix: harness.Fix{At: at, Field: "rating", Do: "take one that bears it, or share its loads"}})
}

// unfused looks at what leads away from the battery with no fuse: how far, and whether a fuse comes at all. The cable of a
// starter has none. One finding for what hangs together, of the end that is worst.
//
// Source: judgement of practice: 180 mm, and 450 mm where it is covered, as boats have it (7 and 18 inches).
func (f *facts) unfused() {
	for i := range f.nets {
		n := &f.nets[i]
		if n.kind != feedNet || n.loop {
			continue
		}
		var worst harness.Finding
		var far unit.Length
		for _, at := range n.nodes {
			x := &f.nodes[at]
			if x.up < 0 {
				continue
			}
			t := x.terminal
			if t.ID == "" || f.places[t.Place].Device == "starter" {
				continue
			}
			part, isPart := f.parts[t.Part]
			load := x.ends > 0 && !isPart
			if !load && !(isPart && (takes(part, t) || part.Kind == harness.FeedBar)) {
				continue
			}
			c := f.chain(at)
			if !c.complete || c.fuse.ID != "" {
				continue
			}
			if isPart && part.Kind != harness.Fuse && part.Kind != harness.BreakerPart && part.Kind != harness.FeedBar {
				continue // what is behind it is told of there
			}
			long := unit.Length(0)
			var terms []unit.Term
			for k := len(c.wires) - 1; k >= 0; k-- {
				w := &f.wires[c.wires[k]]
				long += f.way(w)
				terms = append(terms, unit.Term{Name: w.name(), Value: f.way(w).MM(), Unit: "mm", Of: string(harness.KindWire), ID: w.ID})
			}
			terms = append(terms, unit.Term{Name: "with no fuse", Formula: "sum of the ways", Value: long.MM(), Unit: "mm"})
			w := &f.wires[c.wires[len(c.wires)-1]]
			subject := harness.Ref{Kind: harness.KindWire, ID: w.ID}
			finding := harness.Finding{Rule: Unfused, Subject: subject, Got: f.length(long), Limit: f.length(unfusedBare), Terms: terms,
				Source: "judgement of practice: 180 mm, 450 mm where it is covered",
				Fix:    harness.Fix{At: subject, Do: "put a fuse at the battery"}}
			switch {
			case load:
				finding.Severity, finding.What = harness.Hurt, f.net.Name(t)+" is fed from the battery with no fuse at all"
			case long > unfusedCovered:
				finding.Severity, finding.What = harness.Hurt, w.name()+" has no fuse for "+f.length(long)+" from the battery"
			case long > unfusedBare:
				finding.Severity, finding.What = harness.Warn, w.name()+" has no fuse for "+f.length(long)+" from the battery: cover it along all of that"
			default:
				continue
			}
			if worst.Severity == 0 || finding.Severity < worst.Severity || finding.Severity == worst.Severity && long > far {
				worst, far = finding, long
			}
		}
		if worst.Severity != 0 {
			f.add(worst)
		}
	}
}

// How far a wire may go from the battery with no fuse, bare and covered.
const (
	unfusedBare    = 180 * unit.Millimetre
	unfusedCovered = 450 * unit.Millimetre
)
