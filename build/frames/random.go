package frames

import (
	"math"
	"math/rand/v2"
)

// random is a seeded source.
type random struct{ *rand.Rand }

func newRandom(seed uint64) random { return random{rand.New(rand.NewPCG(seed, 0x7a65))} }

// Read fills b: it lets codes be drawn.
func (r random) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = byte(r.Uint32())
	}
	return len(b), nil
}

// in returns a number of a range.
func (r random) in(from, to float64) float64 { return from + (to-from)*r.Float64() }

// turn returns an angle of the whole circle in radians.
func (r random) turn() float64 { return r.in(0, 2*math.Pi) }

// noise is a smooth surface of values from 0 to 1 that repeats nowhere near.
type noise uint64

// at returns the value at a point; a wave is about two units long.
func (n noise) at(x, y float64) float64 {
	x0, y0 := math.Floor(x), math.Floor(y)
	fx, fy := ease(x-x0), ease(y-y0)
	i, j := int64(x0), int64(y0)
	top := n.corner(i, j)*(1-fx) + n.corner(i+1, j)*fx
	low := n.corner(i, j+1)*(1-fx) + n.corner(i+1, j+1)*fx
	return top*(1-fy) + low*fy
}

func ease(t float64) float64 { return t * t * (3 - 2*t) }

// corner mixes the place into a number.
//
// Source: the finaliser of SplitMix64 (Steele, Lea, Flood: Fast splittable pseudorandom number generators, 2014).
func (n noise) corner(i, j int64) float64 {
	z := uint64(n) + uint64(i)*0x9e3779b97f4a7c15 + uint64(j)*0xd1b54a32d192ed03
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64((z^z>>31)>>11) / (1 << 53)
}
