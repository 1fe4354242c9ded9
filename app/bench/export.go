package bench

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
	"loomwright/app/sheet/paper"
	"loomwright/calc/cut"
)

// The type that PDF is set in: files of the app beside the program.
const (
	fontRegular = "web/fonts/sheet.ttf"
	fontBold    = "web/fonts/sheet-bold.ttf"
)

// loadFont reads the type. It waits for the files.
func loadFont(s *session.Session) (f sheet.Font, err error) {
	if f.Regular, err = s.Device.Shell.File(context.Background(), fontRegular); err == nil {
		f.Bold, err = s.Device.Shell.File(context.Background(), fontBold)
	}
	if err != nil {
		return sheet.Font{}, fmt.Errorf("%w: %w", sheet.ErrFont, err)
	}
	return f, nil
}

// breath is how long the browser gets to draw "making…" before the work begins, which nothing interrupts.
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
		Graph:    p.S.Graph(),
	}
}

// fileNames are what the files are called behind the name of the build.
var fileNames = map[string]string{"cut": "cut-list", "trim": "trim-list", "tags": "tags"}

// write makes a list or the tag sheets and hands the file over. Where the browser wants another tap by then, the finished
// file stays on the page with a button.
func (p *page) write(kind string, format sheet.Format, o sheet.Options, codes []string) {
	if p.making != "" {
		return
	}
	p.making, p.failed, p.file = kind, "", device.File{}
	b, at, started := p.S.B(), p.At, p.S.Now().Format(time.DateOnly)
	name := fmt.Sprintf("%s-%s-%s.%s", session.FileName(b.Settings.Title), fileNames[kind], started, format)
	ctx := p.ctx
	ctx.Async(func() {
		time.Sleep(breath)
		var err error
		if format == sheet.PDF {
			o.Font, err = loadFont(p.S)
		}
		var out bytes.Buffer
		switch {
		case err != nil:
		case format == sheet.PDF:
			err = paper.Write(&out, kind, b, o, nil)
		default:
			err = sheet.Write(&out, kind, format, b, o)
		}
		ctx.Dispatch(func(app.Context) {
			p.making = ""
			if p.At != at {
				return // the person went elsewhere
			}
			if err != nil {
				p.failed = explain(err)
				return
			}
			p.file, p.codes = device.File{Name: name, Type: mediaTypes[format], Data: out.Bytes()}, codes
			p.send()
		})
	})
}

var mediaTypes = map[sheet.Format]string{sheet.PDF: "application/pdf", sheet.CSV: "text/csv"}

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
	case p.making == kind:
		return app.P().Class("note").Aria("live", "polite").Text("Making the file…")
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

// prefPrinted is the preference with the codes that were printed, of one build.
func prefPrinted(build string) string { return "printed:" + build }

// printed remembers the codes of tags that left the phone on a sheet.
func (p *page) printed(codes []string) {
	if len(codes) == 0 {
		return
	}
	have := p.wasPrinted()
	for _, c := range codes {
		have[c] = true
	}
	var text bytes.Buffer
	for _, t := range p.S.B().Tags.All() {
		if have[t.Code] {
			text.WriteString(t.Code)
		}
	}
	p.S.Device.Prefs.Put(prefPrinted(p.S.ID()), text.String())
	p.sheet.stale = true
	p.replan()
}

// wasPrinted returns the codes that were printed from this phone.
func (p *page) wasPrinted() map[string]bool {
	text := p.S.Device.Prefs.Get(prefPrinted(p.S.ID()))
	have := map[string]bool{}
	for len(text) >= codeSigns {
		have[text[:codeSigns]], text = true, text[codeSigns:]
	}
	return have
}
