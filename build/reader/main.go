// Command reader makes the packaged code reader of web/reader from the unpacked npm package that it is pinned to:
//
//	npm pack zxing-wasm@3.1.4 && tar xf zxing-wasm-3.1.4.tgz
//	go run ./build/reader package
//
// The worker it writes has no way to the network: every place where the library would load its wasm by itself is taken
// out, and the page hands the bytes over instead. It refuses a package whose text is not the one these changes were
// made for.
package main

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// grid and handler are the parts of the worker that are ours: one finds symbols that the library does not, the other
// answers messages.
//
//go:embed grid.js
var grid string

//go:embed handler.js
var handler string

// The pinned files and the SHA-256 of their bytes.
const (
	version    = "3.1.4"
	library    = "dist/iife/reader/index.js"
	librarySum = "d33d09ce132a692faffbed0dce656c36cb2573b4b843885a6e036390d1071d95"
	wasm       = "dist/reader/zxing_reader.wasm"
	wasmSum    = "e8af31edb56d0522f4de74495839385ef019ba8bc90d38e5ecb2f18795d86fb2"
)

// changes take the network out of the library. Each old text stands in it exactly once.
var changes = []struct{ name, old, new string }{
	{
		name: "the address of a foreign host",
		old:  "let n=e.match(/_(.+?)\\.wasm$/);return n?`https://fastly.jsdelivr.net/npm/zxing-wasm@3.1.4/dist/${n[1]}/${e}`:t+e",
		new:  "return t+e",
	},
	{
		name: "two ways to load bytes",
		old: "s&&(f=e=>{var t=new XMLHttpRequest;return t.open(`GET`,e,!1),t.responseType=`arraybuffer`,t.send(null)," +
			"new Uint8Array(t.response)}),d=async e=>{var t=await fetch(e,{credentials:`same-origin`});" +
			"if(t.ok)return t.arrayBuffer();throw Error(t.status+` : `+t.url)}",
		new: "",
	},
	{
		name: "compiling from a stream",
		old: "if(!e&&WebAssembly.instantiateStreaming)try{var r=fetch(t,{credentials:`same-origin`});" +
			"return await WebAssembly.instantiateStreaming(r,n)}catch(e){p(`wasm streaming compile failed: ${e}`)," +
			"p(`falling back to ArrayBuffer instantiation`)}return ae(t,n)",
		new: "return ae(t,n)",
	},
	{
		name: "the message about both",
		old:  "both async and sync fetching of the wasm failed",
		new:  "the bytes of the wasm were not handed over",
	},
}

const header = `// The packaged code reader, run as a worker. Made by go run ./build/reader from zxing-wasm ` + version + `, changed so
// that it loads nothing by itself. Do not edit. Licences: LICENSE.txt beside this file.
`

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: go run ./build/reader UNPACKED-PACKAGE")
		os.Exit(2)
	}
	if err := run(os.Args[1], filepath.Join("web", "reader")); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// run reads the package in the folder from and writes the worker and its wasm into the folder to.
func run(from, to string) error {
	code, err := pinned(filepath.Join(from, library), librarySum)
	if err != nil {
		return err
	}
	binary, err := pinned(filepath.Join(from, wasm), wasmSum)
	if err != nil {
		return err
	}
	worker, err := offline(string(code))
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(to, "reader.js"), []byte(header+worker+"\n"+grid+"\n"+handler), 0o644); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(to, "reader.wasm"), binary, 0o644)
}

// pinned reads a file whose bytes must have the given SHA-256.
func pinned(name, sum string) ([]byte, error) {
	b, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	h := sha256.Sum256(b)
	if got := hex.EncodeToString(h[:]); got != sum {
		return nil, fmt.Errorf("reader: file %q: sha256 %s, want %s", name, got, sum)
	}
	return b, nil
}

// offline takes the network out of the library.
func offline(code string) (string, error) {
	for _, c := range changes {
		if n := strings.Count(code, c.old); n != 1 {
			return "", fmt.Errorf("reader: %s: found %d times, want once", c.name, n)
		}
		code = strings.Replace(code, c.old, c.new, 1)
	}
	return strings.TrimSpace(code), nil
}
