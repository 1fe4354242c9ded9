package bench

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
	"loomwright/build/demo"
	"loomwright/calc/harness"
)

// scans is how many tags are scanned, and started from.
const scans = 30

// A scanned tag's code is in the fragment of the address. Its screen is shown when both ends of the wire are.
const traceReady = `document.querySelector(".here-now") && /^Tag /.test(document.querySelector("h1")?.textContent)`

// tagsOfDemo returns codes of tags on wires of the demo.
func tagsOfDemo(edits int) ([]string, error) {
	log, err := demo.Log(edits)
	if err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	var codes []string
	for _, t := range log.State().Tags.All() {
		if t.On == harness.KindWire && !t.Retired {
			codes = append(codes, t.Code)
		}
	}
	if len(codes) == 0 {
		return nil, fmt.Errorf("bench: the demo has no tag on a wire")
	}
	return codes, nil
}

// tracing measures what a scanned code takes while the program runs: from the code in the address, where both the scanner
// and a link put it, to the paint of what it is on. Each comes from the menu of the page, where the camera is.
func tracing(ctx context.Context, l *Lab) (p95 float64, err error) {
	app, err := l.app(ctx, 5_000)
	if err != nil {
		return 0, err
	}
	codes, err := tagsOfDemo(5_000)
	if err != nil {
		return 0, err
	}
	tab, err := l.demoIn(ctx, app)
	if err != nil {
		return 0, err
	}
	back := l.down(app)
	defer func() { err = errors.Join(err, back()) }()
	if err := browser.Throttle(tab, Slower); err != nil {
		return 0, err
	}
	defer browser.Throttle(tab, 1)
	var all []float64
	for i := range scans {
		if err := chromedp.Do(tab, chromedp.Evaluate[chromedp.Void](`location.hash = "p=trace"`)); err != nil {
			return 0, err
		}
		if err := browser.See(tab, "Scan with the camera"); err != nil {
			return 0, err
		}
		ms, err := chromedp.Run(tab, chromedp.Evaluate[float64](fmt.Sprintf(`new Promise(ok => {
			const since = performance.now();
			const o = new MutationObserver(() => {
				if (!(%s)) return;
				o.disconnect();
				requestAnimationFrame(() => { const c = new MessageChannel(); c.port1.onmessage = () => ok(performance.now() - since); c.port2.postMessage(0); });
			});
			o.observe(document, { childList: true, subtree: true, attributes: true, characterData: true });
			location.hash = %q;
		})`, traceReady, codes[i*7%len(codes)]), chromedp.EvalAwaitPromise))
		if err != nil {
			return 0, err
		}
		all = append(all, ms)
	}
	p := percentile(all, 0.95)
	fmt.Fprintf(l.Out, "  %d scans: the first %.0f ms, median %.0f ms, p95 %.0f ms, longest %.0f ms\n", len(all), all[0], median(all), p, slices.Max(all))
	return p, nil
}

// traceLink measures how much longer than startLimit times a start of hello the program takes from a tag's link to what
// the tag is on, with the program not running, no network, and the site kept by the service worker: the median, in ms.
func traceLink(ctx context.Context, l *Lab) (over float64, err error) {
	hello, err := l.hello(ctx)
	if err != nil {
		return 0, err
	}
	app, err := l.app(ctx, 5_000)
	if err != nil {
		return 0, err
	}
	codes, err := tagsOfDemo(5_000)
	if err != nil {
		return 0, err
	}
	tab, err := l.browser(ctx)
	if err != nil {
		return 0, err
	}
	if err := navigate(tab, hello); err != nil {
		return 0, err
	}
	if _, err := browser.Until[bool](tab, `window.loomwright?.offline`); err != nil {
		return 0, err
	}
	build, err := openDemo(tab, app)
	if err != nil {
		return 0, err
	}
	root, _, _ := strings.Cut(build, "#")
	back := l.down(app, hello)
	defer func() { err = errors.Join(err, back()) }()
	if err := browser.Throttle(tab, Slower); err != nil {
		return 0, err
	}
	defer browser.Throttle(tab, 1)
	var our, their timings
	for i := range warmUps + pairs {
		a, err := startTime(tab, start{root + "#" + codes[i*7%len(codes)], traceReady})
		if err != nil {
			return 0, err
		}
		b, err := startTime(tab, start{hello, helloReady})
		if err != nil {
			return 0, err
		}
		if i >= warmUps {
			our.add(a)
			their.add(b)
		}
	}
	fmt.Fprintf(l.Out, "  ours %s\n  hello %s\n", our, their)
	return median(our.ready) - startLimit*median(their.ready), nil
}
