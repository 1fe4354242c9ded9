package plan

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
)

func (p *plan) onBackup(ctx app.Context, _ app.Event)     { p.make(ctx, true) }
func (p *plan) onAsItStands(ctx app.Context, _ app.Event) { p.make(ctx, false) }

// make makes the file and hands it over. Where making it took so long that the browser wants another tap, the button
// stays with the finished file.
func (p *plan) make(ctx app.Context, history bool) {
	p.S.Backup(ctx, history, func(ctx app.Context, f device.File, err error) {
		if err != nil {
			p.failed = kit.Explain(err)
			return
		}
		p.send(ctx, f)
	})
}

func (p *plan) onSend(ctx app.Context, _ app.Event) { p.send(ctx, p.file) }

func (p *plan) send(ctx app.Context, f device.File) {
	p.S.Send(ctx, f, func(ctx app.Context, way device.Way, err error) {
		if err != nil {
			p.file, p.failed = f, kit.Explain(err)
			return
		}
		p.file, p.failed = device.File{}, ""
		word := "is in the download folder"
		if way == device.Shared {
			word = "was handed over"
		}
		p.S.Say(session.Notice{Tone: "good", Text: fmt.Sprintf("%s %s.", f.Name, word)})
	})
}

func (p *plan) onDuplicate(ctx app.Context, _ app.Event) {
	p.S.History(ctx, func(ctx app.Context) {
		p.S.Duplicate(ctx, func(ctx app.Context, build string, err error) {
			if p.do(err); err == nil {
				p.S.Say(session.Notice{Text: "This is the copy. Its tags have new codes."})
				kit.Go(ctx, kit.Addr{Build: build, Page: "plan"})
			}
		})
	})
}

func (p *plan) onDelete(ctx app.Context, _ app.Event) {
	name := p.title()
	p.S.Remove(ctx, p.S.ID(), true, func(ctx app.Context, err error) {
		if p.do(err); err == nil {
			p.S.Say(session.Notice{Text: name + " was deleted. It can be brought back below."})
			kit.Go(ctx, kit.Addr{})
		}
	})
}

func (p *plan) saving() []app.UI {
	body := []app.UI{kit.Lines("A backup is one file with the whole history. Opening it on another phone merges both sides' work.")}
	if p.file.Name != "" {
		body = append(body, kit.Plain("Hand over "+p.file.Name, p.onSend, p.file.Name))
	}
	return append(body,
		kit.Chips(
			kit.Plain("Save a backup", p.onBackup),
			kit.Plain("Share without history", p.onAsItStands),
			kit.Plain("Duplicate", p.onDuplicate),
			kit.Danger("Delete this build", p.onDelete),
		))
}
