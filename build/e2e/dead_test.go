package e2e

import (
	"strings"
	"testing"
)

// TestWhatIsDead ticks a dead pump, gets what would explain it and where to measure, answers, and finds the search again
// after a reload with the server stopped.
func TestWhatIsDead(t *testing.T) {
	h := newHost(t, appSite(t), "/")
	p := newPerson(t, strings.TrimSuffix(h.url("/"), "/"))
	p.open(h.url("/"))
	p.tap("Look at the demo")
	p.see("Roadster")
	p.tap("Trace")
	p.tap("What do the dead ones share?")
	p.tap("Search for a fault")
	p.see("Tap once for dead")
	p.tap("Fuel pump")
	p.tap("All others work")
	p.saved()
	p.offlineReady()
	h.stop()
	p.tap("What do they share?")
	p.see("What would explain it")
	p.reload()
	p.see("faults are left that it could be")
}
