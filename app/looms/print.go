package looms

import (
	"context"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/app/sheet"
)

// printing is a list or drawing that is made in a program of its own.
type printing struct {
	kind   string // empty is none
	cancel context.CancelFunc
	file   device.File // finished, and not handed over yet
}

// prints are what can be printed of bundles.
var prints = [...]struct{ kind, word, file string }{
	{"bundles", "Bundles", "bundles"}, {"layup", "Lay order", "lay-order"}, {"sections", "Cross-sections", "cross-sections"},
}

// print offers the lists and drawings as PDF.
func (p *page) print() []app.UI {
	out := []app.UI{kit.Section("On paper", "PDF")}
	w := p.Work
	if w.printing.kind != "" {
		return append(out, kit.Note("", "Making the file…", "The page stays free meanwhile."), kit.Plain("Stop", p.onStop))
	}
	if len(w.printing.file.Data) > 0 {
		out = append(out, kit.Act("Hand over "+w.printing.file.Name, p.onSend, w.printing.file.Name))
	}
	var buttons []app.UI
	for _, x := range prints {
		buttons = append(buttons, kit.Plain(x.word, p.onPrint(x.kind, x.file), x.kind))
	}
	return append(out, kit.Chips(buttons...))
}

func (p *page) onStop(app.Context, app.Event) {
	p.Work.printing.cancel()
	p.Work.printing = printing{}
}

func (p *page) onSend(ctx app.Context, _ app.Event) { p.send(ctx) }

// onPrint makes a file, and hands it over once it is there.
func (p *page) onPrint(kind, name string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		day := p.S.Now().Format(time.DateOnly)
		order, err := p.S.PaperOrder(kind, sheet.PDF, sheet.Options{Date: day})
		if !p.took(err) {
			return
		}
		until, cancel := context.WithCancel(context.Background())
		p.Work.printing = printing{kind: kind, cancel: cancel}
		file := session.FileName(p.S.B().Settings.Title) + "-" + name + "-" + day + ".pdf"
		ctx.Async(func() {
			defer cancel()
			data, err := p.S.PDF(until, order, func(int, int) {})
			p.S.Later(ctx, func(ctx app.Context) {
				if until.Err() != nil && err != nil {
					return // it was stopped
				}
				p.Work.printing = printing{}
				if err != nil { // said on whatever page is open by then
					p.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
					return
				}
				p.Work.printing.file = device.File{Name: file, Type: "application/pdf", Data: data}
				p.send(ctx)
			})
		})
	}
}

// send hands the finished file over. Where the browser wants another tap, the file stays, with its button.
func (p *page) send(ctx app.Context) {
	f := p.Work.printing.file
	p.S.Send(ctx, f, func(_ app.Context, way device.Way, err error) {
		if !p.took(err) {
			return
		}
		p.Work.printing = printing{}
		word := "is in the download folder"
		if way == device.Shared {
			word = "was handed over"
		}
		p.S.Say(session.Notice{Tone: "good", Text: f.Name + " " + word + "."})
	})
}
