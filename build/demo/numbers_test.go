package demo

import (
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/rules"
	"loomwright/calc/survey"
)

// Every number of every wire of the demo can be followed, and what is bad in a wire's card is a finding too.
func TestWireNumbers(t *testing.T) {
	b := build(t, 0).State()
	g := route.New(b, survey.Adjust(b, nil))
	l := rules.Look(b, g, rules.Options{})
	found := map[string]bool{}
	for _, x := range l.Findings() {
		for _, r := range append([]harness.Ref{x.Subject}, x.Also...) {
			found[x.Rule+r.ID] = true
		}
	}
	known := map[string]int{}
	for _, w := range b.Wires.All() {
		for _, n := range l.Wire(w.ID) {
			if err := n.Figure.Check(); err != nil {
				t.Errorf("%s %s: %v", w.Name, n.Key, err)
			}
			if n.Figure.Value == "unknown" && n.Figure.Note == "" {
				t.Errorf("%s %s: unknown, and nothing says why", w.Name, n.Key)
			}
			if !strings.HasPrefix(n.Figure.Value, "unknown") {
				known[n.Key]++
			}
			if n.Key == "carries" && n.Bad && !found[rules.Overload+w.ID] && !found[rules.TooHot+w.ID] {
				t.Errorf("%s carries too much, and no finding says so", w.Name)
			}
		}
	}
	for _, key := range []string{"ohm", "load", "carries", "warm", "drop", "fuse", "fault", "size"} {
		if known[key] < 10 {
			t.Errorf("%s is known of %d wires only", key, known[key])
		}
	}
	if l.Wire("nothing") != nil {
		t.Error("numbers of a wire that is not there")
	}
}
