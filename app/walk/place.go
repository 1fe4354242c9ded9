package walk

import (
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// setPlace edits the place of the card.
func (p *routePage) setPlace(edit func(*harness.Place)) {
	p.do(nil, changed(&p.S.B().Places, harness.KindPlace, p.At.Record, edit)...)
}

func (p *routePage) onStatus(s harness.PlaceStatus) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.setPlace(func(pl *harness.Place) { pl.Status = s }) }
}

func (p *routePage) onFixed(f harness.FixedBy) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.setPlace(func(pl *harness.Place) { pl.Fixed = f }) }
}

func (p *routePage) onKinds(ctx app.Context, _ app.Event) { p.kinds = !p.kinds }

func (p *routePage) onKind(k harness.PlaceKind) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		p.kinds = false
		p.setPlace(func(pl *harness.Place) { pl.Kind = k })
	}
}

func (p *routePage) onDelete(ctx app.Context, _ app.Event) {
	b, place := p.S.B(), p.At.Record
	name := kit.PlaceName(b, place)
	runs, wires, joints := hangsOn(b, place)
	if !p.do(nil, remove(b, place)...) {
		return
	}
	text := name + " is deleted"
	if runs > 0 {
		text += ", with " + plural(runs, "run", "runs")
	}
	text += "."
	if wires+joints > 0 {
		text += " " + endsHere(wires, joints) + " there and will say so."
	}
	p.S.Say(session.Notice{Text: text, Undo: true})
	kit.Go(ctx, p.list(""))
}

func (p *routePage) onJoin(ctx app.Context, _ app.Event) {
	place := p.At.Record
	name := kit.PlaceName(p.S.B(), place)
	m := newMaker(p.S)
	changes := m.join(place)
	if !p.do(m.err, changes...) {
		return
	}
	p.S.Say(session.Notice{Text: name + " is deleted and its two runs are one. Their lengths add up.", Undo: true})
	kit.Go(ctx, p.card(changes[0].ID))
}

// endsHere says how many wires and joints end at a place.
func endsHere(wires, joints int) string {
	var parts []string
	if wires > 0 {
		parts = append(parts, plural(wires, "wire", "wires"))
	}
	if joints > 0 {
		parts = append(parts, plural(joints, "joint", "joints"))
	}
	verb := " ends"
	if wires+joints != 1 {
		verb = " end"
	}
	return strings.Join(parts, " and ") + verb
}

// placeCard is all about one place.
func (p *routePage) placeCard(place harness.Place) (body, foot []app.UI) {
	b := p.S.B()
	id := place.ID
	body = []app.UI{
		p.field("Name", "name", place.Name, ""),
		app.Div().Class("line mid").Body(
			app.Span().Class("grow").Text("It is a "+string(place.Kind)),
			kit.Choice("Another kind", "", p.kinds, p.onKinds, id),
		),
	}
	if p.kinds {
		var chips []app.UI
		for _, k := range harness.PlaceKinds {
			chips = append(chips, kit.Choice(kindWord()[k], "", k == place.Kind, p.onKind(k), id, string(k)))
		}
		body = append(body, kit.Chips(chips...))
	}
	var status []app.UI
	for _, s := range []harness.PlaceStatus{harness.Open, harness.Decided, harness.Mounted} {
		status = append(status, kit.Choice(statusWord(s), "", s == place.Status, p.onStatus(s), id, string(s)))
	}
	body = append(body, kit.Section("Where it will be", ""), kit.Even(status...))
	if place.Kind == harness.PassThrough {
		to := p.At.On("looms").With(id).In("holes")
		body = append(body, kit.Plain("Hole, grommet and pulling", kit.To(to), to))
	}
	body = append(body, kit.Section("How hot it is there", ""), p.zoneChips(place))
	if place.Kind == harness.Split {
		body = append(body, kit.Section("This split is", ""), kit.Even(
			kit.Choice("fixed on the bench", "", place.Fixed == harness.OnBench, p.onFixed(harness.OnBench), id, "bench"),
			kit.Choice("decided in the car", "", place.Fixed == harness.InCar, p.onFixed(harness.InCar), id, "car"),
		))
	}
	travel := "does not move"
	if place.Travel != nil {
		travel = "lowers or hinges by " + place.Travel.Format(b.Settings.Unit)
	}
	to := p.At.In(partTravel)
	body = append(body,
		app.Div().Class("line mid").Body(app.Span().Class("grow").Text("The mount "+travel), kit.Plain("Set how far", kit.To(to), to)),
		kit.Section("Runs from here", ""),
		app.Div().Class("rows").Body(p.runsFrom(id)...),
		kit.Chips(
			kit.Plain("Add a place from here", kit.To(p.At.In(partAdd)), p.At.In(partAdd)),
			kit.Plain("Connect to another place", kit.To(p.At.In(partConnect)), p.At.In(partConnect)),
		),
		p.area("Note", "note", place.Note),
	)
	body = append(body, p.deletion(place)...)
	return body, []app.UI{kit.Act("Stand here and walk", p.onWalk(id), id)}
}

func (p *routePage) runsFrom(place string) []app.UI {
	b := p.S.B()
	var rows []app.UI
	for _, r := range runsAt(b, place) {
		k, _ := p.S.Lengths().Run(r.ID)
		rows = append(rows, kit.Row("", "to "+farName(b, r, place), kit.LoomName(b, r.Loom), lengthText(k, b.Settings.Unit), "", kit.To(p.card(r.ID)), p.card(r.ID)))
	}
	if len(rows) == 0 {
		rows = append(rows, kit.Lines("None: wires cannot get here yet."))
	}
	return rows
}

// deletion says what hangs on the place and offers to take it away.
func (p *routePage) deletion(place harness.Place) []app.UI {
	b := p.S.B()
	runs, wires, joints := hangsOn(b, place.ID)
	body := []app.UI{kit.Section("Take it away", "undo brings it back")}
	var says []string
	if runs > 0 {
		says = append(says, plural(runs, "run goes", "runs go")+" with it.")
	}
	if wires+joints > 0 {
		says = append(says, endsHere(wires, joints)+" here and will say so.")
	}
	if len(says) > 0 {
		body = append(body, app.P().Text(strings.Join(says, " ")))
	}
	var buttons []app.UI
	if two, ok := joinable(b, place.ID); ok {
		body = append(body, app.P().Text("Or its two runs become one, from "+farName(b, two[0], place.ID)+" to "+farName(b, two[1], place.ID)+"."))
		buttons = append(buttons, kit.Danger("Join the two runs into one", p.onJoin, place.ID))
	}
	return append(body, kit.Chips(append(buttons, kit.Danger("Delete this place", p.onDelete, place.ID))...))
}

// adding offers the kinds of a new place: one tap adds it, with a run from the place of the card if there is one.
func (p *routePage) adding(from harness.Place, connected bool) (body, foot []app.UI) {
	b := p.S.B()
	if connected {
		body = append(body, app.P().Body(app.Text("A place after "), app.B().Text(kit.PlaceName(b, from.ID)), app.Text(". The run to it is measured later.")))
	} else {
		body = append(body, app.P().Text("A place that no run leads to yet. To add it to the route, tap the place before it on the sketch first."))
	}
	if added, ok := b.Places.Get(p.added); ok {
		next := p.card(added.ID)
		body = append(body, app.P().Body(app.B().Text(kit.PlaceName(b, added.ID)), app.Text(" is added.")))
		var row []app.UI
		if p.added != p.At.Record {
			row = append(row, kit.Plain("Go on from it", kit.To(next.In(partAdd)), next.In(partAdd)))
		}
		row = append(row, kit.Plain("Its card", kit.To(next), next))
		body = append(body, kit.Chips(row...))
	}
	name := p.text(newName)
	kinds := slices.Clone(harness.PlaceKinds)
	if start(b) == "" {
		kinds = append([]harness.PlaceKind{harness.Controller}, slices.DeleteFunc(kinds, func(k harness.PlaceKind) bool { return k == harness.Controller })...)
	}
	var chips []app.UI
	for _, k := range kinds {
		label, under := kindWord()[k], freeName(b, k)
		if strings.TrimSpace(name) != "" {
			under = strings.TrimSpace(name)
		}
		chips = append(chips, kit.Choice(label, under, false, p.onAdd(k), p.At.Record, string(k)))
	}
	body = append(body,
		kit.Field("Name, if it is to have one of its own", name, "Coolant temperature", p.onNewName, p.At.Record),
		kit.Section("Tap what it is", ""), kit.Chips(chips...),
	)
	if connected && b.Looms.Len() > 0 {
		loom := p.loom(from.ID)
		body = append(body, kit.Section("The run to it is in", ""), p.loomChips(loom, p.onNewLoom))
	}
	return body, nil
}

func (p *routePage) onNewName(ctx app.Context, _ app.Event) {
	p.keep(pending{p.At.Record, newName, kit.Value(ctx)})
}

// onAdd adds a place of a kind.
func (p *routePage) onAdd(kind harness.PlaceKind) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		b := p.S.B()
		m := newMaker(p.S)
		id, changes := m.place(kind, strings.TrimSpace(p.text(newName)))
		if _, ok := b.Places.Get(p.At.Record); ok {
			_, run := m.run(p.At.Record, id, p.loom(p.At.Record))
			changes = append(changes, run)
		}
		if !p.do(m.err, changes...) {
			return
		}
		p.keep(pending{})
		p.added = id
	}
}

// loom is the loom of a new run from a place: the one that was chosen last, as in the walk.
func (p *routePage) loom(from string) string {
	d := loadDraft(p.S)
	d.At, d.To = from, target{}
	return d.loomFor(p.S.B())
}

func (p *routePage) onNewLoom(id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		d := loadDraft(p.S)
		d.Loom = id
		d.save(p.S)
	}
}

// loomChips offers the looms.
func (p *routePage) loomChips(now string, on func(loom string) app.EventHandler) app.UI {
	var chips []app.UI
	for _, l := range p.S.B().Looms.All() {
		chips = append(chips, kit.Choice(l.Name, "", l.ID == now, on(l.ID), p.At.Record, l.ID))
	}
	return kit.Chips(chips...)
}

// connecting offers every other place for a run.
func (p *routePage) connecting(place harness.Place) []app.UI {
	b := p.S.B()
	body := []app.UI{app.P().Text("Tap the other place, here or on the sketch.")}
	if b.Looms.Len() > 0 {
		body = append(body, kit.Section("In the loom", ""), p.loomChips(p.loom(place.ID), p.onNewLoom))
	}
	var rows []app.UI
	for _, o := range others(b, place.ID) {
		if len(rows) == mostRows {
			break
		}
		under := string(o.Kind)
		if n := len(runsBetween(b, place.ID, o.ID)); n > 0 {
			under += ", " + plural(n, "run", "runs") + " there already"
		}
		rows = append(rows, kit.Row("", kit.PlaceName(b, o.ID), under, "", "", p.onConnect(o.ID), place.ID, o.ID))
	}
	return append(body, kit.Section("Places", ""), app.Div().Class("rows").Body(rows...))
}

func (p *routePage) onConnect(to string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.connect(ctx, to) }
}

// connect makes a run between the place of the card and another one, and says so if that closes a loop.
func (p *routePage) connect(ctx app.Context, to string) {
	from := p.At.Record
	if to == from {
		return
	}
	closes := slices.Contains(p.S.Graph().Island(from), to)
	m := newMaker(p.S)
	id, change := m.run(from, to, p.loom(from))
	if !p.do(m.err, change) {
		return
	}
	if closes {
		p.S.Say(session.Notice{Text: "This closes a loop. Each wire takes the shorter way, unless it is told what to pass.", Undo: true})
	}
	kit.Go(ctx, p.card(id))
}

// travel asks how far the mount of a place moves.
func (p *routePage) travel(place harness.Place) app.UI {
	question := []app.UI{
		app.P().Text("How far does the mount of " + kit.PlaceName(p.S.B(), place.ID) + " lower or hinge? Every wire that leaves it gets this much more."),
	}
	if place.Travel != nil {
		question = append(question,
			app.P().Text("Now: "+place.Travel.Format(p.S.B().Settings.Unit)),
			kit.Chips(kit.Plain("It does not move", p.onNoTravel, place.ID)),
		)
	}
	return p.pad(question, "Set")
}

func (p *routePage) onNoTravel(ctx app.Context, _ app.Event) { p.setTravel(ctx, nil) }

func (p *routePage) setTravel(ctx app.Context, l *unit.Length) {
	if p.do(nil, changed(&p.S.B().Places, harness.KindPlace, p.At.Record, func(pl *harness.Place) { pl.Travel = l })...) {
		p.keep(pending{})
		kit.Go(ctx, p.card(p.At.Record))
	}
}

// zoneChips say where a place lies by the heat around it; what a person says counts before what stands there.
func (p *routePage) zoneChips(place harness.Place) app.UI {
	chips := []app.UI{kit.Choice("by what stands there", "", place.Zone == "", p.onZone(""), place.ID, "zone")}
	for _, z := range wire.Zones {
		celsius, _ := z.Ambient()
		chips = append(chips, kit.Choice(string(z), strconv.FormatFloat(celsius, 'f', 0, 64)+" °C", place.Zone == harness.Zone(z), p.onZone(harness.Zone(z)), place.ID, string(z)))
	}
	return kit.Chips(chips...)
}

func (p *routePage) onZone(z harness.Zone) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.setPlace(func(pl *harness.Place) { pl.Zone = z }) }
}
