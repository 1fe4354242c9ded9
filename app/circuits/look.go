package circuits

import (
	"fmt"
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/rules"
	"loomwright/storage"
)

// findings are what all rules find in the build as it is.
func (p *page) findings() []harness.Finding {
	if !p.found {
		p.finds, p.found = p.S.Looked().Findings(), true
	}
	return p.finds
}

// look lists what will hurt, what will not work and what is not planned yet. A finding opens with its numbers, their source
// and its mend.
func (p *page) look() screen {
	s := screen{title: "Worth a look", back: p.At.On("plan")}
	all := p.findings()
	open := slices.IndexFunc(all, func(f harness.Finding) bool { return f.Dismissed != "" })
	if open < 0 {
		open = len(all)
	}
	if open == 0 {
		s.body = []app.UI{kit.Note("good", "Nothing is worth a look.", "What is planned is complete as far as can be told.")}
	}
	for _, x := range []struct {
		severity harness.Severity
		title    string
	}{{harness.Hurt, "It will hurt"}, {harness.Stop, "It will not work"}, {harness.Warn, "Look before you go on"}, {harness.Note, "Worth knowing"}} {
		n := 0
		var body []app.UI
		for i := 0; i < open; {
			end := i
			for end < open && all[end].Rule == all[i].Rule && all[end].Severity == all[i].Severity {
				end++
			}
			if all[i].Severity == x.severity {
				n += end - i
				body = append(body, p.alike(all[i:end])...)
			}
			i = end
		}
		if n > 0 {
			s.body = append(append(s.body, kit.Section(x.title, fmt.Sprint(n))), body...)
		}
	}
	if dismissed := all[open:]; len(dismissed) > 0 {
		var rows []app.UI
		for _, f := range dismissed {
			to := p.finding(f)
			rows = append(rows, kit.Row("", f.What, f.Dismissed, "→", "", kit.To(to), to))
		}
		s.body = append(s.body, kit.Section("Looked at, and left so", fmt.Sprint(len(dismissed))), p.rows(rows))
	}
	return s
}

// few is how many findings of one rule are shown before the rest is asked for. Our choice: the next rule stays in sight.
const few = 3

// alike shows the findings of one rule: a few, or all once they are asked for.
func (p *page) alike(all []harness.Finding) []app.UI {
	shown := all
	if len(all) > few && p.rule != all[0].Rule {
		shown = all[:few]
	}
	var rows []app.UI
	for _, f := range shown {
		to := p.finding(f)
		rows = append(rows, kit.Row("", f.What, f.Fix.Do, "→", "", kit.To(to), to))
	}
	out := []app.UI{p.rows(rows)}
	if len(shown) < len(all) {
		rule := all[0].Rule
		out = append(out, kit.Plain(fmt.Sprintf("%d more: %s", len(all)-len(shown), rule), func(app.Context, app.Event) { p.rule, p.shown = rule, rowsDrawn }, rule))
	}
	return out
}

// finding is the address of a finding.
func (p *page) finding(f harness.Finding) kit.Addr {
	return p.circuits().With(f.Subject.ID).In(partFinding + "." + f.Rule)
}

// findingCard shows the findings of one rule about one record: what is there, what should be, where the rule comes from, and
// what to do.
func (p *page) findingCard(rule string) screen {
	s := screen{title: "Worth a look", back: p.circuits().In(partLook)}
	for _, f := range p.findings() {
		if f.Rule == rule && f.Subject.ID == p.At.Record {
			s.body = append(s.body, p.findingBody(f)...)
		}
	}
	if len(s.body) == 0 {
		s.body = []app.UI{kit.Note("good", "That is mended.", "")}
		back := p.circuits().In(partLook)
		s.foot = []app.UI{kit.Act("What else is worth a look", kit.To(back), back)}
	}
	return s
}

func (p *page) findingBody(f harness.Finding) []app.UI {
	tone := "warn"
	if f.Severity <= harness.Stop {
		tone = "bad"
	}
	out := []app.UI{kit.Note(tone, f.What, "")}
	var rows []app.UI
	line := func(name, why, value string) {
		if value != "" {
			rows = append(rows, app.Div().Class("term").Body(app.Span().Body(app.Text(name), app.Small().Text(why)), app.Span().Text(value)))
		}
	}
	line("There is", "", f.Got)
	line("It should be", f.Source, f.Limit)
	for _, t := range f.Terms {
		why := t.Formula
		if t.Source != "" {
			if why != "" {
				why += "; "
			}
			why += t.Source
		}
		line(t.Name, why, t.String())
	}
	if len(rows) > 0 {
		out = append(out, kit.Section("How it comes about", ""), app.Div().Class("terms").Body(rows...))
	}
	if f.Limit == "" && f.Source != "" {
		out = append(out, kit.Lines("The rule: "+f.Source+"."))
	}
	if f.Dismissed != "" {
		return append(out, kit.Note("", "Left so:", f.Dismissed), kit.Plain("Take it up again", p.onTakeUp(f), f.Rule, f.Subject.ID))
	}
	if len(f.Fix.Put) > 0 {
		out = append(out, kit.Act(capital(f.Fix.Do), p.onFix(f), f.Rule, f.Subject.ID, f.Fix.Do))
	}
	to := p.mend(f.Fix.At)
	word := "Go there"
	if len(f.Fix.Put) == 0 && f.Fix.Do != "" {
		word = capital(f.Fix.Do)
	}
	out = append(out, kit.Plain(word, kit.To(to), to),
		kit.Section("Leave it so", "it comes back when the facts change"),
		kit.Field("Why it may be", p.why, "a word for whoever asks later", p.onWhy, f.Rule, f.Subject.ID),
		kit.Plain("Leave it so", p.onLeave(f), f.Rule, f.Subject.ID))
	return out
}

func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

func (p *page) onWhy(ctx app.Context, _ app.Event) { p.why = kit.Value(ctx) }

// onFix mends a finding in one step.
func (p *page) onFix(f harness.Finding) app.EventHandler {
	return func(app.Context, app.Event) {
		if p.took(p.S.Apply(f.Fix.Put)) {
			p.S.Say(session.Notice{Tone: "good", Text: "Mended: " + f.Fix.Do + ".", Undo: true})
		}
	}
}

// onLeave keeps why a finding may be.
func (p *page) onLeave(f harness.Finding) app.EventHandler {
	return func(app.Context, app.Event) {
		if p.why == "" {
			p.refuse = "Say in a word why it may be: whoever looks next will ask."
			return
		}
		d := rules.Dismiss(f, p.why, p.S.Time())
		old, _ := p.S.B().Dismissals.Any(d.ID)
		if p.took(p.S.Do(storage.Put(harness.KindDismissal, d.ID, old, d))) {
			p.why = ""
		}
	}
}

// onTakeUp ends a dismissal.
func (p *page) onTakeUp(f harness.Finding) app.EventHandler {
	return func(app.Context, app.Event) {
		old, ok := p.S.B().Dismissals.Get(rules.Dismiss(f, "", "").ID)
		if !ok {
			return
		}
		now := old
		now.Gone = true
		p.took(p.S.Do(storage.Put(harness.KindDismissal, old.ID, old, now)))
	}
}

// mend is where a finding is mended.
func (p *page) mend(at harness.Ref) kit.Addr {
	if to, word := kit.SourceOf(p.S.B(), p.At, at.Kind, at.ID); word != "" {
		return to
	}
	return p.devices().With(at.ID)
}
