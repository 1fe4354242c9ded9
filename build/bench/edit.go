package bench

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os/exec"
	"slices"
	"strconv"
	"strings"

	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

// editsOf is how many edits, or cards opened, one run of a bench does.
const editsOf = 100

// watchReady keeps the times from a tap to the paint of the first change with which bench.ready is true.
const watchReady = `(() => {
	if (bench.times) return;
	bench.times = [];
	// What the person sees of the page, a card or a list.
	bench.shown = () => document.querySelector(".layer:not([hidden]) .stack")?.textContent;
	bench.open = () => document.querySelector("dialog.card[open] .terms > *") != null;
	new MutationObserver(() => {
		if (!bench.ready?.()) return;
		const since = bench.tapped;
		bench.ready = null;
		requestAnimationFrame(() => { const c = new MessageChannel(); c.port1.onmessage = () => bench.times.push(performance.now() - since); c.port2.postMessage(0); });
	}).observe(document, { childList: true, subtree: true, attributes: true, characterData: true });
})()`

// timeOf returns how long it takes from a tap until ready, an expression, is true and painted.
func timeOf(tab context.Context, ready string, tap func() error) (float64, error) {
	if err := chromedp.Do(tab, chromedp.Evaluate[chromedp.Void](watchTaps+"; "+watchReady+"; bench.times.length = 0; bench.ready = () => "+ready+"; 0")); err != nil {
		return 0, err
	}
	if err := tap(); err != nil {
		return 0, err
	}
	return browser.Until[float64](tab, `bench.times[0]`)
}

// bestOf does something editsOf times, slowed down, three times over, and returns the best of the three 95th percentiles. step does
// the i-th and returns its time.
func (l *Lab) bestOf(tab context.Context, step func(i int) (float64, error)) (float64, error) {
	if err := browser.Throttle(tab, Slower); err != nil {
		return 0, err
	}
	defer browser.Throttle(tab, 1)
	best := math.Inf(1)
	for range runs {
		var all []float64
		for i := range editsOf {
			ms, err := step(i)
			if err != nil {
				return 0, err
			}
			all = append(all, ms)
		}
		p := percentile(all, 0.95)
		fmt.Fprintf(l.Out, "  %d times: median %.0f ms, p95 %.0f ms, longest %.0f ms\n", len(all), median(all), p, slices.Max(all))
		best = min(best, p)
	}
	return best, nil
}

// editTaps measures one edit on the card of a wire, its size changed and changed back, until everything that the card shows is
// as it is worked out anew: its length, and what current and heat make of it.
func editTaps(ctx context.Context, l *Lab) (float64, error) {
	tab, err := l.cardOf(ctx, "W6 injector 1")
	if err != nil {
		return 0, err
	}
	tap := func(words ...string) error {
		for _, word := range words {
			if err := browser.Tap(tab, word); err != nil {
				return err
			}
		}
		return nil
	}
	// What the card shows of either size, once nothing changes any more.
	const settled = `new Promise(ok => {
		let was, same = 0;
		const look = () => { const now = document.querySelector(".layer:not([hidden]) .stack")?.textContent; same = now === was ? same + 1 : 0; was = now; same > 30 ? ok(now) : requestAnimationFrame(look); };
		look();
	})`
	var texts [2]string
	for i, words := range [][]string{{"0.75 mm² size", "1.0 mm²", "Done"}, {"Undo"}} {
		if err := tap(words...); err != nil {
			return 0, err
		}
		if texts[i], err = browser.Until[string](tab, settled); err != nil {
			return 0, err
		}
	}
	if texts[0] == texts[1] {
		return 0, fmt.Errorf("bench: the card shows %q of both sizes", texts[0])
	}
	return l.bestOf(tab, func(i int) (float64, error) {
		if i%2 == 1 {
			return timeOf(tab, "bench.shown() === "+literal(texts[1]), func() error { return tap("Undo") })
		}
		if err := tap("0.75 mm² size", "1.0 mm²"); err != nil {
			return 0, err
		}
		return timeOf(tab, "bench.shown() === "+literal(texts[0]), func() error { return tap("Done") })
	})
}

// literal is a text as JavaScript writes it.
func literal(text string) string {
	raw, _ := json.Marshal(text) // of a string it does not fail
	return string(raw)
}

// cardTaps measures opening the card of a number, from the tap until what went into it is there.
func cardTaps(ctx context.Context, l *Lab) (float64, error) {
	tab, err := l.cardOf(ctx, "W6 injector 1")
	if err != nil {
		return 0, err
	}
	n, err := browser.Until[int](tab, `document.querySelectorAll(".layer:not([hidden]) .terms > [aria-haspopup]").length`)
	if err != nil {
		return 0, err
	}
	return l.bestOf(tab, func(i int) (float64, error) {
		ms, err := timeOf(tab, "bench.open()", func() error {
			_, err := browser.Until[bool](tab, fmt.Sprintf(`(() => {
				const all = document.querySelectorAll(".layer:not([hidden]) .terms > [aria-haspopup]"), e = all[%d];
				for (const x of all) x.classList.remove("bench");
				e.classList.add("bench"); e.scrollIntoView({ block: "center" }); return true;
			})()`, i%n))
			if err != nil {
				return err
			}
			return browser.TapOn(tab, ".bench")
		})
		if err != nil {
			return 0, err
		}
		if err := browser.Tap(tab, "Close"); err != nil {
			return 0, err
		}
		_, err = browser.Until[bool](tab, `document.querySelector("dialog.card") == null`)
		return ms, err
	})
}

// cardOf opens the card of a wire in the demo.
func (l *Lab) cardOf(ctx context.Context, name string) (context.Context, error) {
	app, err := l.app(ctx, 5_000)
	if err != nil {
		return nil, err
	}
	tab, err := l.demoIn(ctx, app)
	if err != nil {
		return nil, err
	}
	for _, word := range []string{"Wires", name} {
		if err := browser.Tap(tab, word); err != nil {
			return nil, err
		}
	}
	return tab, browser.See(tab, "Volt drop")
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
