package unit

import (
	"errors"
	"testing"
)

func TestFigureCheck(t *testing.T) {
	term := Term{Name: "current", Value: 3, Unit: "A", Source: "common practice"}
	whole := Figure{What: "Volt drop", Value: "0.4 V", Source: "Ohm's law", Terms: []Term{term}}
	if err := whole.Check(); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		bad  func(f *Figure)
	}{
		{"not said what it is", func(f *Figure) { f.What = "" }},
		{"no value", func(f *Figure) { f.Value = "" }},
		{"no source", func(f *Figure) { f.Source = "" }},
		{"no terms", func(f *Figure) { f.Terms = nil }},
		{"a term without a name", func(f *Figure) { f.Terms = []Term{{Value: 1, Source: "x"}} }},
		{"a term that comes from nowhere", func(f *Figure) { f.Terms = []Term{{Name: "current", Value: 1}} }},
	} {
		f := whole
		c.bad(&f)
		if err := f.Check(); !errors.Is(err, ErrUnexplained) {
			t.Errorf("%s: %v, want ErrUnexplained", c.name, err)
		}
	}
}
