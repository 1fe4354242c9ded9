package trace

import (
	"slices"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/suspect"
	"loomwright/storage"
)

// deadName is the page on which what is dead is ticked, and what the dead ones share is found.
const deadName = "dead"

// The parts of a search: ticking, and what follows.
const (
	partTick  = ""
	partShare = "share"
)

type deadPage struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	judged  harness.Hunt // what verdict is of
	model   *suspect.Model
	verdict suspect.Verdict
}

func (p *deadPage) hunt() (harness.Hunt, bool) { return p.S.B().Hunts.Get(p.At.Record) }

// save makes one edit of a search.
func (p *deadPage) save(old, now harness.Hunt) {
	if err := p.S.Do(storage.Put(harness.KindHunt, old.ID, old, now)); err != nil {
		p.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
	}
}

func (p *deadPage) onBegin(ctx app.Context, _ app.Event) {
	id := p.S.NewID()
	h := harness.Hunt{At: p.S.Time()}
	if err := p.S.Do(storage.Put(harness.KindHunt, id, harness.Hunt{}, h)); err != nil {
		p.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
		return
	}
	kit.Go(ctx, p.At.With(id).In(partTick))
}

// onTick goes from not known to dead, to works, and back.
func (p *deadPage) onTick(place string) app.EventHandler {
	return func(app.Context, app.Event) {
		h, ok := p.hunt()
		if !ok {
			return
		}
		old := h
		h.Dead, h.Works = slices.Clone(h.Dead), slices.Clone(h.Works)
		if i := slices.Index(h.Dead, place); i >= 0 {
			h.Dead = slices.Delete(h.Dead, i, i+1)
			h.Works = append(h.Works, place)
		} else if i := slices.Index(h.Works, place); i >= 0 {
			h.Works = slices.Delete(h.Works, i, i+1)
		} else {
			h.Dead = append(h.Dead, place)
		}
		p.save(old, h)
	}
}

// onRest ticks all others as working.
func (p *deadPage) onRest(app.Context, app.Event) {
	h, ok := p.hunt()
	if !ok {
		return
	}
	old := h
	h.Works = slices.Clone(h.Works)
	for _, place := range p.S.Suspects().Devices() {
		if !slices.Contains(h.Dead, place) && !slices.Contains(h.Works, place) {
			h.Works = append(h.Works, place)
		}
	}
	p.save(old, h)
}

func (p *deadPage) onWhen(when harness.When) app.EventHandler {
	return func(app.Context, app.Event) {
		h, ok := p.hunt()
		if !ok {
			return
		}
		old := h
		h.When = slices.Clone(h.When)
		if i := slices.Index(h.When, when); i >= 0 {
			h.When = slices.Delete(h.When, i, i+1)
		} else {
			h.When = append(h.When, when)
		}
		p.save(old, h)
	}
}

func (p *deadPage) onAnswer(key string, shows int) app.EventHandler {
	return func(app.Context, app.Event) {
		h, ok := p.hunt()
		x, known := p.S.Suspects().Measure(key)
		if !ok || !known || shows >= len(x.Answers) {
			return
		}
		old := h
		h.Answers = append(slices.Clone(h.Answers), harness.Shown{Measure: key, Shows: shows, Do: x.Do, Words: x.Answers[shows], At: p.S.Time()})
		p.save(old, h)
	}
}

func (p *deadPage) onFound(what string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		h, ok := p.hunt()
		if !ok {
			return
		}
		old := h
		h.Found, h.Closed = what, p.S.Time()
		p.save(old, h)
		p.S.Say(session.Notice{Tone: "good", Text: "Kept with the build: " + what + ".", Undo: true})
	}
}

// judge weighs what is ticked, once for each state of the search.
func (p *deadPage) judge(h harness.Hunt) suspect.Verdict {
	m := p.S.Suspects()
	same := p.model == m && p.judged.ID == h.ID && slices.Equal(p.judged.Dead, h.Dead) && slices.Equal(p.judged.Works, h.Works) &&
		slices.Equal(p.judged.When, h.When) && slices.Equal(p.judged.Moved, h.Moved) && slices.Equal(p.judged.Answers, h.Answers)
	if !same {
		seen := suspect.Seen{Dead: h.Dead, Works: h.Works, At: h.Moved, Hot: slices.Contains(h.When, harness.WhenHot),
			Moving: slices.Contains(h.When, harness.WhenMoving), Wet: slices.Contains(h.When, harness.WhenWet)}
		for _, a := range h.Answers {
			seen.Answers = append(seen.Answers, suspect.Answer{Measure: a.Measure, Shows: a.Shows})
		}
		p.model, p.judged, p.verdict = m, h, m.Judge(seen)
	}
	return p.verdict
}

// Render draws the searches, the ticks, or what the dead ones share.
func (p *deadPage) Render() app.UI {
	back := p.At.On(pageName)
	f := kit.Frame{S: p.S, Title: "What is dead?", Back: &back}
	h, ok := p.hunt()
	switch {
	case !ok:
		p.list(&f)
	case p.At.Mode == partShare && len(h.Dead) > 0:
		f.Title = "What do they share?"
		to := p.At.In(partTick)
		f.Back = &to
		p.share(&f, h)
	default:
		to := p.At.With("").In("")
		f.Back = &to
		p.ticks(&f, h)
	}
	return app.Div().Class("page").Body(f.UI())
}

// list shows the searches so far, the newest first.
func (p *deadPage) list(f *kit.Frame) {
	b := p.S.B()
	f.Body = []app.UI{app.P().Class("lede").Text("Tick what is dead and what works."), kit.Lines("The wiring tells what would explain it, and where to measure first.")}
	all := b.Hunts.All()
	var rows []app.UI
	for i := len(all) - 1; i >= 0 && len(rows) < windowRows; i-- {
		h := &all[i]
		name := "Nothing is ticked yet"
		if len(h.Dead) > 0 {
			name = "Dead: " + p.names(h.Dead)
		}
		under := "open since " + kit.Day(h.At)
		if h.Closed != "" {
			under = "found " + kit.Day(h.Closed) + ": " + h.Found
		}
		to := p.At.With(h.ID)
		rows = append(rows, app.Li().Body(kit.Row("", name, under, "", "", kit.To(to), to)))
	}
	if len(rows) > 0 {
		f.Body = append(f.Body, kit.Section("Searches", strconv.Itoa(len(all))), app.Ul().Class("rows").Body(rows...))
	}
	f.Foot = []app.UI{kit.Act("Search for a fault", p.onBegin)}
}

func (p *deadPage) names(places []string) string {
	s := ""
	for i, id := range places {
		if i == 3 {
			return s + " and " + strconv.Itoa(len(places)-3) + " more"
		}
		if i > 0 {
			s += ", "
		}
		s += kit.PlaceName(p.S.B(), id)
	}
	return s
}

var whenWords = [...]string{"Only when hot", "Only when it moves", "Only when wet"}

// ticks lists the devices.
func (p *deadPage) ticks(f *kit.Frame, h harness.Hunt) {
	var when, rows []app.UI
	for i, w := range harness.Whens {
		when = append(when, kit.Choice(whenWords[i], "", slices.Contains(h.When, w), p.onWhen(w), h.ID, string(w)))
	}
	for _, id := range p.S.Suspects().Devices() {
		word, tone := "not known", ""
		switch {
		case slices.Contains(h.Dead, id):
			word, tone = "dead", " dead"
		case slices.Contains(h.Works, id):
			word = "works"
		}
		name := kit.PlaceName(p.S.B(), id)
		rows = append(rows, app.Li().Body(app.Button().Type("button").Class("row device"+tone).OnClick(p.onTick(id), h.ID, id).Body(
			app.Span(), app.Span().Body(app.B().Text(name)), app.Span().Text(word))))
	}
	f.Body = []app.UI{
		kit.Lines("Tap once for dead, twice for works. What nobody tried stays not known."),
		kit.Chips(when...),
		app.Ul().Class("rows").Body(rows...),
	}
	to := p.At.In(partShare)
	f.Foot = []app.UI{kit.Plain("All others work", p.onRest, h.ID),
		kit.ActIf(len(h.Dead) > 0, "What do they share?", "Tick what is dead", kit.To(to), to)}
}

// share shows what would explain it, and what to measure next.
func (p *deadPage) share(f *kit.Frame, h harness.Hunt) {
	v := p.judge(h)
	lede := "One fault would explain it."
	if v.Double {
		lede = "No single fault explains it. Two would."
	}
	if len(v.Groups) == 0 {
		f.Body = []app.UI{kit.Note("warn", "Nothing in the plan explains this.", "Look at the ticks again, or at what the plan does not know: a change that nobody told.")}
		return
	}
	body := []app.UI{}
	switch {
	case h.Closed != "":
		body = append(body, kit.Note("good", "Found "+kit.Day(h.Closed)+":", h.Found))
	case v.Next != nil:
		body = append(body, app.P().Class("lede").Aria("live", "polite").Text(v.Next.Do))
		var answers []app.UI
		for i, a := range v.Next.Answers {
			answers = append(answers, kit.Plain(capital(a), p.onAnswer(v.Next.Key, i), h.ID, v.Next.Key, i, len(h.Answers)))
		}
		body = append(body, app.Div().Class("stack").Body(answers...),
			kit.Lines(strconv.Itoa(len(v.Left))+" faults are left that it could be. At "+kit.PlaceName(p.S.B(), v.Next.Place)+"."))
	case len(v.Left) > 0:
		body = append(body, app.P().Class("lede").Aria("live", "polite").Text("It is: "+v.Left[0].What))
		f.Foot = []app.UI{kit.Act("Found: keep it with the build", p.onFound(v.Left[0].What), h.ID, v.Left[0].What)}
	}
	body = append(body, kit.Section("What would explain it", ""), kit.Lines(lede))
	for i, g := range v.Groups {
		if i == groupsShown {
			break
		}
		body = append(body, p.group(i, g))
	}
	if len(h.Answers) > 0 {
		body = append(body, kit.Section("Measured", strconv.Itoa(len(h.Answers))))
		for _, a := range h.Answers {
			body = append(body, kit.Lines(a.Do+" "+capital(a.Words)+". "+kit.Day(a.At)+"."))
		}
	}
	f.Body = body
}

// groupsShown is how many groups are drawn, and candidatesShown of each. Source: our choice.
const (
	groupsShown     = 3
	candidatesShown = 12
)

// group is faults that what is ticked cannot tell apart, with what is still in and what was ruled out.
func (p *deadPage) group(i int, g suspect.Group) app.UI {
	m := p.S.Suspects()
	var in, out []string
	for _, x := range g.All {
		switch {
		case x.Out != "":
			by, _ := m.Measure(x.Out)
			out = append(out, "Out: "+x.What+". "+by.Do)
		case len(in) < candidatesShown:
			in = append(in, percent(x.Share)+" "+x.What)
		}
	}
	lines := append([]string{g.Why(func(id string) string { return kit.PlaceName(p.S.B(), id) })}, in...)
	if n := len(g.All) - len(in) - len(out); n > 0 {
		lines = append(lines, "and "+strconv.Itoa(n)+" less likely ones")
	}
	lines = append(lines, out[:min(len(out), candidatesShown)]...)
	return app.Article().Class("note").Body(app.B().Text(strconv.Itoa(i+1)+". "+percent(g.Share)+", "+count(len(g.All), "fault", "faults")), kit.Lines(lines...))
}

func percent(share float64) string {
	if share < 0.01 {
		return "under 1 %"
	}
	return strconv.Itoa(int(share*100+0.5)) + " %"
}
