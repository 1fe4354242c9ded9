package site

import (
	"bytes"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"path"
	"slices"
	"strings"
	"text/template"
)

// CSP is what a page of the site may do: run its own scripts and its own wasm, show its own pictures, and talk to
// nobody else. Inline scripts and styles are refused.
const CSP = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob: data:; " +
	"media-src 'self' blob:; worker-src 'self'; connect-src 'self'; form-action 'none'; object-src 'none'; base-uri 'none'"

// shell fills web/index.html: the policy, the styles of web/ by name, and the addresses with their stamps.
func shell(files map[string][]byte) ([]byte, error) {
	text, ok := files[Shell]
	if !ok {
		return nil, fmt.Errorf("site: web/%s is missing", Shell)
	}
	var styles []string
	for _, name := range slices.Sorted(mapKeys(files)) {
		if path.Dir(name) == "web" && path.Ext(name) == ".css" {
			styles = append(styles, name)
		}
	}
	page, err := template.New(Shell).Funcs(template.FuncMap{
		"csp":    func() string { return CSP },
		"styles": func() []string { return styles },
		"address": func(name string) (string, error) {
			data, ok := files[name]
			if !ok {
				return "", fmt.Errorf("no file %q in the site", name)
			}
			return name + "?" + stamp(data), nil
		},
	}).Parse(string(text))
	if err != nil {
		return nil, fmt.Errorf("site: %w", err)
	}
	var out bytes.Buffer
	if err := page.Execute(&out, nil); err != nil {
		return nil, fmt.Errorf("site: %w", err)
	}
	return out.Bytes(), nil
}

// siteLine is the line of web/worker.js that the list takes the place of.
const siteLine = `const SITE = { version: "", files: {} };`

// listed writes the version and the hashes of all files into the worker.
func listed(source []byte, version string, files map[string]string) ([]byte, error) {
	if n := strings.Count(string(source), siteLine); n != 1 {
		return nil, fmt.Errorf("site: web/%s holds the line %q %d times, not once", Worker, siteLine, n)
	}
	list, err := json.Marshal(struct {
		Version string            `json:"version"`
		Files   map[string]string `json:"files"` // by name, "" is the document; sorted by the encoder
	}{version, files})
	if err != nil {
		return nil, fmt.Errorf("site: %w", err)
	}
	return bytes.Replace(source, []byte(siteLine), []byte("const SITE = "+string(list)+";"), 1), nil
}

func mapKeys(m map[string][]byte) iter.Seq[string] { return maps.Keys(m) }
