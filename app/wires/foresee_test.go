package wires

import (
	"slices"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/session/sessiontest"
)

func TestOthers(t *testing.T) {
	all := []string{"0.35 mm2", "0.5 mm2", "0.75 mm2", "1.0 mm2"}
	if got, want := others("0.5", all), []string{"0.75 mm2", "1.0 mm2", "0.35 mm2"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := others("", all), all[1:]; !slices.Equal(got, want) {
		t.Errorf("of no size %q, want %q", got, want)
	}
}

// Whoever looks at the sizes of a wire finds the bundles of each packed.
func TestSizesAreForeseen(t *testing.T) {
	s := sessiontest.Start(t, nil)
	s.File(demo)
	w, _ := s.B().Wires.Get(named(t, s, "W6"))
	left := func() (n int) {
		for _, w.Size = range []string{"0.35 mm2", "1.0 mm2", "4.0 mm2"} {
			if s.Foresee(w) {
				n++
			}
		}
		return n
	}
	if left() != 3 {
		t.Fatal("they are packed already")
	}
	p := &page{S: s.Session, Rev: s.Rev()}
	p.At = p.list().With(w.ID).In(partSize)
	p.At.Build = s.ID()
	loop := app.NewClientTester(p)
	defer loop.Close()
	loop.Consume()
	if n := left(); n > 0 {
		t.Errorf("of %d sizes some are not", n)
	}
}
