package e2e

import (
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loomwright/build/site"
)

// A new version waits until the person asks for it, even on a host that lets browsers keep files for ten minutes; then
// all of it is new.
func TestUpdateWaitsForATap(t *testing.T) {
	h := newHost(t, helloSite(t, "1"))
	h.meddle(func(w http.ResponseWriter, r *http.Request) bool {
		w = keepFor{w, "max-age=600"}
		site.Handler(h.folder("/")).ServeHTTP(w, r)
		return true
	})
	p := newScreen(t, nil)
	p.open(h.url("/"))
	p.see("Hello 1")
	p.offlineReady()
	p.reload()
	p.see("Hello 1")
	if eval[bool](p, `loomwright.updateWaiting`) {
		t.Fatal("an update waits before there is one")
	}
	eval[any](p, `addEventListener("loomwright:update", () => window.told = loomwright.updateWaiting) ?? null`)

	h.serve("/", helloSite(t, "2"))
	eval[any](p, `navigator.serviceWorker.getRegistration().then(r => r.update()).then(() => null)`)
	p.until(`window.told === true`)
	p.see("Hello 1")
	for range 2 {
		p.reload()
		p.see("Hello 1")
		p.until(`loomwright.updateWaiting`) // also when it was found before this start
	}
	other := p.tab()
	other.open(h.url("/#other"))
	other.see("at other")
	eval[any](other, `(window.mine = "an entry not saved yet", null)`)

	eval[any](p, `(loomwright.applyUpdate(), null)`)
	p.see("Hello 2")
	p.offlineReady()
	other.see("Hello 1") // another tab keeps what was entered, and goes on
	if got := eval[string](other, `window.mine`); got == "" {
		t.Error("the other tab was reloaded")
	}
	other.until(`!loomwright.updateWaiting`)
	h.stop()
	p.open(h.url("/"))
	p.see("Hello 2")
	if got := p.caches("/"); len(got) != 1 {
		t.Errorf("caches %q, want the one of the new version", got)
	}
}

// A release that is broken on the server leaves the version that works alone.
func TestBrokenReleaseIsNotTaken(t *testing.T) {
	for _, tc := range []struct {
		name   string
		wreck  func(t *testing.T, folder string)
		meddle func(w http.ResponseWriter, r *http.Request) bool
	}{
		{name: "the program answers 503", meddle: func(w http.ResponseWriter, r *http.Request) bool {
			if r.URL.Path == "/app.wasm" {
				http.Error(w, "busy", http.StatusServiceUnavailable)
				return true
			}
			return false
		}},
		{name: "half copied: the program is still the old one", wreck: func(t *testing.T, folder string) {
			old, err := os.ReadFile(filepath.Join(helloSite(t, "1"), site.Wasm))
			if err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(folder, site.Wasm), old, 0o644); err != nil {
				t.Fatal(err)
			}
		}},
		{name: "a style is missing", wreck: func(t *testing.T, folder string) {
			if err := os.Remove(filepath.Join(folder, "web", "app.css")); err != nil {
				t.Fatal(err)
			}
		}},
		{name: "the program is answered by a redirect", meddle: func(w http.ResponseWriter, r *http.Request) bool {
			if r.URL.Path == "/app.wasm" && r.URL.Query().Get("moved") == "" {
				http.Redirect(w, r, "/app.wasm?moved=1", http.StatusFound)
				return true
			}
			return false
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			h := newHost(t, helloSite(t, "1"))
			p := newScreen(t, nil)
			p.open(h.url("/"))
			p.offlineReady()
			before := p.caches("/")

			v2 := copied(t, helloSite(t, "2"))
			if tc.wreck != nil {
				tc.wreck(t, v2)
			}
			h.serve("/", v2)
			h.meddle(tc.meddle)
			// The promise settles before the new worker is done; its end is what tells.
			ended := eval[string](p, `(async () => {
				const r = await navigator.serviceWorker.getRegistration();
				const found = new Promise(ok => r.addEventListener("updatefound", () => ok(r.installing)));
				await r.update();
				const w = await found;
				while (w.state === "installing") await new Promise(ok => w.addEventListener("statechange", ok, {once: true}));
				return w.state;
			})()`)
			if ended != "redundant" {
				t.Fatalf("the broken version is %s, want redundant", ended)
			}
			if after := p.caches("/"); !slices.Equal(before, after) {
				t.Errorf("caches were %q, are %q", before, after)
			}
			p.reload()
			p.see("Hello 1")
			h.stop()
			p.reload()
			p.see("Hello 1")
		})
	}
}

// A file that the browser has thrown away is fetched again at the next start with a signal.
func TestLostFileIsFetchedAgain(t *testing.T) {
	for _, name := range []string{"app.wasm", "loader.js", "app.css", "icon-512.png", ""} {
		t.Run("file "+name, func(t *testing.T) {
			h := newHost(t, helloSite(t, "1"))
			p := newScreen(t, nil)
			p.open(h.url("/"))
			p.offlineReady()
			whole := len(p.kept())
			p.lose(name)
			p.open(h.url("/"))
			p.see("Hello 1")
			p.offlineReady()
			if got := len(p.kept()); got != whole {
				t.Errorf("%d files kept, were %d", got, whole)
			}
			h.stop()
			p.open(h.url("/"))
			p.see("Hello 1")
		})
	}
}

// With no signal the screen says what is missing and that the work is safe.
func TestLostFileOffline(t *testing.T) {
	for _, tc := range []struct{ lose, say string }{
		{"app.wasm", "A part of it is missing on this device"},
		{"", "The app is not on this device any more"},
		{"loader.js", "The app is not on this device any more"},
		{"wasm_exec.js", "The app is not on this device any more"},
	} {
		h := newHost(t, helloSite(t, "1"))
		p := newScreen(t, nil)
		p.open(h.url("/"))
		p.offlineReady()
		p.lose(tc.lose)
		h.stop()
		p.open(h.url("/"))
		p.see(tc.say)
		p.see("What was saved")
		h.start() // the signal is back
		if tc.lose == "app.wasm" {
			p.tap("Reload")
		} else {
			p.reload()
		}
		p.see("Hello 1")
		p.offlineReady()
	}
}

// The server has moved on, so what was lost cannot be had again: the newest version is taken. Nothing runs that could
// lose anything.
func TestLostFileWithANewerVersionOnTheServer(t *testing.T) {
	for _, name := range []string{"app.wasm", ""} {
		t.Run("file "+name, func(t *testing.T) {
			h := newHost(t, helloSite(t, "1"))
			p := newScreen(t, nil)
			p.open(h.url("/"))
			p.offlineReady()
			p.lose(name)
			h.serve("/", helloSite(t, "2"))
			p.open(h.url("/"))
			p.see("Hello 2")
		})
	}
}

// A browser without a worker yet, on a host that lets it keep files, opens one version and not a mixture.
func TestFirstLoadDoesNotMixVersions(t *testing.T) {
	h := newHost(t, helloSite(t, "1"))
	h.meddle(func(w http.ResponseWriter, r *http.Request) bool {
		if r.URL.Path == "/worker.js" {
			http.NotFound(w, r)
			return true
		}
		policy := "max-age=600"
		if r.URL.Path == "/" {
			policy = "no-cache"
		}
		site.Handler(h.folder("/")).ServeHTTP(keepFor{w, policy}, r)
		return true
	})
	p := newScreen(t, nil)
	p.open(h.url("/"))
	p.see("Hello 1")
	h.serve("/", helloSite(t, "2"))
	h.requests()
	p.open(h.url("/"))
	p.see("Hello 2")
	asked := strings.Join(h.requests(), " ")
	if !strings.Contains(asked, "/app.wasm?") || strings.Contains(asked, "/wasm_exec.js?") {
		t.Errorf("asked for %s; want the new program and the kept script", asked)
	}
}

// keepFor answers with another rule for how long a browser may keep the file.
type keepFor struct {
	http.ResponseWriter
	rule string
}

func (k keepFor) WriteHeader(code int) {
	k.Header().Set("Cache-Control", k.rule)
	k.ResponseWriter.WriteHeader(code)
}

func (k keepFor) Write(data []byte) (int, error) {
	k.Header().Set("Cache-Control", k.rule)
	return k.ResponseWriter.Write(data)
}
