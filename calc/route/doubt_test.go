package route

import (
	"strconv"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/harness/harnesstest"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// measured returns what is known of a chain of runs with these lengths in millimetres.
func measured(t *testing.T, mm ...int) *survey.Lengths {
	t.Helper()
	b := harness.NewBuild("b")
	put := func(kind harness.Kind, id string, record any) {
		t.Helper()
		harnesstest.Put(t, b, kind, id, record)
	}
	for i, l := range mm {
		from, to, run := "p"+strconv.Itoa(i), "p"+strconv.Itoa(i+1), "r"+strconv.Itoa(i)
		put(harness.KindPlace, from, harness.Place{})
		put(harness.KindPlace, to, harness.Place{})
		put(harness.KindRun, run, harness.Run{A: from, B: to})
		put(harness.KindReading, "m"+strconv.Itoa(i), harness.Reading{
			Places: []string{from, to}, Runs: []string{run}, Value: unit.Length(l) * unit.Millimetre,
		})
	}
	return survey.Adjust(b, nil)
}

func TestDoubtful(t *testing.T) {
	usual := []int{300, 180, 420, 350, 150} // the middle one is 300
	for _, row := range []struct {
		name  string
		known []int
		mm    int
		want  Doubt
	}{
		{"an ordinary run", usual, 412, ""},
		{"a short one", usual, 75, ""},
		{"a long one", usual, 1920, ""},
		{"over three metres", usual, 3001, TooLong},
		{"three metres", usual, 3000, TenTimes},
		{"over three metres as the first run", nil, 3001, TooLong},
		{"one sign too many", usual, 2700, TenTimes},
		{"one sign too few", usual, 30, Tenth},
		{"inches keyed in as millimetres", usual, 12, OtherUnit},
		{"millimetres keyed in as inches", usual, 7620, OtherUnit},
		{"too few runs to know what is usual", []int{300, 310}, 30, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, _ := Doubtful(unit.Length(row.mm)*unit.Millimetre, measured(t, row.known...))
			if got != row.want {
				t.Errorf("%d mm: %q, want %q", row.mm, got, row.want)
			}
		})
	}
	if _, median := Doubtful(unit.Millimetre, measured(t, usual...)); median != 300*unit.Millimetre {
		t.Errorf("the usual run is %v, want 300 mm", median)
	}
}

func TestDoubtfulOver(t *testing.T) {
	known := measured(t, 300, 180, 420, 350, 150)
	for _, row := range []struct {
		name string
		runs []string
		mm   int
		want Doubt
	}{
		{"a check", []string{"r0", "r1", "r2"}, 905, ""},
		{"a check with a sign too many", []string{"r0", "r1", "r2"}, 9050, TenTimes},
		{"a check with a sign too few", []string{"r0", "r1", "r2"}, 90, Tenth},
		{"a check in the other unit", []string{"r0", "r1", "r2"}, 36, OtherUnit},
		{"a run again", []string{"r0"}, 302, ""},
		{"a run again in the other unit", []string{"r0"}, 12, OtherUnit},
		{"a run that is not measured", []string{"new"}, 2700, TenTimes},
		{"a way that is not measured", []string{"r0", "new"}, 7900, ""},
		{"a way that is not measured, over 8 m", []string{"r0", "new"}, 8100, TooLong},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got, _ := DoubtfulOver(unit.Length(row.mm)*unit.Millimetre, row.runs, known); got != row.want {
				t.Errorf("%d mm over %v: %q, want %q", row.mm, row.runs, got, row.want)
			}
		})
	}
}
