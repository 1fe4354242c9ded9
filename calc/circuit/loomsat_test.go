package circuit

import (
	"testing"

	"loomwright/calc/harness"
)

// Supplied leads leave a loom at a panel, new wires join it there, and what stays inside is neither.
func TestLoomsAt(t *testing.T) {
	s := rail(t)
	s.put(Records{Looms: []harness.Loom{{Record: rec("main"), Name: "Main"}}})
	r, _ := s.b.Runs.Get("fuse-s1")
	r.Loom = "main"
	record(t, s.b, harness.KindRun, r.ID, r)
	end := func(place string) harness.End { return harness.End{Place: place} }
	s.put(Records{
		Places: []harness.Place{{Record: rec("island"), Kind: harness.Device}},
		Wires: []harness.Wire{{Record: rec("lead"), Lead: "l", From: end("d1"), To: end("fuse")}, {Record: rec("new"), From: end("fuse"), To: end("d3")},
			{Record: rec("inside"), From: end("fuse"), To: end("fuse")}, {Record: rec("past"), From: end("d1"), To: end("d2")},
			{Record: rec("lost"), From: end("fuse"), To: end("island")}}})
	all, lost := NewNet(s.b).LoomsAt(s.graph(), "fuse")
	if len(all) != 1 || all[0].Loom != "main" || len(all[0].Leads) != 1 || all[0].Leads[0].ID != "lead" || len(all[0].Added) != 1 || all[0].Added[0].ID != "new" {
		t.Errorf("%+v", all)
	}
	if len(lost) != 1 || lost[0].ID != "lost" {
		t.Errorf("no way: %+v", lost)
	}
}
