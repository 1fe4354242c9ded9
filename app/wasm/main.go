//go:build !(js && wasm)

// Command wasm is Loomwright in the browser: it builds what the pages need, registers them and runs.
package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "loomwright: this program runs in a browser; start it with: go run ./build serve")
	os.Exit(2)
}
