package e2e

import (
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"loomwright/build/demo"
	"loomwright/calc/harness"
)

// askedOfStore notes what the page asks the database for from when the program runs until it shows what was asked for.
const askedOfStore = `(() => {
	window.asked = [];
	const note = (of, name) => {
		const real = of.prototype[name];
		of.prototype[name] = function (...args) {
			const runs = performance.getEntriesByName("loomwright:run").length > 0;
			if (runs && !/Carry on measuring|You are here/.test(document.body.textContent)) asked.push(name);
			return real.apply(this, args);
		};
	};
	note(IDBFactory, "open");
	for (const name of ["get", "getAll", "getAllKeys"]) note(IDBObjectStore, name);
})()`

// A start asks the database for nothing once the program runs, until its page is there: the loader has read it all before, for
// the page of a build and for a tag.
func TestStoredIsReadWhileTheProgramLoads(t *testing.T) {
	h := newHost(t, appSite(t), "/")
	p := newScreen(t, nil)
	p.open(h.url("/"))
	p.offlineReady()
	p.tap("Look at the demo")
	p.see("Carry on measuring")
	build := p.address()
	p.tap("Wires")
	p.see("150 wires")

	_, err := chromedp.Call(p.ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: askedOfStore})
	p.must(err)
	for _, to := range []struct{ address, shows string }{
		{build, "Carry on measuring"},
		{h.url("/") + "#" + codeOnWire(t), "You are here"},
	} {
		p.open(to.address)
		p.see(to.shows)
		if asked := eval[[]string](p, `asked`); len(asked) > 0 {
			t.Errorf("%s: the program asked the database for %q", to.address, asked)
		}
	}
}

// codeOnWire returns the code of a tag on a wire of the demo.
func codeOnWire(t *testing.T) string {
	t.Helper()
	log, err := demo.Log(0)
	if err != nil {
		t.Fatal(err)
	}
	for _, tag := range log.State().Tags.All() {
		if tag.On == harness.KindWire && !tag.Retired {
			return tag.Code
		}
	}
	t.Fatal("the demo has no tag on a wire")
	return ""
}
