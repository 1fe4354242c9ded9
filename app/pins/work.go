package pins

import (
	"bytes"
	"context"
	"fmt"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/app/sheet"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// ticks is a list of pins to be worked down, the next one first in the foot.
func (p *page) ticks(title string, all []circuit.Pin, empty string, on func(id string) app.EventHandler) screen {
	s := screen{title: title, back: p.home()}
	if len(all) == 0 {
		s.body = []app.UI{app.P().Text(empty)}
		return s
	}
	done := 0
	var next *circuit.Pin
	var rows []app.UI
	p.found = min(len(all), p.shown)
	for i := range all {
		x := &all[i]
		if x.Done {
			done++
		} else if next == nil {
			next = x
		}
		if i < min(p.found, p.drawn) {
			mark := ""
			if x.Done {
				mark = "✓"
			}
			rows = append(rows, &tickRow{Mark: mark, Name: cavityWord(*x) + " " + x.Lead.Does(), Under: x.Do, ID: x.Lead.ID, On: on, List: title})
		}
	}
	s.body = []app.UI{app.P().Class("lede").Text(fmt.Sprintf("%d of %d", done, len(all))), app.Div().Class("rows").Body(rows...), p.moreOf(len(all))}
	if next == nil {
		s.foot = []app.UI{kit.Note("good", "All done.", "")}
	} else {
		s.foot = []app.UI{kit.Lines(next.Do), kit.Act("Done: "+cavityWord(*next)+" "+next.Lead.Does(), on(next.Lead.ID), next.Lead.ID, title)}
	}
	return s
}

// tickRow is one line of such a list.
type tickRow struct {
	app.Compo
	Mark, Name, Under, ID, List string
	On                          func(id string) app.EventHandler
}

func (r *tickRow) onTap(ctx app.Context, e app.Event) { r.On(r.ID)(ctx, e) }

// Render draws it.
func (r *tickRow) Render() app.UI {
	return app.Button().Type("button").Class("row ticked").Aria("pressed", r.Mark != "").OnClick(r.onTap).Body(
		app.Span().Class("tick").Aria("hidden", true).Text(r.Mark),
		app.Span().Body(app.B().Text(r.Name), app.Small().Text(r.Under)),
		app.Span(),
	)
}

func (p *page) removal() screen {
	return p.ticks("Pins to pull", p.net.Removal(), "No lead is to be removed.", p.onDone)
}

func (p *page) seating() screen {
	return p.ticks("Seating check", p.net.Seating(), "No lead is in a cavity yet.", p.onSeated)
}

func (p *page) onSeated(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		p.changeLead(id, func(l *harness.Lead) {
			if l.Seated != "" {
				l.Seated = ""
			} else {
				l.Seated = p.S.Time()
			}
		})
	}
}

// files are the lists that can be taken along.
var files = []struct{ kind, name string }{{"pins", "Pins"}, {"removal", "Pins to pull and seating"}, {"circuits", "Circuits"}, {"panel", "Panels"}}

// out offers the lists as files.
func (p *page) out() screen {
	s := screen{title: "Take the lists along", back: p.home()}
	for _, f := range files {
		s.body = append(s.body, kit.Section(f.name, ""), kit.Chips(
			kit.Plain(f.name+" as PDF", p.onWrite(f.kind, sheet.PDF, false), f.kind),
			kit.Plain(f.name+" as CSV with ,", p.onWrite(f.kind, sheet.CSV, false), f.kind, ","),
			kit.Plain(f.name+" as CSV with ;", p.onWrite(f.kind, sheet.CSV, true), f.kind, ";"),
		))
	}
	if p.file.Name != "" {
		s.foot = []app.UI{kit.Act("Hand over "+p.file.Name, p.onSend, p.file.Name)}
	}
	s.body = append(s.body, kit.Lines("A spreadsheet that writes 0,5 for one half wants the CSV with ;"))
	return s
}

// breath is how long the browser gets to draw that work begins. Our choice: two frames of a slow phone.
const breath = 40 * time.Millisecond

func (p *page) onWrite(kind string, format sheet.Format, semicolon bool) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		s := p.S
		o := sheet.Options{Date: s.Now().Format(time.DateOnly), Semicolon: semicolon, BOM: true, Graph: s.Graph()}
		name := fmt.Sprintf("%s-%s-%s.%s", session.FileName(s.B().Settings.Title), kind, s.Now().Format(time.DateOnly), format)
		var order device.Order
		if format == sheet.PDF {
			var err error
			if order, err = s.PaperOrder(kind, format, o); !p.took(err) {
				return
			}
		}
		b := s.B()
		ctx.Async(func() {
			var data []byte
			var err error
			mediaType := "text/csv"
			if format == sheet.PDF {
				mediaType = "application/pdf"
				data, err = s.PDF(context.Background(), order, func(int, int) {})
			} else {
				time.Sleep(breath)
				var out bytes.Buffer
				err = sheet.Write(&out, kind, format, b, o)
				data = out.Bytes()
			}
			s.Later(ctx, func(ctx app.Context) {
				if p.took(err) {
					p.file = device.File{Name: name, Type: mediaType, Data: data}
					p.send(ctx)
				}
			})
		})
	}
}

func (p *page) onSend(ctx app.Context, _ app.Event) { p.send(ctx) }

// send hands the finished file over; where the browser wants another tap it waits with a button.
func (p *page) send(ctx app.Context) {
	f := p.file
	p.S.Send(ctx, f, func(_ app.Context, way device.Way, err error) {
		if err != nil {
			p.refuse = kit.Explain(err)
			return
		}
		p.file, p.refuse = device.File{}, ""
		word := "is in the download folder"
		if way == device.Shared {
			word = "was handed over"
		}
		p.S.Say(session.Notice{Tone: "good", Text: f.Name + " " + word + "."})
	})
}
