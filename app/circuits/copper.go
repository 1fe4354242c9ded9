package circuits

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// compared is the wire that circuits take, worked out once for a state of the build.
type compared struct {
	by  *circuit.Comparer
	all map[string]circuit.Copper // those that can be told
}

// copper compares the ways to join a circuit; ok is false where that cannot be told.
func (p *page) copper(id string) (k circuit.Copper, ok bool) {
	if p.compared.by == nil {
		p.compared = compared{p.net.Compare(p.S.Graph()), map[string]circuit.Copper{}}
	}
	if k, ok = p.compared.all[id]; ok {
		return k, k.Method != ""
	}
	if c, there := p.S.B().Circuits.Get(id); there {
		if k, ok = p.compared.by.Of(c); !ok {
			k = circuit.Copper{}
		}
		p.compared.all[id] = k
	}
	return k, ok
}

// copperRow says what a joint saves and opens how that comes about; it is nil where that cannot be told.
func (p *page) copperRow(id string) app.UI {
	k, ok := p.copper(id)
	if !ok {
		return nil
	}
	to := p.circuits().With(id).In(partCopper)
	return kit.Row("", p.savedWord(k), p.insteadWord(k), "→", "", kit.To(to), to)
}

func (p *page) savedWord(k circuit.Copper) string {
	sys := p.S.B().Settings.Unit
	switch saved := k.Saved(); {
	case saved > 0:
		return saved.Grouped(sys) + " less wire than a star"
	case saved < 0:
		return (-saved).Grouped(sys) + " more wire than a star"
	}
	return "as much wire as a star"
}

func (p *page) insteadWord(k circuit.Copper) string {
	sys := p.S.B().Settings.Unit
	return k.Now.Length.Grouped(sys) + " instead of " + k.Star.Length.Grouped(sys)
}

// copperCard is how much wire a joint takes, wire by wire, beside other ways to join the same ends.
func (p *page) copperCard() screen {
	c, _ := p.S.B().Circuits.Get(p.At.Record)
	s := screen{title: c.Name + ": its wire", back: p.circuits().With(c.ID)}
	k, ok := p.copper(c.ID)
	if !ok {
		s.body = []app.UI{kit.Note("", "It cannot be told yet.", "It takes three ends or more, and a measured way to each.")}
		return s
	}
	s.body = []app.UI{app.P().Class("lede").Text(p.savedWord(k) + ": " + p.insteadWord(k))}
	if k.Made {
		s.body = append(s.body, p.joining("As it is", k.Now)...)
		if less := k.Now.Length - k.Tree.Length; less > 0 {
			s.body = append(s.body, kit.Note("", less.Grouped(p.S.B().Settings.Unit)+" less is possible.", "Nothing is changed by itself: what you drew stays."))
		}
	}
	s.body = append(s.body, p.joining("The least: "+k.Method, k.Tree)...)
	s.body = append(s.body, p.joining("One splice", k.One)...)
	s.body = append(s.body, p.joining("A star: a wire of its own to each", k.Star)...)
	s.body = append(s.body, kit.Lines("Each length is as it is cut: its way, its ends and its margin. A splice more must save more than the two ends it takes.",
		"Splices are made at a split or behind a connector, not in a pass-through and not where the loom moves."))
	return s
}

// joining lists the wires of one way to join.
func (p *page) joining(title string, j circuit.Joining) []app.UI {
	b := p.S.B()
	var at []string
	for _, id := range j.At {
		at = append(at, kit.PlaceName(b, id))
	}
	told := "no splice"
	if len(at) > 0 {
		told = number(len(at), "splice") + ": " + strings.Join(at, ", ")
	}
	var rows []app.UI
	line := func(class, name, value string) {
		rows = append(rows, app.Div().Class(class).Body(app.Span().Text(name), app.Span().Text(value)))
	}
	for _, w := range j.Wires {
		line("term", w.Name, w.Length.Grouped(b.Settings.Unit))
	}
	line("term sum", number(len(j.Wires), "wire"), j.Length.Grouped(b.Settings.Unit))
	return []app.UI{kit.Section(title, told), app.Div().Class("terms").Body(rows...)}
}

// jointRows are the joints of a circuit and where they are made.
func (p *page) jointRows(c harness.Circuit) (rows []app.UI) {
	b := p.S.B()
	for _, j := range b.Joints.All() {
		if j.Circuit != c.ID {
			continue
		}
		under := number(len(p.net.Wires(j.ID)), "wire") + " meet"
		if j.Offset > 0 {
			under += ", " + j.Offset.Grouped(b.Settings.Unit) + " off, so that splices do not lie side by side"
		}
		to := p.At.On("route").With(j.Place)
		rows = append(rows, kit.Row("", "Splice at "+kit.PlaceName(b, j.Place), under, "→", "", kit.To(to), to))
	}
	return rows
}
