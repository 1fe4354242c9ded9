package cut

import (
	"cmp"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/sorting"
	"loomwright/calc/unit"
)

// Verdict is the answer to "does this lead reach?".
type Verdict string

// The answers. Only TrulyShort needs a mend.
const (
	Reaches          Verdict = "reaches"            // with its full tail
	ReachesShortTail Verdict = "reaches, less tail" // with Left of tail left
	TrulyShort       Verdict = "truly short"        // by By: less than the way and one strip and crimp
	Unknown          Verdict = "unknown"            // because of Because
)

// Because is why it is not known whether a lead reaches.
type Because string

// The reasons.
const (
	NoLead      Because = "no lead"     // the wire is made of no living lead
	NoLength    Because = "no length"   // nobody has measured the lead
	NotRouted   Because = "not routed"  // the wire has no way: Result.Problem
	NotMeasured Because = "no readings" // runs on the way are not measured: Result.Missing
)

// LeadResult is a lead beside what its wire needs.
type LeadResult struct {
	Result   Result
	Verdict  Verdict
	Because  Because     // of Unknown
	Supplied unit.Length // the lead, 0 if not known
	Spare    unit.Length // of Reaches: beyond the full tail
	Left     unit.Length // of ReachesShortTail: tail that is left
	Eats     unit.Length // of ReachesShortTail: what is taken from the other end terms, once no tail is left
	By       unit.Length // of TrulyShort
	Mends    []Mend      // of TrulyShort, in the order in which they should be thought of
}

// MendKind names a way to mend a lead that is too short.
type MendKind string

// The mends, the kindest to the loom first.
const (
	OtherRoute     MendKind = "another route"
	MoveController MendKind = "another position of the controller"
	OtherLead      MendKind = "another lead"
	NewLead        MendKind = "a new lead"
	SpliceOn       MendKind = "a splice"
)

// Mend is one way to mend a lead that is too short, with what is needed for it.
type Mend struct {
	Kind      MendKind
	Path      route.Path  // of OtherRoute
	Leads     []string    // of OtherLead: free leads of equal or larger size that reach, shortest first
	Length    unit.Length // how much nearer the controller must be, how long the new lead, or how much to splice on
	Enough    bool        // it reaches then; false only of OtherRoute, which may be a part of the mend
	Sensitive bool        // of SpliceOn: a crank, cam or knock signal, which is spliced only with a stated reason
}

// Lead returns whether the supplied lead that a wire is made of reaches. Its length is measured from the rear face of the
// connector, and nothing is rounded: a lead is as long as it is. Cost: that of Length, and of one more if it is short.
func Lead(b *harness.Build, g *route.Graph, w harness.Wire) LeadResult {
	return LeadOf(b, g, w, Length(b, g, w))
}

// LeadOf is Lead where the length that the wire needs is there already. Cost: that of one Length if the lead is short.
func LeadOf(b *harness.Build, g *route.Graph, w harness.Wire, need Result) LeadResult {
	a := LeadResult{Result: need, Verdict: Unknown}
	lead, ok := b.Leads.Get(w.Lead)
	if ok && lead.Length != nil {
		a.Supplied = *lead.Length
	}
	switch {
	case !ok:
		a.Because = NoLead
	case a.Supplied <= 0:
		a.Because = NoLength
	case need.Problem != nil:
		a.Because = NotRouted
	case !need.Known():
		a.Because = NotMeasured
	case a.Supplied >= need.Exact:
		a.Verdict, a.Spare = Reaches, a.Supplied-need.Exact
	case a.Supplied >= need.Least:
		a.Verdict = ReachesShortTail
		a.Left = max(0, a.Supplied-(need.Exact-need.Tail))
		a.Eats = max(0, need.Exact-need.Tail-a.Supplied)
	default:
		a.Verdict, a.By = TrulyShort, need.Least-a.Supplied
		a.Mends = mends(b, g, w, lead, a)
	}
	return a
}

func mends(b *harness.Build, g *route.Graph, w harness.Wire, lead harness.Lead, a LeadResult) []Mend {
	var all []Mend
	free := w
	free.Looms, free.Via = nil, nil
	if other := Length(b, g, free); other.Known() && other.Least < a.Result.Least {
		all = append(all, Mend{Kind: OtherRoute, Path: other.Path, Length: a.Result.Least - other.Least, Enough: a.Supplied >= other.Least})
	}
	all = append(all, Mend{Kind: MoveController, Length: a.By, Enough: true})
	if ids := spareLeads(b, w, lead, a.Result); len(ids) > 0 {
		all = append(all, Mend{Kind: OtherLead, Leads: ids, Enough: true})
	}
	return append(all,
		Mend{Kind: NewLead, Length: a.Result.Sum, Enough: true},
		Mend{Kind: SpliceOn, Length: a.By, Enough: true, Sensitive: Sensitive(w.Function)})
}

// spareLeads returns the leads that no wire is made of, that are known to be no thinner, and that reach without eating
// into more than the tail; shortest first, so that the longer ones stay free.
func spareLeads(b *harness.Build, w harness.Wire, lead harness.Lead, need Result) []string {
	used := map[string]bool{lead.ID: true}
	for _, other := range b.Wires.All() {
		used[other.Lead] = true
	}
	size, err := unit.ParseSize(w.Size)
	if err != nil {
		if size, err = unit.ParseSize(lead.Size); err != nil {
			return nil
		}
	}
	var fit []harness.Lead
	for _, l := range b.Leads.All() {
		s, err := unit.ParseSize(l.Size)
		if !used[l.ID] && err == nil && s.Compare(size) >= 0 && l.Length != nil && *l.Length >= need.Exact-need.Tail {
			fit = append(fit, l)
		}
	}
	sorting.By(fit, func(x, y harness.Lead) int { return cmp.Compare(*x.Length, *y.Length) })
	ids := make([]string, len(fit))
	for i, l := range fit {
		ids[i] = l.ID
	}
	return ids
}

// Sensitive reports whether a function is a signal that a splice may spoil: crank, cam or knock, by the words in it.
func Sensitive(function string) bool {
	for _, word := range strings.FieldsFunc(strings.ToLower(function), func(r rune) bool { return r < 'a' || r > 'z' }) {
		if strings.HasPrefix(word, "crank") || strings.HasPrefix(word, "knock") || word == "cam" || word == "cams" || strings.HasPrefix(word, "camshaft") {
			return true
		}
	}
	return false
}

// Change is a wire that was cut or trimmed, beside what it would need now.
type Change struct {
	Was   unit.Length // as it was done
	Now   unit.Length // as it would be done now; 0 if Known is false
	Known bool        // false if the need is not known now
	Short unit.Length // Now − Was, if above zero
	Over  unit.Length // Was − Now, if above zero
	Truly bool        // it is below what it must have at least
}

// After compares a wire that was cut with what it needs now: "cut at 1240, now needs 1285: short by 45".
func After(done harness.Done, now Result) Change { return change(done, now, now.Sum) }

// AfterTrim compares a lead that was trimmed in the car, and so has no tail, with what it needs now without one.
func AfterTrim(done harness.Done, now Result) Change { return change(done, now, now.Exact-now.Tail) }

func change(done harness.Done, now Result, need unit.Length) Change {
	if !now.Known() {
		return Change{Was: done.Length}
	}
	return Change{Was: done.Length, Now: need, Known: true, Short: max(0, need-done.Length), Over: max(0, done.Length-need),
		Truly: done.Length < now.Least}
}
