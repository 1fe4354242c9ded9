package paper

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"strings"

	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"loomwright/app/sheet"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
)

// writePictures writes a ZIP file with one PNG for each label, black and white, at the resolution of the options: a module is a whole number
// of dots, as the printer makes it.
func writePictures(w io.Writer, b *harness.Build, o sheet.Options, told Progress) error {
	plan, err := sheet.PlanTags(b, o)
	if err != nil {
		return err
	}
	dpi := o.Tags.DPI
	if dpi == 0 {
		dpi = sheet.UsualDPI
	}
	type faces struct{ regular, bold *opentype.Font }
	var of faces
	for _, f := range []struct {
		data []byte
		into **opentype.Font
	}{{o.Font.Regular, &of.regular}, {o.Font.Bold, &of.bold}} {
		if *f.into, err = opentype.Parse(f.data); err != nil {
			return fmt.Errorf("%w: %w", sheet.ErrFont, err)
		}
	}
	made := map[sheet.TagLine]font.Face{} // by size and weight alone
	face := func(l sheet.TagLine) (font.Face, error) {
		key := sheet.TagLine{Points: l.Points, Bold: l.Bold}
		if f, ok := made[key]; ok {
			return f, nil
		}
		from := of.regular
		if l.Bold {
			from = of.bold
		}
		f, err := opentype.NewFace(from, &opentype.FaceOptions{Size: l.Points, DPI: float64(dpi), Hinting: font.HintingFull})
		if err != nil {
			return nil, fmt.Errorf("%w: %w", sheet.ErrFont, err)
		}
		made[key] = f
		return f, nil
	}
	archive := zip.NewWriter(w)
	for n, l := range plan.Labels {
		told.page(n+1, len(plan.Labels))
		picture, err := labelPicture(l, dpi, face)
		if err != nil {
			return err
		}
		data, err := encodePNG(picture, dpi)
		if err != nil {
			return fmt.Errorf("paper: %w", err)
		}
		entry, err := archive.CreateHeader(&zip.FileHeader{Name: pictureName(l), Method: zip.Store, Modified: dateOf(o.Date)})
		if err == nil {
			_, err = entry.Write(data)
		}
		if err != nil {
			return fmt.Errorf("paper: %w", err)
		}
	}
	if err := archive.Close(); err != nil {
		return fmt.Errorf("paper: %w", err)
	}
	return nil
}

// pictureName is the name of the wire or place in plain signs, and the code.
func pictureName(l sheet.PlacedLabel) string {
	plain := strings.Map(func(r rune) rune {
		if r < 128 && (r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z') {
			return r
		}
		return '-'
	}, l.Name)
	return strings.Trim(plain, "-") + "-" + l.Tag.Code + ".png"
}

// labelPicture draws one label in dots.
func labelPicture(l sheet.PlacedLabel, dpi int, face func(sheet.TagLine) (font.Face, error)) (*image.Paletted, error) {
	dots := func(mm float64) int { return int(math.Round(mm / 25.4 * float64(dpi))) }
	grey := image.NewGray(image.Rect(0, 0, dots(l.W), dots(l.H)))
	for i := range grey.Pix {
		grey.Pix[i] = 255
	}
	for _, line := range l.Lines {
		f, err := face(line)
		if err != nil {
			return nil, err
		}
		d := font.Drawer{Dst: grey, Src: image.Black, Face: f, Dot: fixed.P(dots(line.X-l.X), dots(line.Y-l.Y))}
		d.DrawString(sheet.Printable(line.Text))
	}
	out := image.NewPaletted(grey.Bounds(), color.Palette{color.White, color.Black})
	for i, v := range grey.Pix {
		if v < 128 {
			out.Pix[i] = 1
		}
	}
	for _, s := range l.Strokes() {
		for y := dots(s[1] - l.Y); y <= dots(s[3]-l.Y); y++ {
			for x := dots(s[0] - l.X); x <= dots(s[2]-l.X); x++ {
				if image.Pt(x, y).In(out.Rect) {
					out.SetColorIndex(x, y, 1)
				}
			}
		}
	}
	if l.Square != nil {
		rows, err := l.Square.Bitmap()
		if err != nil {
			return nil, err
		}
		module := max(1, dots(l.Square.Module()))
		left, top := dots(l.SquareX-l.X)+tag.QuietZone*module, dots(l.SquareY-l.Y)+tag.QuietZone*module
		for r, row := range rows {
			for c, dark := range row {
				for k := range module * module {
					if dark {
						out.SetColorIndex(left+c*module+k%module, top+r*module+k/module, 1)
					}
				}
			}
		}
	}
	return out, nil
}

// encodePNG writes a picture that says how many dots an inch has.
//
// Source: PNG specification, second edition, section 11.3.5.3 (pHYs): dots a metre, behind the header.
func encodePNG(picture image.Image, dpi int) ([]byte, error) {
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, picture); err != nil {
		return nil, err
	}
	const header = 8 + 8 + 13 + 4 // signature; length, name, data and check of IHDR
	per := uint32(math.Round(float64(dpi) / 0.0254))
	chunk := []byte{0, 0, 0, 9, 'p', 'H', 'Y', 's'}
	chunk = binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(chunk, per), per)
	chunk = append(chunk, 1)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	data := out.Bytes()
	return append(append(append([]byte{}, data[:header]...), chunk...), data[header:]...), nil
}
