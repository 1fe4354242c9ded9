package bench

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os/exec"
	"strconv"
	"strings"

	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

// editTaps measures one edit on the card of a wire, its size changed and changed back, until everything that the card shows is
// worked out anew: its length, and what current and heat make of it.
func editTaps(ctx context.Context, l *Lab) (float64, error) {
	app, err := l.app(ctx, 5_000)
	if err != nil {
		return 0, err
	}
	tab, err := l.demoIn(ctx, app)
	if err != nil {
		return 0, err
	}
	for _, word := range []string{"Wires", "W6 injector 1"} {
		if err := browser.Tap(tab, word); err != nil {
			return 0, err
		}
	}
	if err := browser.See(tab, "Volt drop"); err != nil {
		return 0, err
	}
	const whole = `new Promise(ok => {
		const look = () => document.querySelector(".electric")?.textContent.includes("Working it out") || !document.querySelector(".electric") ? requestAnimationFrame(look) : ok(performance.now() - bench.tapped);
		requestAnimationFrame(() => requestAnimationFrame(look));
	})`
	best := math.Inf(1)
	for range runs {
		var all []float64
		first, err := tapTimesThrottled(tab, func(i int) error {
			for _, word := range [][]string{{"0.75 mm² size", "1.0 mm²", "Done"}, {"Undo"}}[i%2] {
				if err := browser.Tap(tab, word); err != nil {
					return err
				}
			}
			ms, err := chromedp.Run(tab, chromedp.Evaluate[float64](whole, chromedp.EvalAwaitPromise))
			all = append(all, ms)
			return err
		})
		if err != nil {
			return 0, err
		}
		p := percentile(all, 0.95)
		fmt.Fprintf(l.Out, "  %d edits: all of it median %.0f ms, p95 %.0f ms; to the first change p95 %.0f ms\n", len(all), median(all), p, percentile(first.Changes, 0.95))
		best = min(best, p)
	}
	return best, nil
}

func tapTimesThrottled(tab context.Context, step func(i int) error) (tapped, error) {
	if err := browser.Throttle(tab, Slower); err != nil {
		return tapped{}, err
	}
	defer browser.Throttle(tab, 1)
	return tapTimes(tab, step)
}

// large measures a build of 1000 wires on 300 runs worked out from nothing, as whole does the demo; in seconds.
func large(ctx context.Context, l *Lab) (float64, error) {
	ms, err := inBrowser(ctx, l, "./build/demo", "BenchmarkLarge/1000")
	return ms / 1000, err
}

// growth prints what builds of 100 to 3000 wires take on this machine, and returns the power of the number of wires by which it grows.
func growth(ctx context.Context, l *Lab) (float64, error) {
	cmd := exec.CommandContext(ctx, "go", "test", "-run=^$", "-bench=BenchmarkLarge", "-benchtime=5x", "./build/demo")
	cmd.Dir = l.Module
	out, err := cmd.CombinedOutput()
	if err != nil {
		return 0, fmt.Errorf("bench: %w\n%s", err, out)
	}
	ms := map[int]float64{}
	for line := range strings.Lines(string(out)) {
		number, ok := before(line, " ns/op")
		name, _, _ := strings.Cut(strings.TrimPrefix(line, "BenchmarkLarge/"), "-")
		wires, err := strconv.Atoi(name)
		if !ok || err != nil {
			continue
		}
		ns, err := strconv.ParseFloat(number, 64)
		if err != nil {
			return 0, fmt.Errorf("bench: %q: %w", line, err)
		}
		ms[wires] = ns / 1e6
		fmt.Fprintf(l.Out, "  %4d wires on %3d runs: %.0f ms\n", wires, wires*3/10, ms[wires])
	}
	if ms[100] == 0 || ms[3000] == 0 {
		return 0, fmt.Errorf("bench: no times in %q", bytes.TrimSpace(out))
	}
	return math.Log(ms[3000]/ms[100]) / math.Log(30), nil
}
