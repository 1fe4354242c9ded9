package e2e

import (
	"strings"
	"testing"
)

// enter types into a field and leaves it.
func (p *person) enter(label, text string) {
	p.t.Helper()
	p.typed(label, text)
	p.until(`(document.activeElement.blur(), true)`)
}

// TestLooms looks at the bundles of the demo: a run cut across, packed behind the page while it can be tapped, its account, a
// cover for a loom, a hole that is too small and found as such, a caliper reading, and other rules for what a wire may
// carry; then all of it with the server stopped.
func TestLooms(t *testing.T) {
	h := newHost(t, appSite(t), "/")
	p := newPerson(t, strings.TrimSuffix(h.url("/"), "/"))
	p.open(h.url("/"))
	p.tap("Look at the demo")
	p.see("What goes where")
	p.tap("Looms and bundles")
	p.see("no cover chosen")
	p.gone("Packing the wires")

	p.tap("43 Main grommet to Engine split")
	p.see("Rule of thumb")
	p.until(`document.querySelectorAll('[data-x="letter"]').length > 20`)
	p.see("packed as well as it goes")
	p.until(`(document.querySelector(".fig.big").click(), true)`)
	p.see("What went in")
	p.see("circles packed by basin hopping")
	p.tap("Close")
	p.tap("slit tube")
	p.see("Goes on later too: slit tube.")
	p.see("Size of slit tube")
	p.see("Core")
	p.saved()
	p.reload()
	p.see("Size of slit tube")

	p.at("looms")
	p.tap("Cover of main: not chosen")
	p.tap("corrugated tube")
	p.see("So its runs take")
	p.at("looms&m=holes")
	p.tap("Main grommet")
	p.enter("Hole, across", "9")
	p.see("does not go through.")
	p.at("circuits&m=look")
	p.see("the bundle is thicker than the hole")
	p.at("looms&m=holes")
	p.tap("Main grommet")
	p.enter("Hole, across", "38")
	p.gone("does not go through.")

	p.at("looms&m=wires")
	p.enter("By the caliper, 0.5 mm2", "1.5")
	p.see("measured with a caliper")
	p.at("looms&m=rules")
	p.tap("AC 43.13-1B table 11-9")
	p.at("looms")
	p.see("AC 43.13-1B table 11-9")

	if file, data := p.download("Bundles"); !strings.HasSuffix(file, ".pdf") || !strings.HasPrefix(string(data), "%PDF-") {
		t.Errorf("%s begins with %q", file, data[:min(len(data), 8)])
	}

	p.saved()
	p.offlineReady()
	h.stop()
	p.reload()
	p.see("AC 43.13-1B table 11-9")
	p.gone("Packing the wires")
	p.at("looms&m=wires")
	p.see("measured with a caliper")
}
