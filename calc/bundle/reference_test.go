package bundle

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// row is a packing with the best size known for it.
type row struct {
	kind, name, source string
	d                  []float64
	want               float64
	bound              bool // the best of a search of its own kind, which a better search may beat
}

// rows reads the reference packings. Where radii are given the radius is wanted, which is the same as diameters.
func rows(t testing.TB) (out []row) {
	t.Helper()
	f, err := os.Open("../../testdata/reference/circle_packing.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range lines[1:] {
		r := row{kind: line[0], name: line[1], source: line[7] + ": " + line[6], bound: line[5] == "computed upper bound"}
		n, err := strconv.Atoi(line[2])
		if err != nil {
			t.Fatal(err)
		}
		if r.want, err = strconv.ParseFloat(line[4], 64); err != nil {
			t.Fatal(err)
		}
		for i := range n {
			switch r.kind {
			case "equal":
				r.d = append(r.d, 1)
			case "unequal_ri=i":
				r.d = append(r.d, float64(i+1))
			case "unequal_ri=sqrt(i)":
				r.d = append(r.d, math.Sqrt(float64(i+1)))
			default:
				d, err := strconv.ParseFloat(strings.Fields(line[3])[i], 64)
				if err != nil {
					t.Fatal(err)
				}
				r.d = append(r.d, d)
			}
		}
		out = append(out, r)
	}
	if len(out) < 80 {
		t.Fatalf("%d reference packings, too few", len(out))
	}
	return out
}
