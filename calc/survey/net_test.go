package survey

import (
	"errors"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"
)

func TestSolveReferenceNetworks(t *testing.T) {
	text, err := os.ReadFile("../../testdata/reference/survey.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		Name     string        `json:"name"`
		Readings []Observation `json:"readings"`
		Expected struct {
			Length       map[string]float64 `json:"length"`
			Sigma        map[string]float64 `json:"sigma"`
			Residual     []float64          `json:"residual"`
			Standardised []float64          `json:"standardised"`
		} `json:"expected"`
	}
	if err := json.Unmarshal(text, &all, json.MatchCaseInsensitiveNames(true)); err != nil {
		t.Fatal(err)
	}
	tested := 0
	for _, c := range all {
		if len(c.Expected.Length) == 0 {
			continue // in metres, or without readings: see TestReferenceNetworks
		}
		tested++
		t.Run(c.Name, func(t *testing.T) {
			s, err := Solve(c.Readings)
			if err != nil || len(s.Names) != len(c.Expected.Length) {
				t.Fatal(s.Names, err)
			}
			for i, name := range s.Names {
				near(t, "length of "+name, s.Values[i], c.Expected.Length[name], 0.001)
				near(t, "sigma of "+name, s.Sigmas[i], c.Expected.Sigma[name], c.Expected.Sigma[name]/1000)
			}
			for i := range c.Readings {
				near(t, "a residual", s.Residuals[i], c.Expected.Residual[i], 0.001)
				near(t, "a standardised residual", s.Standardised[i], c.Expected.Standardised[i], 0.0001)
			}
		})
	}
	if tested != 3 {
		t.Errorf("%d networks, want 3", tested)
	}
}

func TestSolveRefuses(t *testing.T) {
	ok := Observation{map[string]int64{"a": 1}, 100, 1}
	tests := []struct {
		name  string
		obs   []Observation
		want  error
		names string
	}{
		{"two unknowns, one sum", []Observation{{map[string]int64{"a": 1, "b": 1}, 100, 1}}, ErrSingular, "a, b"},
		{"one that only cancels", []Observation{ok, {map[string]int64{"b": 0, "a": 1}, 100, 1}}, ErrSingular, "b"},
		{"no path", []Observation{ok, {nil, 1, 1}}, ErrObservation, "observation 2"},
		{"no sigma", []Observation{{map[string]int64{"a": 1}, 100, 0}}, ErrObservation, "sigma"},
		{"not a number", []Observation{{map[string]int64{"a": 1}, math.NaN(), 1}}, ErrObservation, "value"},
		{"too far apart", []Observation{ok, {map[string]int64{"a": 1}, 100, 1e6}}, ErrObservation, "times another"},
		{"counts too often", []Observation{{map[string]int64{"a": 1e9}, 100, 1}}, ErrObservation, `"a"`},
	}
	for _, tt := range tests {
		if _, err := Solve(tt.obs); !errors.Is(err, tt.want) || !strings.Contains(err.Error(), tt.names) {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
	if s, err := Solve(nil); err != nil || len(s.Names) != 0 {
		t.Error(s, err)
	}
	s, err := Solve([]Observation{ok})
	if err != nil || s.Values[0] != 100 || s.Sigmas[0] != 1 || s.Residuals[0] != 0 || !math.IsNaN(s.Standardised[0]) {
		t.Errorf("nothing checks one observation: %+v, %v", s, err)
	}
}
