package cut

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/sorting"
	"loomwright/calc/unit"
)

// Sureness is how sure a cut length is to reach, in a word and in numbers.
type Sureness struct {
	By      harness.MarginBy
	Word    string
	K       float64 // times the standard deviation of the way
	Percent float64 // of the wires that are long enough, as far as the readings go
}

// Surenesses is the table of all, from the least wire wasted to the fewest wires short.
//
// Source: quantiles of the normal distribution, one-sided: too long is no failure. The three probabilities are our choice.
var Surenesses = []Sureness{
	{harness.MarginTight, "tight", 1.645, 95},
	{harness.MarginNormal, "normal", 2.326, 99},
	{harness.MarginSafe, "safe", 3.090, 99.9},
}

// SurenessOf returns what a build asks for; normal, where it asks for one that is not known.
func SurenessOf(s harness.Settings) Sureness {
	for _, x := range Surenesses {
		if x.By == s.Margin {
			return x
		}
	}
	return Surenesses[1]
}

// The margin is never less: MarginFixed and one part in MarginPart of the way.
//
// Source: judgement of practice: never under 3 mm + 0.5 % of the path, because repeats cannot remove a string laid wrongly.
const (
	MarginFixed = 3 * mm
	MarginPart  = 200
)

// LeastMargin is the least margin of a way.
func LeastMargin(way unit.Length) unit.Length { return MarginFixed + (way+MarginPart-1)/MarginPart }

// MarginOf returns the margin of a way whose length has this standard deviation.
func MarginOf(s harness.Settings, way, sigma unit.Length) unit.Length {
	return max(unit.Length(math.Ceil(SurenessOf(s).K*float64(sigma))), LeastMargin(way))
}

// margin returns the margin of the wire as a term.
func (c *counter) margin() Term {
	way, sigma := c.r.Path.Length, c.r.Path.Sigma
	sure := SurenessOf(c.b.Settings)
	t := Term{Kind: Margin, Group: OfEnd, Value: MarginOf(c.b.Settings, way, sigma), Name: "Margin for the readings", Of: harness.KindWire, ID: c.r.Wire}
	times := fmt.Sprintf("%.2f × %s", sure.K, sigma.Format(c.b.Settings.Unit))
	if t.Value == LeastMargin(way) {
		t.Reason = "3 mm and 0.5 % of the way, no less than " + times
		t.Source = "judgement of practice: repeats cannot remove a string laid wrongly"
		return t
	}
	t.Reason = fmt.Sprintf("%s: %s, long enough in %g of 100", times, sure.Word, sure.Percent)
	t.Source = "normal distribution, one-sided; the standard deviation of the way is that of the adjustment"
	return t
}

// longer makes sure that no length is below what was read along the way: what the readings there say more than the
// adjusted runs, as far as covered does not make up for it. It adds to the route.
func (c *counter) longer(covered unit.Length) {
	longer := c.r.Path.Longer
	if len(longer) == 0 {
		return
	}
	more, most := unit.Length(0), longer[0]
	for _, l := range longer {
		more += l.Diff()
		if l.Diff() > most.Diff() {
			most = l
		}
	}
	c.r.read = more
	reason := fmt.Sprintf("read as %s over %s, adjusted to %s", most.Value.Format(c.b.Settings.Unit), runs(len(most.Runs)),
		most.Sum.Format(c.b.Settings.Unit))
	if n := len(longer) - 1; n > 0 {
		reason += fmt.Sprintf(", and %d more", n)
	}
	if covered > 0 {
		reason += fmt.Sprintf("; the margin covers %s of %s", covered.Format(c.b.Settings.Unit), more.Format(c.b.Settings.Unit))
	}
	c.add(Term{Kind: LongerRead, Group: OfRoute, Value: more - covered, Source: "judgement of practice: a way is never below its largest reading",
		Of: harness.KindReading, ID: most.Reading, Name: "Never below what was read", Reason: reason})
}

func runs(n int) string {
	if n == 1 {
		return "1 run"
	}
	return fmt.Sprintf("%d runs", n)
}

// Saving is what reading one run once more would take off the margins.
type Saving struct {
	Run   string
	Most  unit.Length // off one wire
	Wires []string    // those that get at least a millimetre shorter, the most first
	Total unit.Length // of all of them
}

// Benefit returns what reading a run once more, with a string, would take off the margins of the wires in it, if it says
// what is expected. It is zero in a build that allows a flat amount or a per cent. Cost: wires × the square of their runs.
func Benefit(b *harness.Build, g *route.Graph, run string) Saving {
	for _, s := range Benefits(b, g, run) {
		return s
	}
	return Saving{Run: run}
}

// Benefits is Benefit for several runs, or for all that wires take where none is named: those that save most first, and
// without those that save nothing.
func Benefits(b *harness.Build, g *route.Graph, only ...string) []Saving {
	if b.Settings.AllowBy != harness.AllowTerms {
		return nil
	}
	l := g.Lengths()
	saved := map[string]*benefit{}
	var order []string
	for _, w := range b.Wires.All() {
		path, err := g.Wire(w)
		if err != nil || !path.Measured() || len(path.Runs) == 0 {
			continue
		}
		now := MarginOf(b.Settings, path.Length, path.Sigma)
		if now == LeastMargin(path.Length) {
			continue
		}
		for i, run := range path.Runs {
			if len(only) > 0 && !slices.Contains(only, run) || slices.Contains(path.Runs[:i], run) {
				continue
			}
			then, ok := l.After(path.Runs, []string{run})
			if less := now - MarginOf(b.Settings, path.Length, then); ok && less >= mm {
				if saved[run] == nil {
					saved[run] = &benefit{run: run}
					order = append(order, run)
				}
				saved[run].wires = append(saved[run].wires, lessWire{w.ID, less})
			}
		}
	}
	out := make([]Saving, len(order))
	for i, run := range order {
		out[i] = saved[run].saving()
	}
	sorting.By(out, func(a, b Saving) int { return cmp.Compare(b.Total, a.Total) })
	return out
}

type benefit struct {
	run   string
	wires []lessWire
}

type lessWire struct {
	wire string
	less unit.Length
}

func (x *benefit) saving() Saving {
	sorting.By(x.wires, func(a, b lessWire) int { return cmp.Compare(b.less, a.less) })
	s := Saving{Run: x.run, Most: x.wires[0].less}
	for _, w := range x.wires {
		s.Wires = append(s.Wires, w.wire)
		s.Total += w.less
	}
	return s
}

// LongestWire is how long a wire is likely to be at most. Source: common practice (a wire over 8 m is asked about once).
const LongestWire = route.LongestWay
