package pins

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// connector shows a plug from one side, a button for each cavity: a table reads well aloud and by keyboard, and its cells are
// as large as a thumb.
func (p *page) connector(id string) screen {
	b := p.S.B()
	c, ok := b.Connectors.Get(id)
	s := screen{title: strings.TrimSpace("Plug " + c.Name), back: p.home()}
	if !ok {
		s.title, s.body = "No such plug", []app.UI{app.P().Text("This build has no such plug.")}
		return s
	}
	from := p.side(c)
	v := p.net.Face(c, from)
	leads := map[string]circuit.Pin{}
	for _, x := range p.all {
		if _, had := leads[x.Terminal.ID]; !had {
			leads[x.Terminal.ID] = x
		}
	}
	lede := kit.FaceWord(v.Face)
	if v.Rows == 0 {
		lede = "Rows and columns are not known: the cavities in their order"
	}
	s.body = []app.UI{app.P().Class("lede").Text(lede), p.key()}
	if v.Rows > 0 {
		s.body = append(s.body, p.seats(v, leads))
	}
	if len(v.Loose) > 0 {
		if v.Rows > 0 {
			s.body = append(s.body, kit.Section("With no position", fmt.Sprint(len(v.Loose))))
		}
		var cells []app.UI
		for _, t := range v.Loose[:min(len(v.Loose), rowsDrawn)] {
			cells = append(cells, p.cavity(t, leads))
		}
		s.body = append(s.body, app.Div().Class("loose").Body(cells...))
	}
	shape := p.home().In(partShape + "." + c.ID)
	s.body = append(s.body, kit.Row("", "Rows, columns, seals", shapeWord(c), "→", "", kit.To(shape), shape))
	if v.Rows > 0 && c.Face != harness.NoFace {
		s.foot = []app.UI{kit.Act("Turn it: show the "+string(other(from)), p.onTurn(c), c.ID, string(from))}
	} else {
		s.foot = []app.UI{kit.Act("Say its rows, columns and face", kit.To(shape), shape)}
	}
	return s
}

func other(f harness.Face) harness.Face {
	if f == harness.WireSide {
		return harness.MatingFace
	}
	return harness.WireSide
}

func shapeWord(c harness.Connector) string {
	words := []string{"free"}
	if c.Rows > 0 {
		words[0] = fmt.Sprintf("%d × %d", c.Rows, c.Columns)
	}
	if c.Face != "" {
		words = append(words, "drawn from the "+string(c.Face))
	}
	if c.Sealed {
		words = append(words, "sealed")
	}
	return strings.Join(words, ", ")
}

// side is the side that a plug was last looked at from. Leads are pulled and seated from the wire side.
func (p *page) side(c harness.Connector) harness.Face {
	if f := harness.Face(p.S.Device.Prefs.Get("pins:face:" + c.ID)); f != harness.NoFace {
		return f
	}
	return harness.WireSide
}

func (p *page) onTurn(c harness.Connector) app.EventHandler {
	return func(app.Context, app.Event) { p.S.Device.Prefs.Put("pins:face:"+c.ID, string(other(p.side(c)))) }
}

// key says what the signs mean.
func (p *page) key() app.UI {
	var items []app.UI
	for _, d := range []harness.Decision{harness.Use, harness.Keep, harness.Remove, harness.Undecided, harness.Empty, harness.NeverFitted} {
		items = append(items, app.Span().Class("d-"+tone(d)).Text(sign(d)+" "+decisionWord(d)))
	}
	return app.Div().Class("legend").Body(items...)
}

// seats is the grid. Of two cavities in one position the second is under the first.
func (p *page) seats(v circuit.View, leads map[string]circuit.Pin) app.UI {
	at := map[[2]int][]app.UI{}
	for _, c := range v.Cells {
		spot := [2]int{c.Row, c.Column}
		at[spot] = append(at[spot], p.cavity(c.Terminal, leads))
	}
	var rows []app.UI
	for r := 1; r <= v.Rows; r++ {
		var cells []app.UI
		for c := 1; c <= v.Columns; c++ {
			cells = append(cells, app.Td().Body(at[[2]int{r, c}]...))
		}
		rows = append(rows, app.Tr().Body(cells...))
	}
	return app.Div().Class("grid plug").Body(app.Table().Aria("label", kit.FaceWord(v.Face)).Body(app.TBody().Body(rows...)))
}

func (p *page) cavity(t harness.Terminal, leads map[string]circuit.Pin) app.UI {
	x, ok := leads[t.ID]
	if !ok {
		return app.Div().Class("cavity d-empty").Body(app.B().Text(t.Name), app.Small().Text("no lead"))
	}
	return &seat{Page: p, ID: x.Lead.ID, Name: t.Name, Does: cmp.Or(x.Lead.Legend, x.Lead.Function), Says: x.Cavity + " " + x.Lead.Does() + ", " + decisionWord(x.Lead.Decision), Decision: x.Lead.Decision}
}

// seat is one cavity of a plug, a component of its own so that a tap draws only what changed.
type seat struct {
	app.Compo
	Page       *page
	ID         string
	Name, Says string
	Does       string // what is printed on the lead, or its function
	Decision   harness.Decision
}

func (c *seat) onTap(ctx app.Context, _ app.Event) { kit.Go(ctx, c.Page.card(c.ID)) }

// Render draws it.
func (c *seat) Render() app.UI {
	return app.Button().Type("button").Class("cavity d-"+tone(c.Decision)).Aria("label", c.Says).OnClick(c.onTap).
		Body(app.B().Text(c.Name), app.Small().Text(sign(c.Decision)), app.I().Text(c.Does))
}

// shape asks how a plug is built.
func (p *page) shape(id string) screen {
	c, ok := p.S.B().Connectors.Get(id)
	back := p.home().In(partView + "." + id)
	s := screen{title: strings.TrimSpace("Plug " + c.Name), back: back, foot: []app.UI{kit.Act("Show the plug", kit.To(back), back)}}
	if !ok {
		return s
	}
	count := func(what string, n int, set func(c *harness.Connector, n int)) app.UI {
		step := func(label string, to int) app.UI {
			return app.Button().Type("button").Class("plain").Aria("label", label+" "+what).Disabled(to < 0 || to > harness.GridLimit).
				OnClick(p.onShape(id, func(c *harness.Connector) { set(c, to) }), what, to).Text(label)
		}
		return app.Div().Class("line mid").Body(step("−", n-1), app.Span().Class("big").Text(strconv.Itoa(n)), step("+", n+1), app.Span().Text(what))
	}
	face := func(label string, f harness.Face) app.UI {
		return kit.Choice(label, "", c.Face == f, p.onShape(id, func(c *harness.Connector) { c.Face = f }), id, label)
	}
	cavities := len(circuit.CavitiesOf(p.S.B(), c))
	var likely []app.UI
	for rows := 1; rows <= 5 && rows <= cavities; rows++ {
		columns := (cavities + rows - 1) / rows
		likely = append(likely, kit.Choice(fmt.Sprintf("%d × %d", rows, columns), "", c.Rows == rows && c.Columns == columns,
			p.onShape(id, func(c *harness.Connector) { c.Rows, c.Columns = rows, columns }), id, rows, columns))
	}
	s.body = []app.UI{
		kit.Lines(number(cavities, "pin") + " in it. They fill the rows in their order unless they have a position."),
		kit.Section("Rows × columns", ""), kit.Chips(likely...),
		count("rows", c.Rows, func(c *harness.Connector, n int) { c.Rows = n }),
		count("columns", c.Columns, func(c *harness.Connector, n int) { c.Columns = n }),
		kit.Section("Its source drew it from the", ""),
		kit.Even(face("Mating face", harness.MatingFace), face("Wire side", harness.WireSide), face("Not known", harness.NoFace)),
		kit.Section("Seals", "a seal takes one wire, an empty cavity needs a plug"),
		kit.Even(
			kit.Choice("Sealed", "", c.Sealed, p.onShape(id, func(c *harness.Connector) { c.Sealed = true }), id, "sealed"),
			kit.Choice("Not sealed", "", !c.Sealed, p.onShape(id, func(c *harness.Connector) { c.Sealed = false }), id, "open"),
		),
		p.textField(id, "name", "Name", c.Name, "A", func(text string) { p.renamePlug(id, text) }),
	}
	return s
}

func (p *page) onShape(id string, set func(c *harness.Connector)) app.EventHandler {
	return func(app.Context, app.Event) {
		old, ok := p.S.B().Connectors.Get(id)
		if ok {
			now := old
			set(&now)
			p.took(p.S.Do(storage.Put(harness.KindConnector, id, old, now)))
		}
	}
}

// renamePlug gives a plug another name; its cavities are named with it.
func (p *page) renamePlug(id, name string) {
	b := p.S.B()
	old, ok := b.Connectors.Get(id)
	if !ok || name == old.Name {
		return
	}
	for _, c := range b.Connectors.All() {
		if c.ID != id && c.Place == old.Place && harness.FoldName(c.Name) == harness.FoldName(name) {
			p.refuse = "There is a plug " + c.Name + " already."
			return
		}
	}
	now := old
	now.Name = name
	changes := []storage.Change{storage.Put(harness.KindConnector, id, old, now)}
	for _, t := range circuit.CavitiesOf(b, old) {
		moved := t
		moved.Connector = name
		changes = append(changes, storage.Put(harness.KindTerminal, t.ID, t, moved))
	}
	p.took(p.S.Do(changes...))
}
