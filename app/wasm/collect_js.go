//go:build js && wasm

package main

import (
	"runtime"
	"runtime/debug"
	"syscall/js"
	"time"
)

// Memory is collected between taps. One collection takes as long as the answer to a tap, and there is one thread: a tap that
// meets it is answered late. So the program may fill much memory while it is busy, and gives it back as soon as the person
// looks at what was drawn.
//
// Our choice: a build of the size of the demo lives in 12 MB, so that a long burst of taps takes 80 MB, and hardly ever
// does.
const (
	busyGrowth = 600 // per cent of what lives; the usual of Go is 100
	quiet      = 250 * time.Millisecond
)

// collectBetweenTaps collects when nothing has been touched for a while, if a third of what may be filled is.
func collectBetweenTaps() {
	debug.SetGCPercent(busyGrowth)
	idle := time.AfterFunc(quiet, func() {
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		if m.HeapAlloc > m.NextGC/3 {
			runtime.GC()
		}
	})
	idle.Stop() // nothing has been touched yet
	touched := js.FuncOf(func(js.Value, []js.Value) any {
		idle.Reset(quiet)
		return nil
	})
	for _, event := range []string{"pointerup", "keyup"} {
		js.Global().Call("addEventListener", event, touched, map[string]any{"capture": true, "passive": true})
	}
}
