package frames

import (
	"math"
)

// Scene is one label before a camera. The camera stands at the origin and looks along z; lengths are in modules of the
// symbol, the picture in pixels.
type Scene struct {
	Modules [][]bool // dark ones, without the quiet zone
	Text    string   // what they say
	Version int
	Level   int // of error correction, 0 to 3: L, M, Q, H

	Pixels   float64 // of one module in the middle, seen from straight above
	Turn     float64 // about the line of sight, radians
	Tilt     float64 // away from the line of sight, radians
	TiltAt   float64 // the direction that is tilted away, radians
	OffX     float64 // of the middle of the symbol from that of the picture, pixels
	OffY     float64
	Round    float64 // the part of a cylinder's round that the symbol takes, 0 for a flat label
	Along    bool    // the cylinder's axis lies along the rows of the symbol, not across
	Gain     float64 // how far ink runs over the edge of a module, in modules
	Inverted bool    // light on dark

	White, Black float64 // light that paper and ink send back, 0 to 255
	Uneven       float64 // the part of the light that is lost at the dark side of the picture
	UnevenAt     float64
	Film         float64 // the most contrast that an oil film takes, 0 to 1
	Blobs        []Blob
	Scratches    []Scratch
	Glare        []Glare

	Focus  float64 // the blur's standard deviation, pixels
	Motion float64 // how far the hand moved, pixels
	MoveAt float64
	Grain  float64 // the sensor's noise, standard deviation of 0 to 255

	Seed  uint64
	Empty bool // no symbol on the label
}

// Blob is a spot of dirt on the label, in modules from the symbol's top left.
type Blob struct{ X, Y, R, Light float64 }

// Scratch is a line through the print.
type Scratch struct{ X, Y, At, Half, Light float64 }

// Glare is a mirrored lamp on the label.
type Glare struct{ X, Y, RX, RY, At, Strength float64 }

// Side is how many pixels a picture has on each side: the square in the middle of a camera of 1280 × 720.
const Side = 720

// focal is how many pixels away the picture lies from the lens.
//
// Source: our choice, 65° across 1280 pixels, a usual main camera of a phone.
var focal = 640 / math.Tan(32.5*math.Pi/180)

type vector struct{ x, y, z float64 }

func (a vector) plus(b vector) vector   { return vector{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vector) minus(b vector) vector  { return vector{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vector) times(f float64) vector { return vector{a.x * f, a.y * f, a.z * f} }
func (a vector) dot(b vector) float64   { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vector) about(axis vector, angle float64) vector {
	// Rodrigues' rotation.
	s, c := math.Sincos(angle)
	cross := vector{axis.y*a.z - axis.z*a.y, axis.z*a.x - axis.x*a.z, axis.x*a.y - axis.y*a.x}
	return a.times(c).plus(cross.times(s)).plus(axis.times(axis.dot(a) * (1 - c)))
}

// pose is where the label is: its middle, the directions of its rows and columns, and the one away from the camera.
type pose struct {
	mid, across, down, away vector
	side                    float64 // modules of the symbol
	radius                  float64 // of the cylinder; 0 for flat
	along                   bool
}

func (s *Scene) pose() pose {
	far := focal / s.Pixels
	p := pose{side: float64(len(s.Modules)), along: s.Along}
	axis := vector{-math.Sin(s.TiltAt), math.Cos(s.TiltAt), 0}
	place := func(v vector) vector { return v.about(vector{0, 0, 1}, s.Turn).about(axis, s.Tilt) }
	p.across, p.down, p.away = place(vector{1, 0, 0}), place(vector{0, 1, 0}), place(vector{0, 0, 1})
	p.mid = vector{s.OffX / s.Pixels, s.OffY / s.Pixels, far}
	if s.Round > 0 {
		p.radius = p.side / (2 * math.Pi * s.Round)
	}
	return p
}

// seen returns where a point of the label, in modules from the symbol's top left, is in the picture.
func (p pose) seen(u, v float64) (x, y float64) {
	u, v = u-p.side/2, v-p.side/2
	deep := 0.0
	if p.radius > 0 {
		bent := &u
		if p.along {
			bent = &v
		}
		s, c := math.Sincos(*bent / p.radius)
		*bent, deep = p.radius*s, p.radius*(1-c)
	}
	at := p.mid.plus(p.across.times(u)).plus(p.down.times(v)).plus(p.away.times(deep))
	return Side/2 + focal*at.x/at.z, Side/2 + focal*at.y/at.z
}

// hit returns which point of the label a point of the picture shows, and how squarely it is looked at, 1 for straight; false
// where it shows nothing of it.
func (p pose) hit(x, y float64) (u, v, facing float64, ok bool) {
	ray := vector{(x - Side/2) / focal, (y - Side/2) / focal, 1}
	// In the label's own directions.
	d := vector{ray.dot(p.across), ray.dot(p.down), ray.dot(p.away)}
	o := vector{0, 0, 0}.minus(p.mid)
	o = vector{o.dot(p.across), o.dot(p.down), o.dot(p.away)}
	if p.radius == 0 {
		if d.z <= 0 {
			return 0, 0, 0, false
		}
		t := -o.z / d.z
		return o.x + t*d.x + p.side/2, o.y + t*d.y + p.side/2, d.z / math.Sqrt(d.dot(d)), true
	}
	if p.along {
		o.x, o.y, d.x, d.y = o.y, o.x, d.y, d.x
	}
	// A cylinder along the second direction, its axis a radius behind the label.
	oz := o.z - p.radius
	a, b, c := d.x*d.x+d.z*d.z, o.x*d.x+oz*d.z, o.x*o.x+oz*oz-p.radius*p.radius
	root := b*b - a*c
	if root < 0 {
		return 0, 0, 0, false
	}
	t := (-b - math.Sqrt(root)) / a
	px, pz, along := o.x+t*d.x, oz+t*d.z, o.y+t*d.y
	u, v = p.radius*math.Atan2(px, -pz), along
	facing = -(px*d.x + pz*d.z) / p.radius / math.Sqrt(d.dot(d))
	if p.along {
		u, v = v, u
	}
	return u + p.side/2, v + p.side/2, facing, true
}

// Narrowest returns how many pixels the narrowest module of the symbol measures in the picture, along its rows or columns.
func (s *Scene) Narrowest() float64 {
	p, n := s.pose(), len(s.Modules)
	least := math.Inf(1)
	for i := range n {
		for j := range n {
			x, y := p.seen(float64(j), float64(i))
			for _, to := range [2][2]int{{j + 1, i}, {j, i + 1}} {
				nx, ny := p.seen(float64(to[0]), float64(to[1]))
				least = min(least, math.Hypot(nx-x, ny-y))
			}
		}
	}
	return least
}
