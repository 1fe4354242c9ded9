package circuit

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"
)

// reference returns the ranges of testdata/reference/sensors_actuators.csv by item and quantity.
func reference(t *testing.T) map[string]Range {
	t.Helper()
	f, err := os.Open("../../testdata/reference/sensors_actuators.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	ranges := map[string]Range{}
	for _, row := range rows[1:] {
		low, high, two := strings.Cut(row[2], "-")
		if !two {
			high = low
		}
		a, errA := strconv.ParseFloat(low, 64)
		b, errB := strconv.ParseFloat(high, 64)
		if errA == nil && errB == nil {
			ranges[row[0]+"|"+row[1]] = Range{a, b}
		}
	}
	if len(ranges) < 15 {
		t.Fatalf("%d ranges read", len(ranges))
	}
	return ranges
}
