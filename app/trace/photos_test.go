package trace

import (
	"bytes"
	"context"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/harness"
	"loomwright/storage"
	"loomwright/storage/memory"
)

type shots struct{ data []byte }

func (s shots) Take(context.Context, bool) (device.Picture, error) {
	return device.Picture{Blob: storage.Bytes(s.data), Width: 1600, Height: 1200}, nil
}
func (shots) Show(storage.Blob) (string, func()) { return "blob:x", func() {} }

// A photo is kept under its hash, travels in the backup, and is byte for byte the same on another phone.
func TestAPhotoTravelsInTheBackup(t *testing.T) {
	b, build := phone(t)
	want := bytes.Repeat([]byte("pixels"), 5000)
	b.Device.Pictures = shots{want}
	rec := placeTag(t, b.B(), "Fuse panel")
	p := &page{S: b.Session, At: kit.Addr{Build: build, Page: pageName, Record: rec.Code}}
	loop := app.NewClientTester(p)
	t.Cleanup(loop.Close)
	loop.Consume()
	until := func(loop app.ClientDispatcher, done func() bool) {
		t.Helper()
		for range 200 {
			if done() {
				return
			}
			loop.Wait()
			loop.Consume()
		}
		t.Fatal("it did not happen")
	}
	p.onTake(harness.KindPlace, rec.Subject, true)(nil, app.Event{})
	until(loop, func() bool { return b.B().Photos.Len() == 1 })
	b.Saved()
	var file device.File
	b.Backup(p.ctx, true, func(_ app.Context, f device.File, err error) {
		if err != nil {
			t.Error(err)
		}
		file = f
	})
	until(loop, func() bool { return len(file.Data) > 0 })

	other := sessiontest.Start(t, memory.New())
	in, err := other.Incoming(t.Context(), file.Data)
	if err != nil {
		t.Fatal(err)
	}
	q := &page{S: other.Session}
	second := app.NewClientTester(q)
	t.Cleanup(second.Close)
	second.Consume()
	taken := false
	other.Take(q.ctx, in, func(_ app.Context, _ string, err error) {
		if err != nil {
			t.Error(err)
		}
		taken = true
	})
	until(second, func() bool { return taken })
	photo := other.B().Photos.All()[0]
	got, err := other.Store.Blob(t.Context(), photo.Blob)
	if err != nil || !bytes.Equal(got.(storage.Bytes), want) || photo.Blob != storage.BlobHash(want) {
		t.Errorf("%v, %v", got, err)
	}
}
