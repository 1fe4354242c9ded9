package walk

import (
	"strings"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/unit"
)

// chain is a build with a controller, two splits and a device in a row: 300, 200 and 120 mm.
func chain(t *testing.T) (p *page, r *routePage) {
	p = walking(t)
	p.add(harness.Split, "300")
	p.add(harness.Split, "200")
	p.add(harness.Device, "120")
	r = &routePage{S: p.Session, At: kit.Addr{Build: p.ID(), Page: "route"}, Rev: p.Session.Rev()}
	r.sync()
	return p, r
}

func (p *page) place(name string) string {
	p.T.Helper()
	for _, x := range p.B().Places.All() {
		if x.Name == name {
			return x.ID
		}
	}
	p.T.Fatalf("no place %s", name)
	return ""
}

func (p *page) run(a, z string) harness.Run {
	p.T.Helper()
	all := runsBetween(p.B(), p.place(a), p.place(z))
	if len(all) == 0 {
		p.T.Fatalf("no run from %s to %s", a, z)
	}
	return all[0]
}

func TestSplitARun(t *testing.T) {
	p, r := chain(t)
	old := p.run("Split 1", "Split 2")
	r.At.Record = old.ID
	r.onFlag(flags[0])(p.Ctx, app.Event{})
	r.onCorners(2)(p.Ctx, app.Event{})
	before := p.Log().Len()
	r.At.Mode = partSplit
	r.onSplit(harness.PassThrough)(p.Ctx, app.Event{})
	if got := p.Log().Len() - before; got != 1 {
		t.Errorf("splitting made %d edits, want 1", got)
	}
	gone, _ := p.B().Runs.Any(old.ID)
	first, second := p.run("Split 1", "Pass-through 1"), p.run("Pass-through 1", "Split 2")
	if !gone.Gone || len(gone.Became) != 2 || gone.Became[0] != first.ID || gone.Became[1] != second.ID {
		t.Errorf("the old run is %+v", gone)
	}
	if !first.Hot || !second.Hot || first.Corners != 2 || second.Corners != 0 || first.Loom != old.Loom || second.Loom != old.Loom {
		t.Errorf("the parts are %+v and %+v", first, second)
	}
	if p.B().Readings.Len() != 3 {
		t.Errorf("%d readings, want the 3 there were", p.B().Readings.Len())
	}
	if _, known := p.Lengths().Run(first.ID); known {
		t.Error("a part of a run that was read whole has a length")
	}
	// Reading one part gives the other.
	p.stand(p.Ctx, p.place("Split 1"))
	p.key("8", "0", kit.KeyNext)
	if got := p.length("Pass-through 1", "Split 2"); got != 120 {
		t.Errorf("the other part is %v mm, want 200 - 80", got)
	}
	if got := len(readingsOf(p.B(), first.ID)); got != 2 {
		t.Errorf("the first part shows %d readings, want its own and that of the whole", got)
	}
}

func TestJoinTwoRuns(t *testing.T) {
	p, r := chain(t)
	r.At.Record = p.place("Split 2")
	before := p.Log().Len()
	r.onJoin(p.Ctx, app.Event{})
	if got := p.Log().Len() - before; got != 1 {
		t.Errorf("joining made %d edits, want 1", got)
	}
	if got := p.length("Split 1", "Device 1"); got != 320 {
		t.Errorf("the joined run is %v mm, want 200 + 120", got)
	}
	if !p.Notice().Undo {
		t.Error("undo is not offered")
	}
	p.Undo(p.Ctx)
	if p.length("Split 1", "Split 2") != 200 || p.B().Runs.Len() != 3 {
		t.Error("undo did not bring both runs back")
	}
}

func TestJoinable(t *testing.T) {
	p, r := chain(t)
	for _, row := range []struct {
		place string
		want  bool
	}{{"Controller", false}, {"Split 1", true}, {"Device 1", false}} {
		if _, got := joinable(p.B(), p.place(row.place)); got != row.want {
			t.Errorf("%s: %v, want %v", row.place, got, row.want)
		}
	}
	// Two looms side by side to one device: joining them would make a run to itself.
	r.At.Record = p.run("Split 2", "Device 1").ID
	r.onSecond(p.Ctx, app.Event{})
	if _, ok := joinable(p.B(), p.place("Device 1")); ok {
		t.Error("two runs between the same two places can be joined")
	}
	if two := runsBetween(p.B(), p.place("Split 2"), p.place("Device 1")); two[0].Loom == two[1].Loom {
		t.Error("the second run is in the same loom")
	}
}

func TestDeleteAPlace(t *testing.T) {
	p, r := chain(t)
	r.At.Record = p.place("Split 2")
	before := p.Log().Len()
	r.onDelete(p.Ctx, app.Event{})
	if got := p.Log().Len() - before; got != 1 {
		t.Errorf("deleting made %d edits, want 1", got)
	}
	if p.B().Places.Len() != 3 || p.B().Runs.Len() != 1 {
		t.Errorf("%d places and %d runs are left, want 3 and 1", p.B().Places.Len(), p.B().Runs.Len())
	}
	n := p.Notice()
	if !n.Undo || !strings.Contains(n.Text, "2 runs") {
		t.Errorf("it says %q", n.Text)
	}
	p.Undo(p.Ctx)
	if p.B().Places.Len() != 4 || p.B().Runs.Len() != 3 {
		t.Error("undo did not bring everything back")
	}
}

func TestConnectTellsOfALoop(t *testing.T) {
	p, r := chain(t)
	r.At.Record, r.At.Mode = p.place("Controller"), partConnect
	r.connect(p.Ctx, p.place("Device 1"))
	if !strings.Contains(p.Notice().Text, "loop") {
		t.Errorf("it says %q, want a word about the loop", p.Notice().Text)
	}
	loops := 0
	for _, i := range p.Graph().Issues() {
		if i.Kind == route.Loop {
			loops++
			if d := describe(p.B(), i); !strings.Contains(d.what, "Split 1") || d.run == "" {
				t.Errorf("the loop is told as %+v", d)
			}
		}
	}
	if loops != 1 {
		t.Errorf("%d loops are named, want 1", loops)
	}
}

func TestReadAgainAndCorrectFromTheCard(t *testing.T) {
	p, r := chain(t)
	run := p.run("Split 1", "Split 2")
	r.At.Record, r.At.Mode = run.ID, partRead
	r.sync()
	for _, k := range []string{"2", "0", "6", kit.KeyNext} {
		r.onPad(p.Ctx, k)
	}
	if all := readingsOf(p.B(), run.ID); len(all) != 2 || all[0].Text != "206" {
		t.Fatalf("the readings are %+v, want 206 before 200", all)
	}
	// Correcting the older reading does not make it the newer one.
	old := readingsOf(p.B(), run.ID)[1]
	if old.Text != "200" {
		t.Fatalf("the older reading is %q", old.Text)
	}
	r.At.Record, r.At.Mode = old.ID, partFix
	r.sync()
	for _, k := range []string{"2", "0", "1", kit.KeyNext} {
		r.onPad(p.Ctx, k)
	}
	var texts []string
	for _, x := range readingsOf(p.B(), run.ID) {
		text := x.Text
		if x.Gone {
			text += " gone"
		}
		texts = append(texts, text)
	}
	if got := strings.Join(texts, ","); got != "206,201,200 gone" && got != "206,200 gone,201" {
		t.Errorf("the readings are %s", got)
	}
}

func TestAfterGoesOnFromTheNewestReading(t *testing.T) {
	p, _ := chain(t)
	run := p.run("Split 1", "Split 2")
	wrong := time.Date(1999, 1, 1, 0, 0, 0, 0, time.UTC) // a clock that was put back
	if got, last := after(p.B(), wrong, run.ID), p.B().Readings.All()[0].At; got <= last {
		t.Errorf("the next reading is dated %s, before %s", got, last)
	}
}

func TestTravel(t *testing.T) {
	p, r := chain(t)
	r.At.Record, r.At.Mode = p.place("Device 1"), partTravel
	r.sync()
	for _, k := range []string{"1", "2", "0", kit.KeyNext} {
		r.onPad(p.Ctx, k)
	}
	place, _ := p.B().Places.Get(r.At.Record)
	if place.Travel == nil || *place.Travel != 120*unit.Millimetre {
		t.Errorf("the mount moves by %v, want 120 mm", place.Travel)
	}
}

func TestTypedNamesBecomeEditsWhenTheCardIsLeft(t *testing.T) {
	p, r := chain(t)
	id := p.place("Split 1")
	r.At.Record = id
	r.sync()
	r.keep(pending{id, "name", " Engine split "})
	// The phone dies: the text is there when the card is opened again.
	again := &routePage{S: p.Session, At: r.At}
	again.sync()
	if got := again.typed("name", "Split 1"); got != " Engine split " {
		t.Errorf("after a restart the field holds %q", got)
	}
	r.At.Record = p.place("Split 2")
	r.sync()
	if place, _ := p.B().Places.Get(id); place.Name != "Engine split" {
		t.Errorf("the place is called %q", place.Name)
	}
}

func TestANumberOutlivesACorrectionAndAStepAside(t *testing.T) {
	p, _ := chain(t)
	p.key("4", "1")
	p.onFix(p.B().Readings.All()[0].ID)(p.Ctx, app.Event{})
	if p.d.Text != "" {
		t.Errorf("the correction begins with %q", p.d.Text)
	}
	p.key("3")
	p.onLeaveFix(p.Ctx, app.Event{})
	if p.d.Text != "41" || p.d.Fix != "" {
		t.Errorf("after it the number is %q, want 41", p.d.Text)
	}
	p.stand(p.Ctx, p.place("Split 1"))
	if p.d.Text != "41" {
		t.Errorf("at another place the number is %q, want 41", p.d.Text)
	}
}

func TestFreeName(t *testing.T) {
	p, _ := chain(t)
	for _, row := range []struct {
		kind harness.PlaceKind
		want string
	}{
		{harness.Split, "Split 3"}, {harness.Device, "Device 2"}, {harness.Ground, "Ground 1"}, {harness.Controller, "Controller 1"},
	} {
		if got := freeName(p.B(), row.kind); got != row.want {
			t.Errorf("%s: %q, want %q", row.kind, got, row.want)
		}
	}
	p.Undo(p.Ctx)
	if got := freeName(p.B(), harness.Device); got != "Device 1" {
		t.Errorf("after undo the device is called %q, want Device 1 again", got)
	}
	if got := freeName(harness.NewBuild("x"), harness.Controller); got != "Controller" {
		t.Errorf("the first controller is called %q", got)
	}
}

func TestRoutePageDrawsEveryPart(t *testing.T) {
	b := sessiontest.Start(t, nil)
	b.File("../../testdata/builds/roadster.build")
	place, run := b.B().Places.All()[1].ID, b.B().Runs.All()[3].ID
	for _, row := range []struct {
		mode, record, want string
	}{
		{"", "", "Controller split"},
		{partRuns, "", "Controller to Controller split"},
		{partMissing, "", "is not measured."},
		{"", place, "Stand here and walk"},
		{partAdd, place, "Tap what it is"},
		{partAdd, "", "no run leads to yet"},
		{partConnect, place, "Tap the other place"},
		{partTravel, place, "lower or hinge"},
		{"", run, "Read its length"},
		{partRead, run, "Take it"},
		{partSplit, run, "The run becomes two"},
	} {
		r := &routePage{S: b.Session, At: kit.Addr{Build: b.ID(), Page: "route", Record: row.record, Mode: row.mode}}
		if html := app.HTMLString(r); !strings.Contains(html, row.want) {
			t.Errorf("part %q of %q does not say %q", row.mode, row.record, row.want)
		}
	}
}
