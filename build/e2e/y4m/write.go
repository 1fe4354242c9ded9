package y4m

import (
	"bufio"
	"bytes"
	"fmt"
	"image"
	"io"
	"os"
)

// Write writes the frames, all of one size with even sides, as a film of 30 frames a second in C420 with no colour.
//
// Source: the yuv4mpeg(5) manual page of mjpegtools: the header line, a FRAME line before each frame, then the planes
// Y, Cb and Cr, the last two with half the width and height.
func Write(w io.Writer, frames ...*image.Gray) error {
	if len(frames) == 0 {
		return fmt.Errorf("y4m: no frames")
	}
	size := frames[0].Bounds().Size()
	if size.X%2 != 0 || size.Y%2 != 0 || size.X == 0 || size.Y == 0 {
		return fmt.Errorf("y4m: frame %d × %d: sides must be even and above 0", size.X, size.Y)
	}
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "YUV4MPEG2 W%d H%d F30:1 Ip A1:1 C420\n", size.X, size.Y)
	colourless := bytes.Repeat([]byte{128}, size.X*size.Y/2)
	for i, f := range frames {
		if f.Bounds().Size() != size {
			return fmt.Errorf("y4m: frame %d: size %v, not %v", i, f.Bounds().Size(), size)
		}
		out.WriteString("FRAME\n")
		for y := range size.Y {
			row := f.Pix[y*f.Stride:]
			out.Write(row[:size.X])
		}
		out.Write(colourless)
	}
	return out.Flush()
}

// WriteFile writes the frames into a file.
func WriteFile(name string, frames ...*image.Gray) error {
	var b bytes.Buffer
	if err := Write(&b, frames...); err != nil {
		return err
	}
	return os.WriteFile(name, b.Bytes(), 0o644)
}
