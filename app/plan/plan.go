// Package plan is the page of a whole build: how far it is and what is next, its settings, allowances and looms, what
// two phones disagree on, its history, and its backup.
package plan

import (
	"fmt"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
)

// Page returns the page.
func Page(s *session.Session) kit.Page {
	return kit.Page{
		Name: "plan", Step: "Plan",
		Count: func(b *harness.Build) string { return fmt.Sprint(b.Looms.Len()) },
		New:   func(at kit.Addr, rev int) app.UI { return &plan{S: s, At: at, Rev: rev} },
	}
}

// The parts of the page, as in the address.
const (
	partSettings   = "settings"
	partAllowances = "allowances"
	partReadings   = "readings"
	partLooms      = "looms"
	partConflicts  = "conflicts"
	partHistory    = "history"
)

type plan struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	shown    kit.Addr    // what the state below belongs to
	text     string      // of the field that is being edited
	field    string      // its name
	entry    kit.Entry   // on the pad
	part     part        // of the settings for readings, that is on the pad
	file     device.File // a backup that waits for its tap
	failed   string
	more     int // pages of history
	looks    int // what is worth a look, in the build and state below
	lookedAt int
	lookedIn string
	judged   bool // long enough open to look for what is wrong with the log as a whole
}

// OnMount looks at the log as a whole only after the page is there: it takes as long as the page itself.
func (p *plan) OnMount(ctx app.Context) {
	ctx.After(judgeAfter, func(app.Context) { p.judged = true })
}

// judgeAfter is our choice: later than a person needs to see that the page is there.
const judgeAfter = 300 * time.Millisecond

func (p *plan) fresh() {
	if p.shown != p.At {
		p.shown, p.text, p.field, p.entry, p.file, p.failed, p.more = p.At, "", "", "", device.File{}, "", 1
	}
}

// do applies an edit and says why it could not.
func (p *plan) do(err error) {
	p.failed = ""
	if err != nil {
		p.failed = kit.Explain(err)
	}
}

// Render draws the part that the address names.
func (p *plan) Render() app.UI {
	p.fresh()
	back := p.At.On("plan")
	f := kit.Frame{S: p.S, Back: &back}
	switch p.At.Mode {
	case partSettings:
		f.Title, f.Body = "Settings", p.settings()
	case partAllowances:
		f.Title = "Allowances"
		f.Body, f.Whole = p.allowances()
	case partReadings:
		f.Title = "Readings"
		f.Body, f.Whole = p.readings()
	case partLooms:
		f.Title, f.Body = "Looms", p.looms()
	case partConflicts:
		f.Title, f.Body = "Choose a value", p.conflicts()
	case partHistory:
		f.Title, f.Body = "History", p.history()
	default:
		f.Title, f.Back = p.title(), &kit.Addr{}
		f.Body, f.Foot = p.overview()
	}
	if p.failed != "" {
		f.Body = append([]app.UI{kit.Note("bad", "That was not taken.", p.failed)}, f.Body...)
	}
	return f.UI()
}

func (p *plan) title() string {
	if t := p.S.B().Settings.Title; t != "" {
		return t
	}
	return "A build without a name"
}

func (p *plan) overview() (body, foot []app.UI) {
	b := p.S.B()
	if b.Settings.Car != "" {
		body = append(body, app.P().Text(b.Settings.Car))
	}
	if b.Settings.Of != "" {
		body = append(body, kit.Lines("A copy. Tags printed for the original still lead here, as the original's."))
	}
	sum := p.S.Summary()
	body = append(body, app.Div().Class("note").Body(lines(sum.Lines())...))
	if p.judged {
		body = append(body, p.judgement()...)
	}
	if p.S.BackupDue() >= backupAfter {
		body = append(body, kit.Note("warn", "Time for a backup.", fmt.Sprintf("%d entries since the last one.", p.S.BackupDue())))
	}
	body = append(body, p.open()...)
	body = append(body, kit.Section("The file", "it is yours"))
	body = append(body, p.saving()...)
	switch {
	case b.Runs.Len() == 0:
		foot = []app.UI{kit.Act("Draw the route", kit.To(p.At.On("walk")), p.At.On("walk"))}
	case sum.Measured < sum.Runs:
		foot = []app.UI{kit.Act("Carry on measuring", kit.To(p.At.On("walk")), p.At.On("walk"))}
	case b.Wires.Len() == 0:
		foot = []app.UI{kit.Act("List the wires", kit.To(p.At.On("wires")), p.At.On("wires"))}
	default:
		foot = []app.UI{kit.Act("To the bench", kit.To(p.At.On("make")), p.At.On("make"))}
	}
	return body, foot
}

// judgement says what is wrong with the log as a whole.
func (p *plan) judgement() (notes []app.UI) {
	for _, x := range p.S.Log().Problems() {
		if x.Rule == "gap" {
			return append(notes, kit.Note("warn", "Some edits of another phone are missing.", "Ask that phone for a backup and open it here; nothing is lost."))
		}
	}
	return notes
}

// phones leads to what two phones set apart. It is there from the beginning where more than one phone has edited, so that nothing moves
// under a finger when it is known.
func (p *plan) phones() app.UI {
	if len(p.S.Log().Counts()) < 2 {
		return nil
	}
	n, under := "…", "what two phones set apart"
	if p.judged {
		open := len(p.S.Log().Conflicts())
		n = fmt.Sprint(open)
		if under = "nothing differs"; open > 0 {
			under = differ(open) + " between two phones. The later one is shown until you choose."
		}
	}
	to := p.At.In(partConflicts)
	return kit.Row("", "Choose between phones", under, n, "", kit.To(to), to)
}

// backupAfter is how many entries may pass without a backup before it is asked for. Our choice: about a day's work.
const backupAfter = 200

func (p *plan) open() []app.UI {
	b := p.S.B()
	at := p.At
	return []app.UI{
		kit.Section("What goes where", ""),
		app.Div().Class("rows").Body(append(p.planning(), p.phones())...),
		kit.Section("This build", ""),
		app.Div().Class("rows").Body(
			kit.Row("", "Settings", "name, car, unit, volts", string(b.Settings.Unit), "", kit.To(at.In(partSettings)), at.In(partSettings)),
			kit.Row("", "Allowances", "what is added to a wire", allowWord(b.Settings.AllowBy), "", kit.To(at.In(partAllowances)), at.In(partAllowances)),
			kit.Row("", "Readings", "how far off they may be, and the margin", cut.SurenessOf(b.Settings).Word, "margin", kit.To(at.In(partReadings)), at.In(partReadings)),
			kit.Row("", "Looms", "main, power and ground, cabin", fmt.Sprint(b.Looms.Len()), "", kit.To(at.In(partLooms)), at.In(partLooms)),
			kit.Row("", "History", "who changed what, and from what", fmt.Sprint(p.S.Log().Len()), "entries", kit.To(at.In(partHistory)), at.In(partHistory)),
		),
	}
}

func allowWord(a harness.AllowBy) string {
	switch a {
	case harness.AllowFlat:
		return "flat"
	case harness.AllowPercent:
		return "per cent"
	}
	return "by terms"
}

func lines(texts []string) []app.UI {
	var out []app.UI
	for _, t := range texts {
		out = append(out, app.Div().Text(t))
	}
	return out
}

func differ(n int) string {
	if n == 1 {
		return "1 value differs"
	}
	return fmt.Sprintf("%d values differ", n)
}
