package survey

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"loomwright/calc/unit"
)

// randomNet makes observations of full rank: each column once, then sums of neighbours, some of them twice.
func randomNet(rng *rand.Rand, n int) (obs []*observation) {
	add := func(from, to int) {
		o := &observation{sigma: 0.5 + 10*rng.Float64(), value: unit.Length(rng.Int64N(int64(3 * unit.Metre)))}
		for c := from; c < to; c++ {
			o.shares = append(o.shares, share{c, 1})
		}
		obs = append(obs, o)
	}
	for c := range n {
		add(c, c+1)
	}
	for range 2 * n {
		from := rng.IntN(n)
		add(from, from+1+rng.IntN(min(8, n-from)))
	}
	return obs
}

// The same by gonum's dense decomposition: lengths, covariances and redundancies to 1e-9.
func TestAgainstGonum(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for trial := range 60 {
		n := 1 + rng.IntN(60)
		obs := randomNet(rng, n)
		net := newNetwork(n, obs)
		x := net.solve(func(o *observation) unit.Length { return o.value })
		normal, right := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
		for _, o := range obs {
			for _, s := range o.shares {
				right.SetVec(s.col, right.AtVec(s.col)+o.value.MM()*o.weight())
				for _, u := range o.shares {
					if u.col >= s.col {
						normal.SetSym(s.col, u.col, normal.At(s.col, u.col)+o.weight())
					}
				}
			}
		}
		var chol mat.Cholesky
		if !chol.Factorize(normal) {
			t.Fatalf("trial %d: gonum finds no full rank", trial)
		}
		var want mat.VecDense
		var q mat.SymDense
		if err := chol.SolveVecTo(&want, right); err != nil {
			t.Fatal(err)
		}
		if err := chol.InverseTo(&q); err != nil {
			t.Fatal(err)
		}
		same := func(what string, got, want, scale float64) {
			if math.Abs(got-want) > 1e-9*scale || math.IsNaN(got) {
				t.Fatalf("trial %d: %s is %v, gonum says %v", trial, what, got, want)
			}
		}
		for i := range n {
			same("a length", x[i].mm(), want.AtVec(i), math.Max(1, math.Abs(want.AtVec(i))))
			for j := range n {
				same("a covariance", net.cov([]share{{i, 1}}, []share{{j, 1}}), q.At(i, j), math.Sqrt(q.At(i, i)*q.At(j, j)))
			}
		}
		for _, o := range obs {
			a := mat.NewVecDense(n, nil)
			for _, s := range o.shares {
				a.SetVec(s.col, 1)
			}
			same("a redundancy", o.redundancy, 1-mat.Inner(a, &q, a)*o.weight(), 1)
		}
	}
}

// Adding a reading never raises a standard deviation, of a run or of a path.
func TestMoreReadingsNeverRaiseASigma(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for trial := range 40 {
		n := 2 + rng.IntN(25)
		obs := randomNet(rng, n)
		paths := make([][]share, 12)
		for i := range paths {
			from := rng.IntN(n)
			for c := from; c < n && c < from+6; c++ {
				paths[i] = append(paths[i], share{c, 1})
			}
		}
		var last []float64
		for m := n; m <= len(obs); m++ {
			some := make([]*observation, m)
			for i := range some {
				o := *obs[i]
				some[i] = &o
			}
			net := newNetwork(n, some)
			for i, p := range paths {
				v := net.cov(p, p)
				if last != nil && m > n && v > last[i]*(1+1e-9) {
					t.Fatalf("trial %d: a reading raised the variance of %v from %v to %v", trial, p, last[i], v)
				}
				if last == nil {
					last = make([]float64, len(paths))
				}
				last[i] = v
			}
		}
	}
}

// The upper tail of chi-square and its quantiles, against gonum.
func TestChiSquare(t *testing.T) {
	for _, n := range []int{1, 2, 3, 5, 8, 17, 48, 100, 400, 1600} {
		d := distuv.ChiSquared{K: float64(n)}
		for _, f := range []float64{0.01, 0.3, 0.8, 1, 1.2, 2, 5} {
			x := f * float64(n)
			near(t, "a tail", above(x, n), d.Survival(x), 1e-11)
		}
		for _, p := range []float64{0.5, 0.05, 0.001} {
			near(t, "a quantile", bound(n, p), d.Quantile(1-p), 1e-6*d.Quantile(1-p))
		}
	}
	// Source: tables of chi-square, 5 % of 1, 10 and 30 degrees of freedom.
	for n, want := range map[int]float64{1: 3.841, 10: 18.307, 30: 43.773} {
		near(t, "a printed quantile", bound(n, Level), want, 0.0006)
	}
	near(t, "the critical value", math.Sqrt(bound(1, 0.001)), Critical, 0.0001)
	near(t, "the bound of likeness", bound(1, Level), Alike, 0.0001)
	if above(0, 4) != 1 || above(5, 0) != 1 || bound(0, 0.05) != 0 {
		t.Error("without degrees of freedom nothing fails")
	}
}

// Residues agree with math/big, at the edges too.
func TestResidues(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 8))
	edge := []int64{0, 1, -1, 2, -7, math.MaxInt64, math.MinInt64, 1 << 32, -1 << 40, prime, prime - 1, prime + 1, -prime, 1 << 61}
	mod := big.NewInt(prime)
	for range 20000 {
		x, y := edge[rng.IntN(len(edge))], edge[rng.IntN(len(edge))]
		if rng.IntN(2) == 0 {
			x, y = rng.Int64(), -rng.Int64()
		}
		a, b := residueOf(x), residueOf(y)
		check := func(what string, got residue, want *big.Int) {
			t.Helper()
			if want = want.Mod(want, mod); uint64(got) != want.Uint64() {
				t.Fatalf("%s of %d and %d is %d, want %v", what, x, y, got, want)
			}
		}
		bx, by := big.NewInt(x), big.NewInt(y)
		check("residue", a, new(big.Int).Set(bx))
		check("product", a.mul(b), new(big.Int).Mul(bx, by))
		check("difference", a.sub(b), new(big.Int).Sub(bx, by))
		if a != 0 {
			check("quotient", a.mul(b).mul(a.inverse()), by)
		}
	}
}

// Sums of neighbours in odd rings settle every run, with numbers whose fractions grow past 64 bits on the way.
func TestRankStaysExactWhenNumbersGrow(t *testing.T) {
	const n = 150
	s := newSpace(n)
	for i := range n - 1 {
		s.add(line{{i, residueOf(3)}, {i + 1, residueOf(-5)}})
	}
	if s.rank() != n-1 || s.settles(line{{0, residueOf(1)}}) {
		t.Fatal("a chain of ratios settles nothing by itself")
	}
	if !s.settles(line{{0, residueOf(9)}, {2, residueOf(-25)}}) || s.settles(line{{0, residueOf(9)}, {2, residueOf(-24)}}) {
		t.Error("what follows from the chain is not told from what does not")
	}
	if !s.add(line{{n / 2, residueOf(1)}}) || s.add(line{{0, residueOf(1)}}) || s.rank() != n {
		t.Error("one more settles all, and a second tells nothing new")
	}
}
