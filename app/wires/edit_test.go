package wires

import (
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/tag"
)

func TestCreateMakesWireAndTagsInOneEdit(t *testing.T) {
	l := newLoom(t)
	before := l.edits()
	first, second := l.between("Controller", "Coolant"), l.between("Controller", "Knock")
	if n := l.edits() - before; n != 2 {
		t.Errorf("two wires took %d edits", n)
	}
	if first.Name != "W1" || second.Name != "W2" || second.Order <= first.Order {
		t.Errorf("names %q, %q, orders %g, %g", first.Name, second.Name, first.Order, second.Order)
	}
	codes := map[string]bool{}
	for _, g := range l.B().Tags.All() {
		if err := tag.Check(g.Code); err != nil || codes[g.Code] || g.On != harness.KindWire {
			t.Errorf("tag %+v: %v", g, err)
		}
		codes[g.Code] = true
	}
	if len(codes) != 4 {
		t.Errorf("%d tags, want two for each wire", len(codes))
	}
	if ends := untagged(l.B(), first.ID); len(ends) != 0 {
		t.Errorf("ends %q have no tag", ends)
	}
	l.Undo(l.Ctx)
	if l.B().Wires.Len() != 1 || l.B().Tags.Len() != 2 {
		t.Errorf("after one undo %d wires and %d tags", l.B().Wires.Len(), l.B().Tags.Len())
	}
	if w := l.between("Controller", "Fan"); w.Name != "W3" {
		t.Errorf("the name %q came back", w.Name)
	}
}

func TestAlike(t *testing.T) {
	l := newLoom(t)
	joint := put(l, harness.KindJoint, harness.Joint{Name: "S1", Place: l.id["Split 1"]})
	pin := put(l, harness.KindTerminal, harness.Terminal{Place: l.id["Controller"], Name: "14"})
	lead := put(l, harness.KindLead, harness.Lead{Size: "0.5 mm2", Base: "yellow", Tracer: "green", Length: millimetres(2000)})
	w := l.wire(harness.Wire{Function: "Injector 1", From: harness.End{Place: l.id["Controller"], Terminal: pin},
		To: harness.End{Joint: joint}, Lead: lead, Via: []string{l.id["Split 1"]}, Cut: &harness.Done{Length: 1}})
	got := alike(l.B(), w)
	if got.Function != "Injector 1" || got.Size != "0.5 mm2" || got.Base != "yellow" || got.Tracer != "green" || len(got.Via) != 1 {
		t.Errorf("not alike: %+v", got)
	}
	if got.Lead != "" || got.From.Terminal != "" || got.From.Place != l.id["Controller"] || got.To.Joint != joint || got.Cut != nil {
		t.Errorf("what one wire only can have was copied: %+v", got)
	}
}

func TestRenameRefusesWhatIsTaken(t *testing.T) {
	l := newLoom(t)
	a, b := l.between("Controller", "Coolant"), l.between("Controller", "Knock")
	gone := l.between("Controller", "Fan")
	l.do(remove(l.Session, []harness.Wire{gone}))
	for _, row := range []struct{ name, text, want string }{
		{"same", "W1", "W1 is a wire with no function yet. Nothing was changed. W4 is free."},
		{"case and space", "w 1", "W1 is"},
		{"deleted", "W3", "W3 was, until it was deleted,"},
		{"empty", "  ", "needs a name"},
	} {
		before := l.edits()
		refused, err := rename(l.Session, b, row.text)
		if err != nil || !strings.Contains(refused, row.want) || l.edits() != before {
			t.Errorf("%s: %q, %v", row.name, refused, err)
		}
	}
	if refused, err := rename(l.Session, a, "  Fan   feed "); refused != "" || err != nil || l.now(a.ID).Name != "Fan feed" {
		t.Errorf("%q, %v, named %q", refused, err, l.now(a.ID).Name)
	}
	if refused, _ := rename(l.Session, b, "W2"); refused != "" {
		t.Errorf("its own name was refused: %q", refused)
	}
}

func TestChangeManyIsOneEdit(t *testing.T) {
	l := newLoom(t)
	var all []harness.Wire
	for range 12 {
		all = append(all, l.between("Controller", "Coolant"))
	}
	before := l.edits()
	n, err := change(l.Session, all, func(w *harness.Wire) { w.Size = "0.5 mm2" })
	if n != 12 || err != nil || l.edits() != before+1 {
		t.Fatalf("%d changed, %v, %d edits", n, err, l.edits()-before)
	}
	n, err = change(l.Session, l.B().Wires.All(), func(w *harness.Wire) { w.Size = "0.5 mm2" })
	if n != 0 || err != nil || l.edits() != before+1 {
		t.Errorf("nothing to change: %d, %v, %d edits", n, err, l.edits()-before)
	}
	l.do(remove(l.Session, l.B().Wires.All()))
	if l.B().Wires.Len() != 0 {
		t.Error("not deleted")
	}
	l.Undo(l.Ctx)
	if l.B().Wires.Len() != 12 || l.now(all[3].ID).Size != "0.5 mm2" {
		t.Error("one undo does not bring all back")
	}
}

func TestLeadMovesWithItsEnd(t *testing.T) {
	l := newLoom(t)
	to, made := newTerminal(l.Session, l.id["Controller"], "A", "14")
	w := l.between("Controller", "Coolant")
	l.do(setEnd(l.Session, w, harness.FromEnd, to, made))
	l.do(makeLead(l.Session, l.now(w.ID), ""))
	lead, ok := l.B().Leads.Get(l.now(w.ID).Lead)
	if !ok || lead.Terminal != to.Terminal {
		t.Fatalf("lead %+v is not in the cavity of %+v", lead, l.now(w.ID))
	}
	other, made := newTerminal(l.Session, l.id["Controller"], "A", "15")
	before := l.edits()
	l.do(setEnd(l.Session, l.now(w.ID), harness.FromEnd, other, made))
	if lead, _ = l.B().Leads.Get(lead.ID); lead.Terminal != other.Terminal || l.edits() != before+1 {
		t.Errorf("the lead stayed in %q, %d edits", lead.Terminal, l.edits()-before)
	}
	if term, _ := l.B().Terminals.Get(other.Terminal); term.Order != 2 {
		t.Errorf("the second terminal has the order %g", term.Order)
	}
}

func TestSpareLeads(t *testing.T) {
	l := newLoom(t)
	pin := put(l, harness.KindTerminal, harness.Terminal{Place: l.id["Controller"], Name: "14"})
	used := put(l, harness.KindLead, harness.Lead{Legend: "used", Order: 1})
	far := put(l, harness.KindLead, harness.Lead{Legend: "far", Order: 2})
	here := put(l, harness.KindLead, harness.Lead{Legend: "here", Order: 3, Terminal: pin})
	l.wire(harness.Wire{Lead: used})
	w := l.wire(harness.Wire{From: harness.End{Place: l.id["Controller"], Terminal: pin}})
	got := spareLeads(l.B(), w)
	if len(got) != 2 || got[0].ID != here || got[1].ID != far {
		t.Errorf("%+v, want the one in its cavity first, the used one never", got)
	}
	l.do(makeLead(l.Session, w, here))
	l.do(swapLead(l.Session, l.now(w.ID), far))
	moved, _ := l.B().Leads.Get(far)
	out, _ := l.B().Leads.Get(here)
	if l.now(w.ID).Lead != far || moved.Terminal != pin || out.Terminal != "" {
		t.Errorf("wire %+v, moved %+v, out %+v", l.now(w.ID), moved, out)
	}
}

func TestNoLeadKeepsWhatTheLeadSaid(t *testing.T) {
	l := newLoom(t)
	lead := put(l, harness.KindLead, harness.Lead{Size: "0.75 mm2", Base: "red"})
	w := l.wire(harness.Wire{Lead: lead})
	l.do(noLead(l.Session, w))
	if w = l.now(w.ID); w.Lead != "" || w.Size != "0.75 mm2" || w.Base != "red" {
		t.Errorf("%+v", w)
	}
}

func TestSplitTerminal(t *testing.T) {
	for _, row := range []struct{ text, connector, name string }{
		{"14", "", "14"}, {"A 14", "A", "14"}, {"A:14", "A", "14"}, {" 87a ", "", "87a"}, {"", "", ""}, {"A  signal out", "A", "signal out"},
	} {
		if c, n := splitTerminal(row.text); c != row.connector || n != row.name {
			t.Errorf("%q: %q, %q", row.text, c, n)
		}
	}
}

func TestTerminalNamedFindsWhatLooksTheSame(t *testing.T) {
	l := newLoom(t)
	id := put(l, harness.KindTerminal, harness.Terminal{Place: l.id["Controller"], Connector: "A", Name: "10"})
	if got, ok := terminalNamed(l.B(), l.id["Controller"], "a", "1O"); !ok || got.ID != id {
		t.Errorf("%+v, %v", got, ok)
	}
	if _, ok := terminalNamed(l.B(), l.id["Fan"], "A", "10"); ok {
		t.Error("a terminal of another place")
	}
}

func TestNextJoint(t *testing.T) {
	l := newLoom(t)
	to, made := newJoint(l.Session, l.id["Split 1"], nextJoint(l.B(), ""))
	l.do(l.Do(made))
	if j, _ := l.B().Joints.Get(to.Joint); j.Name != "S1" || j.Place != l.id["Split 1"] {
		t.Errorf("%+v", j)
	}
	for typed, want := range map[string]string{"": "S2", "s 1": "S2", " Coil   feed": "Coil feed"} {
		if got := nextJoint(l.B(), typed); got != want {
			t.Errorf("%q: %q, want %q", typed, got, want)
		}
	}
}

func TestAProposedWireIsMarkedWhenAPersonChangesIt(t *testing.T) {
	l := newLoom(t)
	drawn, proposed := l.between("Controller", "Coolant"), l.wire(harness.Wire{Source: "circuit x"})
	for _, w := range []harness.Wire{drawn, proposed} {
		if _, err := change(l.Session, []harness.Wire{w}, func(*harness.Wire) {}); err != nil || l.now(w.ID).Edited {
			t.Fatalf("%s: nothing was changed, %v", w.Name, err)
		}
		if _, err := change(l.Session, []harness.Wire{w}, func(w *harness.Wire) { w.Size = "1.5 mm2" }); err != nil {
			t.Fatal(err)
		}
	}
	if l.now(drawn.ID).Edited || !l.now(proposed.ID).Edited {
		t.Error("only what was proposed is marked")
	}
	other := l.wire(harness.Wire{Source: "circuit y"})
	l.do(setEnd(l.Session, other, harness.ToEnd, harness.End{Place: l.id["Knock"]}))
	if !l.now(other.ID).Edited {
		t.Error("another end is a change")
	}
}
