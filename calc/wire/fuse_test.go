package wire

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"loomwright/calc/unit"
)

func TestFuseTables(t *testing.T) {
	colours, breakers := 0, 0
	for _, r := range reference(t, "fuses.csv") {
		t.Run(r.name("kind", "key", "condition"), func(t *testing.T) {
			kinds := map[string]Blade{"type C medium": Medium, "type F mini": Mini, "type E maxi": Maxi}
			switch r["kind"] {
			case "blade_colour":
				rating, err := strconv.ParseFloat(r["key"], 64)
				if err != nil {
					t.Fatal(err)
				}
				of := []Blade{Medium}
				if strings.Contains(r["condition"], "maxi") {
					of = []Blade{Maxi}
				} else if strings.Contains(r["condition"], "also mini") && rating >= 2 {
					of = append(of, Mini)
				}
				for _, b := range of {
					colours++
					if got := b.Colour(rating); got == "" || !strings.HasPrefix(r["value"], got) || !slices.Contains(b.Ratings(), rating) {
						t.Errorf("%s %v A is %q, printed %s", b, rating, got, r["value"])
					}
				}
			case "time_current_gate":
				percent, _, _ := strings.Cut(r["key"], " %")
				multiple, err := strconv.ParseFloat(percent, 64)
				if err != nil {
					t.Fatal(err)
				}
				i := slices.IndexFunc(kinds[r["condition"]].Gates(), func(g Gate) bool { return math.Abs(g.Multiple*100-multiple) < 1e-9 })
				if i < 0 {
					t.Fatal("no such gate")
				}
				g := kinds[r["condition"]].Gates()[i]
				least, most, ok := strings.Cut(strings.TrimPrefix(r["value"], ">= "), " .. ")
				exactly(t, g.Least, least)
				if ok {
					exactly(t, g.Most, most)
				} else if !math.IsInf(g.Most, 1) {
					t.Errorf("must open within %v s, printed %s", g.Most, r["value"])
				}
			case "wire_to_fuse", "wire_to_breaker":
				fuse, breaker, err := CircularFuse(size(t, strings.TrimPrefix(r["key"], "AWG ")))
				if err != nil {
					t.Fatal(err)
				}
				if got := fuse; r["kind"] == "wire_to_fuse" {
					exactly(t, got, r["value"])
					return
				}
				breakers++
				exactly(t, breaker, r["value"])
			case "rating":
				switch r["key"] {
				case "breaking capacity":
					exactly(t, BreakingCapacity, r["value"])
				case "rated voltage":
					exactly(t, RatedVolts, strings.TrimSuffix(r["value"], " (also 58)"))
				case "largest blade rating covered":
					for _, b := range Blades {
						if all := b.Ratings(); all[len(all)-1] > r.number(t, "value") {
							t.Errorf("%s: %v", b, all)
						}
					}
				default:
					t.Error("the row is not tested")
				}
			case "rule": // 150 and 80 %: see TestFuse; how near the battery a fuse must be is no arithmetic
			default:
				t.Error("the row is not tested")
			}
		})
	}
	n := 0
	for _, b := range Blades {
		n += len(b.Ratings())
	}
	if colours != n || breakers == 0 {
		t.Errorf("%d colours are checked, there are %d ratings", colours, n)
	}
}

func TestFuse(t *testing.T) {
	const practice = "common practice"
	tests := []struct {
		name                      string
		load                      Load
		wire, celsius             float64
		blade                     Blade
		half, four, rating, least float64
		source                    string
	}{
		{"four injectors of 2 A", Load{Amps: 8}, 20, 25, Medium, 15, 10, 10, 12, "training course: 8 A, 12 A, fit 15 A"},
		{"the same, hot", Load{Amps: 8}, 20, 85, Medium, 15, 15, 15, 12, practice + ": −0.12 %/K takes 10 A to 10.8 A"},
		{"the same, thin wire", Load{Amps: 8}, 14, 25, Medium, 15, 10, 10, 12, "only the smaller one is no more than the wire carries"},
		{"the same, too thin", Load{Amps: 8}, 9, 25, Medium, 15, 10, 0, 12, "no fuse between 8 A of load and 9 A of wire"},
		{"a fan", Load{Amps: 12, Inrush: 60, Start: 0.1}, 40, 25, Medium, 30, 30, 30, 18,
			"60 A is twice 30 A, where no fuse opens within 0.15 s; 2.4 times 25 A may open in 0.04 s (ISO 8820-3 gates)"},
		{"nothing", Load{}, 5, 25, Mini, 2, 2, 2, 0, "the smallest there is"},
		{"a motor", Load{Amps: 50}, 100, 25, Maxi, 80, 70, 70, 75, practice},
		{"more than is sold", Load{Amps: 50}, 100, 25, Mini, 0, 0, 0, 75, "ISO 8820-3"},
	}
	for _, tt := range tests {
		t.Run(tt.name+" ("+tt.source+")", func(t *testing.T) {
			f, err := FuseFor(tt.load, tt.wire, tt.celsius, tt.blade)
			if err != nil || f.OneHalf.Rating != tt.half || f.FourOf5.Rating != tt.four || f.Rating != tt.rating || math.Abs(f.OneHalf.Least-tt.least) > 1e-9 {
				t.Errorf("%+v, %v", f, err)
			}
			if f.Wire > tt.wire || f.Most > 1.5*tt.wire || f.Rating > f.Wire {
				t.Errorf("fuse %v A, greatest %v and %v A, the wire carries %v A", f.Rating, f.Wire, f.Most, tt.wire)
			}
		})
	}
	for _, bad := range []Load{{Amps: -1}, {Amps: math.NaN()}, {Inrush: -1}, {Start: math.Inf(1)}} {
		if _, err := FuseFor(bad, 10, 25, Medium); !isUnknown(err) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	if _, err := FuseFor(Load{}, 10, 25, "glass"); !isUnknown(err) {
		t.Error(err)
	}
}

func TestK(t *testing.T) {
	tests := []struct {
		class         int
		celsius, want float64
		source        string
	}{
		{80, 70, 115, "IEC 60364-4-43 table 43A, from memory"}, {0, 20, 115, "not known counts as PVC"},
		{125, 90, 143, "IEC 60364-4-43 table 43A, from memory"}, {105, 30, 115, "never above the table"},
		{105, 85, 103.78, "226 √ln(1 + 75/319.5)"}, {80, 160, 0, "as hot as it bears"}, {150, 120, 126.32, "226 √ln(1 + 130/354.5)"},
	}
	for _, tt := range tests {
		if got := K(tt.class, tt.celsius); math.Abs(got-tt.want) > 0.35 { // the table is printed to whole numbers
			t.Errorf("K(%d, %v) = %v, want %v (%s)", tt.class, tt.celsius, got, tt.want, tt.source)
		}
	}
}

// source is a supply that drives just so many amperes through a metre of 0.5 mm2 and back.
func short(t *testing.T, amps, rating float64) Short {
	c, err := Of(size(t, "0.5 mm2"), Usual)
	if err != nil {
		t.Fatal(err)
	}
	ohm := 2 * c.OhmAt(20) / 1000
	return Short{Volts: 12, SourceOhm: 12/amps - ohm, Rating: rating, Pieces: []Piece{
		{Name: "feed", Size: c.Size, Length: unit.Metre, Celsius: 20},
		{Name: "return", Size: c.Size, Length: unit.Metre, Celsius: 20},
	}}
}

func TestFault(t *testing.T) {
	tests := []struct {
		name          string
		amps, rating  float64
		opens         Opens
		within, bears float64
		source        string
	}{
		{"0.5 mm2 PVC at 40 A, 20 A fuse", 40, 20, TooLate, 5, 2.066, "common practice: 2.1 s, and the fuse may take 5 s"},
		{"the same with 10 A", 40, 10, InTime, 0.5 * 3.5 * 3.5 / 16, 2.066, "I²t of the gate at 350 % is 612 A²s of 3306"},
		{"the same with 30 A", 40, 30, Never, math.Inf(1), 2.066, "133 %: below the gate of 135 % it need not open"},
		{"105 %", 21, 20, Never, math.Inf(1), 7.497, "ISO 8820-3: not before 100 h at 110 %"},
		{"a 7.5 A fuse", 120, 7.5, InTime, 0.1 * 36 / 256, 0.2296, "16 times: no more than its I²t at 600 %"},
	}
	for _, tt := range tests {
		t.Run(tt.name+" ("+tt.source+")", func(t *testing.T) {
			f, err := FaultAt(short(t, tt.amps, tt.rating))
			if err != nil || math.Abs(f.Amps-tt.amps) > 1e-9 || f.Opens != tt.opens || math.Abs(f.Bears-tt.bears) > 1e-3*tt.bears {
				t.Fatalf("%+v, %v", f, err)
			}
			if f.Within != tt.within && math.Abs(f.Within-tt.within) > 1e-9 {
				t.Errorf("within %v, want %v", f.Within, tt.within)
			}
			for _, term := range f.Terms {
				if term.Name == "" {
					t.Errorf("%+v", term)
				}
			}
		})
	}
}

// At the longest length it still opens in time; a little further it does not.
func TestLongest(t *testing.T) {
	for _, text := range []string{"0.35 mm2", "0.5 mm2", "1.0 mm2", "2.5 mm2", "20 AWG", "16 AWG"} {
		for _, b := range Blades {
			for _, rating := range b.Ratings() {
				at := func(m float64) Fault {
					s := Short{Volts: 12.6, SourceOhm: 0.02, FuseOhm: FuseOhm(rating), Rating: rating, Blade: b}
					for i := range 2 {
						s.Pieces = append(s.Pieces, Piece{Name: fmt.Sprint(i), Size: size(t, text), Length: metres(m / 2), Celsius: 85, Insulation: 105})
					}
					f, err := FaultAt(s)
					if err != nil {
						t.Fatal(err)
					}
					return f
				}
				longest := at(3).Longest
				if longest == 0 {
					if f := at(0.001); f.Opens == InTime {
						t.Errorf("%s with %v A %s: no length, but 1 mm opens in time", text, rating, b)
					}
					continue
				}
				if in, out := at(longest-1e-6), at(longest+1e-6); in.Opens != InTime || out.Opens == InTime {
					t.Errorf("%s with %v A %s: at %v m %s, beyond %s", text, rating, b, longest, in.Opens, out.Opens)
				}
				if again := at(longest).Longest; math.Abs(again-longest) > 1e-6*longest {
					t.Errorf("longest from another length: %v, was %v", again, longest)
				}
			}
		}
	}
}

func TestFaultEdges(t *testing.T) {
	bolted, err := FaultAt(Short{Volts: 12, Rating: 10})
	if err != nil || !math.IsInf(bolted.Amps, 1) || !bolted.Beyond || bolted.Opens != InTime {
		t.Errorf("%+v, %v", bolted, err)
	}
	flat, err := FaultAt(Short{Rating: 10})
	if err != nil || flat.Amps != 0 || flat.Opens != Never {
		t.Errorf("%+v, %v", flat, err)
	}
	for _, bad := range []Short{{Volts: 12}, {Volts: -1, Rating: 1}, {Volts: math.NaN(), Rating: 1}, {Volts: 12, Rating: 5, SourceOhm: -1},
		{Volts: 12, Rating: 5, Blade: "glass"}, {Volts: 12, Rating: 5, Pieces: []Piece{{}}},
		{Volts: 12, Rating: 5, Pieces: []Piece{{Size: unit.AWG(18), Length: -1}}}} {
		if _, err := FaultAt(bad); !isUnknown(err) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
}
