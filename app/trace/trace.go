// Package trace is the page that tells what a tag is on: by the camera, from a photo, by its eight signs, or by the link
// that a phone's own camera opened. It looks through every build on the phone, and explains what it does not find.
//
// What is scanned is a stranger's text. Only a code that passes tag.Parse is looked up; nothing scanned is ever opened,
// followed or run.
package trace

import (
	"context"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/storage"
)

const pageName = "trace"

// Pages returns the page twice: inside a build, where it is a step of the job, and without one, as a scanned link finds it.
func Pages(s *session.Session) []kit.Page {
	make := func(at kit.Addr, rev int) app.UI { return &page{S: s, At: at, Rev: rev} }
	return []kit.Page{
		{Name: pageName, Step: "Trace", Count: func(*harness.Build) string { return "–" }, New: make},
		{Name: pageName, Free: true, New: make},
		{Name: deadName, New: func(at kit.Addr, rev int) app.UI { return &deadPage{S: s, At: at, Rev: rev} }},
	}
}

// The parts of the page, as in the address. With a code in the address it shows what that code is on.
const (
	partMenu   = ""
	partCamera = "camera"
	partType   = "type"
	partSketch = "sketch" // of what the code is on

	partChanges = "changes" // in the car, since it was made
)

type page struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	ctx    app.Context // of the page itself: what is asked for from a button outlives the button
	shown  kit.Addr    // what the state below belongs to
	seen   tag.Scan    // what was read last, where it was no code
	failed string
	busy   string
	typed  string
	window int  // how many rows are drawn
	flash  bool // a code was read just now
	armed  bool // the camera was asked for by a tap, and has read nothing yet: going back to it must not read the same tag again

	code    string // whose answer is below
	looking bool
	answer  answer
	opened  string // the build that was opened for the answer

	recalled string // the tag for which the history was loaded
}

// OnInit answers at once where nothing has to be waited for: the first thing that is drawn is the answer.
func (p *page) OnInit() { p.resolve() }

// OnMount begins to look up the code in the address.
func (p *page) OnMount(ctx app.Context) {
	p.ctx = ctx
	p.resolve()
}

// OnUpdate follows the address.
func (p *page) OnUpdate(ctx app.Context) {
	p.ctx = ctx
	p.resolve()
}

// windowRows is how many rows of a list are drawn at first.
const windowRows = 60

const prefTyped = "trace:typed"

// fresh forgets what belongs to another part of the page.
func (p *page) fresh() {
	if p.shown == p.At {
		return
	}
	p.shown, p.failed, p.window = p.At, "", windowRows
	if p.At.Mode == partType {
		p.typed = p.S.Device.Prefs.Get(prefTyped)
	}
	if p.At.Mode != partMenu || p.text() != "" {
		p.seen = tag.Scan{}
	}
	p.armed = p.armed && p.At.Mode == partCamera
}

// home is the address of a part of the page, in the build or without one.
func (p *page) home(part string) kit.Addr {
	return kit.Addr{Build: p.At.Build, Page: pageName, Mode: part}
}

// of is the address at which a code is shown.
func (p *page) of(code string) kit.Addr {
	if p.At.Build == "" {
		return kit.Addr{Tag: code}
	}
	return p.home("").With(code)
}

// text is what the address asks to look up.
func (p *page) text() string {
	if p.At.Tag != "" {
		return p.At.Tag
	}
	return p.At.Record
}

// own is the address of this app, as tags have it.
func (p *page) own() tag.Address {
	a, err := tag.ParseAddress(p.S.Device.Shell.Root())
	if err != nil {
		return tag.Address{}
	}
	return a
}

// read takes what a camera or a photo read: the first code that is one is shown, else it is said what it is.
func (p *page) read(texts []string) {
	var best tag.Scan
	for _, text := range texts {
		s := tag.Parse(text, p.own())
		if s.Found() {
			p.found(s.Code)
			return
		}
		if best.Class == "" || best.Class == tag.Foreign && s.Class == tag.Damaged {
			best = s
		}
	}
	p.seen = best
}

// found shows what a code is on, and says with light, sound and touch that one was read.
func (p *page) found(code string) {
	p.S.Device.Signal.Click()
	p.S.Device.Signal.Vibrate(60)
	p.armed = false
	p.flash, p.seen, p.code = true, tag.Scan{}, "" // looked up again: a file may have been opened meanwhile
	p.ctx.After(flashFor, func(app.Context) { p.flash = false })
	kit.Go(p.ctx, p.of(code))
}

// resolve looks up the code in the address, once.
func (p *page) resolve() {
	p.recall()
	s := tag.Parse(p.text(), p.own())
	began, _ := p.S.Began()
	if !began || !s.Found() || p.code == s.Code {
		return
	}
	code, ctx := s.Code, p.ctx
	builds := append(p.S.Builds(), p.S.GoneBuilds()...)
	var shown open
	if b := p.S.B(); b != nil {
		shown.build = p.S.ID()
		shown.hit.tag, shown.hit.copied, shown.ok = find(b, code)
	}
	alone := len(builds) == 1 && builds[0].Build == shown.build // nothing to wait for
	if ctx == nil && !alone {
		return
	}
	p.code, p.answer, p.opened, p.looking = code, answer{}, "", true
	if alone {
		p.answered(look(context.Background(), p.S.Store, "", builds, code, shown))
		if ctx != nil {
			ctx.Dispatch(func(app.Context) {})
		}
		return
	}
	ctx.Async(func() {
		_ = p.S.Settle() // what cannot be saved now is still in the build that is shown
		a := look(context.Background(), p.S.Store, p.S.Device.Shell.Program(), builds, code, shown)
		ctx.Dispatch(func(app.Context) {
			if p.code == code {
				p.answered(a)
			}
		})
	})
}

// answered takes what the builds know, and opens the only one that knows the code.
func (p *page) answered(a answer) {
	log := a.log
	a.log = nil
	p.answer, p.looking = a, false
	if h, ok := a.only(); ok && p.At.Build == "" {
		p.open(h.about.Build, log)
	}
}

// open opens a build for its answer, without leaving the page; log is it where it was just read.
func (p *page) open(build string, log *storage.Log) {
	if p.S.ID() == build {
		p.opened = build
		return
	}
	code, ctx := p.code, p.ctx
	p.S.Rest()
	ctx.Async(func() {
		use, err := p.S.LoadRead(context.Background(), build, log)
		ctx.Dispatch(func(app.Context) {
			if p.code != code {
				return
			}
			if err != nil {
				p.failed = kit.Explain(err)
				return
			}
			use()
			p.opened = build
			p.recall()
		})
	})
}

// here returns the tag of the code in the build that is shown.
func (p *page) here() (t harness.Tag, copied, ok bool) {
	if p.S.B() == nil || p.At.Build != "" && p.S.ID() != p.At.Build || p.At.Build == "" && p.S.ID() != p.opened {
		return harness.Tag{}, false, false
	}
	s := tag.Parse(p.text(), p.own())
	if !s.Found() {
		return harness.Tag{}, false, false
	}
	return find(p.S.B(), s.Code)
}

// recall loads the earlier edits of the build if they are needed to tell when something was deleted.
func (p *page) recall() {
	t, _, ok := p.here()
	if !ok || p.ctx == nil || !p.S.Log().NeedsHistory() || p.recalled == t.ID {
		return
	}
	if l, known := tag.Describe(p.S.B(), t); known && !l.Deleted && !t.Gone {
		return
	}
	p.recalled = t.ID
	p.S.History(p.ctx, func(app.Context) {})
}

// Render draws the part that the address names.
func (p *page) Render() app.UI {
	p.fresh()
	back := p.home(partMenu)
	f := kit.Frame{S: p.S, Back: &back}
	switch {
	case p.text() != "":
		if t, copied, ok := p.here(); ok {
			p.result(&f, t, copied)
		} else {
			p.outcome(&f)
		}
	case p.At.Mode == partCamera:
		f.Title = "Scan a tag"
		f.Body, f.Foot = p.camera()
	case p.At.Mode == partType:
		f.Title = "Type the eight signs"
		f.Whole = p.typing()
	case p.At.Mode == partChanges && p.S.B() != nil:
		f.Title = "Changed in the car"
		f.Body = p.changes()
	default:
		out := kit.Addr{}
		if p.At.Build != "" {
			out = p.At.On("plan")
		}
		f.Title, f.Back = "Trace", &out
		f.Body, f.Foot = p.menu()
	}
	return app.Div().Class("page").Body(f.UI(), p.flashing())
}

func (p *page) flashing() app.UI {
	if !p.flash {
		return nil
	}
	return app.Div().Class("flash over").Aria("hidden", true)
}
