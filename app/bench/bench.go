// Package bench is the page of making: the steps in their order, what to buy and to cut from what, the board and the record; the list
// of supplied leads that are trimmed in the car, the list of added wires
// that are cut on the bench, and the tags with the sheets they are printed on.
package bench

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Page returns the page.
func Page(s *session.Session) kit.Page {
	return kit.Page{
		Name: pageName, Step: "Make",
		Count:  func(b *harness.Build) string { return fmt.Sprint(doneIn(b)) },
		Figure: func(key string) unit.Figure { return supplyFigure(s, key) },
		New:    func(at kit.Addr, rev int) app.UI { return &page{S: s, At: at, Rev: rev} },
	}
}

const pageName = "make"

// doneIn counts the wires that are cut or trimmed.
func doneIn(b *harness.Build) int {
	n := 0
	for _, w := range b.Wires.All() {
		if w.Cut != nil || w.Trimmed != nil {
			n++
		}
	}
	return n
}

// The parts of the page, as in the address. With a wire in the address, the cut and the trim list ask for its length.
const (
	partCut   = ""
	partTrim  = "trim"
	partTags  = "tags"
	partPrint = "print"  // how tags are printed; the record is a measure that is being keyed in
	partPick  = "pick"   // which tags are printed
	partSteps = "steps"  // the work in its order; a dot and the number of a phase may follow, the record is the tick of a step
	partStock = "stock"  // from what wires are cut; a dot and the number of a group may follow, the record is wire on hand
	partShop  = "shop"   // what to buy
	partBoard = "board"  // laid flat, at full size
	partWhole = "record" // the whole harness in one file
)

type page struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	ctx    app.Context // of the page itself: what is asked for from a button outlives the button
	shown  kit.Addr    // what the state below belongs to
	entry  kit.Entry   // on the pad
	failed string
	window int // how many rows are drawn

	cut    list
	trim   list
	course workList
	voice  kit.Voice
	shop   shopList
	board  layout

	weak     string // what a sample held that was too little
	typedWhy string // why a crank, cam or knock lead is spliced

	file  device.File // finished, and waiting for its tap
	codes []string    // of the tags in it
	job   *job        // what is being made

	sheet  labels
	typed  *string // the address of the app while it is being typed
	search string  // among the tags to pick
}

// OnMount keeps the context of the page.
func (p *page) OnMount(ctx app.Context) {
	p.ctx = ctx
	p.replan()
	p.awake()
}

// OnUpdate follows the build and the address.
func (p *page) OnUpdate(ctx app.Context) {
	p.ctx = ctx
	p.replan()
	p.awake()
}

// awake keeps the screen on while steps are followed, and reads them aloud.
func (p *page) awake() {
	if strings.HasPrefix(p.At.Mode, partSteps) {
		p.S.Device.Wake.Keep()
	} else {
		p.S.Device.Wake.Release()
	}
	p.speak()
	p.lay()
}

// OnDismount ends what nobody waits for any more.
func (p *page) OnDismount() {
	p.stop()
	p.voice.Says(p.S, "", "")
	p.S.Device.Wake.Release()
}

// fresh forgets what belongs to another part of the page.
func (p *page) fresh() {
	if p.shown == p.At {
		return
	}
	if p.shown.Build != p.At.Build {
		p.cut, p.trim, p.sheet = list{}, list{}, labels{}
	}
	p.shown, p.entry, p.failed, p.window, p.search, p.typed, p.typedWhy, p.weak = p.At, "", "", windowRows, "", nil, "", ""
	p.file, p.codes = device.File{}, nil
	p.stop()
	if at, entry, ok := strings.Cut(p.S.Device.Prefs.Get(prefEntry), "\n"); ok && at == p.At.String() {
		p.entry = kit.Entry(entry)
	}
}

// prefEntry is the number that is being keyed in, and where: it is there again after a reload.
const prefEntry = "make:entry"

// press is a key of the pad that does not end the entry.
func (p *page) press(key string) {
	p.entry, p.failed = p.entry.Press(key), ""
	p.keep()
}

func (p *page) keep() {
	text := ""
	if p.entry != "" {
		text = p.At.String() + "\n" + string(p.entry)
	}
	p.S.Device.Prefs.Put(prefEntry, text)
}

// keyed ends the entry.
func (p *page) keyed() {
	p.entry = ""
	p.keep()
}

// do shows why an edit could not be made.
func (p *page) do(err error) bool {
	p.failed = ""
	if err != nil {
		p.failed = kit.Explain(err)
	}
	return err == nil
}

// redraw draws the whole page again after one of its rows was tapped.
func (p *page) redraw() {
	if p.ctx != nil {
		p.ctx.Dispatch(func(app.Context) {})
	}
}

// Render draws the part that the address names.
func (p *page) Render() app.UI {
	p.fresh()
	b := p.S.B()
	plan, back := p.At.On("plan"), p.At.On(pageName)
	f := kit.Frame{S: p.S, Title: "Make", Back: &plan}
	mode, _, sub := strings.Cut(p.At.Mode, ".")
	switch mode {
	case partSteps:
		f.No = p.failed
		if s, ok := p.step(); ok {
			p.oneStep(&f, s)
			return f.UI()
		}
		if sub {
			back = back.In(partSteps)
			f.Back = &back
			f.Title, f.Body, f.Foot = p.phase()
			return f.UI()
		}
		f.Title = "Step by step"
		f.Body, f.Foot = p.allSteps()
		if p.At.Record != "" {
			f.Body = append([]app.UI{kit.Note("", "That step is not part of the work any more.", "The plan changed.")}, f.Body...)
		}
		return f.UI()
	case partStock:
		back = back.In(partStock)
		f.No = p.failed
		p.stock(&f, back)
		return f.UI()
	case partShop:
		f.No = p.failed
		p.shopping(&f)
		return f.UI()
	case partBoard:
		f.Title, f.Body = "Board", p.boardPart()
	case partWhole:
		f.Title, f.Body = "The record", p.record()
	case partTags:
		f.Title = "Tags"
		f.Body, f.Foot = p.tags()
	case partPrint:
		back = back.In(partTags)
		if p.At.Record != "" {
			back = back.In(partPrint)
		}
		f.Title, f.Back = "How tags are printed", &back
		f.Body, f.Whole = p.printing()
	case partPick:
		back = back.In(partTags)
		f.Title, f.Back = "Which tags", &back
		f.Body, f.Foot = p.picking()
	case partTrim:
		f.Title = "Trim in the car"
		if w, ok := b.Wires.Get(p.At.Record); ok {
			back = back.In(partTrim)
			f.Title, f.Back, f.Whole = w.Name+" was trimmed to", &back, p.other(&p.trim, w)
			break
		}
		f.Body, f.Foot = p.trimList()
	default:
		f.Title = "Cut on the bench"
		if w, ok := b.Wires.Get(p.At.Record); ok {
			f.Title, f.Back, f.Whole = w.Name+" was cut to", &back, p.other(&p.cut, w)
			break
		}
		f.Body, f.Foot = p.cutList()
	}
	if p.failed != "" && f.Whole == nil {
		f.Body = append([]app.UI{kit.Note("bad", "That was not done.", p.failed)}, f.Body...)
	}
	return f.UI()
}

// parts leads from one part of the page to another.
func (p *page) parts(cut, trim, tags string) app.UI {
	at := p.At.On(pageName)
	choice := func(label, under, part string) app.UI {
		to := at.In(part)
		return kit.Choice(label, under, p.At.Mode == part, kit.To(to), to)
	}
	return app.Div().Class("stack").Body(
		kit.Even(choice("Steps", "in order", partSteps), choice("Stock", "from what", partStock), choice("Shopping", "what to buy", partShop)),
		kit.Even(choice("Cut", cut, partCut), choice("Trim", trim, partTrim), choice("Tags", tags, partTags)),
		kit.Even(choice("Board", "laid flat, full size", partBoard), choice("Record", "all in one file", partWhole)))
}
