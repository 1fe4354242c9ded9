package e2e

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"loomwright/build/browser"
	"loomwright/build/site"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// scanWasm builds the test page once for all tests here.
var scanWasm = sync.OnceValues(func() ([]byte, error) {
	dir, err := os.MkdirTemp("", "scanpage")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	out := filepath.Join(dir, "page.wasm")
	build := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", out, "./scanpage")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if text, err := build.CombinedOutput(); err != nil {
		return nil, errors.New(string(text))
	}
	return os.ReadFile(out)
})

// scanServer serves the test page in the folder /a/ as the app is served, without the files named in missing.
func scanServer(t *testing.T, missing ...string) string {
	t.Helper()
	if testing.Short() {
		t.Skip("needs a browser")
	}
	wasm, err := scanWasm()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	put := func(name string, data []byte, err error) {
		if err == nil {
			err = os.MkdirAll(filepath.Dir(filepath.Join(dir, name)), 0o755)
		}
		if err == nil && !slices.Contains(missing, name) {
			err = os.WriteFile(filepath.Join(dir, name), data, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	put("page.wasm", wasm, nil)
	for name, from := range map[string]string{
		"index.html":             "scanpage/index.html",
		"boot.js":                "scanpage/boot.js",
		"wasm_exec.js":           filepath.Join(runtime.GOROOT(), "lib/wasm/wasm_exec.js"),
		"web/reader/reader.js":   "../../web/reader/reader.js",
		"web/reader/reader.wasm": "../../web/reader/reader.wasm",
	} {
		data, err := os.ReadFile(from)
		put(name, data, err)
	}
	server := httptest.NewServer(http.StripPrefix("/a", site.Handler(dir)))
	t.Cleanup(server.Close)
	return server.URL + "/a/"
}

// handset is the test page open in a browser of its own.
type handset struct {
	*testing.T
	ctx     context.Context
	url     string
	console func() []string // errors in the browser's console so far
}

// scanPhone opens the page at url with more browser flags ("name=value" or "name"); script runs before the page's own.
func scanPhone(t *testing.T, url, script string, flags ...string) handset {
	t.Helper()
	options := browser.Options{Profile: t.TempDir(), Flags: map[string]string{}}
	for _, f := range flags {
		name, value, _ := strings.Cut(f, "=")
		options.Flags[name] = value
	}
	tab, stop, err := browser.Start(t.Context(), options)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(stop)
	ctx, end := context.WithTimeout(tab, 90*time.Second)
	t.Cleanup(end)
	p := handset{T: t, ctx: ctx, url: url}
	messages := chromedp.Console(ctx)
	var mu sync.Mutex
	var lines []string
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			if m.Type == chromedp.ConsoleError || m.IsException() {
				mu.Lock()
				lines = append(lines, m.Text)
				mu.Unlock()
			}
		}
	}()
	p.console = func() []string {
		mu.Lock()
		defer mu.Unlock()
		return append([]string(nil), lines...)
	}
	if script != "" {
		add := page.AddScriptToEvaluateOnNewDocumentParams{Source: script}
		if _, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, add); err != nil {
			t.Fatal(err)
		}
	}
	p.do(chromedp.Navigate(url))
	p.waitLine("ready")
	return p
}

func (p handset) do(steps ...chromedp.Action[chromedp.Void]) {
	p.Helper()
	if err := chromedp.Do(p.ctx, steps...); err != nil {
		p.Fatal(err)
	}
}

func (p handset) press(id string) {
	p.Helper()
	p.do(chromedp.Click(chromedp.ID(id)))
}

// is tells whether an expression holds on the page.
func (p handset) is(expression string) bool {
	p.Helper()
	yes, err := chromedp.Run(p.ctx, chromedp.Evaluate[bool](expression))
	if err != nil {
		p.Fatal(err)
	}
	return yes
}

func (p handset) eval(script string) {
	p.Helper()
	p.is("(() => {" + script + "; return true})()")
}

// log is what the page told, line by line.
func (p handset) log() []string {
	p.Helper()
	text, err := chromedp.Run(p.ctx, chromedp.Evaluate[string](`document.getElementById("log").textContent`))
	if err != nil {
		p.Fatal(err)
	}
	return strings.Split(strings.TrimSpace(text), "\n")
}

func (p handset) clear() {
	p.Helper()
	p.eval(`document.getElementById("log").textContent = ""`)
}

// waitLine waits for a line of the log that begins with prefix.
func (p handset) waitLine(prefix string) {
	p.Helper()
	quoted := strings.ReplaceAll(prefix, `"`, `\"`)
	expression := `("\n" + (document.getElementById("log")?.textContent ?? "")).includes("\n` + quoted + `")`
	if _, err := chromedp.Run(p.ctx, chromedp.Poll[bool](expression, chromedp.WithPollingInterval(20*time.Millisecond),
		chromedp.WithPollingTimeout(30*time.Second))); err != nil {
		p.Fatalf("waiting for %q: %v; log: %q; console: %q", prefix, err, p.log(), p.console())
	}
}

// quiet fails if the browser complained of anything, a breach of the policy above all.
func (p handset) quiet() {
	p.Helper()
	for _, line := range p.console() {
		p.Errorf("console: %s", line)
	}
}

// upload presses a button that opens the file chooser and chooses the files there; none closes it.
func (p handset) upload(id string, files ...string) {
	p.Helper()
	intercept := page.SetInterceptFileChooserDialogParams{Enabled: true}
	if _, err := chromedp.Call(p.ctx, page.SetInterceptFileChooserDialog, intercept); err != nil {
		p.Fatal(err)
	}
	if _, err := chromedp.Run(p.ctx, chromedp.WaitEvent(page.FileChooserOpened, nil, chromedp.Click(chromedp.ID(id)))); err != nil {
		p.Fatal(err)
	}
	input := chromedp.CSS(`input[type=file]`)
	if len(files) == 0 {
		p.eval(`document.querySelector("input[type=file]").dispatchEvent(new Event("cancel"))`)
		return
	}
	p.do(chromedp.SetUploadFiles(input, files))
}
