// Package printed prints the tags of a build as each medium has them, and reads them back with two decoders that have nothing
// in common: the code reader that ships, in a browser, and zbarimg.
package printed

import (
	"archive/zip"
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"

	"loomwright/app/sheet"
	"loomwright/app/sheet/paper"
	"loomwright/calc/harness"
)

// Label is one printed label and its picture, a dot of the printer a pixel.
type Label struct {
	sheet.PlacedLabel
	Image *image.Gray
}

// Pages makes the label sheets as PDF, draws each page with the dots of the printer, and cuts the labels out.
func Pages(b *harness.Build, o sheet.Options) (sheet.TagPlan, []Label, error) {
	plan, err := sheet.PlanTags(b, o)
	if err != nil {
		return plan, nil, err
	}
	var pdf bytes.Buffer
	if err := paper.Write(&pdf, "tags", b, o, nil); err != nil {
		return plan, nil, err
	}
	dpi := dots(o)
	pages, err := Rasterise(pdf.Bytes(), dpi)
	if err != nil {
		return plan, nil, err
	}
	if len(pages) != plan.Pages {
		return plan, nil, fmt.Errorf("printed: %d pages, want %d", len(pages), plan.Pages)
	}
	all := make([]Label, len(plan.Labels))
	of := float64(dpi) / 25.4
	for i, l := range plan.Labels {
		all[i] = Label{l, cut(pages[l.Page-1], int(l.X*of), int(l.Y*of), int(l.W*of), int(l.H*of))}
	}
	return plan, all, nil
}

// Pictures makes the labels as pictures and reads those.
func Pictures(b *harness.Build, o sheet.Options) (sheet.TagPlan, []Label, error) {
	plan, err := sheet.PlanTags(b, o)
	if err != nil {
		return plan, nil, err
	}
	var out bytes.Buffer
	if err := paper.WriteAs(&out, "tags", sheet.ZIP, b, o, nil); err != nil {
		return plan, nil, err
	}
	archive, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
	if err != nil {
		return plan, nil, fmt.Errorf("printed: %w", err)
	}
	if len(archive.File) != len(plan.Labels) {
		return plan, nil, fmt.Errorf("printed: %d pictures, want %d", len(archive.File), len(plan.Labels))
	}
	all := make([]Label, len(plan.Labels))
	for i, f := range archive.File {
		r, err := f.Open()
		if err != nil {
			return plan, nil, fmt.Errorf("printed: %w", err)
		}
		picture, err := png.Decode(r)
		if err != nil {
			return plan, nil, fmt.Errorf("printed: %s: %w", f.Name, err)
		}
		few, ok := picture.(*image.Paletted)
		if !ok {
			return plan, nil, fmt.Errorf("printed: %s is not in black and white", f.Name)
		}
		all[i] = Label{plan.Labels[i], greyOf(few)}
	}
	return plan, all, nil
}

// dots is the resolution of the options.
func dots(o sheet.Options) int {
	if o.Tags.DPI == 0 {
		return sheet.UsualDPI
	}
	return o.Tags.DPI
}

// Rasterise draws the pages of a PDF in grey, at so many dots per inch.
func Rasterise(pdf []byte, dpi int) ([]*image.Gray, error) {
	dir, err := os.MkdirTemp("", "loomwright-printed-")
	if err != nil {
		return nil, fmt.Errorf("printed: %w", err)
	}
	defer os.RemoveAll(dir)
	cmd := exec.Command("pdftoppm", "-r", fmt.Sprint(dpi), "-gray", "-", filepath.Join(dir, "page"))
	cmd.Stdin = bytes.NewReader(pdf)
	if out, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("printed: pdftoppm: %w: %s; apt-get install poppler-utils", err, out)
	}
	names, err := filepath.Glob(filepath.Join(dir, "page*.pgm"))
	if err != nil {
		return nil, fmt.Errorf("printed: %w", err)
	}
	slices.Sort(names)
	pages := make([]*image.Gray, len(names))
	for i, name := range names {
		if pages[i], err = readGrey(name); err != nil {
			return nil, err
		}
	}
	return pages, nil
}

func readGrey(file string) (*image.Gray, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, fmt.Errorf("printed: %w", err)
	}
	var w, h, top int
	if _, err := fmt.Sscanf(string(data[:min(len(data), 40)]), "P5\n%d %d\n%d\n", &w, &h, &top); err != nil || top != math.MaxUint8 || len(data) < w*h {
		return nil, fmt.Errorf("printed: %s is no picture of 256 greys", file)
	}
	return &image.Gray{Pix: data[len(data)-w*h:], Stride: w, Rect: image.Rect(0, 0, w, h)}, nil
}

// cut returns a part of a picture, white where it reaches over the edge.
func cut(from *image.Gray, x, y, w, h int) *image.Gray {
	out := &image.Gray{Pix: bytes.Repeat([]byte{math.MaxUint8}, w*h), Stride: w, Rect: image.Rect(0, 0, w, h)}
	part := image.Rect(x, y, x+w, y+h).Intersect(from.Rect)
	for r := part.Min.Y; r < part.Max.Y; r++ {
		copy(out.Pix[(r-y)*w+part.Min.X-x:], from.Pix[r*from.Stride+part.Min.X:r*from.Stride+part.Max.X])
	}
	return out
}

// greyOf returns a picture of few colours in grey.
func greyOf(from *image.Paletted) *image.Gray {
	out := image.NewGray(from.Rect)
	grey := make([]byte, len(from.Palette))
	for i, c := range from.Palette {
		grey[i] = color.GrayModel.Convert(c).(color.Gray).Y
	}
	for i, p := range from.Pix {
		out.Pix[i] = grey[p]
	}
	return out
}
