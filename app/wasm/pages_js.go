//go:build js && wasm

package main

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// pages registers what the app shows. There is one route: the page, the build and the record are in the fragment.
func pages() {
	app.RouteFunc("/", func() app.Composer { return &front{} })
}

// front is the page that says what the app is.
type front struct{ app.Compo }

func (*front) Render() app.UI {
	return app.Main().Body(
		app.H1().Text("Loomwright"),
		app.P().Text("Works with no signal. Nothing leaves this phone."),
	)
}
