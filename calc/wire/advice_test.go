package wire

import (
	"math"
	"testing"

	"loomwright/calc/unit"
)

func need(length unit.Length, amps, rating float64) Need {
	return Need{
		Load: Load{Amps: amps}, Use: Use{Insulation: 105, Ambient: new(50.), EngineSpace: true, Bundled: 2}, Table: ISO6722,
		Pieces: []Piece{{Name: "feed", Length: length, Amps: amps, Celsius: 85}, {Name: "return", Length: length, Amps: amps, Celsius: 85}},
		Volts:  12, SourceOhm: 0.01, AllowedVolts: 0.36, Rating: rating,
	}
}

func TestAdvise(t *testing.T) {
	tests := []struct {
		name string
		n    Need
		rule Rule
	}{
		{"a long way for little", need(metres(8), 1, 2), RuleDrop},
		{"a short way for much", need(metres(0.2), 25, 0), RuleAmpacity},
		{"a short way with a big fuse", need(metres(0.2), 3, 30), RuleFuse},
		{"hardly anything", func() Need { n := need(metres(0.1), 0.1, 0); n.Sizes = Sizes(ISO6722)[1:]; return n }(), RuleSmallest},
		{"a far short", func() Need { n := need(metres(30), 0.1, 5); n.AllowedVolts = 0; n.Sizes = Sizes(ISO6722)[4:]; return n }(), RuleFault},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			a, err := Advise(tt.n)
			if err != nil || !a.Size.Known() || a.Rule != tt.rule {
				t.Fatalf("%v by %q, %v", a.Size, a.Rule, err)
			}
			for _, c := range a.Checks {
				if !c.Passes || c.Unknown != "" || len(c.Terms) == 0 {
					t.Errorf("%v fails %s: %v of %v %s", a.Size, c.Rule, c.Got, c.Limit, c.Unit)
				}
			}
			if a.Below.Known() == (tt.rule == RuleSmallest) || a.Below.Compare(a.Size) >= 0 {
				t.Errorf("the size below is %v", a.Below)
			}
			if tt.rule != RuleSmallest && failing(a.Against) != tt.rule {
				t.Errorf("%v fails %s", a.Below, failing(a.Against))
			}
		})
	}
}

func TestAdviseWhereNothingFits(t *testing.T) {
	hot := need(metres(1), 5, 10)
	hot.Use.Ambient = new(120.)
	a, err := Advise(hot)
	if err != nil || a.Size.Known() || a.Rule != RuleAmpacity || a.Checks[0].Limit != 0 || a.Checks[0].Unknown != "" {
		t.Errorf("insulation of 105 °C at 120 °C: %+v, %v", a, err)
	}
	unsure := need(metres(1), 5, 10)
	unsure.Use.Insulation = 0
	if a, err = Advise(unsure); err != nil || a.Size.Known() || a.Checks[0].Unknown == "" {
		t.Errorf("insulation not known: %+v, %v", a, err)
	}
	if _, err = Advise(Need{Sizes: []unit.Size{}}); !isUnknown(err) {
		t.Error(err)
	}
}

// More load, more length, a hotter place: never a thinner wire.
func TestAdviceIsMonotone(t *testing.T) {
	area := func(n Need) float64 {
		a, err := Advise(n)
		if err != nil {
			t.Fatal(err)
		}
		if !a.Size.Known() {
			return math.Inf(1)
		}
		return a.Size.Area()
	}
	for _, amps := range []float64{0.5, 2, 5, 9, 20} {
		for _, m := range []float64{0.3, 1, 3, 6} {
			n := need(metres(m), amps, 0)
			f, err := FuseFor(n.Load, 1e3, 85, Medium)
			if err != nil {
				t.Fatal(err)
			}
			n.Rating = f.Rating
			base := area(n)
			more, further, hotter := need(metres(m), amps*1.5, n.Rating), need(metres(m*2), amps, n.Rating), n
			hotter.Use.Ambient = new(90.)
			for name, worse := range map[string]Need{"more": more, "further": further, "hotter": hotter} {
				if got := area(worse); got < base {
					t.Errorf("%v A over %v m: %v mm2; %s: %v mm2", amps, m, base, name, got)
				}
			}
		}
	}
}

func BenchmarkAdvise(b *testing.B) {
	n := need(3*unit.Metre, 5, 7.5)
	for b.Loop() {
		if _, err := Advise(n); err != nil {
			b.Fatal(err)
		}
	}
}
