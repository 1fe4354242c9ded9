package wire

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

func TestOutsideDiameter(t *testing.T) {
	f, err := os.Open("../../testdata/reference/wire_diameter.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	known := 0
	for _, row := range rows[1:] {
		size, meaning := row[0]+" "+row[1], row[3]
		want, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		within := 1e-9
		if meaning != "largest" && meaning != "usual" {
			within = 0.1 // conductor and walls are nominal
		}
		got, source, ok := OutsideDiameter(size)
		if !ok || source == "" || math.Abs(got.MM()-want) > within+1e-9 {
			t.Errorf("OutsideDiameter(%q) = %v mm, %q, %v; want %v (%s, %s)", size, got.MM(), source, ok, want, meaning, row[4])
		}
		if meaning == "largest" || meaning == "usual" {
			known++
		}
	}
	if want := len(metric) + len(gauge); known != want {
		t.Errorf("%d sizes are checked, the tables have %d", known, want)
	}
}

func TestOutsideDiameterUnknown(t *testing.T) {
	for _, size := range []string{"", "0.6 mm2", "19 AWG", "thick", "0", "-1", "2", "NaN mm2"} {
		if d, source, ok := OutsideDiameter(size); ok || d != 0 || source != "" {
			t.Errorf("OutsideDiameter(%q) = %v, %q, true; want not known", size, d, source)
		}
	}
	if _, _, ok := OutsideDiameter("0,75 mm²"); !ok {
		t.Error("a size with a decimal comma is not found")
	}
}

func TestThickerSizesAreThicker(t *testing.T) {
	last := 0.0
	for _, size := range []string{"0.13", "0.22", "0.35", "0.5", "0.75", "1.0", "1.25", "1.5", "2.0", "2.5", "3.0", "4.0", "5.0", "6.0", "8.0", "10.0", "12.0", "16.0", "20.0", "25.0"} {
		d, _, ok := OutsideDiameter(size + " mm2")
		if !ok || d.MM() <= last {
			t.Errorf("%s mm2 is %v mm, the size below it %v", size, d.MM(), last)
		}
		last = d.MM()
	}
}
