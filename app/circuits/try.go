package circuits

import (
	"fmt"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// trial is another position of a controller or panel: from where its one run would lead, in which loom, and how long it
// would be. It outlasts the page as a preference, and is in the build only when it is kept.
type trial struct {
	place, from, loom string
	entry             kit.Entry

	of   string // what diff is of
	busy bool
	diff *circuit.Difference
}

func (p *page) trialKey() string { return "circuits:try:" + p.S.ID() }

func (p *page) saveTrial() {
	t := p.trial
	p.S.Device.Prefs.Put(p.trialKey(), strings.Join([]string{t.place, t.from, t.loom, string(t.entry)}, "\x1f"))
}

// loadTrial begins a trial for the place that the address names, or goes on with the one that was begun.
func (p *page) loadTrial() {
	if p.trial.place == p.At.Record {
		return
	}
	p.trial = trial{place: p.At.Record}
	if x := strings.Split(p.S.Device.Prefs.Get(p.trialKey()), "\x1f"); len(x) == 4 && x[0] == p.At.Record {
		p.trial.from, p.trial.loom, p.trial.entry = x[1], x[2], kit.Entry(x[3])
	}
	if all := p.S.B().Looms.All(); p.trial.loom == "" && len(all) > 0 {
		p.trial.loom = all[0].ID
	}
}

// try asks for another position and shows what it changes.
func (p *page) try() screen {
	b := p.S.B()
	p.loadTrial()
	t := &p.trial
	back := p.devices().With(p.At.Record)
	s := screen{title: kit.PlaceName(b, p.At.Record) + " elsewhere", back: back}
	if t.diff != nil && t.of == p.trialOf() {
		s.body = p.difference(*t.diff)
		s.foot = []app.UI{kit.Act("Keep it there", p.onKeepTrial), kit.Plain("Leave it where it is", p.onDropTrial)}
		return s
	}
	if t.from == "" {
		s.body = []app.UI{app.P().Class("lede").Text("From which place would its run lead?"), kit.Field("Search", p.query, "split 2", p.onQuery)}
		var chips []app.UI
		for _, q := range b.Places.All() {
			if q.ID != p.At.Record && p.holds(q.Name+" "+string(q.Kind)) && len(chips) < rowsDrawn {
				chips = append(chips, kit.Choice(kit.PlaceName(b, q.ID), string(q.Kind), false, p.onTrialFrom(q.ID), q.ID))
			}
		}
		s.body = append(s.body, kit.Chips(chips...))
		return s
	}
	var looms []app.UI
	for _, l := range b.Looms.All() {
		looms = append(looms, kit.Choice(kit.LoomName(b, l.ID), "", t.loom == l.ID, func(app.Context, app.Event) { p.trial.loom = l.ID; p.saveTrial() }, l.ID))
	}
	s.body = []app.UI{
		app.P().Class("lede").Text("How far from " + kit.PlaceName(b, t.from) + "?"),
		kit.Chips(looms...), kit.Plain("From another place", p.onTrialFrom(""), "none"),
		kit.Lines("A guess will do: what it changes is shown before anything is changed."),
	}
	sys, told := b.Settings.Unit, "the length of its one run"
	if t.entry != "" {
		told = kit.Read(string(t.entry), sys).Line
	}
	if t.busy {
		told = "comparing…"
	}
	s.pad = app.Div().Body(app.Div().Class("entry").Body(t.entry.Shown(sys, told)), kit.Keys(sys, "Compare", p.onTrialKey))
	return s
}

func (p *page) trialOf() string {
	t := p.trial
	return fmt.Sprint(p.S.Log().Len(), t.place, t.from, t.loom, t.entry)
}

func (p *page) onTrialFrom(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		p.trial.from, p.query = id, ""
		p.saveTrial()
	}
}

// breath is how long the browser gets to draw that work begins. Our choice: two frames of a slow phone.
const breath = 40 * time.Millisecond

func (p *page) onTrialKey(ctx app.Context, key string) {
	t := &p.trial
	p.refuse = ""
	if key != kit.KeyNext {
		t.entry = t.entry.Press(key)
		p.saveTrial()
		return
	}
	typed := kit.Read(string(t.entry), p.S.B().Settings.Unit)
	if !typed.OK {
		p.refuse = typed.Line
		return
	}
	if t.busy {
		return
	}
	t.busy = true
	b, of := p.S.B().Clone(), p.trialOf()
	place, from, loom := t.place, t.from, t.loom
	ctx.Async(func() {
		time.Sleep(breath)
		diff, err := circuit.Try(b, place, from, loom, typed.Length)
		p.S.Later(ctx, func(app.Context) { p.tried(of, diff, err) })
	})
}

func (p *page) tried(of string, diff circuit.Difference, err error) {
	p.trial.busy = false
	if p.took(err) {
		p.trial.of, p.trial.diff = of, &diff
	}
}

func (p *page) onDropTrial(ctx app.Context, _ app.Event) {
	p.endTrial()
	kit.Go(ctx, p.devices().With(p.At.Record))
}

func (p *page) endTrial() {
	p.S.Device.Prefs.Put(p.trialKey(), "")
	p.trial = trial{}
}

// difference is now beside then.
func (p *page) difference(d circuit.Difference) []app.UI {
	sys := p.S.B().Settings.Unit
	line := func(what, now, then string) app.UI {
		return app.Tr().Body(app.Td().Text(what), app.Td().Text(now), app.Td().Text(then))
	}
	count := func(what string, now, then int) app.UI { return line(what, fmt.Sprint(now), fmt.Sprint(then)) }
	length := func(l unit.Length) string { return l.Grouped(sys) }
	rows := []app.UI{
		line("", "now", "then"),
		line("Wire to be cut", length(d.Now.Metres), length(d.Then.Metres)),
		line("All ways together", length(d.Now.Way), length(d.Then.Way)),
		count("Leads too short", len(d.Now.Short), len(d.Then.Short)),
		count("Leads with less than a tail", len(d.Now.LessTail), len(d.Then.LessTail)),
		count("Wires with no way", len(d.Now.NoWay), len(d.Then.NoWay)),
		count("Lengths not known", d.Now.Unknown, d.Then.Unknown),
		count("Terminations made in the car", d.Now.Inside, d.Then.Inside),
		count("Wires through pass-throughs", d.Now.Crossings, d.Then.Crossings),
	}
	for _, x := range d.Through {
		rows = append(rows, count("through "+kit.PlaceName(p.S.B(), x.Place), x.Now, x.Then))
	}
	out := []app.UI{app.Div().Class("beside").Body(app.Table().Body(app.TBody().Body(rows...)))}
	if len(d.NewShort) > 0 {
		out = append(out, kit.Note("bad", number(len(d.NewShort), "lead")+" would not reach any more:", strings.Join(d.NewShort, ", ")+"."))
	}
	if len(d.Mended) > 0 {
		out = append(out, kit.Note("good", number(len(d.Mended), "lead")+" would reach:", strings.Join(d.Mended, ", ")+"."))
	}
	if !d.Comparable {
		out = append(out, kit.Note("warn", "The lengths cannot be compared as a whole.", "More are known of one than of the other."))
	}
	return out
}

// onKeepTrial moves the place: the runs that lead to it go, and one run with its guess leads to it, in one edit.
func (p *page) onKeepTrial(ctx app.Context, _ app.Event) {
	b, t := p.S.B(), p.trial
	typed := kit.Read(string(t.entry), b.Settings.Unit)
	if !typed.OK {
		return
	}
	run, reading := p.S.FreshID(), p.S.FreshID()
	order := 0.0
	var changes []storage.Change
	for _, r := range b.Runs.All() {
		order = max(order, r.Order)
		if r.A == t.place || r.B == t.place {
			changes = append(changes, storage.Delete(harness.KindRun, r.ID))
		}
	}
	changes = append(changes,
		storage.Put(harness.KindRun, run, harness.Run{}, harness.Run{A: t.from, B: t.place, Loom: t.loom, Order: order + 1}),
		storage.Put(harness.KindReading, reading, harness.Reading{}, harness.Reading{Places: []string{t.from, t.place}, Runs: []string{run},
			Text: strings.TrimSpace(string(t.entry)), Unit: b.Settings.Unit, Value: typed.Length, Method: harness.ByGuess, At: p.S.Time()}))
	if p.took(p.S.Do(changes...)) {
		p.endTrial()
		p.S.Say(session.Notice{Tone: "good", Text: kit.PlaceName(b, t.place) + " stands there now; its run is a guess to be measured.", Undo: true})
		kit.Go(ctx, p.devices().With(t.place))
	}
}
