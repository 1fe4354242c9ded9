package e2e

import (
	"bytes"
	"cmp"
	"context"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"golang.org/x/image/draw"

	"loomwright/build/browser"
	"loomwright/build/e2e/y4m"
)

// person is a screen with somebody at it, who counts the taps, has a folder for downloads, and a camera that films
// what is put in front of it.
type person struct {
	screen
	taps      int
	downloads string
	camera    string
}

// newPerson starts a browser. The test fails if a page asks for anything that is not of the origin; that the worker does
// not either is TestNothingIsSentElsewhere's.
func newPerson(t *testing.T, origin string) *person {
	t.Helper()
	p := &person{downloads: t.TempDir(), camera: filepath.Join(t.TempDir(), "camera.y4m")}
	if err := y4m.WriteFile(p.camera, y4m.Blank()); err != nil {
		t.Fatal(err)
	}
	p.screen = newScreen(t, map[string]string{
		"use-fake-ui-for-media-stream":     "",
		"use-fake-device-for-media-stream": "",
		"use-file-for-fake-video-capture":  p.camera,
	})
	behave := cdpbrowser.SetDownloadBehaviorParams{
		Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: p.downloads, EventsEnabled: new(true),
	}
	_, err := chromedp.CallBrowser(p.ctx, cdpbrowser.SetDownloadBehavior, behave)
	p.must(err)
	_, err = chromedp.Call(p.ctx, network.Enable, network.EnableParams{})
	p.must(err)
	asked := chromedp.Events(p.ctx, network.RequestWillBeSent)
	go func() {
		for e, err := range asked {
			if err != nil {
				return // the browser is gone
			}
			if u := e.Request.URL; !strings.HasPrefix(u, origin) && !strings.HasPrefix(u, "blob:"+origin) && u != "about:blank" {
				t.Errorf("the page asked for %s, which is elsewhere", u)
			}
		}
	}()
	return p
}

func (p *person) tap(names ...string) {
	p.t.Helper()
	for _, name := range names {
		p.screen.tap(name)
		p.taps++
	}
}

// within checks that a piece of work took no more taps than it may.
func (p *person) within(most int, work string, do func()) {
	p.t.Helper()
	before := p.taps
	do()
	if n := p.taps - before; n > most {
		p.t.Errorf("%s took %d taps, want at most %d", work, n, most)
	}
}

// download taps a button and returns the file that it brings.
func (p *person) download(name string) (file string, data []byte) {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, browser.Patience)
	defer stop()
	begun := chromedp.BrowserEvents(ctx, cdpbrowser.DownloadWillBegin)
	progress := chromedp.BrowserEvents(ctx, cdpbrowser.DownloadProgress)
	p.tap(name)
	for e, err := range begun {
		if err != nil {
			shown, _ := browser.Read(p.ctx)
			p.t.Fatalf("no download: %v; the page shows: %s", err, shown)
		}
		file = e.SuggestedFilename
		break
	}
	for e, err := range progress {
		p.must(err)
		if e.State == cdpbrowser.DownloadProgressStateCompleted {
			break
		}
	}
	data, err := os.ReadFile(filepath.Join(p.downloads, file))
	p.must(err)
	p.must(os.Remove(filepath.Join(p.downloads, file)))
	return file, data
}

// upload taps a button that asks for a file, and chooses one with this content.
func (p *person) upload(name, file string, data []byte) {
	p.t.Helper()
	path := filepath.Join(p.t.TempDir(), file)
	p.must(os.WriteFile(path, data, 0o644))
	_, err := chromedp.Call(p.ctx, page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true})
	p.must(err)
	asked := chromedp.Events(p.ctx, page.FileChooserOpened)
	p.tap(name)
	for _, err := range asked {
		p.must(err)
		break
	}
	p.must(chromedp.Do(p.ctx, chromedp.SetUploadFiles(chromedp.CSS(`input[type=file]`), []string{path})))
}

// saved waits for the saved mark.
func (p *person) saved() {
	p.t.Helper()
	p.until(`document.querySelector(".mark").textContent === "✓ saved"`)
}

// whole is the fragment of the page that is shown.
func (p *person) fragment() string {
	p.t.Helper()
	_, fragment, _ := strings.Cut(p.address(), "#")
	return fragment
}

// TestTheMainJob does the middle of the job on a new car by tapping: walk the route, correct a number, list a wire, read
// its cut length, tick it as cut, print its tags. Then the server is stopped, every page is opened again, a printed tag
// is scanned, and the build is exported, wiped, imported and exported again.
func TestTheMainJob(t *testing.T) {
	for _, root := range []string{"/", "/a/b/"} {
		t.Run(root, func(t *testing.T) { mainJob(t, root, "") })
	}
	t.Run("moved", func(t *testing.T) { mainJob(t, "/moved/here/", "/a/b/") })
}

// mainJob does the job with the site at root. With from, the folder stood there first, was used there, and was moved.
func mainJob(t *testing.T, root, from string) {
	h := newHost(t, appSite(t), cmp.Or(from, root))
	p := newPerson(t, strings.TrimSuffix(h.url("/"), "/"))
	if from != "" {
		p.open(h.url(from))
		p.see("From a flying-lead loom")
		p.offlineReady()
		h.serve(root, appSite(t))
		h.serve(from, "")
	}
	p.open(h.url(root))
	p.see("From a flying-lead loom")

	p.tap("New build")
	p.typed("What it is called", "Blue roadster")
	p.tap("Make it and walk the route")
	p.see("Stand at: Controller")
	p.within(8, "a run to a new place", func() { p.tap("Split 1", "6", "1", "2", "Next") })
	p.see("Stand at: Split 1")
	p.tap("Device 1", "3", "0", "0", "Next")
	p.see("Stand at: Device 1")
	p.tap("Back to Split 1")
	p.see("Stand at: Split 1")
	p.tap("Device 2", "1", "8", "5", "Next")
	p.see("Stand at: Device 2")
	p.saved()
	build := eval[string](p.screen, `new URLSearchParams(location.hash.slice(1)).get("b")`)

	// A number that was wrong is corrected in place.
	p.tap("Correct")
	p.tap("Split 1 to Device 2")
	p.tap("1", "9", "5", "Next")
	p.see("195")

	// Two wires, the lengths of which are read with their reasons.
	p.open(h.url(root + "#b=" + build + "&p=wires"))
	p.tap("New wire")
	p.see("From?")
	p.tap("Controller")
	p.see("To?")
	p.tap("Device 1")
	p.see("W1 is made")
	p.see("How it adds up")
	p.see("612")
	p.see("Strip and crimp")
	p.see("Cut to 1 330")
	wire := p.fragment()

	// Taken back, and done again.
	p.saved()
	p.tap("Undo")
	p.gone("How it adds up")
	p.open(h.url(root + "#b=" + build + "&p=plan&m=history"))
	p.tap("Redo what was taken back")
	p.open(h.url(root + "#" + wire))
	p.see("Cut to 1 330")

	// Its length is ticked as cut; a longer route then says by how much it is short.
	p.open(h.url(root + "#b=" + build + "&p=make"))
	p.tap("W1 cut to")
	p.see("1 of 1")
	p.saved()

	sheet := p.printTags(h.url(root + "#b=" + build + "&p=make&m=tags"))
	p.offlineReady()
	h.stop()

	for _, at := range []struct{ fragment, see string }{
		{"", "Blue roadster"},
		{"#p=new", "What it is called"},
		{"#p=phone", "Safety of your builds"},
		{"#p=trace", "Scan with the camera"},
		{"#b=" + build + "&p=plan", "3 of 3 runs measured"},
		{"#b=" + build + "&p=route", "Device 2"},
		{"#b=" + build + "&p=walk", "Stand at"},
		{"#b=" + build + "&p=wires", "W1"},
		{"#" + wire, "Cut to 1 330"},
		{"#b=" + build + "&p=make", "1 of 1"},
	} {
		p.open(h.url(root + at.fragment))
		p.see(at.see)
		p.reload()
		p.see(at.see)
	}

	p.scan(h.url(root+"#p=trace"), sheet)
	p.see("You are here")
	p.see("W1")

	p.backup(h.url(root), build)
	h.start()
	p.open(h.url(root + "#p=phone"))
	p.see("Safety of your builds")
}

// printTags makes the missing tags, prints them as codes, and returns the sheet.
func (p *person) printTags(url string) []byte {
	p.t.Helper()
	p.open(url)
	p.see("Tags")
	p.tap("Make 1 tag")
	p.tap("How they are printed")
	p.tap("Code")
	p.tap("back")
	name, data := p.download("Make the label sheets")
	if !strings.HasSuffix(name, ".pdf") || !bytes.HasPrefix(data, []byte("%PDF")) {
		p.t.Fatalf("%s is no PDF", name)
	}
	return data
}

// scan puts a printed sheet in front of the camera, one square of it filling the picture, and scans it.
func (p *person) scan(url string, sheet []byte) {
	p.t.Helper()
	frame := firstSquare(p.t, sheet)
	p.must(y4m.WriteFile(p.camera, frame))
	p.open(url)
	p.tap("Scan with the camera")
}

// firstSquare rasterises a sheet of tags as a printer of 300 dpi does, and returns what a camera sees that is held over
// the first label with a code.
func firstSquare(t testing.TB, sheet []byte) *image.Gray {
	t.Helper()
	dir := t.TempDir()
	pdf := filepath.Join(dir, "sheet.pdf")
	if err := os.WriteFile(pdf, sheet, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", "-r", "300", "-png", "-f", "1", "-l", "1", "-singlefile", pdf, filepath.Join(dir, "sheet")).CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v: %s", err, out)
	}
	f, err := os.Open(filepath.Join(dir, "sheet.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	paper, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	// The square of the first flag on a sheet of 3 × 8, in dots of 300 per inch; it fills most of the camera's picture.
	square := image.Rect(85, 280, 235, 420)
	frame := y4m.Blank()
	draw.BiLinear.Scale(frame, image.Rect(95, 30, 545, 450), paper, square, draw.Src, nil)
	return frame
}

// backup exports the build, wipes the phone, imports the file and exports again: the bytes are the same.
func (p *person) backup(url, build string) {
	p.t.Helper()
	p.open(url + "#b=" + build + "&p=plan")
	name, data := p.download("Save a backup")
	p.open(url + "#p=phone")
	p.see("Used: ") // when these two lines have come, nothing moves any more
	p.see("Ready to work with no signal")
	p.tap("Erase all data on this phone", "Erase everything now")
	p.see("All builds were erased")
	p.open(url)
	p.see("Look at the demo")
	p.upload("Open a file", name, data)
	p.see("Blue roadster")
	p.tap("Open it")
	p.see("3 of 3 runs measured")
	_, again := p.download("Save a backup")
	if !bytes.Equal(data, again) {
		p.t.Errorf("the file of %d bytes came back as one of %d", len(data), len(again))
	}
}
