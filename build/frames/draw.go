package frames

import (
	"image"
	"math"
)

// quiet is the white border of a symbol in modules. Source: ISO/IEC 18004, 6.3.8.
const quiet = 4

// Draw returns the picture.
func (s *Scene) Draw() *image.Gray {
	p := s.pose()
	light := make([]float32, Side*Side)
	back, dirt := noise(s.Seed), noise(s.Seed^0x55aa)
	ux, uy := math.Cos(s.UnevenAt), math.Sin(s.UnevenAt)
	for y := range Side {
		for x := range Side {
			px, py := float64(x)+0.5, float64(y)+0.5
			sum := 0.0
			if u, v, _, ok := p.hit(px, py); ok && s.near(u, v) {
				// Nine rays a pixel: what a pixel sees is the light of its whole face.
				for i := range 9 {
					u, v, facing, ok := p.hit(px+float64(i%3-1)/3, py+float64(i/3-1)/3)
					if !ok {
						continue
					}
					sum += s.paper(u, v, dirt) * (0.25 + 0.75*max(facing, 0)) / 9
				}
			} else {
				sum = s.White * (0.08 + 0.35*back.at(px/60, py/60)*back.at(px/17+99, py/23))
				if ok {
					sum = s.White * 0.12 // the wire or loom that the label is on
				}
			}
			edge := ((px-Side/2)*ux + (py-Side/2)*uy) / Side // -0.5 to 0.5, more in corners
			light[y*Side+x] = float32(sum * (1 - s.Uneven*(0.5+edge)))
		}
	}
	if s.Motion > 0 {
		light = moved(light, s.Motion, s.MoveAt)
	}
	light = blurred(light, s.Focus)
	return s.sensed(light)
}

// near tells whether a point lies on the label or its rim.
func (s *Scene) near(u, v float64) bool {
	side := float64(len(s.Modules))
	return u > -quiet-1 && v > -quiet-1 && v < side+quiet+1 && u < side+side+quiet+1
}

// paper is the light that a point of the label sends back. Beside the symbol and its quiet zone stand lines of text, as on
// the labels of the app.
func (s *Scene) paper(u, v float64, dirt noise) float64 {
	side := float64(len(s.Modules))
	if u < -quiet || v < -quiet || v > side+quiet || u > side+side+quiet {
		return s.White * 0.12
	}
	ink := false
	switch {
	case u > side+quiet:
		ink = s.words(u-side-quiet, v, side)
	case !s.Empty:
		ink = s.dark(u, v)
	}
	value := s.White
	if ink != s.Inverted {
		value = s.Black
	}
	middle := (s.White + s.Black) / 2
	if s.Film > 0 {
		thick := s.Film * dirt.at(u/9, v/9)
		value += (middle - value) * thick
	}
	for _, b := range s.Blobs {
		d := math.Hypot(u-b.X, v-b.Y) / (b.R * (0.7 + 0.6*dirt.at(u/1.7+7, v/1.7)))
		if d < 1 {
			value += (b.Light*s.White - value) * min(1, 4*(1-d))
		}
	}
	for _, c := range s.Scratches {
		if math.Abs((u-c.X)*math.Sin(c.At)-(v-c.Y)*math.Cos(c.At)) < c.Half {
			value = c.Light * s.White
		}
	}
	for _, g := range s.Glare {
		sin, cos := math.Sincos(g.At)
		du, dv := u-g.X, v-g.Y
		d := math.Hypot((du*cos+dv*sin)/g.RX, (dv*cos-du*sin)/g.RY)
		if d < 1.6 {
			value += g.Strength * 255 * min(1, max(0, (1.6-d)/0.8))
		}
	}
	return value
}

// dark tells whether there is ink of the symbol, which runs by Gain over the edges.
func (s *Scene) dark(u, v float64) bool {
	at := func(u, v float64) bool {
		i, j := int(math.Floor(v)), int(math.Floor(u))
		return i >= 0 && j >= 0 && i < len(s.Modules) && j < len(s.Modules) && s.Modules[i][j]
	}
	g := s.Gain
	if g < 0 { // the ink is thin
		return at(u+g, v+g) && at(u-g, v+g) && at(u+g, v-g) && at(u-g, v-g)
	}
	return at(u+g, v+g) || at(u-g, v+g) || at(u+g, v-g) || at(u-g, v-g)
}

// words draws what looks like letters: strokes of uneven width in lines.
func (s *Scene) words(u, v, side float64) bool {
	line := v / (side / 4)
	in := line - math.Floor(line)
	if in < 0.3 || in > 0.75 || u > side-2 {
		return false
	}
	n := noise(s.Seed + 3)
	return n.corner(int64(u*1.5), int64(line)) > 0.45 && (in < 0.45 || in > 0.6 || n.corner(int64(u*3), int64(line)+50) > 0.4)
}

// sensed is what the sensor makes of light: noise, and 256 steps.
func (s *Scene) sensed(light []float32) *image.Gray {
	r := newRandom(s.Seed ^ 0xf00d)
	out := image.NewGray(image.Rect(0, 0, Side, Side))
	for i, v := range light {
		if s.Grain > 0 {
			v += float32(r.NormFloat64() * s.Grain)
		}
		out.Pix[i] = uint8(min(max(v+0.5, 0), 255))
	}
	return out
}

// blurred spreads each pixel, by a bell of this standard deviation.
func blurred(in []float32, sigma float64) []float32 {
	if sigma < 0.05 {
		return in
	}
	half := int(math.Ceil(3 * sigma))
	bell := make([]float32, 2*half+1)
	sum := float32(0)
	for i := range bell {
		bell[i] = float32(math.Exp(-float64((i-half)*(i-half)) / (2 * sigma * sigma)))
		sum += bell[i]
	}
	for i := range bell {
		bell[i] /= sum
	}
	pass := func(in []float32, step, lines, next int) []float32 {
		out := make([]float32, len(in))
		for l := range lines {
			for i := range Side {
				v := float32(0)
				for k, b := range bell {
					v += b * in[l*next+min(max(i+k-half, 0), Side-1)*step]
				}
				out[l*next+i*step] = v
			}
		}
		return out
	}
	return pass(pass(in, 1, Side, Side), Side, Side, 1)
}

// moved smears the picture along a line.
func moved(in []float32, length, at float64) []float32 {
	out := make([]float32, len(in))
	steps := int(math.Ceil(length*2)) + 1
	dx, dy := math.Cos(at), math.Sin(at)
	for i := range steps {
		f := (float64(i)/float64(max(steps-1, 1)) - 0.5) * length
		ox, oy := f*dx, f*dy
		x0, y0 := int(math.Floor(ox)), int(math.Floor(oy))
		fx, fy := float32(ox-float64(x0)), float32(oy-float64(y0))
		for y := range Side {
			top, low := min(max(y+y0, 0), Side-1)*Side, min(max(y+y0+1, 0), Side-1)*Side
			for x := range Side {
				l, r := min(max(x+x0, 0), Side-1), min(max(x+x0+1, 0), Side-1)
				v := (in[top+l]*(1-fx)+in[top+r]*fx)*(1-fy) + (in[low+l]*(1-fx)+in[low+r]*fx)*fy
				out[y*Side+x] += v / float32(steps)
			}
		}
	}
	return out
}
