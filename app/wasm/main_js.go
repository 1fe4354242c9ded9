//go:build js && wasm

package main

import (
	"context"
	"crypto/rand"
	"syscall/js"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	ui "loomwright/app"
	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/storage/idb"
)

// longestWait is how long the first page waits for what it shows. Our choice: what is stored is mostly there before the program
// is, and a page that says that it is opening comes soon enough where it is not.
const longestWait = time.Second

func main() {
	collectBetweenTaps()
	phone := device.New()
	s := session.New(session.Deps{
		Store:  idb.Open(context.Background()),
		Device: &phone,
		Now:    time.Now,
		NewID:  session.NewUUID,
		Random: rand.Reader,
	})
	if at := kit.ParseAddr(js.Global().Get("location").Get("hash").String()); at.Tag != "" {
		s.AheadOfTag()
	} else {
		s.Ahead(at.Build)
	}
	ui.Register(s)
	s.Await(longestWait)
	app.RunWhenOnBrowser()
}
