package builds

import (
	"errors"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/unit"
	"loomwright/storage"
)

func has(t *testing.T, html string, wants ...string) {
	t.Helper()
	for _, want := range wants {
		if !strings.Contains(html, want) {
			t.Errorf("%q is not shown", want)
		}
	}
}

func TestTheFirstPageOfAnEmptyPhone(t *testing.T) {
	b := sessiontest.Start(t, nil)
	has(t, b.HTML(&list{S: b.Session}), "New build", "Look at the demo", "Open a file", "Scan a tag", "Battery off", "No backup")
}

func TestTheListTellsWhereWorkStopped(t *testing.T) {
	b := sessiontest.Start(t, nil)
	b.File("../../testdata/builds/roadster.build")
	b.Remember()
	has(t, b.HTML(&list{S: b.Session}), "Carry on with", "runs measured", "Next: measure", "last touched")
}

func TestANewBuildKeepsAHalfTypedName(t *testing.T) {
	b := sessiontest.Start(t, nil)
	b.Device.Prefs.Put("new:title", "half")
	n := &newBuild{S: b.Session}
	n.start()
	if n.title != "half" || n.unit != unit.Metric || n.volts != 12 {
		t.Errorf("it starts as %+v", n)
	}
	n.onUnit(unit.Imperial)(b.Ctx, app.Event{})
	n.onMake(b.Ctx, app.Event{})
	if got := b.B().Settings; got.Title != "half" || got.Unit != unit.Imperial {
		t.Errorf("made %+v", got)
	}
	if b.B().Places.Len() != 1 || b.B().Looms.Len() != 3 {
		t.Errorf("a new build has %d places and %d looms, want a controller and three looms", b.B().Places.Len(), b.B().Looms.Len())
	}
	if b.Device.Prefs.Get("new:title") != "" {
		t.Error("the half-typed name is still kept")
	}
}

func TestAFileIsShownBeforeAnythingIsDone(t *testing.T) {
	b := sessiontest.Start(t, nil)
	for name, tc := range map[string]struct {
		in   *session.Incoming
		want []string
	}{
		"cut off": {&session.Incoming{Title: "x", Edits: 7, Cut: true}, []string{"The first 7 entries", "as a copy"}},
		"merge":   {&session.Incoming{Title: "x", Edits: 7, Here: true, New: 3}, []string{"3 entries are new", "Merge it in"}},
		"nothing": {&session.Incoming{Title: "x", Edits: 7, Here: true}, []string{"on this phone already"}},
		"new":     {&session.Incoming{Title: "x", Edits: 7}, []string{"Open it", "Leave it"}},
	} {
		t.Run(name, func(t *testing.T) { has(t, b.HTML(&list{S: b.Session, file: tc.in}), tc.want...) })
	}
}

// Every error a person can meet has a sentence that ends in what to do.
func TestEveryStorageErrorIsExplained(t *testing.T) {
	for _, err := range []error{
		storage.ErrNotOurs, &storage.TooNewError{Version: 5, Reads: 4}, storage.ErrCorrupt, storage.ErrForked, storage.ErrDeviceUsed,
		storage.ErrTooBig, storage.ErrMissing, storage.ErrNoSpace, storage.ErrStale, storage.ErrReadOnly, storage.ErrLost,
		&storage.FileError{Line: 7, Err: storage.ErrCorrupt},
	} {
		text := kit.Explain(err)
		if strings.Contains(text, "Something went wrong") {
			t.Errorf("%v is not explained", err)
		}
		if strings.Count(text, ".") < 2 {
			t.Errorf("%v: %q does not say what to do", err, text)
		}
	}
	if text := kit.Explain(errors.New("boom")); !strings.Contains(text, "boom") || !strings.Contains(text, "safe") {
		t.Errorf("an unknown error says %q", text)
	}
}
