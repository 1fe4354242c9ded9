package cut

import (
	"fmt"
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/unit"
)

// shop is the bay with three added wires of two sizes, one without a way, and two leads.
func shop(t *testing.T) *harness.Build {
	b := bay(t)
	harnesstest.Put(t, b, harness.KindTerminal, "a1", harness.Terminal{Place: "ecu", Connector: "A", Name: "1"})
	harnesstest.Put(t, b, harness.KindLead, "lead", harness.Lead{Size: "0.5", Base: "yellow", Tracer: "green", Length: length(2300), Terminal: "a1"})
	for i, w := range []harness.Wire{
		{Name: "W1", From: harness.End{Place: "coolant"}, To: harness.End{Place: "ecu"}, Size: "1.5", Base: "red"},
		{Name: "W2", From: harness.End{Place: "ecu"}, To: harness.End{Place: "ground"}, Size: "0.5", Base: "black"},
		{Name: "W3", From: harness.End{Joint: "j"}, To: harness.End{Place: "ground"}, Size: "0.5 mm2", Base: "black",
			Cut: &harness.Done{Length: *length(900)}},
		{Name: "W4", From: harness.End{Place: "ecu"}, To: harness.End{Place: "knock"}, Size: "0.5", Base: "white"},
		{Name: "W5", From: harness.End{Place: "ecu", Terminal: "a1"}, To: harness.End{Place: "coolant"}, Lead: "lead"},
		{Name: "W6", From: harness.End{Place: "ecu"}, To: harness.End{Place: "ground"}, Lead: "unmeasured"},
		{Name: "W7", From: harness.End{Place: "ecu"}, Size: "0.5", Base: "white"},
		{Name: "W8", From: harness.End{Place: "ecu"}, To: harness.End{Place: "panel"}, Lead: "sold"},
	} {
		w.Order = float64(i)
		harnesstest.Put(t, b, harness.KindWire, strings.ToLower(w.Name), w)
	}
	return b
}

func groups(all []Batch) string {
	var out []string
	for _, g := range all {
		s := fmt.Sprintf("%s/%s/%s %s %s:", g.Place, g.Branch, g.Size, g.Base, g.Tracer)
		for _, i := range g.Items {
			s += " " + i.Wire.Name
		}
		out = append(out, s)
	}
	return strings.Join(out, "\n")
}

func TestCutList(t *testing.T) {
	b := shop(t)
	tests := []struct {
		by   By
		want string
	}{
		{BySize, "//0.5 mm2 black : W2 W3\n//1.5 mm2 red : W1"},
		{ByBranch, "s4//  : W2 W1 W3"}, // W1 is entered from the sensor, and laid from the controller
		{ByPlace, "coolant/s4/  : W1\nground/s4/  : W2 W3"},
	}
	for _, tt := range tests {
		got, open := CutList(b, graph(b), tt.by, nil)
		if groups(got) != tt.want {
			t.Errorf("by %s:\n%s\nwant\n%s", tt.by, groups(got), tt.want)
		}
		if len(open) != 3 || open[0].Wire.Name != "W4" || open[1].Wire.Name != "W7" || open[2].Wire.Name != "W8" {
			t.Errorf("by %s: open %+v", tt.by, open)
		}
	}
	got, _ := CutList(b, graph(b), BySize, nil)
	black := got[0]
	if black.Total != black.Items[0].Result.Sum+black.Items[1].Result.Sum || black.Left != black.Items[0].Result.Sum {
		t.Errorf("total %s, left %s", black.Total, black.Left)
	}
	// Cut at 900, and the joint to the ground needs 935: see TestLength.
	if c := black.Items[1].Change; c.Short != *length(35) || black.Items[1].Done() == nil {
		t.Errorf("change %+v", c)
	}
}

func TestTrimList(t *testing.T) {
	b := shop(t)
	got := TrimList(b, graph(b), ByPlace, nil)
	if want := "coolant/s4/  : W5\nground/s4/  : W6"; groups(got) != want {
		t.Fatalf("got\n%s\nwant\n%s", groups(got), want)
	}
	w5 := got[0].Items[0]
	if w5.Size != "0.5 mm2" || w5.Base != "yellow" || w5.Tracer != "green" || w5.Done() != nil {
		t.Errorf("%+v is not of its lead", w5)
	}
	if got := TrimList(harness.NewBuild("b"), graph(harness.NewBuild("b")), ByPlace, nil); got != nil {
		t.Errorf("an empty build has %v", got)
	}
}

func TestTrim(t *testing.T) {
	// The wire to the coolant sensor needs 1908.6 mm without a tail: see TestLead.
	tests := []struct {
		name     string
		supplied *unit.Length
		sys      unit.System
		want     unit.Length
	}{
		{"up to a centimetre", length(2300), unit.Metric, *length(1910)},
		{"up to an inch: 75.142 in", length(2300), unit.Imperial, 76 * unit.Inch},
		{"no more than there is", length(1900), unit.Metric, *length(1900)},
		{"not measured: what it needs", nil, unit.Metric, *length(1910)},
		{"truly short", length(1683), unit.Metric, 0},
	}
	for _, tt := range tests {
		b := bay(t)
		harnesstest.Put(t, b, harness.KindLead, "lead", harness.Lead{Length: tt.supplied})
		w := wire("ecu", "coolant")
		w.Lead = "lead"
		got, ok := Lead(b, graph(b), w).Trim(tt.sys)
		if got != tt.want || ok != (tt.want > 0) {
			t.Errorf("%s: %s, %v, want %s", tt.name, got, ok, tt.want)
		}
	}
}
