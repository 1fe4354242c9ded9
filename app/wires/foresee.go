package wires

import (
	"slices"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// While a person looks for a size, the bundles are packed that the wire would lie in with each of those that are near: packing
// takes longer than all the rest of the edit. One bundle takes a slow phone less than a frame.
//
// Source: our choice: a person who opens the sizes takes longer than the first pause; the others leave room for a tap.
const (
	foreseeAfter = 300 * time.Millisecond
	foreseePause = 8 * time.Millisecond
)

// foresee packs ahead while the sizes of one wire are shown.
func (p *page) foresee(ctx app.Context) {
	name, _ := p.part()
	w, ok := p.wire()
	if name != partSize || !ok {
		return
	}
	at, disp := p.At, ctx.Dispatcher()
	all := near(sizeOf(p.S.B(), w), sizes(p.S.B().Settings.Unit))
	var wait func(d time.Duration)
	step := func(app.Context) {
		if p.At != at || p.S.ID() != at.Build {
			return
		}
		w, ok := p.wire()
		for ; ok && len(all) > 0; all = all[1:] {
			w.Size = all[0]
			if p.S.Foresee(w) {
				wait(foreseePause)
				return
			}
		}
	}
	// It changes nothing that is shown, so nothing is drawn after it.
	wait = func(d time.Duration) {
		disp.Async(func() {
			time.Sleep(d)
			disp.Dispatch(app.Dispatch{Mode: app.Next, Function: step})
		})
	}
	wait(foreseeAfter)
}

// near returns sizes in the order in which they are near to one of them.
func near(size string, all []string) []string {
	at := max(slices.Index(all, canonical(size)), 0)
	var out []string
	for d := 1; d < len(all); d++ {
		for _, i := range [2]int{at + d, at - d} {
			if i >= 0 && i < len(all) {
				out = append(out, all[i])
			}
		}
	}
	return out
}
