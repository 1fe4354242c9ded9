package wire

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"loomwright/calc/unit"
)

func TestVoltDrop(t *testing.T) {
	tested := map[string]int{}
	for _, r := range reference(t, "voltage_drop_examples.csv") {
		t.Run(r.name("kind", "current_A", "length_ft", "awg", "expected"), func(t *testing.T) {
			tested[r["kind"]]++
			if r["kind"] == "allowed_drop" || r["kind"] == "rule" {
				if r["kind"] == "rule" && (AllowedCritical != 0.03 || AllowedOther != 0.1) {
					t.Error(r["expected"])
				}
				return // what an aircraft's bus may lose is for aircraft
			}
			amps := r.number(t, "current_A")
			want, _, _ := strings.Cut(r["expected"], " ")
			switch r["kind"] {
			case "drop_from_resistance":
				d, err := VoltDrop([]Piece{{Size: size(t, r["awg"]), Table: Aviation, Length: feet(r.number(t, "length_ft")), Amps: amps, Celsius: 20}})
				if err != nil {
					t.Fatal(err)
				}
				closeTo(t, d.Volts, want)
			case "max_length_for_drop": // read off a chart; what the note says is exact
				m, err := LongestFor(size(t, r["awg"]), Aviation, amps, 20, r.number(t, "allowed_drop_V"))
				if err != nil {
					t.Fatal(err)
				}
				exact := strings.Fields(r["note"])[1]
				closeTo(t, m/foot, exact)
			case "size_for_drop", "size_from_cm_formula":
				table := SAE
				if r["kind"] == "size_for_drop" {
					table = Aviation
				}
				allowed, _, _ := strings.Cut(r["allowed_drop_V"], " ")
				volts, err := strconv.ParseFloat(allowed, 64)
				if err != nil {
					t.Fatal(err)
				}
				got, err := SizeForDrop(table, amps, feet(r.number(t, "length_ft")), 20, volts)
				if err != nil || got != size(t, r["expected"]) {
					t.Errorf("%v, %v; printed %s", got, err, r["expected"])
				}
			case "metric_drop":
				m, err := strconv.ParseFloat(strings.TrimSuffix(r["length_ft"], " m"), 64)
				if err != nil {
					t.Fatal(err)
				}
				d, err := VoltDrop([]Piece{{Size: size(t, r["awg"]), Length: metres(m), Amps: amps, Celsius: 20}})
				if err != nil {
					t.Fatal(err)
				}
				closeTo(t, d.Volts, want)
			default:
				t.Error("the row is not tested")
			}
		})
	}
	if tested["size_from_cm_formula"] < 70 || tested["drop_from_resistance"] != 5 || tested["metric_drop"] != 6 {
		t.Errorf("%v", tested)
	}
}

// A feed of its own, and a ground that two loads share: each piece loses by what flows in it.
func TestSharedPieces(t *testing.T) {
	feed := Piece{Name: "feed", Of: "wire", ID: "1", Size: size(t, "1.0 mm2"), Length: metres(2), Amps: 5, Celsius: 20}
	ground := Piece{Name: "shared ground", Size: size(t, "2.5 mm2"), Length: metres(1), Amps: 5 + 7, Celsius: 20}
	d, err := VoltDrop([]Piece{feed, ground})
	want := 2*0.0185*5 + 0.0076*12
	if err != nil || math.Abs(d.Volts-want) > 1e-12 || len(d.Pieces) != 2 || math.Abs(d.Ohm-(2*0.0185+0.0076)) > 1e-12 {
		t.Errorf("%+v, %v; want %v V", d, err, want)
	}
	sum := 0.0
	for _, p := range d.Pieces {
		sum += p.Volts
	}
	last := d.Terms[len(d.Terms)-1]
	if sum != d.Volts || last.Value != d.Volts || d.Terms[0].Name != "feed: size" || d.Terms[0].ID != "1" {
		t.Errorf("%v, %+v", sum, d.Terms)
	}
	none, err := VoltDrop(nil)
	if err != nil || none.Volts != 0 {
		t.Errorf("%+v, %v", none, err)
	}
	if m, err := LongestFor(feed.Size, Usual, 0, 20, 1); err != nil || !math.IsInf(m, 1) {
		t.Error(m, err)
	}
}

func TestUnknownResistance(t *testing.T) {
	for _, p := range []Piece{
		{}, {Size: unit.SquareMillimetres(600)}, {Size: unit.SquareMillimetres(333)}, {Size: unit.AWG(18), Table: ISO6722}, {Size: unit.SquareMillimetres(500), Table: SAE},
		{Size: unit.AWG(22), Table: SAE}, {Size: unit.AWG(18), Table: "mine"}, {Size: unit.AWG(18), Length: -1},
		{Size: unit.AWG(18), Celsius: math.NaN()}, {Size: unit.AWG(18), Celsius: -200}, {Size: unit.AWG(18), Celsius: 500},
		{Size: unit.AWG(18), Amps: math.Inf(1)},
	} {
		if d, err := VoltDrop([]Piece{p}); !isUnknown(err) || d.Volts != 0 {
			t.Errorf("%+v: %v, %v", p, d.Volts, err)
		}
	}
}

// Hotter is more ohms, longer never loses less, thicker never more, within each table.
func TestResistanceIsMonotone(t *testing.T) {
	const seed = 5
	random := rand.New(rand.NewPCG(seed, seed))
	for _, table := range Tables {
		last := map[bool]float64{}
		for _, s := range Sizes(table) {
			c, err := Of(s, table)
			if err != nil {
				t.Fatal(err)
			}
			_, isGauge := s.Gauge()
			if was := last[isGauge]; was != 0 && c.OhmAt(20) >= was {
				t.Errorf("%s: %v has %v ohm/km, the size below %v", table, s, c.OhmAt(20), was)
			}
			last[isGauge] = c.OhmAt(20)
			if d := c.Copper() / c.Area; math.Abs(d-Density) > 1e-12 {
				t.Errorf("%v weighs %v g/m", s, c.Copper())
			}
			for range 50 {
				t1, t2 := Coldest+random.Float64()*300, Coldest+random.Float64()*300
				if (c.OhmAt(t1) < c.OhmAt(t2)) != (t1 < t2) {
					t.Fatalf("%v at %v and %v °C (seed %d)", s, t1, t2, seed)
				}
				l1, l2 := unit.Length(random.Int64N(int64(50*unit.Metre))), unit.Length(random.Int64N(int64(50*unit.Metre)))
				a, _ := c.ResistanceOf(l1, t1)
				b, _ := c.ResistanceOf(l2, t1)
				if a.Ohm < b.Ohm && l1 > l2 || a.Ohm < 0 {
					t.Fatalf("%v: %v has %v ohm, %v has %v (seed %d)", s, l1, a.Ohm, l2, b.Ohm, seed)
				}
			}
		}
	}
}

func TestCaliperBeatsTheTable(t *testing.T) {
	d, source, ok := Diameter(unit.AWG(18), ThinWall, 1930*unit.Millimetre/1000)
	if !ok || d.MM() != 1.93 || source != SourceCaliper {
		t.Error(d, source, ok)
	}
	for _, wall := range Walls[1:] {
		if d, _, ok := Diameter(size(t, "0.5 mm2"), wall, 0); ok {
			t.Errorf("%s of 0.5 mm2 is %v", wall, d)
		}
	}
	if _, _, ok := Diameter(unit.Size{}, ThinWall, 0); ok {
		t.Error("no size has a diameter")
	}
}

func BenchmarkVoltDrop(b *testing.B) {
	pieces := []Piece{{Name: "feed", Size: unit.AWG(18), Length: unit.Metre, Amps: 5, Celsius: 85}, {Name: "return", Size: unit.AWG(18), Length: unit.Metre, Amps: 5, Celsius: 85}}
	for b.Loop() {
		if _, err := VoltDrop(pieces); err != nil {
			b.Fatal(err)
		}
	}
}
