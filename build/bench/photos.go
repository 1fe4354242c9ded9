package bench

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

// manyPhotos is how many photos are taken, and photoWidth × photoHeight their size: 12 million pixels.
const manyPhotos, photoWidth, photoHeight = 60, 4000, 3000

// look is how often the memory is looked at. Our choice: a photo takes ten times as long.
const look = 20 * time.Millisecond

// photoMemory takes photos into the demo, kills the browser, makes a backup, erases everything, restores the backup and
// makes it again, which must give the same bytes. It returns the most memory, in MB, that the page's process held; what
// the rest of the browser held is printed.
func photoMemory(ctx context.Context, l *Lab) (float64, error) {
	app, err := l.app(ctx, 5_000)
	if err != nil {
		return 0, err
	}
	codes, err := tagsOfDemo(5_000)
	if err != nil {
		return 0, err
	}
	p := &photographer{lab: l}
	if p.profile, err = os.MkdirTemp(l.dir, "profile-"); err != nil {
		return 0, fmt.Errorf("bench: %w", err)
	}
	if err := p.start(ctx); err != nil {
		return 0, err
	}
	build, err := openDemo(p.tab, app)
	if err != nil {
		return 0, err
	}
	for _, work := range []struct {
		name string
		do   func() error
	}{
		{"the demo open", func() error { return nil }},
		{"photos taken", func() error { return p.take(app + "#" + codes[0]) }},
		{"killed and opened again", func() error { return p.kill(ctx, app+"#"+codes[0]) }},
		{"backup, erase, restore, backup", func() error { return p.restore(app, build, app+"#"+codes[0]) }},
	} {
		if err := p.measure(work.name, work.do); err != nil {
			return 0, fmt.Errorf("bench: %s: %w", work.name, err)
		}
	}
	return float64(p.peak.Page) / 1e6, nil
}

// photographer has a browser with a profile that outlives it.
type photographer struct {
	lab     *Lab
	profile string
	tab     context.Context
	stop    func()
	peak    browser.Memory
}

func (p *photographer) start(ctx context.Context) (err error) {
	if p.tab, p.stop, err = browser.Start(ctx, browser.Options{Profile: p.profile}); err != nil {
		return err
	}
	p.lab.closes = append(p.lab.closes, p.stop)
	// The memory of the program is what its instance exports.
	_, err = chromedp.Call(p.tab, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: `
		const { instantiateStreaming } = WebAssembly;
		WebAssembly.instantiateStreaming = async (...args) => {
			const made = await instantiateStreaming.apply(WebAssembly, args);
			window.programMemory = () => made.instance.exports.mem.buffer.byteLength;
			return made;
		};`})
	if err != nil {
		return err
	}
	behave := cdpbrowser.SetDownloadBehaviorParams{Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: p.lab.dir, EventsEnabled: new(true)}
	_, err = chromedp.CallBrowser(p.tab, cdpbrowser.SetDownloadBehavior, behave)
	return err
}

// measure prints what a piece of work took at most.
func (p *photographer) measure(name string, do func() error) error {
	begun := time.Now()
	stop, err := browser.Watch(p.tab, look)
	if err != nil {
		return err
	}
	tab := p.tab
	err = do()
	most, watched := stop()
	if p.tab != tab { // what was watched was killed
		watched = nil
	}
	if err := errors.Join(err, watched); err != nil {
		return err
	}
	program, err := browser.Until[float64](p.tab, `window.programMemory?.()`)
	if err != nil {
		return err
	}
	p.peak = p.peak.Peak(most)
	fmt.Fprintf(p.lab.Out, "  %s: the page %.0f MB, of which the program %.0f MB; the rest of the browser %.0f MB (%.0f s)\n",
		name, float64(most.Page)/1e6, program/1e6, float64(most.Rest)/1e6, time.Since(begun).Seconds())
	return nil
}

// take chooses photos for what a tag is on, each of its own bytes.
func (p *photographer) take(address string) error {
	if err := p.open(address, "0 in this build"); err != nil {
		return err
	}
	if _, err := chromedp.Call(p.tab, page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true}); err != nil {
		return err
	}
	picture := noisy()
	file := filepath.Join(p.lab.dir, "photo.jpg")
	var sum int
	for i := range manyPhotos {
		data, err := photo(picture, i)
		if err != nil {
			return err
		}
		sum += len(data)
		if err := os.WriteFile(file, data, 0o644); err != nil {
			return err
		}
		if err := p.choose("Choose a photo", file); err != nil {
			return err
		}
		if err := browser.See(p.tab, fmt.Sprintf("%d in this build", i+1)); err != nil {
			return err
		}
	}
	fmt.Fprintf(p.lab.Out, "  %d photos of %d × %d, %.1f MB each\n", manyPhotos, photoWidth, photoHeight, float64(sum)/manyPhotos/1e6)
	_, err := browser.Until[bool](p.tab, `document.querySelector(".mark").textContent === "✓ saved"`)
	return err
}

// open goes to an address of the app from an empty page and waits for a text.
func (p *photographer) open(address, text string) error {
	if err := chromedp.Do(p.tab, chromedp.Navigate("about:blank"), chromedp.Navigate(address)); err != nil {
		return err
	}
	return browser.See(p.tab, text)
}

// choose taps a button that asks for a file, and chooses one.
func (p *photographer) choose(button, file string) error {
	asked := chromedp.Events(p.tab, page.FileChooserOpened)
	if err := browser.Tap(p.tab, button); err != nil {
		return err
	}
	for _, err := range asked {
		if err != nil {
			return err
		}
		break
	}
	return chromedp.Do(p.tab, chromedp.SetUploadFiles(chromedp.CSS(`input[type=file]`), []string{file}))
}

// kill ends the browser as a phone does that needs its memory, and looks whether every photo is there.
func (p *photographer) kill(ctx context.Context, address string) error {
	if _, err := browser.Kill(p.tab); err != nil {
		return err
	}
	p.stop()
	if err := p.start(ctx); err != nil {
		return err
	}
	return p.whole(address)
}

// whole looks whether every photo is kept, shown, and is what its name says.
func (p *photographer) whole(address string) error {
	if err := p.open(address, fmt.Sprintf("%d in this build", manyPhotos)); err != nil {
		return err
	}
	if err := p.scroll(); err != nil {
		return err
	}
	kept, err := browser.Until[int](p.tab, keptPhotos)
	if err == nil && kept != manyPhotos {
		err = fmt.Errorf("%d photos are kept", kept)
	}
	return err
}

// scroll looks at every photo, one after the other.
func (p *photographer) scroll() error {
	for i := range manyPhotos {
		seen := fmt.Sprintf(`(() => {
			const img = document.querySelectorAll("img.photo")[%d];
			img?.scrollIntoView();
			return img?.complete && img.naturalWidth === 1600;
		})()`, i)
		if _, err := browser.Until[bool](p.tab, seen); err != nil {
			return err
		}
	}
	return nil
}

// keptPhotos counts the photos of the store whose bytes have the hash that they are kept under.
const keptPhotos = `new Promise((done, failed) => {
	const open = indexedDB.open("loomwright");
	open.onerror = failed;
	open.onsuccess = async () => {
		const ask = (request) => new Promise((ok, no) => { request.onsuccess = () => ok(request.result); request.onerror = no; });
		const blobs = () => open.result.transaction("blobs").objectStore("blobs");
		let good = 0;
		for (const name of await ask(blobs().getAllKeys())) {
			const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", await ask(blobs().get(name))));
			good += Array.from(sum, (b) => b.toString(16).padStart(2, "0")).join("") === name;
		}
		open.result.close();
		done(good);
	};
})`

// restore makes a backup, erases the phone, takes the backup in and makes it again.
func (p *photographer) restore(app, build, address string) error {
	if err := p.open(build, "Save a backup"); err != nil {
		return err
	}
	file, first, err := p.backup()
	if err != nil {
		return err
	}
	if err := p.open(app+"#p=phone", "Ready to work with no signal"); err != nil {
		return err
	}
	if err := browser.See(p.tab, "Used: "); err != nil {
		return err
	}
	for _, button := range []string{"Erase all data on this phone", "Erase everything now"} {
		if err := browser.Tap(p.tab, button); err != nil {
			return err
		}
	}
	if err := browser.See(p.tab, "All builds were erased"); err != nil {
		return err
	}
	if err := p.open(app, "Look at the demo"); err != nil {
		return err
	}
	if _, err := chromedp.Call(p.tab, page.SetInterceptFileChooserDialog, page.SetInterceptFileChooserDialogParams{Enabled: true}); err != nil {
		return err
	}
	if err := p.choose("Open a file", file); err != nil {
		return err
	}
	if err := browser.Tap(p.tab, "Open it"); err != nil {
		return err
	}
	if err := browser.See(p.tab, "Save a backup"); err != nil {
		return err
	}
	if err := os.Remove(file); err != nil {
		return err
	}
	_, second, err := p.backup()
	if err != nil {
		return err
	}
	if !bytes.Equal(first, second) {
		return fmt.Errorf("the backup of %d bytes came back as one of %d", len(first), len(second))
	}
	fmt.Fprintf(p.lab.Out, "  a backup of %.1f MB came back byte for byte\n", float64(len(first))/1e6)
	return p.whole(address)
}

// backup taps for a backup and returns the file.
func (p *photographer) backup() (path string, data []byte, err error) {
	begun := chromedp.BrowserEvents(p.tab, cdpbrowser.DownloadWillBegin)
	progress := chromedp.BrowserEvents(p.tab, cdpbrowser.DownloadProgress)
	if err := browser.Tap(p.tab, "Save a backup"); err != nil {
		return "", nil, err
	}
	for e, err := range begun {
		if err != nil {
			return "", nil, err
		}
		path = filepath.Join(p.lab.dir, e.SuggestedFilename)
		break
	}
	for e, err := range progress {
		if err != nil {
			return "", nil, err
		}
		if e.State == cdpbrowser.DownloadProgressStateCompleted {
			break
		}
	}
	data, err = os.ReadFile(path)
	return path, data, err
}

// noisy is a picture of a scene in soft colours with the grain of a camera.
func noisy() *image.YCbCr {
	random := rand.New(rand.NewPCG(60, 12))
	m := image.NewYCbCr(image.Rect(0, 0, photoWidth, photoHeight), image.YCbCrSubsampleRatio420)
	for i := range m.Y {
		x, y := i%m.YStride, i/m.YStride
		m.Y[i] = uint8(60 + (x/40+y/30)%100 + random.IntN(24))
	}
	for i := range m.Cb {
		m.Cb[i], m.Cr[i] = uint8(118+random.IntN(20)), uint8(118+random.IntN(20))
	}
	return m
}

// photo returns the picture as the i-th photo, with i as a bright bar in it.
func photo(m *image.YCbCr, i int) ([]byte, error) {
	for y := range 200 {
		for x := range photoWidth {
			light := uint8(40)
			if x/(photoWidth/manyPhotos) == i {
				light = 220
			}
			m.Y[y*m.YStride+x] = light
		}
	}
	var b bytes.Buffer
	err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 90})
	return b.Bytes(), err
}
