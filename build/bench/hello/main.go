//go:build !(js && wasm)

package main

import (
	"fmt"
	"os"
)

func main() {
	fmt.Fprintln(os.Stderr, "hello: runs in a browser only; compile it with GOOS=js GOARCH=wasm")
	os.Exit(2)
}
