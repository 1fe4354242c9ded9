package e2e

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"

	cdp "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
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

// No request leaves the origin: the browser has no way out but a proxy that writes down who asks for what. The worker
// is included.
func TestNothingIsSentElsewhere(t *testing.T) {
	var mu sync.Mutex
	var foreign []string
	proxy := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		mu.Lock()
		foreign = append(foreign, r.Method+" "+r.Host)
		mu.Unlock()
		http.Error(w, "no way out", http.StatusBadGateway)
	}))
	defer proxy.Close()
	h := newHost(t, appSite(t), "/a/")
	p := newScreen(t, map[string]string{"proxy-server": proxy.URL})
	p.open(h.url("/a/"))
	p.offlineReady()
	p.reload()
	p.offlineReady()
	for _, asked := range h.requests() {
		if !strings.HasPrefix(asked, "/a/") {
			t.Errorf("asked its own host for %s, outside its folder", asked)
		}
	}
	// The proxy does see what goes elsewhere: the policy of the page stops a request before it leaves.
	eval[any](p, `fetch("http://elsewhere.test/").then(() => "sent", () => null)`)
	mu.Lock()
	if len(foreign) > 0 {
		t.Errorf("asked for by the browser: %q", foreign)
	}
	mu.Unlock()
	p.must(chromedp.Do(p.ctx, chromedp.Navigate("about:blank")))
	if err := chromedp.Do(p.ctx, chromedp.Navigate("http://elsewhere.test/")); err != nil {
		t.Log(err) // the proxy refuses, which is an answer
	}
	mu.Lock()
	defer mu.Unlock()
	if len(foreign) == 0 {
		t.Error("the proxy saw nothing of a page elsewhere: it cannot prove anything")
	}
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
