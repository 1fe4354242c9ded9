package e2e

import (
	"cmp"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"loomwright/build/site"
)

// sites makes each site once for all tests.
var sites struct {
	sync.Mutex
	dir  string
	made map[string]string
}

func TestMain(m *testing.M) {
	code := m.Run()
	if sites.dir != "" {
		os.RemoveAll(sites.dir)
	}
	os.Exit(code)
}

// moduleDir is the folder of the module, seen from this package.
const moduleDir = "../.."

// appSite returns a folder with the real app, not compressed. Do not change it: copy it.
func appSite(t testing.TB) string {
	return made(t, "app", site.Options{Demo: filepath.Join(moduleDir, "testdata", "builds", "roadster.build")})
}

// helloSite returns a folder with the smallest program in place of the app. It says "Hello" and the version.
func helloSite(t testing.TB, version string) string {
	return made(t, "hello-"+version, site.Options{Main: "./build/bench/hello", LDFlags: "-X main.version=" + version})
}

func made(t testing.TB, name string, o site.Options) string {
	t.Helper()
	sites.Lock()
	defer sites.Unlock()
	if dir, ok := sites.made[name]; ok {
		return dir
	}
	if sites.made == nil {
		dir, err := os.MkdirTemp("", "loomwright-e2e-")
		if err != nil {
			t.Fatal(err)
		}
		sites.dir, sites.made = dir, map[string]string{}
	}
	module, err := filepath.Abs(moduleDir)
	if err != nil {
		t.Fatal(err)
	}
	o.Module, o.Out = module, filepath.Join(sites.dir, name)
	if _, err := site.Make(t.Context(), o); err != nil {
		t.Fatal(err)
	}
	sites.made[name] = o.Out
	return o.Out
}

// host is a web server that can be stopped, for being offline, and started again at the same address. It serves
// folders at paths that end with a slash; without the slash it sends the usual 301.
type host struct {
	t      testing.TB
	mu     sync.Mutex
	at     map[string]string // folder by path
	change func(w http.ResponseWriter, r *http.Request) bool
	asked  []string // addresses of all requests, without the host
	addr   string
	server *http.Server
}

// newHost serves a folder at "/", or at the path given.
func newHost(t testing.TB, folder string, path ...string) *host {
	h := &host{t: t, at: map[string]string{}, addr: "127.0.0.1:0"}
	if len(path) == 0 {
		path = []string{"/"}
	}
	for _, p := range path {
		h.at[p] = folder
	}
	h.start()
	t.Cleanup(h.stop)
	return h
}

func (h *host) url(path string) string { return "http://" + h.addr + path }

// serve puts a folder at a path, in place of what was there. An empty folder takes it away.
func (h *host) serve(path, folder string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if folder == "" {
		delete(h.at, path)
		return
	}
	h.at[path] = folder
}

// meddle has every request go through f first; f returns true when it has answered.
func (h *host) meddle(f func(w http.ResponseWriter, r *http.Request) bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.change = f
}

// requests returns what was asked for since the last call.
func (h *host) requests() []string {
	h.mu.Lock()
	defer h.mu.Unlock()
	asked := h.asked
	h.asked = nil
	return asked
}

func (h *host) start() {
	h.t.Helper()
	listener, err := net.Listen("tcp", h.addr)
	if err != nil {
		h.t.Fatal(err)
	}
	h.addr = listener.Addr().String()
	h.server = &http.Server{Handler: h}
	go h.server.Serve(listener)
}

// stop closes the server and all its connections, and makes sure that nothing listens there any more.
func (h *host) stop() {
	h.t.Helper()
	if h.server == nil {
		return
	}
	h.server.Close()
	h.server = nil
	if c, err := net.Dial("tcp", h.addr); err == nil {
		c.Close()
		h.t.Fatalf("something still listens on %s", h.addr)
	}
}

func (h *host) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h.mu.Lock()
	h.asked = append(h.asked, r.URL.RequestURI())
	change := h.change
	var path, folder string // the longest path that fits
	for p, f := range h.at {
		if strings.HasPrefix(r.URL.Path, p) && len(p) > len(path) {
			path, folder = p, f
		}
	}
	_, slash := h.at[r.URL.Path+"/"]
	h.mu.Unlock()
	switch {
	case change != nil && change(w, r):
	case slash:
		http.Redirect(w, r, r.URL.Path+"/", http.StatusMovedPermanently)
	case folder == "":
		http.NotFound(w, r)
	default:
		http.StripPrefix(strings.TrimSuffix(path, "/"), site.Handler(folder)).ServeHTTP(w, r)
	}
}

// folder is what stands at a path.
func (h *host) folder(path string) string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.at[path]
}

// bare answers as a plain static host does, with no headers of its own making. It is for meddle.
func (h *host) bare(w http.ResponseWriter, r *http.Request) bool {
	for path, folder := range h.at {
		if rest, ok := strings.CutPrefix(r.URL.Path, path); ok {
			http.ServeFileFS(w, r, os.DirFS(folder), cmp.Or(rest, site.Shell))
			return true
		}
	}
	return false
}

// copied returns a copy of a site that a test may change.
func copied(t testing.TB, folder string) string {
	t.Helper()
	to := filepath.Join(t.TempDir(), "site")
	if err := os.CopyFS(to, os.DirFS(folder)); err != nil {
		t.Fatal(err)
	}
	return to
}
