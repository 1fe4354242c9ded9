package circuits

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// asked is what the plan asks for in one state of the build, in the order in which it is best accepted.
type asked struct {
	made  bool
	steps []step
}

// step is proposals of one sort.
type step struct {
	title, what string
	all         []circuit.Proposal
}

// ask works out the proposals of the build as it is.
func (p *page) ask() []step {
	if !p.asked.made {
		b := p.S.B()
		p.asked = asked{true, []step{
			{"What the leads carry", "signal", circuit.Signals(b)},
			{"What the leads are for", "device or lead", circuit.Assign(b)},
			{"Feeds and grounds that are shared", "circuit", circuit.Share(b)},
			{"Wires", "proposal", circuit.Wires(b, p.S.Graph())},
		}}
	}
	return p.asked.steps
}

// propose shows what the plan asks for, with why, to be taken one by one or all of a sort.
func (p *page) propose() screen {
	s := screen{title: "Propose wires", back: p.circuits()}
	first := true
	for i, x := range p.ask() {
		if len(x.all) == 0 {
			continue
		}
		if first {
			s.foot = []app.UI{kit.Act(fmt.Sprintf("Take all %d: %s", len(x.all), lower(x.title)), p.onTakeAll(i), i, len(x.all))}
			first = false
		}
		var rows []app.UI
		for _, q := range x.all {
			rows = append(rows, kit.Row("", q.What, q.Why, "take", "", p.onTake(i, q.ID), q.ID))
		}
		s.body = append(s.body, kit.Section(x.title, fmt.Sprint(len(x.all))), p.rows(rows))
	}
	if first {
		s.body = append(s.body, kit.Note("good", "Nothing to propose.", "Every circuit has its wires, as far as it is planned."))
		to := p.circuits().In(partLook)
		s.foot = []app.UI{kit.Act("See what is worth a look", kit.To(to), to)}
		return s
	}
	s.body = append([]app.UI{kit.Lines("Nothing here is made before you take it. What you changed or deleted is left alone.")}, s.body...)
	return s
}

func lower(text string) string {
	if text == "" || text[0] < 'A' || text[0] > 'Z' {
		return text
	}
	return string(text[0]+'a'-'A') + text[1:]
}

func (p *page) onTakeAll(i int) app.EventHandler {
	return func(app.Context, app.Event) { p.take(i, func(circuit.Proposal) bool { return true }) }
}

func (p *page) onTake(i int, id string) app.EventHandler {
	return func(app.Context, app.Event) { p.take(i, func(q circuit.Proposal) bool { return q.ID == id }) }
}

// take accepts the proposals of one sort that match, in one edit.
func (p *page) take(i int, match func(circuit.Proposal) bool) {
	p.follow()
	steps := p.ask()
	if i >= len(steps) {
		return
	}
	var records []circuit.Records
	wires, places := 0, 0
	for _, q := range steps[i].all {
		if match(q) {
			records = append(records, q.Put)
			wires += len(q.Put.Wires)
			places += len(q.Put.Places)
		}
	}
	if len(records) == 0 || !p.took(p.S.Accept(records...)) {
		return
	}
	text := number(len(records), "proposal") + " taken"
	switch {
	case wires > 0:
		text += ": " + number(wires, "wire")
	case places > 0:
		text += ": " + number(places, "new device")
	}
	p.S.Say(session.Notice{Tone: "good", Text: text + ".", Undo: true})
}

// findings are what is worth a look in the build as it is.
func (p *page) findings() []harness.Finding {
	if !p.found {
		p.finds, p.found = circuit.Judge(p.S.B(), p.S.Graph()), true
	}
	return p.finds
}

// look lists what is not planned yet, or planned so that it will not work, each with the way to its mend.
func (p *page) look() screen {
	s := screen{title: "Worth a look", back: p.At.On("plan")}
	all := p.findings()
	if len(all) == 0 {
		s.body = []app.UI{kit.Note("good", "Nothing is worth a look.", "What is planned is complete as far as can be told.")}
		return s
	}
	for _, x := range []struct {
		severity harness.Severity
		title    string
	}{{harness.Stop, "It will not work"}, {harness.Warn, "Look before you go on"}, {harness.Note, "Worth knowing"}} {
		n := 0
		var body []app.UI
		for i := 0; i < len(all); {
			end := i
			for end < len(all) && all[end].Rule == all[i].Rule {
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
		to := p.mend(f.Fix.At)
		rows = append(rows, kit.Row("", f.What, f.Fix.Do, "→", "", kit.To(to), to, f.Rule))
	}
	out := []app.UI{p.rows(rows)}
	if len(shown) < len(all) {
		rule := all[0].Rule
		out = append(out, kit.Plain(fmt.Sprintf("%d more: %s", len(all)-len(shown), rule), func(app.Context, app.Event) { p.rule, p.shown = rule, rowsDrawn }, rule))
	}
	return out
}

// mend is where a finding is mended.
func (p *page) mend(at harness.Ref) kit.Addr {
	b := p.S.B()
	switch at.Kind {
	case harness.KindLead:
		return p.At.On("pins").With(at.ID)
	case harness.KindWire:
		return p.At.On("wires").With(at.ID)
	case harness.KindCircuit:
		return p.circuits().With(at.ID)
	case harness.KindConnector:
		return p.At.On("pins").In("view." + at.ID)
	case harness.KindPart:
		return p.devices().In(partPart + "." + at.ID)
	case harness.KindTerminal:
		return p.devices().In(partJoin + "." + at.ID)
	case harness.KindTap:
		t, _ := b.Taps.Get(at.ID)
		return p.devices().In(partTap + "." + t.Terminal)
	}
	return p.devices().With(at.ID)
}
