package wires

import (
	"errors"
	"fmt"
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// The parts that change one field, of one wire or of all that are ticked.

// same returns what all wires have in a field, and false where they differ.
func same[T any](wires []harness.Wire, field func(w harness.Wire) T, equal func(a, b T) bool) (value T, ok bool) {
	for i, w := range wires {
		if v := field(w); i == 0 {
			value = v
		} else if !equal(value, v) {
			return value, false
		}
	}
	return value, len(wires) > 0
}

func equal[T comparable](a, b T) bool { return a == b }

// what names the wires of this part: "W27", "12 wires".
func (p *page) what() string {
	targets := p.targets()
	if len(targets) == 1 {
		return targets[0].Name
	}
	return count(len(targets), "wire")
}

// size

func (p *page) size() sheet {
	b := p.S.B()
	now, _ := same(p.targets(), func(w harness.Wire) string { return canonical(sizeOf(b, w)) }, equal)
	s := sheet{title: p.what() + ": size", back: p.parent()}
	var chips []app.UI
	for _, sys := range []unit.System{b.Settings.Unit, other(b.Settings.Unit)} {
		var group []app.UI
		for _, size := range sizes(sys) {
			group = append(group, kit.Choice(kit.SizeWord(size), "", size == now, p.onSize(size), p.At, size))
		}
		chips = append(chips, kit.Chips(group...))
	}
	s.body = append(chips, kit.Field("Another size", p.text, "0.75, 18 AWG", p.onText, p.At))
	s.body = append(s.body, p.typedSize()...)
	if now != "" {
		s.body = append(s.body, kit.Plain("Not known", p.onSize(""), p.At, "none"))
	}
	s.foot = p.done()
	return s
}

// done is the way back from a part where every tap is taken at once.
func (p *page) done() []app.UI {
	return []app.UI{kit.Act("Done", kit.To(p.parent()), p.parent())}
}

func other(sys unit.System) unit.System {
	if sys == unit.Imperial {
		return unit.Metric
	}
	return unit.Imperial
}

// canonical is a size as it is written, or the text itself if it is none.
func canonical(size string) string {
	if s, err := unit.ParseSize(size); err == nil {
		return s.String()
	}
	return size
}

// typedSize shows how the typed size is understood, and offers to take it.
func (p *page) typedSize() []app.UI {
	size, err := unit.ParseSize(p.text)
	switch {
	case errors.Is(err, unit.ErrBlank):
		return nil
	case errors.Is(err, unit.ErrAmbiguous):
		out := []app.UI{kit.Lines(kit.Explain(err) + "?")}
		for _, u := range []string{" mm2", " AWG"} {
			if size, err := unit.ParseSize(p.text + u); err == nil {
				out = append(out, kit.Plain("Use "+kit.SizeWord(size.String()), p.onSize(size.String()), p.At, size.String()))
			}
		}
		return out
	case err != nil:
		return []app.UI{kit.Lines(kit.Explain(err))}
	}
	return []app.UI{kit.Plain("Use "+kit.SizeWord(size.String()), p.onSize(size.String()), p.At, size.String())}
}

func (p *page) onSize(size string) app.EventHandler {
	return func(app.Context, app.Event) {
		word := "size " + kit.SizeWord(size)
		if size == "" {
			word = "size not known"
		}
		p.text = ""
		p.change(word, func(w *harness.Wire) { w.Size = size })
	}
}

// colour

func (p *page) colour() sheet {
	b := p.S.B()
	now, _ := same(p.targets(), func(w harness.Wire) unit.Colour { return colourOf(b, w) }, equal)
	s := sheet{title: p.what() + ": colour", back: p.parent()}
	var bases, tracers []app.UI
	for _, name := range unit.ColourNames() {
		bases = append(bases, p.colourChip("base", name, now.Base, unit.Colour{Base: name, Tracer: now.Tracer}))
		if name != now.Base {
			tracers = append(tracers, p.colourChip("tracer", name, now.Tracer, unit.Colour{Base: now.Base, Tracer: name}))
		}
	}
	s.body = []app.UI{kit.Section("Colour", unit.Colour{Base: now.Base}.Code()), kit.Chips(bases...)}
	if now.Base != "" {
		none := unit.Colour{Base: now.Base}
		tracers = append([]app.UI{kit.Choice("no tracer", "", now.Tracer == "", p.onColour(none), p.At, none)}, tracers...)
		s.body = append(s.body, kit.Section("Tracer", unit.Colour{Base: now.Tracer}.Code()), kit.Chips(tracers...))
	}
	s.body = append(s.body, kit.Field("As it is written on a list", p.text, "rd/wht, yellow green, GNYE", p.onText, p.At))
	if c := unit.ParseColour(p.text); c.Base != "" {
		s.body = append(s.body, app.Div().Class("line mid").Body(
			kit.Colour(c.Base, c.Tracer), kit.Plain("Use "+c.Code(), p.onColour(c), p.At, c)))
	}
	if now.Base != "" {
		s.body = append(s.body, kit.Plain("Not known", p.onColour(unit.Colour{}), p.At, "none"))
	}
	s.foot = p.done()
	return s
}

func (p *page) colourChip(what, name, now string, to unit.Colour) app.UI {
	return app.Button().Type("button").Class("plain").Aria("pressed", name == now).Aria("label", what+" "+name).
		OnClick(p.onColour(to), p.At, what, to).Body(kit.Colour(name, ""), app.Small().Text(name))
}

func (p *page) onColour(c unit.Colour) app.EventHandler {
	return func(app.Context, app.Event) {
		if c.Tracer == c.Base {
			c.Tracer = ""
		}
		word := "colour " + c.Code()
		if c.Base == "" {
			word = "colour not known"
		}
		p.text = ""
		p.change(word, func(w *harness.Wire) { w.Base, w.Tracer = c.Base, c.Tracer })
	}
}

// looms

func (p *page) looms() sheet {
	b := p.S.B()
	now, all := same(p.targets(), func(w harness.Wire) []string { return w.Looms }, slices.Equal[[]string])
	s := sheet{title: p.what() + ": looms", back: p.parent(), sketch: p.ways(), foot: p.done()}
	s.body = []app.UI{kit.Lines("A wire takes the shortest way inside the looms it may use.")}
	if !all {
		s.body = append(s.body, kit.Lines("These wires differ. The next tap makes them equal."))
		now = nil
	}
	chips := []app.UI{kit.Choice("Any loom", "", all && len(now) == 0, p.onLooms(nil), p.At, "any")}
	for _, l := range b.Looms.All() {
		to := toggled(b, now, l.ID)
		chips = append(chips, kit.Choice(kit.LoomName(b, l.ID), "", slices.Contains(now, l.ID), p.onLooms(to), p.At, to))
	}
	s.body = append(s.body, kit.Chips(chips...))
	for _, id := range now {
		if _, lives := b.Looms.Get(id); !lives {
			to := slices.DeleteFunc(slices.Clone(now), func(l string) bool { return l == id })
			s.body = append(s.body, kit.Note("warn", kit.LoomName(b, id)+".", "The wire may still use it."),
				kit.Plain("Without it", p.onLooms(to), p.At, to, id))
		}
	}
	return s
}

// toggled returns looms with one more or one less, in the order of looms.
func toggled(b *harness.Build, looms []string, id string) []string {
	var to []string
	for _, l := range b.Looms.All() {
		if slices.Contains(looms, l.ID) != (l.ID == id) {
			to = append(to, l.ID)
		}
	}
	return to
}

func (p *page) onLooms(to []string) app.EventHandler {
	return func(app.Context, app.Event) {
		word := "any loom"
		if len(to) > 0 {
			word = loomNames(p.S.B(), to)
		}
		p.change(word, func(w *harness.Wire) { w.Looms = to })
	}
}

func loomNames(b *harness.Build, ids []string) string {
	text := ""
	for i, id := range ids {
		if i > 0 {
			text += ", "
		}
		text += kit.LoomName(b, id)
	}
	return text
}

// via

func (p *page) via() sheet {
	b := p.S.B()
	now, all := same(p.targets(), func(w harness.Wire) []string { return w.Via }, slices.Equal[[]string])
	s := sheet{title: p.what() + " must pass", back: p.parent(), above: true, sketch: p.ways(), foot: p.done()}
	s.sketch.Places, s.sketch.Act, s.sketch.OnPlace = now, "must pass", p.addVia
	if !all {
		s.body = append(s.body, kit.Lines("These wires differ. The next place makes them equal."))
		now = nil
	}
	if len(now) == 0 {
		s.body = append(s.body, kit.Lines("No place. It takes the shortest way."))
	}
	for i, id := range now {
		up := slices.Clone(now)
		if i > 0 {
			up[i-1], up[i] = up[i], up[i-1]
		}
		out := slices.Delete(slices.Clone(now), i, i+1)
		buttons := []app.UI{app.Span().Class("grow").Body(app.B().Text(fmt.Sprintf("%d. %s", i+1, kit.PlaceName(b, id))))}
		if i > 0 {
			buttons = append(buttons, kit.Plain("Earlier", p.onVia(up), p.At, up))
		}
		s.body = append(s.body, app.Div().Class("line mid").Body(append(buttons, kit.Plain("Remove", p.onVia(out), p.At, out, i))...))
	}
	s.body = append(s.body, kit.Section("Add a place", "on the sketch or here"))
	s.body = append(s.body, p.places("via", "", p.addVia)...)
	return s
}

// addVia makes the wires pass one more place, after the others.
func (p *page) addVia(_ app.Context, place string) {
	now, _ := same(p.targets(), func(w harness.Wire) []string { return w.Via }, slices.Equal[[]string])
	p.query = ""
	if slices.Contains(now, place) {
		return
	}
	p.setVia(append(slices.Clone(now), place))
}

func (p *page) onVia(to []string) app.EventHandler {
	return func(app.Context, app.Event) { p.setVia(to) }
}

func (p *page) setVia(to []string) {
	word := "the shortest way"
	if len(to) > 0 {
		word = "they pass " + kit.PlaceName(p.S.B(), to[len(to)-1])
	}
	p.change(word, func(w *harness.Wire) { w.Via = to })
}

// ways is a sketch with the way of the wire, or of the first of several, lit.
func (p *page) ways() *kit.Sketch {
	targets := p.targets()
	s := &kit.Sketch{}
	if len(targets) > 0 {
		path, err := p.S.Graph().Wire(targets[0])
		if err == nil {
			s.Runs = path.Runs
			s.Places = []string{path.Places[0], path.Places[len(path.Places)-1]}
		}
	}
	return s
}

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
