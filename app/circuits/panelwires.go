package circuits

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/circuit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// wayButton is a part as it looks in a panel: a fuse lies across, a relay is a block, a lamp and a stud are round. What is
// spare is dashed and says so.
func wayButton(w circuit.Way, to kit.Addr) app.UI {
	class, under := "way", cmp.Or(w.Part.Label, rating(w.Part), string(w.Part.Kind))
	switch w.Part.Kind {
	case harness.Fuse, harness.BreakerPart:
		class += " fuse"
		under = cmp.Or(rating(w.Part), w.Part.Label)
	case harness.Relay:
		class += " relay"
	case harness.Lamp, harness.Stud:
		class += " round"
	case harness.FeedBar:
		class += " bar"
	}
	says := strings.TrimSpace(partName(w.Part) + " " + w.Part.Label)
	if w.Spare {
		class, under = class+" spare", "spare"
		says += ", spare"
	}
	return app.Button().Type("button").Class(class).Aria("label", says).OnClick(kit.To(to), to).Body(app.B().Text(partName(w.Part)), app.Small().Text(under))
}

// pitch is how far the positions of a panel are apart, from which the lengths of its inner wires follow.
func (p *page) pitch(q harness.Place) app.UI {
	sys := p.S.B().Settings.Unit
	value := ""
	if q.Pitch != nil {
		value = q.Pitch.Grouped(sys)
	}
	_, source := cut.Pitch(harness.Place{})
	return p.field(q.ID, "pitch", "From one position to the next", value, unit.Length(cut.DefaultPitch).Grouped(sys)+", "+source, func(text string) {
		if text == "" {
			p.changePlace(q.ID, func(q *harness.Place) { q.Pitch = nil })
			return
		}
		typed := kit.Read(text, sys)
		if !typed.OK {
			p.refuse = "“" + text + "”: " + typed.Line + ". Nothing was changed."
			return
		}
		p.changePlace(q.ID, func(q *harness.Place) { q.Pitch = &typed.Length })
	})
}

// feeds draws what feeds what: what gives, under it the parts it goes through, and what each of them feeds.
func (p *page) feeds(x circuit.Panel) []app.UI {
	var order []string
	by := map[string][]app.UI{}
	for _, w := range x.Ways {
		from := cmp.Or(w.Fed, "fed by nothing yet")
		if by[from] == nil {
			order = append(order, from)
		}
		by[from] = append(by[from], p.branch(w))
	}
	var all []app.UI
	for _, from := range order {
		all = append(all, app.Li().Body(app.B().Text(from), app.Ul().Body(by[from]...)))
	}
	if len(all) == 0 {
		return nil
	}
	return []app.UI{kit.Section("What feeds what", number(len(x.Ways), "part")), app.Ul().Class("feeds").Body(all...)}
}

// branch is one part of the diagram.
func (p *page) branch(w circuit.Way) app.UI {
	to := p.devices().In(partPart + "." + w.Part.ID)
	feeds := strings.Join(w.Feeds[:min(6, len(w.Feeds))], ", ")
	if n := len(w.Feeds) - 6; n > 0 {
		feeds += fmt.Sprintf(" and %d more", n)
	}
	if w.Spare {
		feeds = "spare"
	}
	name := strings.TrimSpace(partName(w.Part) + " " + rating(w.Part))
	if load := ampsWord(w.Amps, w.Blank); load != "" && !w.Spare {
		name += ", draws " + load
	}
	return app.Li().Body(app.Button().Type("button").Class("branch").OnClick(kit.To(to), to).
		Body(app.B().Text(name), app.Text(" "+w.Part.Label), app.Small().Text("→ "+cmp.Or(feeds, "nothing yet"))))
}

// innerWires are the wires that stay in the panel, with the lengths that follow from where its parts stand.
func (p *page) innerWires(x circuit.Panel) []app.UI {
	if len(x.Inner) == 0 {
		return nil
	}
	b := p.S.B()
	sum, open := unit.Length(0), 0
	var rows []app.UI
	for _, w := range x.Inner {
		r := p.S.Cut(w)
		right, under := "unknown", r.LooseWord()
		if r.Known() {
			right, under = r.Sum.Grouped(b.Settings.Unit), ""
			sum += r.Sum
		} else {
			open++
		}
		to := p.At.On("wires").With(w.ID)
		rows = append(rows, kit.Row(w.Name, w.Function, strings.TrimSuffix(kit.EndName(b, w.From)+" to "+kit.EndName(b, w.To)+"; "+under, "; "), right, "", kit.To(to), to))
	}
	told := sum.Grouped(b.Settings.Unit)
	if open > 0 {
		told += fmt.Sprintf(", %d unknown", open)
	}
	return []app.UI{kit.Section("Wires inside it", told), p.rows(rows), kit.Lines("They are on the cut list too.")}
}

// looms says for each loom that comes to the panel which leads leave it there and which added wires join it.
func (p *page) looms(q harness.Place) (out []app.UI) {
	b := p.S.B()
	all, lost := p.net.LoomsAt(p.S.Graph(), q.ID)
	list := func(wires []harness.Wire) string {
		var names []string
		for _, w := range wires {
			names = append(names, strings.TrimSpace(w.Name+" "+w.Function))
		}
		return strings.Join(names, ", ")
	}
	line := func(what string, wires []harness.Wire) {
		if len(wires) > 0 {
			out = append(out, app.Details().Class("more").Body(app.Summary().Text(fmt.Sprintf(what, number(len(wires), "wire"))), app.P().Class("small").Text(list(wires))))
		}
	}
	for _, l := range all {
		name := "In no loom"
		if l.Loom != "" {
			name = "Loom " + kit.LoomName(b, l.Loom)
		}
		out = append(out, kit.Section(name, number(len(l.Leads)+len(l.Added), "wire")))
		line("%s of supplied leads leave it here", l.Leads)
		line("%s made new join it here", l.Added)
	}
	if len(lost) > 0 {
		out = append(out, kit.Section("With no way yet", number(len(lost), "wire")))
		line("%s", lost)
	}
	return out
}
