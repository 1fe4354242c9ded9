package e2e

import (
	"strings"
	"testing"
)

// Every address of the app opens with the server gone, at the top of a host, in a folder, and after the folder was
// moved. What a person types without the last slash is the host's to mend, once.
func TestEveryAddressOpensOffline(t *testing.T) {
	for _, tc := range []struct{ name, root string }{
		{"top of the host", "/"},
		{"folder", "/a/b/"},
		{"folder with a sign that needs writing out", "/a:b%20c/"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			plain := strings.ReplaceAll(tc.root, "%20", " ")
			h := newHost(t, helloSite(t, "1"), plain)
			p := newScreen(t, nil)
			p.open(h.url(strings.TrimSuffix(tc.root, "/") + "/"))
			p.see("Hello 1")
			p.offlineReady()
			h.stop()
			for _, a := range []struct{ add, want, see string }{
				{"", "", "Hello 1"},
				{"#x", "#x", "at x"},
				{"?r=1", "?r=1", "Hello 1"},
				{"?r=1#y", "?r=1#y", "at y"},
				{"index.html", "", "Hello 1"},
				{"index.html#z", "#z", "at z"},
				{"w/123", "", "Hello 1"},
				{"w/123#t=7K3F", "#t=7K3F", "at t=7K3F"},
			} {
				p.open(h.url(tc.root + a.add))
				p.see(a.see)
				if got, want := p.address(), h.url(tc.root+a.want); got != want {
					t.Errorf("%q: the address is %s, want %s", a.add, got, want)
				}
			}
		})
	}
}

// The real app, not the small program: first load, server gone, every page of it again.
func TestAppStartsOffline(t *testing.T) {
	h := newHost(t, appSite(t), "/a/b/")
	p := newScreen(t, nil)
	p.open(h.url("/a/b")) // the host's 301 adds the slash
	p.see("Look at the demo")
	p.offlineReady()
	h.stop()
	p.open(h.url("/a/b/"))
	p.see("Works with no signal")
	p.tap("Look at the demo") // it is a file of the site
	p.see("Carry on measuring")
	p.open(h.url("/a/b/?from=home"))
	p.see("Roadster, inline four")
	if at := p.address(); !strings.HasPrefix(at, h.url("/a/b/")) {
		t.Errorf("the address is %s", at)
	}
}

// The person is told when it is ready, without a tap.
func TestReadyForOfflineIsTold(t *testing.T) {
	h := newHost(t, appSite(t))
	p := newScreen(t, nil)
	p.open(h.url("/"))
	p.see("Works with no signal")
}

// Nothing is kept from elsewhere, and everything of the site is kept.
func TestEveryKeptAddressIsLocal(t *testing.T) {
	h := newHost(t, appSite(t), "/a/")
	p := newScreen(t, nil)
	p.open(h.url("/a/"))
	p.offlineReady()
	kept := p.kept()
	for _, address := range kept {
		if !strings.HasPrefix(address, h.url("/a/")) {
			t.Errorf("kept from elsewhere: %s", address)
		}
	}
	for _, name := range []string{"/a/", "/app.wasm", "/wasm_exec.js", "/loader.js", "/manifest.webmanifest", "/demo.build",
		"/web/app.css", "/web/icon.svg", "/web/icon-192.png", "/web/icon-512.png", "/web/icon-maskable-512.png",
		"/web/reader/reader.js", "/web/reader/reader.wasm"} {
		found := false
		for _, address := range kept {
			found = found || strings.HasSuffix(address, name)
		}
		if !found {
			t.Errorf("not kept: %s", name)
		}
	}
}

func TestFolderCanBeMoved(t *testing.T) {
	folder := helloSite(t, "1")
	h := newHost(t, folder, "/here/")
	p := newScreen(t, nil)
	p.open(h.url("/here/"))
	p.offlineReady()

	h.serve("/here/", "")
	h.serve("/now/there/", folder)
	p.open(h.url("/now/there/#x"))
	p.see("at x")
	p.offlineReady()
	h.stop()
	p.open(h.url("/now/there/"))
	p.see("Hello 1")
	p.open(h.url("/here/")) // the old address goes on working on a device that has it
	p.see("Hello 1")
}

// Copies in sibling folders, and one inside the folder of another, are strangers.
func TestCopiesDoNotTouchEachOther(t *testing.T) {
	h := newHost(t, helloSite(t, "1"), "/")
	h.serve("/a/", helloSite(t, "2"))
	h.serve("/b/", helloSite(t, "3"))
	p := newScreen(t, nil)
	for _, c := range []struct{ path, see string }{{"/", "Hello 1"}, {"/a/", "Hello 2"}, {"/b/", "Hello 3"}} {
		p.open(h.url(c.path)) // the folders are opened under the worker of the copy at the top
		p.see(c.see)
		p.offlineReady()
	}
	if a, b := eval[string](p, `caches.keys().then(k => k.sort().join(" "))`), 3; len(strings.Fields(a)) != b {
		t.Fatalf("caches %q, want %d", a, b)
	}

	other := p.caches("/b/")
	h.serve("/a/", helloSite(t, "4"))
	p.open(h.url("/a/"))
	p.until(`loomwright.updateWaiting`)
	eval[any](p, `loomwright.applyUpdate()`)
	p.see("Hello 4")
	p.offlineReady()
	if got := p.caches("/b/"); len(got) != 1 || got[0] != other[0] {
		t.Errorf("caches of /b/ were %q, are %q", other, got)
	}
	if got := p.caches("/a/"); len(got) != 1 {
		t.Errorf("caches of /a/: %q, want the new one alone", got)
	}
	h.stop()
	for _, c := range []struct{ path, see string }{{"/", "Hello 1"}, {"/a/", "Hello 4"}, {"/b/", "Hello 3"}} {
		p.open(h.url(c.path))
		p.see(c.see)
	}
}
