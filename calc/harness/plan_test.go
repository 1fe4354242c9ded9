package harness

import (
	"reflect"
	"testing"
)

func TestLeadDoneIsNotDecided(t *testing.T) {
	for _, row := range []struct {
		name        string
		lead        Lead
		done, there bool
	}{
		{"fresh", Lead{}, false, true},
		{"decided", Lead{Decision: Remove}, false, true},
		{"decided and done", Lead{Decision: Remove, Acted: &Acted{Decision: Remove}}, true, false},
		{"decided anew since it was done", Lead{Decision: Use, Acted: &Acted{Decision: Remove}}, false, false},
		{"in use and joined", Lead{Decision: Use, Acted: &Acted{Decision: Use}}, true, true},
		{"done, then undecided", Lead{Acted: &Acted{}}, false, true},
		{"never there", Lead{Decision: NeverFitted}, false, false},
		{"plugged", Lead{Decision: Empty, Acted: &Acted{Decision: Empty}}, true, false},
	} {
		if row.lead.Done() != row.done || row.lead.There() != row.there {
			t.Errorf("%s: done %v, there %v", row.name, row.lead.Done(), row.lead.There())
		}
	}
}

func TestVital(t *testing.T) {
	vital := 0
	for _, s := range Signals {
		if s.Vital() {
			vital++
		}
	}
	if vital != 4 || NoSignal.Vital() || Reference5V.Vital() {
		t.Errorf("%d signals are vital", vital)
	}
}

// The kinds of planning are read, checked and kept like the others.
func TestPlanKinds(t *testing.T) {
	b := NewBuild("b1")
	for _, row := range []struct {
		kind   Kind
		object string
		n      func() int
	}{
		{KindConnector, `{"place":"p","name":"A","rows":2,"columns":17,"face":"wire side"}`, b.Connectors.Len},
		{KindPart, `{"place":"p","kind":"fuse","name":"F1","rating":10}`, b.Parts.Len},
		{KindTap, `{"place":"p","run":"live","crank":"dead"}`, b.Taps.Len},
		{KindCircuit, `{"name":"injector feed","feed":["f1"],"amps":4,"bitrate":500000,"resistors":["p"]}`, b.Circuits.Len},
		{KindDismissal, `{"rule":"fuse","on":"wire","subject":"w1","reason":"measured","stamp":"0a"}`, b.Dismissals.Len},
		{KindStock, `{"size":"0.5 mm2","base":"red","length":2500000000,"count":3}`, b.Stocks.Len},
		{KindTick, `{"step":"pull l1","what":"A14","at":"2026-05-12T10:00:00Z","who":"B"}`, b.Ticks.Len},
		{KindSample, `{"terminal":"2.8 mm blade","size":"0.5 mm2","tool":"hand","newtons":71.5,"limit":60}`, b.Samples.Len},
		{KindResult, `{"test":"t1","outcome":"fail","turn":2,"value":1.4,"unit":"ohm","high":1,"celsius":18,"leads":0.2,"who":"B"}`, b.Results.Len},
		{KindExpect, `{"place":"p","plus":"t1","minus":"t2","unit":"ohm","celsius":20,"low":2100,"high":2900}`, b.Expects.Len},
		{KindCaliper, `{"size":"0.5 mm2","wall":"TXL","outside":1520000}`, b.Calipers.Len},
		{KindCoverSize, `{"kind":"braid","name":"10 mm","inside":18000000,"least":6000000,"mass":9.5}`, b.CoverSizes.Len},
	} {
		if err := CheckFields(row.kind, []byte(row.object)); err != nil {
			t.Error(err)
		}
		if known, err := b.Put(row.kind, "x", []byte(row.object)); !known || err != nil || row.n() != 1 {
			t.Errorf("%s: %v, %v, %d", row.kind, known, err, row.n())
		}
	}
}

// TestApply holds that the records of a fix are put, and that a kind that is not known is told.
func TestApply(t *testing.T) {
	b := NewBuild("b1")
	fix := []Put{{Ref{KindWire, "w1"}, Wire{Name: "W1", Size: "1.0 mm2"}}, {Ref{KindPart, "f1"}, Part{Name: "F1"}}}
	if err := b.Apply(fix); err != nil {
		t.Fatal(err)
	}
	if w, _ := b.Wires.Get("w1"); w.Size != "1.0 mm2" || b.Parts.Len() != 1 {
		t.Errorf("%+v, %d parts", w, b.Parts.Len())
	}
	if err := b.Apply([]Put{{Ref{"nothing", "x"}, Wire{}}}); err == nil {
		t.Error("a kind that is not known is put")
	}
}

func TestProposedIDNeverChanges(t *testing.T) {
	if got := ProposedID(KindWire, "a", "b"); got != "b322a947-d414-5a9b-8701-a2820ccb4df6" {
		t.Errorf("%s: tags that are printed would not be found", got)
	}
}

func TestCloneIsApart(t *testing.T) {
	b := NewBuild("b1")
	read := func(b *Build, id, object string) {
		if _, err := b.Put(KindRun, id, []byte(object)); err != nil {
			t.Error(err)
		}
	}
	read(b, "r1", `{"a":"x"}`)
	b.PutLate(KindRun, "r2", func() { read(b, "r2", `{"a":"old","gone":true}`) })
	c := b.Clone()
	read(c, "r1", `{"a":"y"}`)
	read(c, "r3", `{"a":"z"}`)
	if r, _ := b.Runs.Get("r1"); r.A != "x" || b.Runs.Len() != 1 {
		t.Errorf("the original changed: %+v, %d runs", r, b.Runs.Len())
	}
	if r, _ := c.Runs.Get("r1"); r.A != "y" || c.Runs.Len() != 2 {
		t.Errorf("the copy did not: %+v, %d runs", r, c.Runs.Len())
	}
	if r, ok := c.Runs.Any("r2"); !ok || r.A != "old" || c.Settings.ID != "b1" {
		t.Errorf("deleted in the copy: %+v, %v", r, ok)
	}
}

// Every kind is in the copy.
func TestCloneHasEveryKind(t *testing.T) {
	b := NewBuild("b1")
	put := []Kind{KindPlace, KindRun, KindReading, KindLoom, KindTerminal, KindLead, KindWire, KindJoint, KindTag, KindConnector, KindPart, KindTap, KindCircuit,
		KindDismissal, KindStock, KindTick, KindSample, KindResult, KindExpect, KindCaliper, KindCoverSize, KindHunt, KindPhoto, KindAmendment}
	for _, kind := range put {
		for id, object := range map[string]string{"x": `{"note":"n"}`, "y": `{"gone":true}`} {
			if known, err := b.Put(kind, id, []byte(object)); !known || err != nil {
				t.Fatal(kind, known, err)
			}
		}
	}
	c := reflect.ValueOf(b.Clone()).Elem()
	tables := 0
	for i := range c.NumField() {
		all := c.Field(i).Addr().MethodByName("All")
		if !all.IsValid() {
			continue
		}
		tables++
		if all.Call(nil)[0].Len() != 1 || c.Field(i).Addr().MethodByName("Gone").Call(nil)[0].Len() != 1 {
			t.Errorf("%s is not in the copy", c.Type().Field(i).Name)
		}
	}
	if tables != len(put) {
		t.Errorf("%d tables, %d kinds were put", tables, len(put))
	}
}
