package trace

import (
	"context"
	"strconv"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/calc/tag"
)

// flashFor is how long the screen flashes when a code was read. Our choice: seen from the corner of the eye.
const flashFor = 700 * time.Millisecond

const videoID = "scan"

func (p *page) onCamera(ctx app.Context, _ app.Event) {
	p.S.Device.Signal.Arm()
	p.armed = true
	kit.Go(ctx, p.home(partCamera))
}

func (p *page) onPhoto(ctx app.Context, _ app.Event) {
	p.S.Device.Signal.Arm()
	p.busy, p.failed, p.seen = "Looking for a code in the photo…", "", tag.Scan{}
	own := p.ctx
	own.Async(func() {
		texts, err := p.S.Device.Camera.Photo(context.Background(), false)
		own.Dispatch(func(app.Context) {
			p.busy = ""
			if err != nil {
				p.failed = kit.Explain(err)
				return
			}
			p.read(texts)
		})
	})
}

// menu offers the three ways to a code.
func (p *page) menu() (body, foot []app.UI) {
	typing := p.home(partType)
	body = []app.UI{app.P().Class("lede").Text("What is this wire?"), kit.Lines("Scan its tag, and see the circuit, both ends and what it shares.")}
	if p.busy != "" {
		body = append(body, app.P().Class("note").Aria("live", "polite").Text(p.busy))
	}
	if p.failed != "" {
		body = append(body, kit.Note("warn", "No tag was read.", p.failed))
	}
	body = append(body, p.unreadable()...)
	if p.At.Build != "" {
		to := p.At.On(deadName)
		body = append(body, kit.Section("Something does not work", ""), kit.Plain("What do the dead ones share?", kit.To(to), to))
		open := 0
		for _, a := range p.S.B().Amendments.All() {
			if !a.Done {
				open++
			}
		}
		changes := p.home(partChanges)
		body = append(body, kit.Section("Changed in the car", ""), kit.Row("", "What was changed since it was made", "as built against the plan", strconv.Itoa(open), "open", kit.To(changes), changes))
	}
	foot = []app.UI{
		kit.Even(kit.Plain("From a photo", p.onPhoto), kit.Plain("Type the eight signs", kit.To(typing), typing)),
		kit.Act("Scan with the camera", p.onCamera),
	}
	return body, foot
}

// unreadable says what was read, where it is no code.
func (p *page) unreadable() []app.UI {
	return explainScan(p.seen, func(code string) app.UI {
		return kit.Choice(tag.Format(code), "", false, p.onSuggested(code), code)
	})
}

func (p *page) onSuggested(code string) app.EventHandler {
	return func(app.Context, app.Event) { p.found(code) }
}

// explainScan says what a text is that gives no code. Nothing of it can be tapped but the codes it may have been.
func explainScan(s tag.Scan, suggest func(code string) app.UI) []app.UI {
	live := func(ui app.UI) app.UI { return app.Div().Aria("live", "assertive").Body(ui) }
	switch s.Class {
	case tag.Damaged:
		out := []app.UI{live(kit.Note("bad", "A sign of this code is wrong.", "It was read as “"+s.Text+"”. Its last sign checks the others, and it does not fit."))}
		if len(s.Repairs) == 0 {
			return append(out, kit.Lines("Wipe the tag and scan again, or type what is printed beside the square."))
		}
		var all []app.UI
		for _, code := range s.Repairs {
			all = append(all, suggest(code))
		}
		return append(out, kit.Lines("It may have been one of these. Compare with what is printed:"), kit.Chips(all...))
	case tag.Foreign, tag.TooLong:
		return []app.UI{live(kit.Note("warn", "This is not a tag of this app.", "It says: “"+s.Text+"”. Nothing was opened."))}
	case tag.Empty:
		return []app.UI{live(kit.Note("warn", "The code is empty.", "Scan again, or type the eight signs."))}
	}
	return nil
}

// camera is the scanner at work.
func (p *page) camera() (body, foot []app.UI) {
	typing := p.home(partType)
	switch {
	case p.failed != "":
		body = append(body, kit.Note("warn", "The camera is off.", p.failed))
	case !p.armed:
		body = append(body, kit.Note("", "The camera is off.", "Hold it over a tag and tap Scan again."))
	default:
		body = append(body, &viewer{P: p}, app.P().Aria("live", "polite").Text("Hold the square in the frame, about a hand away."))
	}
	body = append(body, p.unreadable()...)
	foot = []app.UI{kit.Even(kit.Plain("From a photo", p.onPhotoHere), kit.Plain("Type the eight signs", kit.To(typing), typing))}
	if p.failed != "" || !p.armed {
		foot = append(foot, kit.Act("Scan again", p.onAgain))
	}
	return body, foot
}

func (p *page) onAgain(ctx app.Context, _ app.Event) {
	p.S.Device.Signal.Arm()
	p.armed, p.failed = true, ""
}

// onPhotoHere lets the camera go first: a phone has one.
func (p *page) onPhotoHere(ctx app.Context, e app.Event) {
	kit.Go(ctx, p.home(partMenu))
	p.onPhoto(ctx, e)
}

// viewer is the picture of the camera. It starts the camera when it appears and stops it when it goes.
type viewer struct {
	app.Compo
	P *page

	cancel context.CancelFunc
	scan   *device.Scan
	light  bool
	twice  bool
}

// OnMount starts the camera.
func (v *viewer) OnMount(ctx app.Context) {
	work, cancel := context.WithCancel(context.Background())
	v.cancel = cancel
	p := v.P
	p.S.Device.Wake.Keep()
	ctx.Async(func() {
		scan, err := p.S.Device.Camera.Start(work, videoID)
		if err != nil {
			ctx.Dispatch(func(app.Context) { v.ended(err) })
			return
		}
		ctx.Dispatch(func(app.Context) { v.scan = scan })
		go func() {
			for text := range scan.Texts {
				ctx.Dispatch(func(app.Context) {
					p.read([]string{text})
					p.redraw()
				})
			}
			if err := scan.Err(); err != nil {
				ctx.Dispatch(func(app.Context) { v.ended(err) })
			}
		}()
	})
}

// OnDismount lets the camera go.
func (v *viewer) OnDismount() {
	if v.cancel != nil {
		v.cancel()
		v.P.S.Device.Wake.Release()
	}
}

func (v *viewer) ended(err error) {
	v.P.failed = kit.Explain(err)
	v.P.redraw()
}

// redraw draws the whole page again after one of its parts changed something.
func (p *page) redraw() {
	if p.ctx != nil {
		p.ctx.Dispatch(func(app.Context) {})
	}
}

func (v *viewer) onTorch(ctx app.Context, _ app.Event) {
	v.set(ctx, &v.light, v.scan.Torch)
}

func (v *viewer) onZoom(ctx app.Context, _ app.Event) {
	v.set(ctx, &v.twice, v.scan.Zoom)
}

// set turns something of the camera over; it shows as it was if the camera did not.
func (v *viewer) set(ctx app.Context, on *bool, how func(bool) error) {
	want := !*on
	*on = want
	ctx.Async(func() {
		if err := how(want); err != nil {
			ctx.Dispatch(func(app.Context) { *on = !want })
		}
	})
}

// Render draws the picture with the frame to aim by, and what the camera can do.
func (v *viewer) Render() app.UI {
	return app.Div().Class("stack").Body(
		app.Div().Class("camera").Body(
			app.Video().ID(videoID).Attr("playsinline", true).Muted(true).AutoPlay(true).Aria("label", "what the camera sees"),
			app.Div().Class("aim").Aria("hidden", true),
		),
		v.tools(),
	)
}

func (v *viewer) tools() app.UI {
	if v.scan == nil || v.scan.Torch == nil && v.scan.Zoom == nil {
		return nil
	}
	var all []app.UI
	if v.scan.Torch != nil {
		all = append(all, kit.Choice("Light", "", v.light, v.onTorch))
	}
	if v.scan.Zoom != nil {
		all = append(all, kit.Choice("Twice as large", "", v.twice, v.onZoom))
	}
	return kit.Even(all...)
}
