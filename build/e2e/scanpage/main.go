//go:build !js

// Command scanpage is the page on which the browser tests try the phone's side of the app alone. It runs in a browser
// only: this is what remains of it elsewhere.
package main

func main() {
	println("scanpage: build it for a browser: GOOS=js GOARCH=wasm")
}
