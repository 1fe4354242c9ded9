//go:build js && wasm

package main

import (
	"context"
	"crypto/rand"
	"runtime/debug"
	"syscall/js"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	ui "loomwright/app"
	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/storage/idb"
)

// Until the first page stands, memory is collected rarely: a collection then costs more than the memory it gives back.
const (
	rareCollection  = 400 // per cent; the usual of Go is 100
	usualCollection = 200
	startTakes      = 5 * time.Second
)

func main() {
	debug.SetGCPercent(rareCollection)
	time.AfterFunc(startTakes, func() { debug.SetGCPercent(usualCollection) })
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
