package e2e

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

// screen is a tab of a browser, at the size of a phone. Its methods end the test when they fail.
type screen struct {
	t   testing.TB
	ctx context.Context
}

// newScreen starts a browser with an empty profile of its own. It closes with the test.
func newScreen(t testing.TB, flags map[string]string) screen {
	t.Helper()
	if testing.Short() {
		t.Skip("needs a browser")
	}
	// Not t.Context: the browser closes in Cleanup, when that has ended.
	ctx, stop, err := browser.Start(context.Background(), browser.Options{Profile: t.TempDir(), Flags: flags})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(stop)
	return screen{t, ctx}
}

// tab opens another tab of the same browser.
func (p screen) tab() screen {
	p.t.Helper()
	ctx, closeTab, err := browser.Tab(p.ctx)
	p.must(err)
	p.t.Cleanup(closeTab)
	return screen{p.t, ctx}
}

func (p screen) must(err error) {
	p.t.Helper()
	if err != nil {
		p.t.Fatal(err)
	}
}

// open goes to an address and waits until the document has loaded.
func (p screen) open(url string) {
	p.t.Helper()
	p.must(chromedp.Do(p.ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(url)))
}

func (p screen) reload() {
	p.t.Helper()
	p.must(chromedp.Do(p.ctx, chromedp.Reload()))
}

func (p screen) tap(name string)         { p.t.Helper(); p.must(browser.Tap(p.ctx, name)) }
func (p screen) see(text string)         { p.t.Helper(); p.must(browser.See(p.ctx, text)) }
func (p screen) gone(text string)        { p.t.Helper(); p.must(browser.Gone(p.ctx, text)) }
func (p screen) typed(label, put string) { p.t.Helper(); p.must(browser.Type(p.ctx, label, put)) }

// until waits for a condition in the page.
func (p screen) until(expression string) {
	p.t.Helper()
	_, err := browser.Until[any](p.ctx, expression)
	if err != nil {
		shown, _ := browser.Read(p.ctx)
		p.t.Fatalf("%s: %v; the page shows: %s", expression, err, shown)
	}
}

// offlineReady waits until the loader has said that everything is on the device.
func (p screen) offlineReady() { p.t.Helper(); p.until(`window.loomwright?.offline`) }

func (p screen) address() string {
	p.t.Helper()
	at, err := chromedp.Run(p.ctx, chromedp.Location())
	p.must(err)
	return at
}

// eval returns the value of an expression, which may be a promise.
func eval[T any](p screen, format string, args ...any) T {
	p.t.Helper()
	for i, a := range args {
		quoted, err := json.Marshal(a)
		p.must(err)
		args[i] = string(quoted)
	}
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](fmt.Sprintf(format, args...), chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%s: %v", format, err)
	}
	return v
}

// caches returns the names of the caches of the page's origin that belong to the copy at this path.
func (p screen) caches(path string) []string {
	p.t.Helper()
	return eval[[]string](p, `caches.keys().then(k => k.filter(k => k.startsWith("lw:" + encodeURIComponent(%s) + ":")))`, path)
}

// kept returns the addresses in all caches.
func (p screen) kept() []string {
	p.t.Helper()
	return eval[[]string](p, `(async () => {
		const out = [];
		for (const k of await caches.keys()) for (const r of await (await caches.open(k)).keys()) out.push(r.url);
		return out;
	})()`)
}

// lose takes one file out of every cache, as a browser short of room may do.
func (p screen) lose(name string) {
	p.t.Helper()
	lost := eval[int](p, `(async () => {
		let n = 0;
		for (const k of await caches.keys()) {
			const c = await caches.open(k);
			for (const r of await c.keys()) if (r.url.endsWith("/" + %s)) n += await c.delete(r);
		}
		return n;
	})()`, name)
	if lost != 1 {
		p.t.Fatalf("%d files %q in the caches, want one", lost, name)
	}
}

func count(list []string, has string) (n int) {
	for _, s := range list {
		if strings.Contains(s, has) {
			n++
		}
	}
	return n
}
