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
	harnesstest.Put(t, b, harness.KindRun, "r", harness.Run{A: "ecu", B: "clt", Loom: "main"})
	harnesstest.Put(t, b, harness.KindRun, "bare", harness.Run{A: "clt", B: "gnd"})
	harnesstest.Put(t, b, harness.KindLoom, "main", harness.Loom{Name: "main"})
	harnesstest.Put(t, b, harness.KindConnector, "plug-a", harness.Connector{Place: "ecu", Name: "A", Rows: 2, Columns: 17})
	harnesstest.Put(t, b, harness.KindConnector, "plug-b", harness.Connector{Place: "ecu", Name: "B"})
	harnesstest.Put(t, b, harness.KindConnector, "only", harness.Connector{Place: "clt"})
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
			Label{Kind: OnWire, Wire: true, Name: "W27", Function: "Coolant temperature", This: "Controller · A14", Far: "Coolant · 1", Size: "0.5 mm2", Colour: "YE/GN"}},
		{"the other end", harness.Tag{On: harness.KindWire, Subject: "w", End: harness.ToEnd},
			Label{Kind: OnWire, Wire: true, Name: "W27", Function: "Coolant temperature", This: "Coolant · 1", Far: "Controller · A14", Size: "0.5 mm2", Colour: "YE/GN"}},
		{"a joint, and an end that is not chosen", harness.Tag{On: harness.KindWire, Subject: "x", End: harness.FromEnd},
			Label{Kind: OnWire, Wire: true, Name: "W28", This: "joint S3", Size: "18 AWG", Colour: "RD"}},
		{"a place", harness.Tag{On: harness.KindPlace, Subject: "clt"}, Label{Kind: OnConnector, Name: "Coolant", Function: "device", This: "Coolant", Ways: 1}},
		{"a connector of several, its cavities not all wired", harness.Tag{On: harness.KindConnector, Subject: "plug-a"},
			Label{Kind: OnConnector, Name: "Controller A", Function: "connector", This: "Controller", Plug: "A", Ways: 34}},
		{"a place names its connectors", harness.Tag{On: harness.KindPlace, Subject: "ecu"},
			Label{Kind: OnConnector, Name: "Controller", Function: "controller", This: "Controller", Plug: "A", Ways: 1}},
		{"a place that is no connector", harness.Tag{On: harness.KindPlace, Subject: "gnd"}, Label{Kind: OnPlace, Name: "Head", Function: "ground", This: "Head"}},
		{"a run", harness.Tag{On: harness.KindRun, Subject: "r"}, Label{Kind: OnBundle, Loom: "main", Name: "Controller to Coolant", Function: "run", This: "Controller", Far: "Coolant"}},
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

// A run that carries wires and each connector of a place with several may have a tag; the one connector of a place has that of
// its place.
func TestOffered(t *testing.T) {
	b := coolant(t)
	carries := func(run string) bool { return run == "r" }
	bundles, connectors := Offered(b, carries)
	if len(bundles) != 1 || bundles[0] != (harness.Tag{On: harness.KindRun, Subject: "r"}) {
		t.Errorf("bundles %+v", bundles)
	}
	if len(connectors) != 2 || connectors[0] != (harness.Tag{On: harness.KindConnector, Subject: "plug-a"}) {
		t.Errorf("connectors %+v", connectors)
	}
	harnesstest.Put(t, b, harness.KindTag, "t1", harness.Tag{Code: "7K3F9Q2M", On: harness.KindRun, Subject: "r"})
	harnesstest.Put(t, b, harness.KindTag, "t2", harness.Tag{Code: "22222222", On: harness.KindConnector, Subject: "plug-b", Retired: true})
	if bundles, connectors = Offered(b, carries); len(bundles) != 0 || len(connectors) != 2 {
		t.Errorf("with a tag on the run and a retired one on a connector: %+v, %+v", bundles, connectors)
	}
}

// A tag is printed again when its words change; those of places keep the word that they had before they told their ways.
func TestStamp(t *testing.T) {
	b := coolant(t)
	stamp := func(on harness.Kind, subject string) string {
		l, _ := Describe(b, harness.Tag{On: on, Subject: subject})
		return l.Stamp()
	}
	place, plug, run := stamp(harness.KindPlace, "ecu"), stamp(harness.KindConnector, "plug-b"), stamp(harness.KindRun, "r")
	harnesstest.Put(t, b, harness.KindTerminal, "b1", harness.Terminal{Place: "ecu", Connector: "B", Name: "1"})
	harnesstest.Put(t, b, harness.KindLoom, "main", harness.Loom{Name: "engine"})
	if stamp(harness.KindPlace, "ecu") != place || stamp(harness.KindConnector, "plug-b") == plug || stamp(harness.KindRun, "r") == run {
		t.Error("a cavity more and another name of the loom: the place must keep its stamp, the connector and the run not")
	}
}
