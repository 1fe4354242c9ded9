package cut

import (
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

func TestInsideAPanel(t *testing.T) {
	b := harness.NewBuild("b")
	put := func(kind harness.Kind, id string, record any) {
		t.Helper()
		harnesstest.Put(t, b, kind, id, record)
	}
	pitch := 50 * mm
	put(harness.KindPlace, "p", harness.Place{Kind: harness.Panel, Name: "Panel", Rows: 3, Columns: 4})
	for _, x := range []struct {
		id          string
		row, column int
	}{{"F1", 1, 1}, {"K1", 3, 4}, {"F2", 0, 0}} {
		put(harness.KindPart, x.id, harness.Part{Place: "p", Name: x.id, Row: x.row, Column: x.column})
		put(harness.KindTerminal, x.id+" out", harness.Terminal{Place: "p", Part: x.id})
		put(harness.KindTerminal, x.id+" in", harness.Terminal{Place: "p", Part: x.id})
	}
	length := func(from, to string) Result {
		return Length(b, route.New(b, survey.Adjust(b, nil)), harness.Wire{From: harness.End{Terminal: from}, To: harness.End{Terminal: to}})
	}
	ends := 2 * (DefaultStripCrimp + DefaultRework)
	for _, row := range []struct {
		name, from, to string
		pitch          *unit.Length
		want           unit.Length
		source         string
	}{
		{"two rows and three columns", "F1 out", "K1 in", nil, 5*DefaultPitch + ends, "derived: 5 positions of 40 mm, two bare ends"},
		{"the other way", "K1 in", "F1 out", nil, 5*DefaultPitch + ends, "the same wire"},
		{"with a pitch of its own", "F1 out", "K1 in", &pitch, 5*pitch + ends, "derived: 5 positions of 50 mm, two bare ends"},
		{"on one part", "K1 in", "K1 out", &pitch, pitch + ends, "derived: it bends out and in again"},
	} {
		t.Run(row.name, func(t *testing.T) {
			put(harness.KindPlace, "p", harness.Place{Kind: harness.Panel, Name: "Panel", Rows: 3, Columns: 4, Pitch: row.pitch})
			if r := length(row.from, row.to); !r.Known() || r.Exact != row.want || r.Sum < r.Exact {
				t.Errorf("%v, want %v: %+v", r.Exact, row.want, r.Terms)
			}
		})
	}
	if r := length("F1 out", "F2 in"); r.Known() || r.Sum != 0 || r.LooseWord() != "no position in the panel: F2" {
		t.Errorf("a part with no position: %+v", r)
	}
}
