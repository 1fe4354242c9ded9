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
func (l *Lab) tapsOf(tab context.Context, step func(i int) error) (float64, error) {
	if err := browser.Throttle(tab, Slower); err != nil {
		return 0, err
	}
	defer browser.Throttle(tab, 1)
	best := math.Inf(1)
	for range runs {
		times, err := tapTimes(tab, step)
		if err != nil {
			return 0, err
		}
		p95 := percentile(times, 0.95)
		fmt.Fprintf(l.Out, "  %d taps: median %.0f ms, p95 %.0f ms, longest %.0f ms\n", len(times), median(times), p95, slices.Max(times))
		best = min(best, p95)
	}
	return best, nil
}

// tapTimes does taps until there are enough and returns how long each took to the next paint.
func tapTimes(tab context.Context, step func(i int) error) ([]float64, error) {
	err := chromedp.Do(tab, chromedp.Evaluate[chromedp.Void](`(() => {
		window.benchTaps = {}; window.benchTouches = 0;
		window.benchObserver?.disconnect();
		window.benchObserver = new PerformanceObserver((list) => {
			for (const e of list.getEntries()) {
				if (e.interactionId) benchTaps[e.interactionId] = Math.max(benchTaps[e.interactionId] ?? 0, e.duration);
			}
		});
		benchObserver.observe({ type: "event", durationThreshold: 16 });
		window.benchTouched ??= (addEventListener("pointerup", () => benchTouches++, true), true);
	})()`))
	if err != nil {
		return nil, err
	}
	for i := 0; ; i++ {
		if err := step(i); err != nil {
			return nil, err
		}
		// Two frames later the tap has been painted.
		touched, err := browser.Until[int](tab, `new Promise(ok => requestAnimationFrame(() => requestAnimationFrame(() => ok(benchTouches))))`)
		if err != nil {
			return nil, err
		}
		if touched >= taps {
			break
		}
		if i > 10*taps {
			return nil, fmt.Errorf("bench: %d taps seen after %d steps: they do not arrive", touched, i)
		}
	}
	var told struct {
		Touches   int
		Durations []float64
	}
	raw, err := chromedp.Run(tab, chromedp.Evaluate[[]byte](`(() => {
		for (const e of benchObserver.takeRecords()) {
			if (e.interactionId) benchTaps[e.interactionId] = Math.max(benchTaps[e.interactionId] ?? 0, e.duration);
		}
		return { Touches: benchTouches, Durations: Object.values(benchTaps) };
	})()`))
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(raw, &told); err != nil {
		return nil, err
	}
	times := told.Durations
	for len(times) < told.Touches {
		times = append(times, shortest)
	}
	return times, nil
}

// percentile returns the value that the part p of the values does not exceed (nearest rank).
func percentile(values []float64, p float64) float64 {
	s := slices.Sorted(slices.Values(values))
	return s[max(int(math.Ceil(p*float64(len(s))))-1, 0)]
}
