// Package pins is the page of the controller's pins: the list with what becomes of each lead, the card of one lead, ways to
// get a list in, the connector from both sides, and the lists to pull and to check pins by.
package pins

import (
	"cmp"
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/storage"
)

const pageName = "pins"

// Page returns the page.
func Page(s *session.Session) kit.Page {
	return kit.Page{Name: pageName, New: func(at kit.Addr, rev int) app.UI { return &page{S: s, At: at, Rev: rev} }}
}

// The parts of the page, as in the mode of the address. Those of a lead need one in the address. A dot and more may follow.
const (
	partIn      = "in"      // ways to get a list in
	partPaste   = "paste"   // the text of a list
	partPreview = "preview" // what the list was taken for
	partColumn  = "column"  // what one column means
	partRow     = "row"     // a row that is to be mended
	partTaps    = "taps"    // a grid for those without a list
	partView    = "view"    // a connector
	partShape   = "shape"   // its rows and columns
	partRemove  = "remove"  // the pins to pull
	partSeat    = "seat"    // the check that the others sit
	partRest    = "rest"    // leads with nothing to do
	partOut     = "out"     // files

	partWhy    = "why" // the reason of a decision; the decision may follow
	partSignal = "signal"
	partSize   = "size"
	partColour = "colour"
	partLength = "length"
	partWords  = "words"
	partShared = "shared" // a second core in the cavity
	partParked = "parked" // where a kept lead ends
)

type page struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	build string // what the next ones belong to
	rev   int    // of the build, when the next ones were made
	net   *circuit.Net
	all   []circuit.Pin
	count circuit.Counts

	list   filter
	shown  int // rows that the list shows at most
	drawn  int // rows that are drawn now
	found  int // rows that the list shows
	growth int // counts what makes the list grow, so that only the last one does

	at     kit.Addr // what the next ones belong to
	text   string   // typed into the one field of a part
	refuse string   // why the last entry was not taken
	more   bool     // the rarer decisions are unfolded

	source source
	taps   taps
	file   device.File // waits for its tap
}

// follow keeps the state beside the address.
func (p *page) follow() {
	if p.build != p.S.ID() {
		p.build, p.net = p.S.ID(), nil
		p.list, p.shown, p.drawn = loadFilter(p.S), rowsDrawn, rowsFirst
		p.source, p.taps = loadSource(p.S), loadTaps(p.S)
	}
	if p.at != p.At {
		p.at, p.text, p.refuse, p.more, p.file = p.At, "", "", false, device.File{}
	}
	if p.net == nil || p.rev != p.S.Log().Len() {
		b := p.S.B()
		p.rev, p.net, p.count = p.S.Log().Len(), circuit.NewNet(b), circuit.Count(b)
		p.all = p.net.Pins()
	}
}

// OnMount draws the rest of the list.
func (p *page) OnMount(ctx app.Context) { p.grow(ctx) }

// OnNav draws the rest of the list of the next part.
func (p *page) OnNav(ctx app.Context) { ctx.Defer(func(ctx app.Context) { p.grow(ctx) }) }

func (p *page) home() kit.Addr          { return kit.Addr{Build: p.At.Build, Page: pageName} }
func (p *page) card(id string) kit.Addr { return p.home().With(id) }

// lead is the lead that the address names, with its cavity.
func (p *page) lead() (circuit.Pin, bool) {
	for _, x := range p.all {
		if x.Lead.ID == p.At.Record {
			return x, true
		}
	}
	return circuit.Pin{}, false
}

// took notes why an edit was not taken.
func (p *page) took(err error) bool {
	p.refuse = ""
	if err != nil {
		p.refuse = kit.Explain(err)
	}
	p.follow()
	return err == nil
}

// change edits the lead that the address names, as it is now.
func (p *page) change(f func(l *harness.Lead)) bool { return p.changeLead(p.At.Record, f) }

func (p *page) changeLead(id string, f func(l *harness.Lead)) bool {
	old, ok := p.S.B().Leads.Get(id)
	if !ok {
		return false
	}
	now := old
	f(&now)
	err := p.S.Do(storage.Put(harness.KindLead, id, old, now))
	if err == nil {
		p.patch(old, now)
	}
	return p.took(err)
}

// patch takes over what became of one lead without looking through the whole build again, where nothing else can differ:
// the lead stays in its cavity, alone, and only what was decided and done changed. Deciding goes from tap to tap, and what
// is left for the collector of each is what a slow phone waits for.
func (p *page) patch(old, now harness.Lead) {
	same := old
	same.Decision, same.DecisionWhy, same.Acted, same.Seated, same.Parked = now.Decision, now.DecisionWhy, now.Acted, now.Seated, now.Parked
	if p.net == nil || p.S.Log().Len() != p.rev+1 || same != now || old.There() != now.There() {
		return
	}
	for i := range p.all {
		x := &p.all[i]
		if x.Lead.ID != now.ID {
			continue
		}
		if len(x.Shared) > 0 {
			return
		}
		x.Lead, x.Done = now, now.Done()
		p.rev, p.count = p.rev+1, circuit.Count(p.S.B())
	}
}

// changeTerminal edits the cavity of a lead.
func (p *page) changeTerminal(id string, f func(t *harness.Terminal)) bool {
	old, ok := p.S.B().Terminals.Get(id)
	if !ok {
		return false
	}
	now := old
	f(&now)
	return p.took(p.S.Do(storage.Put(harness.KindTerminal, id, old, now)))
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
	name, rest, _ := strings.Cut(p.At.Mode, ".")
	var s screen
	switch {
	case p.At.Record != "":
		s = p.ofLead(name, rest)
	case name == partIn:
		s = p.waysIn()
	case name == partPaste:
		s = p.paste()
	case name == partPreview:
		s = p.preview()
	case name == partColumn:
		s = p.column(rest)
	case name == partRow:
		s = p.mendRow(rest)
	case name == partTaps:
		s = p.grid()
	case name == partView:
		s = p.connector(rest)
	case name == partShape:
		s = p.shape(rest)
	case name == partRemove:
		s = p.removal()
	case name == partSeat:
		s = p.seating()
	case name == partRest:
		s = p.rest()
	case name == partOut:
		s = p.out()
	case len(p.all) == 0:
		s = p.waysIn()
	default:
		s = p.pins()
	}
	return kit.Frame{S: p.S, Title: s.title, Back: &s.back, Body: s.body, Pad: s.pad, No: p.refuse, Foot: s.foot, Beside: p.lit()}.UI()
}

// ofLead is a part of the lead that the address names.
func (p *page) ofLead(name, rest string) screen {
	x, ok := p.lead()
	if !ok {
		return p.noLead()
	}
	switch name {
	case partWhy:
		return p.why(x, harness.Decision(strings.ReplaceAll(rest, "_", " ")))
	case partSignal:
		return p.signal(x)
	case partSize:
		return p.size(x)
	case partColour:
		return p.colour(x)
	case partLength:
		return p.length(x)
	case partWords:
		return p.words(x)
	case partShared:
		return p.shared(x)
	case partParked:
		return p.park(x)
	}
	return p.leadCard(x)
}

// noLead is shown where the address names no living lead.
func (p *page) noLead() screen {
	s := screen{title: "No such lead", back: p.home(), body: []app.UI{app.P().Text("This build has no such lead.")}}
	if l, had := p.S.B().Leads.Any(p.At.Record); had {
		s.title = cmp.Or(l.Legend, "This lead") + " was deleted"
		s.body = []app.UI{kit.Plain("Bring it back", p.onBringBack(l.ID), l.ID)}
	}
	s.foot = []app.UI{kit.Act("All pins", kit.To(p.home()), p.home())}
	return s
}

func (p *page) onBringBack(id string) app.EventHandler {
	return func(app.Context, app.Event) { p.took(p.S.Do(storage.Undelete(harness.KindLead, id))) }
}

// number is a number with its word: "1 pin", "12 pins".
func number(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// cavityWord is a cavity as it is called, or what stands for it.
func cavityWord(x circuit.Pin) string { return cmp.Or(x.Cavity, "no cavity") }

// decisionWord and sign are how a decision is read; each has a sign of its own, so that none is told by colour alone.
func decisionWord(d harness.Decision) string {
	switch d {
	case harness.Undecided:
		return "undecided"
	case harness.Keep:
		return "keep for later"
	case harness.Empty:
		return "empty, plugged"
	}
	return string(d)
}

func sign(d harness.Decision) string {
	switch d {
	case harness.Use:
		return "●"
	case harness.Keep:
		return "◐"
	case harness.Remove:
		return "✕"
	case harness.Empty:
		return "○"
	case harness.NeverFitted:
		return "–"
	}
	return "?"
}

// tone is the word that the style sheet knows a decision by.
func tone(d harness.Decision) string {
	switch d {
	case harness.Undecided:
		return "open"
	case harness.NeverFitted:
		return "empty"
	}
	return string(d)
}
