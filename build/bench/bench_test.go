package bench

import "testing"

func TestMiddleAndPercentile(t *testing.T) {
	twenty := make([]float64, 20)
	for i := range twenty {
		twenty[i] = float64(20 - i) // 1 to 20, backwards
	}
	for _, tc := range []struct {
		name      string
		got, want float64
		source    string
	}{
		{"median of an odd number", median([]float64{9, 1, 5}), 5, "the middle one"},
		{"median of an even number", median([]float64{4, 1, 3, 2}), 2.5, "the mean of the middle two"},
		{"95 % of twenty", percentile(twenty, 0.95), 19, "nearest rank: ceil(0.95 × 20) = 19"},
		{"95 % of one", percentile([]float64{7}, 0.95), 7, "nearest rank"},
	} {
		if tc.got != tc.want {
			t.Errorf("%s = %g, want %g (%s)", tc.name, tc.got, tc.want, tc.source)
		}
	}
}

func TestManyWires(t *testing.T) {
	log, err := wires(manyWires)
	if err != nil {
		t.Fatal(err)
	}
	if n := log.State().Wires.Len(); n != manyWires {
		t.Errorf("%d wires, want %d", n, manyWires)
	}
}

func TestManyPins(t *testing.T) {
	log, err := pins(manyPins)
	if err != nil {
		t.Fatal(err)
	}
	undecided := 0
	for _, l := range log.State().Leads.All() {
		if l.Decision == "" {
			undecided++
		}
	}
	if n := log.State().Leads.Len(); n != manyPins || undecided < manyPins/2 {
		t.Errorf("%d leads, %d undecided, want %d", n, undecided, manyPins)
	}
}
