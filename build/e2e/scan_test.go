package e2e

import (
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"loomwright/build/e2e/y4m"
)

// The address of a tag as it is printed, 30 characters.
const scanLink = "https://loom.example/a/#7K3F9Q"

// film writes a fake camera's file and returns the flags that play it.
func film(t *testing.T, frames ...*image.Gray) []string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "camera.y4m")
	if err := y4m.WriteFile(name, frames...); err != nil {
		t.Fatal(err)
	}
	return []string{"use-fake-ui-for-media-stream", "use-fake-device-for-media-stream", "use-file-for-fake-video-capture=" + name}
}

func shot(t *testing.T, s y4m.Shot, text string) *image.Gray {
	t.Helper()
	p, err := s.Code(text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// keepStream remembers the camera that the page opens, so that a test can see whether it was let go.
const keepStream = `const open = MediaDevices.prototype.getUserMedia;
MediaDevices.prototype.getUserMedia = async function(wishes) { return window.camera = await open.call(this, wishes) };
const hide = (state) => {
  Object.defineProperty(document, "visibilityState", {value: state, configurable: true});
  document.dispatchEvent(new Event("visibilitychange", {bubbles: true}));
};`

const cameraLetGo = `camera.getTracks().every((t) => t.readyState === "ended") && document.getElementById("video").srcObject === null`

func TestScanReadsCamera(t *testing.T) {
	for _, c := range []struct {
		name string
		shot y4m.Shot
		text string
	}{
		{"flat", y4m.Shot{}, scanLink},
		{"code alone", y4m.Shot{Side: 200}, "7K3F9Q2M"},
		{"words", y4m.Shot{Side: 400}, "7K3F9Q2M FAN FEED ECU A12 > FAN 1 2.5 RD/BK"},
		{"turned and tilted", y4m.Shot{Side: 300, Turn: 30, Tilt: 0.25}, scanLink},
		{"out of focus", y4m.Shot{Side: 300, Blur: 4}, scanLink},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := scanPhone(t, scanServer(t), keepStream, film(t, y4m.Blank(), shot(t, c.shot, c.text))...)
			began := time.Now()
			p.press("start")
			p.waitLine("started [torch=false zoom=false]") // the fake camera has neither
			p.waitLine("text [" + c.text + "]")
			t.Logf("first text after %v", time.Since(began).Round(time.Millisecond))
			if p.is(cameraLetGo) {
				t.Error("the camera is not shown while it scans")
			}
			p.press("stop")
			p.waitLine("ended [nil]")
			if !p.is(cameraLetGo) {
				t.Error("the camera was not let go")
			}
			for _, line := range p.log() {
				if strings.HasPrefix(line, "text") && line != "text ["+c.text+"]" {
					t.Errorf("read something else: %s", line)
				}
			}
			p.quiet()
		})
	}
}

// ableCamera is a camera with a light and a zoom; it remembers what it was set to.
const ableCamera = `window.set = [];
MediaStreamTrack.prototype.getCapabilities = () => ({torch: true, zoom: {min: 1, max: 8, step: 0.1}, focusMode: ["manual", "continuous"]});
MediaStreamTrack.prototype.applyConstraints = async (wish) => {
  const one = JSON.stringify(wish.advanced);
  if (one.includes('"zoom":1}')) throw new DOMException("", "OverconstrainedError");
  set.push(one);
};`

func TestScanLightAndZoom(t *testing.T) {
	p := scanPhone(t, scanServer(t), keepStream+ableCamera, film(t, y4m.Blank())...)
	p.press("start")
	p.waitLine("started [torch=true zoom=true]")
	p.press("torch")
	p.waitLine("torch [nil] [nil]")
	p.press("zoom")
	p.waitLine("zoom [nil] [unavailable]")
	if !p.is(`set.join() === '[{"focusMode":"continuous"}],[{"torch":true}],[{"torch":false}],[{"zoom":2}]'`) {
		t.Error("the camera was set to something else")
	}
	p.press("stop")
	p.waitLine("ended [nil]")
	p.quiet()
}

func TestScanEndsOutOfSight(t *testing.T) {
	p := scanPhone(t, scanServer(t), keepStream, film(t, y4m.Blank())...)
	p.press("start")
	p.waitLine("started")
	p.eval(`hide("hidden")`)
	p.waitLine("ended [hidden]")
	if !p.is(cameraLetGo) {
		t.Error("the camera was not let go")
	}
	p.waitLine("gone")
	p.press("start")
	p.waitLine("not started [hidden]")
	p.eval(`hide("visible")`)
	p.waitLine("back")
	p.quiet()
}

func TestScanEndsWithItsVideo(t *testing.T) {
	p := scanPhone(t, scanServer(t), keepStream, film(t, y4m.Blank())...)
	p.press("start")
	p.waitLine("started")
	p.eval(`window.video = document.getElementById("video"); video.remove()`)
	p.waitLine("ended [nil]")
	if !p.is(`camera.getTracks().every((t) => t.readyState === "ended") && video.srcObject === null`) {
		t.Error("the camera was not let go")
	}
}

func TestScanTellsWhyNot(t *testing.T) {
	camera := "use-fake-device-for-media-stream"
	for _, c := range []struct {
		name, want, script string
		missing            []string
		flags              []string
	}{
		{name: "refused by the person", want: "refused", flags: []string{camera, "use-fake-ui-for-media-stream=deny"}},
		{name: "no camera", want: "no camera", flags: []string{"use-fake-ui-for-media-stream", camera + "=device-count=0"}},
		{name: "in use", want: "busy", script: `MediaDevices.prototype.getUserMedia = async () => {
			throw new DOMException("Could not start video source", "NotReadableError") }`},
		{name: "no such thing", want: "unavailable", script: `delete Navigator.prototype.mediaDevices`},
		{name: "wasm missing", want: "no reader", missing: []string{"web/reader/reader.wasm"},
			flags: []string{camera, "use-fake-ui-for-media-stream"}},
		{name: "worker missing", want: "no reader", missing: []string{"web/reader/reader.js"},
			flags: []string{camera, "use-fake-ui-for-media-stream"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := scanPhone(t, scanServer(t, c.missing...), keepStream+c.script, c.flags...)
			p.press("start")
			p.waitLine("not started [" + c.want + "]")
			if c.missing != nil && !p.is(cameraLetGo) {
				t.Error("the camera was not let go")
			}
		})
	}
}

// ownReader is a browser's own code reader that answers once and then fails.
const ownReader = `window.BarcodeDetector = class {
  static async getSupportedFormats() { return ["ean_13", "qr_code"] }
  async detect(source) {
    if (this.done) throw new DOMException("Service unavailable", "NotSupportedError");
    this.done = source instanceof HTMLCanvasElement;
    return [{rawValue: "READ BY THE BROWSER"}];
  }
};`

func TestScanPrefersOwnReader(t *testing.T) {
	p := scanPhone(t, scanServer(t), keepStream+ownReader, film(t, shot(t, y4m.Shot{}, scanLink))...)
	p.press("start")
	p.waitLine("text [READ BY THE BROWSER]")
	p.waitLine("text [" + scanLink + "]") // the packaged one took over
	p.press("stop")
	p.waitLine("ended [nil]")
	p.quiet()
}

func TestScanPassesOwnReaderWithoutQR(t *testing.T) {
	script := strings.Replace(ownReader, `, "qr_code"`, "", 1)
	p := scanPhone(t, scanServer(t), keepStream+script, film(t, shot(t, y4m.Shot{}, scanLink))...)
	p.press("start")
	p.waitLine("text [" + scanLink + "]")
	for _, line := range p.log() {
		if strings.Contains(line, "BROWSER") {
			t.Errorf("asked a reader that reads no QR codes: %s", line)
		}
	}
}

func photograph(t *testing.T, picture image.Image) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "photo.png")
	f, err := os.Create(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := png.Encode(f, picture); err != nil {
		t.Fatal(err)
	}
	return name
}

func TestScanReadsPhoto(t *testing.T) {
	p := scanPhone(t, scanServer(t), keepStream)
	notes := filepath.Join(t.TempDir(), "notes.png")
	if err := os.WriteFile(notes, []byte("no picture"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, button, file, want string }{
		{"as large as the screen", "choose", photograph(t, shot(t, y4m.Shot{}, scanLink)), "photo [[" + scanLink + "]] [nil]"},
		{"a small code in a large photo", "take",
			photograph(t, shot(t, y4m.Shot{Width: 4000, Height: 3000, Side: 160, Turn: 10}, "7K3F9Q2M")), "photo [[7K3F9Q2M]] [nil]"},
		{"no code", "choose", photograph(t, y4m.Blank()), "photo [[]] [no code]"},
		{"no picture", "choose", notes, "photo [[]] [not a picture]"},
		{"closed", "take", "", "photo [[]] [cancelled]"},
	} {
		t.Run(c.name, func(t *testing.T) {
			began := time.Now()
			p.clear()
			if c.file == "" {
				p.upload(c.button)
			} else {
				p.upload(c.button, c.file)
			}
			p.waitLine(c.want)
			t.Logf("%v", time.Since(began).Round(time.Millisecond))
			if !p.is(`document.querySelector("input") === null`) {
				t.Error("the chooser's input was left on the page")
			}
		})
	}
	p.quiet()
}
