package prove

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/prove"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// draft is what a device should read, as far as it is keyed in.
type draft struct {
	unit, plus, minus          string
	celsius, low, high, source string
	already                    bool // the first choices were made
}

// expectAt is where it is entered what a device should read.
func (p *page) expectAt(place string) kit.Addr { return p.home().In(partExpect).With(place) }

// devices lists what readings can be entered for.
func (p *page) devices(f *kit.Frame) {
	f.Title = "What devices should read"
	f.Body = []app.UI{kit.Lines("What the papers of a device say beats what is usual for its kind. A thermistor gets a reading at each temperature.")}
	counts := map[string]int{}
	for _, e := range p.S.B().Expects.All() {
		counts[e.Place]++
	}
	for _, x := range p.S.B().Places.All() {
		if x.Kind != harness.Device {
			continue
		}
		under := "nothing entered"
		if n := counts[x.ID]; n > 0 {
			under = unit.Shown(float64(n)) + " entered"
		}
		f.Body = append(f.Body, kit.Row("", x.Name, under, "→", "", kit.To(p.expectAt(x.ID)), p.expectAt(x.ID)))
	}
}

// expects is what one device should read: what was entered, and one more.
func (p *page) expects(f *kit.Frame, place harness.Place) {
	back := p.home().In(partExpect)
	f.Title, f.Back = place.Name, &back
	b := p.S.B()
	var pins []harness.Terminal
	for _, t := range b.Terminals.All() {
		if t.Place == place.ID && t.Part == "" {
			pins = append(pins, t)
		}
	}
	name := func(id string) string { t, _ := b.Terminals.Any(id); return t.Name }
	for _, e := range b.Expects.All() {
		if e.Place != place.ID {
			continue
		}
		under := e.Source
		if e.Celsius != nil {
			under = strings.TrimPrefix(under+", at "+unit.Shown(*e.Celsius)+" °C", ", ")
		}
		f.Body = append(f.Body, kit.Row("", name(e.Plus)+" to "+name(e.Minus), under, unit.Shown(e.Low)+" to "+prove.With(e.High, e.Unit), "tap to delete", p.onForget(e.ID), e.ID))
	}
	if len(f.Body) == 0 {
		f.Body = append(f.Body, kit.Lines("Nothing is entered yet."))
	}
	if len(pins) < 2 {
		f.Body = append(f.Body, kit.Note("", "It has fewer than two terminals.", "Add them under Devices and panel first."))
		return
	}
	d := &p.draft
	if !d.already {
		*d = draft{unit: "ohm", plus: pins[0].ID, minus: pins[1].ID, already: true}
	}
	choose := func(word, value string, into *string) app.UI {
		return kit.Choice(word, "", *into == value, func(app.Context, app.Event) { *into = value }, place.ID, value, into == &d.plus)
	}
	chips := func(into *string) app.UI {
		var all []app.UI
		for _, t := range pins {
			all = append(all, choose(t.Name, t.ID, into))
		}
		return kit.Chips(all...)
	}
	field := func(label, hint string, into *string) app.UI {
		return kit.Field(label, *into, hint, func(ctx app.Context, _ app.Event) { *into = kit.Value(ctx) }, place.ID, len(b.Expects.All()))
	}
	f.Body = append(f.Body, kit.Section("One more", ""),
		kit.Even(choose("ohm, unplugged", "ohm", &d.unit), choose("V, plugged, key on", "V", &d.unit)),
		kit.Lines("Red on"), chips(&d.plus), kit.Lines("Black on"), chips(&d.minus),
		field("At least, "+d.unit, "2100", &d.low), field("At most, "+d.unit, "2900", &d.high),
		field("Of a thermistor: at °C", "20", &d.celsius), field("Where that is from", "data sheet", &d.source))
	f.Foot = []app.UI{kit.Act("Add it", p.onExpect(place.ID), place.ID)}
}

func (p *page) onExpect(place string) app.EventHandler {
	return func(app.Context, app.Event) {
		d := p.draft
		low, okLow := unit.ParseAmount(strings.TrimSpace(d.low), 0, 1e9)
		high, okHigh := unit.ParseAmount(strings.TrimSpace(d.high), 0, 1e9)
		e := harness.Expect{Place: place, Plus: d.plus, Minus: d.minus, Unit: d.unit, Low: low, High: high, Source: strings.TrimSpace(d.source), Order: 1}
		if text := strings.TrimSpace(d.celsius); text != "" {
			c, ok := unit.ParseAmount(text, coldest, hottest)
			if !ok {
				p.refuse = "“" + text + "” is no temperature from " + unit.Shown(coldest) + " to " + unit.Shown(hottest) + " °C. Nothing was changed."
				return
			}
			e.Celsius = &c
		}
		switch {
		case !okLow || !okHigh:
			p.refuse = "Key in the least and the most that is good, as numbers. Nothing was changed."
			return
		case high < low:
			p.refuse = "The most is less than the least. Nothing was changed."
			return
		case d.plus == d.minus:
			p.refuse = "Red and black are on the same terminal. Nothing was changed."
			return
		}
		if all := p.S.B().Expects.All(); len(all) > 0 {
			e.Order = all[len(all)-1].Order + 1
		}
		if err := p.S.Do(storage.Put(harness.KindExpect, p.S.FreshID(), harness.Expect{}, e)); err != nil {
			p.refuse = kit.Explain(err)
			return
		}
		p.refuse = ""
		p.draft = draft{unit: d.unit, plus: d.plus, minus: d.minus, source: d.source, already: true}
	}
}

func (p *page) onForget(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		if err := p.S.Do(storage.Delete(harness.KindExpect, id)); err != nil {
			p.refuse = kit.Explain(err)
			return
		}
		p.S.Say(session.Notice{Text: "It was deleted.", Undo: true})
	}
}
