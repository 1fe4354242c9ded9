package wires

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
)

// endPart is the part that changes one end of a wire.
func endPart(which harness.TagEnd) string {
	if which == harness.ToEnd {
		return partTo
	}
	return partFrom
}

func endWord(which harness.TagEnd) string {
	if which == harness.ToEnd {
		return "ends"
	}
	return "starts"
}

// end asks where one end of a wire is: first the place, then the terminal or joint at it.
func (p *page) end(which harness.TagEnd, place string) sheet {
	w, ok := p.wire()
	if !ok {
		return p.nothing()
	}
	b := p.S.B()
	s := sheet{title: w.Name + " " + endWord(which), back: p.card(w.ID), above: true, sketch: &kit.Sketch{}}
	now, _ := b.EndPlace(end(w, which))
	choose := func(ctx app.Context, place string) { p.choosePlace(ctx, which, place) }
	s.sketch.Act, s.sketch.OnPlace = "here", choose
	if _, lives := b.Places.Get(place); lives {
		s.sketch.Here = place
		s.body = p.terminals(w, which, place)
		return s
	}
	if _, lives := b.Places.Get(now); lives {
		s.sketch.Here = now
	}
	s.body = append([]app.UI{app.P().Class("lede").Text("Where it " + endWord(which) + "?")}, p.places(string(which), now, choose)...)
	return s
}

// choosePlace goes on to the terminals of a place. The wire's end is there at once, with no terminal yet, so that leaving
// now loses nothing.
func (p *page) choosePlace(ctx app.Context, which harness.TagEnd, place string) {
	w, ok := p.wire()
	if !ok {
		return
	}
	if now, _ := p.S.B().EndPlace(end(w, which)); now != place {
		p.took(setEnd(p.S, w, which, harness.End{Place: place}))
	}
	kit.Go(ctx, p.card(w.ID).In(endPart(which)+"."+place))
}

// putEnd gives the end its terminal or joint and goes back to the wire.
func (p *page) putEnd(ctx app.Context, which harness.TagEnd, to harness.End) {
	w, ok := p.wire()
	if !ok {
		return
	}
	if p.took(setEnd(p.S, w, which, to)) {
		kit.Go(ctx, p.card(w.ID))
	}
}

func (p *page) onEnd(which harness.TagEnd, to harness.End) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.putEnd(ctx, which, to) }
}

// terminals are what a wire can end at in a place.
func (p *page) terminals(w harness.Wire, which harness.TagEnd, place string) []app.UI {
	b := p.S.B()
	now := end(w, which)
	part := p.card(w.ID).In(endPart(which))
	body := []app.UI{
		app.Div().Class("line mid").Body(
			app.B().Class("grow lede").Text(kit.PlaceName(b, place)), kit.Plain("Another place", kit.To(part), part)),
	}
	at := map[string][]string{} // terminal to the other wires at it
	for _, other := range b.Wires.All() {
		for _, e := range [2]harness.End{other.From, other.To} {
			if e.Terminal != "" && other.ID != w.ID {
				at[e.Terminal] = append(at[e.Terminal], strings.TrimSpace(other.Name+" "+other.Function))
			}
		}
	}
	var rows []app.UI
	row := func(name, under, mark string, to harness.End) {
		r := kit.Row("", name, under, mark, "", p.onEnd(which, to), p.At, which, to)
		rows = append(rows, r)
	}
	mark := func(to harness.End) string {
		if now == to {
			return "chosen"
		}
		return ""
	}
	for _, t := range b.Terminals.All() {
		if t.Place != place {
			continue
		}
		under := "free"
		if others := at[t.ID]; len(others) > 0 {
			under = "also " + strings.Join(others[:min(2, len(others))], ", ")
		}
		if t.Note != "" {
			under += " · " + t.Note
		}
		to := harness.End{Place: place, Terminal: t.ID}
		m := mark(to)
		if now.Terminal == t.ID {
			m = "chosen"
		}
		row(kit.TerminalName(b, t.ID), under, m, to)
	}
	for _, j := range b.Joints.All() {
		if j.Place == place {
			to := harness.End{Joint: j.ID}
			row("joint "+j.Name, jointUnder(b, j), mark(to), to)
		}
	}
	row("No terminal yet", "only the place is known", mark(harness.End{Place: place}), harness.End{Place: place})
	body = append(body, app.Div().Class("rows").Body(rows...))
	body = append(body, p.newTerminalField(which, place))
	return append(body, kit.Plain("New joint "+nextJoint(b)+" here", p.onNewJoint(which, place), p.At, which, place))
}

// jointUnder says how many wires are in a joint.
func jointUnder(b *harness.Build, j harness.Joint) string {
	n := 0
	for _, w := range b.Wires.All() {
		if w.From.Joint == j.ID || w.To.Joint == j.ID {
			n++
		}
	}
	under := count(n, "wire") + " spliced"
	if j.Note != "" {
		under += " · " + j.Note
	}
	return under
}

func (p *page) onText(ctx app.Context, _ app.Event) { p.text, p.refuse = kit.Value(ctx), "" }

// newTerminalField makes a terminal by its name.
func (p *page) newTerminalField(which harness.TagEnd, place string) app.UI {
	parts := []app.UI{app.Div().Class("grow").Body(kit.Field("New terminal", p.text, "14, A 14, 87a, signal", p.onText, p.At))}
	if connector, name := splitTerminal(p.text); name != "" {
		label := "Add " + strings.TrimSpace(connector+" "+name)
		parts = append(parts, kit.Plain(label, p.onNewTerminal(which, place), p.At, which, place))
	}
	return app.Div().Class("stack").Body(parts...)
}

func (p *page) onNewTerminal(which harness.TagEnd, place string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w, ok := p.wire()
		connector, name := splitTerminal(p.text)
		if !ok || name == "" {
			return
		}
		if t, there := terminalNamed(p.S.B(), place, connector, name); there {
			p.putEnd(ctx, which, harness.End{Place: place, Terminal: t.ID}) // it is there already: that one is meant
			return
		}
		to, made := newTerminal(p.S, place, connector, name)
		if p.took(setEnd(p.S, w, which, to, made)) {
			kit.Go(ctx, p.card(w.ID))
		}
	}
}

func (p *page) onNewJoint(which harness.TagEnd, place string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w, ok := p.wire()
		if !ok {
			return
		}
		to, made := newJoint(p.S, place)
		name := nextJoint(p.S.B())
		if p.took(setEnd(p.S, w, which, to, made)) {
			p.S.Say(session.Notice{Text: "Joint " + name + " is made; give it to the other wires that are spliced there.", Undo: true})
			kit.Go(ctx, p.card(w.ID))
		}
	}
}
