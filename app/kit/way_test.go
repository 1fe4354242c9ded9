package kit

import (
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

func wayBuild(t *testing.T) *harness.Build {
	t.Helper()
	b := harness.NewBuild("b")
	for _, r := range []struct {
		kind     harness.Kind
		id, json string
	}{
		{harness.KindPlace, "p1", `{"name":"Controller"}`},
		{harness.KindPlace, "p2", `{"name":"Grommet"}`},
		{harness.KindPlace, "p3", `{"name":"Knock"}`},
		{harness.KindPlace, "p4", `{"name":"Fan","gone":true}`},
		{harness.KindLoom, "l1", `{"name":"Cabin"}`},
		{harness.KindRun, "r1", `{"a":"p1","b":"p2"}`},
		{harness.KindRun, "r2", `{"a":"p2","b":"p3"}`},
	} {
		if _, err := b.Put(r.kind, r.id, []byte(r.json)); err != nil {
			t.Fatal(err)
		}
	}
	return b
}

func TestNoWay(t *testing.T) {
	b := wayBuild(t)
	for _, row := range []struct {
		name string
		err  route.NoPath
		want string
	}{
		{"no end", route.NoPath{Trouble: route.NoEnd, End: harness.ToEnd}, "It is not chosen yet where this wire ends."},
		{"lost end", route.NoPath{Trouble: route.LostEnd, End: harness.FromEnd, Place: "p4"}, "This wire starts at Fan (deleted)."},
		{"lost joint", route.NoPath{Trouble: route.LostEnd, End: harness.ToEnd}, "What this wire ends at was deleted."},
		{"lost via", route.NoPath{Trouble: route.LostVia, Place: "p4"}, "It must pass through Fan (deleted)."},
		{"no runs", route.NoPath{Trouble: route.NoRuns, Place: "p3"}, "No run leads to Knock yet."},
		{"island", route.NoPath{Trouble: route.OtherIsland, Place: "p3", Places: []string{"p1", "p2", "p3", "p4"}}, "No run joins Controller, Grommet, Knock and 1 more to the rest of the route."},
		{"loom", route.NoPath{Trouble: route.OtherLoom, Place: "p3", Looms: []string{"l1", ""}}, "The way to Knock leads through Cabin and no loom, which this wire may not use."},
	} {
		if got := NoWay(b, &row.err); got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}

func TestNotMeasured(t *testing.T) {
	b := wayBuild(t)
	for _, row := range []struct {
		known survey.Known
		want  string
	}{
		{survey.Known{Why: survey.NoReading}, "not measured yet"},
		{survey.Known{Why: survey.Together, With: []string{"r1", "r2"}}, "measured only together with Controller to Grommet and Grommet to Knock"},
		{survey.Known{Why: survey.Contradicted}, "its readings contradict each other: read it once more"},
		{survey.Known{Why: survey.NoRun}, "this run is not here any more"},
	} {
		if got := NotMeasured(b, row.known); got != row.want {
			t.Errorf("%q, want %q", got, row.want)
		}
	}
}

func TestNumber(t *testing.T) {
	for _, row := range []struct {
		length unit.Length
		sys    unit.System
		want   string
	}{
		{1845 * unit.Millimetre, unit.Metric, "1 845"},
		{45 * unit.Millimetre / 10, unit.Metric, "4.5"},
		{0, unit.Metric, "0"},
		{29 * unit.Inch / 2, unit.Imperial, "14 1/2"},
	} {
		if got := Number(row.length, row.sys); got != row.want {
			t.Errorf("%q, want %q", got, row.want)
		}
	}
}

func TestSizeWord(t *testing.T) {
	for size, want := range map[string]string{"0.75 mm2": "0.75 mm²", "18 AWG": "18 AWG", "": "", "thick": "thick"} {
		got := SizeWord(size)
		back, err := unit.ParseSize(got)
		if got != want || err == nil && back.String() != size {
			t.Errorf("%q, want %q; read back as %q", got, want, back)
		}
	}
}
