package wasmtest

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// tiny writes a module with one package that has a browser test with this body, and one that has none.
func tiny(t *testing.T, body string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{
		"go.mod":           "module tiny\n\ngo 1.26.0\n",
		"in/doc.go":        "package in\n",
		"in/in_js_test.go": "package in\n\nimport (\n\t\"syscall/js\"\n\t\"testing\"\n)\n\nfunc TestIn(t *testing.T) {\n" + body + "\n}\n",
		"out/out.go":       "package out\n",
		"out/out_test.go":  "package out\n\nimport \"testing\"\n\nfunc TestOut(t *testing.T) {}\n",
	} {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestFind(t *testing.T) {
	got, err := Find(t.Context(), tiny(t, "js.Global()"))
	if err != nil || !slices.Equal(got, []string{"tiny/in"}) {
		t.Errorf("Find = %q, %v", got, err)
	}
}

// A failure in the browser is a failure here, with what the test said.
func TestRun(t *testing.T) {
	if testing.Short() {
		t.Skip("needs a browser")
	}
	for _, tc := range []struct {
		name, body, says string
		fails            bool
	}{
		{"passes", `if js.Global().Get("indexedDB").IsUndefined() { t.Error("no browser") }`, "PASS", false},
		{"fails", `js.Global(); t.Error("seven is not eight")`, "seven is not eight", true},
		{"panics", `js.Global().Get("nothing").Call("there")`, "panic", true},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var out strings.Builder
			err := Run(t.Context(), tiny(t, tc.body), "tiny/in", &out)
			if errors.Is(err, ErrFailed) != tc.fails || !tc.fails && err != nil {
				t.Errorf("Run = %v", err)
			}
			if !strings.Contains(out.String(), tc.says) {
				t.Errorf("it said %q, want %q in it", out.String(), tc.says)
			}
		})
	}
}
