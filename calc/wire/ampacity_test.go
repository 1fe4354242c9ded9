package wire

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"loomwright/calc/unit"
)

func TestMarineAmpacity(t *testing.T) {
	cells := 0
	for _, r := range reference(t, "ampacity_33cfr183.csv") {
		t.Run(r.name("kind", "awg", "insulation_rating_C", "condition"), func(t *testing.T) {
			class, _ := strconv.Atoi(r["insulation_rating_C"])
			amps := func(u Use) float64 {
				t.Helper()
				got, err := Ampacity(u)
				if err != nil || !strings.HasPrefix(got.Rule, string(Marine)) {
					t.Fatal(got.Rule, err)
				}
				return got.Amps
			}
			switch r["kind"] {
			case "base_ampacity":
				cells++
				for _, bundled := range []int{0, 1, 2} {
					exactly(t, amps(Use{Size: size(t, r["awg"]), Insulation: class, Bundled: bundled}), r["value"])
				}
			case "worked_value": // printed as whole amperes, a half to either side
				got := amps(Use{Size: size(t, r["awg"]), Insulation: class, EngineSpace: true})
				if math.Abs(got-r.number(t, "value")) > 0.5 {
					t.Errorf("got %v, printed %s", got, r["value"])
				}
			case "engine_space_factor":
				plain := Use{Size: unit.AWG(10), Insulation: class}
				hot := plain
				hot.EngineSpace = true
				exactly(t, amps(hot)/amps(plain), r["value"])
			case "bundle_factor":
				var from, to int
				if _, err := fmt.Sscanf(r["condition"], "%d-%d", &from, &to); err != nil {
					fmt.Sscanf(r["condition"], "%d", &from)
					if to = from; strings.Contains(r["condition"], "and more") {
						to = from + 75
					}
				}
				for n := from; n <= to; n++ {
					exactly(t, amps(Use{Size: unit.AWG(12), Insulation: 105, Bundled: n})/45, r["value"])
				}
			default:
				t.Error("the row is not tested")
			}
		})
	}
	if want := len(marine) * len(marineClasses); cells != want {
		t.Errorf("%d cells are checked, the table has %d", cells, want)
	}
}

func TestAviation(t *testing.T) {
	ft := func(v float64) float64 { return v * foot }
	harness := Use{Rules: AviationBundle, Insulation: 200, Ambient: new(60.), Bundled: 35, Loading: 0.2, Altitude: ft(35000)}
	twelve := Use{Rules: AviationBundle, Size: unit.AWG(12), Insulation: 200, Ambient: new(25.), Bundled: 12}
	amps := func(t *testing.T, u Use) float64 {
		t.Helper()
		got, err := Ampacity(u)
		if err != nil {
			t.Fatal(err)
		}
		return got.Amps
	}
	of := func(u Use, n int) Use { u.Size = unit.AWG(n); return u }
	at := func(u Use, celsius, metres float64) Use { u.Ambient, u.Altitude = new(celsius), metres; return u }
	worked := map[string]func(t *testing.T) float64{
		"AWG 14, 200 C wire, ambient 50 C, 20000 ft, 8 wires at 60 %: 47 A x 0.91": func(t *testing.T) float64 {
			return amps(t, Use{Rules: AviationBundle, Size: unit.AWG(14), Insulation: 200, Ambient: new(50.), Altitude: ft(20000)})
		},
		"same, x bundle factor 0.6 -> Imax": func(t *testing.T) float64 {
			return amps(t, Use{Rules: AviationBundle, Size: unit.AWG(14), Insulation: 200, Ambient: new(50.), Altitude: ft(20000), Bundled: 8, Loading: 0.6})
		},
		"T2 = T1 + (TR - T1)*sqrt(I2/Imax); T1=50 C, TR=200 C, I2=20 A, Imax=26 A": func(t *testing.T) float64 {
			w, err := Temperature(Current{Amps: 26, Insulation: 200, Ambient: 50, Headroom: 150}, 20)
			if err != nil {
				t.Fatal(err)
			}
			return w.Celsius
		},
		"size 22: 16.2 A x 0.52":         func(t *testing.T) float64 { return amps(t, of(at(harness, 60, 0), 22)) },
		"size 22: 8.4 A x altitude 0.86": func(t *testing.T) float64 { return amps(t, of(harness, 22)) },
		"total harness current = (25 x 7.2 + 10 x 9.6) x 0.20": func(t *testing.T) float64 {
			return (25*amps(t, of(harness, 22)) + 10*amps(t, of(harness, 20))) * harness.Loading
		},
		"68 A x 0.43 (sea level, 25 C)": func(t *testing.T) float64 { return amps(t, twelve) },
		"61 A x 0.43 (60 C)":            func(t *testing.T) float64 { return amps(t, at(twelve, 60, 0)) },
		"total sea level 12 x 29.2":     func(t *testing.T) float64 { return 12 * amps(t, twelve) },
	}
	for _, r := range reference(t, "bundle_derating.csv") {
		in := r["inputs"]
		t.Run(r.name("kind", "inputs"), func(t *testing.T) {
			switch r["kind"] {
			case "table_11-9_ampacity":
				var gauge string
				var class int
				if _, err := fmt.Sscanf(in, "AWG %s conductor rating %d C;", &gauge, &class); err != nil {
					t.Fatal(err)
				}
				u := Use{Rules: AviationTable, Size: size(t, strings.TrimSuffix(gauge, ";")), Insulation: class}
				exactly(t, amps(t, u), r["expected"])
				u.Ambient = new(70.)
				exactly(t, amps(t, u), r["expected"])
			case "table_11-9_resistance": // see TestTinnedStrands
			case "curve_point":
				var height float64
				if _, err := fmt.Sscanf(in, "altitude %f ft", &height); err == nil {
					exactly(t, altitudeFactor(ft(height)), r["expected"])
					return
				}
				var wires, share int
				if _, err := fmt.Sscanf(in, "%d wires in bundle; %d %% loading curve", &wires, &share); err != nil {
					t.Fatal(err)
				}
				u := Use{Rules: AviationBundle, Size: unit.AWG(20), Insulation: 200, Ambient: new(60.)}
				alone := amps(t, u)
				u.Bundled, u.Loading = wires, float64(share)/100
				exactly(t, amps(t, u)/alone, r["expected"])
			case "free_air_point":
				var gauge int
				var rise float64
				if _, err := fmt.Sscanf(in, "AWG %d; temperature difference %f C", &gauge, &rise); err != nil {
					t.Fatal(err)
				}
				exactly(t, amps(t, Use{Rules: AviationBundle, Size: unit.AWG(gauge), Insulation: 200, Ambient: new(200 - rise)}), r["expected"])
			case "worked_example":
				f := worked[in]
				if f == nil {
					t.Fatal("the row is not tested")
				}
				closeTo(t, f(t), r["expected"])
			case "rule": // how many wires to bundle at most says nothing of their amperes
			default:
				t.Error("the row is not tested")
			}
		})
	}
}

// A wire of 105 °C at 85 °C carries 0.60 of what it carries at 50 °C.
func TestHotPlace(t *testing.T) {
	u := Use{Size: unit.AWG(16), Insulation: 105, EngineSpace: true}
	cool, err := Ampacity(u)
	if err != nil {
		t.Fatal(err)
	}
	bay, _ := EngineBay.Ambient()
	u.Ambient = &bay
	hot, err := Ampacity(u)
	if err != nil || math.Abs(hot.Amps/cool.Amps-math.Sqrt(20./55)) > 1e-12 || hot.Headroom != 20 || !hot.Fits() {
		t.Errorf("%v of %v, headroom %v, %v", hot.Amps, cool.Amps, hot.Headroom, err)
	}
	for _, z := range []Zone{Cabin, EngineBay, NearExhaust} {
		for _, class := range []int{60, 80, 85, 105, 120, 125, 150, 200} {
			ambient, _ := z.Ambient()
			u := Use{Size: unit.AWG(18), Insulation: class, Ambient: &ambient}
			got, err := Ampacity(u)
			if err != nil {
				t.Fatal(err)
			}
			if fits := float64(class) > ambient; got.Fits() != fits || (got.Amps > 0) != fits {
				t.Errorf("%d °C insulation in the %s: %v A, headroom %v", class, z, got.Amps, got.Headroom)
			}
		}
	}
}

func TestAmpacityIsUnknown(t *testing.T) {
	nan := math.NaN()
	tests := []struct {
		name string
		u    Use
		why  string
	}{
		{"no size", Use{Insulation: 105}, "size"},
		{"no insulation", Use{Size: unit.AWG(18)}, "insulation"},
		{"rubber", Use{Size: unit.AWG(18), Insulation: 40}, "60 °C"},
		{"hair", Use{Size: unit.AWG(26), Insulation: 105}, "begins at 24 AWG"},
		{"0.13 mm2", Use{Size: size(t, "0.13 mm2"), Insulation: 105}, "begins at 24 AWG"},
		{"a bar", Use{Size: size(t, "120 mm2"), Insulation: 105}, "ends at 4/0 AWG"},
		{"curves do not reach", Use{Rules: AviationBundle, Size: unit.AWG(10), Insulation: 105}, "ends at 12 AWG"},
		{"no such curve", Use{Rules: AviationBundle, Size: unit.AWG(20), Insulation: 105, Bundled: 40}, "40 wires"},
		{"a mountain too high", Use{Rules: AviationBundle, Size: unit.AWG(20), Insulation: 105, Altitude: 20000}, "above"},
		{"ambient unheard of", Use{Size: unit.AWG(18), Insulation: 105, Ambient: &nan}, "not a number"},
		{"a bundle of less than none", Use{Size: unit.AWG(18), Insulation: 105, Bundled: -1}, "no bundle"},
		{"rules unheard of", Use{Rules: "mine", Size: unit.AWG(18), Insulation: 105}, "mine"},
	}
	for _, tt := range tests {
		got, err := Ampacity(tt.u)
		if !isUnknown(err) || !strings.Contains(err.Error(), tt.why) || got.Amps != 0 {
			t.Errorf("%s: %v A, %v", tt.name, got.Amps, err)
		}
	}
	if _, err := Temperature(Current{}, 1); !isUnknown(err) {
		t.Error(err)
	}
}

// A thicker wire, a better insulation, a cooler place, a smaller bundle: none of them ever carries less.
func TestAmpacityIsMonotone(t *testing.T) {
	classes, ambients, bundles := []int{60, 70, 75, 80, 90, 105, 125, 150, 200}, []float64{20, 30, 40, 50, 70, 85, 100, 120, 140}, []int{1, 3, 5, 12, 30}
	get := func(u Use) float64 {
		got, err := Ampacity(u)
		if err != nil {
			t.Fatal(err)
		}
		for _, term := range got.Terms {
			if term.Name == "" || math.IsNaN(term.Value) || term.Formula != "" && term.Source == "" {
				t.Fatalf("term %+v", term)
			}
		}
		return got.Amps
	}
	for _, rules := range []Rules{Marine, AviationTable} {
		for _, engine := range []bool{false, true} {
			for ci, class := range classes {
				for ai := range ambients {
					for bi, bundled := range bundles {
						last := 0.0
						for _, s := range Sizes(Usual) {
							if s.Area() < unit.AWG(24).Area() {
								continue
							}
							u := Use{Rules: rules, Size: s, Insulation: class, EngineSpace: engine, Ambient: &ambients[ai], Bundled: bundled}
							amps := get(u)
							if amps < last-1e-9 {
								t.Fatalf("%s, %v at %d °C in %v °C, %d bundled: %v A, the size below %v", rules, s, class, ambients[ai], bundled, amps, last)
							}
							last = amps
							for _, v := range []struct {
								more bool
								set  func(*Use)
							}{
								{ci+1 < len(classes), func(u *Use) { u.Insulation = classes[ci+1] }},
								{bi > 0, func(u *Use) { u.Bundled = bundles[bi-1] }},
								{ai > 0, func(u *Use) { u.Ambient = &ambients[ai-1] }},
							} {
								better := u
								if v.more {
									v.set(&better)
								}
								if more := get(better); more < amps-1e-9 {
									t.Fatalf("%+v: %v A, made better %+v: %v A", u, amps, better, more)
								}
							}
						}
					}
				}
			}
		}
	}
}

func TestTemperatureUnderLoad(t *testing.T) {
	c, err := Ampacity(Use{Size: unit.AWG(16), Insulation: 105, EngineSpace: true})
	if err != nil {
		t.Fatal(err)
	}
	last := math.Inf(-1)
	for share := 0.0; share <= 1.5; share += 0.05 {
		w, err := Temperature(c, share*c.Amps)
		if err != nil || w.Celsius < last || share < 1 && w.BySquare > w.Celsius+1e-9 {
			t.Fatalf("%v of its amperes: %v and %v °C, %v", share, w.Celsius, w.BySquare, err)
		}
		last = w.Celsius
	}
	full, _ := Temperature(c, c.Amps)
	idle, _ := Temperature(c, 0)
	if full.Celsius != 105 || full.BySquare != 105 || idle.Celsius != 50 {
		t.Errorf("full %v and %v °C, idle %v °C", full.Celsius, full.BySquare, idle.Celsius)
	}
}

func BenchmarkAmpacity(b *testing.B) {
	u := Use{Size: unit.SquareMillimetres(500), Insulation: 105, Ambient: new(85.), Bundled: 12}
	for b.Loop() {
		if _, err := Ampacity(u); err != nil {
			b.Fatal(err)
		}
	}
}
