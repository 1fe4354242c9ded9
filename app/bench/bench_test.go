package bench

import (
	"context"
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
