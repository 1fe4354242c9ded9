package device

import (
	"context"
	"fmt"
	"syscall/js"
)

// shell speaks to the loader of the app, which keeps window.loomwright up to date and tells of changes by events.
type shell struct{}

func (s shell) Install() Install {
	touch := 0
	if t := navigator().Get("maxTouchPoints"); t.Type() == js.TypeNumber {
		touch = t.Int()
	}
	i := installOf(navigator().Get("userAgent").String(), touch)
	if i == InstallIOSInApp && s.Standalone() {
		return InstallIOS // from the home screen it names itself as inside a program, too
	}
	return i
}

func (shell) Standalone() bool {
	if navigator().Get("standalone").Truthy() { // iOS
		return true
	}
	for _, mode := range []string{"standalone", "fullscreen", "minimal-ui"} {
		if window().Call("matchMedia", "(display-mode: "+mode+")").Get("matches").Bool() {
			return true
		}
	}
	return false
}

func (shell) Root() string { return root() }

// loader returns a property of window.loomwright, undefined without a loader.
func loader(name string) js.Value {
	l := window().Get("loomwright")
	if l.Type() != js.TypeObject {
		return js.Undefined()
	}
	return l.Get(name)
}

func (shell) Offline() bool       { return loader("offline").Truthy() }
func (shell) UpdateWaiting() bool { return loader("updateWaiting").Truthy() }
func (shell) Installable() bool   { return loader("installPrompt").Truthy() }

func (s shell) OnOffline(f func()) (stop func())     { return onLoader("offline", s.Offline, f) }
func (s shell) OnUpdate(f func()) (stop func())      { return onLoader("update", s.UpdateWaiting, f) }
func (s shell) OnInstallable(f func()) (stop func()) { return onLoader("install", s.Installable, f) }

func onLoader(event string, already func() bool, f func()) (stop func()) {
	stop = subscribe(window(), []string{"loomwright:" + event}, func() bool { return true }, f)
	if already() {
		background(event, f)
	}
	return stop
}

func (shell) ApplyUpdate() {
	defer report("update")
	if method(window().Get("loomwright"), "applyUpdate") {
		window().Get("loomwright").Call("applyUpdate")
	}
}

func (shell) PromptInstall(ctx context.Context) (bool, error) {
	prompt := loader("installPrompt")
	if !method(prompt, "prompt") {
		return false, fmt.Errorf("device: install: %w", ErrUnavailable)
	}
	meaning := map[string]error{"NotAllowedError": ErrNeedsTap, "InvalidStateError": ErrUnavailable}
	if _, err := await(ctx, func() js.Value { return prompt.Call("prompt") }); err != nil {
		return false, explain("install", err, meaning)
	}
	choice, err := await(ctx, func() js.Value { return prompt.Get("userChoice") })
	if err != nil {
		return false, explain("install", err, meaning)
	}
	return choice.Type() == js.TypeObject && choice.Get("outcome").String() == "accepted", nil
}
