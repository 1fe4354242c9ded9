package bundle

// random is a small generator with a fixed seed, so that the same wires give the same picture.
//
// Source: splitmix64, Steele, Lea, Flood, Fast Splittable Pseudorandom Number Generators, OOPSLA 2014.
type random uint64

func (s *random) next() uint64 {
	*s += 0x9e3779b97f4a7c15
	z := uint64(*s)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// unit returns a number from 0 up to but not including 1.
func (s *random) unit() float64 { return float64(s.next()>>11) / (1 << 53) }

// below returns a number from 0 up to but not including n, which is at least 1.
func (s *random) below(n int) int { return int(s.next() % uint64(n)) }

// spread returns a number around 0 with a standard deviation of 1, roughly bell-shaped.
func (s *random) spread() float64 {
	return (s.unit() + s.unit() + s.unit() + s.unit() - 2) * 1.7320508075688772
}
