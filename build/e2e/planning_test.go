package e2e

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

// paste puts text into the field with that label, as pasting does.
func (p *person) paste(label, text string) {
	p.t.Helper()
	p.must(browser.TapOn(p.ctx, `textarea[aria-label="`+label+`"]`))
	_, err := chromedp.Call(p.ctx, input.InsertText, input.InsertTextParams{Text: text})
	p.must(err)
}

// at goes to a page of the build that is open, by its address.
func (p *person) at(page string) {
	p.t.Helper()
	p.until(fmt.Sprintf(`(location.hash = "#b=" + new URLSearchParams(location.hash.slice(1)).get("b") + "&p=%s", true)`, page))
}

// TestPlanning makes a planned build from nothing: a list of sixty pins as it is copied from a page, with ten faults, each
// told by its row; what becomes of the leads; a panel and a ground; then the wires that the plan asks for. All by tapping,
// but for what is mended in the list.
func TestPlanning(t *testing.T) {
	list, err := os.ReadFile("../../testdata/tables/pdf-sixty-pins-ten-faults.txt")
	if err != nil {
		t.Fatal(err)
	}
	h := newHost(t, appSite(t), "/")
	p := newPerson(t, strings.TrimSuffix(h.url("/"), "/"))
	p.open(h.url("/"))
	p.tap("New build")
	p.typed("What it is called", "Planned on paper")
	p.tap("Make it and walk the route")
	p.see("Stand at: Controller")
	p.at("plan")
	p.tap("Pins")
	p.tap("Paste a list")
	p.see("Nothing is taken before you have seen it")
	p.paste("Paste the list here", string(list))
	p.tap("See what it says")
	p.see("52 pins, 8 rows left out")
	for _, row := range []int{7, 13, 22, 30, 35, 41, 46, 55, 17, 63} { // eight are left out, two are taken and to be looked at
		p.see(fmt.Sprintf("Row %d:", row))
	}

	// The list outlasts a reload; nothing was taken yet.
	p.reload()
	p.see("52 pins, 8 rows left out")
	for _, mend := range []struct {
		row        int
		begin, end string
	}{
		{7, "4 · Injector 5", "5        Injector 5                    20 AWG    white/black     2500"},
		{13, "10 · Ignition coil 2", "10       Ignition coil 2               20 AWG    orange/red      2500"},
		{22, "19 · Throttle", "19       Throttle position             20 AWG    brown/red       1234"},
		{30, "24 · Cam", "24       Cam signal                    20 AWG    yellow/violet   2500"},
		{35, "29 · Fuel pump", "29       Fuel pump relay               1.0 mm2   brown/blue      2500"},
		{41, "5 V reference B", "34       5 V reference B               20 AWG    yellow/grey     2500"},
		{46, "39 · Power ground 3", "39       Power ground 3                20 AWG    brown/green     250"},
		{55, "02-Jan", "45       Lambda signal                 20 AWG    white/orange    2500"},
	} {
		p.tap(fmt.Sprintf("Row %d: %s", mend.row, mend.begin))
		p.see(fmt.Sprintf("Leave row %d out of the list", mend.row))
		p.typed("The row as it stands in the list", mend.end)
		p.tap(fmt.Sprintf("Set row %d", mend.row))
		p.see("What the list says")
	}
	p.see("60 pins, 0 rows left out")
	p.tap("Wire side")
	p.tap("Take 60 pins")
	p.see("60 pins, 0 decided, 0 done")
	p.saved()

	// One lead is decided by one tap, a power ground only with its reason.
	p.tap("Next undecided: 1 Injector 1")
	p.tap("Use")
	p.see("decided, not done yet")
	p.tap("Laid to where it goes")
	p.tap("back")
	p.see("1 decided, 1 done")
	p.typed("Search", "39")
	p.see("1 of 60 pins")
	p.tap("39 Power ground 3")
	p.tap("Signal")
	p.tap("ground")
	p.tap("Done")
	p.tap("Remove")
	p.see("This is a ground.")
	p.tap("Another lead does its work")
	p.see("another lead does its work")
	p.tap("Undo") // all grounds are needed
	p.gone("another lead does its work")
	p.tap("back")
	p.typed("Search", "aux")
	p.see("4 of 60 pins")
	p.tap("57 Aux 1")
	p.tap("Remove")
	p.see("into the bag of spares")
	p.tap("back")
	p.see("2 decided, 1 done")

	// A ground and a panel with a fuse, placed by tapping.
	p.at("devices")
	p.tap("New device, panel or ground")
	p.tap("ground")
	p.see("lug 4")
	p.at("devices")
	p.tap("New device, panel or ground")
	p.tap("panel")
	p.see("15 free")
	p.tap("free position, row 1, 1")
	p.tap("fuse")
	p.see("14 free")

	// What the plan asks for is taken sort by sort, each one step back.
	p.at("circuits&m=propose")
	p.see("What the leads carry")
	for range 8 {
		shown := eval[string](p.screen, `document.querySelector(".foot")?.innerText ?? ""`)
		if !strings.Contains(shown, "Take all") {
			break
		}
		said := eval[string](p.screen, `document.querySelector(".mark").dataset.edit`)
		p.tap("Take all")
		p.until(fmt.Sprintf(`document.querySelector(".mark").dataset.edit !== %q`, said))
		p.saved()
	}
	p.see("Nothing to propose")
	p.at("pins&m=rest")
	p.tap("Keep all")
	p.see("decided: keep for later")
	p.at("circuits")
	p.see("Injector 1")
	p.at("devices")
	p.see("Injector 8")
	p.at("wires")
	p.see("W1")
	wires := eval[int](p.screen, `+document.body.innerText.match(/(\d+) wires/)[1]`)
	if wires < 30 {
		t.Errorf("%d wires are planned of sixty pins", wires)
	}
	p.reload()
	p.see("W1")
	p.at("circuits&m=look")
	p.see("Worth a look")
	p.at("plan")
	p.see("What goes where")
	p.see("1 removed")
	if p.taps > 120 {
		t.Errorf("%d taps", p.taps)
	}
	t.Logf("%d wires, %d taps", wires, p.taps)

	// With no signal: what is worth a look opens, a finding is left so with a reason, and all of it is there after a reload.
	p.saved()
	p.offlineReady()
	h.stop()
	p.reload()
	p.tap("Worth a look")
	p.see("Worth knowing")
	p.must(browser.TapOn(p.ctx, `.rows > :nth-child(1)`))
	p.see("Why it may be")
	p.tap("Leave it so")
	p.see("Say in a word why it may be")
	p.typed("Why it may be", "decided tomorrow")
	p.tap("Leave it so")
	p.see("Take it up again")
	p.saved()
	p.reload()
	p.see("Left so: decided tomorrow")
	p.at("pins")
	p.see("60 pins")
	p.tap("back")
	p.see("1 removed")
}
