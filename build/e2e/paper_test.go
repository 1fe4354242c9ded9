package e2e

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

// watchWorkers counts the workers of the page that were started and ended.
const watchWorkers = `(() => {
	const Real = Worker;
	window.workers = { started: 0, ended: 0 };
	window.Worker = class extends Real {
		constructor(...args) { super(...args); workers.started++; }
		terminate() { workers.ended++; super.terminate(); }
	};
	window.realWorker = window.Worker;
	return true;
})()`

// deafWorker is a worker that never answers.
const deafWorker = `window.Worker = class extends realWorker { postMessage() {} }, true`

// With the server gone the label sheets and a list are made as PDF in the browser: the same bytes that the command line
// makes of the same file. What takes long can be given up.
func TestPDFIsMadeOffline(t *testing.T) {
	h := newHost(t, appSite(t), "/a/")
	p := newScreen(t, nil)
	p.open(h.url("/a/"))
	p.tap("Look at the demo")
	p.see("This build")
	p.offlineReady()
	h.stop()
	p.reload() // the program starts again, from the device
	p.see("This build")
	eval[bool](p, watchWorkers)
	build := eval[string](p, `new URLSearchParams(location.hash.slice(1)).get("b")`)
	show := func(part string) { eval[string](p, `location.hash = %s`, "b="+build+"&p=make&m="+part) }

	show("tags")
	p.see("345 labels")
	begun := time.Now()
	name, pdf := downloaded(p, "Make the label sheets")
	t.Logf("345 tags: %d bytes in %d ms from the tap to the file", len(pdf), time.Since(begun).Milliseconds())
	date := strings.TrimSuffix(name, ".pdf")
	date = date[len(date)-len(time.DateOnly):]
	same(t, name, pdf, "tags", "-date", date, "-address", h.url("/a/"), "-payload", "link")

	show("trim")
	name, pdf = downloaded(p, "PDF")
	same(t, name, pdf, "trim", "-date", date)
	if n := eval[[]int](p, `[workers.started, workers.ended]`); n[0] != 2 || n[1] != 2 {
		t.Errorf("%d workers started, %d ended, want 2", n[0], n[1])
	}

	eval[bool](p, deafWorker)
	show("tags")
	p.tap("Make the label sheets")
	p.until(`workers.started === 3`)
	p.see("Making the sheets")
	p.tap("Cancel")
	p.see("Make the label sheets")
	p.gone("Making the sheets")
	if n := eval[[]int](p, `[workers.started, workers.ended]`); n[0] != 3 || n[1] != 3 {
		t.Errorf("%d workers started, %d ended after one was cancelled, want 3", n[0], n[1])
	}
	eval[bool](p, `window.Worker = realWorker, true`)
	if name, pdf := downloaded(p, "Make the label sheets"); !strings.HasPrefix(string(pdf), "%PDF-") {
		t.Errorf("after one was cancelled: %s begins with %.10q", name, pdf)
	}
}

// same compares a file of the browser with what the command makes of the demo build.
func same(t *testing.T, name string, got []byte, kind string, flags ...string) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "native.pdf")
	args := append([]string{"run", "./build", "sheet", "testdata/builds/roadster.build", kind, "-o", out}, flags...)
	cmd := exec.CommandContext(t.Context(), "go", args...)
	cmd.Dir = moduleDir
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	want, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != string(want) {
		t.Errorf("%s has %d bytes and begins with %.10q, the command makes other %d", name, len(got), got, len(want))
	}
}

// downloaded taps a button and returns the file that it brings.
func downloaded(p screen, button string) (name string, data []byte) {
	p.t.Helper()
	dir := p.t.TempDir()
	behave := cdpbrowser.SetDownloadBehaviorParams{Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: dir, EventsEnabled: new(true)}
	_, err := chromedp.CallBrowser(p.ctx, cdpbrowser.SetDownloadBehavior, behave)
	p.must(err)
	ctx, stop := context.WithTimeout(p.ctx, browser.Patience)
	defer stop()
	begun := chromedp.BrowserEvents(ctx, cdpbrowser.DownloadWillBegin)
	progress := chromedp.BrowserEvents(ctx, cdpbrowser.DownloadProgress)
	p.tap(button)
	for e, err := range begun {
		if err != nil {
			shown, _ := browser.Read(p.ctx)
			p.t.Fatalf("no download: %v; the page shows: %s", err, shown)
		}
		name = e.SuggestedFilename
		break
	}
	for e, err := range progress {
		p.must(err)
		if e.State == cdpbrowser.DownloadProgressStateCompleted {
			break
		}
	}
	data, err = os.ReadFile(filepath.Join(dir, name))
	p.must(err)
	return name, data
}
