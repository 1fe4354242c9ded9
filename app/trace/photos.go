package trace

import (
	"context"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// manyPhotos is how many photos of one record are shown large: the browser keeps each unpacked at the size it was shown
// in, four times as much at twice the width. Our choice.
const manyPhotos = 4

// photos shows the photos of a record, and takes one more.
func (p *page) photos(on harness.Kind, id string) []app.UI {
	out := []app.UI{kit.Section("Photos", p.photoWeight())}
	var its []*harness.Photo
	all := p.S.B().Photos.All()
	for i := range all {
		if h := &all[i]; h.On == on && h.Of == id {
			its = append(its, h)
		}
	}
	small := len(its) > manyPhotos
	if small {
		out = append(out, kit.Lines("Tap a photo to see it large."))
	}
	for _, h := range its {
		out = append(out, &photo{S: p.S, ID: h.ID, Blob: h.Blob, Alt: "photo of " + kit.Day(h.At), Width: h.Width, Height: h.Height, Arrows: h.Arrows, Small: small},
			kit.Plain("Delete the photo of "+kit.Day(h.At), p.onDeletePhoto(h.ID), h.ID))
	}
	return append(out, kit.Even(kit.Plain("Take a photo", p.onTake(on, id, true), id), kit.Plain("Choose a photo", p.onTake(on, id, false), id)))
}

// photoWeight is what all photos of the build weigh.
func (p *page) photoWeight() string {
	sum := 0
	all := p.S.B().Photos.All()
	for i := range all {
		sum += all[i].Bytes
	}
	return strconv.Itoa(len(all)) + " in this build, " + strconv.Itoa((sum+1023)>>10) + " kB"
}

func (p *page) onTake(on harness.Kind, id string, take bool) app.EventHandler {
	return func(app.Context, app.Event) {
		p.S.TakePhoto(p.ctx, on, id, take, func(_ app.Context, err error) {
			if err != nil {
				p.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
				return
			}
			p.S.Say(session.Notice{Tone: "good", Text: "The photo is kept.", Undo: true})
		})
	}
}

func (p *page) onDeletePhoto(id string) app.EventHandler {
	return func(app.Context, app.Event) {
		if err := p.S.Do(storage.Delete(harness.KindPhoto, id)); err == nil {
			p.S.Say(session.Notice{Text: "The photo is deleted.", Undo: true})
		}
	}
}

// photo reads its bytes when it appears and lets them go when it goes.
type photo struct {
	app.Compo
	S             *session.Session
	ID, Blob, Alt string
	Width, Height int // in pixels
	Arrows        []harness.Arrow
	Small         bool // until it is tapped

	large      bool
	mark       marking
	shown, url string
	missing    bool
	forget     func()
}

// OnMount reads the photo.
func (v *photo) OnMount(ctx app.Context) { v.load(ctx) }

// OnUpdate reads another one.
func (v *photo) OnUpdate(ctx app.Context) { v.load(ctx) }

// OnDismount lets it go.
func (v *photo) OnDismount() {
	if v.forget != nil {
		v.forget()
	}
	v.forget, v.url, v.shown = nil, "", ""
}

func (v *photo) load(ctx app.Context) {
	if v.shown == v.Blob {
		return
	}
	v.OnDismount()
	v.shown, v.missing = v.Blob, false
	hash := v.Blob
	ctx.Async(func() {
		b, err := v.S.Store.Blob(context.Background(), hash)
		ctx.Dispatch(func(app.Context) {
			if v.shown != hash {
				return
			}
			if v.missing = err != nil; err == nil {
				v.url, v.forget = v.S.Device.Pictures.Show(b)
			}
		})
	})
}

// Render draws it.
func (v *photo) Render() app.UI {
	switch {
	case v.missing:
		return kit.Note("warn", "This photo is not on this phone.", "It is in the backup of the phone that took it.")
	case v.url == "":
		return app.Div().Class("small").Text("The photo is being read…")
	}
	return app.Div().Class("shot").Body(
		app.Div().Class(v.class()).Body(v.picture(), v.arrows()),
		v.marking())
}

// picture is unpacked by the browser when it is near to what is seen, so that many photos do not fill its memory.
func (v *photo) picture() app.UI {
	return app.Img().Class("photo").Attr("loading", "lazy").Width(v.Width).Height(v.Height).Src(v.url).Alt(v.Alt)
}

func (v *photo) class() string {
	if v.Small && !v.large && !v.mark.on {
		return "onphoto thumb"
	}
	return "onphoto"
}
