package bench

import (
	"fmt"
	"strings"

	"loomwright/app/figure"
	"loomwright/app/kit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
)

// work says what a row shows of an item.
func (p *page) work(i cut.Item) work {
	b := p.S.B()
	sys := b.Settings.Unit
	w := work{
		Leads: i.Lead != nil, Wire: i.Wire.ID, Name: i.Wire.Name, Size: i.Size, Base: i.Base, Tracer: i.Tracer,
		Done: i.Done() != nil, Under: i.Wire.Function,
	}
	if w.Size == "" {
		w.Size = "size not known"
	}
	w.Ends = kit.EndName(b, i.Wire.From) + " > " + kit.EndName(b, i.Wire.To)
	if w.Leads {
		w.Ends, w.Lead = kit.EndName(b, i.Wire.To), leadWords(b, i.Wire)
	}
	_, w.CanTick = target(i, sys)
	w.At, w.Key = p.At, figureKey(i)
	w.Number, w.Below, w.Tone = answer(b, i)
	return w
}

// figureKey is what explains the number of an item.
func figureKey(i cut.Item) string {
	switch {
	case i.Done() != nil:
		return figure.Done(i.Wire.ID)
	case i.Lead == nil:
		return figure.Cut(i.Wire.ID)
	case i.Lead.Verdict == cut.TrulyShort:
		return figure.Lead(i.Wire.ID)
	}
	return figure.Trim(i.Wire.ID)
}

// leadWords is the lead a wire is made of: what is printed on it and the cavity it sits in.
func leadWords(b *harness.Build, w harness.Wire) string {
	lead, _ := b.Leads.Any(w.Lead)
	var parts []string
	if lead.Legend != "" {
		parts = append(parts, "lead "+lead.Legend)
	}
	if cavity := kit.TerminalName(b, lead.Terminal); cavity != "" {
		parts = append(parts, "cavity "+cavity)
	}
	return strings.Join(parts, ", ")
}

// answer is the number at the right of a row, what stands under it, and its tone.
func answer(b *harness.Build, i cut.Item) (number, below, tone string) {
	sys := b.Settings.Unit
	if done := i.Done(); done != nil {
		verb := "cut"
		if i.Lead != nil {
			verb = "trimmed"
		}
		number = kit.Number(done.Length, sys)
		switch c := i.Change; {
		case !c.Known:
			return number, verb + " " + day(done.At) + "; what it needs now is not known", "warn"
		case c.Short > 0:
			return number, fmt.Sprintf("%s at %s, now needs %s: short by %s", verb, number, kit.Number(c.Now, sys), kit.Number(c.Short, sys)), "bad"
		}
		return number, verb + " " + day(done.At), ""
	}
	if i.Lead == nil {
		if !i.Result.Known() {
			return "?", "", "warn"
		}
		return kit.Number(i.Result.Sum, sys), "", ""
	}
	to, ok := i.Lead.Trim(sys)
	number = kit.Number(to, sys)
	switch a := i.Lead; {
	case a.Verdict == cut.TrulyShort:
		return "short", "truly short by " + kit.Number(a.By, sys), "bad"
	case !ok:
		return "?", lacks(b, *a), "warn"
	case a.Because == cut.NoLength:
		return number, "the lead itself is not measured", "warn"
	case a.Verdict == cut.Reaches:
		return number, "reaches", ""
	case a.Left > 0:
		return number, fmt.Sprintf("reaches with %s of tail left", kit.Number(a.Left, sys)), ""
	}
	return number, "reaches, no tail left", "warn"
}

// lacks says why it is not known whether a lead reaches.
func lacks(b *harness.Build, a cut.LeadResult) string {
	if a.Because == cut.NoLength {
		return "the lead is not measured"
	}
	return missing(b, a.Result)
}

// missing says why a length is not known.
func missing(b *harness.Build, r cut.Result) string {
	if r.Problem != nil {
		return kit.NoWay(b, r.Problem)
	}
	if word := r.LooseWord(); word != "" {
		return "Not known: " + word + "."
	}
	var runs []string
	for n, id := range r.Missing {
		if n == 2 && len(r.Missing) > 3 {
			runs = append(runs, fmt.Sprintf("%d more runs", len(r.Missing)-n))
			break
		}
		run, _ := b.Runs.Any(id)
		runs = append(runs, kit.RunName(b, run))
	}
	return "Not measured: " + strings.Join(runs, "; ") + "."
}

// batchName says where the wires of a batch end or leave.
func batchName(b *harness.Build, g cut.Batch) string {
	switch {
	case g.Place == "":
		return "Ends nowhere yet"
	case g.Branch != "":
		return kit.PlaceName(b, g.Place)
	}
	return "At " + kit.PlaceName(b, g.Place)
}

// count is a number and a noun.
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
