// Package wires is the page of the wires: the list with its search and bulk changes, the card of one wire with the length
// it needs and every reason for it, and the making of a new wire from two places.
package wires

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
)

const pageName = "wires"

// Page returns the page.
func Page(s *session.Session) kit.Page {
	return kit.Page{
		Name: pageName, Step: "Wires",
		Count: func(b *harness.Build) string { return fmt.Sprint(b.Wires.Len()) },
		New:   func(at kit.Addr, rev int) app.UI { return &page{S: s, At: at, Rev: rev} },
	}
}

// The parts of the page, as in the mode of the address. Those that change a wire are of the wire that the address names,
// or of all that are ticked where it names none. A dot and an id may follow.
const (
	partNew    = "new"    // two places for a new wire
	partMany   = "many"   // what can be done to all that are ticked
	partFrom   = "from"   // where it starts; then at which terminal of a place
	partTo     = "to"     // where it ends
	partSize   = "size"   //
	partColour = "colour" //
	partLooms  = "looms"  //
	partVia    = "via"    // what it must pass through
	partLead   = "lead"   // the supplied lead it is made of
	partWords  = "words"  // function, name, twist, note
	partSketch = "sketch" // its way, large
)

// page is the page of the wires.
type page struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	build  string // what the next ones belong to
	index  index  // see entries
	judge  judge
	filter filter
	opened bool            // the filters are unfolded
	shown  int             // rows that the list shows at most
	drawn  int             // rows that are drawn now, as far as there are so many
	found  int             // rows that the list shows
	growth int             // counts what makes the list grow, so that only the last one does
	ticks  map[string]bool // nil: not selecting
	width  int             // of the window; 0 until it is asked for

	turns [layers]int // how often each layer was shown; see layer

	at     kit.Addr // what the next ones belong to
	query  string   // in a list of places
	text   string   // typed into the one field of a part
	refuse string   // why the last entry was not taken
}

// follow keeps the state beside the address: each build has its list, each part its entries.
func (p *page) follow() {
	if p.build != p.S.ID() {
		p.build = p.S.ID()
		p.index, p.judge, p.opened, p.shown = index{}, judge{}, false, rowsDrawn
		p.drawn, p.turns = rowsFirst, [layers]int{}
		p.filter, p.ticks = loadFilter(p.S), loadTicks(p.S)
	}
	if p.at != p.At {
		p.at, p.query, p.text, p.refuse = p.At, "", "", ""
	}
}

// entries are all wires, ready to be searched.
func (p *page) entries() *index { return p.index.of(p.S.B()) }

// search returns the wires that the list shows.
func (p *page) search() []*entry { return p.entries().find(p.filter, p.judge.of(p.S).problem) }

// OnMount draws the rest of the list.
func (p *page) OnMount(ctx app.Context) {
	p.grow(ctx)
	p.foresee(ctx)
}

// OnNav draws the rest of the list when it is shown again. The page learns its address only after this.
func (p *page) OnNav(ctx app.Context) {
	ctx.PreventUpdate() // the shell gives the page its address, and so draws it
	ctx.Defer(func(ctx app.Context) {
		if p.At == p.list() {
			p.grow(ctx)
		}
		p.foresee(ctx)
	})
}

// OnResize draws again: a wide screen has the sketch beside the list.
func (p *page) OnResize(app.Context) { p.width, _ = app.Window().Size() }

// wide tells whether the sketch stands beside what is asked.
func (p *page) wide() bool {
	if p.width == 0 {
		p.width, _ = app.Window().Size()
	}
	return p.width >= 800
}

// part is the part of the page that the address names, and the id behind it.
func (p *page) part() (name, id string) {
	name, id, _ = strings.Cut(p.At.Mode, ".")
	return name, id
}

// wire is the wire that the address names.
func (p *page) wire() (harness.Wire, bool) { return p.S.B().Wires.Get(p.At.Record) }

// targets are the wires that a part changes: the one that the address names, or all that are ticked.
func (p *page) targets() []harness.Wire {
	if w, ok := p.wire(); ok {
		return []harness.Wire{w}
	}
	if p.At.Record != "" {
		return nil
	}
	var all []harness.Wire
	for _, w := range p.S.B().Wires.All() {
		if p.ticks[w.ID] {
			all = append(all, w)
		}
	}
	return all
}

// change edits the wires of this part in one step. Of several it says how many, with an undo.
func (p *page) change(what string, f func(w *harness.Wire)) {
	targets := p.targets()
	n, err := change(p.S, targets, f)
	if p.took(err) && len(targets) > 1 {
		p.S.Say(session.Notice{Text: count(n, "wire") + " changed: " + what + ".", Undo: n > 0})
	}
}

// took notes why an edit was not taken.
func (p *page) took(err error) bool {
	p.refuse = ""
	if err != nil {
		p.refuse = kit.Explain(err)
	}
	return err == nil
}

// list is the address of the list.
func (p *page) list() kit.Addr { return kit.Addr{Build: p.At.Build, Page: pageName} }

// card is the address of a wire.
func (p *page) card(id string) kit.Addr { return p.list().With(id) }

// parent is where back leads from a part: to the wire, or to what is ticked.
func (p *page) parent() kit.Addr {
	if p.At.Record != "" {
		return p.card(p.At.Record)
	}
	return p.list().In(partMany)
}

// Render draws the list, or the part that the address names over it.
func (p *page) Render() app.UI {
	p.follow()
	now := p.layer()
	if p.wide() { // all share the sketch beside them, which takes longest to draw
		p.turns = [layers]int{}
		return app.Div().Class("layers").Body(app.Div().Class("layer").Body(p.sheet(now)))
	}
	p.turns[now]++
	all := make([]app.UI, layers)
	for i := range all {
		var shown app.UI
		if p.turns[i] > 0 {
			shown = &layer{Page: p, Which: i, Turn: p.turns[i]}
		}
		all[i] = app.Div().Class("layer").Hidden(i != now).Body(shown)
	}
	return app.Div().Class("layers").Body(all...)
}

// The layers of the page, each over the one before. What was shown stays, because drawing it anew takes long.
const (
	theList = iota
	theCard
	thePart
	layers
)

// layer is the layer that the address shows.
func (p *page) layer() int {
	name, _ := p.part()
	switch {
	case name == "" && p.At.Record == "":
		return theList
	case name == "":
		return theCard
	}
	return thePart
}

// sheet draws a layer.
func (p *page) sheet(which int) app.UI {
	if which == theList {
		return p.show(p.wires())
	}
	return p.over(p.part())
}

// layer is a component of its own so that it is left alone while it is hidden. It is drawn when its turn changes.
type layer struct {
	app.Compo
	Page        *page
	Which, Turn int

	drawn app.UI
}

// Render draws the layer, or gives what it is already: the framework asks a hidden one too, after a tap that has hidden it.
func (l *layer) Render() app.UI {
	l.Page.follow()
	if l.drawn != nil && l.Which != l.Page.layer() {
		return l.drawn
	}
	sheet := l.Page.sheet(l.Which)
	if l.drawn == nil {
		l.drawn = sheet
	}
	return sheet
}

// over is the part that the address names.
func (p *page) over(name, id string) app.UI {
	if name == partNew && p.At.Record == "" {
		return p.show(p.newWire())
	}
	if len(p.targets()) == 0 {
		return p.show(p.nothing())
	}
	if at := p.At.Record; at != "" && p.S.B().Wires.Len() <= atOnce {
		p.S.Expect(func() { p.S.Looked().Wire(at) })
	}
	switch name {
	case partMany:
		return p.show(p.many())
	case partFrom:
		return p.show(p.end(harness.FromEnd, id))
	case partTo:
		return p.show(p.end(harness.ToEnd, id))
	case partSize:
		return p.show(p.size())
	case partColour:
		return p.show(p.colour())
	case partLooms:
		return p.show(p.looms())
	case partVia:
		return p.show(p.via())
	case partLead:
		return p.show(p.lead())
	case partWords:
		return p.show(p.words())
	case partSketch:
		return p.show(p.large())
	}
	return p.show(p.wireCard())
}

// sheet is what one part shows.
type sheet struct {
	title  string
	back   kit.Addr
	sketch *kit.Sketch // beside the body on a wide screen
	above  bool        // and above it on a phone
	class  string      // of the sketch: "short" if empty
	body   []app.UI
	pad    app.UI // under the body
	foot   []app.UI
}

func (p *page) show(s sheet) app.UI {
	if p.refuse != "" {
		s.body = append([]app.UI{kit.Note("bad", "That was not taken.", p.refuse)}, s.body...)
	}
	side := app.Div().Class("side").Body(
		app.Div().Class("scroll").Body(app.Div().Class("narrow stack").Body(s.body...)), s.pad)
	var whole app.UI = side
	if s.sketch != nil && (s.above || p.wide()) {
		s.sketch.S, s.sketch.Rev, s.sketch.Class = p.S, p.Rev, cmp.Or(s.class, "short")
		whole = app.Div().Class("two").Body(s.sketch, side)
	}
	return kit.Frame{S: p.S, Title: s.title, Back: &s.back, Whole: whole, Foot: s.foot}.UI()
}

// nothing is shown where the address names no living wire.
func (p *page) nothing() sheet {
	s := sheet{title: "No such wire", back: p.list()}
	w, ok := p.S.B().Wires.Any(p.At.Record)
	switch {
	case ok:
		s.title = w.Name + " was deleted"
		s.body = []app.UI{app.P().Text("Its tags still tell what it was."), kit.Plain("Bring it back", p.onBringBack(w.ID), w.ID)}
	case p.At.Record == "":
		s.title = "No wire is ticked"
		s.body = []app.UI{app.P().Text("Tick some wires in the list first.")}
	default:
		s.body = []app.UI{app.P().Text("This build has no such wire.")}
	}
	s.foot = []app.UI{kit.Act("All wires", kit.To(p.list()), p.list())}
	return s
}

// What outlasts the page is a preference of this phone, never an edit.

func loadFilter(s *session.Session) filter {
	var f filter
	if json.Unmarshal([]byte(s.Device.Prefs.Get("wires:list:"+s.ID())), &f) != nil {
		return filter{}
	}
	return f
}

func (f filter) save(s *session.Session) {
	text := ""
	if f != (filter{}) {
		raw, err := json.Marshal(f)
		if err != nil {
			return
		}
		text = string(raw)
	}
	s.Device.Prefs.Put("wires:list:"+s.ID(), text)
}

// selecting stands before the ids that are ticked, so that none ticked is not the same as not selecting.
const selecting = "ticked"

func loadTicks(s *session.Session) map[string]bool {
	ids := strings.Fields(s.Device.Prefs.Get("wires:ticks:" + s.ID()))
	if len(ids) == 0 || ids[0] != selecting {
		return nil
	}
	ticks := map[string]bool{}
	for _, id := range ids[1:] {
		if _, ok := s.B().Wires.Get(id); ok {
			ticks[id] = true
		}
	}
	return ticks
}

func saveTicks(s *session.Session, ticks map[string]bool) {
	text := ""
	if ticks != nil {
		ids := []string{selecting}
		for id := range ticks {
			ids = append(ids, id)
		}
		slices.Sort(ids[1:])
		text = strings.Join(ids, " ")
	}
	s.Device.Prefs.Put("wires:ticks:"+s.ID(), text)
}

// count is a number with its word: "1 wire", "12 wires".
func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
