package wires

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
)

// many is what can be done to all wires that are ticked, each in one step.
func (p *page) many() sheet {
	n := count(len(p.targets()), "wire")
	row := func(name, under, part string) app.UI {
		to := p.list().In(part)
		return kit.Row("", name, under, "→", "", kit.To(to), to)
	}
	return sheet{
		title: "Change " + n, back: p.list(),
		body: []app.UI{
			kit.Lines("Each change is one step for all of them, and Undo takes it back for all of them."),
			app.Div().Class("rows").Body(
				row("Size", "", partSize),
				row("Colour", "", partColour),
				row("Looms", "that they may use", partLooms),
				row("Must pass", "places on their way", partVia),
			),
			kit.Danger("Delete "+n, p.onDeleteMany),
		},
		foot: []app.UI{kit.Act("Done", p.onManyDone)},
	}
}

func (p *page) onDeleteMany(ctx app.Context, _ app.Event) {
	targets := p.targets()
	if !p.took(remove(p.S, targets)) {
		return
	}
	p.stopTicking()
	p.S.Say(session.Notice{Text: count(len(targets), "wire") + " deleted.", Undo: true})
	kit.Go(ctx, p.list())
}

func (p *page) onManyDone(ctx app.Context, _ app.Event) {
	p.stopTicking()
	kit.Go(ctx, p.list())
}

func (p *page) stopTicking() {
	p.ticks = nil
	saveTicks(p.S, nil)
}
