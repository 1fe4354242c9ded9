package supply

import (
	"slices"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/unit"
)

// Extension is a lead that is too short, and how it would be made longer.
type Extension struct {
	Wire      harness.Wire
	Short     unit.Length // how much the lead is short
	At        string      // the place of the splice: chosen, or else the last branch that the lead reaches; empty if there is none
	Length    unit.Length // of the piece to splice on; 0 is not known
	Missing   string      // what is not known of it
	Sensitive bool        // a crank, cam or knock signal: spliced only with a stated reason
	Chosen    bool        // a person decided to extend it
}

// Extensions returns the leads that are too short, in the order of wires, with the splice that each would get: at a branch,
// where both sides can be held, as near to the end as the lead reaches, so that the least is spliced on. Never at a
// pass-through: a splice does not go into a grommet.
//
// Source: common practice: splices only right behind a connector or at a branch, tied on both sides.
func Extensions(b *harness.Build, g *route.Graph, length func(harness.Wire) cut.Result) (all []Extension) {
	if length == nil {
		length = func(w harness.Wire) cut.Result { return cut.Length(b, g, w) }
	}
	wires := b.Wires.All()
	for i := range wires {
		w := wires[i]
		lead, ok := b.Leads.Get(w.Lead)
		if !ok || lead.Length == nil {
			continue
		}
		r := length(w)
		if !r.Known() || *lead.Length >= r.Least {
			if w.ExtendAt == "" {
				continue
			}
		}
		at := w.ExtendAt
		if at == "" {
			at = spliceAt(b, g, w, r.Path, *lead.Length)
		}
		x := Extension{Wire: w, At: at, Missing: "no branch that the lead reaches"}
		if at != "" {
			x = extension(b, g, w, at)
		}
		x.Chosen, x.Sensitive = w.ExtendAt != "", cut.Sensitive(w.Function)
		if r.Known() {
			x.Short = max(0, r.Least-*lead.Length)
		}
		all = append(all, x)
	}
	return all
}

// spliceAt returns the last place on the way where a splice can be and that the lead reaches.
func spliceAt(b *harness.Build, g *route.Graph, w harness.Wire, way route.Path, lead unit.Length) string {
	for i := len(way.Places) - 2; i > 0; i-- {
		p, _ := b.Places.Get(way.Places[i])
		if p.Kind != harness.Split && p.Kind != harness.Splice {
			continue
		}
		to := w
		to.ID, to.To, to.Via = "", harness.End{Place: p.ID}, on(w.Via, way.Places[:i])
		r := cut.Length(b, g, to)
		if r.Known() && lead >= r.Exact-ends(r, harness.ToEnd)+splice(b) {
			return p.ID
		}
	}
	return ""
}

// extension works out the piece that is spliced on at a place: from there to the wire's far end with all that end needs.
func extension(b *harness.Build, g *route.Graph, w harness.Wire, at string) Extension {
	x := Extension{Wire: w, At: at}
	rest := w
	rest.ID, rest.Lead, rest.From = "", "", harness.End{Place: at}
	if whole := cut.Length(b, g, w); whole.Problem == nil {
		if i := slices.Index(whole.Path.Places, at); i >= 0 {
			rest.Via = on(w.Via, whole.Path.Places[i+1:])
		}
	}
	r := cut.Length(b, g, rest)
	if !r.Known() {
		x.Missing = "length from the splice on"
		return x
	}
	x.Length = (r.Exact - ends(r, harness.FromEnd) + splice(b)).RoundCut(b.Settings.Unit)
	return x
}

// on returns those places of via that are among others.
func on(via, others []string) (out []string) {
	for _, id := range via {
		if slices.Contains(others, id) {
			out = append(out, id)
		}
	}
	return out
}

// ends is what a result holds for one end of the wire.
func ends(r cut.Result, end harness.TagEnd) (sum unit.Length) {
	for _, t := range r.Terms {
		if t.End == end {
			sum += t.Value
		}
	}
	return sum
}

func splice(b *harness.Build) unit.Length {
	l, _ := cut.Allowance(b.Settings, cut.SpliceEnd)
	return l
}
