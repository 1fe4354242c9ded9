package sheet

import (
	"strings"
	"testing"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/table"
)

// planned is a planned engine with the wires that its plan asks for, one pin removed without its neighbours, and one kept.
func planned(t *testing.T) *harness.Build {
	t.Helper()
	b := harness.NewBuild("planned")
	put(t, b, harness.KindSettings, "planned", harness.Settings{Title: "Planned engine", Volts: 12})
	into := func(r circuit.Records) {
		if err := r.Into(b); err != nil {
			t.Fatal(err)
		}
	}
	into(circuit.Starters[0].Records(func(kind harness.Kind, name string) string { return string(kind) + " " + name }))
	for _, p := range circuit.Wires(b, nil) {
		into(p.Put)
	}
	for i, l := range b.Leads.All() {
		switch i {
		case 0:
			l.Acted = &harness.Acted{Decision: l.Decision, At: "2026-05-12T10:00:00Z"}
		case 6:
			l.Decision, l.Legend = harness.Remove, l.Function
		case 7:
			l.Decision, l.Function, l.Legend = harness.Keep, "later", "printed"
		}
		put(t, b, harness.KindLead, l.ID, l)
	}
	return b
}

func TestGoldenPlan(t *testing.T) {
	b := planned(t)
	for _, kind := range []string{"pins", "removal", "circuits", "panel", "stock", "shopping"} {
		compare(t, "planned-"+kind+".csv", written(t, kind, CSV, b, Options{Date: "2026-05-14"}))
	}
}

func TestPinListKeepsBothNames(t *testing.T) {
	list, err := Pins(planned(t), Options{})
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, row := range list.Rows() {
		if row[1].Text == "later" {
			found = row[2].Text == "printed" && row[3].Text == "keep"
		}
	}
	if !found {
		t.Error("what is printed on a lead with another function is lost")
	}
	if note := strings.Join(list.Notes, " "); !strings.Contains(note, "5 kept, 1 removed") || !strings.Contains(note, "1 done") {
		t.Errorf("notes %q", note)
	}
}

// The pin list that is written is read back: it goes to a spreadsheet and comes home.
func TestPinListComesBack(t *testing.T) {
	b := planned(t)
	for _, semicolon := range []bool{false, true} {
		r, err := table.Read(written(t, "pins", CSV, b, Options{Semicolon: semicolon, BOM: true}), table.Options{})
		if err != nil {
			t.Fatal(err)
		}
		pins := r.Pins()
		if len(pins) != b.Leads.Len() || r.Count(table.Bad) != 0 {
			t.Fatalf("%d pins of %d, %d bad rows, columns %+v", len(pins), b.Leads.Len(), r.Count(table.Bad), r.Columns)
		}
		for i, l := range circuit.NewNet(b).Pins() {
			p := pins[i]
			if p.Function != l.Lead.Does() || p.Signal != l.Lead.Signal || p.Size.String() != l.Lead.Size || p.Colour.Base != l.Lead.Base {
				t.Errorf("%s: %+v came back as %+v", l.Cavity, l.Lead, p)
			}
		}
	}
}
