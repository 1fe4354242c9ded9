package circuits

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
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
			if q.Copper {
				if row := p.copperRow(q.Of.ID); row != nil {
					rows = append(rows, row)
				}
			}
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
