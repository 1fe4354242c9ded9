package wires

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/calc/harness"
)

// A layer that is hidden stays as it is, and shows what is new when it is shown again.
func TestHiddenLayersStayAsTheyAre(t *testing.T) {
	l := newLoom(t)
	w := l.between("Controller", "Coolant")
	p := &page{S: l.Session, At: l.page.At, Rev: l.Rev()}
	loop := app.NewClientTester(p)
	defer loop.Close()
	turn := func(record, mode string) {
		loop.Dispatch(app.Dispatch{Mode: app.Update, Source: p, Function: func(app.Context) {
			p.At = p.list().With(record).In(mode)
		}})
		loop.Consume()
	}
	// shows looks for a text in a layer.
	shows := func(which int, text string, want bool) {
		t.Helper()
		loop.Consume()
		html := strings.Split(app.HTMLString(p), `class="layer"`)
		if len(html) != layers+1 {
			t.Fatalf("%d layers", len(html)-1)
		}
		if got := strings.Contains(html[which+1], text); got != want {
			t.Errorf("at %+v layer %d shows %q: %v", p.At, which, text, got)
		}
	}
	loop.Consume()
	shows(theList, "Search", true)
	shows(theCard, "This wire", false)
	turn(w.ID, "")
	shows(theCard, "This wire", true)
	turn(w.ID, partSize)
	shows(thePart, "Another size", true)
	shows(theCard, "no size", true)
	l.do(l.resize(w.ID, "2.5 mm2"))
	shows(theCard, "2.5 mm²", false)
	turn(w.ID, "")
	shows(theCard, "2.5 mm²", true)
	shows(thePart, "Another size", true)
	turn("", "")
	shows(theList, "Search", true)
}

// The framework draws a layer once more that was hidden by a tap on it.
func TestHiddenLayerIsNotDrawnWhenAsked(t *testing.T) {
	l := newLoom(t)
	w := l.between("Controller", "Coolant")
	l.open(w.ID, "")
	card := &layer{Page: l.page, Which: theCard, Turn: 1}
	loop := app.NewClientTester(card)
	defer loop.Close()
	for _, at := range []struct {
		record, mode, shows string
	}{{w.ID, "", "no size"}, {w.ID, partSize, "no size"}, {"", "", "no size"}, {w.ID, "", "2.5 mm²"}} {
		if at.mode != "" {
			l.do(l.resize(w.ID, "2.5 mm2"))
		}
		l.open(at.record, at.mode)
		loop.Dispatch(app.Dispatch{Mode: app.Update, Source: card})
		loop.Consume()
		html := app.HTMLString(card)
		if !strings.Contains(html, at.shows) || !strings.Contains(html, "This wire") {
			t.Errorf("at %+v it does not show %q: %s", at, at.shows, html)
		}
	}
}

// In a large build the numbers of a wire come a moment after its card.
func TestNumbersOfALargeBuildFollow(t *testing.T) {
	l := newLoom(t)
	l.many(atOnce + 1)
	w := l.B().Wires.All()[0]
	l.open(w.ID, "")
	const awaited, there = "Working it out", "Volt drop"
	if html := l.html(); !strings.Contains(html, awaited) || strings.Contains(html, there) {
		t.Error("they do not come later")
	}
	p := &page{S: l.Session, At: l.page.At, Rev: l.Rev()}
	loop := app.NewClientTester(p)
	defer loop.Close()
	loop.Consume()
	if html := app.HTMLString(p); strings.Contains(html, awaited) || !strings.Contains(html, there) {
		t.Error("they do not come")
	}
}

func (l *loom) resize(id, size string) error {
	_, err := change(l.Session, []harness.Wire{l.now(id)}, func(w *harness.Wire) { w.Size = size })
	return err
}
