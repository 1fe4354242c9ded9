package e2e

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// TestPhotos takes photos, kills the browser, makes a backup, refuses what was damaged on its way, is killed while it takes
// the backup in, and restores it: the same bytes come out.
func TestPhotos(t *testing.T) {
	if testing.Short() {
		t.Skip("needs a browser")
	}
	h := newHost(t, appSite(t))
	profile := t.TempDir()
	p, stop := startPerson(t, profile)
	p.open(h.url("/"))
	p.tap("Look at the demo")
	p.see("Carry on measuring")
	build := p.fragment()
	p.saved()
	tag := h.url("/#" + codeOfDemo(t))
	p.open(tag)
	p.see("0 in this build")
	p.upload("Choose a photo", "lying.jpg", cameraPhoto(t, 200))
	p.see("1 in this build")
	p.upload("Choose a photo", "again.jpg", cameraPhoto(t, 90))
	p.see("2 in this build")
	p.upload("Choose a photo", "text.jpg", []byte("not a photo"))
	p.see("not a picture")
	p.saved()

	p, stop = p.killed(stop, profile)
	p.open(tag)
	p.see("2 in this build")
	// The camera was held upright: the picture is, and nothing else of the file is kept.
	p.until(`[...document.querySelectorAll("img.photo")].filter(i => i.complete && i.naturalWidth === 1200 && i.naturalHeight === 1600).length === 2`)
	p.open(h.url("/#" + build))
	name, data := p.download("Save a backup")
	log, blobs := decoded(t, data)
	if log.State().Photos.Len() != 2 || len(blobs) != 2 {
		t.Fatalf("the backup has %d photos and %d of their bytes", log.State().Photos.Len(), len(blobs))
	}
	for _, photo := range log.State().Photos.All() {
		kept := blobs[photo.Blob]
		made, err := jpeg.DecodeConfig(bytes.NewReader(kept))
		if err != nil || made.Width != 1200 || made.Height != 1600 || photo.Bytes != len(kept) || bytes.Contains(kept, []byte("Exif")) {
			t.Errorf("kept: %+v, %v, %d bytes of %d", made, err, len(kept), photo.Bytes)
		}
	}

	p.open(h.url("/#p=phone"))
	p.see("Used: ")
	p.see("Ready to work with no signal")
	p.tap("Erase all data on this phone", "Erase everything now")
	p.see("All builds were erased")
	p.open(h.url("/"))
	p.see("Look at the demo")
	at := bytes.Index(data, []byte(`"data":"`)) + 5000
	flipped := slices.Clone(data)
	flipped[at] ^= 1
	for _, bad := range []struct {
		what string
		data []byte
	}{{"cut off inside a photo", data[:at]}, {"a byte of a photo changed", flipped}, {"without its end", data[:bytes.LastIndex(data, []byte(`{"end":`))]}} {
		p.upload("Open a file", name, bad.data)
		p.see("The end of this file is missing or damaged")
		p.tap("Leave it")
		p.see("Look at the demo")
		if n := kept(p); n != "0 edits, 0 blobs" {
			t.Errorf("%s: the phone has %s", bad.what, n)
		}
	}

	// Killed between the tap and the build on the screen, there is the whole build or nothing of it.
	p.upload("Open a file", name, data)
	p.tap("Open it")
	p, stop = p.killed(stop, profile)
	p.open(h.url("/"))
	p.see("Open a file")
	if n := kept(p); !strings.HasPrefix(n, "0 edits") && n != fmt.Sprintf("%d edits, 2 blobs", log.Len()) {
		t.Errorf("killed while a file is taken in: the phone has %s", n)
	}
	p.upload("Open a file", name, data)
	p.tap("Open it")
	p.see("Save a backup")
	p.saved()
	if _, again := p.download("Save a backup"); !bytes.Equal(again, data) {
		t.Errorf("the file of %d bytes came back as one of %d", len(data), len(again))
	}
	p.open(tag)
	p.see("2 in this build")
	p.until(`[...document.querySelectorAll("img.photo")].filter(i => i.complete && i.naturalWidth === 1200).length === 2`)

	// A copy has the photos, too.
	p.open(h.url("/#p=phone"))
	p.see("Used: ")
	p.see("Ready to work with no signal")
	p.tap("Erase all data on this phone", "Erase everything now")
	p.see("All builds were erased")
	p.open(h.url("/"))
	p.upload("Open a file", name, data)
	p.tap("Open as a copy")
	p.see("Save a backup")
	p.saved()
	if n := kept(p); !strings.HasSuffix(n, ", 2 blobs") {
		t.Errorf("after a copy the phone has %s", n)
	}
}

// startPerson opens a browser with a profile that outlives it.
func startPerson(t *testing.T, profile string) (p *person, stop func()) {
	t.Helper()
	ctx, stop, err := browser.Start(context.Background(), browser.Options{Profile: profile})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(stop)
	p = &person{screen: screen{t, ctx}, downloads: t.TempDir()}
	behave := cdpbrowser.SetDownloadBehaviorParams{
		Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: p.downloads, EventsEnabled: new(true),
	}
	_, err = chromedp.CallBrowser(p.ctx, cdpbrowser.SetDownloadBehavior, behave)
	p.must(err)
	return p, stop
}

// killed kills the browser and opens another one on its profile.
func (p *person) killed(stop func(), profile string) (*person, func()) {
	p.t.Helper()
	t := p.t.(*testing.T)
	_, err := browser.Kill(p.ctx)
	p.must(err)
	stop()
	return startPerson(t, profile)
}

// kept says how much is in the store.
func kept(p *person) string {
	p.t.Helper()
	return eval[string](p.screen, `new Promise((done, failed) => {
		const open = indexedDB.open("loomwright");
		open.onerror = failed;
		open.onsuccess = () => {
			const t = open.result.transaction(["edits", "blobs"]);
			const edits = t.objectStore("edits").count(), blobs = t.objectStore("blobs").count();
			t.oncomplete = () => { open.result.close(); done(edits.result + " edits, " + blobs.result + " blobs"); };
		};
	})`)
}

func decoded(t *testing.T, data []byte) (*storage.Log, map[string][]byte) {
	t.Helper()
	blobs := map[string][]byte{}
	log, err := storage.Decode(bytes.NewReader(data), func(hash string, data []byte) error {
		blobs[hash] = data
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return log, blobs
}

// codeOfDemo returns the code of a tag on a place of the demo.
func codeOfDemo(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(moduleDir, "testdata", "builds", "roadster.build"))
	if err != nil {
		t.Fatal(err)
	}
	log, _ := decoded(t, data)
	for _, tag := range log.State().Tags.All() {
		if tag.On == harness.KindPlace && !tag.Retired {
			return tag.Code
		}
	}
	t.Fatal("the demo has no tag on a place")
	return ""
}

// cameraPhoto is a photo of 4000 × 3000 as a camera writes it that is held upright: lying, with a note that says how to turn
// it. Source of the note: Exif 2.32, 4.6.4 (orientation, tag 0x0112; 6 is a quarter turn to the right).
func cameraPhoto(t *testing.T, light uint8) []byte {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, 4000, 3000))
	for i := range m.Pix {
		m.Pix[i] = uint8(i%4000/100) * 5
	}
	for y := range 500 {
		for x := range 500 {
			m.SetGray(x, y, color.Gray{Y: light})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	note := []byte("Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00\x00\x00\x00\x00")
	head := binary.BigEndian.AppendUint16([]byte{0xff, 0xd8, 0xff, 0xe1}, uint16(len(note)+2))
	return slices.Concat(head, note, b.Bytes()[2:])
}
