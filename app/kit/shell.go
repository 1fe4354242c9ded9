package kit

import (
	"context"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// Page is one page of the app.
type Page struct {
	Name  string // in the address; empty is the first page
	Step  string // its word at the bottom of every page of a build; empty is none
	Free  bool   // needs no open build
	Alone bool   // leaves the steps of the job out: the page needs the room

	Figure func(key string) unit.Figure // explains the numbers that only this page shows; may be nil
	Count  func(b *harness.Build) string
	New    func(at Addr, rev int) app.UI
}

// Shell is the root of the app: it opens the build that the address names, draws the page, and under it the steps
// of the job.
type Shell struct {
	app.Compo
	S      *session.Session
	Pages  []Page
	Figure func(key string) unit.Figure // explains a number by its key; the zero value is one it does not know

	at      Addr
	moved   bool   // at is known
	under   bool   // the page under a card was there before it
	opening string // the build that is being opened
	failed  error  // why it could not be
	ready   bool
	news    int // counts what the session told
	stop    []func()

	scrolled scrolled
	opener   app.Value // what was tapped for a card
}

// OnInit takes over the session that was begun before the app was started: then the first page that is drawn is the one that
// was asked for.
func (s *Shell) OnInit() {
	if began, _ := s.S.Began(); began && app.IsClient {
		s.at, s.moved, s.ready = ParseAddr(app.Window().URL().Fragment), true, true
	}
}

// OnMount starts the session and listens to what happens outside the page.
func (s *Shell) OnMount(ctx app.Context) {
	again := func() {
		ctx.Dispatch(func(app.Context) {
			if s.at.Build == "" { // only the pages of the phone itself show any of this
				s.S.Changed()
			}
		})
	}
	s.stop = []func(){s.S.Watch(func() {
		ctx.Dispatch(func(ctx app.Context) {
			s.S.Rebase(ctx)
			s.pauseSoon(ctx)
		})
	})}
	d := s.S.Device
	s.stop = append(s.stop,
		d.Shell.OnUpdate(again), d.Shell.OnOffline(again), d.Shell.OnInstallable(again),
		d.View.OnHidden(func() { ctx.Dispatch(func(app.Context) { s.S.Rest() }) }),
		d.View.OnVisible(func() { s.S.Retry(); again() }),
		s.S.Store.Watch(func(e storage.Event) { ctx.Dispatch(func(ctx app.Context) { s.S.Follow(ctx, e) }) }),
	)
	if s.ready {
		s.warm(ctx)
		return
	}
	ctx.Async(func() {
		begun := s.S.Begin(context.Background())
		ctx.Dispatch(func(ctx app.Context) {
			begun()
			s.ready = true
			s.open(ctx)
		})
	})
}

// pause is how long nothing must happen until it counts as one. Our choice: longer than a person takes for a number.
const pause = 4 * time.Second

// settled is when a build that was opened is read to its end. Our choice: later than a person needs to see that the page is
// there, and sooner than a first tap.
const settled = 300 * time.Millisecond

// pauseSoon tells the session of a pause when nothing has been saved for a while.
func (s *Shell) pauseSoon(ctx app.Context) {
	s.news++
	n := s.news
	ctx.After(pause, func(app.Context) {
		if n == s.news {
			s.S.Pause()
		}
	})
}

// OnDismount stops listening.
func (s *Shell) OnDismount() {
	for _, stop := range s.stop {
		stop()
	}
}

// OnNav follows the address.
func (s *Shell) OnNav(ctx app.Context) {
	to := ParseAddr(ctx.Page().URL().Fragment)
	if s.scrolled == nil {
		s.scrolled = scrolled{}
	}
	s.S.Expect(nil)
	s.scrolled.move(ctx, s.at, to)
	s.turn(ctx, to)
	if s.moved && s.at.Explaining("") != to.Explaining("") {
		s.S.Turn()
	}
	s.at, s.moved = to, true
	s.open(ctx)
}

// open opens the build that the address names, if another one is open.
func (s *Shell) open(ctx app.Context) {
	want := s.at.Build
	if s.ready && want == "" {
		s.S.Rest()
	}
	if !s.ready || want == "" || want == s.opening {
		return
	}
	if want == s.S.ID() {
		s.remember()
		return
	}
	s.S.Rest()
	s.opening, s.failed = want, nil
	ctx.Async(func() {
		use, err := s.S.Load(context.Background(), want)
		ctx.Dispatch(func(ctx app.Context) {
			if s.opening != want {
				return // the person went elsewhere meanwhile
			}
			s.opening = ""
			if s.failed = err; err == nil {
				use()
				s.remember()
				s.warm(ctx)
			}
		})
	})
}

// warm reads what opening the build left for later, as soon as its page is there.
func (s *Shell) warm(ctx app.Context) {
	build := s.S.ID()
	if build == "" {
		return
	}
	ctx.After(settled, func(app.Context) { s.S.Warm(build) })
}

// remember keeps where the person is, for the next start.
func (s *Shell) remember() { s.S.Device.Prefs.Put("where:"+s.at.Build, s.at.String()) }

// Where is where a person last was in a build.
func Where(s *session.Session, build string) Addr {
	a := ParseAddr(s.Device.Prefs.Get("where:" + build))
	if a.Build != build {
		return Addr{Build: build, Page: "plan"}
	}
	return a
}

// Render draws the page under the notices and above the steps.
func (s *Shell) Render() app.UI {
	p, name := s.page()
	var page app.UI
	at := s.at
	at.Card = "" // the page under a card is left alone
	var card app.UI
	steps := false
	switch {
	case !s.moved: // drawn again at once
		page = app.Main().Class("page")
	case p.Free && !s.ready && s.at.Build == "":
		page = p.New(at, s.S.Rev())
	case !s.ready || s.opening != "":
		page = message("Opening…", "")
	case !p.Free && s.failed != nil:
		page = message("This build could not be opened", Explain(s.failed))
	case !p.Free && s.S.ID() != s.at.Build:
		page = message("Opening…", "")
	default:
		page, steps = p.New(at, s.S.Rev()), !p.Free && !p.Alone
		card = s.card()
	}
	class := "shell " + Skin(s.S)
	if !steps {
		class += " alone"
	}
	if s.S.Device.Prefs.Get("hand") == "left" {
		class += " left"
	}
	body := []app.UI{&Notices{S: s.S, Rev: s.S.Rev(), Newer: s.S.Device.Shell.UpdateWaiting()}, page}
	if steps {
		body = append(body, s.steps(name))
	}
	if card != nil {
		body = append(body, card)
	}
	return app.Div().Class(class).Body(body...)
}

// page is the page that the address names, or the first one.
func (s *Shell) page() (Page, string) {
	name := s.at.Page
	if s.at.Tag != "" {
		name = "trace"
	}
	for _, p := range s.Pages {
		if p.Name == name && (p.Free || s.at.Build != "") {
			return p, name
		}
	}
	return s.Pages[0], ""
}

func (s *Shell) steps(current string) app.UI {
	var buttons []app.UI
	for _, p := range s.Pages {
		if p.Step == "" {
			continue
		}
		b := app.Button().Type("button").OnClick(To(s.at.On(p.Name)), s.at.On(p.Name))
		if p.Name == current {
			b = b.Aria("current", "page")
		}
		buttons = append(buttons, b.Body(app.Span().Text(p.Step+" "), app.Small().Text(p.Count(s.S.B()))))
	}
	return app.Nav().Class("steps").Aria("label", "steps of the job").Body(buttons...)
}

func message(title, text string) app.UI {
	return app.Main().Class("page").Body(
		app.Header().Class("head").Body(app.H1().Text(title)),
		app.Div().Class("scroll").Body(
			app.P().Text(text),
			Plain("All builds", To(Addr{})),
		),
	)
}

// Skin is the class of the chosen skin: day, night or sun.
func Skin(s *session.Session) string {
	switch k := s.Device.Prefs.Get("skin"); k {
	case "night", "sun":
		return k
	}
	return "day"
}
