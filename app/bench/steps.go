package bench

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/steps"
	"loomwright/calc/supply"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
	"loomwright/storage"
)

// workList is the steps, kept until the build changes.
type workList struct {
	made  bool
	build string
	rev   int
	all   []steps.Step
}

func (p *page) steps() []steps.Step {
	if k := &p.course; !k.made || k.rev != p.S.Rev() || k.build != p.S.ID() {
		p.course = workList{true, p.S.ID(), p.S.Rev(), steps.Build(p.S.Supply(), p.S.Cut)}
	}
	return p.course.all
}

// stepAt is the address of a step.
func (p *page) stepAt(s *steps.Step) kit.Addr {
	return p.At.On(pageName).In(partSteps).With(harness.TickID(s.ID))
}

// step is the step that the address names.
func (p *page) step() (s *steps.Step, ok bool) {
	if !strings.HasPrefix(p.At.Mode, partSteps) || p.At.Record == "" {
		return nil, false
	}
	all := p.steps()
	for i := range all {
		if harness.TickID(all[i].ID) == p.At.Record {
			return &all[i], true
		}
	}
	return nil, false
}

// phaseMode is the part of the address that names a phase.
func phaseMode(ph steps.Phase) string {
	for i, x := range steps.Phases {
		if x == ph {
			return partSteps + "." + strconv.Itoa(i)
		}
	}
	return partSteps
}

// allSteps is how far the work is, phase by phase, and where one was.
func (p *page) allSteps() (body, foot []app.UI) {
	all := p.steps()
	done, of := steps.Count(all, "")
	body = []app.UI{p.counted(), app.P().Class("small").Text(strconv.Itoa(done) + " of " + strconv.Itoa(of) + " steps done. They are made from the plan: what changes there changes here, and what was ticked stays.")}
	if changed := changedSteps(all); changed > 0 {
		body = append(body, kit.Note("warn", count(changed, "step was", "steps were")+" done and is another thing now.", "Look at it again: it is open."))
	}
	var rows []app.UI
	for _, ph := range steps.Phases {
		n, of := steps.Count(all, ph)
		if of == 0 {
			continue
		}
		mark, under := "", ""
		if n == of {
			mark = "✓"
		} else {
			for i := range all {
				if all[i].Phase == ph && !all[i].Done {
					under = all[i].Big
					break
				}
			}
		}
		to := p.At.On(pageName).In(phaseMode(ph))
		rows = append(rows, kit.Row(mark, string(ph), under, strconv.Itoa(n), "of "+strconv.Itoa(of), kit.To(to), to))
	}
	body = append(body, app.Div().Class("rows").Body(rows...))
	if i := steps.First(all); i < len(all) {
		word := "Begin: "
		if done > 0 {
			word = "Go on: "
		}
		foot = []app.UI{kit.Act(word+all[i].Big, kit.To(p.stepAt(&all[i])), p.stepAt(&all[i]))}
	} else {
		body = append(body, kit.Note("good", "All done.", "Prove it now, before anything is plugged in."), kit.Plain("Prove", kit.To(p.At.On("prove")), p.At.On("prove")))
	}
	return body, foot
}

func changedSteps(all []steps.Step) (n int) {
	for i := range all {
		if all[i].Was != "" {
			n++
		}
	}
	return n
}

// phase lists the steps of one phase.
func (p *page) phase() (title string, body, foot []app.UI) {
	i, err := strconv.Atoi(strings.TrimPrefix(p.At.Mode, partSteps+"."))
	if err != nil || i < 0 || i >= len(steps.Phases) {
		return "Steps", []app.UI{kit.Note("", "There is no such part of the work.", "")}, nil
	}
	ph := steps.Phases[i]
	all := p.steps()
	var rows []app.UI
	more := 0
	var next *steps.Step
	for i := range all {
		s := &all[i]
		if s.Phase != ph {
			continue
		}
		if next == nil && !s.Done {
			next = s
		}
		if len(rows) >= p.window {
			more++
			continue
		}
		rows = append(rows, stepRow(s, p.stepAt(s)))
	}
	body = []app.UI{app.Div().Class("rows").Body(rows...)}
	if more > 0 {
		body = append(body, kit.Plain("Show "+strconv.Itoa(min(more, windowRows))+" of "+strconv.Itoa(more)+" more", p.onMore))
	}
	if next != nil {
		foot = []app.UI{kit.Act("Next: "+next.Big, kit.To(p.stepAt(next)), p.stepAt(next))}
	}
	return string(ph), body, foot
}

func stepRow(s *steps.Step, to kit.Addr) app.UI {
	mark, below := "○", ""
	switch {
	case s.Done:
		mark = "✓"
		if s.At != "" {
			below = kit.Day(s.At)
		}
	case s.Was != "":
		mark, below = "!", "changed"
	}
	return kit.Row(mark, neat(s.Big), neat(s.What), "", below, kit.To(to), to)
}

// oneStep is one step in huge type: what it is, what to do, and the tap that says it is done.
func (p *page) oneStep(f *kit.Frame, s *steps.Step) {
	b := p.S.B()
	done, of := steps.Count(p.steps(), s.Phase)
	back := p.At.On(pageName).In(phaseMode(s.Phase))
	f.Title, f.Back = string(s.Phase), &back
	f.Body = append(f.Body, app.Div().Class("line mid").Body(
		app.Span().Class("small grow").Text(strconv.Itoa(done)+" of "+strconv.Itoa(of)+" done"), p.voice.Button(p.S, s.ID, stepWords(s))),
		app.P().Class("big word").Text(neat(s.Big)), app.P().Class("lede").Text(neat(s.What)))
	if s.Detail != "" {
		f.Body = append(f.Body, app.P().Text(neat(s.Detail)))
	}
	if s.Was != "" {
		f.Body = append(f.Body, kit.Note("warn", "It was done as:", s.Was+". Now it is another thing, so it is open."))
	}
	if s.Caution != "" {
		f.Body = append(f.Body, kit.Note("warn", "Care.", s.Caution))
	}
	if s.Does != steps.PullSample {
		p.light(f, s)
	}
	if w, ok := b.Wires.Get(s.Of); ok {
		to := p.At.On("wires").With(w.ID)
		f.Body = append(f.Body, kit.Plain("All about "+w.Name, kit.To(to), to))
	}
	switch {
	case s.Does == steps.PullSample:
		p.sample(f, s)
	case s.Done:
		f.Body = append(f.Body, kit.Note("good", "Done.", doneDay(s.At)), kit.Plain("It is not done after all", p.onStep(s.ID), s.ID))
		if next, ok := p.after(s.ID); ok {
			f.Foot = []app.UI{kit.Act("Next: "+next.Big, kit.To(p.stepAt(next)), p.stepAt(next))}
		}
	case (s.Does == steps.CutsWire || s.Does == steps.TrimsWire) && s.Length == 0:
		to := p.otherLength(s)
		f.Foot = []app.UI{kit.Act("Key in what it was cut to", kit.To(to), to)}
	case s.Does == steps.CutsMore && s.Length == 0:
		f.Foot = []app.UI{kit.ActIf(false, "", "Its length is not known yet", kit.To(p.At), p.At)}
	default:
		word := "Done"
		switch s.Does {
		case steps.CutsWire, steps.CutsMore, steps.TrimsWire:
			word = s.Length.Grouped(b.Settings.Unit) + ", done"
		}
		f.Foot = []app.UI{kit.Half(word, p.onStep(s.ID), s.ID)}
		if s.Does == steps.CutsWire || s.Does == steps.TrimsWire {
			to := p.otherLength(s)
			f.Foot = append(f.Foot, kit.Plain("Other length", kit.To(to), to))
		}
	}
}

// neat is a text of the steps with sizes as they are shown.
func neat(text string) string { return strings.ReplaceAll(text, "mm2", "mm²") }

func doneDay(at string) string {
	if at == "" {
		return ""
	}
	return kit.Day(at)
}

// light shows where on the sketch a step is.
func (p *page) light(f *kit.Frame, s *steps.Step) {
	var runs []string
	if s.Run != "" {
		runs = []string{s.Run}
	}
	if w, ok := p.S.B().Wires.Get(s.Of); ok {
		if path, err := p.S.Graph().Wire(w); err == nil {
			runs = path.Runs
		}
	}
	f.Light(s.Place, runs)
}

func (p *page) otherLength(s *steps.Step) kit.Addr {
	if s.Does == steps.TrimsWire {
		return p.At.On(pageName).In(partTrim).With(s.Of)
	}
	return p.At.On(pageName).In(partCut).With(s.Of)
}

// stepWords are what is read aloud.
func stepWords(s *steps.Step) string { return s.Big + ". " + s.What + "." }

// speak reads the step aloud that has come up.
func (p *page) speak() {
	if s, ok := p.step(); ok {
		p.voice.Says(p.S, s.ID, stepWords(s))
	} else {
		p.voice.Says(p.S, "", "")
	}
}

// after is the first step behind another that is not done, or the first of all.
func (p *page) after(id string) (s *steps.Step, ok bool) {
	all := p.steps()
	behind := false
	for i := range all {
		if behind && !all[i].Done {
			return &all[i], true
		}
		behind = behind || all[i].ID == id
	}
	if i := steps.First(all); i < len(all) {
		return &all[i], true
	}
	return nil, false
}

// onStep ticks a step, or opens it again, in one edit, and goes on to the next.
func (p *page) onStep(id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		s, ok := p.step()
		if !ok || s.ID != id {
			return // a second tap, while the next step comes up
		}
		was := s.Done
		name := s.Big
		if !p.do(p.S.Do(p.turn(s)...)) {
			return
		}
		p.S.Device.Signal.Arm()
		p.S.Device.Signal.Click()
		p.S.Device.Signal.Vibrate(40)
		if was {
			p.S.Say(session.Notice{Text: name + " is open again.", Undo: true})
			return
		}
		p.onward(ctx, id)
	}
}

func (p *page) onward(ctx app.Context, id string) {
	if next, ok := p.after(id); ok {
		kit.Go(ctx, p.stepAt(next))
	} else {
		kit.Go(ctx, p.At.On(pageName).In(partSteps))
	}
}

// turn is what changes when a step is ticked, or is open again.
func (p *page) turn(s *steps.Step) []storage.Change {
	b := p.S.B()
	lead, _ := b.Leads.Get(s.Of)
	now := lead
	switch s.Does {
	case steps.PullsLead:
		if now.Acted = nil; !s.Done {
			now.Acted = &harness.Acted{Decision: lead.Decision, At: p.S.Time()}
		}
	case steps.SeatsLead:
		if now.Seated = ""; !s.Done {
			now.Seated = p.S.Time()
		}
	case steps.CutsWire, steps.CutsMore, steps.TrimsWire:
		w, _ := b.Wires.Get(s.Of)
		if s.Done {
			return wireDone(p.S, w, s.Does, nil)
		}
		return wireDone(p.S, w, s.Does, &s.Length)
	default:
		old, _ := b.Ticks.Any(harness.TickID(s.ID))
		if s.Done {
			return []storage.Change{storage.Delete(harness.KindTick, old.ID)}
		}
		tick := steps.Mark(*s, p.S.Time())
		return []storage.Change{storage.Put(harness.KindTick, tick.ID, old, tick)}
	}
	return []storage.Change{storage.Put(harness.KindLead, lead.ID, lead, now)}
}

// wireDone is what changes when a wire was cut or trimmed to a length, or with nil was not after all. What it is cut from gets
// shorter with it.
func wireDone(s *session.Session, w harness.Wire, does steps.Does, length *unit.Length) []storage.Change {
	now := w
	if does == steps.TrimsWire {
		if now.Trimmed = nil; length != nil {
			now.Trimmed = &harness.Done{Length: *length, At: s.Time()}
		}
		return []storage.Change{storage.Put(harness.KindWire, w.ID, w, now)}
	}
	more := does == steps.CutsMore
	g, piece, ok := s.Supply().Plan.Find(w.ID, more)
	if !ok {
		piece = supply.Piece{Wire: w, Extension: more}
	}
	var t supply.Taken
	if length == nil {
		t = supply.GiveBack(s.B(), piece)
	} else {
		from, _ := g.From(piece)
		t = supply.Take(s.B(), piece, from.ID, *length, s.Time(), s.FreshID)
	}
	changes := []storage.Change{storage.Put(harness.KindWire, w.ID, w, t.Wire)}
	for _, x := range t.Stocks {
		old, _ := s.B().Stocks.Any(x.ID)
		changes = append(changes, storage.Put(harness.KindStock, x.ID, old, x))
	}
	return changes
}

// sample asks what a crimp on scrap held.
func (p *page) sample(f *kit.Frame, s *steps.Step) {
	least, by, err := pullOf(p.S.B(), s.Size)
	if p.weak != "" {
		f.Body = append(f.Body, kit.Note("bad", p.weak, "Change the tool, the die or the terminal, and pull another."))
	}
	switch {
	case err != nil:
		f.Body = append(f.Body, kit.Note("warn", "No limit is known.", err.Error()+". Take that of whoever makes the terminal."))
	default:
		f.Body = append(f.Body, kit.Section("It must hold", unit.Shown(least)+" N"), kit.Lines("Source: "+string(by)))
	}
	for _, x := range p.S.B().Samples.All() {
		if x.Terminal == s.Crimp && x.Size == s.Size && x.Newtons != nil {
			word := "held"
			if !x.Good() {
				word = "too little"
			}
			f.Body = append(f.Body, kit.Lines(strings.TrimSpace(kit.Day(x.At)+": "+unit.Shown(*x.Newtons)+" N, "+word+". "+x.Tool)))
		}
	}
	var standards []app.UI
	now := wire.Standard(p.S.B().Settings.CrimpBy)
	for _, x := range wire.PullStandards {
		standards = append(standards, kit.Choice(string(x), "", x == now, p.onStandard(x), string(x)))
	}
	f.Body = append(f.Body, kit.Section("By which standard", ""), kit.Choice("The usual one", "UL 486A for a gauge, IEC 60352-2 for mm²", now == wire.UsualPull, p.onStandard(wire.UsualPull), "usual"), kit.Chips(standards...),
		kit.Field("Tool and die", p.S.Device.Prefs.Get(prefTool), "so that it is known which was good", p.onTool))
	if s.Done {
		f.Body = append([]app.UI{kit.Note("good", "A sample held.", doneDay(s.At))}, f.Body...)
		if next, ok := p.after(s.ID); ok {
			f.Foot = []app.UI{kit.Act("Next: "+next.Big, kit.To(p.stepAt(next)), p.stepAt(next))}
		}
		return
	}
	f.Pad = app.Div().Class("stack").Body(app.Div().Class("line mid").Body(app.Span().Class("big caret").Text(string(p.entry)), app.Span().Class("both").Text("N")),
		kit.Keys("", "OK", p.onSample))
}

const prefTool = "make:tool"

func (p *page) onTool(ctx app.Context, _ app.Event) {
	p.S.Device.Prefs.Put(prefTool, strings.TrimSpace(kit.Value(ctx)))
}

func pullOf(b *harness.Build, text string) (least float64, by wire.Standard, err error) {
	size, _ := unit.ParseSize(text)
	return wire.Pull(size, wire.Standard(b.Settings.CrimpBy))
}

func (p *page) onStandard(x wire.Standard) app.EventHandler {
	return func(app.Context, app.Event) {
		old := p.S.B().Settings
		now := old
		now.CrimpBy = string(x)
		p.do(p.S.Do(storage.Put(harness.KindSettings, old.ID, old, now)))
	}
}

// mostNewtons is beyond any crimp of a harness. Source: our choice.
const mostNewtons = 100000

// onSample is the pad of a sample.
func (p *page) onSample(ctx app.Context, key string) {
	if key != kit.KeyNext {
		p.press(key)
		return
	}
	s, ok := p.step()
	if !ok {
		return
	}
	held, ok := unit.ParseAmount(string(p.entry), 0, mostNewtons)
	if !ok {
		p.failed = "Key in what it held, in newtons. Nothing was changed."
		return
	}
	x := harness.Sample{Terminal: s.Crimp, Size: s.Size, Tool: p.S.Device.Prefs.Get(prefTool), Newtons: &held, At: p.S.Time()}
	if least, by, err := pullOf(p.S.B(), s.Size); err == nil {
		x.Limit, x.By = &least, string(by)
	}
	if !p.do(p.S.Do(storage.Put(harness.KindSample, p.S.FreshID(), harness.Sample{}, x))) {
		return
	}
	p.keyed()
	if x.Good() {
		p.onward(ctx, s.ID)
		return
	}
	p.S.Device.Signal.Vibrate(200, 100, 200)
	p.failed, p.weak = "", unit.Shown(held)+" N is too little. It is kept."
}

// doesOf is what ticking an item of a list sets.
func doesOf(i cut.Item) steps.Does {
	if i.Lead != nil {
		return steps.TrimsWire
	}
	return steps.CutsWire
}
