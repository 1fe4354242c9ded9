package bench

import (
	"bytes"
	"context"
	"fmt"
	"os/exec"
	"strconv"
	"strings"

	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
	"loomwright/build/wasmtest"
)

// adjusting measures the adjustment of 400 runs and 2000 readings in the browser, not slowed down: the median of 11.
func adjusting(ctx context.Context, l *Lab) (float64, error) {
	return inBrowser(ctx, l, "./calc/survey", "BenchmarkAdjust/large")
}

// whole measures the demo worked out from nothing, as adjusting does.
func whole(ctx context.Context, l *Lab) (float64, error) {
	return inBrowser(ctx, l, "./build/demo", "BenchmarkWhole")
}

// inBrowser runs a benchmark of a package in the browser, not slowed down: the median of 11, in ms.
func inBrowser(ctx context.Context, l *Lab, pkg, name string) (float64, error) {
	var said bytes.Buffer
	err := wasmtest.Run(ctx, l.Module, pkg, &said, "-test.run=^$", "-test.bench="+name, "-test.benchtime=1x", "-test.count=11")
	if err != nil {
		return 0, fmt.Errorf("bench: %w\n%s", err, said.Bytes())
	}
	var ms []float64
	for line := range strings.Lines(said.String()) {
		if number, ok := before(line, " ns/op"); ok {
			ns, err := strconv.ParseFloat(number, 64)
			if err != nil {
				return 0, fmt.Errorf("bench: %q: %w", line, err)
			}
			ms = append(ms, ns/1e6)
		}
	}
	if len(ms) < 11 {
		return 0, fmt.Errorf("bench: %d of 11 times in %q", len(ms), said.String())
	}
	return median(ms), nil
}

// missed returns of how many per cent of seeded networks a planted blunder is not found, as the test of that name counts
// them; found stands before the share of those where it is.
func missed(test, found string) func(context.Context, *Lab) (float64, error) {
	return func(ctx context.Context, l *Lab) (float64, error) {
		cmd := exec.CommandContext(ctx, "go", "test", "-count=1", "-v", "-run", "^"+test+"$", "./calc/survey")
		cmd.Dir = l.Module
		out, err := cmd.CombinedOutput()
		if err != nil {
			return 0, fmt.Errorf("bench: %w\n%s", err, out)
		}
		for line := range strings.Lines(string(out)) {
			at := strings.Index(line, found)
			if at < 0 {
				continue
			}
			fmt.Fprintf(l.Out, "  %s\n", strings.TrimSpace(line))
			share, _, _ := strings.Cut(strings.TrimSpace(line[at+len(found):]), " ")
			percent, err := strconv.ParseFloat(share, 64)
			return 100 - percent, err
		}
		return 0, fmt.Errorf("bench: %s does not say %q:\n%s", test, found, out)
	}
}

// before returns the word before a unit.
func before(line, unit string) (word string, ok bool) {
	head, _, ok := strings.Cut(line, unit)
	fields := strings.Fields(head)
	if !ok || len(fields) == 0 {
		return "", false
	}
	return fields[len(fields)-1], true
}

// readingTaps measures taking one reading more in the demo: from the tap that takes it to the paint of the new lengths. It
// is an end-to-end check, so every length on the way changes. It is undone again, which counts as well, so the demo stays as
// large as it is. The number is keyed on a hardware keyboard.
func readingTaps(ctx context.Context, l *Lab) (float64, error) {
	app, err := l.app(ctx, 5_000)
	if err != nil {
		return 0, err
	}
	tab, err := l.demoIn(ctx, app)
	if err != nil {
		return 0, err
	}
	for _, word := range []string{"Carry on measuring", "One run string", "Check from end to end", "From", "All places…", "Controller controller", "To", "All places…", "Injector 4 device"} {
		if err := browser.Tap(tab, word); err != nil {
			return 0, err
		}
	}
	if err := browser.See(tab, "6 runs:"); err != nil {
		return 0, err
	}
	return l.tapsOf(tab, func(i int) error {
		if i%2 == 1 {
			return browser.Tap(tab, "Undo")
		}
		if err := chromedp.Do(tab, chromedp.KeyEvent(strconv.Itoa(1700+i%40))); err != nil {
			return err
		}
		if err := browser.See(tab, strconv.Itoa(1700+i%40)); err != nil {
			return err
		}
		return browser.Tap(tab, "Take it")
	})
}
