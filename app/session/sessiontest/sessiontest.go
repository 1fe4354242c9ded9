// Package sessiontest gives tests a session on a store in memory, and the framework's loop under the test's control.
package sessiontest

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
	"loomwright/storage/memory"
)

// Bench is a session with its loop. Times, ids and codes are the same in every run.
type Bench struct {
	*session.Session
	T    testing.TB
	Loop app.ClientDispatcher
	Ctx  app.Context // of a mounted component
}

type probe struct {
	app.Compo
	ctx app.Context
}

func (p *probe) OnMount(ctx app.Context) { p.ctx = ctx }
func (p *probe) Render() app.UI          { return app.Div() }

// Start returns a session on a store; nil is an empty one in memory.
func Start(t testing.TB, store storage.Store) *Bench {
	t.Helper()
	if store == nil {
		store = memory.New()
	}
	phone := device.New()
	random := rand.New(rand.NewPCG(1, 2))
	n := 0
	s := session.New(session.Deps{
		Store:  store,
		Device: &phone,
		Now:    func() time.Time { return time.Date(2026, 5, 12, 9, 30, 0, 0, time.UTC) },
		NewID: func() string {
			n++
			return fmt.Sprintf("%08x-0000-4000-8000-%012x", random.Uint32(), n)
		},
		Random: rand.NewChaCha8([32]byte{1}),
	})
	p := &probe{}
	loop := app.NewClientTester(p)
	t.Cleanup(loop.Close)
	loop.Consume()
	if p.ctx == nil {
		t.Fatal("the component was not mounted")
	}
	s.Begin(context.Background())()
	return &Bench{Session: s, T: t, Loop: loop, Ctx: p.ctx}
}

// New makes a build in millimetres and opens it.
func (b *Bench) New(title string) string {
	b.T.Helper()
	if err := b.Create(harness.Settings{Title: title, Unit: unit.Metric, Volts: 12}); err != nil {
		b.T.Fatal(err)
	}
	return b.ID()
}

// File opens a build file, such as a kept one of testdata.
func (b *Bench) File(path string) {
	b.T.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		b.T.Fatal(err)
	}
	in, err := b.Incoming(context.Background(), data)
	if err != nil {
		b.T.Fatal(err)
	}
	b.Take(b.Ctx, in, func(_ app.Context, _ string, err error) {
		if err != nil {
			b.T.Fatal(err)
		}
	})
	b.Loop.Consume()
}

// Backed returns the build file of the open build.
func (b *Bench) Backed() device.File {
	b.T.Helper()
	var file device.File
	b.Backup(b.Ctx, true, func(_ app.Context, f device.File, err error) {
		if err != nil {
			b.T.Fatal(err)
		}
		file = f
	})
	b.Loop.Wait()
	b.Loop.Consume()
	if file.Name == "" {
		b.T.Fatal("no backup was made")
	}
	return file
}

// Split adds a place and returns its id.
func (b *Bench) Split(name string) string {
	b.T.Helper()
	id := b.FreshID()
	if err := b.Do(storage.Put(harness.KindPlace, id, harness.Place{}, harness.Place{Name: name, Kind: harness.Split})); err != nil {
		b.T.Fatal(err)
	}
	return id
}

// Saved waits until everything is in the store.
func (b *Bench) Saved() {
	b.T.Helper()
	if err := b.Settle(); err != nil {
		b.T.Fatal(err)
	}
}

// HTML returns a page as the framework would send it, with all its components drawn.
func (b *Bench) HTML(page app.UI) string {
	b.T.Helper()
	loop := app.NewServerTester(page)
	defer loop.Close()
	loop.Consume()
	return app.HTMLString(page)
}
