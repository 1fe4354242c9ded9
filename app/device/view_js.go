package device

import "syscall/js"

type view struct{}

func (view) Hidden() bool { return document().Get("visibilityState").String() == "hidden" }
func (view) Online() bool { return !navigator().Get("onLine").Equal(js.ValueOf(false)) }

// Events of the document rise to the window, where pages kept and brought back by the browser tell of it too.
func (v view) OnHidden(f func()) (stop func()) {
	return subscribe(window(), []string{"visibilitychange", "pagehide"}, v.Hidden, f)
}

func (v view) OnVisible(f func()) (stop func()) {
	return subscribe(window(), []string{"visibilitychange", "pageshow"}, func() bool { return !v.Hidden() }, f)
}

func (v view) OnOnline(f func()) (stop func()) {
	return subscribe(window(), []string{"online"}, func() bool { return true }, f)
}
