// Package circuits has the pages of what the leads go to: the devices, panels and car wires with their terminals, the
// circuits that join them, the wires that the plan asks for, and what is not planned yet.
package circuits

import (
	"cmp"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

const (
	circuitsPage = "circuits"
	devicesPage  = "devices"
)

// Pages returns the pages.
func Pages(s *session.Session) []kit.Page {
	make := func(at kit.Addr, rev int) app.UI { return &page{S: s, At: at, Rev: rev} }
	return []kit.Page{{Name: devicesPage, New: make}, {Name: circuitsPage, New: make}}
}

// The parts of the pages, as in the mode of the address. A dot and an id may follow.
const (
	partPropose = "propose" // what the plan asks for
	partLook    = "look"    // what is worth a look
	partFinding = "finding" // one finding; its rule follows, the record is its subject
	partNew     = "new"     // a new device, of a kind
	partKind    = "kind"    // the kind of a device
	partJoin    = "join"    // what a terminal is joined to
	partPart    = "part"    // a part of a panel
	partFeed    = "feed"    // what feeds a circuit, or a part
	partTap     = "tap"     // a wire of the car
	partEnds    = "ends"    // of a circuit: one more
	partChoose  = "choose"  // one thing of a circuit
	partCopper  = "copper"  // how much wire the joint of a circuit takes
	partTry     = "try"     // another position of a controller or panel
)

type page struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	build    string // what the next ones belong to
	rev      int    // of the build, when the next ones were made
	net      *circuit.Net
	asked    asked
	compared compared
	trial    trial
	finds    []harness.Finding
	found    bool // finds are of this state

	at     kit.Addr // what the next ones belong to
	query  string
	refuse string
	shown  int    // rows that a list shows at most
	spot   [2]int // the position of a panel that was tapped
	rule   string // the findings that are all shown
	why    string // why a finding may be, as it is typed
}

// rowsDrawn is how many rows a list shows before it asks whether to show more.
const rowsDrawn = 120

func (p *page) follow() {
	if p.build != p.S.ID() || p.rev != p.S.Log().Len() || p.net == nil {
		p.build, p.rev = p.S.ID(), p.S.Log().Len()
		p.net, p.asked, p.compared, p.finds, p.found = circuit.NewNet(p.S.B()), asked{}, compared{}, nil, false
	}
	if p.at != p.At {
		p.at, p.query, p.refuse, p.shown, p.spot, p.rule, p.why = p.At, "", "", rowsDrawn, [2]int{}, "", ""
	}
}

func (p *page) devices() kit.Addr  { return p.At.On(devicesPage) }
func (p *page) circuits() kit.Addr { return p.At.On(circuitsPage) }

// took notes why an edit was not taken.
func (p *page) took(err error) bool {
	p.refuse = ""
	if err != nil {
		p.refuse = kit.Explain(err)
	}
	p.follow()
	return err == nil
}

// change edits one record, as it is now.
func change[T any](p *page, kind harness.Kind, all *harness.Table[T], id string, f func(*T)) bool {
	old, ok := all.Get(id)
	if !ok {
		return false
	}
	now := old
	f(&now)
	return p.took(p.S.Do(storage.Put(kind, id, old, now)))
}

func (p *page) changePlace(id string, f func(*harness.Place)) bool {
	return change(p, harness.KindPlace, &p.S.B().Places, id, f)
}

func (p *page) changeTerminal(id string, f func(*harness.Terminal)) bool {
	return change(p, harness.KindTerminal, &p.S.B().Terminals, id, f)
}

func (p *page) changePart(id string, f func(*harness.Part)) bool {
	return change(p, harness.KindPart, &p.S.B().Parts, id, f)
}

func (p *page) changeCircuit(id string, f func(*harness.Circuit)) bool {
	return change(p, harness.KindCircuit, &p.S.B().Circuits, id, f)
}

// screen is what one part shows.
type screen struct {
	title string
	back  kit.Addr
	body  []app.UI
	pad   app.UI // under the body
	foot  []app.UI
}

// Render draws the part that the address names.
func (p *page) Render() app.UI {
	p.follow()
	name, id, _ := strings.Cut(p.At.Mode, ".")
	var s screen
	switch {
	case name == partPropose:
		s = p.propose()
	case name == partLook:
		s = p.look()
	case name == partFinding:
		s = p.findingCard(id)
	case name == partJoin:
		s = p.join(id)
	case name == partPart:
		s = p.part(id)
	case name == partTap:
		s = p.tap(id)
	case name == partFeed:
		s = p.feed(id)
	case p.At.Page == circuitsPage && p.At.Record != "" && name == partEnds:
		s = p.moreEnds()
	case p.At.Page == circuitsPage && p.At.Record != "" && name == partChoose:
		s = p.choose(id)
	case p.At.Page == circuitsPage && p.At.Record != "" && name == partCopper:
		s = p.copperCard()
	case p.At.Page == circuitsPage && p.At.Record != "":
		s = p.card()
	case p.At.Page == circuitsPage:
		s = p.list()
	case name == partNew:
		s = p.newDevice()
	case p.At.Record != "" && name == partTry:
		s = p.try()
	case p.At.Record != "" && name == partKind:
		s = p.kind()
	case p.At.Record != "":
		s = p.place()
	default:
		s = p.placeList()
	}
	return kit.Frame{S: p.S, Title: s.title, Back: &s.back, Body: s.body, Pad: s.pad, No: p.refuse, Foot: s.foot, Beside: p.lit()}.UI()
}

func (p *page) onMore(app.Context, app.Event) { p.shown += rowsDrawn }

// rows draws the first of a list.
func (p *page) rows(all []app.UI) app.UI {
	if len(all) <= p.shown {
		return app.Div().Class("rows").Body(all...)
	}
	rest := min(rowsDrawn, len(all)-p.shown)
	return app.Div().Body(app.Div().Class("rows").Body(all[:p.shown]...), kit.Plain("Show the next "+strconv.Itoa(rest), p.onMore))
}

func (p *page) onQuery(ctx app.Context, _ app.Event) { p.query, p.shown = kit.Value(ctx), rowsDrawn }

// holds reports whether a text has every word of what is searched.
func (p *page) holds(text string) bool {
	text = strings.ToLower(text)
	for _, w := range strings.Fields(strings.ToLower(p.query)) {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

func number(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}

// field is a line of text that becomes an edit when it is left; what is half typed outlasts the page.
func (p *page) field(id, field, label, value, hint string, enter func(text string)) app.UI {
	key, mark := "circuits:typed:"+p.S.ID(), id+"\x1f"+field+"\x1f"
	if text, is := strings.CutPrefix(p.S.Device.Prefs.Get(key), mark); is {
		value = text
	}
	input := func(ctx app.Context, _ app.Event) { p.S.Device.Prefs.Put(key, mark+kit.Value(ctx)) }
	done := func(ctx app.Context, _ app.Event) {
		text := strings.Join(strings.Fields(kit.Value(ctx)), " ")
		p.S.Device.Prefs.Put(key, "")
		enter(text)
	}
	return kit.FieldDone(label, value, hint, input, done, id, field)
}

// amps is a field of a number of amperes; empty is not known.
func (p *page) amps(id, field, label string, value *float64, hint string, enter func(v *float64)) app.UI {
	text := ""
	if value != nil {
		text = strconv.FormatFloat(*value, 'f', -1, 64)
	}
	return p.field(id, field, label, text, hint, func(text string) {
		if text == "" {
			enter(nil)
			return
		}
		v, ok := unit.ParseAmount(strings.TrimRight(text, " aA"), 0, 2000)
		if !ok {
			p.refuse = "“" + text + "” is no number of amperes. Nothing was changed."
			return
		}
		enter(&v)
	})
}

// ampsWord is a load in words.
func ampsWord(r circuit.Range, open int) string {
	f := func(v float64) string { return strconv.FormatFloat(v, 'g', 3, 64) }
	s := ""
	switch {
	case r.Known() && r.Low == r.High:
		s = f(r.Low) + " A"
	case r.Known():
		s = f(r.Low) + "–" + f(r.High) + " A"
	}
	if open > 0 {
		s = strings.TrimPrefix(s+" + "+strconv.Itoa(open)+" unknown", " + ")
	}
	return s
}

// joinedTo says what a terminal is joined to, or is empty.
func (p *page) joinedTo(t harness.Terminal) string {
	c, ok := p.S.B().Circuits.Get(t.Circuit)
	if !ok {
		if len(p.net.Wires(t.ID)) > 0 {
			return p.net.Wires(t.ID)[0].Name
		}
		return ""
	}
	var others []string
	for _, e := range p.net.Ends(c.ID) {
		if e.ID != t.ID && len(others) < 3 {
			others = append(others, p.net.Name(e))
		}
	}
	return strings.TrimSuffix(cmp.Or(c.Name, "a circuit")+": "+strings.Join(others, ", "), ": ")
}

// terminalsOf returns the terminals of a place, in their order.
func (p *page) terminalsOf(place string) (all []harness.Terminal) {
	for _, t := range p.S.B().Terminals.All() {
		if t.Place == place {
			all = append(all, t)
		}
	}
	return all
}
