package tape

import (
	"slices"
	"testing"

	"loomwright/calc/unit"
)

// marked is a string from place "0" with marks of these texts at the places "1", "2" and so on.
func marked(zero string, texts ...string) String {
	s := String{From: "0", Zero: zero}
	for i, t := range texts {
		n := string(rune('1' + i))
		s = s.With(Mark{Places: []string{n}, Runs: []string{"r" + n}, Text: t})
	}
	return s
}

func TestRows(t *testing.T) {
	for _, row := range []struct {
		name  string
		s     String
		sys   unit.System
		since []float64 // mm; 0 is not read
		value []float64
	}{
		{"from nought", marked("", "410", "760", "1180"), unit.Metric, []float64{410, 350, 420}, []float64{410, 760, 1180}},
		{"from 100, to avoid the hook", marked("100", "510", "860"), unit.Metric, []float64{410, 350}, []float64{410, 760}},
		{"an explicit nought", marked("0", "10"), unit.Metric, []float64{10}, []float64{10}},
		{"one not read yet", marked("", "410", "", "1180"), unit.Metric, []float64{410, 0, 770}, []float64{410, 0, 1180}},
		{"one that is no length", marked("", "410", "7/0", "1180"), unit.Metric, []float64{410, 0, 770}, []float64{410, 0, 1180}},
		{"inches", marked("1", "14 1/2", "20"), unit.Imperial, []float64{342.9, 139.7}, []float64{342.9, 482.6}},
		{"a unit that is typed", marked("", "41 cm", "30 in"), unit.Metric, []float64{410, 352}, []float64{410, 762}},
	} {
		t.Run(row.name, func(t *testing.T) {
			for i, r := range row.s.Rows(row.sys) {
				if r.Since.MM() != row.since[i] || r.Value.MM() != row.value[i] || r.Read != (row.value[i] != 0) {
					t.Errorf("mark %d is %+v, want %v since the last and %v in all", i+1, r, row.since[i], row.value[i])
				}
				if bad := row.s.Marks[i].Text == "7/0"; bad != (r.Wrong != "") {
					t.Errorf("mark %d: %q is said to be wrong because %q", i+1, row.s.Marks[i].Text, r.Wrong)
				}
			}
		})
	}
}

func TestFalls(t *testing.T) {
	for _, row := range []struct {
		name string
		s    String
		want []Fall
	}{
		{"growing", marked("", "410", "760", "1180"), nil},
		{"two swapped", marked("", "760", "410", "1180"), []Fall{{0, 1, true}}},
		{"the last two", marked("", "410", "1180", "760"), []Fall{{1, 2, true}}},
		{"a digit missing", marked("", "410", "760", "118"), []Fall{{1, 2, false}}},
		{"a digit too many", marked("", "410", "7600", "1180", "1500"), []Fall{{1, 2, false}}},
		{"equal marks", marked("", "410", "410"), []Fall{{0, 1, false}}},
		{"below the beginning", marked("500", "410", "760"), []Fall{{Beginning, 0, false}}},
		{"nought", marked("", "0"), []Fall{{Beginning, 0, false}}},
		{"over one that is not read", marked("", "760", "", "410"), []Fall{{0, 2, true}}},
		{"two falls", marked("", "760", "410", "1500", "1180"), []Fall{{0, 1, true}, {2, 3, true}}},
	} {
		t.Run(row.name, func(t *testing.T) {
			got := row.s.Falls(unit.Metric)
			if !slices.Equal(got, row.want) {
				t.Fatalf("falls %v, want %v", got, row.want)
			}
			for _, f := range got {
				if !f.Swap {
					continue
				}
				if left := row.s.Swapped(f.Earlier, f.Later).Falls(unit.Metric); len(left) >= len(got) {
					t.Errorf("after the swap %v are left", left)
				}
			}
		})
	}
}

func TestPath(t *testing.T) {
	s := marked("", "410", "760")
	s = s.With(Mark{Places: []string{"x", "y"}, Runs: []string{"rx", "ry"}})
	places, runs := s.Path(2)
	if !slices.Equal(places, []string{"0", "1", "2", "x", "y"}) || !slices.Equal(runs, []string{"r1", "r2", "rx", "ry"}) {
		t.Errorf("the path is %v over %v", places, runs)
	}
	if s.End() != "y" || (String{From: "0"}).End() != "0" {
		t.Error("the string ends elsewhere")
	}
}

func TestEditsLeaveTheOldString(t *testing.T) {
	old := marked("", "410", "760")
	_ = old.Typed(0, "1")
	_ = old.Swapped(0, 1)
	_ = old.With(Mark{Places: []string{"9"}})
	if old.Marks[0].Text != "410" || len(old.Marks) != 2 {
		t.Errorf("the old string became %+v", old)
	}
}
