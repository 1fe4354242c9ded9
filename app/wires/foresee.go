package wires

import (
	"slices"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// While a person looks for a size, the bundles are packed that the wire would lie in with each of the others: packing
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
	all := others(sizeOf(p.S.B(), w), sizes(p.S.B().Settings.Unit))
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

// others returns the sizes beside one: those that are thicker, and then those that are thinner.
func others(size string, all []string) []string {
	i := max(slices.Index(all, canonical(size)), 0)
	return append(slices.Clone(all[i+1:]), all[:i]...)
}
