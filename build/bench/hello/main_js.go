//go:build js && wasm

// Command hello is the smallest program of the framework: the measure for how fast ours starts, and what the tests of
// the loader and the service worker start when it does not matter which program runs.
package main

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// version is set by the linker, so that tests can tell two programs apart.
var version = "1"

type hello struct {
	app.Compo
	fragment string
}

func (h *hello) OnNav(ctx app.Context) { h.fragment = ctx.Page().URL().Fragment }

func (h *hello) Render() app.UI {
	return app.Main().ID("hello").Body(
		app.H1().Text("Hello "+version),
		app.P().Text("at "+h.fragment),
		app.Button().Type("button").Text("Fail").OnClick(h.onFail),
	)
}

func (h *hello) onFail(app.Context, app.Event) {
	go func() { panic("hello: failed on demand") }()
}

func main() {
	app.RouteFunc("/", func() app.Composer { return &hello{} })
	app.RunWhenOnBrowser()
}
