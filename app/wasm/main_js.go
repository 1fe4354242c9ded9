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
	s.Ahead(kit.ParseAddr(js.Global().Get("location").Get("hash").String()).Build)
	ui.Register(s)
	app.RunWhenOnBrowser()
}
