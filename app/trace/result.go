package trace

import (
	"fmt"
	"strconv"
	"unicode"
	"unicode/utf8"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/storage"
)

// result shows what a tag is on, in the open build.
func (p *page) result(f *kit.Frame, t harness.Tag, copied bool) {
	b := p.S.B()
	l, ok := tag.Describe(b, t)
	if c, has := b.Connectors.Any(t.Subject); has && !l.Deleted {
		t.On, t.Subject = harness.KindPlace, c.Place // what is wired to it is told by its place
	}
	f.Title = "Tag " + l.Name
	if l.Wire {
		f.Title += ", this end"
	}
	if p.At.Mode == partSketch {
		back := p.At.In("")
		f.Back = &back
		f.Whole = app.Div().Class("two").Body(p.sketch(t))
		return
	}
	body := p.remarks(t, l, ok, copied)
	if ok {
		body = append(body, p.subject(t, l)...)
		body = append(body, p.photos(t.On, t.Subject)...)
		body = append(body, p.changed(t.On, t.Subject)...)
	}
	body = append(body, p.also()...)
	foot := []app.UI{kit.Even(p.jumps(t, ok)...), kit.Act("Scan another", p.onCamera)}
	if !wide() || !ok {
		f.Body, f.Foot = body, foot
		return
	}
	f.Whole = app.Div().Class("two").Body(p.sketch(t), app.Div().Class("side").Body(
		app.Div().Class("scroll").Body(body...), app.Div().Class("foot").Body(foot...)))
}

// wide tells whether the sketch fits beside the text.
func wide() bool {
	w, _ := app.Window().Size()
	return w >= 800
}

// remarks says what a person must know before trusting the tag.
func (p *page) remarks(t harness.Tag, l tag.Label, ok, copied bool) []app.UI {
	var out []app.UI
	settings := p.S.B().Settings
	if p.At.Build == "" {
		out = append(out, app.Div().Class("small").Text("In "+title(storage.About{Title: settings.Title})))
	}
	switch {
	case !ok:
		out = append(out, app.P().Class("lede").Aria("live", "assertive").Text("This build has the tag, but not what it is on."),
			kit.Lines("It may be in the work of another phone that was not merged in yet, or of a newer version of the app."))
	case l.Deleted:
		out = append(out, kit.Note("bad", "What this tag is on was deleted.", p.deletedWords(t.On, t.Subject)),
			kit.Plain("Bring it back", p.onBringBack(t.On, t.Subject), t.Subject))
	case t.Gone:
		out = append(out, kit.Note("warn", "This tag was deleted.", p.deletedWords(harness.KindTag, t.ID)+" What it is on is still here."))
	}
	if t.Retired {
		out = append(out, kit.Note("warn", "This tag is retired.", "Another one is in use here. Print that and take this one off."))
	}
	if copied {
		out = append(out, kit.Note("", "This build is a copy.", "The tag was printed for the original; in this copy it has the code "+tag.Format(t.Code)+"."))
	}
	return out
}

func (p *page) onBringBack(kind harness.Kind, id string) app.EventHandler {
	return func(app.Context, app.Event) {
		if err := p.S.Do(storage.Undelete(kind, id)); err != nil {
			p.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
			return
		}
		p.S.Say(session.Notice{Tone: "good", Text: "It is back.", Undo: true})
	}
}

// jumps lead from the tag to what it is on.
func (p *page) jumps(t harness.Tag, ok bool) []app.UI {
	if !ok {
		typing := p.home(partType)
		return []app.UI{kit.Plain("Type the eight signs", kit.To(typing), typing)}
	}
	at := kit.Addr{Build: p.S.ID()}
	sketch := kit.Addr{Build: p.S.ID(), Page: pageName, Record: tag.Parse(p.text(), p.own()).Code, Mode: partSketch}
	to, word := at.On("wires").With(t.Subject), "Open the wire"
	switch t.On {
	case harness.KindPlace:
		to, word = at.On("route").With(t.Subject), "Open the place"
	case harness.KindRun:
		to, word = at.On("route").With(t.Subject), "Open the run"
	}
	if wide() {
		return []app.UI{kit.Plain(word, kit.To(to), to)}
	}
	return []app.UI{kit.Plain("On the sketch", kit.To(sketch), sketch), kit.Plain(word, kit.To(to), to)}
}

// sketch is the drawing with the way of the wire, the place or the run lit.
func (p *page) sketch(t harness.Tag) app.UI {
	s := &kit.Sketch{S: p.S, Rev: p.S.Rev(), Class: "full"}
	b := p.S.B()
	switch t.On {
	case harness.KindWire:
		w, _ := b.Wires.Any(t.Subject)
		this, far := ends(w, t.End)
		s.Here, _ = b.EndPlace(this)
		if place, ok := b.EndPlace(far); ok {
			s.Places = []string{place}
		}
		if path, err := p.S.Graph().Wire(w); err == nil {
			s.Runs = path.Runs
		}
	case harness.KindPlace:
		s.Here = t.Subject
	case harness.KindRun:
		s.Runs = []string{t.Subject}
	}
	return s
}

// ends returns the end of a wire that a tag sits on, and the other one.
func ends(w harness.Wire, end harness.TagEnd) (this, far harness.End) {
	if end == harness.ToEnd {
		return w.To, w.From
	}
	return w.From, w.To
}

// subject is what the tag is on, in plain words.
func (p *page) subject(t harness.Tag, l tag.Label) []app.UI {
	if l.Wire {
		w, _ := p.S.B().Wires.Any(t.Subject)
		return p.wire(w, t)
	}
	return p.bundle(t, l)
}

// wire is a wire as it is met under the bonnet.
func (p *page) wire(w harness.Wire, t harness.Tag) []app.UI {
	b := p.S.B()
	this, far := ends(w, t.End)
	here, hereUnder := endWords(b, this)
	there, thereUnder := endWords(b, far)
	lede := capital(w.Function)
	if lede == "" {
		lede = "Wire " + w.Name
	}
	out := []app.UI{
		app.P().Class("lede").Aria("live", "polite").Text(lede),
		app.Div().Class("pair").Body(
			app.Div().Class("here-now").Body(app.Small().Text("You are here"), app.B().Text(here), app.Text(hereUnder)),
			app.Span().Aria("hidden", true).Text("→"),
			app.Div().Body(app.Small().Text("Goes to"), app.B().Text(there), app.Text(thereUnder)),
		),
	}
	of := w.ID + t.ID + strconv.Itoa(p.Rev)
	out = append(out, &later{Of: of, Now: p.S.GraphReady(), Make: func() []app.UI {
		rows := append([]app.UI{facts(wireFacts(p.S, w, t))}, p.views(this, far)...)
		return append(rows, &later{Of: of, Make: func() []app.UI { return proofs(p.S, w.ID) }})
	}})
	for _, j := range []harness.End{this, far} {
		out = append(out, p.joint(j.Joint, w.ID)...)
	}
	return out
}

// facts is a list of what is known.
func facts(all []fact) app.UI {
	var list []app.UI
	for _, f := range all {
		value := app.Dd().Text(f.text)
		if f.colour != [2]string{} {
			value = app.Dd().Body(kit.Colour(f.colour[0], f.colour[1]), app.Text(f.text))
		}
		list = append(list, app.Dt().Text(f.label), value)
	}
	return app.Dl().Body(list...)
}

// capital makes the first letter large.
func capital(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return ""
	}
	return string(unicode.ToUpper(r)) + text[n:]
}

// endWords is an end of a wire in two lines: the place or joint, and the terminal or where the joint is.
func endWords(b *harness.Build, e harness.End) (name, under string) {
	if e.Joint != "" {
		j, _ := b.Joints.Any(e.Joint)
		return kit.EndName(b, e), "at " + kit.PlaceName(b, j.Place)
	}
	place, _ := b.EndPlace(e)
	return kit.PlaceName(b, place), kit.TerminalName(b, e.Terminal)
}

// joint lists the other wires of a joint.
func (p *page) joint(joint, wire string) []app.UI {
	if joint == "" {
		return nil
	}
	b := p.S.B()
	var others []harness.Wire
	for _, w := range b.Wires.All() {
		if w.ID != wire && (w.From.Joint == joint || w.To.Joint == joint) {
			others = append(others, w)
		}
	}
	name := kit.EndName(b, harness.End{Joint: joint})
	out := []app.UI{kit.Section("Shares "+name+" with", count(len(others), "wire", "wires"))}
	if j, _ := b.Joints.Any(joint); j.Note != "" {
		out = append(out, kit.Lines(j.Note))
	}
	return append(out, p.rows(others, func(w harness.Wire) string {
		if w.From.Joint == joint {
			return "to " + kit.EndName(b, w.To)
		}
		return "to " + kit.EndName(b, w.From)
	})...)
}

// bundle is a place or a run with its wires.
func (p *page) bundle(t harness.Tag, l tag.Label) []app.UI {
	out := []app.UI{app.P().Class("lede").Aria("live", "polite").Text(l.Name)}
	of := t.ID + strconv.Itoa(p.window) + " " + strconv.Itoa(p.Rev)
	return append(out, &later{Of: of, Now: p.S.GraphReady(), Make: func() []app.UI { return p.bundled(t) }})
}

func (p *page) bundled(t harness.Tag) []app.UI {
	b := p.S.B()
	out := []app.UI{facts(bundleFacts(p.S, t))}
	at, through := wiresOf(p.S, t)
	both := func(w harness.Wire) string { return kit.EndName(b, w.From) + " > " + kit.EndName(b, w.To) }
	if t.On == harness.KindPlace {
		out = append(out, kit.Section("Wires that end here", fmt.Sprint(len(at))))
		out = append(out, p.rows(at, func(w harness.Wire) string {
			if place, _ := b.EndPlace(w.From); place == t.Subject {
				return kit.EndName(b, w.From) + " > " + kit.EndName(b, w.To)
			}
			return kit.EndName(b, w.To) + " > " + kit.EndName(b, w.From)
		})...)
	}
	if t.On == harness.KindRun || len(through) > 0 {
		out = append(out, kit.Section("Wires that pass through", fmt.Sprint(len(through))))
		out = append(out, p.rows(through, both)...)
	}
	return out
}

func (p *page) onMore(ctx app.Context, _ app.Event) { p.window += 2 * windowRows }

// rows lists wires, each a way to it.
func (p *page) rows(wires []harness.Wire, ends func(harness.Wire) string) []app.UI {
	b := p.S.B()
	var rows []app.UI
	for i, w := range wires {
		if i == p.window {
			break
		}
		to := kit.Addr{Build: p.S.ID(), Page: "wires", Record: w.ID}
		size, _ := tag.Conductor(b, w)
		base, tracer := colourOf(b, w)
		name := w.Function
		if name == "" {
			name = ends(w)
		}
		rows = append(rows, app.Li().Body(app.Button().Type("button").Class("row").OnClick(kit.To(to), to).Body(
			app.Span().Text(w.Name),
			app.Span().Body(app.B().Text(name), app.Small().Text(ends(w))),
			app.Span().Body(kit.Colour(base, tracer), app.Small().Text(kit.SizeWord(size))),
		)))
	}
	if len(rows) == 0 {
		return []app.UI{kit.Lines("None.")}
	}
	out := []app.UI{app.Ul().Class("rows").Body(rows...)}
	if n := len(wires) - len(rows); n > 0 {
		out = append(out, kit.Plain(fmt.Sprintf("Show %d more", n), p.onMore))
	}
	return out
}
