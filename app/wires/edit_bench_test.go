package wires

import (
	"testing"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// demo is a kept build with 150 wires.
const demo = "../../testdata/builds/roadster.build"

// BenchmarkEdit is what one edit of a wire costs until all that its card shows is new: its size changed, and changed back.
func BenchmarkEdit(b *testing.B) {
	s := sessiontest.Start(b, nil)
	s.File(demo)
	id := named(b, s, "W6")
	s.Looked().Wire(id)
	sizes := []string{"1.0 mm2", "0.75 mm2"}
	n := 0
	edit := func() {
		w, _ := s.B().Wires.Get(id)
		if _, err := change(s.Session, []harness.Wire{w}, func(w *harness.Wire) { w.Size = sizes[n%2] }); err != nil {
			b.Fatal(err)
		}
		n++
	}
	b.Run("edit", func(b *testing.B) {
		for b.Loop() {
			edit()
		}
	})
	b.Run("graph", func(b *testing.B) {
		for b.Loop() {
			edit()
			s.Graph()
		}
	})
	b.Run("cut", func(b *testing.B) {
		for b.Loop() {
			edit()
			w, _ := s.B().Wires.Get(id)
			s.Cut(w)
		}
	})
	b.Run("numbers", func(b *testing.B) {
		for b.Loop() {
			edit()
			s.Looked().Wire(id)
		}
	})
	// As thick as no wire before: its bundles are packed anew.
	b.Run("packed", func(b *testing.B) {
		for b.Loop() {
			w, _ := s.B().Wires.Get(id)
			n++
			thick := unit.Millimetre + unit.Length(n)*unit.Millimetre/1000
			if _, err := change(s.Session, []harness.Wire{w}, func(w *harness.Wire) { w.Outside = &thick }); err != nil {
				b.Fatal(err)
			}
			s.Looked().Wire(id)
		}
	})
	b.Run("drawn", func(b *testing.B) {
		p := &page{S: s.Session, At: kit.Addr{Build: s.ID(), Page: pageName, Record: id}}
		p.Render()
		for b.Loop() {
			edit()
			p.Rev = s.Rev()
			p.follow()
			p.over(p.part())
		}
	})
}

func named(t testing.TB, s *sessiontest.Bench, name string) string {
	t.Helper()
	for _, w := range s.B().Wires.All() {
		if w.Name == name {
			return w.ID
		}
	}
	t.Fatalf("no wire %s", name)
	return ""
}
