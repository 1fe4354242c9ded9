// Package wasmtest runs the tests that only a browser can run: those in files for GOOS=js.
package wasmtest

import (
	"bytes"
	"context"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"

	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
	"loomwright/build/site"
)

//go:embed run.js
var runJS []byte

const runHTML = `<!doctype html><title>tests</title><script src="wasm_exec.js"></script><script>window.loomwright = {}</script><script src="web/files.js"></script><script src="run.js"></script>`

// ErrFailed is a test that failed; what it said has been passed on.
var ErrFailed = errors.New("wasmtest: failed")

// Find returns the import paths of the packages that have test files for js which the native target does not have,
// sorted.
func Find(ctx context.Context, module string) ([]string, error) {
	native, err := testFiles(ctx, module)
	if err != nil {
		return nil, err
	}
	browsers, err := testFiles(ctx, module, "GOOS=js", "GOARCH=wasm")
	if err != nil {
		return nil, err
	}
	var found []string
	for path, files := range browsers {
		if slices.ContainsFunc(files, func(f string) bool { return !slices.Contains(native[path], f) }) {
			found = append(found, path)
		}
	}
	slices.Sort(found)
	return found, nil
}

// testFiles returns the test files of every package for the target in env.
func testFiles(ctx context.Context, module string, env ...string) (map[string][]string, error) {
	cmd := exec.CommandContext(ctx, "go", "list", "-e", "-json=ImportPath,TestGoFiles,XTestGoFiles", "./...")
	cmd.Dir, cmd.Env = module, append(os.Environ(), env...)
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("wasmtest: go list: %w", err)
	}
	files := map[string][]string{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p struct {
			ImportPath                string
			TestGoFiles, XTestGoFiles []string
		}
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return files, nil
		} else if err != nil {
			return nil, fmt.Errorf("wasmtest: go list: %w", err)
		}
		files[p.ImportPath] = append(p.TestGoFiles, p.XTestGoFiles...)
	}
}

// Run compiles the tests of a package and runs them in a browser with an empty profile. What they print goes to w as
// it comes; args are the flags of a test binary ("-test.run=X"). It returns ErrFailed when a test fails.
func Run(ctx context.Context, module, pkg string, w io.Writer, args ...string) error {
	dir, err := os.MkdirTemp("", "loomwright-wasmtest-")
	if err != nil {
		return fmt.Errorf("wasmtest: %w", err)
	}
	defer os.RemoveAll(dir)
	binary := filepath.Join(dir, "test.wasm")
	cmd := exec.CommandContext(ctx, "go", "test", "-c", "-o", binary, pkg)
	cmd.Dir, cmd.Env = module, append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	cmd.Stdout, cmd.Stderr = w, w
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("wasmtest: compile the tests of %s: %w", pkg, err)
	}
	execJS, err := site.ExecJS(ctx)
	if err != nil {
		return err
	}
	profile := filepath.Join(dir, "profile")
	if err := os.Mkdir(profile, 0o755); err != nil {
		return fmt.Errorf("wasmtest: %w", err)
	}

	code := make(chan int, 1)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return fmt.Errorf("wasmtest: %w", err)
	}
	server := &http.Server{Handler: handler(module, binary, execJS, args, w, code)}
	go server.Serve(listener)
	defer server.Close()

	tab, stop, err := browser.Start(ctx, browser.Options{Profile: profile})
	if err != nil {
		return err
	}
	defer stop()
	gone, err := chromedp.Detached(tab)
	if err != nil {
		return fmt.Errorf("wasmtest: %w", err)
	}
	if err := chromedp.Do(tab, chromedp.Navigate("http://"+listener.Addr().String()+"/")); err != nil {
		return fmt.Errorf("wasmtest: %w", err)
	}
	select {
	case c := <-code:
		if c != 0 {
			return fmt.Errorf("%w: %s, exit code %d", ErrFailed, pkg, c)
		}
		return nil
	case <-gone:
		return fmt.Errorf("wasmtest: %s: the browser went away before the tests ended", pkg)
	case <-ctx.Done():
		return fmt.Errorf("wasmtest: %s: %w", pkg, context.Cause(ctx))
	}
}

// handler serves the page, the test binary and the files of web/, and takes what the tests print and how they end.
func handler(module, binary, execJS string, args []string, w io.Writer, code chan<- int) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		io.WriteString(w, runHTML)
	})
	mux.HandleFunc("GET /args", func(w http.ResponseWriter, _ *http.Request) {
		json.NewEncoder(w).Encode(append([]string{"test"}, args...))
	})
	mux.HandleFunc("GET /run.js", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "text/javascript")
		w.Write(runJS)
	})
	mux.HandleFunc("GET /wasm_exec.js", func(w http.ResponseWriter, r *http.Request) { http.ServeFile(w, r, execJS) })
	mux.HandleFunc("GET /test.wasm", func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "application/wasm")
		http.ServeFile(w, r, binary)
	})
	mux.Handle("GET /web/", http.FileServer(http.Dir(module)))
	mux.HandleFunc("POST /out", func(_ http.ResponseWriter, r *http.Request) { io.Copy(w, r.Body) })
	mux.HandleFunc("POST /exit", func(_ http.ResponseWriter, r *http.Request) {
		c, err := strconv.Atoi(r.FormValue("code"))
		if err != nil {
			c = 1
		}
		select {
		case code <- c:
		default: // the first end counts
		}
	})
	return mux
}
