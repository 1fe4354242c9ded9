package e2e

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
)

// kills is how often the browser is killed, and savedEdits how many edits must have been shown as saved in all.
const kills, savedEdits = 50, 200

// TestNothingSavedIsLostByAKill kills the browser with all its processes at random moments: just after a tap, later, in
// the middle of taking in a file, and while the app writes a snapshot. Whatever this process had read from the screen
// as saved must be there when the same profile is opened again, and the build must open.
//
// What it cannot show: the pages that a browser wrote survive the end of its processes in the system's own cache, so
// this does not tell strict durability from relaxed. The store's own test asserts that every write asks for strict.
func TestNothingSavedIsLostByAKill(t *testing.T) {
	if testing.Short() {
		t.Skip("needs a browser")
	}
	const seed = 20261125
	random := rand.New(rand.NewPCG(seed, 1))
	t.Logf("seed %d", seed)
	h := newHost(t, appSite(t))
	profile := t.TempDir()
	var (
		saved   = map[string]int{} // by build: the newest edit that the screen called saved
		total   int                // edits called saved, in all lives
		build   string             // the one that is open
		moments = map[string]int{}
	)
	for life := range kills {
		ctx, stop, err := browser.Start(context.Background(), browser.Options{Profile: profile})
		if err != nil {
			t.Fatal(err)
		}
		p := screen{t, ctx}
		switch {
		case build == "":
			p.open(h.url("/"))
			p.tap("New build")
			p.typed("What it is called", "Killed")
			p.tap("Make it and walk the route")
			p.see("Stand at")
			p.until(`document.querySelector(".mark").textContent === "✓ saved"`)
			build = eval[string](p, `new URLSearchParams(location.hash.slice(1)).get("b")`)
			saved[build] = markedEdit(p)
			total += saved[build]
		default:
			for id, n := range saved {
				p.open(h.url("/#b=" + id + "&p=plan"))
				p.see("This build")
				if got := markedEdit(p); got < n {
					t.Fatalf("life %d: build %s has %d edits of this phone, the screen had called %d saved; the page shows: %s",
						life, id, got, n, eval[string](p, `document.querySelector(".mark")?.outerHTML + " " + document.body.innerText`))
				}
			}
			if life%10 == 5 { // the file that was being taken in is there as a whole, or not at all
				p.open(h.url("/"))
				p.see("Open a file")
				p.tap("Carry on with")
				p.until(`document.querySelector(".mark")?.textContent === "✓ saved"`)
			}
		}
		p.open(h.url("/#b=" + build + "&p=plan&m=settings"))
		p.see("Lengths in")

		// Some edits of one tap each, the last of which may be cut off.
		late := random.IntN(2) == 0
		units := []string{"inch", "mm"}
		if eval[bool](p, `[...document.querySelectorAll("button")].find(b => b.textContent.startsWith("inch")).ariaPressed === "true"`) {
			units = []string{"mm", "inch"}
		}
		before := markedEdit(p)
		for i := range 5 + random.IntN(4) {
			p.tap(units[i%2])
		}
		wait := time.Duration(random.IntN(50)) * time.Millisecond
		moment := "within 50 ms after a tap"
		if late {
			wait = time.Duration(50+random.IntN(400)) * time.Millisecond
			moment = "later"
		}
		switch life % 10 {
		case 4: // in the middle of taking in a file
			p.open(h.url("/"))
			p.see("Open a file")
			p.tap("Demo")
			if life > 10 { // it is here already: take its copy in as a whole
				p.see("This build")
				p.tap("Duplicate")
			}
			moment = "while a file is taken in"
		case 8: // while the app goes out of sight and writes a snapshot
			p.open(h.url("/#b=" + build + "&p=plan"))
			p.see("This build")
			p.tap("back")
			moment = "while a snapshot is written"
		}
		moments[moment]++
		seen := watch(p, wait, func() int { return markedEdit(p) })
		if life%10 != 4 && seen > saved[build] {
			total += seen - max(before, saved[build])
			saved[build] = seen
		}
		n, err := browser.Kill(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if n < 3 {
			t.Fatalf("only %d processes were killed", n)
		}
		stop()
	}
	if total < savedEdits {
		t.Errorf("%d edits were shown as saved, want at least %d", total, savedEdits)
	}
	t.Logf("%d kills %v, %d edits shown as saved, none lost", kills, moments, total)
}

// watch reads a number from the screen over and over for a while and returns the last answer.
func watch(p screen, wait time.Duration, read func() int) (last int) {
	for end := time.Now().Add(wait); ; {
		last = read()
		if !time.Now().Before(end) {
			return last
		}
	}
}

// markedEdit is the number of this phone's newest edit that the screen calls saved; 0 where it shows none.
func markedEdit(p screen) int {
	p.t.Helper()
	n, err := chromedp.Run(p.ctx, chromedp.Evaluate[int](`Number(document.querySelector(".mark")?.dataset.edit ?? 0)`))
	if err != nil {
		p.t.Fatal(err)
	}
	return n
}
