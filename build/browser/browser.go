// Package browser starts the Chromium of this machine, for tests and measurements.
package browser

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"sync"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// Missing says that there is no browser, and what to do about it.
var Missing = errors.New("browser: no Chromium found: install the package chromium, or set CHROMIUM to the path of one")

// Find returns the path of a Chromium: what the variable CHROMIUM names, else the first one on the path.
func Find() (string, error) {
	for _, name := range []string{os.Getenv("CHROMIUM"), "chromium", "chromium-browser", "google-chrome"} {
		if name == "" {
			continue
		}
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", Missing
}

// Options are what differs between starts.
type Options struct {
	Profile string            // folder of the browser's data; it must exist
	Flags   map[string]string // more flags, without --; an empty value is a bare flag
}

// Width and Height are the phone that everything is tried on first, in CSS pixels.
const Width, Height = 390, 844

// Start opens a browser of its own, with one empty tab as large as a phone. The context is a chromedp context for that
// tab. Stop ends the browser and all its processes and waits until they have let go of the profile.
func Start(parent context.Context, o Options) (ctx context.Context, stop func(), err error) {
	path, err := Find()
	if err != nil {
		return nil, nil, err
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(o.Profile),
		chromedp.Flag("headless", "new"), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-domain-reliability", true), chromedp.WindowSize(Width, Height),
	)
	for name, value := range o.Flags {
		if value == "" {
			options = append(options, chromedp.Flag(name, true))
		} else {
			options = append(options, chromedp.Flag(name, value))
		}
	}
	allocator, cancelAllocator := chromedp.NewExecAllocator(parent, options...)
	ctx, cancel := chromedp.NewContext(allocator)
	stop = sync.OnceFunc(func() {
		chromedp.Cancel(ctx) // asks the browser to close, and waits
		cancel()
		cancelAllocator()
	})
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(Width, Height, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2))); err != nil {
		stop()
		return nil, nil, fmt.Errorf("browser: start %s: %w", path, err)
	}
	return ctx, stop, nil
}

// Tab opens one more tab of the same browser, as large as a phone.
func Tab(ctx context.Context) (tab context.Context, closeTab func(), err error) {
	tab, cancel := chromedp.NewContext(ctx)
	if err := chromedp.Do(tab, chromedp.EmulateViewport(Width, Height, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2))); err != nil {
		cancel()
		return nil, nil, fmt.Errorf("browser: tab: %w", err)
	}
	return tab, cancel, nil
}

// Throttle makes the page's main thread that many times slower; 1 is as fast as the machine.
func Throttle(ctx context.Context, times float64) error {
	_, err := chromedp.Call(ctx, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: times})
	return err
}
