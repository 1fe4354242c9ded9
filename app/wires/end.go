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

// terminals are what a wire can end at in a place: those that are there, joints, and new ones.
func (p *page) terminals(w harness.Wire, which harness.TagEnd, place string) []app.UI {
	b := p.S.B()
	now := end(w, which)
	part := p.card(w.ID).In(endPart(which))
	var rows []app.UI
	row := func(name, under string, to harness.End) {
		mark := ""
		if now.Terminal == to.Terminal && now.Joint == to.Joint {
			mark = "chosen"
		}
		rows = append(rows, kit.Row("", name, under, mark, "", p.onEnd(which, to), p.At, which, to))
	}
	fold := harness.FoldName(strings.ReplaceAll(p.text, ":", ""))
	others := wiresAt(b, w.ID)
	for _, t := range b.Terminals.All() {
		name := kit.TerminalName(b, t.ID)
		if t.Place == place && strings.Contains(harness.FoldName(name), fold) {
			row(name, terminalUnder(t, others[t.ID], now.Terminal == t.ID), harness.End{Place: place, Terminal: t.ID})
		}
	}
	for _, j := range b.Joints.All() {
		if j.Place == place && strings.Contains(harness.FoldName("joint"+j.Name), fold) {
			row("joint "+j.Name, jointUnder(b, j), harness.End{Joint: j.ID})
		}
	}
	if fold == "" {
		row("No terminal yet", "only the place is known", harness.End{Place: place})
	}
	body := []app.UI{
		app.Div().Class("line mid").Body(
			app.B().Class("grow lede").Text(kit.PlaceName(b, place)), kit.Plain("Another place", kit.To(part), part)),
		kit.Field("Find a terminal, or name a new one", p.text, "14, A 14, 87a, signal", p.onText, p.At),
	}
	if connector, name := splitTerminal(p.text); name != "" {
		if _, there := terminalNamed(b, place, connector, name); !there {
			body = append(body, kit.Plain("Add "+strings.TrimSpace(connector+" "+name), p.onNewTerminal(which, place), p.At, which, place))
		}
	}
	return append(body, app.Div().Class("rows").Body(rows...),
		kit.Plain("New joint "+nextJoint(b, p.text)+" here", p.onNewJoint(which, place), p.At, which, place))
}

// wiresAt names the wires at each terminal, one wire apart.
func wiresAt(b *harness.Build, except string) map[string][]string {
	at := map[string][]string{}
	for _, w := range b.Wires.All() {
		for _, e := range [2]harness.End{w.From, w.To} {
			if e.Terminal != "" && w.ID != except {
				at[e.Terminal] = append(at[e.Terminal], strings.TrimSpace(w.Name+" "+w.Function))
			}
		}
	}
	return at
}

// terminalUnder says whether a terminal is free. A cavity holds one wire; two in one terminal is a thing to do knowingly.
func terminalUnder(t harness.Terminal, others []string, chosen bool) string {
	under := "free"
	switch {
	case len(others) > 0 && chosen:
		under = "shared with " + strings.Join(others, ", ")
	case len(others) > 0:
		under = "taken by " + strings.Join(others, ", ")
	case chosen:
		under = "this wire"
	}
	if t.Note != "" {
		under += " · " + t.Note
	}
	return under
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

// onNewTerminal makes a terminal by the name that is typed.
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
		name := nextJoint(p.S.B(), p.text)
		to, made := newJoint(p.S, place, name)
		if p.took(setEnd(p.S, w, which, to, made)) {
			p.S.Say(session.Notice{Text: "Joint " + name + " is made; give it to the other wires that are spliced there.", Undo: true})
			kit.Go(ctx, p.card(w.ID))
		}
	}
}
