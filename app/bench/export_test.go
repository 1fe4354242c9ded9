package bench

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/sheet"
	"loomwright/app/sheet/paper"
	"loomwright/storage"
)

// press makes PDF as the program beside the page does. With wait it tells of a page and then makes nothing until it is
// cancelled.
type press struct {
	wait chan struct{} // closed when the page was told
	err  error
}

func (f press) PDF(ctx context.Context, o device.Order, told func(page, pages int)) ([]byte, error) {
	if f.wait != nil {
		told(3, 14)
		close(f.wait)
		<-ctx.Done()
		return nil, ctx.Err()
	}
	if f.err != nil {
		return nil, f.err
	}
	var order sheet.Order
	if err := json.Unmarshal([]byte(o.What), &order); err != nil {
		return nil, err
	}
	log, err := storage.OpenSnapshot(storage.Snapshot{Build: order.Build, Data: o.Build}, nil)
	if err != nil {
		return nil, err
	}
	regular, err := os.ReadFile("../../" + o.Regular)
	if err != nil {
		return nil, err
	}
	bold, err := os.ReadFile("../../" + o.Bold)
	if err != nil {
		return nil, err
	}
	order.Options.Font = sheet.Font{Regular: regular, Bold: bold}
	var pdf bytes.Buffer
	if err := paper.WriteAs(&pdf, order.Kind, cmp.Or(order.Format, sheet.PDF), log.State(), order.Options, told); err != nil {
		return nil, &device.PaperError{Code: sheet.Code(err), Text: err.Error()}
	}
	return pdf.Bytes(), nil
}

// While a PDF is made the page tells how far it is, and it can be given up.
func TestAPDFCanBeCancelled(t *testing.T) {
	b, p, out, loop := open(t, partTags, "")
	wait := make(chan struct{})
	p.S.Device.Paper = press{wait: wait}
	p.onPrint(p.ctx, app.Event{})
	<-wait
	p.onStop(p.ctx, app.Event{})
	loop.Consume() // waits for all work
	if p.job != nil || p.failed != "" || len(out.got) != 0 {
		t.Errorf("after it was cancelled: failed %q, %d files", p.failed, len(out.got))
	}
	for _, part := range []string{partTags, partCut} {
		at := kit.Addr{Build: b.ID(), Page: "make", Mode: part}
		html := b.HTML(&page{S: b.Session, At: at, shown: at, job: &job{kind: "cut", page: 3, pages: 14, cancel: func() {}}})
		has(t, html, ": page 3 of 14", "Cancel")
	}
	p.S.Device.Paper = press{}
	p.onPrint(p.ctx, app.Event{})
	loop.Consume()
	if len(out.got) != 1 {
		t.Errorf("%d files after the second try, failed %q", len(out.got), p.failed)
	}
}

func TestWhatIsWrongWithAPDFIsSaid(t *testing.T) {
	for want, err := range map[string]error{
		"The program for printing could not be loaded. Nothing was changed.": device.ErrNoPaper,
		"The type for printing could not be loaded. Nothing was changed.":    &device.PaperError{Code: "font", Text: "sheet: paper needs the font files"},
		"0.20 mm. Use larger labels":                                         &device.PaperError{Code: "small", Text: "sheet: 3 of 5 tags cannot be printed so: modules of 0.20 mm"},
		"Unreachable executed.":                                              &device.PaperError{Code: "stopped", Text: "unreachable executed"},
	} {
		_, p, out, loop := open(t, partTrim, "")
		p.S.Device.Paper = press{err: err}
		p.onWrite("trim", sheet.PDF, false)(p.ctx, app.Event{})
		loop.Consume()
		if !strings.Contains(p.failed, want) || len(out.got) != 0 {
			t.Errorf("%v: said %q, want %q", err, p.failed, want)
		}
	}
}
