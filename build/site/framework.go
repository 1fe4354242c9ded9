package site

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// framework is the module that pages are drawn with, and frameworkNeeds the only one that its part for browsers needs.
const (
	framework      = "github.com/maxence-charriere/go-app/v9"
	frameworkNeeds = "github.com/google/uuid"
)

// frameworkParts are its folders that a page needs, and serverFiles what of them serves pages over the network: with it
// come net/http, TLS and certificates, whose tables stand in every program although nothing calls them. Without, app.wasm
// weighs 350 KB less. Routes by regular expression go with them, 45 KB: there is one document and one path.
var (
	frameworkParts = []string{"pkg/app", "pkg/errors"}
	serverFiles    = []string{"pkg/app/http.go", "pkg/app/resource.go", "pkg/app/route.go"}
)

// clientFile takes the place of serverFiles: what the rest of the framework needs of them in a browser.
const clientFile = `package app

import (
	"reflect"
	"strings"
)

var routes = router{routes: map[string]func() Composer{}}

// router knows which component a path shows.
type router struct{ routes map[string]func() Composer }

// Route sets the type of component that a path shows.
func Route(path string, c Composer) {
	kind := reflect.TypeOf(c).Elem()
	RouteFunc(path, func() Composer { return reflect.New(kind).Interface().(Composer) })
}

// RouteFunc sets what makes the component that a path shows.
func RouteFunc(path string, newComponent func() Composer) { routes.routes[path] = newComponent }

func (r *router) createComponent(path string) (Composer, bool) {
	newComponent, ok := r.routes[path]
	if !ok {
		return nil, false
	}
	return newComponent(), true
}

// Handler is the web server, which a program in a browser has not.
type Handler struct{}

func isRemoteLocation(path string) bool {
	return strings.HasPrefix(path, "https://") || strings.HasPrefix(path, "http://")
}

func isStaticResourcePath(path string) bool {
	return strings.HasPrefix(path, "/web/") || strings.HasPrefix(path, "web/")
}
`

// clientOnly makes a workspace in which the framework has no web server, and returns the environment in which go compiles
// in it. A program that does not use the framework needs none.
func clientOnly(ctx context.Context, p Program) (env []string, err error) {
	source, requires, err := frameworkOf(ctx, p)
	if err != nil || source == "" {
		return nil, err
	}
	files := map[string][]byte{
		"framework/go.mod":            []byte("module " + framework + "\n\ngo 1.26.0\n\nrequire " + requires + "\n"),
		"framework/pkg/app/client.go": []byte(clientFile),
	}
	for _, part := range frameworkParts {
		if err := gather(files, source, part); err != nil {
			return nil, fmt.Errorf("site: framework: %w", err)
		}
	}
	for _, name := range serverFiles {
		if _, ok := files["framework/"+name]; !ok {
			return nil, fmt.Errorf("site: framework: it has no %s: find what serves pages in this version of it", name)
		}
		delete(files, "framework/"+name)
	}
	root, err := filepath.Abs(p.Module)
	if err != nil {
		return nil, fmt.Errorf("site: %w", err)
	}
	files["go.work"] = []byte("go 1.26.0\n\nuse (\n\t" + root + "\n\t./framework\n)\n")
	dir, err := kept(filepath.Join(p.Cache, "framework"), files)
	if err == nil {
		dir, err = filepath.Abs(dir)
	}
	if err != nil {
		return nil, fmt.Errorf("site: framework: %w", err)
	}
	return []string{"GOWORK=" + filepath.Join(dir, "go.work")}, nil
}

// frameworkOf returns the folder of the framework, "" if the program does not use it, and frameworkNeeds with its version.
func frameworkOf(ctx context.Context, p Program) (dir, requires string, err error) {
	cmd := exec.CommandContext(ctx, "go", "list", "-deps", "-f", "{{with .Module}}{{.Path}}\t{{.Version}}\t{{.Dir}}{{end}}", p.Package)
	cmd.Dir, cmd.Env = p.Module, append(os.Environ(), wasmTarget...)
	out, err := cmd.Output()
	if err != nil {
		var exit *exec.ExitError
		if errors.As(err, &exit) {
			err = fmt.Errorf("%w\n%s", err, exit.Stderr)
		}
		return "", "", fmt.Errorf("site: compile %s: go list: %w", p.Package, err)
	}
	for line := range strings.Lines(string(out)) {
		switch f := strings.Split(strings.TrimRight(line, "\n"), "\t"); f[0] {
		case framework:
			dir = f[2]
		case frameworkNeeds:
			requires = f[0] + " " + f[1]
		}
	}
	return dir, requires, nil
}

// gather reads the Go files of a folder, but not its tests.
func gather(files map[string][]byte, source, part string) error {
	entries, err := os.ReadDir(filepath.Join(source, part))
	if err != nil {
		return err
	}
	for _, e := range entries {
		if name := e.Name(); filepath.Ext(name) == ".go" && !strings.HasSuffix(name, "_test.go") {
			data, err := os.ReadFile(filepath.Join(source, part, name))
			if err != nil {
				return err
			}
			files["framework/"+part+"/"+name] = data
		}
	}
	return nil
}

// kept returns a folder with these files, named by their hash. It is made if it is not there.
func kept(cache string, files map[string][]byte) (dir string, err error) {
	sum := sha256.New()
	for _, name := range slices.Sorted(mapKeys(files)) {
		fmt.Fprintf(sum, "%s %d\n", name, len(files[name]))
		sum.Write(files[name])
	}
	dir = filepath.Join(cache, hex.EncodeToString(sum.Sum(nil))[:16])
	if _, err := os.Stat(dir); !errors.Is(err, fs.ErrNotExist) {
		return dir, err
	}
	if err := os.MkdirAll(cache, 0o755); err != nil {
		return "", err
	}
	// A name of its own until it is whole: two commands may run at once.
	fresh, err := os.MkdirTemp(cache, "new-")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(fresh)
	for name, data := range files {
		file := filepath.Join(fresh, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return "", err
		}
		if err := os.WriteFile(file, data, 0o644); err != nil {
			return "", err
		}
	}
	if err := os.Rename(fresh, dir); err != nil && !errors.Is(err, fs.ErrExist) {
		return "", err
	}
	return dir, nil
}
