package bench

import (
	"errors"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/app/sheet"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/storage"
)

func TestMissingTagsAreMadeInOneEdit(t *testing.T) {
	b := sessiontest.Start(t, nil)
	b.New("x")
	b.Split("S1")
	p := &page{S: b.Session, At: kit.Addr{Build: b.ID(), Page: "make", Mode: partTags}}
	p.ctx = b.Ctx
	before := b.Log().Len()
	has(t, b.HTML(&page{S: b.Session, At: p.At}), "No tag is made yet.", "Make 2 tags")
	p.onMakeTags(b.Ctx, app.Event{})
	if b.B().Tags.Len() != 2 || b.Log().Len() != before+1 || len(tag.Missing(b.B())) != 0 {
		t.Errorf("%d tags in %d edits", b.B().Tags.Len(), b.Log().Len()-before)
	}
	for _, rec := range b.B().Tags.All() {
		if tag.Check(rec.Code) != nil || rec.On != harness.KindPlace {
			t.Errorf("%+v", rec)
		}
	}
	b.Undo(b.Ctx)
	if b.B().Tags.Len() != 0 {
		t.Error("one undo leaves tags behind")
	}
}

func TestTagSheetsAreWorkedOutAndPrinted(t *testing.T) {
	_, p, out, loop := open(t, partTags, "")
	if p.sheet.err != nil || !p.sheet.made || len(p.sheet.plan.Labels) != 345 {
		t.Fatalf("plan of %d labels, made %v, %v", len(p.sheet.plan.Labels), p.sheet.made, p.sheet.err)
	}
	has(t, app.HTMLString(p), "345 labels", "Modules of ", "the label of W1 at", "Make the label sheets")
	p.onPrint(p.ctx, app.Event{})
	loop.Consume()
	if len(out.got) != 1 || !strings.HasPrefix(string(out.got[0].Data), "%PDF-") {
		t.Fatalf("%d files, failed %q", len(out.got), p.failed)
	}
	if got := len(p.wasPrinted()); got != 345 {
		t.Errorf("%d tags are remembered as printed", got)
	}
	p.onWhich(whichNew)(p.ctx, app.Event{})
	loop.Consume()
	if !p.sheet.none || !strings.Contains(app.HTMLString(p), "No tag is chosen.") {
		t.Error("printed tags are still offered as not printed")
	}
}

// Tags for the runs of the demo and for the single connectors of its controller are made by a tap each, and printed as they are
// chosen.
func TestTagsOfBundlesAndConnectorsAreMade(t *testing.T) {
	b, p, _, loop := open(t, partTags, "")
	has(t, app.HTMLString(p), "Make 55 tags round bundles", "Make 2 tags for single connectors")
	before := b.Log().Len()
	p.onMakeBundles(p.ctx, app.Event{})
	p.onMakeConnectors(p.ctx, app.Event{})
	loop.Consume()
	if b.Log().Len() != before+2 || len(p.sheet.plan.Labels) != 345+55+2 || p.sheet.err != nil {
		t.Fatalf("%d edits, %d labels, %v", b.Log().Len()-before, len(p.sheet.plan.Labels), p.sheet.err)
	}
	html := app.HTMLString(p)
	if strings.Contains(html, "round bundles") || strings.Contains(html, "single connectors") {
		t.Error("tags that are made are offered again")
	}
	has(t, html, "the label of Controller", "mm once round")
	for _, c := range []struct {
		kinds  string
		labels int
	}{{onlyWires, 300}, {onlyConnectors, 30 + 2}, {onlyBundles, 55 + 15}} {
		p.savePrint(func(s *settings) { s.Kinds = c.kinds })
		loop.Consume()
		if len(p.sheet.plan.Labels) != c.labels {
			t.Errorf("%s only: %d labels, want %d", c.kinds, len(p.sheet.plan.Labels), c.labels)
		}
	}
	collars := func() (n int) {
		for _, l := range p.sheet.plan.Labels {
			if l.Round > 0 {
				n++
			}
		}
		return n
	}
	if collars() == 0 {
		t.Error("no bundle has a collar")
	}
	p.savePrint(func(s *settings) { s.Bundles = sheet.BundleFlag })
	loop.Consume()
	if collars() != 0 {
		t.Error("flags were chosen for bundles, and collars are planned")
	}
}

// A printed tag whose wire goes elsewhere now is offered to be printed again, and no other.
func TestTagsAreReprintedWhenFactsChange(t *testing.T) {
	b, p, _, loop := open(t, partTags, "")
	p.onPrint(p.ctx, app.Event{})
	loop.Consume()
	if got := p.stale(); len(got) != 0 {
		t.Fatalf("%d tags are stale right after printing", len(got))
	}
	w := b.B().Wires.All()[0]
	now := w
	now.Function = "another function"
	if err := b.Do(storage.Put(harness.KindWire, w.ID, w, now)); err != nil {
		t.Fatal(err)
	}
	has(t, b.HTML(&page{S: b.Session, At: p.At}), "2 printed tags say what is no longer so", "Print those again")
	p.onWhich(whichStale)(p.ctx, app.Event{})
	loop.Consume()
	if got := len(p.sheet.plan.Labels); got != 2 {
		t.Errorf("%d labels are printed again, want those of both ends", got)
	}
	// What an earlier version remembered has no stamps: nothing is called stale.
	b.Device.Prefs.Put(prefPrinted(b.ID()), b.B().Tags.All()[0].Code+b.B().Tags.All()[1].Code)
	if have := p.wasPrinted(); len(have) != 2 || len(p.stale()) != 0 {
		t.Errorf("%d remembered, %d stale", len(have), len(p.stale()))
	}
}

func TestTooSmallIsSaidWithTheReason(t *testing.T) {
	_, p, _, loop := open(t, partPrint, "")
	p.savePrint(func(s *settings) {
		s.Address, s.DPI, s.Width = "https://a-rather-long-name-of-a-workshop.example/harness/", 203, 8*unit.Millimetre
	})
	loop.Consume()
	if !errors.Is(p.sheet.err, tag.ErrTooSmall) {
		t.Fatalf("got %v", p.sheet.err)
	}
	has(t, app.HTMLString(p), "cannot be printed so", "too small to read", "Use larger labels")
}

func TestWithoutTheTypeNothingIsPrinted(t *testing.T) {
	_, p, _, loop := open(t, partTags, "")
	p.S.Device.Shell = site{Shell: p.S.Device.Shell, lost: true}
	p.sheet.font, p.sheet.stale = sheet.Font{}, true
	p.replan()
	loop.Consume()
	has(t, app.HTMLString(p), "The type for printing could not be loaded")
}

func TestAddressesAreWarnedAbout(t *testing.T) {
	_, p, _, loop := open(t, partPrint, "")
	for address, want := range map[string]string{
		"https://localhost:8080/":   "On a phone localhost means the phone itself",
		"https://192.168.1.4/":      "reached only inside one network",
		"http://loom.example/":      "Use https://",
		"https://workshop.local/":   "one cable or radio cell",
		"https://loom.example/":     "any phone opens the app",
		"mailto:someone":            "Not an address for tags",
		"https://loom.example/?a=b": "does not belong in it",
	} {
		p.setAddress(address)
		p.redraw()
		loop.Consume()
		has(t, app.HTMLString(p), want)
	}
	if got := p.loadPrint().address("https://loom.example/"); strings.Contains(got, "?") {
		t.Errorf("an address that was refused is in use: %q", got)
	}
}

func TestMeasuresOfASheetAreKeyedIn(t *testing.T) {
	_, p, _, _ := open(t, partPrint, "cols")
	p.onMeasure(p.ctx, "2")
	p.onMeasure(p.ctx, kit.KeyNext)
	s := p.loadPrint()
	if s.Grid != customGrid || s.Custom.Cols != 2 || s.Custom.Rows != 8 || s.grid().Check() != nil {
		t.Errorf("the sheet is %+v", s.Custom)
	}
	p.At.Record = "left"
	p.fresh()
	p.setMeasure(p.ctx, "0")
	if s := p.loadPrint(); s.Custom.Left != 0 {
		t.Errorf("a margin of zero became %s", s.Custom.Left)
	}
	p.At.Record = "start"
	p.fresh()
	p.setMeasure(p.ctx, "0")
	if p.failed == "" {
		t.Error("label 0 was taken")
	}
	p.setMeasure(p.ctx, "7")
	if s := p.loadPrint(); s.Start != 7 {
		t.Errorf("starts at %d", s.Start)
	}
}

func TestOneBranchIsChosen(t *testing.T) {
	b, p, _, loop := open(t, partPick, "")
	p.onWhich(whichBranch)(p.ctx, app.Event{})
	items := p.items()
	place := ""
	for _, i := range items {
		if i.Branch != "" && i.Branch != i.Far {
			place = i.Branch
			break
		}
	}
	p.onBranch(place)(p.ctx, app.Event{})
	p.redraw()
	loop.Consume()
	codes, all := p.only(p.loadPick())
	if all || len(codes) == 0 || len(codes) >= 345 {
		t.Fatalf("%d tags on the branch", len(codes))
	}
	seen := false
	for _, rec := range b.B().Tags.All() {
		seen = seen || rec.Subject == place && codes[0] != "" && contains(codes, rec.Code)
	}
	if !seen {
		t.Error("the tag of the place itself is not among them")
	}
	has(t, app.HTMLString(p), "One branch", kit.PlaceName(b.B(), place))
}

func TestTagsAreTicked(t *testing.T) {
	b, p, _, loop := open(t, partPick, "")
	code := b.B().Tags.All()[0].Code
	p.onNone(p.ctx, app.Event{})
	p.onPick(code)(p.ctx, app.Event{})
	p.search = tag.Format(code)
	p.redraw()
	loop.Consume()
	has(t, app.HTMLString(p), "1 tag chosen", tag.Format(code))
	if codes, _ := p.only(p.loadPick()); len(codes) != 1 || codes[0] != code {
		t.Errorf("chosen: %v", codes)
	}
	p.onPick(code)(p.ctx, app.Event{})
	if codes, _ := p.only(p.loadPick()); len(codes) != 0 {
		t.Errorf("still chosen: %v", codes)
	}
}

func contains(all []string, one string) bool {
	for _, s := range all {
		if s == one {
			return true
		}
	}
	return false
}
