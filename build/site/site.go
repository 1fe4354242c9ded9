package site

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// WasmLimit is the most that app.wasm may weigh, compressed with brotli 11, in bytes.
//
// Source: our choice, because a phone on a weak signal (1 Mbit/s) should have the whole app in under 23 seconds.
const WasmLimit = 2_800_000

// The names that other parts of the site rely on. They never change: an old worker may still ask for them.
const (
	Shell  = "index.html"
	Loader = "loader.js"
	Worker = "worker.js"
	Wasm   = "app.wasm"
	Paper  = "paper.wasm"
	Exec   = "wasm_exec.js"
	Demo   = "demo.build"
)

// Options says what the site is made of.
type Options struct {
	Module  string // folder of the Go module
	Main    string // package of the program, with the framework as it comes; "" is ./app/wasm with ./app/paper beside it
	LDFlags string // more flags for the linker, beside -s -w
	Demo    string // build file that ships as demo.build; "" ships none
	Out     string // folder to write to, made if missing
	Cache   string // folder for what is slow to make, by hash; "" is .cache in Module
	Brotli  int    // level of the .br files, 1 to 11; 0 writes no compressed files at all
}

// File is one file of the site. Brotli and Gzip are 0 where there is no compressed copy.
type File struct {
	Name              string // relative, with slashes
	Raw, Brotli, Gzip int    // bytes
	Listed            bool   // kept by the service worker
}

// Site is what was made. The files are sorted by name.
type Site struct {
	Version string
	Files   []File
}

// File returns the file of that name.
func (s Site) File(name string) (File, bool) {
	i := slices.IndexFunc(s.Files, func(f File) bool { return f.Name == name })
	if i < 0 {
		return File{}, false
	}
	return s.Files[i], true
}

// Make compiles the program and writes the site. The same source gives the same bytes. The worker is written last, so
// that a phone which looks during the copying takes nothing half done.
func Make(ctx context.Context, o Options) (Site, error) {
	o.Cache = cmp.Or(o.Cache, filepath.Join(o.Module, ".cache"))
	if err := usable(o.Out); err != nil {
		return Site{}, err
	}
	files, err := collect(ctx, o)
	if err != nil {
		return Site{}, err
	}
	worker, version, err := finish(o, files)
	if err != nil {
		return Site{}, err
	}
	s := Site{Version: version}
	for _, name := range append(slices.Sorted(mapKeys(files)), Worker) {
		data := files[name]
		if name == Worker {
			data = worker
		}
		f, err := write(o, name, data)
		if err != nil {
			return Site{}, err
		}
		f.Listed = name != Worker
		s.Files = append(s.Files, f)
	}
	slices.SortFunc(s.Files, func(a, b File) int { return cmp.Compare(a.Name, b.Name) })
	return s, nil
}

// usable refuses a folder that holds something other than an earlier site.
func usable(dir string) error {
	entries, err := os.ReadDir(dir)
	if len(entries) == 0 && (err == nil || os.IsNotExist(err)) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("site: folder %q: %w", dir, err)
	}
	if _, err := os.Stat(filepath.Join(dir, Worker)); err != nil {
		return fmt.Errorf("site: folder %q: not empty, and not a site (it has no %s)", dir, Worker)
	}
	return nil
}

// collect returns every file of the site by name, the document and the worker still as they stand in web/.
func collect(ctx context.Context, o Options) (map[string][]byte, error) {
	files := map[string][]byte{}
	web := os.DirFS(filepath.Join(o.Module, "web"))
	err := fs.WalkDir(web, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path.Ext(name) == ".md" || name == "readme.png" {
			return err
		}
		data, err := fs.ReadFile(web, name)
		switch name {
		case Shell, Loader, Worker, "manifest.webmanifest":
			files[name] = data
		default:
			files["web/"+name] = data
		}
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("site: web: %w", err)
	}
	for name, draw := range icons {
		files[name] = draw()
	}
	programs := map[string]string{Wasm: o.Main}
	if o.Main == "" {
		programs = map[string]string{Wasm: "./app/wasm", Paper: "./app/paper"}
	}
	for name, pkg := range programs {
		p := Program{Module: o.Module, Package: pkg, LDFlags: o.LDFlags, Cache: o.Cache, Whole: o.Main != ""}
		if files[name], err = Compile(ctx, p); err != nil {
			return nil, err
		}
	}
	if files[Exec], err = execJS(ctx); err != nil {
		return nil, err
	}
	if o.Demo != "" {
		if files[Demo], err = os.ReadFile(o.Demo); err != nil {
			return nil, fmt.Errorf("site: demo build: %w", err)
		}
	}
	for name := range files {
		if !plain(name) {
			return nil, fmt.Errorf("site: file %q: a name may hold only a-z A-Z 0-9 . - _ /", name)
		}
	}
	return files, nil
}

// plain tells whether a name is the same in a folder and in an address.
func plain(name string) bool {
	return !strings.ContainsFunc(name, func(r rune) bool {
		return !('a' <= r && r <= 'z' || 'A' <= r && r <= 'Z' || '0' <= r && r <= '9' || strings.ContainsRune(".-_/", r))
	})
}

// finish puts the hashes into the document, takes the worker out of files and returns it with its list. The version
// covers every byte of the site, the worker's own text too.
func finish(o Options, files map[string][]byte) (worker []byte, version string, err error) {
	source, ok := files[Worker]
	if !ok {
		return nil, "", fmt.Errorf("site: web/%s is missing", Worker)
	}
	delete(files, Worker)
	if files[Shell], err = shell(files); err != nil {
		return nil, "", err
	}
	sum := sha256.New()
	sum.Write(source)
	list := map[string]string{}
	for _, name := range slices.Sorted(mapKeys(files)) {
		fmt.Fprintln(sum, name, integrity(files[name]))
		if name == Shell {
			list[""] = integrity(files[name]) // hosts disagree about the name, all serve it for the folder
			continue
		}
		list[name] = integrity(files[name])
	}
	version = hex.EncodeToString(sum.Sum(nil))[:12]
	worker, err = listed(source, version, list)
	return worker, version, err
}

// integrity returns the hash of a file as browsers take it. Source: W3C Subresource Integrity, 3.1.
func integrity(data []byte) string {
	h := sha256.Sum256(data)
	return "sha256-" + base64.StdEncoding.EncodeToString(h[:])
}

// stamp returns what stands behind the ? in the address of a file, so that a browser's own cache cannot answer with the
// file of another version. The worker derives the same one from its list.
func stamp(data []byte) string {
	only := strings.Map(func(r rune) rune {
		if strings.ContainsRune("+/=", r) {
			return -1
		}
		return r
	}, strings.TrimPrefix(integrity(data), "sha256-"))
	return only[:12]
}
