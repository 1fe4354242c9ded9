package circuits

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/storage"
)

func isPanel(q harness.Place) bool {
	return q.Kind == harness.Panel || q.Kind == harness.TerminalStrip
}

// panel is the grid of a panel: a tap on a free position puts a part there, a tap on a part opens it.
func (p *page) panel(q harness.Place) []app.UI {
	x := p.net.Panel(q.ID)
	at := map[[2]int]circuit.Way{}
	var loose []app.UI
	for _, w := range x.Ways {
		spot := [2]int{w.Part.Row, w.Part.Column}
		if _, taken := at[spot]; w.Part.Row < 1 || w.Part.Column < 1 || w.Part.Row > q.Rows || w.Part.Column > q.Columns || taken {
			loose = append(loose, p.partRow(w))
			continue
		}
		at[spot] = w
	}
	var rows []app.UI
	for r := 1; r <= min(q.Rows, harness.GridLimit); r++ {
		var cells []app.UI
		for c := 1; c <= min(q.Columns, harness.GridLimit); c++ {
			spot := [2]int{r, c}
			w, ok := at[spot]
			if !ok {
				cells = append(cells, app.Td().Body(app.Button().Type("button").Class("way free").Aria("label", fmt.Sprintf("free position, row %d, %d", r, c)).
					Aria("pressed", p.spot == spot).OnClick(p.onSpot(spot), spot).Text("+")))
				continue
			}
			to := p.devices().In(partPart + "." + w.Part.ID)
			cells = append(cells, app.Td().Body(wayButton(w, to)))
		}
		rows = append(rows, app.Tr().Body(cells...))
	}
	var spare []string
	for _, k := range harness.PartKinds {
		if n := x.Spare[k]; n > 0 {
			spare = append(spare, number(n, string(k)))
		}
	}
	told := "no spare way"
	if len(spare) > 0 {
		told = "spare: " + strings.Join(spare, ", ") + fmt.Sprintf(" of %d", len(x.Ways))
	}
	out := []app.UI{kit.Section("What stands where", told), app.P().Class("small").Text("Seen from the front, as it is worked on.")}
	if len(rows) > 0 {
		out = append(out, app.Div().Class("grid board").Body(app.Table().Aria("label", "the panel from its front").Body(app.TBody().Body(rows...))))
	}
	if p.spot != [2]int{} {
		var kinds []app.UI
		for _, k := range harness.PartKinds {
			kinds = append(kinds, kit.Choice(string(k), "", false, p.onNewPart(q.ID, k, p.spot), q.ID, string(k), p.spot))
		}
		out = append(out, kit.Note("", fmt.Sprintf("Row %d, position %d:", p.spot[0], p.spot[1]), "what stands there?"), kit.Chips(kinds...))
	} else {
		out = append(out, kit.Lines(fmt.Sprintf("%d free. Tap + to put a fuse, relay, switch, lamp or strip position there.", x.Free)))
	}
	out = append(out, p.gridSize(q), p.pitch(q))
	if len(loose) > 0 {
		out = append(out, kit.Section("With no position", strconv.Itoa(len(loose))), app.Div().Class("rows").Body(loose...))
	}
	out = append(out, p.feeds(x)...)
	out = append(out, p.innerWires(x)...)
	return append(out, p.looms(q)...)
}

func partName(x harness.Part) string { return cmp.Or(x.Name, string(x.Kind)) }

func rating(x harness.Part) string {
	if x.Rating == nil {
		return ""
	}
	return strconv.FormatFloat(*x.Rating, 'f', -1, 64) + " A"
}

// partRow says in one line what feeds a part and what it feeds.
func (p *page) partRow(w circuit.Way) app.UI {
	to := p.devices().In(partPart + "." + w.Part.ID)
	feeds := strings.Join(w.Feeds[:min(4, len(w.Feeds))], ", ")
	if n := len(w.Feeds) - 4; n > 0 {
		feeds += fmt.Sprintf(" and %d more", n)
	}
	under := cmp.Or(w.Fed, "?") + " → " + partName(w.Part) + " → " + cmp.Or(feeds, "nothing")
	right := rating(w.Part)
	if w.Spare {
		right = "spare"
	}
	return kit.Row(partName(w.Part), cmp.Or(w.Part.Label, string(w.Part.Kind)), under, right, ampsWord(w.Amps, w.Blank), kit.To(to), to)
}

func (p *page) onSpot(spot [2]int) app.EventHandler {
	return func(app.Context, app.Event) {
		if p.spot == spot {
			spot = [2]int{}
		}
		p.spot = spot
	}
}

// gridSize is the rows and columns of a panel.
func (p *page) gridSize(q harness.Place) app.UI {
	step := func(label, what string, row, column int) app.UI {
		r, c := q.Rows+row, q.Columns+column
		return app.Button().Type("button").Class("plain").Aria("label", label+" "+what).Disabled(r < 0 || c < 0 || r > harness.GridLimit || c > harness.GridLimit).
			OnClick(func(app.Context, app.Event) {
				p.changePlace(q.ID, func(q *harness.Place) { q.Rows, q.Columns = r, c })
			}, q.ID, r, c).Text(label + " " + what)
	}
	return kit.Chips(step("+", "row", 1, 0), step("−", "row", -1, 0), step("+", "column", 0, 1), step("−", "column", 0, -1))
}

// letter begins the name of a new part of a kind. Source: IEC 81346-2 for F, K, S, X, from memory; our choice for the others.
func letter(k harness.PartKind) string {
	switch k {
	case harness.Fuse, harness.BreakerPart:
		return "F"
	case harness.Relay:
		return "K"
	case harness.Switch:
		return "S"
	case harness.Lamp:
		return "L"
	case harness.StripWay:
		return ""
	case harness.DiodePart:
		return "D"
	}
	return strings.ToUpper(string(k[:1]))
}

func (p *page) onNewPart(place string, k harness.PartKind, spot [2]int) app.EventHandler {
	return func(app.Context, app.Event) {
		taken, order := map[string]bool{}, 0.0
		for _, x := range p.S.B().Parts.All() {
			order = max(order, x.Order)
			if x.Place == place || k != harness.StripWay {
				taken[harness.FoldName(x.Name)] = true
			}
		}
		n := 1
		for taken[harness.FoldName(letter(k)+strconv.Itoa(n))] {
			n++
		}
		x := harness.Part{Record: harness.Record{ID: p.S.FreshID()}, Place: place, Kind: k, Name: letter(k) + strconv.Itoa(n), Row: spot[0], Column: spot[1], Order: order + 1}
		r := circuit.Records{Parts: []harness.Part{x}}
		for i, name := range circuit.PartTerminals(k) {
			r.Terminals = append(r.Terminals, harness.Terminal{Record: harness.Record{ID: p.S.FreshID()}, Place: place, Part: x.ID, Name: name, Connector: "", Order: order + float64(i)/10})
		}
		if p.took(p.S.Accept(r)) {
			p.spot = [2]int{}
		}
	}
}

// ratings are those of common blade fuses, amperes. Source: ISO 8820-3, from memory.
var ratings = []float64{3, 5, 7.5, 10, 15, 20, 25, 30, 40}

// part is one part of a panel.
func (p *page) part(id string) screen {
	b := p.S.B()
	x, ok := b.Parts.Get(id)
	s := screen{title: "No such part", back: p.devices()}
	if !ok {
		return s
	}
	s.title, s.back = strings.TrimSpace(partName(x)+" "+x.Label), p.devices().With(x.Place)
	for _, w := range p.net.Panel(x.Place).Ways {
		if w.Part.ID == id {
			s.body = append(s.body, p.partRow(w))
		}
	}
	var chips []app.UI
	for _, v := range ratings {
		chips = append(chips, kit.Choice(strconv.FormatFloat(v, 'f', -1, 64)+" A", "", x.Rating != nil && *x.Rating == v, func(app.Context, app.Event) {
			p.changePart(id, func(x *harness.Part) { x.Rating = &v })
		}, id, v))
	}
	s.body = append(s.body,
		p.field(id, "name", "Name", x.Name, "F1", func(text string) { p.changePart(id, func(x *harness.Part) { x.Name = text }) }),
		p.field(id, "label", "What it is for", x.Label, "main relay", func(text string) { p.changePart(id, func(x *harness.Part) { x.Label = text }) }),
	)
	if x.Kind == harness.Fuse || x.Kind == harness.BreakerPart || x.Kind == harness.Relay {
		s.body = append(s.body, kit.Section("Rating", rating(x)), kit.Chips(chips...))
	}
	feed, ok := b.Parts.Get(x.Feed)
	word := "by a wire"
	if ok {
		word = "by " + partName(feed) + ", inside the panel"
	}
	to := p.devices().In(partFeed + "." + id)
	s.body = append(s.body, kit.Row("", "Fed", word, "→", "", kit.To(to), to), kit.Section("Terminals", ""))
	var rows []app.UI
	for _, t := range p.net.PartEnds(id) {
		rows = append(rows, p.terminalRow(t))
	}
	s.body = append(s.body, app.Div().Class("rows").Body(rows...), p.moves(x), kit.Danger("Take "+partName(x)+" out", p.onNoPart(id), id))
	s.foot = []app.UI{kit.Act("Back to the panel", kit.To(s.back), s.back)}
	return s
}

// moves puts a part one position further in its panel, if that is free.
func (p *page) moves(x harness.Part) app.UI {
	q, _ := p.S.B().Places.Get(x.Place)
	step := func(label string, row, column int) app.UI {
		r, c := max(x.Row, 1)+row, max(x.Column, 1)+column
		free := r >= 1 && c >= 1 && r <= q.Rows && c <= q.Columns
		for _, o := range p.S.B().Parts.All() {
			free = free && !(o.Place == x.Place && o.Row == r && o.Column == c)
		}
		return app.Button().Type("button").Class("plain").Disabled(!free).OnClick(func(app.Context, app.Event) {
			p.changePart(x.ID, func(x *harness.Part) { x.Row, x.Column = r, c })
		}, x.ID, r, c).Text(label)
	}
	return app.Div().Class("stack").Body(kit.Section("Move it", fmt.Sprintf("row %d, position %d", x.Row, x.Column)),
		kit.Even(step("← left", 0, -1), step("right →", 0, 1), step("↑ up", -1, 0), step("↓ down", 1, 0)))
}

func (p *page) onNoPart(id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		x, ok := p.S.B().Parts.Get(id)
		if !ok {
			return
		}
		changes := []storage.Change{storage.Delete(harness.KindPart, id)}
		for _, t := range p.net.PartEnds(id) {
			changes = append(changes, storage.Delete(harness.KindTerminal, t.ID))
		}
		if p.took(p.S.Do(changes...)) {
			p.S.Say(session.Notice{Text: partName(x) + " was taken out.", Undo: true})
			kit.Go(ctx, p.devices().With(x.Place))
		}
	}
}

// feed chooses the part that feeds a part inside the panel, or with a circuit in the address the parts that feed it.
func (p *page) feed(id string) screen {
	b := p.S.B()
	if c, ok := b.Circuits.Get(p.At.Record); ok {
		return p.circuitFeed(c)
	}
	x, _ := b.Parts.Get(id)
	s := screen{title: partName(x) + ": fed by", back: p.devices().In(partPart + "." + id)}
	set := func(feed string) app.EventHandler {
		return func(ctx app.Context, _ app.Event) {
			if p.changePart(id, func(x *harness.Part) { x.Feed = feed }) {
				kit.Go(ctx, p.devices().In(partPart+"."+id))
			}
		}
	}
	rows := []app.UI{kit.Row("", "By a wire", "", "", "", set(""), id, "wire")}
	for _, o := range b.Parts.All() {
		if o.Place == x.Place && o.ID != id {
			rows = append(rows, kit.Row(o.Name, cmp.Or(o.Label, string(o.Kind)), "inside the panel", "", "", set(o.ID), id, o.ID))
		}
	}
	s.body = []app.UI{app.Div().Class("rows").Body(rows...)}
	return s
}
