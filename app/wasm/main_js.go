//go:build js && wasm

package main

import "github.com/maxence-charriere/go-app/v9/pkg/app"

func main() {
	pages()
	app.RunWhenOnBrowser()
}
