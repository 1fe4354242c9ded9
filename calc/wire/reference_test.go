package wire

import (
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"loomwright/calc/unit"
)

// row is a line of a reference table by column.
type row map[string]string

// name is what a subtest of the row is called: what it says, where that is from, and how surely.
func (r row) name(columns ...string) string {
	parts := make([]string, len(columns))
	for i, c := range columns {
		parts[i] = r[c]
	}
	return fmt.Sprintf("%s (%s, %s)", strings.Join(parts, " "), r["source"], r["source_kind"])
}

func (r row) number(t *testing.T, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s of %v: %v", column, r, err)
	}
	return v
}

// reference reads the usable rows of a table: not those whose note says that the print is wrong.
func reference(t *testing.T, file string) []row {
	t.Helper()
	f, err := os.Open("../../testdata/reference/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d rows, %v", file, len(all), err)
	}
	var rows []row
	for _, cells := range all[1:] {
		r := row{}
		for i, c := range cells {
			r[all[0][i]] = c
		}
		if strings.Contains(r["note"], "MISPRINT") || strings.Contains(r["unit"], "DO NOT use") || r["kind"] == "printed_cell_disagrees" {
			continue
		}
		rows = append(rows, r)
	}
	return rows
}

// digits is half of the last digit of a printed number.
func digits(printed string) float64 {
	_, part, _ := strings.Cut(printed, ".")
	return 0.5 * math.Pow10(-len(part)) * (1 + 1e-9)
}

// closeTo fails unless got is within 0.5 % of a printed number, or rounds to its digits.
func closeTo(t *testing.T, got float64, printed string) {
	t.Helper()
	want, err := strconv.ParseFloat(printed, 64)
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(got-want) <= max(0.005*math.Abs(want), digits(printed))) {
		t.Errorf("got %v, printed %s", got, printed)
	}
}

func exactly(t *testing.T, got float64, printed string) {
	t.Helper()
	want, err := strconv.ParseFloat(printed, 64)
	if err != nil || math.Abs(got-want) > 1e-9 {
		t.Errorf("got %v, printed %s", got, printed)
	}
}

// size reads a gauge as the tables write it, or an area.
func size(t *testing.T, text string) unit.Size {
	t.Helper()
	if !strings.HasSuffix(text, "mm2") && !strings.HasSuffix(text, "AWG") {
		text += " AWG"
	}
	s, err := unit.ParseSize(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// feet is a length in feet to the nearest nanometre.
func feet(v float64) unit.Length { return unit.Length(math.Round(v * float64(unit.Foot))) }

func metres(v float64) unit.Length { return unit.Length(math.Round(v * float64(unit.Metre))) }

func isUnknown(err error) bool {
	var u *UnknownError
	return errors.As(err, &u) && u.What != "" && u.Because != ""
}

func TestResistanceOfGauges(t *testing.T) {
	tables := map[string]Table{"solid": Solid, "stranded": Stranded}
	for _, r := range reference(t, "awg_resistance.csv") {
		t.Run(r.name("table", "awg", "celsius", "per"), func(t *testing.T) {
			c, err := Of(size(t, r["awg"]), tables[r["table"]])
			if err != nil {
				t.Fatal(err)
			}
			length := metres(1000)
			if r["per"] == "1000 ft" {
				length = feet(1000)
			}
			got, err := c.ResistanceOf(length, r.number(t, "celsius"))
			if err != nil {
				t.Fatal(err)
			}
			closeTo(t, got.Ohm, r["ohm"])
		})
	}
}

func TestConductors(t *testing.T) {
	for _, r := range reference(t, "metric_conductors.csv") {
		t.Run(r.name("table", "size", "size_unit"), func(t *testing.T) {
			if wall, ok := strings.CutSuffix(strings.TrimPrefix(r["table"], "SAE J1128 "), " nominal outside diameter"); ok {
				d, source, ok := Diameter(size(t, r["size"]), Wall(wall), 0)
				if !ok || source != SourceNominal {
					t.Fatalf("%v, %q, %v", d, source, ok)
				}
				exactly(t, d.MM(), r["outer_diameter_nominal_mm"])
				return
			}
			table, text := Class5, r["size"]+" mm2"
			switch {
			case strings.HasPrefix(r["table"], "SAE"):
				if r["min_area_cmil"] == "" {
					return // the row names a size and gives no area
				}
				c, err := Of(size(t, r["size"]), SAE)
				if err != nil {
					t.Fatal(err)
				}
				closeTo(t, c.Area, r["min_area_mm2"])
				return
			case strings.HasPrefix(r["table"], "ISO 6722"):
				table = ISO6722
				d, _, ok := Diameter(size(t, text), ThinWall, 0)
				if !ok {
					t.Fatal("no diameter")
				}
				exactly(t, d.MM(), r["outer_diameter_max_mm"])
			}
			c, err := Of(size(t, text), table)
			if err != nil {
				t.Fatal(err)
			}
			exactly(t, c.OhmAt(20), r["max_resistance_mohm_per_m_20C"])
		})
	}
}

func TestTinnedStrands(t *testing.T) {
	tested := 0
	for _, r := range reference(t, "bundle_derating.csv") {
		if r["kind"] != "table_11-9_resistance" {
			continue
		}
		tested++
		t.Run(r.name("inputs"), func(t *testing.T) {
			in := strings.Split(r["inputs"], "; ")
			c, err := Of(size(t, strings.TrimPrefix(in[0], "AWG ")), Aviation)
			if err != nil {
				t.Fatal(err)
			}
			got, err := c.ResistanceOf(feet(1000), 20)
			if err != nil {
				t.Fatal(err)
			}
			exactly(t, math.Round(got.Ohm*1e7)/1e7, r["expected"])
			exactly(t, math.Round(c.Area/circularMil), strings.TrimSuffix(in[2], " circ mils"))
		})
	}
	if tested != 17 {
		t.Errorf("%d rows", tested)
	}
}

func TestTemperature(t *testing.T) {
	for _, r := range reference(t, "temperature_coefficient.csv") {
		t.Run(r.name("kind", "inputs"), func(t *testing.T) {
			in, want := r["inputs"], r["expected"]
			var gauge string
			var a, b, length float64
			switch {
			case r["kind"] == "factor_to_T":
				if _, err := fmt.Sscanf(in, "R(T)/R(20) at %f C", &a); err != nil {
					t.Fatal(err)
				}
				if got := Factor(20, a); math.Abs(got-r.number(t, "expected")) > digits(want) {
					t.Errorf("got %v, want %s", got, want)
				}
			case r["kind"] == "measured_pair":
				if _, err := fmt.Sscanf(in, "AWG %s solid copper: %f ohm/1000 ft at %f C -> %f C", &gauge, &length, &a, &b); err != nil {
					t.Fatal(err)
				}
				// Both numbers of the pair have three digits, and a zero where the print pads them.
				three := func(v float64) float64 { return 0.5 * math.Pow10(int(math.Floor(math.Log10(v)))-2) * (1 + 1e-9) }
				if got, slack := length*Factor(a, b), three(length)*Factor(a, b)+three(r.number(t, "expected")); math.Abs(got-r.number(t, "expected")) > slack {
					t.Errorf("got %v, want %s within %v", got, want, slack)
				}
			case r["kind"] == "length_shortening":
				text := strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(in, " at 20 C", ""), ",", ""), "=", " ")
				if _, err := fmt.Sscanf(text, "L1 %f ft T2 %f C", &length, &a); err != nil {
					t.Fatal(err)
				}
				closeTo(t, length/Factor(20, a), want)
			case strings.Contains(in, "copper alpha at 20"):
				closeTo(t, Factor(20, 21)-1, want)
			case strings.Contains(in, "copper alpha at 75"):
				closeTo(t, Factor(75, 76)-1, want)
			case strings.Contains(in, "copper inferred"):
				exactly(t, -ZeroOhm, want)
			case strings.Contains(in, "resistivity"):
				exactly(t, Resistivity, want)
			case strings.Contains(in, "aluminium"): // no loom wire is
			default:
				t.Error("the row is not tested")
			}
		})
	}
}

func TestPull(t *testing.T) {
	for _, r := range reference(t, "crimp_pull.csv") {
		t.Run(r.name("standard", "wire_size", "size_unit"), func(t *testing.T) {
			standard, err := ParseStandard(r["standard"])
			if err != nil {
				t.Fatal(err)
			}
			text := r["wire_size"]
			if r["size_unit"] == "mm2" {
				text += " mm2"
			}
			got, by, err := Pull(size(t, text), standard)
			if err != nil || by != standard {
				t.Fatal(by, err)
			}
			exactly(t, got, r["min_force_N"])
		})
	}
	n := 0
	for _, standard := range PullStandards {
		table, _ := pulls(standard)
		n += len(table)
	}
	if rows := len(reference(t, "crimp_pull.csv")); rows != n {
		t.Errorf("%d rows, the tables have %d values", rows, n)
	}
}
