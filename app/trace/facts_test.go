package trace

import (
	"testing"
)

func TestFactsOfEveryWireOfTheDemo(t *testing.T) {
	b, _ := phone(t)
	for _, rec := range b.B().Tags.All() {
		w, ok := b.B().Wires.Get(rec.Subject)
		if !ok {
			continue
		}
		labels := map[string]bool{}
		for _, f := range wireFacts(b.Session, w, rec) {
			if f.text == "" || labels[f.label] {
				t.Errorf("%s: %q is %q", w.Name, f.label, f.text)
			}
			labels[f.label] = true
		}
		for _, want := range []string{"Colour", "Loom", "This tag", "Far tag", "Last changed"} {
			if !labels[want] {
				t.Errorf("%s: nothing is said of %s", w.Name, want)
			}
		}
		if !labels["Length"] && !labels["Cut length"] {
			t.Errorf("%s: nothing is said of its length", w.Name)
		}
	}
}
