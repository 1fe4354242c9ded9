package y4m

import (
	"image"
	"math"

	qrcode "github.com/skip2/go-qrcode"
)

// The size of a frame, in pixels.
const Width, Height = 640, 480

// The grey of things in a frame: paper and ink are not pure white and black to a camera.
const (
	table = 140
	paper = 225
	ink   = 40
)

// Shot is how a camera sees a code in the middle of its picture.
type Shot struct {
	Width, Height int     // of the picture in pixels; 0 is 640 × 480
	Side          float64 // of the code with its quiet zone, in pixels; 0 is three quarters of the height
	Turn          float64 // degrees, clockwise
	Tilt          float64 // 0 is seen from straight above; 0.3 makes the near edge nearly twice as long as the far one
	Blur          int     // passes of a 3 × 3 mean; 0 is sharp
}

// Blank is a picture of the table with no code on it.
func Blank() *image.Gray {
	return Shot{}.Picture(nil)
}

// Code is a picture of a QR code of the text at error correction level M.
func (s Shot) Code(text string) (*image.Gray, error) {
	code, err := qrcode.New(text, qrcode.Medium)
	if err != nil {
		return nil, err
	}
	return s.Picture(code.Bitmap()), nil
}

// Picture is a picture of a sheet of square modules, true being ink; the rows are those of the sheet, its quiet zone
// among them. Without modules it is the bare table.
func (s Shot) Picture(modules [][]bool) *image.Gray {
	if s.Width == 0 {
		s.Width, s.Height = Width, Height
	}
	if s.Side == 0 {
		s.Side = 0.75 * float64(s.Height)
	}
	p := image.NewGray(image.Rect(0, 0, s.Width, s.Height))
	sin, cos := math.Sincos(s.Turn * math.Pi / 180)
	grey := func(x, y float64) int {
		// Back from the picture to the sheet: the tilt (a projective map), then the turn.
		x, y = (x-float64(s.Width)/2)/s.Side, (y-float64(s.Height)/2)/s.Side
		depth := 1 + s.Tilt*y
		if depth <= 0 {
			return table
		}
		x, y = x/depth, y/depth
		x, y = x*cos+y*sin, y*cos-x*sin
		col := int(math.Floor((x + 0.5) * float64(len(modules))))
		row := int(math.Floor((y + 0.5) * float64(len(modules))))
		switch {
		case row < 0 || row >= len(modules) || col < 0 || col >= len(modules[row]):
			return table
		case modules[row][col]:
			return ink
		}
		return paper
	}
	const n = 3 // samples along each side of a pixel
	for y := range s.Height {
		for x := range s.Width {
			sum := 0
			for i := range n * n {
				sum += grey(float64(x)+(float64(i%n)+0.5)/n, float64(y)+(float64(i/n)+0.5)/n)
			}
			p.Pix[y*p.Stride+x] = uint8(sum / (n * n))
		}
	}
	for range s.Blur {
		p = mean(p)
	}
	return p
}

// mean gives each pixel the mean of itself and its neighbours.
func mean(p *image.Gray) *image.Gray {
	b := p.Bounds()
	q := image.NewGray(b)
	for y := range b.Dy() {
		for x := range b.Dx() {
			sum, n := 0, 0
			for v := max(0, y-1); v <= min(b.Dy()-1, y+1); v++ {
				for u := max(0, x-1); u <= min(b.Dx()-1, x+1); u++ {
					sum += int(p.Pix[v*p.Stride+u])
					n++
				}
			}
			q.Pix[y*q.Stride+x] = uint8(sum / n)
		}
	}
	return q
}
