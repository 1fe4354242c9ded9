package circuit

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"loomwright/calc/harness"
)

// small is a controller with three leads, two devices and a strip. The ids are the names.
type small struct {
	t *testing.T
	b *harness.Build
}

func newSmall(t *testing.T) *small {
	s := &small{t, harness.NewBuild("b")}
	s.put(Records{
		Places: []harness.Place{{Record: rec("ctl"), Name: "Controller", Kind: harness.Controller, Order: 1}, {Record: rec("split"), Name: "Split", Kind: harness.Split, Order: 2},
			{Record: rec("dev"), Name: "Dev", Kind: harness.Device, Order: 3}, {Record: rec("dev2"), Name: "Dev 2", Kind: harness.Device, Order: 4},
			{Record: rec("strip"), Name: "Strip", Kind: harness.TerminalStrip, Order: 5}},
		Terminals: []harness.Terminal{{Record: rec("c1"), Place: "ctl", Name: "1", Circuit: "net"}, {Record: rec("c2"), Place: "ctl", Name: "2"}, {Record: rec("c3"), Place: "ctl", Name: "3"},
			{Record: rec("d1"), Place: "dev", Name: "a", Circuit: "net"}, {Record: rec("d2"), Place: "dev2", Name: "a"},
			{Record: rec("s1"), Place: "strip", Name: "1"}, {Record: rec("s2"), Place: "strip", Name: "2"}},
		Leads: []harness.Lead{
			{Record: rec("l1"), Terminal: "c1", Legend: "OUT 1", Function: "valve", Signal: harness.SwitchedOut, Decision: harness.Use, Size: "0.5 mm2", Base: "red", Twist: "t"},
			{Record: rec("l2"), Terminal: "c2", Legend: "OUT 2", Signal: harness.SwitchedOut, Decision: harness.Keep},
			{Record: rec("l3"), Terminal: "c3", Legend: "SHLD", Signal: harness.ShieldDrain}},
		Circuits: []harness.Circuit{{Record: rec("net"), Name: "valve"}},
	})
	return s
}

func rec(id string) harness.Record { return harness.Record{ID: id} }

func (s *small) put(r Records) { s.t.Helper(); put(s.t, s.b, r) }

// wires accepts what is proposed and returns it.
func (s *small) accept() []Proposal {
	s.t.Helper()
	all := Wires(s.b, nil)
	accept(s.t, s.b, all)
	return all
}

func (s *small) circuit(terminal, circuit string) {
	s.t.Helper()
	t, _ := s.b.Terminals.Any(terminal)
	t.Circuit = circuit
	s.put(Records{Terminals: []harness.Terminal{t}})
}

// state returns all wires and joints, alive or gone, as text.
func (s *small) state() string {
	var all []string
	for _, w := range slices.Concat(s.b.Wires.All(), s.b.Wires.Gone()) {
		all = append(all, fmt.Sprintf("%s %v>%v gone=%v", w.Name, w.From.Terminal+w.From.Joint, w.To.Terminal+w.To.Joint, w.Gone))
	}
	slices.Sort(all)
	return strings.Join(all, "; ")
}

func TestTwoEndsAreOneWireOfTheLead(t *testing.T) {
	s := newSmall(t)
	s.accept()
	wires := s.b.Wires.All()
	if len(wires) != 2 { // and the kept lead
		t.Fatalf("%s", s.state())
	}
	w := wires[0]
	if w.Lead != "l1" || w.From.Terminal != "c1" || w.To.Terminal != "d1" || w.Size != "0.5 mm2" || w.Base != "red" || w.Twist != "t" || w.Name != "W1" || w.Circuit != "net" || w.Source == "" {
		t.Errorf("%+v", w)
	}
	if k := wires[1]; k.Lead != "l2" || k.To.Terminal != "s1" {
		t.Errorf("kept: %+v", k)
	}
	if again := s.accept(); len(again) > 0 {
		t.Errorf("proposed again: %+v", again)
	}
}

// A third end makes a joint: the first wire keeps its name and id, with its new end.
func TestThirdEndMakesAJoint(t *testing.T) {
	s := newSmall(t)
	s.accept()
	first := s.b.Wires.All()[0]
	s.circuit("d2", "net")
	all := s.accept()
	if len(all) != 1 || all[0].Kind != SharedWires || s.b.Joints.Len() != 1 || s.b.Joints.All()[0].Place != "split" {
		t.Fatalf("%+v", all)
	}
	now, _ := s.b.Wires.Get(first.ID)
	if now.Name != first.Name || now.To.Joint == "" || now.From != first.From {
		t.Errorf("first wire %+v", now)
	}
	n := NewNet(s.b)
	if !n.Joined("c1", "d1") || !n.Joined("c1", "d2") || s.b.Wires.Len() != 4 {
		t.Errorf("%s", s.state())
	}
	if again := s.accept(); len(again) > 0 {
		t.Errorf("proposed again: %+v", again)
	}
}

// What a person edited, cut or deleted is never proposed to be changed, whatever happens to the circuit.
func TestWhatAPersonChangedStays(t *testing.T) {
	change := map[string]func(*harness.Wire){
		"edited":  func(w *harness.Wire) { w.Edited, w.Base = true, "green" },
		"cut":     func(w *harness.Wire) { w.Cut = &harness.Done{Length: 5} },
		"trimmed": func(w *harness.Wire) { w.Trimmed = &harness.Done{Length: 5} },
		"deleted": func(w *harness.Wire) { w.Gone = true },
		"drawn":   func(w *harness.Wire) { w.Source = "" },
	}
	events := map[string]func(*small){
		"nothing":     func(*small) {},
		"a third end": func(s *small) { s.circuit("d2", "net") },
		"an end less": func(s *small) { s.circuit("d1", "") },
		"the circuit goes": func(s *small) {
			s.put(Records{Circuits: []harness.Circuit{{Record: harness.Record{ID: "net", Gone: true}}}})
		},
		"the lead is spare": func(s *small) {
			l, _ := s.b.Leads.Get("l1")
			l.Decision = harness.Keep
			s.put(Records{Leads: []harness.Lead{l}})
		},
	}
	for how, f := range change {
		for event, e := range events {
			t.Run(how+", "+event, func(t *testing.T) {
				s := newSmall(t)
				s.accept()
				w := s.b.Wires.All()[0]
				f(&w)
				s.put(Records{Wires: []harness.Wire{w}})
				e(s)
				for _, p := range Wires(s.b, nil) {
					for _, x := range p.Put.Wires {
						if x.ID == w.ID {
							t.Errorf("%s: %+v", p.What, x)
						}
						if x.From.Terminal == "c1" && how != "deleted" {
							t.Errorf("a second wire in a cavity that has one: %+v", x)
						}
					}
				}
			})
		}
	}
}

// A wire that nobody touched goes when its circuit does not ask for it any more.
func TestStaleWires(t *testing.T) {
	s := newSmall(t)
	s.accept()
	s.circuit("d1", "")
	all := Wires(s.b, nil)
	if len(all) != 1 || all[0].Kind != StaleWire || !all[0].Put.Wires[0].Gone {
		t.Fatalf("%+v", all)
	}
	accept(t, s.b, all)
	if again := Wires(s.b, nil); len(again) != 0 {
		t.Errorf("again: %+v", again)
	}
}

// A lead that is described anew describes the wire that was proposed of it, and not one that a person changed.
func TestRenewedLead(t *testing.T) {
	for _, edited := range []bool{false, true} {
		s := newSmall(t)
		s.accept()
		w := s.b.Wires.All()[0]
		w.Edited = edited
		l, _ := s.b.Leads.Get("l1")
		l.Size, l.Tracer = "1 mm2", "white"
		s.put(Records{Leads: []harness.Lead{l}, Wires: []harness.Wire{w}})
		all := s.accept()
		now, _ := s.b.Wires.Get(w.ID)
		if renewed := len(all) == 1 && all[0].Kind == RenewWire && now.Size == "1 mm2" && now.Tracer == "white"; renewed == edited {
			t.Errorf("edited %v: %+v", edited, all)
		}
		if again := s.accept(); len(again) > 0 {
			t.Errorf("again: %+v", again)
		}
	}
}

func TestStripIsPassed(t *testing.T) {
	s := newSmall(t)
	c, _ := s.b.Circuits.Get("net")
	c.Strip = "s1"
	s.put(Records{Circuits: []harness.Circuit{c}})
	s.accept()
	n := NewNet(s.b)
	if !n.Joined("c1", "s1") || !n.Joined("d1", "s1") || s.b.Joints.Len() != 0 {
		t.Errorf("%s", s.state())
	}
	for _, w := range s.b.Wires.All() {
		if w.Lead == "l2" && w.To.Terminal != "s2" {
			t.Errorf("the kept lead took a position that is passed: %+v", w)
		}
	}
}

func TestDrainIsGroundedAtOneEnd(t *testing.T) {
	s := newSmall(t)
	l1, _ := s.b.Leads.Get("l1")
	l3, _ := s.b.Leads.Get("l3")
	l1.Shield, l3.Shield = "cable", "cable"
	s.put(Records{Leads: []harness.Lead{l1, l3}})
	for _, p := range Wires(s.b, nil) {
		if p.Kind == ShieldWire {
			t.Errorf("nobody decided to use the drain: %+v", p)
		}
	}
	l3.Decision = harness.Use
	s.put(Records{Leads: []harness.Lead{l3}})
	all := s.accept()
	i := slices.IndexFunc(all, func(p Proposal) bool { return p.Kind == ShieldWire })
	if i < 0 || all[i].Put.Wires[0].To != (harness.End{Place: "dev"}) || all[i].Put.Wires[0].Shield != "cable" {
		t.Fatalf("%+v", all)
	}
	for _, f := range Judge(s.b, nil) {
		if f.Rule == ShieldTwice {
			t.Errorf("%s", f.What)
		}
	}
}

// A feed is joined part by part: battery fuse to relay, relay to load.
func TestFeedIsLinked(t *testing.T) {
	s := newSmall(t)
	c, _ := s.b.Circuits.Get("net")
	c.Feed = []string{"f1", "k1"}
	s.put(Records{
		Places:    []harness.Place{{Record: rec("panel"), Name: "Panel", Kind: harness.Panel, Order: 9}},
		Parts:     []harness.Part{{Record: rec("f1"), Place: "panel", Kind: harness.Fuse, Name: "F1"}, {Record: rec("k1"), Place: "panel", Kind: harness.Relay, Name: "K1"}},
		Terminals: []harness.Terminal{{Record: rec("f1o"), Place: "panel", Part: "f1", Name: "out"}, {Record: rec("k30"), Place: "panel", Part: "k1", Name: "30"}, {Record: rec("k87"), Place: "panel", Part: "k1", Name: "87"}},
		Circuits:  []harness.Circuit{c},
	})
	s.circuit("c1", "")
	s.accept()
	n := NewNet(s.b)
	if !n.Joined("f1o", "k30") || !n.Joined("k87", "d1") || n.Joined("k30", "k87") {
		t.Errorf("%s", s.state())
	}
	if again := Wires(s.b, nil); len(again) != 0 {
		t.Errorf("again: %+v", again)
	}
}

// Proposals are the same each time, byte for byte.
func TestProposalsAreDeterministic(t *testing.T) {
	b := started(t, Starters[2])
	text := func() (all []byte) {
		for _, p := range Wires(b, nil) {
			all = fmt.Appendf(all, "%+v\n", p)
		}
		return all
	}
	first := text()
	for range 5 {
		if !bytes.Equal(text(), first) {
			t.Fatal("another answer")
		}
	}
}

// A lead that is vital is never proposed for removal.
func TestVitalIsNeverRemovable(t *testing.T) {
	s := newSmall(t)
	var leads []harness.Lead
	var terminals []harness.Terminal
	for i, signal := range append([]harness.Signal{harness.NoSignal}, harness.Signals...) {
		id := fmt.Sprint("x", i)
		terminals = append(terminals, harness.Terminal{Record: rec("t" + id), Place: "ctl", Name: id})
		leads = append(leads, harness.Lead{Record: rec(id), Terminal: "t" + id, Signal: signal})
	}
	s.put(Records{Terminals: terminals, Leads: leads})
	pins := NewNet(s.b).Removable()
	for _, p := range pins {
		if p.Lead.Signal.Vital() || p.Lead.Signal == harness.NoSignal {
			t.Errorf("%q may be removed", p.Lead.Signal)
		}
	}
	if len(pins) != len(harness.Signals)-4 {
		t.Errorf("%d may be removed", len(pins))
	}
}

func BenchmarkWires200(b *testing.B) {
	build := harness.NewBuild("b")
	for i := range 5 { // 5 × 40 pins
		r := Starters[1].Records(func(kind harness.Kind, name string) string { return harness.ProposedID(kind, fmt.Sprint(i), name) })
		put(b, build, r)
	}
	if n := build.Leads.Len(); n < 190 {
		b.Fatalf("%d leads", n)
	}
	b.ReportMetric(float64(build.Leads.Len()), "pins")
	for b.Loop() {
		if len(Wires(build, nil)) == 0 {
			b.Fatal("nothing is proposed")
		}
	}
}

func BenchmarkJudge200(b *testing.B) {
	build := harness.NewBuild("b")
	for i := range 5 {
		put(b, build, Starters[1].Records(func(kind harness.Kind, name string) string { return harness.ProposedID(kind, fmt.Sprint(i), name) }))
	}
	accept(b, build, Wires(build, nil))
	for b.Loop() {
		Judge(build, nil)
	}
}
