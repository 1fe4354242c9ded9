package circuits

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

// sections are the groups of the list, with the kinds of place in each.
var sections = []struct {
	title string
	kinds []harness.PlaceKind
}{
	{"Devices", []harness.PlaceKind{harness.Device}},
	{"Controller", []harness.PlaceKind{harness.Controller}},
	{"Panels and terminal strips", []harness.PlaceKind{harness.Panel, harness.TerminalStrip}},
	{"Power, ground, car wires, plugs", []harness.PlaceKind{harness.Supply, harness.Ground, harness.CarWire, harness.Inline}},
}

// placeList is every place that something ends at.
func (p *page) placeList() screen {
	s := screen{title: "Devices and panel", back: p.At.On("plan")}
	b := p.S.B()
	joined, all := map[string]int{}, map[string]int{}
	for _, t := range b.Terminals.All() {
		all[t.Place]++
		if t.Circuit != "" || len(p.net.Wires(t.ID)) > 0 {
			joined[t.Place]++
		}
	}
	for _, x := range sections {
		var rows []app.UI
		for _, q := range b.Places.All() {
			if !has(x.kinds, q.Kind) {
				continue
			}
			to := p.devices().With(q.ID)
			under, right, below := string(q.Kind), fmt.Sprintf("%d of %d", joined[q.ID], all[q.ID]), "joined"
			if q.Kind == harness.Device {
				under = "kind not said"
				if d, ok := circuit.DeviceOf(q.Device); ok {
					under = d.Key
				}
			}
			if all[q.ID] == 0 {
				right, below = "–", "no terminals"
			}
			if q.Status == harness.Open {
				under += ", place open"
			}
			rows = append(rows, kit.Row("", kit.PlaceName(b, q.ID), under, right, below, kit.To(to), to))
		}
		if len(rows) > 0 {
			s.body = append(s.body, kit.Section(x.title, strconv.Itoa(len(rows))), p.rows(rows))
		}
	}
	if len(s.body) == 0 {
		s.body = []app.UI{app.P().Class("lede").Text("No device yet."), app.P().Text("Devices come from what the pins do, from the walk, or from here.")}
	}
	to := p.devices().In(partNew)
	s.foot = []app.UI{kit.Act("New device, panel or ground", kit.To(to), to)}
	return s
}

func has(kinds []harness.PlaceKind, k harness.PlaceKind) bool {
	for _, x := range kinds {
		if x == k {
			return true
		}
	}
	return false
}

// newDevice offers every kind: one tap makes the place with its terminals.
func (p *page) newDevice() screen {
	s := screen{title: "New", back: p.devices()}
	var others, rows []app.UI
	for _, k := range []harness.PlaceKind{harness.Panel, harness.TerminalStrip, harness.Ground, harness.Supply, harness.CarWire, harness.Inline} {
		others = append(others, kit.Choice(string(k), "", false, p.onNewPlace(k), string(k)))
	}
	for _, d := range circuit.Devices {
		if p.holds(d.Key + " " + d.Name) {
			rows = append(rows, kindRow(d, "", p.onNewDevice(d.Key)))
		}
	}
	s.body = []app.UI{kit.Chips(others...), kit.Section("Device", "its terminals come with it"),
		kit.Field("Search", p.query, "coil, pressure, valve", p.onQuery), p.rows(rows)}
	return s
}

// kindRow is a kind of device with its terminals and what it typically draws.
func kindRow(d circuit.Device, right string, do app.EventHandler) app.UI {
	var needs []string
	for _, n := range d.Needs {
		needs = append(needs, n.Name)
	}
	under := strings.Join(needs, ", ")
	if d.Body {
		under += "; grounded through its body"
	}
	if d.Note != "" {
		under += "; " + d.Note
	}
	return kit.Row("", strings.ToUpper(d.Key[:1])+d.Key[1:], under, cmp.Or(right, ampsWord(d.Amps, 0)), "", do, d.Key)
}

func (p *page) freshName(name string) string {
	taken := map[string]bool{}
	for _, q := range p.S.B().Places.All() {
		taken[harness.FoldName(q.Name)] = true
	}
	if !taken[harness.FoldName(name)] {
		return name
	}
	for n := 2; ; n++ {
		if next := name + " " + strconv.Itoa(n); !taken[harness.FoldName(next)] {
			return next
		}
	}
}

func (p *page) lastOrder() (order float64) {
	for _, q := range p.S.B().Places.All() {
		order = max(order, q.Order)
	}
	return order
}

func (p *page) onNewDevice(key string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		d, ok := circuit.DeviceOf(key)
		if !ok {
			return
		}
		q := harness.Place{Record: harness.Record{ID: p.S.FreshID()}, Name: p.freshName(d.Name), Kind: harness.Device, Device: key, Order: p.lastOrder() + 1}
		if p.took(p.S.Accept(circuit.Records{Places: []harness.Place{q}, Terminals: p.needs(q, d)})) {
			kit.Go(ctx, p.devices().With(q.ID))
		}
	}
}

// needs returns the terminals of a kind that a device has not.
func (p *page) needs(q harness.Place, d circuit.Device) (fresh []harness.Terminal) {
	have := map[string]bool{}
	order := 0.0
	for _, t := range p.terminalsOf(q.ID) {
		have[harness.FoldName(t.Name)] = true
		order = max(order, t.Order)
	}
	for _, n := range d.Needs {
		if !have[harness.FoldName(n.Name)] {
			order++
			fresh = append(fresh, harness.Terminal{Record: harness.Record{ID: p.S.FreshID()}, Place: q.ID, Name: n.Name, Signal: n.Signal, Order: order})
		}
	}
	return fresh
}

// starts are the terminals that a new place of a kind begins with. Source: common practice.
func starts(k harness.PlaceKind) []string {
	switch k {
	case harness.Ground:
		return []string{"lug 1", "lug 2", "lug 3", "lug 4"}
	case harness.Supply:
		return []string{"+", "-"}
	case harness.CarWire:
		return []string{"key", "start"}
	}
	return nil
}

func (p *page) onNewPlace(k harness.PlaceKind) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		name := strings.ToUpper(string(k[:1])) + string(k[1:])
		q := harness.Place{Record: harness.Record{ID: p.S.FreshID()}, Name: p.freshName(name), Kind: k, Order: p.lastOrder() + 1}
		r := circuit.Records{}
		switch k {
		case harness.Panel:
			q.Rows, q.Columns = 3, 5
		case harness.TerminalStrip:
			q.Rows, q.Columns = 1, 8
		}
		r.Places = []harness.Place{q}
		for i, n := range starts(k) {
			r.Terminals = append(r.Terminals, harness.Terminal{Record: harness.Record{ID: p.S.FreshID()}, Place: q.ID, Name: n, Order: float64(i + 1)})
		}
		if p.took(p.S.Accept(r)) {
			kit.Go(ctx, p.devices().With(q.ID))
		}
	}
}

// place is one device, panel, ground or car wire.
func (p *page) place() screen {
	b := p.S.B()
	q, ok := b.Places.Get(p.At.Record)
	s := screen{title: kit.PlaceName(b, p.At.Record), back: p.devices()}
	if !ok {
		s.body = []app.UI{app.P().Text("This build has no such place.")}
		if _, had := b.Places.Any(p.At.Record); had {
			s.body = append(s.body, kit.Plain("Bring it back", p.onBack(harness.KindPlace, p.At.Record), p.At.Record))
		}
		return s
	}
	s.body = append(s.body, p.field(q.ID, "name", "Name", q.Name, "", func(text string) {
		p.changePlace(q.ID, func(q *harness.Place) { q.Name = text })
	}), p.status(q))
	if q.Kind == harness.Device {
		s.body = append(s.body, p.identity(q)...)
	}
	if q.Kind == harness.Controller || isPanel(q) {
		to := p.At.In(partTry)
		s.body = append(s.body, kit.Row("", "Try another position", "what it changes is shown first", "→", "", kit.To(to), to))
	}
	if isPanel(q) {
		s.body = append(s.body, p.panel(q)...)
	}
	s.body = append(s.body, p.terminals(q)...)
	to := p.circuits().In(partPropose)
	s.foot = []app.UI{kit.Act("Propose wires", kit.To(to), to)}
	return s
}

func (p *page) onBack(kind harness.Kind, id string) app.EventHandler {
	return func(app.Context, app.Event) { p.took(p.S.Do(storage.Undelete(kind, id))) }
}

func (p *page) status(q harness.Place) app.UI {
	var chips []app.UI
	for _, x := range []struct {
		status harness.PlaceStatus
		word   string
	}{{harness.Open, "Open"}, {harness.Decided, "Decided"}, {harness.Mounted, "Mounted"}} {
		chips = append(chips, kit.Choice(x.word, "", q.Status == x.status, func(app.Context, app.Event) {
			p.changePlace(q.ID, func(q *harness.Place) { q.Status = x.status })
		}, q.ID, x.word))
	}
	return kit.Even(chips...)
}

// identity is what kind of device it is and what it draws.
func (p *page) identity(q harness.Place) []app.UI {
	to := p.At.In(partKind)
	d, ok := circuit.DeviceOf(q.Device)
	if !ok {
		return []app.UI{kit.Note("warn", "Nobody said what kind of device it is.", "Its kind brings its terminals and what it needs."), kit.Plain("Choose its kind", kit.To(to), to)}
	}
	hint := "typically " + cmp.Or(ampsWord(d.Amps, 0), "not known")
	out := []app.UI{kindRow(d, "→", kit.To(to)),
		p.amps(q.ID, "amps", "What it draws, A", q.Amps, hint, func(v *float64) { p.changePlace(q.ID, func(q *harness.Place) { q.Amps = v }) })}
	if missing := p.needs(q, d); len(missing) > 0 {
		var names []string
		for _, t := range missing {
			names = append(names, t.Name)
		}
		out = append(out, kit.Plain("Make its terminals: "+strings.Join(names, ", "), p.onNeeds(q.ID), q.ID, len(missing)))
	}
	return append(out, kit.Lines(d.Source+"."))
}

func (p *page) onNeeds(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		q, _ := p.S.B().Places.Get(id)
		if d, ok := circuit.DeviceOf(q.Device); ok {
			p.took(p.S.Accept(circuit.Records{Terminals: p.needs(q, d)}))
		}
	}
}

// kind chooses the kind of a device; its terminals come in the same edit.
func (p *page) kind() screen {
	q, _ := p.S.B().Places.Get(p.At.Record)
	s := screen{title: q.Name + ": what is it?", back: p.devices().With(p.At.Record)}
	var rows []app.UI
	for _, d := range circuit.Devices {
		if p.holds(d.Key + " " + d.Name) {
			right := ""
			if d.Key == q.Device {
				right = "this"
			}
			rows = append(rows, kindRow(d, right, p.onKind(q.ID, d.Key)))
		}
	}
	s.body = []app.UI{kit.Field("Search", p.query, "coil, pressure, valve", p.onQuery), p.rows(rows)}
	return s
}

func (p *page) onKind(id, key string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		q, ok := p.S.B().Places.Get(id)
		d, known := circuit.DeviceOf(key)
		if !ok || !known {
			return
		}
		q.Device = key
		if p.took(p.S.Accept(circuit.Records{Places: []harness.Place{q}, Terminals: p.needs(q, d)})) {
			kit.Go(ctx, p.devices().With(id))
		}
	}
}

// terminals are where wires end at a place; a tap chooses what one is joined to.
func (p *page) terminals(q harness.Place) []app.UI {
	var rows []app.UI
	for _, t := range p.terminalsOf(q.ID) {
		if t.Part != "" {
			continue // they are with their part
		}
		rows = append(rows, p.terminalRow(t))
		if q.Kind == harness.CarWire {
			to := p.At.In(partTap + "." + t.ID)
			rows = append(rows, kit.Row("", "What it is in the car", p.tapWord(t.ID), "→", "", kit.To(to), to))
		}
	}
	out := []app.UI{kit.Section("Terminals", strconv.Itoa(len(rows)))}
	if len(rows) > 0 {
		out = append(out, p.rows(rows))
	}
	return append(out, p.field(q.ID, "terminal", "One more terminal", "", "signal, 30, lug 5", func(text string) { p.addTerminal(q.ID, text) }))
}

func (p *page) terminalRow(t harness.Terminal) app.UI {
	to := p.devices().In(partJoin + "." + t.ID)
	under := cmp.Or(p.joinedTo(t), "joined to nothing")
	right := "→"
	if p.joinedTo(t) == "" && p.net.Needed(t) {
		right = "needed"
	}
	name := t.Name
	if t.Part != "" {
		name = p.net.Name(t)
	}
	return kit.Row("", cmp.Or(name, "terminal"), strings.TrimPrefix(string(t.Signal)+" · "+under, " · "), right, "", kit.To(to), to)
}

func (p *page) addTerminal(place, name string) {
	if name == "" {
		return
	}
	order := 0.0
	for _, t := range p.terminalsOf(place) {
		if harness.FoldName(t.Name) == harness.FoldName(name) {
			p.refuse = "There is a terminal " + t.Name + " already. Nothing was changed."
			return
		}
		order = max(order, t.Order)
	}
	p.took(p.S.Accept(circuit.Records{Terminals: []harness.Terminal{{Record: harness.Record{ID: p.S.FreshID()}, Place: place, Name: name, Order: order + 1}}}))
}
