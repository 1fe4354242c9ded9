//go:build js && wasm

package main

import (
	"context"
	"crypto/rand"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	ui "loomwright/app"
	"loomwright/app/device"
	"loomwright/app/session"
	"loomwright/storage/idb"
)

func main() {
	phone := device.New()
	s := session.New(session.Deps{
		Store:  idb.Open(context.Background()),
		Device: &phone,
		Now:    time.Now,
		NewID:  session.NewUUID,
		Random: rand.Reader,
	})
	ui.Register(s)
	app.RunWhenOnBrowser()
}
