package kit

import (
	"slices"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/session/sessiontest"
	"loomwright/calc/sketch"
)

// tapped opens the kept roadster and returns a sketch of it that notes what it is asked for.
func tapped(t *testing.T, act string) (b *sessiontest.Bench, s *Sketch, got *[]string) {
	t.Helper()
	b = sessiontest.Start(t, nil)
	b.File("../../testdata/builds/roadster.build")
	got = &[]string{}
	s = &Sketch{S: b.Session, Class: "short", Act: act, OnPlace: func(_ app.Context, place string) {
		*got = append(*got, place)
	}}
	return b, s, got
}

func TestATapTakesTheNearestPlace(t *testing.T) {
	b, s, got := tapped(t, "")
	for _, n := range s.picture().drawing.Nodes[:20] {
		*got = nil
		s.tap(b.Ctx, n.X+3, n.Y-2)
		if !slices.Equal(*got, []string{n.Place}) || s.named != n.Place {
			t.Errorf("a tap beside %s gave %v, named %s", PlaceName(b.B(), n.Place), *got, s.named)
		}
	}
}

func TestATapNamesBeforeItActs(t *testing.T) {
	b, s, got := tapped(t, "Stand here")
	n := s.picture().drawing.Nodes[7]
	s.tap(b.Ctx, n.X, n.Y)
	if len(*got) != 0 || s.named != n.Place {
		t.Fatalf("the first tap did %v and named %q", *got, s.named)
	}
	s.tap(b.Ctx, n.X, n.Y)
	if !slices.Equal(*got, []string{n.Place}) || s.named != "" {
		t.Errorf("the second tap did %v, named %q", *got, s.named)
	}
}

func TestATapOnARun(t *testing.T) {
	b, s, got := tapped(t, "")
	run := ""
	s.OnRun = func(_ app.Context, id string) { run = id }
	// The longest run has room for a finger away from every place.
	var longest sketch.Edge
	for _, e := range s.picture().drawing.Edges {
		if !e.Extra && (len(longest.Points) == 0 || tall(e) > tall(longest)) {
			longest = e
		}
	}
	a, z := longest.Points[0], longest.Points[len(longest.Points)-1]
	s.tap(b.Ctx, z.X+2, (a.Y+z.Y)/2)
	if run != longest.Run || len(*got) != 0 {
		t.Errorf("a tap on a run took %q and the places %v, want %q", run, *got, longest.Run)
	}
}

func tall(e sketch.Edge) float64 {
	d := e.Points[len(e.Points)-1].Y - e.Points[0].Y
	return max(d, -d)
}

func TestAnOldPictureStaysUntilTheTapIsPainted(t *testing.T) {
	b, s, _ := tapped(t, "")
	before := s.picture()
	b.Split("Later")
	if s.picture() != before {
		t.Error("the new picture was made within the tap")
	}
	s.fresh = b.Rev()
	if len(s.picture().Dots) != len(before.Dots)+1 {
		t.Error("the new place is not drawn afterwards")
	}
}
