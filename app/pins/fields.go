package pins

import (
	"errors"
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// typing is what is typed here and not entered yet.
func (p *page) typing() kit.Typing { return kit.Typing{S: p.S, Page: "pins"} }

// textField becomes an edit when it is left.
func (p *page) textField(id, field, label, value, hint string, enter func(text string)) app.UI {
	if text, is := p.typing().Text(id, field); is {
		value = text
	}
	input := func(ctx app.Context, _ app.Event) { p.typing().Keep(id, field, kit.Value(ctx)) }
	done := func(ctx app.Context, _ app.Event) {
		text := strings.Join(strings.Fields(kit.Value(ctx)), " ")
		p.typing().Entered()
		enter(text)
	}
	return kit.FieldDone(label, value, hint, input, done, id, field)
}

func (p *page) doneWith(id string) []app.UI {
	return []app.UI{kit.Act("Done", kit.To(p.card(id)), p.card(id))}
}

// reasons are offered for taking away what usually stays. Source: common practice.
var reasons = []string{"no device for it in this car", "another lead does its work", "its circuit is not fitted", "it is damaged and replaced"}

// why asks for the reason of a decision and makes both one edit.
func (p *page) why(x circuit.Pin, d harness.Decision) screen {
	l := x.Lead
	s := screen{title: cavityWord(x) + ": why?", back: p.card(l.ID)}
	if l.Signal.Vital() {
		s.body = append(s.body, kit.Note("warn", "This is a "+string(l.Signal)+".", "Supplies, grounds and shields stay, also where there are several: each carries its part. Give the reason, or leave it as it is."))
	}
	for _, r := range reasons {
		s.body = append(s.body, kit.Choice(firstLarge(r), "", l.DecisionWhy == r, p.onWhy(l.ID, d, r), l.ID, r, string(d)))
	}
	s.body = append(s.body, kit.Field("Another reason", p.text, "", p.onText, l.ID))
	if p.text != "" {
		s.body = append(s.body, kit.Plain("Take this reason", p.onWhy(l.ID, d, strings.TrimSpace(p.text)), l.ID, p.text, string(d)))
	}
	s.foot = []app.UI{kit.Plain("Leave it as it is", kit.To(p.card(l.ID)), p.card(l.ID))}
	return s
}

// firstLarge is a text with its first letter large, as a sentence begins.
func firstLarge(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

func (p *page) onText(ctx app.Context, _ app.Event) { p.text = kit.Value(ctx) }

func (p *page) onWhy(id string, d harness.Decision, why string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		p.decide(id, d, why)
		if p.refuse == "" {
			kit.Go(ctx, p.card(id))
		}
	}
}

// sharedReasons are offered for two cores in one terminal. Source: common practice.
var sharedReasons = []string{"supplied so", "a sensor ground that two sensors share", "a feed that is led on", "no free cavity"}

// shared asks why two cores are in one terminal.
func (p *page) shared(x circuit.Pin) screen {
	s := screen{title: cavityWord(x) + ": two in one cavity", back: p.card(x.Lead.ID), foot: p.doneWith(x.Lead.ID)}
	s.body = []app.UI{kit.Lines("Two cores in one terminal hold only as well as the thinner one, and a seal takes one wire. A splice is better where it can be.")}
	for _, r := range sharedReasons {
		s.body = append(s.body, kit.Choice(firstLarge(r), "", x.Terminal.SharedWhy == r, p.onShared(x.Terminal.ID, r), x.Terminal.ID, r))
	}
	s.body = append(s.body, p.textField(x.Terminal.ID, "shared", "Another reason", x.Terminal.SharedWhy, "", func(text string) {
		p.changeTerminal(x.Terminal.ID, func(t *harness.Terminal) { t.SharedWhy = text })
	}))
	return s
}

func (p *page) onShared(id, why string) app.EventHandler {
	return func(app.Context, app.Event) { p.changeTerminal(id, func(t *harness.Terminal) { t.SharedWhy = why }) }
}

func (p *page) signal(x circuit.Pin) screen {
	l := x.Lead
	s := screen{title: cavityWord(x) + ": signal", back: p.card(l.ID), foot: p.doneWith(l.ID)}
	var chips, ways []app.UI
	for _, g := range harness.Signals {
		chips = append(chips, kit.Choice(string(g), "", l.Signal == g, p.onSignal(l.ID, g), l.ID, string(g)))
	}
	chips = append(chips, kit.Choice("not known", "", l.Signal == harness.NoSignal, p.onSignal(l.ID, harness.NoSignal), l.ID, "none"))
	for _, d := range []harness.Direction{harness.Inward, harness.Outward, harness.BothWays, harness.NoDirection} {
		word := string(d)
		if d == harness.NoDirection {
			word = "unknown"
		}
		ways = append(ways, kit.Choice(word, "", l.Direction == d, p.onDirection(l.ID, d), l.ID, word))
	}
	s.body = []app.UI{kit.Chips(chips...), kit.Section("Which way, seen from the controller", ""), kit.Even(ways...)}
	return s
}

func (p *page) onSignal(id string, g harness.Signal) app.EventHandler {
	return func(app.Context, app.Event) {
		p.changeLead(id, func(l *harness.Lead) { l.Signal, l.Direction = g, circuit.DirectionOf(g) })
	}
}

func (p *page) onDirection(id string, d harness.Direction) app.EventHandler {
	return func(app.Context, app.Event) { p.changeLead(id, func(l *harness.Lead) { l.Direction = d }) }
}

// sizes are those that looms are made of, in both systems. Source: common practice.
var sizes = []string{"0.35 mm2", "0.5 mm2", "0.75 mm2", "1.0 mm2", "1.5 mm2", "2.5 mm2", "4.0 mm2", "22 AWG", "20 AWG", "18 AWG", "16 AWG", "14 AWG", "12 AWG"}

func (p *page) size(x circuit.Pin) screen {
	l := x.Lead
	s := screen{title: cavityWord(x) + ": size", back: p.card(l.ID), foot: p.doneWith(l.ID)}
	var chips []app.UI
	for _, size := range sizes {
		chips = append(chips, kit.Choice(kit.SizeWord(size), "", l.Size == size, p.onSize(l.ID, size), l.ID, size))
	}
	s.body = []app.UI{kit.Chips(chips...), kit.Field("Another size", p.text, "0.75, 18 AWG", p.onText, l.ID)}
	size, err := unit.ParseSize(p.text)
	switch {
	case errors.Is(err, unit.ErrBlank):
	case err != nil:
		s.body = append(s.body, kit.Lines(kit.Explain(err)))
	default:
		s.body = append(s.body, kit.Plain("Use "+kit.SizeWord(size.String()), p.onSize(l.ID, size.String()), l.ID, size.String()))
	}
	s.body = append(s.body, kit.Plain("Not known", p.onSize(l.ID, ""), l.ID, "none"))
	return s
}

func (p *page) onSize(id, size string) app.EventHandler {
	return func(app.Context, app.Event) {
		p.text = ""
		p.changeLead(id, func(l *harness.Lead) { l.Size = size })
	}
}

func colourCode(l harness.Lead) string { return unit.Colour{Base: l.Base, Tracer: l.Tracer}.Code() }

func (p *page) colour(x circuit.Pin) screen {
	l := x.Lead
	s := screen{title: cavityWord(x) + ": colour", back: p.card(l.ID), foot: p.doneWith(l.ID)}
	var bases, tracers []app.UI
	chip := func(group, name string, chosen bool, c unit.Colour) app.UI {
		return app.Button().Type("button").Class("plain").Aria("label", group+" "+name).Aria("pressed", chosen).
			OnClick(p.onColour(l.ID, c), l.ID, c).Body(kit.Colour(name, ""))
	}
	for _, name := range unit.ColourNames() {
		bases = append(bases, chip("base", name, l.Base == name, unit.Colour{Base: name, Tracer: l.Tracer}))
		if name != l.Base {
			tracers = append(tracers, chip("tracer", name, l.Tracer == name, unit.Colour{Base: l.Base, Tracer: name}))
		}
	}
	s.body = []app.UI{kit.Section("Colour", l.Base), kit.Chips(bases...)}
	if l.Base != "" {
		none := unit.Colour{Base: l.Base}
		s.body = append(s.body, kit.Section("Tracer", l.Tracer),
			kit.Chips(append([]app.UI{kit.Choice("no tracer", "", l.Tracer == "", p.onColour(l.ID, none), l.ID, none)}, tracers...)...),
			kit.Plain("Not known", p.onColour(l.ID, unit.Colour{}), l.ID, "none"))
	}
	return s
}

func (p *page) onColour(id string, c unit.Colour) app.EventHandler {
	return func(app.Context, app.Event) {
		p.changeLead(id, func(l *harness.Lead) {
			l.Base, l.Tracer = c.Base, c.Tracer
			if l.Base == l.Tracer {
				l.Tracer = ""
			}
		})
	}
}

// length is the pad for the supplied length. What is half keyed outlasts the page.
func (p *page) length(x circuit.Pin) screen {
	l, sys := x.Lead, p.S.B().Settings.Unit
	s := screen{title: cavityWord(x) + ": supplied length", back: p.card(l.ID)}
	text, _ := p.typing().Text(l.ID, "length")
	told := kit.Read(text, sys).Line
	if text == "" {
		told = "not known"
		if l.Length != nil {
			told = "now " + l.Length.Grouped(sys)
		}
	}
	s.body = []app.UI{app.P().Text("From the rear face of the connector to its bare end.")}
	if l.Length != nil {
		s.body = append(s.body, kit.Plain("Length not known", p.onNoLength(l.ID), l.ID))
	}
	s.pad = app.Div().Body(app.Div().Class("entry").Body(kit.Entry(text).Shown(sys, told)), kit.Keys(sys, "Set", p.onLengthKey))
	return s
}

func (p *page) onNoLength(id string) app.EventHandler {
	return func(app.Context, app.Event) { p.changeLead(id, func(l *harness.Lead) { l.Length = nil }) }
}

func (p *page) onLengthKey(ctx app.Context, key string) {
	id := p.At.Record
	text, _ := p.typing().Text(id, "length")
	p.refuse = ""
	if key != kit.KeyNext {
		p.typing().Keep(id, "length", string(kit.Entry(text).Press(key)))
		return
	}
	t := kit.Read(text, p.S.B().Settings.Unit)
	if !t.OK {
		p.refuse = t.Line
		return
	}
	if p.change(func(l *harness.Lead) { l.Length = &t.Length }) {
		p.typing().Entered()
		kit.Go(ctx, p.card(id))
	}
}

// words are the fields that are typed, and the insulation.
func (p *page) words(x circuit.Pin) screen {
	l := x.Lead
	s := screen{title: cavityWord(x) + ": more", back: p.card(l.ID), foot: p.doneWith(l.ID)}
	line := func(field, label, value, hint string, set func(l *harness.Lead, text string)) app.UI {
		return p.textField(l.ID, field, label, value, hint, func(text string) {
			p.changeLead(l.ID, func(l *harness.Lead) { set(l, text) })
		})
	}
	var classes []app.UI
	for _, c := range harness.Insulations {
		classes = append(classes, kit.Choice(string(c), "", l.Insulation == c, p.onInsulation(l.ID, c), l.ID, string(c)))
	}
	classes = append(classes, kit.Choice("not known", "", l.Insulation == "", p.onInsulation(l.ID, ""), l.ID, "none"))
	s.body = []app.UI{
		line("legend", "What is printed on it", l.Legend, "", func(l *harness.Lead, t string) { l.Legend = t }),
		line("twist", "Twisted with the leads that have the same word here", l.Twist, "crank", func(l *harness.Lead, t string) { l.Twist = t }),
		line("shield", "Under one shield with those that have the same word", l.Shield, "crank", func(l *harness.Lead, t string) { l.Shield = t }),
		line("note", "Note", l.Note, "", func(l *harness.Lead, t string) { l.Note = t }),
		kit.Section("Insulation", ""), kit.Chips(classes...),
	}
	if t := x.Terminal; t.ID != "" {
		s.body = append(s.body, p.textField(t.ID, "cavity", "Cavity", t.Name, "", func(text string) { p.rename(t, text) }))
	}
	return s
}

// rename gives a cavity another name, unless another one of its connector is called so.
func (p *page) rename(t harness.Terminal, name string) {
	for _, o := range p.S.B().Terminals.All() {
		if o.ID != t.ID && o.Place == t.Place && o.Connector == t.Connector && harness.FoldName(o.Name) == harness.FoldName(name) {
			p.refuse = fmt.Sprintf("There is a cavity %s already.", circuit.Cavity(o))
			return
		}
	}
	if name != "" {
		p.changeTerminal(t.ID, func(t *harness.Terminal) { t.Name = name })
	}
}

func (p *page) onInsulation(id string, c harness.Insulation) app.EventHandler {
	return func(app.Context, app.Event) { p.changeLead(id, func(l *harness.Lead) { l.Insulation = c }) }
}

// park chooses where a kept lead is capped and folded back: splits first, as the loom opens there.
func (p *page) park(x circuit.Pin) screen {
	l, b := x.Lead, p.S.B()
	s := screen{title: cavityWord(x) + ": where it ends", back: p.card(l.ID), foot: p.doneWith(l.ID)}
	var splits, others []app.UI
	for _, q := range b.Places.All() {
		c := kit.Choice(kit.PlaceName(b, q.ID), string(q.Kind), l.Parked == q.ID, p.onPark(l.ID, q.ID), l.ID, q.ID)
		if q.Kind == harness.Split {
			splits = append(splits, c)
		} else if len(others) < rowsDrawn {
			others = append(others, c)
		}
	}
	s.body = []app.UI{kit.Lines("Each end is insulated alone, folded back and tagged. On a terminal strip it can be used later without opening the loom: the app proposes that where a position is free.")}
	if len(splits) > 0 {
		s.body = append(s.body, kit.Section("At a split", ""), kit.Chips(splits[:min(len(splits), rowsDrawn)]...))
	}
	s.body = append(s.body, kit.Section("Elsewhere", ""), kit.Chips(others...))
	return s
}

func (p *page) onPark(id, place string) app.EventHandler {
	return func(app.Context, app.Event) {
		p.changeLead(id, func(l *harness.Lead) {
			if l.Parked == place {
				l.Parked = ""
			} else {
				l.Parked = place
			}
		})
	}
}
