// Package builds is the first page: the builds on this phone, where work stopped, a new build, a file, the demo; and
// the page of the phone itself: looks, safety of the data, installing.
package builds

import (
	"fmt"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/storage"
)

// Pages returns the pages of this package.
func Pages(s *session.Session) []kit.Page {
	return []kit.Page{
		{Name: "", Free: true, New: func(at kit.Addr, rev int) app.UI { return &list{S: s, At: at, Rev: rev} }},
		{Name: "new", Free: true, New: func(at kit.Addr, rev int) app.UI { return &newBuild{S: s, At: at, Rev: rev} }},
		{Name: "phone", Free: true, New: func(at kit.Addr, rev int) app.UI { return &phone{S: s, At: at, Rev: rev} }},
	}
}

// list is the first page.
type list struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	busy string // what is being done
	file *session.Incoming
}

func (l *list) onOpenFile(ctx app.Context, _ app.Event) {
	l.busy = "Reading the file…"
	l.S.ReadFile(ctx, func(ctx app.Context, in *session.Incoming, err error) {
		l.busy = ""
		if err != nil {
			l.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
			return
		}
		l.file = in
	})
}

func (l *list) onTake(ctx app.Context, _ app.Event) {
	in := l.file
	l.file = nil
	l.S.Take(ctx, in, l.arrived)
}

func (l *list) onTakeCopy(ctx app.Context, _ app.Event) {
	in := l.file
	l.file = nil
	l.S.TakeCopy(ctx, in, l.arrived)
}

func (l *list) onLeave(ctx app.Context, _ app.Event) { l.file = nil }

func (l *list) onDemo(ctx app.Context, _ app.Event) {
	l.busy = "Opening the demo…"
	l.S.Demo(ctx, l.arrived)
}

// arrived shows the build that was just taken in.
func (l *list) arrived(ctx app.Context, build string, err error) {
	l.busy = ""
	if err != nil {
		l.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
		return
	}
	kit.Go(ctx, kit.Addr{Build: build, Page: "plan"})
}

func (l *list) onBringBack(id string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		l.S.Remove(ctx, id, false, func(ctx app.Context, err error) {
			if err != nil {
				l.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
			}
		})
	}
}

// Render draws the page.
func (l *list) Render() app.UI {
	began, fault := l.S.Began()
	f := kit.Frame{S: l.S, Bare: true, Title: "Builds"}
	switch {
	case l.file != nil:
		f.Title = "A build file"
		f.Body, f.Foot = l.incoming()
		return f.UI()
	case fault != nil:
		f.Body = []app.UI{kit.Note("bad", "The builds could not be read.", kit.Explain(fault))}
	case !began:
		f.Body = []app.UI{app.P().Text("Looking what is on this phone…")}
		return f.UI()
	case len(l.S.Builds()) == 0:
		f.Body = l.first()
	default:
		f.Body = l.all()
	}
	if l.busy != "" {
		f.Body = append(f.Body, kit.Note("", l.busy, ""))
	}
	f.Body = append(f.Body, l.gone()...)
	f.Body = append(f.Body, l.safety()...)
	f.Foot = l.actions()
	return f.UI()
}

// first is what is said before there is a build.
func (l *list) first() []app.UI {
	return []app.UI{
		app.P().Class("lede").Text("From a flying-lead loom to a harness made for one car."),
		app.P().Text("Walk the route with a string, key in the runs, list the wires, read every cut length with its reasons, print the tags, and scan one years later."),
		kit.Note("warn", "Take care.", "Battery off before you touch a wire. Airbag wiring, fuel and high-voltage work belong to trained people; local codes come first."),
		kit.Plain("Look at the demo", l.onDemo),
	}
}

func (l *list) all() []app.UI {
	var out []app.UI
	for i, a := range l.S.Builds() {
		out = append(out, l.build(a, i == 0))
	}
	return out
}

// build is one build of the list; the first one tells where work stopped.
func (l *list) build(a storage.About, first bool) app.UI {
	where := kit.Where(l.S, a.Build)
	parts := []app.UI{app.B().Text(title(a))}
	if a.Car != "" {
		parts = append(parts, app.Div().Text(a.Car))
	}
	if sum, ok := l.S.Remembered(a.Build); ok {
		for _, line := range sum.Lines() {
			parts = append(parts, app.Div().Text(line))
		}
	}
	parts = append(parts, app.Div().Class("small").Text(fmt.Sprintf("%d entries, last touched %s", a.Edits, day(a.At))))
	open := kit.Plain("Open "+title(a), kit.To(where), where)
	if first {
		open = kit.Act("Carry on with "+title(a), kit.To(where), where)
	}
	return app.Article().Class("note").Body(append(parts, open)...)
}

func title(a storage.About) string {
	if a.Title == "" {
		return "a build without a name"
	}
	return a.Title
}

// day shows a phone's time as a day; what is not a time is shown as it is.
func day(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return "at an unknown time"
	}
	return t.Local().Format("2 January 2006, 15:04")
}

func (l *list) gone() []app.UI {
	gone := l.S.GoneBuilds()
	if len(gone) == 0 {
		return nil
	}
	out := []app.UI{kit.Section("Deleted", "kept until you erase the phone's data")}
	for _, a := range gone {
		out = append(out, app.Div().Class("line mid").Body(
			app.Span().Class("grow").Text(title(a)), kit.Plain("Bring back", l.onBringBack(a.Build), a.Build)))
	}
	return out
}

func (l *list) safety() []app.UI {
	offline := "Getting ready to work with no signal…"
	if l.S.Device.Shell.Offline() {
		offline = "Works with no signal. Nothing leaves this phone."
	}
	return []app.UI{kit.Lines(offline, BackupLine(l.S))}
}

// BackupLine says when the last backup was made.
func BackupLine(s *session.Session) string {
	at := s.Device.Prefs.Get("backup")
	if at == "" {
		return "No backup has been made on this phone yet."
	}
	return "Last backup: " + day(at) + "."
}

func (l *list) actions() []app.UI {
	buttons := kit.Even(
		kit.Plain("Open a file", l.onOpenFile),
		kit.Plain("Scan a tag", kit.To(kit.Addr{Page: "trace"}), kit.Addr{Page: "trace"}),
		kit.Plain("This phone", kit.To(kit.Addr{Page: "phone"}), kit.Addr{Page: "phone"}),
	)
	if len(l.S.Builds()) == 0 {
		return []app.UI{kit.Act("New build", kit.To(kit.Addr{Page: "new"}), kit.Addr{Page: "new"}), buttons}
	}
	return []app.UI{kit.Even(kit.Plain("New build", kit.To(kit.Addr{Page: "new"}), kit.Addr{Page: "new"}), kit.Plain("Demo", l.onDemo)), buttons}
}

// incoming asks what to do with a file that was read and found good.
func (l *list) incoming() (body, foot []app.UI) {
	in := l.file
	body = []app.UI{app.P().Class("lede").Text(in.Title), kit.Lines(in.Lines()...)}
	switch {
	case in.Cut:
		body = append(body, kit.Note("bad", "The end of this file is missing or damaged.",
			fmt.Sprintf("The first %d entries are good and can be opened as a copy. The file itself stays as it is.", in.Edits)))
		foot = []app.UI{kit.Act(fmt.Sprintf("Open the first %d entries as a copy", in.Edits), l.onTakeCopy)}
	case in.Here && in.New == 0:
		body = append(body, kit.Note("good", "Everything in it is on this phone already.", "Nothing to add."))
		foot = []app.UI{kit.Act("Open it", l.onTake)}
	case in.Here:
		body = append(body, kit.Note("", "This build is on this phone.", fmt.Sprintf("%d entries are new. They are merged: nothing is replaced, and what both sides changed is shown side by side.", in.New)))
		foot = []app.UI{kit.Act("Merge it in", l.onTake)}
	default:
		foot = []app.UI{kit.Act("Open it", l.onTake)}
	}
	return body, append(foot, kit.Even(kit.Plain("Open as a copy", l.onTakeCopy), kit.Plain("Leave it", l.onLeave)))
}
