package e2e

import (
	"strings"
	"testing"
)

// TestProving proves a part of the demo with the server stopped: nothing begins before the battery is off, a reading that is
// too high goes on the list of repairs, the second try takes it off, and both are there after a reload.
func TestProving(t *testing.T) {
	h := newHost(t, appSite(t), "/")
	p := newPerson(t, strings.TrimSuffix(h.url("/"), "/"))
	p.open(h.url("/"))
	p.tap("Look at the demo")
	p.see("Roadster")
	p.offlineReady()
	h.stop()

	p.tap("Prove")
	p.tap("continuity 133 to do")
	p.tap("Next: ")
	p.see("Not yet:")
	p.tap("First: Battery off")
	for _, step := range []string{"Battery off", "Controller unplugged", "Every device unplugged", "Fuses and relays out", "Off the car's wires", "Meter's leads held together"} {
		p.until(`document.querySelector(".big.word")?.textContent === "` + step + `"`)
		p.tap("Done, and good")
	}
	p.see("before the first test")
	p.tap("back")
	p.tap("continuity 133 to do")
	p.tap("Next: ")
	p.see("It beeps")
	first := eval[string](p.screen, `document.querySelector(".big.word").textContent`)
	p.tap("No: it fails")
	p.see(first + ": fail")
	p.saved()

	p.reload()
	p.tap("Prove")
	p.tap("✕ To repair")
	p.tap("✕ " + first)
	p.tap("It beeps")
	p.until(`document.querySelector(".big.word")?.textContent !== ` + "`" + first + "`" + ` || !document.querySelector(".big.word")`)
	p.saved()
	p.reload()
	p.tap("Prove")
	p.see("132 to do")
	p.gone("To repair")
	p.tap("continuity 132 to do")
	p.tap("✓ " + first)
	p.see("So far 2")
}
