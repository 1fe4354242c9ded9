package trace

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// Two taps make an arrow, which is an edit that undo takes back; a third begins nothing.
func TestAnArrowIsTwoTaps(t *testing.T) {
	b, _ := phone(t)
	rec := placeTag(t, b.B(), "Fuse panel")
	id := b.FreshID()
	if err := b.Do(storage.Put(harness.KindPhoto, id, harness.Photo{}, harness.Photo{On: harness.KindPlace, Of: rec.Subject, Blob: "00", Width: 1600, Height: 1200})); err != nil {
		t.Fatal(err)
	}
	v := &photo{S: b.Session, ID: id, Width: 1600, Height: 1200}
	v.spot(0.1, 0.1) // not asked for: it only marks a tail that nothing follows
	v.mark = marking{}
	v.onMark(nil, app.Event{})
	v.spot(0.25, 0.5)
	v.spot(0.75, 0.5)
	p, _ := b.B().Photos.Get(id)
	if len(p.Arrows) != 1 || p.Arrows[0] != (harness.Arrow{X1: 0.25, Y1: 0.5, X2: 0.75, Y2: 0.5}) || v.mark.on {
		t.Fatalf("%+v", p.Arrows)
	}
	if path := arrowPath(p.Arrows[0], 1600, 1200); !strings.HasPrefix(path, "M400.0 600.0L1200.0 600.0M") {
		t.Errorf("it is drawn as %s", path)
	}
	b.Undo(b.Ctx)
	if p, _ := b.B().Photos.Get(id); len(p.Arrows) != 0 {
		t.Error("undo leaves the arrow")
	}
}

func TestWhatWasChangedInTheCar(t *testing.T) {
	b, build := phone(t)
	rec := placeTag(t, b.B(), "Fuse panel")
	at := kit.Addr{Build: build, Page: pageName, Mode: partChanges}
	if html := b.HTML(&page{S: b.Session, At: at}); !strings.Contains(html, "Nothing was changed yet.") {
		t.Error("a build that nothing was changed in lists something")
	}
	for i, a := range []harness.Amendment{{On: rec.On, Of: rec.Subject, Text: "fuse 3 is 15 A now"}, {On: rec.On, Of: rec.Subject, Done: true}} {
		a.Order = float64(i + 1)
		if err := b.Do(storage.Put(harness.KindAmendment, b.FreshID(), harness.Amendment{}, a)); err != nil {
			t.Fatal(err)
		}
	}
	html := b.HTML(&page{S: b.Session, At: at})
	for _, want := range []string{"The plan does not say it yet", "fuse 3 is 15 A now", "The plan says it", "no word yet of what it was", "Fuse panel"} {
		if !strings.Contains(html, want) {
			t.Errorf("%q is not shown", want)
		}
	}
}
