package site

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"
)

// tiny returns options for a module with the real web/ and programs that do nothing.
func tiny(t *testing.T) Options {
	t.Helper()
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "web"), os.DirFS("../../web")); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(dir, "go.mod"), "module tiny\n\ngo 1.26.0\n")
	for _, program := range []string{"wasm", "paper"} {
		put(t, filepath.Join(dir, "app", program, "main.go"), "package main\n\nfunc main() {}\n")
	}
	put(t, filepath.Join(dir, "demo"), "a build")
	return Options{Module: dir, Demo: filepath.Join(dir, "demo"), Out: filepath.Join(dir, "out"), Brotli: 4}
}

func put(t *testing.T, name, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func get(t *testing.T, o Options, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(o.Out, name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestMake(t *testing.T) {
	o := tiny(t)
	s, err := Make(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
	line := regexp.MustCompile(`(?m)^const SITE = (.*);$`).FindSubmatch(get(t, o, Worker))
	if line == nil {
		t.Fatal("the worker has no list")
	}
	var list struct {
		Version string
		Files   map[string]string
	}
	if err := json.Unmarshal(line[1], &list); err != nil {
		t.Fatal(err)
	}
	if list.Version != s.Version || s.Version == "" {
		t.Errorf("version %q in the worker, %q told", list.Version, s.Version)
	}
	if len(list.Files) != len(s.Files)-1 {
		t.Errorf("the worker keeps %d files of %d; want all but itself", len(list.Files), len(s.Files))
	}
	for name, hash := range list.Files {
		if name == "" {
			name = Shell
		}
		data := get(t, o, name)
		if got := integrity(data); got != hash {
			t.Errorf("%s: hash %s in the list, the file has %s", name, hash, got)
		}
		f, ok := s.File(name)
		if !ok || f.Raw != len(data) || !f.Listed {
			t.Errorf("%s: told as %+v, has %d bytes", name, f, len(data))
		}
		if f.Brotli == 0 {
			continue
		}
		if got, err := io.ReadAll(brotli.NewReader(bytes.NewReader(get(t, o, name+".br")))); err != nil || !bytes.Equal(got, data) {
			t.Errorf("%s.br is not the same file: %v", name, err)
		}
		z, err := gzip.NewReader(bytes.NewReader(get(t, o, name+".gz")))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(z); err != nil || !bytes.Equal(got, data) {
			t.Errorf("%s.gz is not the same file: %v", name, err)
		}
	}
	for _, name := range []string{Wasm, Paper, "web/paper.js"} {
		if list.Files[name] == "" {
			t.Errorf("%s is not kept", name)
		}
	}
	for _, name := range []string{"README.md", "web/reader/README.md", "web/readme.png", "web/index.html", "web/worker.js"} {
		if _, err := os.Stat(filepath.Join(o.Out, name)); err == nil {
			t.Errorf("%s is part of the site", name)
		}
	}
}

// A worker from a host without headers has no policy of its own, so its script must have no way to the network but for
// the script that starts a program.
func TestPaperWorkerHasNoNetwork(t *testing.T) {
	script, err := os.ReadFile("../../web/paper.js")
	if err != nil {
		t.Fatal(err)
	}
	exec, err := execJS(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	const start = `importScripts("../wasm_exec.js");`
	text := string(script)
	if strings.Count(text, start) != 1 {
		t.Errorf("the worker does not hold %s once", start)
	}
	text = strings.ToLower(strings.Replace(text, start, "", 1) + string(exec))
	for _, word := range []string{"fetch(", "xmlhttp", "importscripts", "import(", "websocket", "eventsource", "webtransport",
		"rtcpeer", "beacon", "new worker", "eval(", "new function"} {
		if strings.Contains(text, word) {
			t.Errorf("the worker holds %q", word)
		}
	}
}

// Every address in the document, the manifest and the styles is relative and leads to a file of the site.
func TestAddressesAreRelative(t *testing.T) {
	o := tiny(t)
	s, err := Make(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
	address := regexp.MustCompile(`(?:\bsrc|\bhref|data-wasm)="([^"]*)"|"src": "([^"]*)"|url\(([^)]*)\)`)
	found := 0
	for _, f := range s.Files {
		if ext := filepath.Ext(f.Name); ext != ".html" && ext != ".webmanifest" && ext != ".css" {
			continue
		}
		for _, m := range address.FindAllStringSubmatch(string(get(t, o, f.Name)), -1) {
			found++
			name, stamped, hasStamp := strings.Cut(m[1]+m[2]+strings.Trim(m[3], `"'`), "?")
			data := get(t, o, filepath.Join(filepath.Dir(f.Name), name))
			if hasStamp && stamped != stamp(data) {
				t.Errorf("%s: %s has the stamp %s, the file has %s", f.Name, name, stamped, stamp(data))
			}
			if strings.HasPrefix(name, "/") || strings.Contains(name, ":") {
				t.Errorf("%s: address %q is not relative", f.Name, name)
			}
		}
	}
	if found < 8 {
		t.Errorf("%d addresses found, the search is broken", found)
	}
}

func TestSameSourceSameSite(t *testing.T) {
	o := tiny(t)
	first, err := Make(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
	again := o
	again.Out, again.Cache = filepath.Join(t.TempDir(), "again"), t.TempDir()
	second, err := Make(t.Context(), again)
	if err != nil {
		t.Fatal(err)
	}
	if first.Version != second.Version {
		t.Errorf("versions %s and %s of one source", first.Version, second.Version)
	}
	for _, f := range first.Files {
		if !bytes.Equal(get(t, o, f.Name), get(t, again, f.Name)) {
			t.Errorf("%s differs", f.Name)
		}
	}
	put(t, filepath.Join(o.Module, "web", "worker.js"), string(get(t, Options{Out: "../../web"}, Worker))+"\n// changed\n")
	third, err := Make(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
	if third.Version == first.Version {
		t.Error("a changed worker has the version of the old one")
	}
}

func TestMakeRefuses(t *testing.T) {
	for _, tc := range []struct {
		name, says string
		spoil      func(t *testing.T, o *Options)
	}{
		{"a folder with other things", "not empty", func(t *testing.T, o *Options) { put(t, filepath.Join(o.Out, "letter.txt"), "dear") }},
		{"no demo build", "no-such.build", func(t *testing.T, o *Options) { o.Demo = filepath.Join(o.Module, "no-such.build") }},
		{"a program that does not compile", "./app/wasm", func(t *testing.T, o *Options) {
			put(t, filepath.Join(o.Module, "app", "wasm", "main.go"), "package main\n\nfunc main() { nothing() }\n")
		}},
		{"a worker without its list", "not once", func(t *testing.T, o *Options) {
			put(t, filepath.Join(o.Module, "web", Worker), "// no list\n")
		}},
		{"a document that names a file of no site", "no file", func(t *testing.T, o *Options) {
			put(t, filepath.Join(o.Module, "web", Shell), `<script src="{{address "other.js"}}"></script>`)
		}},
		{"a name that an address would write otherwise", "a name may hold only", func(t *testing.T, o *Options) {
			put(t, filepath.Join(o.Module, "web", "a b.css"), "")
		}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			o := tiny(t)
			tc.spoil(t, &o)
			if _, err := Make(t.Context(), o); err == nil || !strings.Contains(err.Error(), tc.says) {
				t.Errorf("Make = %v, want %q in it", err, tc.says)
			}
		})
	}
}

// A site written again without compression leaves no old compressed file that a host could serve.
func TestOldCompressedFilesGo(t *testing.T) {
	o := tiny(t)
	if _, err := Make(t.Context(), o); err != nil {
		t.Fatal(err)
	}
	o.Brotli = 0
	if _, err := Make(t.Context(), o); err != nil {
		t.Fatal(err)
	}
	left, err := filepath.Glob(filepath.Join(o.Out, "*.br"))
	if err != nil || len(left) > 0 {
		t.Errorf("left: %q, %v", left, err)
	}
}

func TestHandler(t *testing.T) {
	o := tiny(t)
	if _, err := Make(t.Context(), o); err != nil {
		t.Fatal(err)
	}
	h := Handler(o.Out)
	for _, tc := range []struct {
		path, accept   string
		code           int
		kind, encoding string
	}{
		{"/", "", 200, "text/html; charset=utf-8", ""},
		{"/", "gzip, deflate, br", 200, "text/html; charset=utf-8", "br"},
		{"/app.wasm", "gzip", 200, "application/wasm", "gzip"},
		{"/app.wasm?abc", "br", 200, "application/wasm", "br"},
		{"/manifest.webmanifest", "", 200, "application/manifest+json", ""},
		{"/web/icon-192.png", "br", 200, "image/png", ""},
		{"/web/", "", 404, "", ""},
		{"/app.wasm.br", "", 404, "", ""},
		{"/nothing.js", "", 404, "", ""},
		{"/../go.mod", "", 404, "", ""},
		{"/..%2fgo.mod", "", 404, "", ""},
	} {
		r := httptest.NewRequest(http.MethodGet, tc.path, nil)
		r.Header.Set("Accept-Encoding", tc.accept)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		if w.Code != tc.code || tc.code == 200 && (w.Header().Get("Content-Type") != tc.kind || w.Header().Get("Content-Encoding") != tc.encoding) {
			t.Errorf("GET %s: %d %v", tc.path, w.Code, w.Header())
		}
		if csp := w.Header().Get("Content-Security-Policy"); !strings.Contains(csp, "frame-ancestors 'none'") || !strings.HasPrefix(csp, CSP) {
			t.Errorf("GET %s: policy %q", tc.path, csp)
		}
		if w.Header().Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("GET %s: the browser may guess the type", tc.path)
		}
		if tc.code != 200 {
			continue
		}
		r.Header.Set("If-None-Match", w.Header().Get("ETag"))
		w = httptest.NewRecorder()
		if h.ServeHTTP(w, r); w.Code != http.StatusNotModified || w.Body.Len() > 0 {
			t.Errorf("GET %s again: %d with %d bytes", tc.path, w.Code, w.Body.Len())
		}
	}
	w := httptest.NewRecorder()
	if h.ServeHTTP(w, httptest.NewRequest(http.MethodPost, "/", nil)); w.Code != http.StatusMethodNotAllowed {
		t.Errorf("POST: %d", w.Code)
	}
}
