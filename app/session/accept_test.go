package session_test

import (
	"testing"

	"loomwright/app/session/sessiontest"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

func TestAcceptIsOneEditWithTags(t *testing.T) {
	b := sessiontest.Start(t, nil)
	b.New("accept")
	before := b.Log().Len()
	place := b.B().Places.All()[0]
	place.Name = "Box"
	w := harness.Wire{Record: harness.Record{ID: "11111111-0000-4000-8000-000000000001"}, Name: "W1", Source: "x"}
	again := place
	again.Note = "moved"
	if err := b.Accept(circuit.Records{Places: []harness.Place{place}, Wires: []harness.Wire{w}}, circuit.Records{Places: []harness.Place{again}}); err != nil {
		t.Fatal(err)
	}
	if n := b.Log().Len() - before; n != 1 || b.B().Tags.Len() != 2 || b.B().Places.All()[0].Note != "moved" {
		t.Fatalf("%d edits, %d tags, %+v", n, b.B().Tags.Len(), b.B().Places.All()[0])
	}
	w.Size = "0.5 mm2"
	if err := b.Accept(circuit.Records{Wires: []harness.Wire{w}}); err != nil || b.B().Tags.Len() != 2 {
		t.Errorf("%v, %d tags after the wire changed", err, b.B().Tags.Len())
	}
	if err := b.Accept(); err != nil || b.Log().Len() != before+2 {
		t.Errorf("accepting nothing: %v, %d edits", err, b.Log().Len()-before)
	}
	b.Undo(b.Ctx)
	b.Undo(b.Ctx)
	if b.B().Wires.Len() != 0 || b.B().Tags.Len() != 0 {
		t.Error("undo left something")
	}
}
