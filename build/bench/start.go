package bench

import (
	"context"
	"fmt"
	"slices"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

const (
	warmUps = 3
	pairs   = 15
)

// helloReady and appReady tell that a page can be used: the program has drawn its first screen, ours with the build.
const (
	helloReady = `document.querySelector("#hello")`
	appReady   = `document.querySelector(".steps [aria-current]") && /Roadster/.test(document.querySelector("h1")?.textContent)`
)

// startRatio returns the median of how much longer a warm start of the app with its build open takes than one of
// hello.
func (l *Lab) startRatio(ctx context.Context, edits int) (float64, error) {
	hello, err := l.hello(ctx)
	if err != nil {
		return 0, err
	}
	app, err := l.app(ctx, edits)
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
	return l.pairs(tab, start{build, appReady}, start{hello, helloReady})
}

// start is an address and the expression that tells when it can be used.
type start struct{ address, ready string }

// pairs starts ours and theirs in turn and returns the median ratio.
func (l *Lab) pairs(tab context.Context, ours, theirs start) (float64, error) {
	if err := browser.Throttle(tab, Slower); err != nil {
		return 0, err
	}
	defer browser.Throttle(tab, 1)
	var our, their timings
	var ratios []float64
	for i := range warmUps + pairs {
		a, err := startTime(tab, ours)
		if err != nil {
			return 0, err
		}
		b, err := startTime(tab, theirs)
		if err != nil {
			return 0, err
		}
		if i >= warmUps {
			our.add(a)
			their.add(b)
			ratios = append(ratios, a.Ready/b.Ready)
		}
	}
	fmt.Fprintf(l.Out, "  ours %s\n  hello %s\n", our, their)
	return median(ratios), nil
}

// timing is one start, in milliseconds from the empty page: when the program began to run, and when it could be used.
type timing struct{ Run, Ready float64 }

type timings struct{ run, ready []float64 }

func (t *timings) add(s timing) { t.run, t.ready = append(t.run, s.Run), append(t.ready, s.Ready) }

func (t timings) String() string {
	return fmt.Sprintf("%.0f ms (%.0f to %.0f), of which %.0f until the program runs; medians of %d",
		median(t.ready), slices.Min(t.ready), slices.Max(t.ready), median(t.run), len(t.ready))
}

// startTime opens an address from an empty page. It can be used in the frame after it is ready.
func startTime(tab context.Context, s start) (timing, error) {
	if err := navigate(tab, "about:blank"); err != nil {
		return timing{}, err
	}
	watch, err := chromedp.Call(tab, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: `
		(() => {
			const look = () => {
				if (!(` + s.ready + `)) return false;
				requestAnimationFrame(() => {
					const [run] = performance.getEntriesByName("loomwright:run");
					window.benchReady = { Run: run.startTime, Ready: performance.now() };
				});
				return true;
			};
			const o = new MutationObserver(() => { if (look()) o.disconnect(); });
			o.observe(document, { childList: true, subtree: true, attributes: true, characterData: true });
		})()`})
	if err != nil {
		return timing{}, err
	}
	defer chromedp.Call(tab, page.RemoveScriptToEvaluateOnNewDocument, page.RemoveScriptToEvaluateOnNewDocumentParams{Identifier: watch.Identifier})
	if err := navigate(tab, s.address); err != nil {
		return timing{}, err
	}
	return browser.Until[timing](tab, `window.benchReady`)
}

func navigate(ctx context.Context, address string) error {
	return chromedp.Do(ctx, chromedp.Navigate(address))
}

// median returns the middle value, the mean of both middle ones of an even number; NaN of none is not asked for.
func median(values []float64) float64 {
	s := slices.Sorted(slices.Values(values))
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}
