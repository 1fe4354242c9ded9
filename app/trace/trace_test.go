package trace

import (
	"context"
	"errors"
	"runtime"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/storage"
	"loomwright/storage/memory"
)

const demo = "../../testdata/builds/roadster.build"

// unknownCode is a good code that no build has.
const unknownCode = "22222222"

// phone is a session with the demo build, closed, as it is when a scanned link opens the app.
func phone(t *testing.T) (b *sessiontest.Bench, build string) {
	t.Helper()
	b = sessiontest.Start(t, memory.New())
	b.Device.Shell = at{b.Device.Shell}
	b.File(demo)
	b.Saved()
	return b, b.ID()
}

type at struct{ device.Shell }

func (at) Root() string { return "https://loom.example/" }

// see mounts the page at an address and waits until it has looked.
func see(t *testing.T, b *sessiontest.Bench, a kit.Addr) (*page, string) {
	t.Helper()
	p := &page{S: b.Session, At: a, armed: a.Mode == partCamera} // as after a tap
	loop := app.NewClientTester(p)
	t.Cleanup(loop.Close)
	for range 4 { // the answer, its facts, and what it should read come one after another
		loop.Consume()
	}
	return p, app.HTMLString(p)
}

func has(t *testing.T, html string, wants ...string) {
	t.Helper()
	for _, want := range wants {
		if !strings.Contains(html, want) {
			t.Errorf("%q is not shown", want)
		}
	}
}

// wireTag returns the tag on an end of a wire of the open build.
func wireTag(t *testing.T, b *harness.Build, wire string, end harness.TagEnd) harness.Tag {
	t.Helper()
	for _, rec := range b.Tags.All() {
		w, _ := b.Wires.Any(rec.Subject)
		if rec.On == harness.KindWire && w.Name == wire && rec.End == end {
			return rec
		}
	}
	t.Fatalf("wire %s has no tag on its %s end", wire, end)
	return harness.Tag{}
}

func placeTag(t *testing.T, b *harness.Build, place string) harness.Tag {
	t.Helper()
	for _, rec := range b.Tags.All() {
		if p, _ := b.Places.Any(rec.Subject); rec.On == harness.KindPlace && p.Name == place {
			return rec
		}
	}
	t.Fatalf("place %s has no tag", place)
	return harness.Tag{}
}

func do(t *testing.T, b *sessiontest.Bench, changes ...storage.Change) {
	t.Helper()
	if err := b.Do(changes...); err != nil {
		t.Fatal(err)
	}
	b.Saved()
}

func TestTheCheckedUnknownCodeIsGood(t *testing.T) {
	if err := tag.Check(unknownCode); err != nil {
		t.Fatal(err)
	}
}

// A link from a phone's own camera opens the app with no build: the build is found, opened, and the wire is shown.
func TestALinkFindsItsBuild(t *testing.T) {
	b, build := phone(t)
	rec := wireTag(t, b.B(), "W1", harness.ToEnd)
	b.Close()
	p, html := see(t, b, kit.Addr{Tag: rec.Code})
	if b.ID() != build || p.opened != build {
		t.Fatalf("open is %q, want the demo", b.ID())
	}
	has(t, html, "Tag W1, this end", "Controller feed 1", "You are here", "Goes to", "Shares joint Controller feed with",
		"1.5 mm²", "RD", tag.Format(rec.Code), "Far tag", "Open the wire", "On the sketch", "Scan another", "lead", "In Roadster")
}

// A tag on one connector of a place leads to what is wired there, and that of a run to what passes through.
func TestTagsOfConnectorsAndRuns(t *testing.T) {
	b, _ := phone(t)
	plug := b.B().Connectors.All()[0]
	run := b.B().Runs.All()[0]
	do(t, b, storage.Put(harness.KindTag, b.FreshID(), harness.Tag{}, harness.Tag{Code: unknownCode, On: harness.KindConnector, Subject: plug.ID}))
	_, html := see(t, b, kit.Addr{Tag: unknownCode})
	has(t, html, "Tag Controller A", "Wires that end here", "Open the place")
	other, err := b.FreshCode()
	if err != nil {
		t.Fatal(err)
	}
	do(t, b, storage.Put(harness.KindTag, b.FreshID(), harness.Tag{}, harness.Tag{Code: other, On: harness.KindRun, Subject: run.ID}))
	_, html = see(t, b, kit.Addr{Tag: other})
	has(t, html, "Wires that pass through", "Open the run", "Loom")
}

// The two tags of a wire tell where one stands.
func TestTheEndsAreNotTheSame(t *testing.T) {
	b, build := phone(t)
	w := wireTag(t, b.B(), "W3", harness.FromEnd)
	_, from := see(t, b, kit.Addr{Build: build, Page: pageName, Record: w.Code})
	_, to := see(t, b, kit.Addr{Build: build, Page: pageName, Record: wireTag(t, b.B(), "W3", harness.ToEnd).Code})
	here := `You are here</small><b>Controller</b>`
	if !strings.Contains(strings.ReplaceAll(from, "\n", ""), here) || strings.Contains(strings.ReplaceAll(to, "\n", ""), here) {
		t.Error("the ends of W3 are not told apart")
	}
}

func TestABundleTagListsItsWires(t *testing.T) {
	b, build := phone(t)
	rec := placeTag(t, b.B(), "Fuse panel")
	_, html := see(t, b, kit.Addr{Build: build, Page: pageName, Record: rec.Code})
	has(t, html, "Tag Fuse panel", "Wires that end here", "Wires that pass through", "Open the place", "panel", "lowers by 120 mm")
	ends, through := wiresOf(b.Session, rec)
	if len(ends) == 0 {
		t.Error("no wire ends at the fuse panel")
	}
	split := placeTag(t, b.B(), "Controller split")
	if ends, through = wiresOf(b.Session, split); len(through) < 20 {
		t.Errorf("%d wires end at the controller split and %d pass it", len(ends), len(through))
	}
}

func TestAnUnknownCodeIsExplained(t *testing.T) {
	b, build := phone(t)
	for _, a := range []kit.Addr{{Tag: unknownCode}, {Build: build, Page: pageName, Record: unknownCode}} {
		_, html := see(t, b, a)
		has(t, html, "No build on this phone knows this tag.", "its check sign fits", "another phone", "Open its backup file", "2222 2222")
	}
}

func TestADamagedCodeIsExplainedWithSuggestions(t *testing.T) {
	b, _ := phone(t)
	rec := wireTag(t, b.B(), "W1", harness.FromEnd)
	other := "B"
	if rec.Code[2] == 'B' {
		other = "8"
	}
	_, html := see(t, b, kit.Addr{Tag: rec.Code[:2] + other + rec.Code[3:]})
	has(t, html, "A sign of this code is wrong.", "does not fit")
	if tag.Check("NX67QHXT") != nil {
		t.Fatal("the code of the example is not good")
	}
	_, html = see(t, b, kit.Addr{Tag: "NX67QHXA"})
	has(t, html, "A sign of this code is wrong.")
	_, html = see(t, b, kit.Addr{Tag: "NX670HXT"}) // 0 for Q
	has(t, html, "It may have been one of these", "NX67 QHXT")
}

func TestAForeignSquareIsShownAndNotFollowed(t *testing.T) {
	b, _ := phone(t)
	p, _ := see(t, b, kit.Addr{Page: pageName})
	for _, text := range []string{
		"https://elsewhere.example/?x=1", "javascript:alert(1)", "WIFI:S:x;P:y;;", "<img src=x>", "mailto:a@b.example", strings.Repeat("A", 5000),
	} {
		p.read([]string{text})
		if p.flash || p.code != "" {
			t.Errorf("%.40q was taken for a code", text)
		}
		ui := app.Div().Body(p.unreadable()...)
		has(t, app.HTMLString(ui), "This is not a tag of this app.", "Nothing was opened.")
		if strings.Contains(app.HTMLString(ui), "href") || strings.Contains(app.HTMLString(ui), "<img") {
			t.Errorf("%.40q became more than text", text)
		}
	}
}

// Of several squares in a photo the one that is a code counts, whatever stands before it.
func TestTheCodeAmongOthersIsTaken(t *testing.T) {
	b, _ := phone(t)
	p, _ := see(t, b, kit.Addr{Page: pageName})
	p.read([]string{"https://elsewhere.example/", "HTTPS://LOOM.EXAMPLE/#NX67QHXT"})
	if !p.flash {
		t.Error("the code beside a foreign square was not taken")
	}
	if got := p.of("NX67QHXT"); got != (kit.Addr{Tag: "NX67QHXT"}) {
		t.Errorf("without a build it is shown at %v", got)
	}
	p.At = kit.Addr{Build: "b", Page: pageName, Mode: partCamera}
	if got := p.of("NX67QHXT"); got != (kit.Addr{Build: "b", Page: pageName, Record: "NX67QHXT"}) {
		t.Errorf("in a build it is shown at %v", got)
	}
}

func TestAnotherBuildIsNamed(t *testing.T) {
	b, demoID := phone(t)
	rec := wireTag(t, b.B(), "W1", harness.FromEnd)
	mine := b.New("My own")
	b.Saved()
	_, html := see(t, b, kit.Addr{Build: mine, Page: pageName, Record: rec.Code})
	has(t, html, "This tag is of another build.", "Roadster, inline four", "Show it in Roadster")
	if b.ID() != mine {
		t.Error("the other build was opened without being asked for")
	}
	// Without a build it opens at once.
	_, html = see(t, b, kit.Addr{Tag: rec.Code})
	if has(t, html, "Tag W1, this end"); b.ID() != demoID {
		t.Error("the build of the only answer was not opened")
	}
}

func TestACodeInTwoBuildsListsBoth(t *testing.T) {
	b, demoID := phone(t)
	rec := wireTag(t, b.B(), "W1", harness.FromEnd)
	copied := ""
	b.Duplicate(b.Ctx, func(_ app.Context, build string, err error) {
		if err != nil {
			t.Fatal(err)
		}
		copied = build
	})
	b.Saved()
	own := wireTag(t, b.B(), "W1", harness.FromEnd)
	if own.Of != rec.Code || own.Code == rec.Code {
		t.Fatalf("the copy's tag is %+v", own)
	}
	p, html := see(t, b, kit.Addr{Tag: rec.Code})
	has(t, html, "This tag is in more than one build.", "Show it in Roadster, inline four", "Show it in Roadster, inline four copy",
		"It is a copy: there this tag has the code "+tag.Format(own.Code))
	if p.answer.hits[0].about.Build != demoID || p.answer.hits[0].copied || !p.answer.hits[1].copied {
		t.Errorf("the original is not first: %+v", p.answer.hits)
	}
	// With the copy open it answers itself, and says of which build the tag was printed.
	_, html = see(t, b, kit.Addr{Build: copied, Page: pageName, Record: rec.Code})
	has(t, html, "Tag W1, this end", "This build is a copy.", "Also in Roadster, inline four")
	// The copy's own code is only the copy's.
	_, html = see(t, b, kit.Addr{Tag: own.Code})
	has(t, html, "Tag W1, this end")
}

func TestADeletedBuildIsOffered(t *testing.T) {
	b, build := phone(t)
	rec := wireTag(t, b.B(), "W1", harness.FromEnd)
	b.Remove(b.Ctx, build, true, func(_ app.Context, err error) {
		if err != nil {
			t.Fatal(err)
		}
	})
	b.Saved()
	p, html := see(t, b, kit.Addr{Tag: rec.Code})
	has(t, html, "This tag is of a build that was deleted.", "Nothing of it is lost.", "Bring back Roadster, inline four and show it")
	if b.ID() != "" {
		t.Error("a deleted build was opened without being asked for")
	}
	p.onBringBuildBack(build)(p.ctx, app.Event{})
	p.ctx.Dispatcher().(app.ClientDispatcher).Consume()
	if got := b.Builds(); len(got) != 1 || got[0].Build != build {
		t.Errorf("living builds: %+v", got)
	}
}

func TestADeletedWireSaysWhen(t *testing.T) {
	b, build := phone(t)
	rec := wireTag(t, b.B(), "W1", harness.FromEnd)
	do(t, b, storage.Delete(harness.KindWire, rec.Subject))
	p, html := see(t, b, kit.Addr{Build: build, Page: pageName, Record: rec.Code})
	has(t, html, "What this tag is on was deleted.", "That was on this phone, 12 May 2026", "Bring it back", "Controller feed 1")
	p.onBringBack(harness.KindWire, rec.Subject)(p.ctx, app.Event{})
	if _, ok := b.B().Wires.Get(rec.Subject); !ok {
		t.Error("it was not brought back")
	}
}

func TestARetiredTagStillLeads(t *testing.T) {
	b, build := phone(t)
	rec := wireTag(t, b.B(), "W1", harness.FromEnd)
	old := rec
	rec.Retired = true
	do(t, b, storage.Put(harness.KindTag, rec.ID, old, rec))
	_, html := see(t, b, kit.Addr{Build: build, Page: pageName, Record: rec.Code})
	has(t, html, "This tag is retired.", "Controller feed 1")
}

func TestATagWithoutItsSubjectIsExplained(t *testing.T) {
	b, build := phone(t)
	code, err := b.FreshCode()
	if err != nil {
		t.Fatal(err)
	}
	do(t, b, storage.Put(harness.KindTag, b.FreshID(), harness.Tag{}, harness.Tag{Code: code, On: harness.KindWire, Subject: b.FreshID()}))
	_, html := see(t, b, kit.Addr{Build: build, Page: pageName, Record: code})
	has(t, html, "but not what it is on", "merged")
}

func TestBuildsThatCannotBeReadAreNamed(t *testing.T) {
	b, _ := phone(t)
	builds := append(b.Builds(), storage.About{Build: "11111111-0000-4000-8000-000000000000", Title: "Lost"})
	a := look(context.Background(), b.Store, "", builds, unknownCode, open{})
	if len(a.unread) != 1 || a.unread[0].Title != "Lost" || a.looked != 1 || len(a.hits) != 0 {
		t.Errorf("%+v", a)
	}
	p := &page{S: b.Session, At: kit.Addr{Tag: unknownCode}, code: unknownCode, answer: a}
	has(t, app.HTMLString(app.Div().Body(p.unknown(unknownCode)...)), "1 of the builds here could not be read:", "Lost.")
}

func TestVerdictOnTyping(t *testing.T) {
	tests := []struct {
		typed, tone, text string
		repairs           int
		ready             bool
	}{
		{"", "", "Eight signs", 0, false},
		{"nx6", "", "3 of 8", 0, false},
		{"NX60", "warn", "Codes have no 0", 0, false},
		{"nx67 qhxt", "good", "The check sign fits.", 0, true},
		{"NX67-QHXT", "good", "The check sign fits.", 0, true},
		{"NX670HXT", "bad", "Did you mean", 1, false},
		{"XN67QHXT", "bad", "Did you mean", 1, false}, // two neighbours changed over
		{"NX67QHXT9", "bad", "too many", 0, false},
		{"HTTPS://LOOM.EXAMPLE/#NX67QHXT", "good", "fits", 0, true}, // pasted
	}
	own, err := tag.ParseAddress("https://loom.example/")
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range tests {
		tone, text, repairs, ready := verdict(tt.typed, own)
		if tone != tt.tone || !strings.Contains(text, tt.text) || ready != tt.ready || len(repairs) < tt.repairs || tt.repairs == 0 && len(repairs) > 0 {
			t.Errorf("%q: %q %q %v %v", tt.typed, tone, text, repairs, ready)
		}
	}
}

func TestThePadForACode(t *testing.T) {
	b, _ := phone(t)
	p, html := see(t, b, kit.Addr{Page: pageName, Mode: partType})
	has(t, html, "The code on the tag", "take back one sign", "Eight signs, printed beside the square.")
	for _, r := range tag.Alphabet {
		if !strings.Contains(html, ">\n"+string(r)) && !strings.Contains(html, ">"+string(r)+"<") {
			t.Errorf("there is no key for %c", r)
		}
	}
	for _, key := range []string{"N", "X", "6", "7", "Q", "H", "X", "2", keyBack, "T", "T"} {
		p.press(key)
	}
	if p.typed != "NX67QHXT" {
		t.Errorf("keyed in %q", p.typed)
	}
	// What was typed is there after a reload.
	again, _ := see(t, b, kit.Addr{Page: pageName, Mode: partType})
	if again.typed != "NX67QHXT" {
		t.Errorf("after a reload %q", again.typed)
	}
	again.findTyped()
	if !again.flash || b.Device.Prefs.Get(prefTyped) != "" {
		t.Error("a good code was not looked up")
	}
}

// eye is a camera that fails, or reads what it is told.
type eye struct {
	device.Camera
	err   error
	texts chan string
	photo []string
}

func (e *eye) Start(context.Context, string) (*device.Scan, error) {
	if e.err != nil {
		return nil, e.err
	}
	return &device.Scan{Texts: e.texts, Err: func() error { return nil }, Stop: func() {}, Torch: func(bool) error { return errors.New("no") }}, nil
}

func (e *eye) Photo(context.Context, bool) ([]string, error) { return e.photo, e.err }

func TestACameraThatRefusesIsExplained(t *testing.T) {
	for _, tt := range []struct {
		err  error
		want string
	}{
		{device.ErrRefused, "phone&#39;s settings"}, {device.ErrNoCamera, "No camera was found"}, {device.ErrBusy, "Another app has the camera"},
		{device.ErrHidden, "out of sight"}, {device.ErrNoReader, "could not be loaded"}, {device.ErrUnavailable, "cannot do that"},
	} {
		b, _ := phone(t)
		b.Device.Camera = &eye{err: tt.err}
		_, html := see(t, b, kit.Addr{Page: pageName, Mode: partCamera})
		has(t, html, "The camera is off.", "Scan again", "Type the eight signs", "From a photo")
		if !strings.Contains(html, tt.want) && !strings.Contains(html, strings.ReplaceAll(tt.want, "&#39;", "'")) {
			t.Errorf("%v: %q is not shown", tt.err, tt.want)
		}
	}
}

// clicks counts the clicks that a person hears.
type clicks struct {
	device.Signal
	n int
}

func (c *clicks) Click() { c.n++ }

func TestTheCameraReads(t *testing.T) {
	b, _ := phone(t)
	heard := &clicks{Signal: b.Device.Signal}
	b.Device.Signal = heard
	e := &eye{texts: make(chan string, 2)}
	b.Device.Camera = e
	p, html := see(t, b, kit.Addr{Page: pageName, Mode: partCamera})
	has(t, html, "what the camera sees", "Light")
	e.texts <- "https://elsewhere.example/"
	e.texts <- "NX67QHXT"
	close(e.texts)
	for heard.n == 0 { // the camera reads beside the page
		p.ctx.Dispatcher().(app.ClientDispatcher).Consume()
		runtime.Gosched()
	}
	if heard.n != 1 || p.seen.Class != "" {
		t.Errorf("%d clicks, %+v", heard.n, p.seen)
	}
}

// Going back to the camera from what it read does not read the tag before the lens once more.
func TestTheCameraWaitsForATap(t *testing.T) {
	b, _ := phone(t)
	e := &eye{texts: make(chan string)}
	close(e.texts)
	b.Device.Camera = e
	has(t, b.HTML(&page{S: b.Session, At: kit.Addr{Page: pageName, Mode: partCamera}}), "The camera is off.", "Scan again")
	p, _ := see(t, b, kit.Addr{Page: pageName, Mode: partCamera})
	p.found("NX67QHXT")
	p.redraw()
	p.ctx.Dispatcher().(app.ClientDispatcher).Consume()
	has(t, app.HTMLString(p), "The camera is off.")
	p.onAgain(p.ctx, app.Event{})
	p.redraw()
	p.ctx.Dispatcher().(app.ClientDispatcher).Consume()
	has(t, app.HTMLString(p), "what the camera sees")
}

func TestAPhotoIsRead(t *testing.T) {
	b, _ := phone(t)
	e := &eye{photo: []string{"NX67QHXT"}}
	b.Device.Camera = e
	p, _ := see(t, b, kit.Addr{Page: pageName})
	p.onPhoto(p.ctx, app.Event{})
	p.ctx.Dispatcher().(app.ClientDispatcher).Consume()
	if p.busy != "" || p.code != "" || p.failed != "" {
		t.Errorf("busy %q, failed %q", p.busy, p.failed)
	}
	e.err = device.ErrNoCode
	p.onPhoto(p.ctx, app.Event{})
	p.ctx.Dispatcher().(app.ClientDispatcher).Consume()
	has(t, app.HTMLString(p), "No tag was read.", "No code was found in that picture")
}
