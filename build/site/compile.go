package site

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// small are compiler flags: calls are not inlined, which takes 6 % off the compressed program, but where speed counts more
// than size: in the runtime and in the arithmetic of lengths and bundles.
var small = []string{
	"-gcflags=all=-l",
	"-gcflags=runtime=", "-gcflags=runtime/...=", "-gcflags=internal/...=", "-gcflags=sync/...=", "-gcflags=math/...=",
	"-gcflags=strings=", "-gcflags=bytes=", "-gcflags=syscall/js=",
	"-gcflags=loomwright/calc/survey=", "-gcflags=loomwright/calc/bundle=",
	"-gcflags=loomwright/calc/harness=",
}

// wasmTarget is the environment in which go compiles for browsers.
var wasmTarget = []string{"GOOS=js", "GOARCH=wasm"}

// Program says what to compile.
type Program struct {
	Module  string // folder of the Go module
	Package string // a main package
	LDFlags string // more flags for the linker, beside -s -w
	Cache   string // folder for what is slow to make
	Whole   bool   // with the framework as it comes, its web server included
}

// Compile returns a program as wasm for browsers, as light as it gets without being slower: the framework without its web
// server, the memory in few pieces. Neither a debug table nor the state of version control goes in, so that the same source
// gives the same bytes.
func Compile(ctx context.Context, p Program) ([]byte, error) {
	if err := os.MkdirAll(p.Cache, 0o755); err != nil {
		return nil, fmt.Errorf("site: %w", err)
	}
	dir, err := os.MkdirTemp(p.Cache, "wasm-")
	if err != nil {
		return nil, fmt.Errorf("site: %w", err)
	}
	defer os.RemoveAll(dir)
	env := append(os.Environ(), wasmTarget...)
	if !p.Whole {
		work, err := clientOnly(ctx, p)
		if err != nil {
			return nil, err
		}
		env = append(env, work...)
	}
	overlay, err := withoutPNG(ctx, dir)
	if err != nil {
		return nil, err
	}
	out := filepath.Join(dir, Wasm)
	args := append([]string{"build", "-trimpath", "-buildvcs=false", "-overlay", overlay,
		"-ldflags", strings.TrimSpace("-s -w " + p.LDFlags)}, small...)
	cmd := exec.CommandContext(ctx, "go", append(args, "-o", out, p.Package)...)
	cmd.Dir, cmd.Env = p.Module, env
	var said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &said, &said
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("site: compile %s: %w\n%s", p.Package, err, said.Bytes())
	}
	program, err := os.ReadFile(out)
	if err != nil {
		return nil, fmt.Errorf("site: %w", err)
	}
	return joined(program)
}

// pngDecoder is the line by which the PNG package makes its decoder known to whoever decodes pictures. The library for QR
// codes brings the package along, and then the decoder and what unpacks its data stand in a program that decodes nothing.
const pngDecoder = `image.RegisterFormat("png", pngHeader, Decode, DecodeConfig)`

// withoutPNG writes into dir a list of files for the compiler's -overlay, by which pngDecoder is left out, and returns its
// path. It fails if this Go's package has another line there.
func withoutPNG(ctx context.Context, dir string) (string, error) {
	root, err := goRoot(ctx)
	if err != nil {
		return "", err
	}
	source := filepath.Join(root, "src", "image", "png", "reader.go")
	text, err := os.ReadFile(source)
	if err != nil {
		return "", fmt.Errorf("site: %w", err)
	}
	if !bytes.Contains(text, []byte(pngDecoder)) {
		return "", fmt.Errorf("site: %s does not say %s: find how this Go registers it", source, pngDecoder)
	}
	patched, list := filepath.Join(dir, "png.go"), filepath.Join(dir, "overlay.json")
	if err := os.WriteFile(patched, bytes.Replace(text, []byte(pngDecoder), nil, 1), 0o644); err != nil {
		return "", fmt.Errorf("site: %w", err)
	}
	overlay, err := json.Marshal(map[string]map[string]string{"Replace": {source: patched}})
	if err != nil {
		return "", fmt.Errorf("site: %w", err)
	}
	if err := os.WriteFile(list, overlay, 0o644); err != nil {
		return "", fmt.Errorf("site: %w", err)
	}
	return list, nil
}

// ExecJS returns the path of the script that starts a wasm of this Go. Only the script of the same Go release fits.
func ExecJS(ctx context.Context) (string, error) {
	root, err := goRoot(ctx)
	if err != nil {
		return "", err
	}
	return filepath.Join(root, "lib", "wasm", Exec), nil
}

// goRoot is the folder of the Go that compiles.
func goRoot(ctx context.Context) (string, error) {
	root, err := exec.CommandContext(ctx, "go", "env", "GOROOT").Output()
	if err != nil {
		return "", fmt.Errorf("site: go env GOROOT: %w", err)
	}
	return strings.TrimSpace(string(root)), nil
}

func execJS(ctx context.Context) ([]byte, error) {
	name, err := ExecJS(ctx)
	if err != nil {
		return nil, err
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("site: %w", err)
	}
	return data, nil
}

// cached returns what make returns for data, from the cache if it was made before.
func cached(cache, kind string, data []byte, make func([]byte) ([]byte, error)) ([]byte, error) {
	h := sha256.Sum256(data)
	name := filepath.Join(cache, kind, hex.EncodeToString(h[:]))
	made, err := os.ReadFile(name)
	if err == nil || !errors.Is(err, fs.ErrNotExist) {
		return made, err
	}
	if made, err = make(data); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return nil, err
	}
	// A name of its own until it is whole: two commands may run at once.
	f, err := os.CreateTemp(filepath.Dir(name), "new-")
	if err != nil {
		return nil, err
	}
	_, err = f.Write(made)
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, err
	}
	return made, os.Rename(f.Name(), name)
}
