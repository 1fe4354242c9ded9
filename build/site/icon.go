package site

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"
)

// The mark: one bundle that splits into three leads, each with its end, and the one you are at filled. It is drawn in
// a square of 100 from the numbers below, as SVG and as pixels.

type point struct{ x, y float64 }

// stroke is a Bézier curve of ink.
type stroke struct {
	from, c1, c2, to point
	width            float64
}

// ring is an end of a lead; a filled one is the accent.
type ring struct {
	at     point
	r      float64
	filled bool
}

var (
	paper  = color.RGBA{0xf8, 0xf5, 0xec, 0xff}
	ink    = color.RGBA{0x14, 0x1b, 0x22, 0xff}
	accent = color.RGBA{0x96, 0x2b, 0x00, 0xff}

	strokes = []stroke{
		{point{12, 50}, point{22, 50}, point{30, 50}, point{42, 50}, 13},
		{point{42, 50}, point{56, 50}, point{58, 24}, point{80, 24}, 5},
		{point{42, 50}, point{56, 50}, point{66, 50}, point{80, 50}, 5},
		{point{42, 50}, point{56, 50}, point{58, 76}, point{80, 76}, 5},
	}
	rings = []ring{{point{80, 24}, 7.5, false}, {point{80, 50}, 7.5, true}, {point{80, 76}, 7.5, false}}
)

const ringLine = 4 // width of the line of an open ring

// icons draws every icon of the site. The maskable one keeps the mark inside the circle of 80 % that no launcher cuts.
// Source: W3C Web Application Manifest, icon masks and safe zone.
var icons = map[string]func() []byte{
	"web/icon.svg":              svgIcon,
	"web/icon-192.png":          func() []byte { return pngIcon(192, 1) },
	"web/icon-512.png":          func() []byte { return pngIcon(512, 1) },
	"web/icon-maskable-512.png": func() []byte { return pngIcon(512, 0.8) },
	"web/icon-apple-180.png":    func() []byte { return pngIcon(180, 0.86) },
}

func svgIcon() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100"><rect width="100" height="100" fill="%s"/>`, hexOf(paper))
	for _, s := range strokes {
		fmt.Fprintf(&b, `<path d="M%g %gC%g %g %g %g %g %g" fill="none" stroke="%s" stroke-width="%g" stroke-linecap="round"/>`,
			s.from.x, s.from.y, s.c1.x, s.c1.y, s.c2.x, s.c2.y, s.to.x, s.to.y, hexOf(ink), s.width)
	}
	for _, r := range rings {
		fill, line := paper, ink
		if r.filled {
			fill, line = accent, accent
		}
		fmt.Fprintf(&b, `<circle cx="%g" cy="%g" r="%g" fill="%s" stroke="%s" stroke-width="%d"/>`,
			r.at.x, r.at.y, r.r-ringLine/2, hexOf(fill), hexOf(line), ringLine)
	}
	return []byte(b.String() + "</svg>\n")
}

func hexOf(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// pngIcon draws the mark on paper, size pixels wide, the mark scaled about the middle. An edge is smoothed by how far
// the middle of the pixel is from it.
func pngIcon(size int, scale float64) []byte {
	img := image.NewRGBA(image.Rect(0, 0, size, size))
	unit := float64(size) / 100 * scale // pixels for 1 of the mark
	lines := make([][]point, len(strokes))
	for i, s := range strokes {
		lines[i] = s.flat(24)
	}
	for y := range size {
		for x := range size {
			p := point{50 + (float64(x)+0.5-float64(size)/2)/unit, 50 + (float64(y)+0.5-float64(size)/2)/unit}
			c := paper
			for i, s := range strokes {
				d := math.Inf(1)
				for j := range lines[i][1:] {
					d = math.Min(d, apart(p, lines[i][j], lines[i][j+1]))
				}
				c = over(c, ink, (s.width/2-d)*unit)
			}
			for _, r := range rings {
				d := math.Hypot(p.x-r.at.x, p.y-r.at.y)
				if r.filled {
					c = over(c, accent, (r.r-d)*unit)
					continue
				}
				c = over(c, ink, (r.r-d)*unit)
				c = over(c, paper, (r.r-ringLine-d)*unit)
			}
			img.SetRGBA(x, y, c)
		}
	}
	var out bytes.Buffer
	if err := png.Encode(&out, img); err != nil {
		panic(err) // a buffer takes everything
	}
	return out.Bytes()
}

// flat returns the curve as n straight pieces.
func (s stroke) flat(n int) []point {
	out := make([]point, n+1)
	for i := range out {
		t := float64(i) / float64(n)
		u := 1 - t
		a, b, c, d := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		out[i] = point{a*s.from.x + b*s.c1.x + c*s.c2.x + d*s.to.x, a*s.from.y + b*s.c1.y + c*s.c2.y + d*s.to.y}
	}
	return out
}

// apart returns the distance of p from the piece a to b.
func apart(p, a, b point) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	t := ((p.x-a.x)*dx + (p.y-a.y)*dy) / (dx*dx + dy*dy)
	t = min(max(t, 0), 1)
	return math.Hypot(p.x-a.x-t*dx, p.y-a.y-t*dy)
}

// over lays top on c; inside is how many pixels the middle of the pixel lies inside the edge.
func over(c, top color.RGBA, inside float64) color.RGBA {
	a := min(max(inside+0.5, 0), 1)
	mix := func(x, y uint8) uint8 { return uint8(math.Round(float64(x)*(1-a) + float64(y)*a)) }
	return color.RGBA{mix(c.R, top.R), mix(c.G, top.G), mix(c.B, top.B), 0xff}
}
