package bench

import (
	"bytes"
	"context"
	"fmt"
	"sync"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/app/sheet"
	"loomwright/calc/cut"
)

// breath is how long the browser gets to draw that work begins, which nothing interrupts.
//
// Source: our choice, two frames of a slow phone.
const breath = 40 * time.Millisecond

// options is what every list is written with.
func (p *page) options() sheet.Options {
	return sheet.Options{
		Date:     p.S.Now().Format(time.DateOnly),
		Letter:   p.loadPrint().Letter,
		ByBranch: p.grouping(prefCutBy, cut.BySize, cut.ByBranch) == cut.ByBranch,
		BOM:      true,
		Board:    p.boardOptions(),
		Graph:    p.S.Graph(),
	}
}

// heavy reports whether all formats of a kind are made beside the page.
func heavy(kind string) bool {
	for _, k := range sheet.Kinds() {
		if k.Name == kind {
			return k.Heavy
		}
	}
	return false
}

// fileNames are what the files are called behind the name of the build.
var fileNames = sync.OnceValue(func() map[string]string {
	return map[string]string{"cut": "cut-list", "trim": "trim-list", "stock": "cutting-plan", "shopping": "shopping-list", "record": "record", "board": "board", "benchlist": "bench-list", "schematic": "schematic", "strips": "panel-strips", "tags": "tags"}
})

// job is a file that is being made.
type job struct {
	kind        string
	page, pages int // that is being drawn; 0 before the first
	cancel      context.CancelFunc
}

// words say how far it is.
func (j *job) words(what string) string {
	if j.page == 0 {
		return "Making the " + what + "…"
	}
	return fmt.Sprintf("Making the %s: page %d of %d", what, j.page, j.pages)
}

// write makes a list or the tag sheets and hands the file over. Where the browser wants another tap by then, the finished
// file stays on the page with a button.
func (p *page) write(kind string, format sheet.Format, o sheet.Options, codes []string) {
	if p.job != nil {
		return
	}
	p.failed, p.file = "", device.File{}
	b, name := p.S.B(), fmt.Sprintf("%s-%s-%s.%s", session.FileName(p.S.B().Settings.Title), fileNames()[kind], p.S.Now().Format(time.DateOnly), format)
	var order device.Order
	if format == sheet.PDF || format == sheet.ZIP || heavy(kind) {
		var err error
		if order, err = p.S.PaperOrder(kind, format, o); !p.do(err) {
			return
		}
	}
	until, cancel := context.WithCancel(context.Background())
	j := &job{kind: kind, cancel: cancel}
	p.job = j
	ctx := p.ctx
	ctx.Async(func() {
		defer cancel()
		var data []byte
		var err error
		if order.What != "" {
			data, err = p.S.PDF(until, order, func(page, pages int) {
				ctx.Dispatch(func(app.Context) { j.page, j.pages = page, pages })
			})
		} else {
			time.Sleep(breath)
			var out bytes.Buffer
			err = sheet.Write(&out, kind, format, b, o)
			data = out.Bytes()
		}
		ctx.Dispatch(func(app.Context) {
			if p.job != j {
				return // it was cancelled
			}
			p.job = nil
			if err != nil {
				p.failed = explain(err)
				return
			}
			p.file, p.codes = device.File{Name: name, Type: mediaTypes()[format], Data: data}, codes
			p.send()
		})
	})
}

// stop ends what is being made.
func (p *page) stop() {
	if p.job != nil {
		p.job.cancel()
		p.job = nil
	}
}

func (p *page) onStop(app.Context, app.Event) { p.stop() }

var mediaTypes = sync.OnceValue(func() map[sheet.Format]string {
	return map[sheet.Format]string{sheet.PDF: "application/pdf", sheet.CSV: "text/csv", sheet.HTML: "text/html", sheet.SVG: "image/svg+xml", sheet.ZIP: "application/zip"}
})

// send hands the finished file over, straight after a tap.
func (p *page) send() {
	f, codes := p.file, p.codes
	p.S.Send(p.ctx, f, func(_ app.Context, way device.Way, err error) {
		if err != nil {
			p.failed = kit.Explain(err) // the file stays, with its button
			return
		}
		p.file, p.codes, p.failed = device.File{}, nil, ""
		p.printed(codes)
		word := "is in the download folder"
		if way == device.Shared {
			word = "was handed over"
		}
		p.S.Say(session.Notice{Tone: "good", Text: f.Name + " " + word + "."})
	})
}

func (p *page) onSend(ctx app.Context, _ app.Event) { p.send() }

// finished is the button of a file that waits for its tap, or what is being made.
func (p *page) finished(kind string) app.UI {
	switch {
	case p.job != nil && p.job.kind == kind:
		return app.Div().Class("note").Body(
			app.P().Aria("live", "polite").Text(p.job.words("file")),
			kit.Plain("Cancel", p.onStop))
	case p.file.Name != "":
		return kit.Plain("Hand over "+p.file.Name, p.onSend, p.file.Name)
	}
	return nil
}

func (p *page) onWrite(kind string, format sheet.Format, semicolon bool) app.EventHandler {
	return func(app.Context, app.Event) {
		o := p.options()
		o.Semicolon = semicolon
		p.write(kind, format, o, nil)
	}
}

// export offers a list as a file.
func (p *page) export(kind string) []app.UI {
	return []app.UI{
		kit.Section("Take the list along", ""),
		kit.Chips(
			kit.Plain("PDF", p.onWrite(kind, sheet.PDF, false), kind),
			kit.Plain("CSV with ,", p.onWrite(kind, sheet.CSV, false), kind, ","),
			kit.Plain("CSV with ;", p.onWrite(kind, sheet.CSV, true), kind, ";"),
		),
		p.finished(kind),
		kit.Lines("A spreadsheet that writes 0,5 for one half wants the CSV with ;"),
	}
}
