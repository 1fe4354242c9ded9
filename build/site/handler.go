package site

import (
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// types is the content type by ending. A wrong one for wasm costs a second copy in memory at each start.
var types = map[string]string{
	".html":        "text/html; charset=utf-8",
	".js":          "text/javascript; charset=utf-8",
	".css":         "text/css; charset=utf-8",
	".wasm":        "application/wasm",
	".webmanifest": "application/manifest+json",
	".svg":         "image/svg+xml",
	".png":         "image/png",
	".ttf":         "font/ttf",
	".woff2":       "font/woff2",
	".txt":         "text/plain; charset=utf-8",
	".json":        "application/json",
	".build":       "application/octet-stream",
}

// Handler serves the site in a folder as a good host would: right types, compressed copies, checked with the server
// each time, and headers that keep others out. Only the files of the site exist, folders are not listed.
func Handler(dir string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			w.Header().Set("Allow", "GET, HEAD")
			http.Error(w, "only GET and HEAD", http.StatusMethodNotAllowed)
			return
		}
		name := strings.TrimPrefix(path.Clean(r.URL.Path), "/")
		if name == "" || strings.HasSuffix(r.URL.Path, "/") {
			name = path.Join(name, Shell)
		}
		kind, ok := types[path.Ext(name)]
		file := filepath.Join(dir, filepath.FromSlash(name))
		data, encoding := read(file, r.Header.Get("Accept-Encoding"))
		if !ok || !filepath.IsLocal(name) || data == nil {
			guard(w.Header())
			http.Error(w, "no such file", http.StatusNotFound)
			return
		}
		h := w.Header()
		guard(h)
		h.Set("Content-Type", kind)
		h.Set("Cache-Control", "no-cache")
		h.Set("Vary", "Accept-Encoding")
		if encoding != "" {
			h.Set("Content-Encoding", encoding)
		}
		sum := sha256.Sum256(data)
		tag := `"` + hex.EncodeToString(sum[:8]) + `"`
		h.Set("ETag", tag)
		if r.Header.Get("If-None-Match") == tag {
			w.WriteHeader(http.StatusNotModified)
			return
		}
		if r.Method == http.MethodGet {
			w.Write(data)
		}
	})
}

// read returns the smallest copy of a file that the browser takes, or nil if there is no such file.
func read(file, accept string) (data []byte, encoding string) {
	for _, c := range []struct{ encoding, ext string }{{"br", ".br"}, {"gzip", ".gz"}} {
		if strings.Contains(accept, c.encoding) {
			if data, err := os.ReadFile(file + c.ext); err == nil {
				return data, c.encoding
			}
		}
	}
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, ""
	}
	return data, ""
}

// guard sets the headers that keep the page to itself. frame-ancestors works only as a header, not in the document.
func guard(h http.Header) {
	h.Set("Content-Security-Policy", CSP+"; frame-ancestors 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Permissions-Policy", "camera=(self), accelerometer=(), bluetooth=(), geolocation=(), gyroscope=(), "+
		"magnetometer=(), microphone=(), midi=(), payment=(), serial=(), usb=()")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
}
