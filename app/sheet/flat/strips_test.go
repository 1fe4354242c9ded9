package flat

import (
	"math"
	"testing"

	"loomwright/app/sheet"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
)

// The cells of a strip are as far apart as the holders, each arranged part stands on one, and nothing leaves the page.
func TestStripsKeepThePitch(t *testing.T) {
	b := demo(t)
	pages := Strips(b, sheet.Options{}, 210, 297)
	if len(pages) == 0 {
		t.Fatal("no strip")
	}
	named := map[string]int{}
	for _, d := range pages {
		for _, x := range d.Texts {
			named[x.Text]++
		}
		for _, l := range d.Lines {
			for _, p := range l.Points {
				if p.X < 0 || p.X > d.Width || p.Y < 0 || p.Y > d.Height {
					t.Errorf("%v is off the page", p)
				}
			}
		}
	}
	arranged := 0
	for _, p := range b.Parts.All() {
		if place, ok := b.Places.Get(p.Place); ok && p.Row > 0 && p.Column > 0 {
			arranged++
			if named[p.Name] == 0 {
				t.Errorf("%s is on no strip", p.Name)
			}
			pitch, _ := cut.Pitch(place)
			if first := pages[0].Lines[0].Points; place.Kind == harness.Panel && arranged == 1 && math.Abs(first[1].X-first[0].X-pitch.MM()) > 1e-9 {
				t.Errorf("a cell is %.2f mm wide, want %.2f", first[1].X-first[0].X, pitch.MM())
			}
		}
	}
	if arranged < 20 {
		t.Errorf("%d parts are arranged", arranged)
	}
	if got := fitted("a rather long label of a fuse", 20, 10); got >= 5 {
		t.Errorf("a long label is set in %.1f points", got)
	}
}
