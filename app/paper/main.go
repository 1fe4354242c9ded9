//go:build !(js && wasm)

// Command paper makes one PDF and ends. In the browser it runs in a worker beside the app: the library behind it is heavy,
// and the memory it takes is given back when it ends.
package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "paper: this program runs in a browser; on the command line use: go run ./build sheet")
	os.Exit(2)
}
