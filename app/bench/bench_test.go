package bench

import (
	"context"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/app/sheet"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/supply"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/storage"
)

const demo = "../../testdata/builds/roadster.build"

// site is an installed app whose files are those of the project, with a share sheet that takes what it is given.
type site struct {
	device.Shell
	root string
	lost bool // the files are not there
}

func (s site) Root() string { return s.root }

func (s site) File(_ context.Context, name string) ([]byte, error) {
	if s.lost {
		return nil, device.ErrUnavailable
	}
	return os.ReadFile("../../" + name)
}

type shares struct {
	device.Files
	refuse error
	got    []device.File
}

func (s *shares) Save(_ context.Context, f device.File) (device.Way, error) {
	if s.refuse != nil {
		return 0, s.refuse
	}
	s.got = append(s.got, f)
	return device.Shared, nil
}

// open mounts the page on the demo build.
func open(t *testing.T, mode, record string) (*sessiontest.Bench, *page, *shares, app.ClientDispatcher) {
	t.Helper()
	b := sessiontest.Start(t, nil)
	b.File(demo)
	out := &shares{Files: b.Device.Files}
	b.Device.Files = out
	b.Device.Shell = site{Shell: b.Device.Shell, root: "https://loom.example/"}
	b.Device.Paper = press{}
	p := &page{S: b.Session, At: kit.Addr{Build: b.ID(), Page: "make", Mode: mode, Record: record}}
	loop := app.NewClientTester(p)
	t.Cleanup(loop.Close)
	loop.Consume()
	return b, p, out, loop
}

func has(t *testing.T, html string, wants ...string) {
	t.Helper()
	for _, want := range wants {
		if !strings.Contains(html, want) {
			t.Errorf("%q is not shown", want)
		}
	}
}

func TestTheCutListOfTheDemo(t *testing.T) {
	b, p, _, _ := open(t, partCut, "")
	has(t, b.HTML(&page{S: b.Session, At: p.At}), "By size", "0.5 mm²", "Still to cut", " cut to ", "Other length", "CSV with ;")
	p.cut.refresh(b.Session, cut.BySize)
	wires := 0
	for _, g := range p.cut.batches {
		for _, i := range g.Items {
			wires++
			if i.Lead != nil {
				t.Errorf("%s is a supplied lead", i.Wire.Name)
			}
		}
	}
	if wires += len(p.cut.open); wires != 94 {
		t.Errorf("%d wires are cut, want the 94 that are made of no lead", wires)
	}
}

func TestTheTrimListOfTheDemo(t *testing.T) {
	b, p, _, _ := open(t, partTrim, "")
	has(t, b.HTML(&page{S: b.Session, At: p.At}), "By place", "cavity A", "reaches", " trimmed to ")
	if done, of, _ := p.trim.progress(); done != 3 || of != 56 {
		t.Errorf("%d of %d trimmed, want 3 of 56", done, of)
	}
}

// One tap ticks a wire in one edit with its length and time; the next tap opens it again, and undo ticks it.
func TestATickIsOneEdit(t *testing.T) {
	b, p, _, _ := open(t, partCut, "")
	next, ok := p.cut.next(unit.Metric)
	if !ok {
		t.Fatal("nothing to cut")
	}
	before := b.Log().Len()
	p.tick(&p.cut, next.Wire.ID)
	w, _ := b.B().Wires.Get(next.Wire.ID)
	if w.Cut == nil || w.Cut.Length != next.Result.Sum || w.Cut.At != b.Time() || b.Log().Len() != before+1 {
		t.Fatalf("after the tick: %+v, %d edits more", w.Cut, b.Log().Len()-before)
	}
	p.cut.refresh(b.Session, cut.BySize)
	p.tick(&p.cut, next.Wire.ID)
	if w, _ := b.B().Wires.Get(next.Wire.ID); w.Cut != nil || b.Log().Len() != before+2 {
		t.Errorf("after the second tap: %+v", w.Cut)
	}
	b.Undo(b.Ctx)
	if w, _ := b.B().Wires.Get(next.Wire.ID); w.Cut == nil {
		t.Error("undo did not tick it again")
	}
}

func TestALaterChangeOfTheRouteShows(t *testing.T) {
	b, p, _, _ := open(t, partCut, "")
	next, _ := p.cut.next(unit.Metric)
	p.tick(&p.cut, next.Wire.ID)
	w, _ := b.B().Wires.Get(next.Wire.ID)
	run := next.Result.Path.Runs[0]
	old, _ := b.B().Runs.Get(run)
	now := old
	now.Corners += 10
	if err := b.Do(storage.Put(harness.KindRun, run, old, now)); err != nil {
		t.Fatal(err)
	}
	p.cut.refresh(b.Session, cut.BySize)
	i, _ := p.cut.find(w.ID)
	number, below, tone := answer(b.B(), i)
	if tone != "bad" || !strings.HasPrefix(below, "cut at "+number+", now needs ") || !strings.Contains(below, ": short by ") {
		t.Errorf("it says %q, %q in tone %q", number, below, tone)
	}
	has(t, b.HTML(&page{S: b.Session, At: p.At}), "too short now: ", below)
}

func TestAnotherLengthIsKeyedIn(t *testing.T) {
	b, p, _, _ := open(t, partCut, "")
	next, _ := p.cut.next(unit.Metric)
	p.At.Record = next.Wire.ID
	has(t, b.HTML(&page{S: b.Session, At: p.At}), next.Wire.Name+" was cut to", "it needs ")
	p.fresh()
	for _, k := range []string{"9", "8", "7"} {
		p.onLength(p.ctx, k)
	}
	again := &page{S: b.Session, At: p.At}
	if again.fresh(); again.entry != "987" {
		t.Errorf("after a reload %q is keyed in", again.entry)
	}
	p.onLength(p.ctx, kit.KeyNext)
	if w, _ := b.B().Wires.Get(next.Wire.ID); w.Cut == nil || w.Cut.Length != 987*unit.Millimetre {
		t.Errorf("it was cut to %+v", w.Cut)
	}
	if b.Device.Prefs.Get(prefEntry) != "" {
		t.Error("the entry is kept after it was taken")
	}
}

func TestWhatIsMissingIsSaid(t *testing.T) {
	b := sessiontest.Start(t, nil)
	b.New("x")
	split, far := b.Split("S1"), b.Split("S2")
	changes := []storage.Change{
		storage.Put(harness.KindRun, "11111111-0000-4000-8000-000000000001", harness.Run{}, harness.Run{A: split, B: far}),
		storage.Put(harness.KindWire, "11111111-0000-4000-8000-000000000002", harness.Wire{}, harness.Wire{Name: "W1", From: harness.End{Place: split}, To: harness.End{Place: far}}),
		storage.Put(harness.KindWire, "11111111-0000-4000-8000-000000000003", harness.Wire{}, harness.Wire{Name: "W2", From: harness.End{Place: split}}),
	}
	if err := b.Do(changes...); err != nil {
		t.Fatal(err)
	}
	html := b.HTML(&page{S: b.Session, At: kit.Addr{Build: b.ID(), Page: "make"}})
	has(t, html, "Not known yet", "Not measured: S1 to S2.", "not chosen yet where this wire ends", "These are in no total")
	if strings.Contains(html, " cut to ") {
		t.Error("a wire of unknown length is offered to cut")
	}
}

func TestListsLeaveAsFiles(t *testing.T) {
	for _, tc := range []struct {
		kind   string
		format sheet.Format
		semi   bool
		want   string
	}{
		{"cut", sheet.CSV, false, "\ufeffgroup,Cut,Wire"}, {"cut", sheet.CSV, true, "\ufeffgroup;Cut;Wire"},
		{"trim", sheet.CSV, false, "\ufeffgroup,"}, {"trim", sheet.PDF, false, "%PDF-"},
	} {
		_, p, out, loop := open(t, partCut, "")
		p.onWrite(tc.kind, tc.format, tc.semi)(p.ctx, app.Event{})
		loop.Consume()
		if len(out.got) != 1 || !strings.HasPrefix(string(out.got[0].Data), tc.want) {
			t.Errorf("%s as %s: %d files, failed %q", tc.kind, tc.format, len(out.got), p.failed)
			continue
		}
		if name := out.got[0].Name; !strings.HasSuffix(name, "-2026-05-12."+string(tc.format)) || !strings.Contains(name, tc.kind+"-list") {
			t.Errorf("the file is called %q", name)
		}
	}
}

func TestAFileThatNeedsATapStays(t *testing.T) {
	b, p, out, loop := open(t, partTrim, "")
	out.refuse = device.ErrNeedsTap
	p.onWrite("trim", sheet.CSV, false)(p.ctx, app.Event{})
	loop.Consume()
	if p.file.Name == "" || p.job != nil {
		t.Fatalf("the file was not kept: making %v", p.job)
	}
	out.refuse = nil
	p.onSend(p.ctx, app.Event{})
	loop.Consume()
	if len(out.got) != 1 || p.file.Name != "" || !strings.Contains(b.Notice().Text, "was handed over") {
		t.Errorf("%d files, notice %q", len(out.got), b.Notice().Text)
	}
}

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

// What was bought stays ticked while it is enough, and is open again when more is needed.
func TestWhatIsBoughtIsTicked(t *testing.T) {
	l := supply.Line{Metres: true, Buy: 2}
	for was, want := range map[string]bool{"2 m": true, "3 m": true, "1.5 m": false, "2": false, "": false, "many m": false} {
		if enough(was, &l) != want {
			t.Errorf("%q for 2 m: %v", was, !want)
		}
	}
	b, p, _, loop := open(t, partShop, "")
	first := p.lines()[0]
	p.onGot(lineStep(&first), amount(&first, first.Buy), false)(p.ctx, app.Event{})
	loop.Consume()
	has(t, b.HTML(&page{S: b.Session, At: p.At}), "1 of ")
	p.onGot(lineStep(&first), amount(&first, first.Buy), true)(p.ctx, app.Event{})
	has(t, b.HTML(&page{S: b.Session, At: p.At}), "0 of ")
}

// The board's size is asked for once for each bench, and a bench that is none is refused.
func TestTheBenchIsChosen(t *testing.T) {
	b, p, out, loop := open(t, partBoard, "")
	for range 200 {
		if p.board.known || p.board.failed != "" {
			break
		}
		loop.Wait()
		loop.Consume()
	}
	has(t, b.HTML(&page{S: b.Session, At: p.At}), "With no drawing", "At full size", "Laying it out…")
	if p.board.failed != "" {
		t.Fatal(p.board.failed)
	}
	p.saveBoard(func(o *sheet.BoardOptions) { o.Width, o.Paper = 3000, sheet.A3 })
	if o := p.options().Board; o.Width != 3000 || o.Paper != sheet.A3 {
		t.Errorf("the bench is %+v", o)
	}
	p.onWrite("board", sheet.SVG, false)(p.ctx, app.Event{})
	loop.Consume()
	if len(out.got) != 1 || !strings.HasSuffix(out.got[0].Name, ".svg") {
		t.Errorf("%d files, failed %q", len(out.got), p.failed)
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
