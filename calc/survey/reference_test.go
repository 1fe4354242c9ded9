package survey

import (
	"maps"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/go-json-experiment/json"

	"loomwright/calc/unit"
)

// level is one observation of a net: a sum of unknowns with whole factors, in millimetres.
type level struct {
	Path  map[string]int64 `json:"path"`
	Value float64          `json:"value"`
	Sigma float64          `json:"sigma"`
}

// net adjusts observations and returns the network, the unknowns by name and the observations in their order.
func net(levels []level, scale float64) (n *network, x map[string]float64, sigma map[string]float64, obs []*observation) {
	names := map[string]bool{}
	for _, l := range levels {
		for name := range l.Path {
			names[name] = true
		}
	}
	columns := slices.Sorted(maps.Keys(names))
	for _, l := range levels {
		all := map[int]int64{}
		for name, k := range l.Path {
			all[slices.Index(columns, name)] = k
		}
		obs = append(obs, &observation{shares: sorted(all), value: unit.Length(math.Round(l.Value * scale * 1e6)), sigma: l.Sigma * scale})
	}
	n = newNetwork(len(columns), slices.Clone(obs))
	values := n.solve(func(o *observation) unit.Length { return o.value })
	x, sigma = map[string]float64{}, map[string]float64{}
	for i, name := range columns {
		x[name] = values[i].mm()
		sigma[name] = math.Sqrt(n.cov([]share{{i, 1}}, []share{{i, 1}}))
	}
	for _, o := range obs {
		at := sum(o.act, values)
		o.corner = unit.Length(math.Round((at.mm() - o.value.MM()) * 1e6)) // the residual, kept for the tests
	}
	return n, x, sigma, obs
}

func residual(o *observation) float64 { return o.corner.MM() }

func standardised(o *observation) float64 {
	return math.Abs(residual(o)) / (o.sigma * math.Sqrt(o.redundancy))
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within || math.IsNaN(got) {
		t.Errorf("%s is %v, want %v within %v", what, got, want, within)
	}
}

// Lengths to 0.001 mm or the printed digits, standard deviations to 0.1 % or the printed digits.
func TestReferenceNetworks(t *testing.T) {
	text, err := os.ReadFile("../../testdata/reference/survey.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []struct {
		Name     string  `json:"name"`
		Readings []level `json:"readings"`
		Expected struct {
			Height       map[string]float64 `json:"height"`
			SigmaMM      map[string]float64 `json:"sigma_mm"`
			Most         float64            `json:"max_standardised"`
			MostReading  int                `json:"max_standardised_reading"`
			M0           float64            `json:"m0_aposteriori"`
			Length       map[string]float64 `json:"length"`
			Sigma        map[string]float64 `json:"sigma"`
			Residual     []float64          `json:"residual"`
			Standardised []float64          `json:"standardised"`
		} `json:"expected"`
		Source string `json:"source"`
	}
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	tested := 0
	for _, c := range all {
		if len(c.Readings) == 0 {
			continue // a note on a source whose benchmarks were not found
		}
		tested++
		t.Run(c.Name, func(t *testing.T) {
			scale := 1.0
			if len(c.Expected.Height) > 0 {
				scale = 1000 // metres
			}
			n, x, sigma, obs := net(c.Readings, scale)
			for p, h := range c.Expected.Height { // printed to 0.01 mm, over a benchmark of 1000 m
				near(t, "height of "+p, 1000+x[p]/1000, h, 0.000005)
				near(t, "sigma of "+p, sigma[p], c.Expected.SigmaMM[p], 0.05)
			}
			for run, length := range c.Expected.Length {
				near(t, "length of "+run, x[run], length, 0.001)
				near(t, "sigma of "+run, sigma[run], c.Expected.Sigma[run], c.Expected.Sigma[run]/1000)
			}
			for i := range c.Expected.Residual {
				near(t, "a residual", residual(obs[i]), c.Expected.Residual[i], 0.001)
				near(t, "a standardised residual", standardised(obs[i]), c.Expected.Standardised[i], 0.0001)
			}
			if c.Expected.MostReading > 0 {
				worst := 0
				pvv := 0.0
				for i, o := range obs {
					if standardised(o) > standardised(obs[worst])+1e-9 {
						worst = i
					}
					pvv += residual(o) * residual(o) / (o.sigma * o.sigma)
				}
				near(t, "the greatest standardised residual", standardised(obs[worst]), c.Expected.Most, 0.005)
				if worst+1 != c.Expected.MostReading {
					t.Errorf("it is that of reading %d, want %d", worst+1, c.Expected.MostReading)
				}
				near(t, "m0", obs[0].sigma*math.Sqrt(pvv/float64(len(obs)-n.space.rank())), c.Expected.M0, 0.005)
			}
		})
	}
	if tested != 4 {
		t.Errorf("%d networks tested, want 4", tested)
	}
}

// Level nets of textbooks and course notes, in metres and millimetres.
func TestPublishedLevelNets(t *testing.T) {
	t.Run("a net of four points, six lines", func(t *testing.T) {
		// Source: Ghilani and Wolf, Adjustment Computations, 4th ed. (2006), section 12.6, example 12.1: heights to 0.1 mm.
		// The sum of weighted squares, 1.272, is that of the unrounded residuals; the book's 1.26976 is of rounded ones.
		lines := []level{
			{map[string]int64{"B": 1}, 10.509, 0.006}, {map[string]int64{"C": 1, "B": -1}, 5.360, 0.004},
			{map[string]int64{"D": 1, "C": -1}, -8.523, 0.005}, {map[string]int64{"D": -1}, -7.348, 0.003},
			{map[string]int64{"D": 1, "B": -1}, -3.167, 0.004}, {map[string]int64{"C": 1}, 15.881, 0.012},
		}
		_, x, _, obs := net(lines, 1000)
		for p, want := range map[string]float64{"B": 448.1087, "C": 453.4685, "D": 444.9436} {
			near(t, "height of "+p, 437.596+x[p]/1000, want, 0.00005)
		}
		pvv := 0.0
		for _, o := range obs {
			pvv += residual(o) * residual(o) / (o.sigma * o.sigma)
		}
		near(t, "the sum of weighted squares", pvv, 1.272, 0.0005)
	})
	t.Run("all six lines between four points, with data snooping", func(t *testing.T) {
		// Source: Siki, Level network adjustment and data snooping (course notes, University of Technology and Economics,
		// Budapest, 2012 to 2014): 0.7 mm a kilometre, point 4 held at 101.345; printed to 0.1 mm, 0.01 mm and 0.1.
		lines := []struct {
			from, to string
			h, km    float64
		}{{"1", "2", -0.749, 1.1}, {"1", "3", -1.274, 1.8}, {"1", "4", -2.890, 1.4}, {"2", "3", -0.530, 1.5}, {"2", "4", -2.141, 1.9}, {"3", "4", -1.614, 0.9}}
		var levels []level
		for _, l := range lines {
			path := map[string]int64{l.from: -1, l.to: 1}
			if l.to == "4" {
				path = map[string]int64{l.from: -1}
				l.h -= 101.345
			}
			levels = append(levels, level{path, l.h, l.km * 0.0007})
		}
		n, x, sigma, obs := net(levels, 1000)
		for p, want := range map[string]float64{"1": 104.2350, "2": 103.4868, "3": 102.9588} {
			near(t, "height of "+p, x[p]/1000, want, 0.00005)
		}
		pvv := 0.0
		for i, want := range []struct{ v, u, r float64 }{{0.81, 1.9, 0.3}, {-2.18, 2.1, 0.7}, {0, 0, 0.5}, {2.01, 2.6, 0.5}, {-0.81, 0.7, 0.7}, {0.18, 0.6, 0.2}} {
			near(t, "a correction", residual(obs[i]), want.v, 0.006)
			near(t, "a standardised residual", standardised(obs[i]), want.u, 0.06)
			near(t, "a redundancy", obs[i].redundancy, want.r, 0.06)
			pvv += residual(obs[i]) * residual(obs[i]) / (obs[i].sigma * obs[i].sigma)
		}
		near(t, "the sum of weighted squares", pvv, 8.217, 0.0005)
		m0 := math.Sqrt(pvv / float64(len(obs)-n.space.rank()))
		near(t, "m0", m0, 1.65, 0.006)
		for p, want := range map[string]float64{"1": 1.13, "2": 1.19, "3": 0.91} { // scaled by m0
			near(t, "sigma of "+p, m0*sigma[p], want, 0.006)
		}
	})
}
