package tag

import (
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
)

func coolant(t *testing.T) *harness.Build {
	b := harness.NewBuild("b")
	harnesstest.Put(t, b, harness.KindPlace, "ecu", harness.Place{Name: "Controller", Kind: harness.Controller})
	harnesstest.Put(t, b, harness.KindPlace, "clt", harness.Place{Name: "Coolant", Kind: harness.Device})
	harnesstest.Put(t, b, harness.KindPlace, "gnd", harness.Place{Name: "Head", Kind: harness.Ground})
	harnesstest.Put(t, b, harness.KindTerminal, "a14", harness.Terminal{Place: "ecu", Connector: "A", Name: "14"})
	harnesstest.Put(t, b, harness.KindTerminal, "1", harness.Terminal{Place: "clt", Name: "1"})
	harnesstest.Put(t, b, harness.KindJoint, "s3", harness.Joint{Name: "S3", Place: "clt"})
	harnesstest.Put(t, b, harness.KindLead, "l", harness.Lead{Size: "0.5", Base: "yellow", Tracer: "green"})
	harnesstest.Put(t, b, harness.KindWire, "w", harness.Wire{Name: "W27", Function: "Coolant temperature", From: harness.End{Terminal: "a14"}, To: harness.End{Place: "clt", Terminal: "1"}, Lead: "l"})
	harnesstest.Put(t, b, harness.KindWire, "x", harness.Wire{Name: "W28", From: harness.End{Joint: "s3"}, Size: "18 AWG", Base: "red"})
	harnesstest.Put(t, b, harness.KindRun, "r", harness.Run{A: "ecu", B: "clt"})
	return b
}

func TestDescribe(t *testing.T) {
	b := coolant(t)
	for _, c := range []struct {
		name string
		tag  harness.Tag
		want Label
	}{
		{"this end first", harness.Tag{On: harness.KindWire, Subject: "w", End: harness.FromEnd},
			Label{Wire: true, Name: "W27", Function: "Coolant temperature", This: "Controller · A14", Far: "Coolant · 1", Size: "0.5 mm2", Colour: "YE/GN"}},
		{"the other end", harness.Tag{On: harness.KindWire, Subject: "w", End: harness.ToEnd},
			Label{Wire: true, Name: "W27", Function: "Coolant temperature", This: "Coolant · 1", Far: "Controller · A14", Size: "0.5 mm2", Colour: "YE/GN"}},
		{"a joint, and an end that is not chosen", harness.Tag{On: harness.KindWire, Subject: "x", End: harness.FromEnd},
			Label{Wire: true, Name: "W28", This: "joint S3", Size: "18 AWG", Colour: "RD"}},
		{"a place", harness.Tag{On: harness.KindPlace, Subject: "clt"}, Label{Name: "Coolant", Function: "device", This: "Coolant"}},
		{"a run", harness.Tag{On: harness.KindRun, Subject: "r"}, Label{Name: "Controller to Coolant", Function: "run", This: "Controller", Far: "Coolant"}},
	} {
		c.want.Tag = c.tag
		if got, ok := Describe(b, c.tag); !ok || got != c.want {
			t.Errorf("%s: %+v, %v; want %+v", c.name, got, ok, c.want)
		}
	}
	if _, ok := Describe(b, harness.Tag{On: harness.KindWire, Subject: "never"}); ok {
		t.Error("a tag on nothing is described")
	}
	w, _ := b.Wires.Get("w")
	w.Gone = true
	harnesstest.Put(t, b, harness.KindWire, "w", w)
	if got, ok := Describe(b, harness.Tag{On: harness.KindWire, Subject: "w"}); !ok || !got.Deleted || got.Name != "W27" {
		t.Errorf("a deleted wire: %+v, %v", got, ok)
	}
}

func TestMissing(t *testing.T) {
	b := coolant(t)
	if n := len(Missing(b)); n != 6 {
		t.Errorf("%d tags are missing, want two for each of two wires, and controller and device: %+v", n, Missing(b))
	}
	harnesstest.Put(t, b, harness.KindTag, "t1", harness.Tag{Code: "7K3F9Q2M", On: harness.KindWire, Subject: "w", End: harness.ToEnd})
	harnesstest.Put(t, b, harness.KindTag, "t2", harness.Tag{Code: "22222222", On: harness.KindPlace, Subject: "ecu", Retired: true})
	missing := Missing(b)
	if len(missing) != 5 || missing[0] != (harness.Tag{On: harness.KindWire, Subject: "w", End: harness.FromEnd}) {
		t.Errorf("missing %+v; a retired tag does not count", missing)
	}
}
