package bench

import (
	"context"
	"fmt"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

// recordFile measures the record of the demo as PDF, in the browser and not slowed down, from the tap until the file is there: the median of
// five, in seconds.
func recordFile(ctx context.Context, l *Lab) (float64, error) {
	return l.fileOf(ctx, []string{"The record"}, "PDF, to print")
}

// tagFile measures the label sheets of all tags of the demo, 345, likewise.
func tagFile(ctx context.Context, l *Lab) (float64, error) {
	return l.fileOf(ctx, []string{"Make", "Tags"}, "Make the label sheets")
}

// fileOf goes to a page of the demo and taps a button that makes a file.
func (l *Lab) fileOf(ctx context.Context, way []string, button string) (float64, error) {
	app, err := l.app(ctx, 5_000)
	if err != nil {
		return 0, err
	}
	tab, err := l.demoIn(ctx, app)
	if err != nil {
		return 0, err
	}
	behave := cdpbrowser.SetDownloadBehaviorParams{Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: l.dir}
	if _, err := chromedp.CallBrowser(tab, cdpbrowser.SetDownloadBehavior, behave); err != nil {
		return 0, err
	}
	for _, word := range way {
		if err := browser.Tap(tab, word); err != nil {
			return 0, err
		}
	}
	if err := chromedp.Do(tab, chromedp.Evaluate[chromedp.Void](`addEventListener("pointerup", e => { window.tapped = e.timeStamp; window.made = 0; }, true)`)); err != nil {
		return 0, err
	}
	var all []float64
	for range 5 {
		if err := browser.Tap(tab, button); err != nil {
			return 0, err
		}
		ms, err := browser.Until[float64](tab, `new Promise(ok => {
			let busy = false;
			const look = () => {
				const text = document.body.innerText;
				busy ||= text.includes("Cancel");
				busy && !text.includes("Cancel") ? ok(performance.now() - tapped) : requestAnimationFrame(look);
			};
			look();
		})`)
		if err != nil {
			return 0, err
		}
		if err := browser.See(tab, "is in the download folder"); err != nil {
			return 0, err
		}
		all = append(all, ms/1000)
	}
	fmt.Fprintf(l.Out, "  %.2f s\n", all)
	return median(all), nil
}
