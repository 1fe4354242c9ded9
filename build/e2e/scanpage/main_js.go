package main

import (
	"context"
	"errors"
	"fmt"

	"loomwright/app/device"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// phone is the device under test.
var phone = device.New()

// buttons are what a test can press, by the id of the button; each runs in its own goroutine and tells what happened
// as lines of the log.
var buttons = map[string]func(ctx context.Context){
	"start":  start,
	"stop":   func(context.Context) { scan.Stop() },
	"torch":  func(context.Context) { tell("torch", kind(scan.Torch(true)), kind(scan.Torch(false))) },
	"zoom":   func(context.Context) { tell("zoom", kind(scan.Zoom(true)), kind(scan.Zoom(false))) },
	"choose": func(ctx context.Context) { photo(ctx, false) },
	"take":   func(ctx context.Context) { photo(ctx, true) },
	"open":   open,
	"save": func(ctx context.Context) {
		way, err := phone.Files.Save(ctx, device.File{Name: "roadster.json", Type: "application/json", Data: []byte("{}\n")})
		tell("saved", way == device.Shared, kind(err))
	},
	"copy": func(ctx context.Context) { tell("copied", kind(phone.Files.Copy(ctx, "W12"))) },
	"keep": func(context.Context) { phone.Wake.Keep(); tell("kept", phone.Wake.CanKeep()) },
	"let":  func(context.Context) { phone.Wake.Release(); tell("let") },
	"signal": func(context.Context) {
		phone.Signal.Arm()
		phone.Signal.Click()
		phone.Signal.Vibrate(30, 20, 30)
		tell("signalled")
	},
	"storage": func(ctx context.Context) {
		k, err := phone.Storage.Persist(ctx)
		tell("storage", k.Known && k.Quota > k.Used, kind(err))
	},
	"prefs": func(context.Context) {
		before := phone.Prefs.Get("theme")
		phone.Prefs.Put("theme", "sun")
		tell("theme", before+">"+phone.Prefs.Get("theme"))
	},
	"shell": func(context.Context) {
		s := phone.Shell
		tell("shell", s.Root(), s.Standalone(), s.Offline(), s.UpdateWaiting(), s.Installable())
	},
	"install": func(ctx context.Context) {
		yes, err := phone.Shell.PromptInstall(ctx)
		tell("install", yes, kind(err))
	},
	"update": func(context.Context) { phone.Shell.ApplyUpdate() },
	"panic": func(context.Context) {
		phone.View.OnHidden(func() { panic("on purpose") })
		tell("ready to panic")
	},
}

// scan is the last one that started.
var scan *device.Scan

func start(context.Context) {
	s, err := phone.Camera.Start(context.Background(), "video")
	if err != nil {
		tell("not started", kind(err))
		return
	}
	scan = s
	tell("started", fmt.Sprintf("torch=%v zoom=%v", scan.Torch != nil, scan.Zoom != nil))
	for text := range scan.Texts {
		tell("text", text)
	}
	tell("ended", kind(scan.Err()))
}

func photo(ctx context.Context, take bool) {
	texts, err := phone.Camera.Photo(ctx, take)
	tell("photo", texts, kind(err))
}

func open(ctx context.Context) {
	f, err := phone.Files.Open(ctx, 1000)
	if big, ok := errors.AsType[*device.TooBigError](err); ok {
		tell("too big", big.Size, big.Limit)
		return
	}
	tell("opened", f.Name+"="+string(f.Data), kind(err))
}

// kind names the meaning of an error.
func kind(err error) string {
	for name, k := range map[string]error{
		"unavailable": device.ErrUnavailable, "cancelled": device.ErrCancelled, "needs tap": device.ErrNeedsTap,
		"refused": device.ErrRefused, "no camera": device.ErrNoCamera, "busy": device.ErrBusy, "hidden": device.ErrHidden,
		"no reader": device.ErrNoReader, "no code": device.ErrNoCode, "not a picture": device.ErrNotPicture,
	} {
		if errors.Is(err, k) {
			return name
		}
	}
	if err != nil {
		return err.Error()
	}
	return "nil"
}

// tell adds a line to the log.
func tell(what string, values ...any) {
	line := what
	for _, v := range values {
		line += fmt.Sprintf(" [%v]", v)
	}
	log := app.Window().GetElementByID("log")
	log.Set("textContent", log.Get("textContent").String()+line+"\n")
}

func main() {
	for id, press := range buttons {
		call := app.FuncOf(func(app.Value, []app.Value) any {
			go press(context.Background())
			return nil
		})
		app.Window().GetElementByID(id).Call("addEventListener", "click", call)
	}
	phone.View.OnHidden(func() { tell("gone") })
	phone.View.OnVisible(func() { tell("back") })
	phone.Shell.OnOffline(func() { tell("offline", phone.Shell.Offline()) })
	phone.Shell.OnUpdate(func() { tell("newer", phone.Shell.UpdateWaiting()) })
	phone.Shell.OnInstallable(func() { tell("installable", phone.Shell.Installable()) })
	tell("ready")
	select {}
}
