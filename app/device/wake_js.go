package device

import (
	"context"
	"sync"
	"syscall/js"
)

// wake keeps the screen on. The browser lets its lock go whenever the app is out of sight.
type wake struct {
	mu     sync.Mutex
	wanted bool
	lock   js.Value
	stop   func() // ends the subscription to coming back
}

func (*wake) CanKeep() bool { return method(navigator().Get("wakeLock"), "request") }

func (w *wake) Keep() {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.wanted || !w.CanKeep() {
		return
	}
	w.wanted = true
	w.stop = view{}.OnVisible(w.request)
	background("wake", w.request)
}

func (w *wake) Release() {
	w.mu.Lock()
	defer w.mu.Unlock()
	if !w.wanted {
		return
	}
	w.wanted = false
	w.stop()
	w.let()
}

// request asks for the lock. The browser may say no, with an empty battery for one; the screen then goes dark as ever.
func (w *wake) request() {
	lock, err := await(context.Background(), func() js.Value { return navigator().Get("wakeLock").Call("request", "screen") })
	if err != nil {
		return
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	w.let()
	w.lock = lock
	if !w.wanted {
		w.let()
	}
}

// let gives the lock back, if there is one.
func (w *wake) let() {
	if w.lock.Truthy() {
		w.lock.Call("release")
	}
	w.lock = js.Undefined()
}
