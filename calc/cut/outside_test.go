package cut

import (
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/unit"
	conductor "loomwright/calc/wire"
)

func TestOutside(t *testing.T) {
	own, measured, none := 17*unit.Millimetre/10, 15*unit.Millimetre/10, unit.Length(0)
	for _, x := range []struct {
		name    string
		caliper *harness.Caliper
		wire    harness.Wire
		want    unit.Length
		source  string
	}{
		{"by the table", nil, harness.Wire{Size: "0.5"}, 16 * unit.Millimetre / 10, conductor.SourceMetric},
		{"its size was measured", &harness.Caliper{Size: "0.5 mm2", Outside: &measured}, harness.Wire{Size: "0.5"}, measured, conductor.SourceCaliper},
		{"another size was measured", &harness.Caliper{Size: "0.75 mm2", Outside: &measured}, harness.Wire{Size: "0.5"}, 16 * unit.Millimetre / 10, conductor.SourceMetric},
		{"the wire itself was measured", &harness.Caliper{Size: "0.5 mm2", Outside: &measured}, harness.Wire{Size: "0.5", Outside: &own}, own, conductor.SourceCaliper},
		{"measured, with no size", nil, harness.Wire{Outside: &own}, own, conductor.SourceCaliper},
		{"a wall", &harness.Caliper{Size: "20 AWG", Wall: "GXL"}, harness.Wire{Size: "20 AWG"}, 213 * unit.Millimetre / 100, conductor.SourceNominal},
		{"a measurement of nothing", &harness.Caliper{Size: "0.5 mm2", Outside: &none}, harness.Wire{Size: "0.5"}, 16 * unit.Millimetre / 10, conductor.SourceMetric},
		{"no size", nil, harness.Wire{}, 0, ""},
	} {
		b := harness.NewBuild("b")
		if x.caliper != nil {
			harnesstest.Put(t, b, harness.KindCaliper, "c", *x.caliper)
		}
		d, source, ok := Outside(b, x.wire)
		if d != x.want || source != x.source || ok != (x.want > 0) {
			t.Errorf("%s: %v %q %v", x.name, d, source, ok)
		}
	}
}
