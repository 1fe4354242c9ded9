package e2e

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	cdp "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

// A page of another site, or of this one, that shows the app inside it gets a closed door.
func TestDoesNotStartInAFrame(t *testing.T) {
	h := newHost(t, helloSite(t, "1"), "/app/")
	h.meddle(func(w http.ResponseWriter, r *http.Request) bool {
		if r.URL.Path == "/outer" {
			w.Header().Set("Content-Type", "text/html")
			fmt.Fprint(w, `<!doctype html><title>outer</title><iframe src="/app/" width="380" height="600"></iframe>`)
			return true
		}
		return false
	})
	p := newScreen(t, nil)

	// With the header of our own server nothing is shown at all.
	p.open(h.url("/outer"))
	p.until(`document.querySelector("iframe").contentDocument === null`)

	// A static host sends no such header; the loader refuses.
	h.meddle(func(w http.ResponseWriter, r *http.Request) bool {
		if r.URL.Path == "/outer" {
			w.Header().Set("Content-Type", "text/html")
			fmt.Fprint(w, `<!doctype html><title>outer</title><iframe src="/app/" width="380" height="600"></iframe>`)
			return true
		}
		return h.bare(w, r)
	})
	h.requests()
	p.open(h.url("/outer"))
	p.until(`document.querySelector("iframe").contentDocument?.body.innerText.includes("does not run inside another page")`)
	if eval[bool](p, `"loomwright" in document.querySelector("iframe").contentWindow`) {
		t.Error("the loader went on inside the frame")
	}
	if asked := h.requests(); count(asked, "app.wasm") > 0 || count(asked, "worker.js") > 0 {
		t.Errorf("the frame loaded the program: %q", asked)
	}
}

// When the program ends by a fault, the screen says so, and a tap starts it again.
func TestCrashIsTold(t *testing.T) {
	h := newHost(t, helloSite(t, "1"))
	p := newScreen(t, nil)
	p.open(h.url("/#x"))
	p.see("at x")
	p.tap("Fail")
	p.see("The app stopped")
	p.see("What was saved is safe on this device.")
	p.tap("What it said last")
	p.see("panic: hello: failed on demand")
	p.tap("Reload")
	p.see("at x")
}

// A first load that fails says so and does not stand there for ever.
func TestFirstLoadFails(t *testing.T) {
	h := newHost(t, helloSite(t, "1"))
	h.meddle(func(w http.ResponseWriter, r *http.Request) bool {
		if r.URL.Path == "/app.wasm" {
			http.Error(w, "busy", http.StatusServiceUnavailable)
			return true
		}
		return false
	})
	p := newScreen(t, nil)
	p.open(h.url("/"))
	p.see("The app could not start")
	h.meddle(nil)
	p.tap("Reload")
	p.see("Hello 1")
}

// A host that does not know the type of wasm can carry the app all the same.
func TestHostWithoutWasmType(t *testing.T) {
	h := newHost(t, helloSite(t, "1"))
	h.meddle(func(w http.ResponseWriter, r *http.Request) bool {
		if r.URL.Path == "/app.wasm" {
			return h.bare(typed{w, "application/octet-stream"}, r)
		}
		return false
	})
	p := newScreen(t, nil)
	p.open(h.url("/"))
	p.see("Hello 1")
	p.offlineReady()
	h.stop()
	p.open(h.url("/"))
	p.see("Hello 1")
}

// No request leaves the origin, neither of the page nor of its workers. The browser's own log of its network tells who
// asked for what; what the browser asks for on its own account has no page behind it.
func TestNothingIsSentElsewhere(t *testing.T) {
	if testing.Short() {
		t.Skip("needs a browser")
	}
	h := newHost(t, appSite(t), "/a/")
	h.meddle(func(w http.ResponseWriter, r *http.Request) bool {
		if r.URL.Path == "/open" { // a page without a policy, for the proof below
			fmt.Fprint(w, "<!doctype html>")
			return true
		}
		return false
	})
	log := filepath.Join(t.TempDir(), "net.json")
	// Nothing gets out of the machine: the proxy is nobody.
	flags := map[string]string{"log-net-log": log, "proxy-server": "http://127.0.0.1:9"}
	ctx, stop, err := browser.Start(context.Background(), browser.Options{Profile: t.TempDir(), Flags: flags})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(stop)
	p := screen{t, ctx}
	p.open(h.url("/a/"))
	p.see("Builds")
	p.offlineReady()
	p.tap("Look at the demo")
	p.see("Carry on measuring")
	p.reload()
	p.see("Carry on measuring")
	p.offlineReady()
	for _, asked := range h.requests() {
		if !strings.HasPrefix(asked, "/a/") {
			t.Errorf("asked its own host for %s, outside its folder", asked)
		}
	}
	const elsewhere = "http://elsewhere.test/"
	if eval[string](p, `fetch(%s).then(() => "sent", () => "stopped")`, elsewhere) != "stopped" {
		t.Error("the policy lets the page send elsewhere")
	}
	p.open(h.url("/open"))
	eval[string](p, `fetch(%s).then(() => "sent", () => "no answer")`, elsewhere+"proof")
	stop() // the log is whole when the browser has ended

	asked := pageRequests(t, log)
	local, proof := 0, 0
	for _, r := range asked {
		switch {
		case r.URL == elsewhere+"proof":
			proof++
		case strings.HasPrefix(r.URL, h.url("/")):
			local++
		default:
			t.Errorf("%s asked for %s", r.Initiator, r.URL)
		}
	}
	if local == 0 || proof == 0 {
		t.Errorf("the log tells of %d requests of the app and %d elsewhere: it proves nothing", local, proof)
	}
}

type netRequest struct{ URL, Initiator string }

// pageRequests reads from a browser's network log what pages and workers asked for. The log is a list of events, one
// on each line.
func pageRequests(t *testing.T, name string) []netRequest {
	t.Helper()
	data, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	var asked []netRequest
	for line := range strings.Lines(string(data)) {
		var event struct{ Params netRequest }
		if json.Unmarshal([]byte(strings.TrimRight(line, ",\n")), &event) != nil || event.Params.URL == "" {
			continue
		}
		if strings.HasPrefix(event.Params.Initiator, "http") {
			asked = append(asked, event.Params)
		}
	}
	return asked
}

// Each copy is an app of its own to the browser, known by the address of its folder, and the manifest has no fault.
func TestManifest(t *testing.T) {
	h := newHost(t, helloSite(t, "1"), "/", "/a/b/")
	p := newScreen(t, nil)
	for _, root := range []string{"/", "/a/b/"} {
		p.open(h.url(root))
		p.see("Hello 1")
		m, err := chromedp.Call(p.ctx, cdp.GetAppManifest, cdp.GetAppManifestParams{})
		p.must(err)
		if len(m.Errors) > 0 || m.URL != h.url(root+"manifest.webmanifest") {
			t.Errorf("%s: manifest %s has faults %v", root, m.URL, m.Errors)
		}
		id, err := chromedp.Call(p.ctx, cdp.GetAppID, struct{}{})
		p.must(err)
		if id.AppID != h.url(root) {
			t.Errorf("%s: the browser knows the app as %q", root, id.AppID)
		}
		faults, err := chromedp.Call(p.ctx, cdp.GetInstallabilityErrors, struct{}{})
		p.must(err)
		for _, f := range faults.InstallabilityErrors {
			if f.ErrorID != "in-incognito" {
				t.Errorf("%s: cannot be installed: %s", root, f.ErrorID)
			}
		}
	}
}

// typed answers with another content type.
type typed struct {
	http.ResponseWriter
	kind string
}

func (t typed) WriteHeader(code int) {
	t.Header().Set("Content-Type", t.kind)
	t.ResponseWriter.WriteHeader(code)
}

func (t typed) Write(data []byte) (int, error) {
	t.Header().Set("Content-Type", t.kind)
	return t.ResponseWriter.Write(data)
}
