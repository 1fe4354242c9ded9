package bench

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

const (
	taps = 200 // of one run, at least
	runs = 3   // the best counts: the others tell of the machine
)

// shortest is what the browser reports at least, in milliseconds; what was faster is counted as that much.
// Source: W3C Event Timing, durationThreshold.
const shortest = 16

// tapsOf does something at least taps times, three times over, and returns the best of the three 95th percentiles of
// the time from tap to paint, in milliseconds. step does the i-th; it may be more than one tap.
//
// The browser's own measure ends at the first paint after the tap's handlers. The framework draws a moment later, so
// the time to the paint of the first change of the page is taken as well, and the worse of both counts.
func (l *Lab) tapsOf(tab context.Context, step func(i int) error) (float64, error) {
	if err := browser.Throttle(tab, Slower); err != nil {
		return 0, err
	}
	defer browser.Throttle(tab, 1)
	best := math.Inf(1)
	for range runs {
		t, err := tapTimes(tab, step)
		if err != nil {
			return 0, err
		}
		a, b := percentile(t.Durations, 0.95), percentile(t.Changes, 0.95)
		fmt.Fprintf(l.Out, "  %d taps: median %.0f ms, p95 %.0f ms; to the first change: median %.0f ms, p95 %.0f ms, longest %.0f ms\n",
			len(t.Durations), median(t.Durations), a, median(t.Changes), b, slices.Max(t.Changes))
		best = min(best, max(a, b))
	}
	return best, nil
}

// tapped is what was measured of a run of taps, in milliseconds, in no order: by Event Timing, and to the paint of the
// first change.
type tapped struct {
	Touches            int
	Durations, Changes []float64
}

const watchTaps = `(() => {
	window.bench ??= (() => {
		const b = { ids: {}, touches: 0, changes: [], since: 0, tapped: 0 };
		b.take = (entries) => { for (const e of entries) if (e.interactionId) b.ids[e.interactionId] = Math.max(b.ids[e.interactionId] ?? 0, e.duration); };
		b.events = new PerformanceObserver((list) => b.take(list.getEntries()));
		b.events.observe({ type: "event", durationThreshold: 16 });
		addEventListener("pointerup", (e) => { b.touches++; b.since = b.tapped = e.timeStamp; }, true);
		new MutationObserver(() => {
			if (!b.since) return;
			const since = b.since;
			b.since = 0;
			// Behind the frame that shows the change.
			requestAnimationFrame(() => { const c = new MessageChannel(); c.port1.onmessage = () => b.changes.push(performance.now() - since); c.port2.postMessage(0); });
		}).observe(document, { childList: true, subtree: true, attributes: true, characterData: true });
		return b;
	})();
	Object.assign(bench, { ids: {}, touches: 0, changes: [], since: 0 });
})()`

// tapTimes does taps until there are enough.
func tapTimes(tab context.Context, step func(i int) error) (tapped, error) {
	var t tapped
	if err := chromedp.Do(tab, chromedp.Evaluate[chromedp.Void](watchTaps)); err != nil {
		return t, err
	}
	for i := 0; ; i++ {
		if err := step(i); err != nil {
			return t, err
		}
		// Wait for the change, but not for ever: a tap may change nothing.
		touched, err := browser.Until[int](tab, `new Promise(ok => {
			let frames = 0;
			const look = () => bench.changes.length >= bench.touches || ++frames > 60 ? ok(bench.touches) : requestAnimationFrame(look);
			look();
		})`)
		if err != nil {
			return t, err
		}
		if touched >= taps {
			break
		}
		if i > 10*taps {
			return t, fmt.Errorf("bench: %d taps seen after %d steps: they do not arrive", touched, i)
		}
	}
	raw, err := chromedp.Run(tab, chromedp.Evaluate[[]byte](`(() => {
		bench.take(bench.events.takeRecords());
		return { Touches: bench.touches, Durations: Object.values(bench.ids), Changes: bench.changes };
	})()`))
	if err != nil {
		return t, err
	}
	if err := json.Unmarshal(raw, &t); err != nil {
		return t, err
	}
	if len(t.Changes) < t.Touches*9/10 {
		return t, fmt.Errorf("bench: %d of %d taps changed nothing on the page", t.Touches-len(t.Changes), t.Touches)
	}
	for len(t.Durations) < t.Touches {
		t.Durations = append(t.Durations, shortest)
	}
	return t, nil
}

// percentile returns the value that the part p of the values does not exceed (nearest rank).
func percentile(values []float64, p float64) float64 {
	s := slices.Sorted(slices.Values(values))
	return s[max(int(math.Ceil(p*float64(len(s))))-1, 0)]
}
