package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loomwright/build/site"
)

// floors is the house from the ground up. A package may import ours only from lower floors; where a floor is shared,
// also from its own (Go itself refuses a circle). Pages share a floor and may not.
var floors = []struct {
	packages []string // patterns of path.Match
	shared   bool
}{
	{packages: []string{"calc/sorting"}},
	{packages: []string{"calc/unit"}},
	{packages: []string{"calc/harness"}},
	{packages: []string{"calc/harness/harnesstest"}},
	{packages: []string{"calc/table", "calc/joint", "calc/stock"}},
	{packages: []string{"calc/survey", "calc/route", "calc/bundle", "calc/wire", "calc/tag"}, shared: true},
	{packages: []string{"calc/cut"}},
	{packages: []string{"calc/board", "calc/sketch", "calc/loom", "calc/circuit"}},
	{packages: []string{"calc/supply"}},
	{packages: []string{"calc/prove"}},
	{packages: []string{"calc/steps"}},
	{packages: []string{"calc/suspect", "calc/rules"}},
	{packages: []string{"storage"}},
	{packages: []string{"storage/memory", "storage/idb", "storage/storagetest", "app/device", "app/sheet", "app/sheet/sheettest"}},
	{packages: []string{"app/sheet/flat"}},
	{packages: []string{"app/sheet/paper"}},
	{packages: []string{"app/session"}},
	{packages: []string{"app/session/sessiontest", "app/kit"}},
	{packages: []string{"app/figure"}},
	{packages: []string{"app/*/*"}}, // parts of a page
	{packages: []string{"app/*"}},   // the pages
	{packages: []string{"app"}},
	{packages: []string{"app/wasm", "app/paper"}},
	{packages: []string{"build", "build/*", "build/*/*"}, shared: true},
}

// only holds what a package, or the packages under a path that ends with a slash, may import of ours, where that is
// less than its floor allows.
var only = map[string][]string{
	"storage":             {"calc/harness", "calc/unit", "calc/sorting"},
	"storage/idb":         {"storage", "calc/harness", "calc/unit"},
	"storage/memory":      {"storage", "calc/harness", "calc/unit"},
	"storage/storagetest": {"storage", "calc/harness", "calc/unit"},
	"app/device":          {"storage"},
	"app/sheet":           {"calc/*"},
	"app/sheet/flat":      {"app/sheet", "calc/*"},
	"app/sheet/paper":     {"app/sheet", "app/sheet/flat", "calc/*"},
	"app/sheet/sheettest": {"calc/*", "calc/harness/harnesstest"},
	"app/paper":           {"app/sheet", "app/sheet/paper", "storage"},
	"build/bench/hello":   {},
}

// children that import their parent: they fulfil, prove or run what the parent promises, and the parent knows nothing
// of them. Everywhere else a type that two rooms need moves down a floor.
var children = []string{"storage/idb", "storage/memory", "storage/storagetest", "app/session/sessiontest", "calc/harness/harnesstest",
	"app/sheet/paper", "app/sheet/flat", "app/wasm"}

// jsRooms is where the browser may be called directly.
var jsRooms = []string{"storage/idb", "app/device", "app/wasm", "app/paper"}

// calcStrangers is what arithmetic must not know, neither itself nor through others: the browser, the framework, the
// network. A clock and a random source are told by their use, see house_lint_test.go.
var calcStrangers = []string{"net/http", "os/exec", "github.com/maxence-charriere/go-app/v9/pkg/app",
	"loomwright/storage", "loomwright/app"}

// apart is what the programs of the browser must not hold, because of its weight or of what it could do: the library for
// PDF is in a program of its own, and that program has no network. Records have a codec of their own (calc/harness), so the
// second JSON package beside that of the framework is for tests; its jsontext is what texts are read with.
var apart = map[string][]string{
	"app/wasm":  {"codeberg.org/go-pdf/fpdf", "encoding/gob", "encoding/xml", "image/jpeg", secondJSON, here + "calc/board"},
	"app/paper": {"net/http", "github.com/maxence-charriere/go-app/v9/pkg/app", secondJSON},
}

const secondJSON = "github.com/go-json-experiment/json"

const here = "loomwright/" // the module's path

type listed struct {
	ImportPath                string
	Imports, Deps             []string
	GoFiles, IgnoredGoFiles   []string
	TestImports, XTestImports []string
	Error                     *struct{ Err string }
}

var targets = []struct {
	name string
	env  []string
}{{"native", nil}, {"js/wasm", wasmTarget}}

// packages returns every package of the module for a target.
func packages(t *testing.T, env []string) []listed {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), "go", "list", "-e", "-deps", "-json=ImportPath,Imports,Deps,GoFiles,IgnoredGoFiles,TestImports,XTestImports,Error", "./...")
	cmd.Dir, cmd.Env = "..", append(os.Environ(), env...)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var all []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		if p.ImportPath+"/" == here || strings.HasPrefix(p.ImportPath, here) {
			all = append(all, p)
		}
	}
	if len(all) < 10 {
		t.Fatalf("found %d packages of the module, the search is broken", len(all))
	}
	return all
}

func floorOf(name string) (floor int, shared, ok bool) {
	for i, f := range floors {
		if slices.Contains(f.packages, name) {
			return i, f.shared, true
		}
	}
	for i, f := range floors {
		for _, pattern := range f.packages {
			if match, _ := path.Match(pattern, name); match {
				return i, f.shared, true
			}
		}
	}
	return 0, false, false
}

// breach says why a package may not import another of ours, or "".
func breach(from, to string) string {
	high, shared, ok := floorOf(from)
	if !ok {
		return fmt.Sprintf("%s stands on no floor of the house: give it one in floors", from)
	}
	low, _, ok := floorOf(to)
	switch {
	case !ok:
		return fmt.Sprintf("%s stands on no floor of the house: give it one in floors", to)
	case low > high, low == high && !shared:
		return fmt.Sprintf("%s imports %s, which is not on a lower floor", from, to)
	case path.Dir(from) == to && !slices.Contains(children, from):
		return fmt.Sprintf("%s imports its parent", from)
	}
	if allowed, ok := only[from]; ok && !slices.ContainsFunc(allowed, func(pattern string) bool {
		match, _ := path.Match(pattern, to)
		return match
	}) {
		return fmt.Sprintf("%s imports %s; it may import only %v", from, to, allowed)
	}
	return ""
}

func TestImportsGoDownwards(t *testing.T) {
	for _, target := range targets {
		for _, p := range packages(t, target.env) {
			from, ours := strings.CutPrefix(p.ImportPath, here)
			if p.Error != nil || !ours {
				t.Errorf("%s: %s: %v", target.name, p.ImportPath, p.Error)
				continue
			}
			if len(p.GoFiles) == 0 && len(p.IgnoredGoFiles) > 0 && target.env == nil {
				t.Errorf("%s has files for the browser only: add a doc.go without a build line", from)
			}
			for _, imported := range p.Imports {
				if to, ours := strings.CutPrefix(imported, here); ours {
					if why := breach(from, to); why != "" {
						t.Errorf("%s: %s", target.name, why)
					}
				}
				if imported == "syscall/js" && !slices.Contains(jsRooms, from) {
					t.Errorf("%s: %s imports syscall/js; only %v may", target.name, from, jsRooms)
				}
			}
			strangers := apart[from]
			if strings.HasPrefix(from, "calc/") {
				strangers = calcStrangers
			}
			for _, stranger := range strangers {
				if slices.Contains(p.Deps, stranger) {
					t.Errorf("%s: %s reaches %s", target.name, from, stranger)
				}
			}
		}
	}
}

// The rules above do catch what they are for.
func TestBreach(t *testing.T) {
	for _, tc := range []struct {
		from, to string
		allowed  bool
	}{
		{"calc/harness", "calc/unit", true},
		{"calc/route", "calc/survey", true},
		{"app/walk", "app/kit", true},
		{"app/wasm", "storage/idb", true},
		{"storage/idb", "storage", true},
		{"calc/unit", "calc/harness", false},
		{"calc/route", "calc/cut", false},
		{"app/walk", "app/walk/tape", true},
		{"app/walk/tape", "app/walk", false},
		{"app/walk", "app/wires", false},
		{"app/walk", "app", false},
		{"app/kit", "app/walk", false},
		{"app/sheet", "storage", false},
		{"storage", "calc/cut", false},
		{"app/session", "storage/idb", true},
		{"app/sheet", "app/sheet/paper", false},
		{"app/paper", "app/device", false},
		{"calc/unheard", "calc/unit", false},
	} {
		if why := breach(tc.from, tc.to); (why == "") != tc.allowed {
			t.Errorf("%s imports %s: %q, want allowed %v", tc.from, tc.to, why, tc.allowed)
		}
	}
}

// serverText is a name that stands in a wasm that holds the web server of net/http, and in no other.
const serverText = "net/http.(*Server).Serve"

// The server weighs 11 MB and has no use on a phone. The framework imports net/http in any case, and what compiles the app
// takes that out of it, so only the program itself shows whether it is gone.
func TestWasmHoldsNoServer(t *testing.T) {
	root, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	program, err := site.Compile(t.Context(), site.Program{Module: root, Package: "./app/wasm", Cache: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{serverText, "net/http.", "crypto/tls."} {
		if bytes.Contains(program, []byte(text)) {
			t.Errorf("the program holds %q: something that app/wasm imports serves the web", text)
		}
	}
	if testing.Short() {
		return
	}
	// The proof that the text would be there.
	combined := filepath.Join(t.TempDir(), "main.go")
	if err := os.WriteFile(combined, []byte(`package main

import (
	"net/http"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

func main() {
	app.RunWhenOnBrowser()
	http.ListenAndServe("localhost:8080", &app.Handler{})
}
`), 0o644); err != nil {
		t.Fatal(err)
	}
	program, err = site.Compile(t.Context(), site.Program{Module: root, Package: combined, Cache: t.TempDir(), Whole: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{serverText, "net/http.", "crypto/tls."} {
		if !bytes.Contains(program, []byte(text)) {
			t.Errorf("a program with a server does not hold %q: this test proves nothing", text)
		}
	}
}

const (
	longest  = 500       // lines of a Go file; at that length there is a seam
	heaviest = 2_000_000 // bytes of any file: what is large is made, not kept
)

func TestNoFileIsTooLarge(t *testing.T) {
	files := 0
	err := filepath.WalkDir("..", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if name != ".." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "node_modules" || d.Name() == "dist") {
				return filepath.SkipDir
			}
			return nil
		}
		files++
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		if len(data) > heaviest {
			t.Errorf("%s: %d bytes, more than %d", name, len(data), heaviest)
		}
		if n := bytes.Count(data, []byte("\n")); filepath.Ext(name) == ".go" && n > longest {
			t.Errorf("%s: %d lines, more than %d", name, n, longest)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 50 {
		t.Errorf("looked at %d files, the search is broken", files)
	}
}
