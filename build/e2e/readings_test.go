package e2e

import (
	"fmt"
	"strings"
	"testing"
)

// keys taps a number on the pad, and Next.
func (p *person) keys(number, next string) {
	p.t.Helper()
	p.tap(strings.Split(number, "")...)
	p.tap(next)
}

// way changes how readings are taken: now is what the tool says, to the way that is chosen.
func (p *person) way(now, to string) {
	p.t.Helper()
	p.tap(now)
	p.see("How you read")
	p.tap(to)
	p.gone("How you read")
}

// TestReadings measures a car in every way: twelve marks along one string, flags that are read later, and a check from end
// to end that disagrees, with reloads in between.
func TestReadings(t *testing.T) {
	h := newHost(t, appSite(t), "/")
	p := newPerson(t, strings.TrimSuffix(h.url("/"), "/"))
	p.open(h.url("/"))
	p.tap("New build")
	p.typed("What it is called", "Green roadster")
	p.tap("Make it and walk the route")
	p.see("Before the walk")
	p.tap("Got it")
	p.gone("Before the walk")

	p.drawTrunk()
	p.markTrunk()
	p.readLater()
	p.checkTwice()

	// The help is there again, and everything opens with the server stopped.
	p.saved()
	p.offlineReady()
	h.stop()
	p.reload()
	p.see("Check")
	p.tap("Check string")
	p.tap("Before the walk: what to know")
	p.see("Measure to the centre of each breakout, exactly.")
	p.tap("Got it")
	p.see("Check")

	p.asBuilt()
}

// asBuilt measures two branches of the finished loom beside the sheet, one of them short, with no signal and over a reload.
func (p *person) asBuilt() {
	p.tap("back")
	p.tap("Runs 17", "The finished loom")
	p.see("It may not be shorter.")
	p.tap("Controller to Split 15")
	p.see("On the finished loom, from Controller to Split 15")
	p.keys("305", "Take it")
	p.see("1 branch passes.")
	p.tap("Split 15 to Device 2")
	p.keys("150", "Take it")
	p.see("1 branch passes, 1 is too short.")
	p.see("FAILS: ")
	p.saved()
	p.reload()
	p.see("1 branch passes, 1 is too short.")
}

// drawTrunk puts twelve flags on a string, which draws twelve splits, and takes them off again.
func (p *person) drawTrunk() {
	p.way("One run string", "Mark now, read later")
	for i := 1; i <= 12; i++ {
		p.see(fmt.Sprintf("Tap where flag %d goes", i))
		p.tap(fmt.Sprintf("Split %d new", i))
	}
	for i := 12; i >= 1; i-- {
		p.tap(fmt.Sprintf("Take flag %d off", i))
	}
	p.see("Stand at: Controller")
}

// markTrunk marks the whole trunk on one string that begins at 100, with a reload and a falling mark on the way.
func (p *person) markTrunk() {
	p.way("Flags string", "Marks along one string")
	p.see("Mark 1 from Controller")
	p.tap("Tape at 0 mm", "100 mm")
	p.see("Tape at 100 mm")
	at := 100
	for i := 1; i <= 12; i++ {
		at += 170 + 5*i
		switch i {
		case 5: // interrupted with half a number keyed in
			number := fmt.Sprint(at)
			p.within(5, "a mark with a reload", func() {
				p.tap(number[:1])
				p.reload()
				p.see("Stand at: Split 4")
				p.tap(strings.Split(number[1:], "")...)
				p.tap("Next")
			})
		case 7: // misread: the next mark is below it
			p.within(5, "a mark", func() { p.keys(fmt.Sprint(at+180+5*i), "Next") })
			p.see("Stand at: Split 7")
		case 8: // and swapped with it
			p.keys(fmt.Sprint(at-175), "Next")
			p.see("Mark 8 (Split 8")
			p.see("is not beyond mark 7 (Split 7")
			p.tap("Swap: ")
		default:
			p.within(5, "a mark", func() { p.keys(fmt.Sprint(at), "Next") })
		}
		if i < 12 {
			p.see(fmt.Sprintf("Stand at: Split %d", i))
		}
	}
	p.see("All 12 runs are measured.")
}

// readLater puts flags on a string of its own and reads them at the tape, over a reload and out of order.
func (p *person) readLater() {
	p.way("Marks string", "Mark now, read later")
	p.tap("Split 13 new")
	p.see("Stand at: Split 13")
	p.tap("Split 14 new")
	p.see("Stand at: Split 14")
	p.reload()
	p.see("Stand at: Split 14")
	p.tap("Device 1 new")
	p.see("Stand at: Device 1")
	p.tap("Read 3 flags at the tape")
	p.see("At the tape")
	p.keys("3410", "Next")
	p.keys("4000", "Next")
	p.reload()
	p.see("4000")
	p.keys("3780", "Next")
	p.see("is not beyond mark")
	p.tap("Swap flags")
	p.gone("is not beyond mark")
	p.tap("Take all 3 flags")
	p.see("3 marks are read.")
}

// checkTwice reads a branch of two runs twice, one number of it wrong, and lets a check from end to end find it.
func (p *person) checkTwice() {
	p.way("Flags string", "One run at a time")
	p.tap("Go back")
	p.tap("Controller")
	p.see("Stand at: Controller")
	p.tap("Split 15 new")
	p.keys("300", "Next")
	p.see("Stand at: Split 15")
	p.tap("Device 2 new")
	p.keys("200", "Next")
	p.see("Stand at: Device 2")
	p.tap("Go back")
	p.tap("Controller")
	for _, again := range []struct{ at, to, number string }{{"Controller", "Split 15", "302"}, {"Split 15", "Device 2", "260"}} {
		p.see("Stand at: " + again.at)
		p.tap("Other…")
		p.tap(again.to)
		p.keys(again.number, "Next")
	}
	p.way("One run string", "Check from end to end")
	p.see("Through")
	p.tap("From")
	p.tap("All places…", "Controller")
	p.tap("To")
	p.tap("All places…", "Device 2")
	p.see("2 runs: Controller – Split 15 – Device 2.")
	p.keys("502", "Take it")
	p.see("Most likely wrong: Split 15 to Device 2 (260 mm), 60 mm too long.")
	p.see("Read Split 15 to Device 2 again")

	// On the sketch's list the run disagrees; thrown out, all is well.
	p.saved()
	p.tap("back")
	p.tap("Next one is wrong")
	p.tap("Look at Split 15 to Device 2")
	p.see("long against the others")
	p.tap("misread")
	p.see("Thrown out.")
	p.tap("Use it again")
	p.see("Most likely wrong")
	p.tap("misread")
	p.see("Thrown out.")
	p.saved()
	p.tap("Read it again")
	p.see("Stand at: Split 15")
	p.keys("201", "Next")
	p.way("One run string", "Check from end to end")
}
