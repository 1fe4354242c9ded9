package bench

import (
	"context"

	"loomwright/build/browser"
)

// walkTaps measures keying in lengths: three digits, and back.
func walkTaps(ctx context.Context, l *Lab) (float64, error) {
	app, err := l.app(ctx, 5_000)
	if err != nil {
		return 0, err
	}
	tab, err := l.browser(ctx)
	if err != nil {
		return 0, err
	}
	if _, err := openDemo(tab, app); err != nil {
		return 0, err
	}
	if err := browser.Tap(tab, "Carry on measuring"); err != nil {
		return 0, err
	}
	keys := []string{"4", "1", "2", "take back one sign", "take back one sign", "take back one sign"}
	return l.tapsOf(tab, func(i int) error { return browser.Tap(tab, keys[i%len(keys)]) })
}
