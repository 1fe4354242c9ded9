package y4m

import (
	"bytes"
	"image"
	"strings"
	"testing"
)

func TestWrite(t *testing.T) {
	// A part of a larger picture: its rows do not follow each other in memory.
	whole := image.NewGray(image.Rect(0, 0, 10, 10))
	for i := range whole.Pix {
		whole.Pix[i] = uint8(i)
	}
	part := whole.SubImage(image.Rect(2, 3, 6, 5)).(*image.Gray)
	var b bytes.Buffer
	if err := Write(&b, part, part); err != nil {
		t.Fatal(err)
	}
	frame := "FRAME\n\x20\x21\x22\x23\x2a\x2b\x2c\x2d\x80\x80\x80\x80"
	if want := "YUV4MPEG2 W4 H2 F30:1 Ip A1:1 C420\n" + frame + frame; b.String() != want {
		t.Errorf("got  %q\nwant %q", b.String(), want)
	}
	for name, frames := range map[string][]*image.Gray{
		"none":      nil,
		"odd":       {image.NewGray(image.Rect(0, 0, 3, 2))},
		"two sizes": {part, Blank()},
	} {
		if err := Write(&b, frames...); err == nil || !strings.HasPrefix(err.Error(), "y4m: ") {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

func TestPicture(t *testing.T) {
	modules := [][]bool{{true, false}, {false, false}}
	at := func(s Shot, x, y int) uint8 { return s.Picture(modules).GrayAt(x, y).Y }
	for _, c := range []struct {
		name string
		s    Shot
		x, y int
		want uint8
	}{
		{"first module", Shot{Side: 100}, 280, 200, ink},
		{"second module", Shot{Side: 100}, 360, 200, paper},
		{"beside the sheet", Shot{Side: 100}, 380, 200, table},
		{"turned a quarter", Shot{Side: 100, Turn: 90}, 360, 200, ink},
		{"turned a quarter, where it was", Shot{Side: 100, Turn: 90}, 280, 200, paper},
		{"tilted, the far edge is shorter", Shot{Side: 100, Tilt: 0.5}, 275, 193, table},
		{"blurred far from an edge", Shot{Side: 100, Blur: 2}, 290, 210, ink},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := at(c.s, c.x, c.y); got != c.want {
				t.Errorf("grey %d, want %d", got, c.want)
			}
		})
	}
}
