package walk

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// lengthened is what the sheet makes a run longer by than it was read.
func (p *routePage) lengthened(run string) (more unit.Length) {
	r, ok := p.S.B().Runs.Get(run)
	if !ok {
		return 0
	}
	for _, t := range cut.RunTerms(p.S.B(), p.S.Lengths(), r) {
		more += t.Value
	}
	return more
}

// branches are the finished branches that were measured, by their runs.
func (p *routePage) branches() (all []survey.Branch, of map[string]survey.Branch) {
	all, of = p.S.Lengths().AsBuilt(p.lengthened, survey.Bands), map[string]survey.Branch{}
	for _, x := range all {
		if len(x.Runs) == 1 {
			of[x.Runs[0]] = x
		}
	}
	return all, of
}

// built is the list of all branches of the finished loom beside the sheet.
func (p *routePage) built() []app.UI {
	b, l, sys := p.S.B(), p.S.Lengths(), p.system()
	all, of := p.branches()
	count := map[survey.Verdict]int{}
	for _, x := range all {
		count[x.Verdict]++
	}
	body := []app.UI{app.P().Class("small").Text("When the loom is made, measure each branch from breakout to breakout and tap it here. A branch may be longer than the sheet, by " +
		bandWords(sys) + ". It may not be shorter.")}
	if len(all) > 0 {
		words := []string{plural(count[survey.Passed], "branch passes", "branches pass")}
		tone := "good"
		if n := count[survey.Long]; n > 0 {
			words, tone = append(words, plural(n, "is too long", "are too long")), "warn"
		}
		if n := count[survey.Short]; n > 0 {
			words, tone = append(words, plural(n, "is too short", "are too short")), "bad"
		}
		body = append(body, kit.Note(tone, strings.Join(words, ", ")+".", ""))
	}
	var rows []app.UI
	runs := b.Runs.All()
	top := min(len(runs), mostRows*(1+p.more))
	for _, r := range runs[max(0, top-mostRows):top] {
		k, known := l.Run(r.ID)
		under := "sheet: not known"
		if known {
			under = "sheet: " + (k.Length + p.lengthened(r.ID)).Format(sys)
		}
		number, below := "–", "not measured"
		if x, ok := of[r.ID]; ok {
			number, below = x.Measured.Format(sys), verdictWords(x, sys)
			if x.Known {
				under = "sheet: " + x.Sheet.Format(sys)
			} else {
				under = "sheet: not known but from this loom itself"
			}
		}
		rows = append(rows, kit.Row("", kit.RunName(b, r), under, number, below, kit.To(p.card(r.ID).In(partBuilt)), p.card(r.ID).In(partBuilt)))
	}
	body = append(body, app.Div().Class("rows").Body(rows...))
	body = append(body, p.moreRows(len(runs), top)...)
	rows = nil
	for _, x := range all {
		if len(x.Runs) > 1 {
			under := "sheet: not known"
			if x.Known {
				under = "sheet: " + x.Sheet.Format(sys)
			}
			rows = append(rows, kit.Row("", pathName(b, x.Runs), under, x.Measured.Format(sys), verdictWords(x, sys), kit.To(p.card(x.Reading)), p.card(x.Reading)))
		}
	}
	if len(rows) > 0 {
		body = append(body, kit.Section("Longer branches", ""), app.Div().Class("rows").Body(rows...))
	}
	return append(body, kit.Chips(kit.Plain("Measure from any place to any other", p.onLongBranch, "long")))
}

// onLongBranch measures a branch of several runs, as a check of the finished loom.
func (p *routePage) onLongBranch(ctx app.Context, _ app.Event) {
	d := loadDraft(p.S)
	d.Way, d.Method = wayCheck, harness.AsBuilt
	if d.Check.From == "" {
		d.Check = checkFrom(p.S.B(), d.At)
	}
	d.save(p.S)
	kit.Go(ctx, p.At.On("walk"))
}

// bandWords is how much too long a branch may be: the first band, the last that is a length, and the per cent.
func bandWords(sys unit.System) string {
	first, last := survey.Bands[0], survey.Bands[0]
	for _, band := range survey.Bands {
		if band.Under > 0 {
			last = band
		}
	}
	return apart(first.Plus, sys) + " under " + apart(first.Under, sys) + ", up to " + apart(last.Plus, sys) + " under " + apart(last.Under, sys) + ", 5 % over that"
}

// verdictWords says whether a finished branch passes.
func verdictWords(x survey.Branch, sys unit.System) string {
	switch x.Verdict {
	case survey.Passed:
		return "passes"
	case survey.Short:
		return "FAILS: " + apart(x.Diff, sys) + " short"
	case survey.Long:
		return "FAILS: " + apart(x.Diff-x.Plus, sys) + " over"
	}
	return "nothing to compare"
}

// readBuilt asks for the length of a finished branch.
func (p *routePage) readBuilt(r harness.Run) app.UI {
	b := p.S.B()
	from, _ := b.Places.Any(r.A)
	to, _ := b.Places.Any(r.B)
	question := []app.UI{
		app.P().Body(
			app.Text("On the finished loom, from "+kit.PlaceName(b, r.A)+" to "+kit.PlaceName(b, r.B)+": "),
			app.Span().Class("both").Text("from the "+reference(from.Kind)+" to the "+reference(to.Kind)+"."),
		),
	}
	if _, of := p.branches(); of[r.ID].Reading != "" {
		x := of[r.ID]
		question = append(question, kit.Note("", "Measured: "+x.Measured.Format(p.system())+", "+verdictWords(x, p.system())+".", ""),
			kit.Chips(kit.Plain("Look at that reading", kit.To(p.card(x.Reading)), p.card(x.Reading))))
	}
	return p.pad(append(question, p.doubtful()...), "Take it")
}

// takeBuilt makes the as-built reading of a run.
func (p *routePage) takeBuilt(ctx app.Context, r harness.Run, n number) {
	m := newMaker(p.S)
	n.method, n.with = harness.AsBuilt, details{}
	_, change := m.reading([]string{r.A, r.B}, []string{r.ID}, n)
	if p.do(m.err, []storage.Change{change}...) {
		p.keep(pending{})
		kit.Go(ctx, p.list(partBuilt))
	}
}
