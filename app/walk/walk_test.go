package walk

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// page is a walk at work in a new build.
type page struct {
	*sessiontest.Bench
	*walk
}

func walking(t *testing.T) *page {
	t.Helper()
	b := sessiontest.Start(t, nil)
	b.New("Test")
	w := &walk{S: b.Session, At: kit.Addr{Build: b.ID(), Page: "walk"}, Rev: b.Rev()}
	w.sync()
	return &page{b, w}
}

// key presses keys of the pad, one for each word.
func (p *page) key(keys ...string) {
	for _, k := range keys {
		p.onKey(p.Ctx, k)
	}
}

// go_ chooses a new place of a kind and keys in its length.
func (p *page) add(kind harness.PlaceKind, number string) {
	p.T.Helper()
	p.choose(p.Ctx, target{Kind: kind})
	p.key(strings.Split(number, "")...)
	p.key(kit.KeyNext)
	if p.wrong != "" || p.doubt != "" {
		p.T.Fatalf("%s %s was not taken: %q %q", kind, number, p.wrong, p.doubt)
	}
}

func (p *page) at() string { return kit.PlaceName(p.B(), p.d.At) }

// length is the length of the only run between two places by name, in millimetres; 0 if it is not known.
func (p *page) length(a, z string) float64 {
	p.T.Helper()
	for _, r := range p.B().Runs.All() {
		x, y := kit.PlaceName(p.B(), r.A), kit.PlaceName(p.B(), r.B)
		if x == a && y == z || x == z && y == a {
			k, _ := p.Lengths().Run(r.ID)
			return k.Length.MM()
		}
	}
	p.T.Fatalf("no run from %s to %s", a, z)
	return 0
}

func TestAnEntryIsOneEditAndOneStandsThere(t *testing.T) {
	p := walking(t)
	before := p.Log().Len()
	p.choose(p.Ctx, target{Kind: harness.Split})
	p.key("4", "1", "2", kit.KeyNext)
	if got := p.Log().Len() - before; got != 1 {
		t.Errorf("an entry made %d edits, want 1", got)
	}
	if p.at() != "Split 1" {
		t.Errorf("one stands at %s, want Split 1", p.at())
	}
	if got := p.length("Controller", "Split 1"); got != 412 {
		t.Errorf("the run is %v mm, want 412", got)
	}
	all := p.B().Readings.All()
	if len(all) != 1 || all[0].Text != "412" || all[0].Unit != unit.Metric || all[0].Method != harness.ByString {
		t.Errorf("the reading is %+v", all)
	}
	if n := p.B().Tags.Len(); n != 1 {
		t.Errorf("the new split has %d tags, want 1", n)
	}
}

func TestNumbersThatAreNotTaken(t *testing.T) {
	for _, row := range []struct {
		name string
		keys []string
		text string // what stays
	}{
		{"nothing", []string{kit.KeyNext}, ""},
		{"zero", []string{"0", kit.KeyNext}, "0"},
		{"a foot mark alone with nothing after", []string{"0", "0", kit.KeyNext}, "00"},
	} {
		t.Run(row.name, func(t *testing.T) {
			p := walking(t)
			p.choose(p.Ctx, target{Kind: harness.Split})
			before := p.Log().Len()
			p.key(row.keys...)
			if p.wrong == "" {
				t.Error("no reason is given")
			}
			if p.Log().Len() != before || p.d.Text != row.text || p.d.To.Kind != harness.Split {
				t.Errorf("the entry became %+v", p.d)
			}
		})
	}
	t.Run("nothing chosen", func(t *testing.T) {
		p := walking(t)
		p.key("4", "1", kit.KeyNext)
		if p.wrong == "" || p.d.Text != "41" {
			t.Errorf("reason %q, text %q: want a reason, and 41", p.wrong, p.d.Text)
		}
		p.choose(p.Ctx, target{Kind: harness.Split})
		if p.d.Text != "41" || p.wrong != "" {
			t.Errorf("choosing left %q, %q: want 41 and nothing", p.d.Text, p.wrong)
		}
	})
}

func TestADoubtIsAskedOnce(t *testing.T) {
	p := walking(t)
	p.choose(p.Ctx, target{Kind: harness.Split})
	p.key("3", "4", "0", "0", kit.KeyNext)
	if p.doubt != route.TooLong || p.d.Text != "3400" || p.B().Runs.Len() != 0 {
		t.Fatalf("doubt %q, text %q", p.doubt, p.d.Text)
	}
	p.key(kit.KeyNext)
	if p.doubt != route.TooLong {
		t.Error("a second Next answered the question")
	}
	p.onSure(p.Ctx, app.Event{})
	if got := p.length("Controller", "Split 1"); got != 3400 {
		t.Errorf("the run is %v mm, want 3400", got)
	}
	if p.d.Sure {
		t.Error("the next number is not asked about")
	}
}

func TestTheOtherUnitIsOneTapAway(t *testing.T) {
	p := walking(t)
	for _, mm := range []string{"300", "410", "380"} {
		p.add(harness.Split, mm)
	}
	p.choose(p.Ctx, target{Kind: harness.Device})
	p.key("1", "5", kit.KeyNext)
	if p.doubt != route.OtherUnit {
		t.Fatalf("doubt %q, want the other unit", p.doubt)
	}
	p.onOtherUnit(p.Ctx, app.Event{})
	if got := p.length("Split 3", "Device 1"); got != 381 {
		t.Errorf("the run is %v mm, want 15 in", got)
	}
}

func TestUndoStandsBack(t *testing.T) {
	p := walking(t)
	p.add(harness.Split, "300")
	p.add(harness.Device, "120")
	p.Undo(p.Ctx)
	p.sync()
	if p.at() != "Split 1" || p.B().Places.Len() != 2 {
		t.Errorf("after one undo one stands at %s with %d places", p.at(), p.B().Places.Len())
	}
	p.Undo(p.Ctx)
	p.sync()
	if p.at() != "Controller" || p.B().Runs.Len() != 0 {
		t.Errorf("after two one stands at %s with %d runs", p.at(), p.B().Runs.Len())
	}
}

func TestADrawnRouteAsksOnlyForNumbers(t *testing.T) {
	p := walking(t)
	r := &routePage{S: p.Session, At: kit.Addr{Build: p.ID(), Page: "route", Record: start(p.B())}}
	r.sync()
	r.onAdd(harness.Split)(p.Ctx, app.Event{})
	r.At.Record = r.added
	for range 3 {
		r.onAdd(harness.Device)(p.Ctx, app.Event{})
	}
	if p.B().Runs.Len() != 4 {
		t.Fatalf("%d runs were drawn, want 4", p.B().Runs.Len())
	}
	p.walk.build = "" // the walk begins now
	p.sync()
	for i, row := range []struct{ at, to, number string }{
		{"Controller", "Split 1", "400"},
		{"Split 1", "Device 1", "110"},
		{"Split 1", "Device 2", "120"},
		{"Split 1", "Device 3", "130"},
	} {
		if p.at() != row.at || kit.PlaceName(p.B(), p.d.To.Place) != row.to {
			t.Fatalf("question %d is from %s to %s, want from %s to %s", i, p.at(), kit.PlaceName(p.B(), p.d.To.Place), row.at, row.to)
		}
		p.key(append(strings.Split(row.number, ""), kit.KeyNext)...)
	}
	if n, of := p.Lengths().Measured(); n != 4 || of != 4 {
		t.Errorf("%d of %d runs are measured", n, of)
	}
	if got := p.length("Split 1", "Device 2"); got != 120 {
		t.Errorf("the run to device 2 is %v mm, want 120", got)
	}
	if html := app.HTMLString(p.walk); !strings.Contains(html, "All 4 runs are measured.") {
		t.Error("the end of the walk is not told")
	}
}

func TestCorrectReplacesTheWrongNumber(t *testing.T) {
	p := walking(t)
	p.add(harness.Split, "300")
	p.add(harness.Device, "999")
	wrong := ""
	for _, r := range p.B().Readings.All() {
		if r.Text == "999" {
			wrong = r.ID
		}
	}
	p.onFix(wrong)(p.Ctx, app.Event{})
	p.key("2", "1", "0", kit.KeyNext)
	if got := p.length("Split 1", "Device 1"); got != 210 {
		t.Errorf("the run is %v mm, want 210", got)
	}
	if p.B().Readings.Len() != 2 || len(p.B().Readings.Gone()) != 1 {
		t.Errorf("%d readings live and %d are gone, want 2 and 1", p.B().Readings.Len(), len(p.B().Readings.Gone()))
	}
	if p.at() != "Device 1" || p.d.Fix != "" {
		t.Errorf("one stands at %s", p.at())
	}
}

func TestTheDraftOutlivesThePage(t *testing.T) {
	p := walking(t)
	p.add(harness.Split, "300")
	p.choose(p.Ctx, target{Kind: harness.Panel})
	p.onMethod(harness.ByTape)(p.Ctx, app.Event{})
	p.key("4", "1")
	again := &walk{S: p.Session, At: p.walk.At}
	again.sync()
	if got, want := again.d, p.d; got.Text != "41" || got.At != want.At || got.To != want.To || got.Method != harness.ByTape {
		t.Errorf("the draft came back as %+v, want %+v", got, want)
	}
}

func TestAnAddressStandsOnceAtItsPlace(t *testing.T) {
	p := walking(t)
	p.add(harness.Split, "300")
	split := p.d.At
	p.stand(p.Ctx, start(p.B()))
	p.walk.At.Record = split
	p.sync()
	if p.d.At != split {
		t.Fatal("the address did not put one at its place")
	}
	p.add(harness.Device, "120")
	if p.sync(); p.at() != "Device 1" {
		t.Errorf("one stands at %s, want Device 1", p.at())
	}
	reloaded := &walk{S: p.Session, At: p.walk.At}
	if reloaded.sync(); reloaded.d.At != p.d.At {
		t.Error("a reload went back to the place of the address")
	}
}

func TestAnExistingPlaceGetsItsRun(t *testing.T) {
	p := walking(t)
	p.add(harness.Split, "300")
	p.add(harness.Device, "120")
	device := p.d.At
	p.stand(p.Ctx, start(p.B()))
	p.choose(p.Ctx, target{Place: device})
	p.key("4", "0", "0", kit.KeyNext)
	if got := p.length("Controller", "Device 1"); got != 400 {
		t.Errorf("the new run is %v mm, want 400", got)
	}
	// The same again is a second reading, not a second run.
	p.stand(p.Ctx, start(p.B()))
	p.choose(p.Ctx, target{Place: device})
	p.key("4", "0", "4", kit.KeyNext)
	if p.B().Runs.Len() != 3 || p.B().Readings.Len() != 4 {
		t.Errorf("%d runs and %d readings: want 3 and 4", p.B().Runs.Len(), p.B().Readings.Len())
	}
}

func TestOpenEnds(t *testing.T) {
	p := walking(t)
	p.add(harness.Split, "300")
	p.add(harness.Split, "200")
	p.add(harness.Device, "120")
	var names []string
	for _, id := range openEnds(p.B(), p.Lengths(), p.d.At) {
		names = append(names, kit.PlaceName(p.B(), id))
	}
	if len(names) != 0 {
		t.Errorf("open are %v, want none: each split leads on", names)
	}
	p.Undo(p.Ctx)
	p.sync()
	p.stand(p.Ctx, start(p.B()))
	if got := openEnds(p.B(), p.Lengths(), p.d.At); len(got) != 1 || kit.PlaceName(p.B(), got[0]) != "Split 2" {
		t.Errorf("open is %v, want Split 2", got)
	}
}

func TestTapsForARun(t *testing.T) {
	p := walking(t)
	// A new place: its kind, three digits, Next.
	p.add(harness.Split, "300")
	// A place that is drawn: three digits and Next, as it is chosen already.
	r := &routePage{S: p.Session, At: kit.Addr{Build: p.ID(), Page: "route", Record: p.d.At}}
	r.sync()
	r.onAdd(harness.Device)(p.Ctx, app.Event{})
	p.sync()
	p.stand(p.Ctx, p.d.At)
	p.key("1", "5", "0", kit.KeyNext)
	if got := p.length("Split 1", "Device 1"); got != 150 {
		t.Errorf("the run is %v mm, want 150", got)
	}
}

func TestRenders(t *testing.T) {
	p := walking(t)
	p.add(harness.Split, "300")
	for _, mode := range []string{"", partOther, partBack, partEntries} {
		p.walk.At.Mode = mode
		if html := app.HTMLString(p.walk); !strings.Contains(html, "<h1>") {
			t.Errorf("the part %q has no title", mode)
		}
		p.walk.root(t)
	}
}

// root makes sure that a page that was rendered natively can be rendered again.
func (w *walk) root(t *testing.T) {
	t.Helper()
	if w.Render() == nil {
		t.Error("nothing was drawn")
	}
}

func TestHowWords(t *testing.T) {
	b := harness.NewBuild("b")
	for _, row := range []struct {
		name string
		in   survey.Known
		from survey.Account
		want string
	}{
		{"not read", survey.Known{Why: survey.NoReading}, survey.Account{}, "Not measured yet."},
		{"its own", survey.Known{}, survey.Account{How: survey.OwnReading, Terms: []survey.Term{{Weight: 1, Value: unit.Millimetre}}}, "Its own reading."},
		{"a difference", survey.Known{}, survey.Account{How: survey.Difference, Terms: []survey.Term{
			{Weight: 1, Value: 500 * unit.Millimetre}, {Weight: -1, Value: 200 * unit.Millimetre},
		}}, "A longer reading less what is known of it. 500 mm − 200 mm"},
		{"half of it", survey.Known{Guess: true}, survey.Account{How: survey.Solved, Terms: []survey.Term{
			{Weight: 0.5, Value: 500 * unit.Millimetre}, {Weight: 3, Value: 2 * unit.Millimetre},
		}}, "From several readings together. 0.5 × 500 mm + 3 × 2 mm A guess is in it."},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := howWords(b, row.in, row.from); got != row.want {
				t.Errorf("%q, want %q", got, row.want)
			}
		})
	}
}
