package board

import "math"

// Point is a position on the bench in mm, from its top left corner; y runs down.
type Point struct{ X, Y float64 }

func (p Point) plus(q Point) Point              { return Point{p.X + q.X, p.Y + q.Y} }
func (p Point) minus(q Point) Point             { return Point{p.X - q.X, p.Y - q.Y} }
func (p Point) times(f float64) Point           { return Point{p.X * f, p.Y * f} }
func (p Point) dot(q Point) float64             { return p.X*q.X + p.Y*q.Y }
func (p Point) cross(q Point) float64           { return p.X*q.Y - p.Y*q.X }
func (p Point) length() float64                 { return math.Sqrt(p.X*p.X + p.Y*p.Y) } // math.Hypot differs from processor to processor
func (p Point) toward(q Point, f float64) Point { return p.plus(q.minus(p).times(f)) }

// Length returns how long a line through these points is.
func Length(line []Point) (sum float64) {
	for i := 1; i < len(line); i++ {
		sum += line[i].minus(line[i-1]).length()
	}
	return sum
}

// fromSegment returns how far a point is from a stretch.
func fromSegment(p, a, b Point) float64 {
	d := b.minus(a)
	t := 0.0
	if l := d.dot(d); l > 0 {
		t = min(1, max(0, p.minus(a).dot(d)/l))
	}
	return p.minus(a.plus(d.times(t))).length()
}

// crossing reports whether two stretches touch or cross.
func crossing(a, b, c, d Point) bool {
	if max(a.X, b.X) < min(c.X, d.X) || max(c.X, d.X) < min(a.X, b.X) || max(a.Y, b.Y) < min(c.Y, d.Y) || max(c.Y, d.Y) < min(a.Y, b.Y) {
		return false
	}
	r, s := b.minus(a), d.minus(c)
	o1, o2 := r.cross(c.minus(a)), r.cross(d.minus(a))
	o3, o4 := s.cross(a.minus(c)), s.cross(b.minus(c))
	if o1 == 0 && o2 == 0 { // on one line
		t := func(p Point) float64 { return p.minus(a).dot(r) }
		lo, hi := min(t(c), t(d)), max(t(c), t(d))
		return hi >= 0 && lo <= r.dot(r)
	}
	return opposite(o1, o2) && opposite(o3, o4) || o1 == 0 && within(c, a, b) || o2 == 0 && within(d, a, b) ||
		o3 == 0 && within(a, c, d) || o4 == 0 && within(b, c, d)
}

func opposite(x, y float64) bool { return x > 0 && y < 0 || x < 0 && y > 0 }

// within reports whether a point of the line through a and b lies between them.
func within(p, a, b Point) bool { return p.minus(a).dot(p.minus(b)) <= 0 }

// apart returns how far two stretches are from each other, 0 if they cross; or any number above most if they are farther
// than that.
func apart(a, b, c, d Point, most float64) float64 {
	if min(a.X, b.X)-max(c.X, d.X) > most || min(c.X, d.X)-max(a.X, b.X) > most ||
		min(a.Y, b.Y)-max(c.Y, d.Y) > most || min(c.Y, d.Y)-max(a.Y, b.Y) > most {
		return most + 1
	}
	if crossing(a, b, c, d) {
		return 0
	}
	return min(min(fromSegment(a, c, d), fromSegment(b, c, d)), min(fromSegment(c, a, b), fromSegment(d, a, b)))
}

// random is a small generator with a fixed seed, so that the same harness is laid the same way.
//
// Source: splitmix64, Steele, Lea, Flood, Fast Splittable Pseudorandom Number Generators, OOPSLA 2014.
type random uint64

func (s *random) unit() float64 {
	*s += 0x9e3779b97f4a7c15
	z := uint64(*s)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64((z^z>>31)>>11) / (1 << 53)
}
