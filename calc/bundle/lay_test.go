package bundle

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strconv"
	"testing"
)

func lay(t *testing.T, parts []Part) Bundle {
	t.Helper()
	b, err := Lay(parts, NewShelf(Quick).Pack)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestLayGroups(t *testing.T) {
	pair := []Part{{ID: "a", Diameter: 2}, {ID: "b", Diameter: 2}}
	for _, c := range []struct {
		name, source string
		parts        []Part
		want         float64
		unknown      []string
	}{
		{"a twisted pair", "two side by side", []Part{{ID: "t", Parts: pair}}, 4, nil},
		{"a pair in a sleeve", "two and two walls", []Part{{ID: "s", Wall: 0.5, Parts: pair}}, 5, nil},
		{"a pair in a sleeve beside a wire", "5 and 3 side by side", []Part{{ID: "s", Wall: 0.5, Parts: pair}, {ID: "c", Diameter: 3}}, 8, nil},
		{"a sleeve in a sleeve", "5, two walls, and 3 beside it, two walls", []Part{{ID: "o", Wall: 0.25, Parts: []Part{
			{ID: "i", Wall: 0.5, Parts: []Part{{ID: "s", Wall: 0.5, Parts: pair}}}, {ID: "c", Diameter: 3}}}}, 9.5, nil},
		{"an unknown wire", "the others", []Part{{ID: "s", Wall: 0.5, Parts: pair}, {ID: "c"}, {ID: "d", Diameter: -1}}, 5, []string{"c", "d"}},
		{"an unknown group", "nothing", []Part{{ID: "s", Wall: 0.5, Parts: []Part{{ID: "c"}}}}, 0, []string{"c"}},
		{"nothing", "nothing", nil, 0, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := lay(t, c.parts)
			if math.Abs(b.Diameter-c.want) > 1e-9 || !reflect.DeepEqual(b.Unknown, c.unknown) {
				t.Errorf("got %v without %v, want %v by %s, without %v", b.Diameter, b.Unknown, c.want, c.source, c.unknown)
			}
			if b.Known() != (c.unknown == nil && c.want > 0) {
				t.Errorf("known: %v", b.Known())
			}
			within(t, b)
		})
	}
}

// within fails on a circle that leaves the bundle or its group, or overlaps another of the same depth.
func within(t *testing.T, b Bundle) {
	t.Helper()
	for i, c := range b.Circles {
		if out := math.Hypot(c.At.X, c.At.Y) + c.Diameter/2 - b.Diameter/2; out > 1e-8 {
			t.Errorf("%s is %g outside", c.ID, out)
		}
		for _, d := range b.Circles[:i] {
			gap := math.Hypot(c.At.X-d.At.X, c.At.Y-d.At.Y)
			inside := d.Group && d.Depth < c.Depth && gap+c.Diameter/2 <= d.Diameter/2-d.Wall+1e-8
			if !inside && gap < (c.Diameter+d.Diameter)/2-1e-8 {
				t.Errorf("%s and %s overlap", c.ID, d.ID)
			}
		}
	}
}

func TestLayRanks(t *testing.T) {
	var parts []Part
	for i := range 7 {
		parts = append(parts, Part{ID: strconv.Itoa(i), Diameter: 2, Rank: float64(i * i % 7)})
	}
	b := lay(t, parts)
	for i, c := range b.Circles {
		if middle := math.Hypot(c.At.X, c.At.Y) < 1e-6; middle != (parts[i].Rank == 4 && parts[i].ID == "2") {
			t.Errorf("%s lies at %v", c.ID, c.At)
		}
	}
}

func TestParts(t *testing.T) {
	sleeves := []Sleeve{{ID: "shield", Wall: 0.3, In: "jacket"}, {ID: "jacket", Wall: 1}, {ID: "x", In: "y"}, {ID: "y", In: "x"}}
	got := Parts([]Wire{{ID: "1", Diameter: 2, Leaves: 3}, {ID: "2", Diameter: 2, Twist: "can", Sleeve: "shield"}, {ID: "3", Diameter: 1.6},
		{ID: "4", Diameter: 2, Twist: "can", Leaves: 5}, {ID: "5", Diameter: 1, Sleeve: "shield"}, {ID: "6", Diameter: 1, Twist: "alone"},
		{ID: "7", Diameter: 1, Sleeve: "x"}}, sleeves)
	want := []Part{{ID: "1", Diameter: 2, Rank: 3},
		{ID: "jacket", Wall: 1, Rank: 5, Parts: []Part{{ID: "shield", Wall: 0.3, Rank: 5, Parts: []Part{
			{ID: "can", Rank: 5, Parts: []Part{{ID: "2", Diameter: 2}, {ID: "4", Diameter: 2, Rank: 5}}}, {ID: "5", Diameter: 1}}}}},
		{ID: "3", Diameter: 1.6}, {ID: "6", Diameter: 1}}
	if len(got) < 4 || !reflect.DeepEqual(got[:4], want) {
		t.Errorf("got  %+v\nwant %+v", got, want)
	}
	if n := count(got); n != 7 {
		t.Errorf("%d wires of 7", n)
	}
}

func count(parts []Part) (n int) {
	for _, p := range parts {
		if n++; len(p.Parts) > 0 {
			n += count(p.Parts) - 1
		}
	}
	return n
}

func TestThumb(t *testing.T) {
	for _, c := range []struct {
		n       int
		d, want float64
	}{{24, 2, 11.8}, {7, 1.6, 5.1}, {12, 2, 8.3}, {19, 1.6, 8.4}, {37, 2, 14.6}, {61, 1.6, 15}} {
		d := make([]float64, c.n)
		for i := range d {
			d[i] = c.d
		}
		if got := Thumb(d); math.Abs(got-c.want) > 0.06 {
			t.Errorf("%d of %v: %v, want %v (common practice, 1.2 × d × √n)", c.n, c.d, got, c.want)
		}
	}
}

// TestRuns: only what changed is packed, runs agree with each other, and the outcome does not depend on what came before.
func TestRuns(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	var wires []Wire
	for i := range 30 {
		wires = append(wires, Wire{ID: strconv.Itoa(i), Diameter: 1.2 + 0.3*float64(rng.IntN(5)), Leaves: float64(rng.IntN(9))})
	}
	var runs []Run
	for n := 1; n <= 30; n++ { // each holds those before it
		runs = append(runs, Run{ID: strconv.Itoa(n), Wires: wires[:n]})
	}
	shelf := NewShelf(Rough)
	first, err := Runs(runs, nil, shelf)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range first {
		within(t, p.Bundle)
		if i > 0 && p.Bundle.Diameter < first[i-1].Bundle.Diameter-1e-9 {
			t.Errorf("%d wires are thinner than %d", i+1, i)
		}
		if p.Run != runs[i].ID || len(p.Terms) < 3 || p.Thumb <= 0 {
			t.Errorf("run %d: %+v", i, p)
		}
	}
	kept := shelf.Len()
	changed := append([]Run{}, runs...)
	changed[10].Wires = append([]Wire{{ID: "new", Diameter: 3.3}}, wires[:11]...)
	second, err := Runs(changed, nil, shelf)
	if err != nil {
		t.Fatal(err)
	}
	if shelf.Len() != kept+1 {
		t.Errorf("%d packings kept after one change, before %d", shelf.Len(), kept)
	}
	fresh, err := Runs(changed, nil, NewShelf(Rough))
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(second, fresh) {
		t.Error("the outcome depends on what was packed before")
	}
}

func TestShelfKeep(t *testing.T) {
	d := []float64{1, 3, 2, 2.5, 1.5, 1.7, 2.2, 1.1, 1.9, 2.9, 1.3, 2.7}
	shelf := NewShelf(Rough)
	rough, err := shelf.Pack(d)
	if err != nil {
		t.Fatal(err)
	}
	fine := pack(t, d, Quick)
	shelf.Keep(d, fine)
	shelf.Keep(d, rough)
	got, err := shelf.Pack(d)
	if err != nil {
		t.Fatal(err)
	}
	if !(fine.Diameter < rough.Diameter) || !reflect.DeepEqual(got, fine) {
		t.Errorf("rough %v, fine %v, kept %v", rough.Diameter, fine.Diameter, got.Diameter)
	}
}
