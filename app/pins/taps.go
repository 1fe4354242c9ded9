package pins

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// taps is a connector that is being tapped: its rows and columns, and the cavities with no lead. It outlasts the page.
type taps struct {
	name          string
	rows, columns int
	face          harness.Face
	empty         map[int]bool // by number of the cavity, row by row from 1
}

// tapsMost is the most rows or columns that are offered. Our choice: more than a connector has on a side.
const tapsMost = 40

func tapsKey(s *session.Session) string { return "pins:taps:" + s.ID() }

func loadTaps(s *session.Session) taps {
	t := taps{name: "A", rows: 2, columns: 6, face: harness.WireSide, empty: map[int]bool{}}
	parts := strings.Split(s.Device.Prefs.Get(tapsKey(s)), sourceMark)
	if len(parts) < 5 {
		return t
	}
	rows, err1 := strconv.Atoi(parts[1])
	columns, err2 := strconv.Atoi(parts[2])
	if err1 != nil || err2 != nil || rows < 1 || columns < 1 || rows > tapsMost || columns > tapsMost {
		return t
	}
	t.name, t.rows, t.columns, t.face = parts[0], rows, columns, harness.Face(parts[3])
	for _, n := range strings.Fields(parts[4]) {
		if i, err := strconv.Atoi(n); err == nil {
			t.empty[i] = true
		}
	}
	return t
}

func (p *page) saveTaps() {
	t := p.taps
	var empty []string
	for i := 1; i <= t.rows*t.columns; i++ {
		if t.empty[i] {
			empty = append(empty, strconv.Itoa(i))
		}
	}
	p.S.Device.Prefs.Put(tapsKey(p.S), strings.Join([]string{t.name, strconv.Itoa(t.rows), strconv.Itoa(t.columns), string(t.face), strings.Join(empty, " ")}, sourceMark))
}

// grid is the connector to tap.
func (p *page) grid() screen {
	t := &p.taps
	s := screen{title: "Tap a grid", back: p.home().In(partIn)}
	fitted := 0
	var rows []app.UI
	for r := range t.rows {
		var cells []app.UI
		for c := range t.columns {
			n := r*t.columns + c + 1
			mark, word := "●", "lead"
			if t.empty[n] {
				mark, word = "–", "none"
			} else {
				fitted++
			}
			cells = append(cells, app.Td().Body(app.Button().Type("button").Class("cavity").Aria("pressed", !t.empty[n]).
				Aria("label", fmt.Sprintf("cavity %d, %s", n, word)).OnClick(p.onTap(n), n).Body(app.B().Text(strconv.Itoa(n)), app.Small().Text(mark))))
		}
		rows = append(rows, app.Tr().Body(cells...))
	}
	s.body = []app.UI{
		kit.Field("Name of the connector", t.name, "A", p.onTapsName),
		p.counter("rows", t.rows, func(n int) { p.taps.rows = n }),
		p.counter("columns", t.columns, func(n int) { p.taps.columns = n }),
		p.quick(),
		kit.Lines("Numbered row by row. Tap a cavity that has no lead."),
		app.Div().Class("grid").Body(app.Table().Body(app.TBody().Body(rows...))),
		kit.Section("Seen from", ""), kit.Even(
			kit.Choice("Mating face", "", t.face == harness.MatingFace, p.onTapsFace(harness.MatingFace), "mating"),
			kit.Choice("Wire side", "", t.face == harness.WireSide, p.onTapsFace(harness.WireSide), "wire"),
		),
	}
	s.body = append(s.body, p.whose()...)
	s.foot = []app.UI{kit.ActIf(fitted > 0, "Make "+number(fitted, "pin"), "Every cavity is without a lead", p.onMakeTaps)}
	return s
}

// counter is a number with a button to each side.
func (p *page) counter(what string, n int, set func(int)) app.UI {
	step := func(label string, to int) app.UI {
		return app.Button().Type("button").Class("plain").Aria("label", label+" "+what).Disabled(to < 1 || to > tapsMost).
			OnClick(func(app.Context, app.Event) { set(to); p.saveTaps() }, what, to).Text(label)
	}
	return app.Div().Class("line mid").Body(step("−", n-1), app.Span().Class("big").Text(strconv.Itoa(n)), step("+", n+1), app.Span().Text(what))
}

// quick are numbers of columns that connectors often have.
func (p *page) quick() app.UI {
	var chips []app.UI
	for _, n := range []int{4, 8, 12, 16, 20, 24, 32} {
		chips = append(chips, kit.Choice(fmt.Sprintf("%d columns", n), "", p.taps.columns == n, func(app.Context, app.Event) { p.taps.columns = n; p.saveTaps() }, n))
	}
	return app.Div().Class("chips scrolling").Body(chips...)
}

func (p *page) onTap(n int) app.EventHandler {
	return func(app.Context, app.Event) {
		p.taps.empty[n] = !p.taps.empty[n]
		p.saveTaps()
	}
}

func (p *page) onTapsName(ctx app.Context, _ app.Event) {
	p.taps.name = strings.TrimSpace(kit.Value(ctx))
	p.saveTaps()
}

func (p *page) onTapsFace(f harness.Face) app.EventHandler {
	return func(app.Context, app.Event) { p.taps.face = f; p.saveTaps() }
}

// onMakeTaps makes the connector with a lead in every cavity that has one, in one edit.
func (p *page) onMakeTaps(ctx app.Context, _ app.Event) {
	t, b := p.taps, p.S.B()
	place, fresh := p.controller()
	for _, c := range b.Connectors.All() {
		if c.Place == place && harness.FoldName(c.Name) == harness.FoldName(t.name) {
			p.refuse = "There is a connector " + t.name + " already. Nothing was changed. Give this one another name."
			return
		}
	}
	r := circuit.Records{Places: fresh}
	r.Connectors = append(r.Connectors, harness.Connector{Record: harness.Record{ID: p.S.FreshID()}, Place: place, Name: t.name, Rows: t.rows, Columns: t.columns, Face: t.face,
		Order: float64(b.Connectors.Len() + 1)})
	order := 0.0
	for _, x := range b.Terminals.All() {
		order = max(order, x.Order)
	}
	for _, x := range b.Leads.All() {
		order = max(order, x.Order)
	}
	for n := 1; n <= t.rows*t.columns; n++ {
		order++
		x := harness.Terminal{Record: harness.Record{ID: p.S.FreshID()}, Place: place, Connector: t.name, Name: strconv.Itoa(n), Row: 1 + (n-1)/t.columns, Column: 1 + (n-1)%t.columns, Order: order}
		r.Terminals = append(r.Terminals, x)
		if !t.empty[n] {
			r.Leads = append(r.Leads, harness.Lead{Record: harness.Record{ID: p.S.FreshID()}, Terminal: x.ID, Order: order})
		}
	}
	if p.took(p.S.Accept(r)) {
		p.settled(fresh)
		p.S.Device.Prefs.Put(tapsKey(p.S), "")
		p.taps = loadTaps(p.S)
		p.S.Say(session.Notice{Tone: "good", Text: number(len(r.Leads), "pin") + " made.", Undo: true})
		kit.Go(ctx, p.home())
	}
}
