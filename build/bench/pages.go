package bench

import (
	"context"
	"fmt"
	"path/filepath"

	"github.com/google/uuid"

	"loomwright/build/browser"
	"loomwright/build/demo"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// walkTaps measures keying in lengths: three digits, and back.
func walkTaps(ctx context.Context, l *Lab) (float64, error) {
	app, err := l.app(ctx, 5_000)
	if err != nil {
		return 0, err
	}
	tab, err := l.demoIn(ctx, app)
	if err != nil {
		return 0, err
	}
	if err := browser.Tap(tab, "Carry on measuring"); err != nil {
		return 0, err
	}
	keys := []string{"4", "1", "2", "take back one sign", "take back one sign", "take back one sign"}
	return l.tapsOf(tab, func(i int) error { return browser.Tap(tab, keys[i%len(keys)]) })
}

// manyWires is how many wires the list is measured with.
const manyWires = 1000

// wireTaps measures opening a wire of the list and going back to it.
func wireTaps(ctx context.Context, l *Lab) (float64, error) {
	log, err := wires(manyWires)
	if err != nil {
		return 0, err
	}
	tab, err := l.open(ctx, "wires", log)
	if err != nil {
		return 0, err
	}
	// The step's button carries the number of wires and the word.
	if err := browser.TapOn(tab, `.steps button[aria-label^="Wires"], .steps button:nth-child(3)`); err != nil {
		return 0, err
	}
	if err := browser.See(tab, fmt.Sprintf("%d wires", manyWires)); err != nil {
		return 0, err
	}
	return l.tapsOf(tab, func(i int) error {
		if i%2 == 1 {
			return browser.Tap(tab, "back")
		}
		return browser.TapOn(tab, fmt.Sprintf(".rows > :nth-child(%d)", 1+i/2%20))
	})
}

// open opens a build in a browser of its own, as the demo of an app.
func (l *Lab) open(ctx context.Context, name string, log *storage.Log) (context.Context, error) {
	app, err := l.appWith(ctx, "app-"+name, filepath.Join(l.dir, name+".build"), log)
	if err != nil {
		return nil, err
	}
	return l.demoIn(ctx, app)
}

// demoIn opens the demo of an app in a browser of its own.
func (l *Lab) demoIn(ctx context.Context, app string) (context.Context, error) {
	tab, err := l.browser(ctx)
	if err != nil {
		return nil, err
	}
	build, err := openDemo(tab, app)
	if err != nil {
		return nil, err
	}
	if err := navigate(tab, build); err != nil {
		return nil, err
	}
	return tab, browser.See(tab, "Carry on measuring")
}

// wires returns the demo with copies of its wires, n in all.
func wires(n int) (*storage.Log, error) {
	log, err := demo.Log(0)
	if err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	all := log.State().Wires.All()
	var changes []storage.Change
	for i := len(all); i < n; i++ {
		w := all[i%len(all)]
		w.Name, w.Lead = fmt.Sprintf("X%d", i), ""
		id := uuid.NewSHA1(uuid.NameSpaceOID, []byte(w.Name)).String()
		changes = append(changes, storage.Put(harness.KindWire, id, harness.Wire{}, w))
	}
	if _, err := log.Commit("bench", log.About().At, changes); err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	return log, nil
}
