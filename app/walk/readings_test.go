package walk

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// drawnChain is a build with a trunk of n splits that is drawn and not measured, each with a device drawn before the trunk
// goes on.
func drawnChain(t *testing.T, n int) *page {
	p := walking(t)
	r := &routePage{S: p.Session, At: kit.Addr{Build: p.ID(), Page: "route", Record: start(p.B())}}
	r.sync()
	for range n {
		r.onAdd(harness.Split)(p.Ctx, app.Event{})
		r.At.Record = r.added
		at := r.added
		r.onAdd(harness.Device)(p.Ctx, app.Event{})
		r.At.Record = at
	}
	p.walk.build = ""
	p.sync()
	return p
}

// number keys in a number and Next, and counts the taps.
func (p *page) number(text string) (taps int) {
	keys := append(strings.Split(text, ""), kit.KeyNext)
	p.key(keys...)
	return len(keys)
}

func TestMarksAlongOneString(t *testing.T) {
	p := drawnChain(t, 12)
	p.onWay(wayMarks)(p.Ctx, app.Event{})
	p.onZero("100")(p.Ctx, app.Event{})
	at := 100
	for i := 1; i <= 12; i++ {
		at += 150 + 10*i
		before := p.Log().Len()
		if taps := p.number(fmt.Sprint(at)); taps > 5 {
			t.Errorf("mark %d took %d taps, want at most 5", i, taps)
		}
		if want := fmt.Sprintf("Split %d", i); i < 12 && p.at() != want {
			t.Fatalf("after mark %d one stands at %s, want %s: %q %q", i, p.at(), want, p.wrong, p.doubt)
		}
		if n := p.Log().Len() - before; n != 1 {
			t.Errorf("mark %d made %d edits, want 1", i, n)
		}
	}
	if got := p.length("Split 11", "Split 12"); got != 270 {
		t.Errorf("the last run is %v mm, want 270", got)
	}
	all := p.B().Readings.All()
	if len(all) != 12 {
		t.Fatalf("%d readings, want 12", len(all))
	}
	var last harness.Reading
	for _, r := range all {
		if len(r.Runs) == 12 {
			last = r
		}
	}
	if last.Text != fmt.Sprint(at) || last.Value != unit.Length(at-100)*unit.Millimetre || last.Zero == nil || *last.Zero != 100*unit.Millimetre {
		t.Errorf("the last mark is kept as %+v", last)
	}
}

func TestAFallingMarkIsSwapped(t *testing.T) {
	p := drawnChain(t, 3)
	p.onWay(wayMarks)(p.Ctx, app.Event{})
	p.number("300")
	p.number("760")
	p.number("540")
	if p.fall == nil || !p.fall.Swap || p.d.Text != "540" || p.B().Readings.Len() != 2 {
		t.Fatalf("the falling mark was taken: %+v %q", p.fall, p.d.Text)
	}
	html := app.HTMLString(p.walk.Render())
	for _, want := range []string{"Mark 3 (Split 3, 540) is not beyond mark 2 (Split 2, 760).", "Swap: 540 at Split 2, 760 at Split 3"} {
		if !strings.Contains(html, want) {
			t.Errorf("%q is not said", want)
		}
	}
	before := p.Log().Len()
	p.onSwap(p.Ctx, app.Event{})
	if n := p.Log().Len() - before; n != 1 {
		t.Errorf("the swap made %d edits, want 1", n)
	}
	for _, row := range []struct {
		a, z string
		want float64
	}{{"Controller", "Split 1", 300}, {"Split 1", "Split 2", 240}, {"Split 2", "Split 3", 220}} {
		if got := p.length(row.a, row.z); got != row.want {
			t.Errorf("%s to %s is %v mm, want %v", row.a, row.z, got, row.want)
		}
	}
	p.Undo(p.Ctx)
	p.sync()
	if p.at() != "Split 2" || p.length("Split 1", "Split 2") != 460 {
		t.Errorf("after undo one stands at %s", p.at())
	}
}

func TestAFallThatNoSwapMends(t *testing.T) {
	p := drawnChain(t, 3)
	p.onWay(wayMarks)(p.Ctx, app.Event{})
	p.number("300")
	p.number("250")
	if p.fall == nil || p.fall.Earlier != 0 {
		t.Fatalf("fall %+v", p.fall)
	}
	p.key(kit.KeyBack) // key it in again
	if p.fall != nil || p.d.Text != "25" {
		t.Errorf("fall %+v, text %q", p.fall, p.d.Text)
	}
	p.key(kit.KeyBack, kit.KeyBack)
	p.number("0")
	if p.wrong == "" || p.d.Text != "0" {
		t.Errorf("a mark of 0 was taken: %q %q", p.wrong, p.d.Text)
	}
}

func TestMarkNowReadLater(t *testing.T) {
	p := drawnChain(t, 4)
	p.onWay(wayLater)(p.Ctx, app.Event{})
	for i := 1; i <= 3; i++ {
		p.choose(p.Ctx, target{Place: p.place(fmt.Sprintf("Split %d", i)), Run: p.d.To.Run})
	}
	p.choose(p.Ctx, target{Kind: harness.Device}) // a place that was not drawn
	if p.B().Readings.Len() != 0 || len(p.d.String.Marks) != 4 || p.d.unread() != 4 {
		t.Fatalf("%d readings, %d flags", p.B().Readings.Len(), len(p.d.String.Marks))
	}

	// Killed and opened again.
	again := &walk{S: p.Session, At: p.walk.At}
	again.sync()
	p.walk = again
	p.onTape(p.Ctx, app.Event{})
	p.walk.At.Mode = partTape
	for _, text := range []string{"410", "1180", "760"} {
		p.number(text)
	}
	if ok, _ := p.ready(); ok || p.d.Row != 3 {
		t.Errorf("ready with one missing, row %d", p.d.Row)
	}
	p.number("1420")
	html := app.HTMLString(p.walk.Render())
	if want := "Mark 3 (Split 3, 760) is not beyond mark 2 (Split 2, 1180)."; !strings.Contains(html, want) {
		t.Errorf("%q is not said", want)
	}
	if ok, _ := p.ready(); ok {
		t.Error("falling marks can be taken")
	}
	p.onSwap(p.Ctx, app.Event{})
	if ok, why := p.ready(); !ok {
		t.Fatal(why)
	}
	before := p.Log().Len()
	p.onTakeAll(p.Ctx, app.Event{})
	if n := p.Log().Len() - before; n != 1 || p.B().Readings.Len() != 4 {
		t.Fatalf("%d edits and %d readings, want 1 and 4", n, p.B().Readings.Len())
	}
	if got := p.length("Split 2", "Split 3"); got != 420 {
		t.Errorf("the run is %v mm, want 420", got)
	}
	p.Undo(p.Ctx)
	p.sync()
	if p.d.unread() != 4 || p.d.String.Marks[2].Text != "1180" {
		t.Errorf("undo lost the flags: %+v", p.d.String)
	}
}

func TestFlagsFollowASplitRun(t *testing.T) {
	p := drawnChain(t, 2)
	p.onWay(wayLater)(p.Ctx, app.Event{})
	p.choose(p.Ctx, target{Place: p.place("Split 1"), Run: p.d.To.Run})
	p.choose(p.Ctx, target{Place: p.place("Split 2"), Run: p.d.To.Run})
	r := &routePage{S: p.Session, At: kit.Addr{Build: p.ID(), Page: "route", Record: p.run("Split 1", "Split 2").ID, Mode: partSplit}}
	r.sync()
	r.onSplit(harness.PassThrough)(p.Ctx, app.Event{})
	p.sync()
	if len(p.d.String.Marks) != 2 || len(p.d.String.Marks[1].Runs) != 2 {
		t.Fatalf("the flags became %+v", p.d.String.Marks)
	}
	p.walk.At.Mode = partTape
	p.number("300")
	p.number("700")
	p.onTakeAll(p.Ctx, app.Event{})
	if u := p.Lengths().Unused(); len(u) != 0 || p.B().Readings.Len() != 2 {
		t.Errorf("unused %v of %d readings", u, p.B().Readings.Len())
	}
}

// checked is a chain of 300, 200 and 120 mm, read twice, with a check of this many millimetres from end to end.
func checked(t *testing.T, mm string, twice ...string) *page {
	p, _ := chain(t)
	for i, text := range twice {
		p.stand(p.Ctx, p.place([]string{"Controller", "Split 1", "Split 2"}[i]))
		p.choose(p.Ctx, target{Place: p.place([]string{"Split 1", "Split 2", "Device 1"}[i])})
		p.number(text)
	}
	p.onWay(wayCheck)(p.Ctx, app.Event{})
	p.d.Check = check{From: p.place("Controller"), To: p.place("Device 1")}
	p.number(mm)
	return p
}

func TestACheckThatFits(t *testing.T) {
	p := checked(t, "622")
	last, _ := p.B().Readings.Get(p.walk.checked)
	if len(last.Runs) != 3 || len(last.Places) != 4 {
		t.Fatalf("the check passes %v", last.Places)
	}
	html := app.HTMLString(p.walk.Render())
	if !strings.Contains(html, "Taken: 2 mm long against the others.") || strings.Contains(html, "wrong") {
		t.Errorf("the check is not said to fit: %s", html)
	}
}

func TestACheckNamesTheWrongRun(t *testing.T) {
	p := checked(t, "620", "301", "260", "121")
	html := app.HTMLString(p.walk.Render())
	if want := "Most likely wrong: Split 1 to Split 2 (260 mm), 60 mm too long."; !strings.Contains(html, want) {
		t.Errorf("%q is not said", want)
	}
	s := p.Lengths().Suspicions()[0]
	if !strings.Contains(html, "Read Split 1 to Split 2 again") {
		t.Error("what to do is not said")
	}
	p.onAgain(again(s))(p.Ctx, app.Event{})
	if p.d.Way != wayRun && p.d.Way != wayCheck || p.at() == "" {
		t.Errorf("the way to measure it again leads to %+v", p.d)
	}
}

func TestACheckThatCannotTellNamesTheSet(t *testing.T) {
	p := checked(t, "700")
	html := app.HTMLString(p.walk.Render())
	if !strings.Contains(html, "One of these 4 is wrong by about") || !strings.Contains(html, "They are: Controller to Split 1 (300 mm)") || !strings.Contains(html, "again") {
		t.Errorf("the set is not named: %s", html)
	}
}

func TestACheckIsForcedThroughAPlace(t *testing.T) {
	p, _ := chain(t)
	p.stand(p.Ctx, p.place("Controller"))
	p.choose(p.Ctx, target{Kind: harness.PassThrough})
	p.number("400")
	p.choose(p.Ctx, target{Place: p.place("Device 1")})
	p.number("500")
	p.d.Check = check{From: p.place("Controller"), To: p.place("Device 1")}
	if places, _, err := p.d.Check.path(p.B(), p.Graph()); err != nil || len(places) != 4 {
		t.Fatalf("the shortest way passes %v, %v", placeNames(p.B(), places), err)
	}
	p.d.Check.Pick = pickVia
	p.d = p.d.checking(p.place("Pass-through 1"))
	if places, _, err := p.d.Check.path(p.B(), p.Graph()); err != nil || len(places) != 3 {
		t.Errorf("the way through passes %v, %v", placeNames(p.B(), places), err)
	}
	p.d.Check = check{From: p.place("Split 1"), To: p.place("Device 1"), Via: []string{p.place("Controller"), p.place("Split 2")}}
	p.onWay(wayCheck)(p.Ctx, app.Event{})
	p.number("800")
	if !strings.Contains(p.wrong, "twice") || p.d.Text != "800" {
		t.Errorf("a way back and forth was taken: %q", p.wrong)
	}
}

func TestBackAndForthOnThePad(t *testing.T) {
	p, _ := chain(t)
	p.key("9")
	p.hardKey(p.Ctx, "ArrowLeft", false, false)
	p.hardKey(p.Ctx, "ArrowLeft", false, false)
	if r, _ := p.B().Readings.Get(p.d.Fix); r.Text != "200" {
		t.Fatalf("two back is %q, want 200", r.Text)
	}
	p.number("210")
	if got := p.length("Split 1", "Split 2"); got != 210 || p.d.Text != "9" {
		t.Errorf("the run is %v, and %q is keyed in: want 210 and 9", got, p.d.Text)
	}
	p.hardKey(p.Ctx, "ArrowLeft", false, false)
	p.hardKey(p.Ctx, "ArrowRight", false, false)
	if p.d.Fix != "" || p.d.Text != "9" {
		t.Errorf("forward again stands at %+v", p.d)
	}
}

func TestDetailsOfAReading(t *testing.T) {
	p := walking(t)
	p.choose(p.Ctx, target{Kind: harness.Split})
	p.onCorner(p.Ctx, app.Event{})
	p.onCorner(p.Ctx, app.Event{})
	p.onThick(5*unit.Millimetre)(p.Ctx, app.Event{})
	p.onSigma(2*unit.Millimetre)(p.Ctx, app.Event{})
	p.number("300")
	r := p.B().Readings.All()[0]
	if r.Corners == nil || *r.Corners != 2 || r.Thick == nil || *r.Thick != 5*unit.Millimetre || r.Sigma == nil || *r.Sigma != 2*unit.Millimetre {
		t.Errorf("the reading is %+v", r)
	}
	if w := p.d.With; w.Corners != nil || w.Sigma != nil || w.Thick == nil {
		t.Errorf("for the next one stays %+v, want the string only", w)
	}
}

func TestAReadingIsThrownOutAndBroughtBack(t *testing.T) {
	p := checked(t, "620", "301", "260", "121")
	s := p.Lengths().Suspicions()[0]
	r := &routePage{S: p.Session, At: kit.Addr{Build: p.ID(), Page: "route", Record: s.Readings[0]}}
	r.sync()
	html := app.HTMLString(r.Render())
	for _, want := range []string{"long against the others.", "Most likely wrong", "Throw it out because"} {
		if !strings.Contains(html, want) {
			t.Errorf("%q is not said", want)
		}
	}
	r.onOut("misread")(p.Ctx, app.Event{})
	if len(p.Lengths().Suspicions()) != 0 {
		t.Error("it is still suspected")
	}
	if html := app.HTMLString(r.Render()); !strings.Contains(html, "Thrown out.") || !strings.Contains(html, "misread") {
		t.Error("it is not said to be thrown out, and why")
	}
	r.onIn(p.Ctx, app.Event{})
	if len(p.Lengths().Suspicions()) == 0 {
		t.Error("it is not back")
	}
	if x, _ := p.B().Readings.Get(s.Readings[0]); x.Out || x.OutWhy != "" || x.Text != "260" {
		t.Errorf("it came back as %+v", x)
	}
}

func TestNextToMeasure(t *testing.T) {
	p := drawnChain(t, 2)
	p.number("300")
	r := &routePage{S: p.Session, At: kit.Addr{Build: p.ID(), Page: "route", Mode: partNext}}
	html := app.HTMLString(r.Render())
	for _, want := range []string{"Must be measured", "not measured", "Surer with a second reading", "nothing would show a slip"} {
		if !strings.Contains(html, want) {
			t.Errorf("%q is not said", want)
		}
	}
	tasks := p.Lengths().Next(start(p.B()))
	i := slices.IndexFunc(tasks, func(x survey.Task) bool { return x.Need == survey.NeedCheck })
	r.onMeasure(tasks[i].From, tasks[i].Runs)(p.Ctx, app.Event{})
	d := loadDraft(p.Session)
	if d.At != tasks[i].From || d.To.Run != tasks[i].Runs[0] {
		t.Errorf("one stands at %s for %+v", kit.PlaceName(p.B(), d.At), d.To)
	}
}

func TestAsBuilt(t *testing.T) {
	p, r := chain(t)
	for _, row := range []struct {
		a, z, number, word string
	}{
		{"Controller", "Split 1", "299", "FAILS: 1 mm short"},
		{"Split 1", "Split 2", "220", "passes"},
		{"Split 2", "Device 1", "160", "FAILS: 15 mm over"},
	} {
		r.At = kit.Addr{Build: p.ID(), Page: "route", Record: p.run(row.a, row.z).ID, Mode: partBuilt}
		r.sync()
		r.onPad(p.Ctx, row.number[:1])
		r.onPad(p.Ctx, row.number[1:2])
		r.onPad(p.Ctx, row.number[2:])
		r.onPad(p.Ctx, kit.KeyNext)
		r.At = kit.Addr{Build: p.ID(), Page: "route", Mode: partBuilt}
		if html := app.HTMLString(r.Render()); !strings.Contains(html, row.word) {
			t.Errorf("%s to %s is not said to be %q: %q %q", row.a, row.z, row.word, r.wrong, r.doubt)
		}
	}
	if got := p.length("Split 1", "Split 2"); got != 200 {
		t.Errorf("the sheet moved to %v mm", got)
	}
}

func TestAnOpenPlaceIsSaid(t *testing.T) {
	p := walking(t)
	if html := app.HTMLString(p.walk.Render()); !strings.Contains(html, "Controller is open:") {
		t.Error("nothing is said")
	}
	p.onDecided(start(p.B()))(p.Ctx, app.Event{})
	if html := app.HTMLString(p.walk.Render()); strings.Contains(html, "is open:") {
		t.Error("it is still said")
	}
}

func TestHelpIsShownOnce(t *testing.T) {
	p := walking(t)
	if html := app.HTMLString(p.walk.Render()); !strings.Contains(html, "Before the walk") {
		t.Error("it is not shown")
	}
	p.onHelpRead(p.Ctx, app.Event{})
	if html := app.HTMLString(p.walk.Render()); strings.Contains(html, "Before the walk") {
		t.Error("it is shown again")
	}
	p.walk.At.Mode = partHelp
	if html := app.HTMLString(p.walk.Render()); !strings.Contains(html, "centre of each breakout") {
		t.Error("it cannot be reached again")
	}
}

func TestADoubtOverALongWay(t *testing.T) {
	p := checked(t, "6200")
	if p.doubt != route.TenTimes || p.d.Text != "6200" {
		t.Fatalf("doubt %q", p.doubt)
	}
	p.onSure(p.Ctx, app.Event{})
	if p.B().Readings.Len() != 4 {
		t.Error("it was not taken")
	}
}
