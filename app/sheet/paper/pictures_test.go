package paper

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"

	"loomwright/app/sheet"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

// Pictures of labels are as large as the label at their resolution and say it. That they are read, build/printed proves.
func TestPicturesOfLabels(t *testing.T) {
	b := demo(t)
	for _, dpi := range []int{180, 203, 300, 600} {
		var only []string
		for i, rec := range b.Tags.All() {
			if i%9 == 0 && !rec.Retired {
				only = append(only, rec.Code)
			}
		}
		o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Grid: sheet.SingleLabel(60*unit.Millimetre, 24*unit.Millimetre), DPI: dpi, Payload: tag.Code, Only: only}}
		var out bytes.Buffer
		if err := WriteAs(&out, "tags", sheet.ZIP, b, o, nil); err != nil {
			t.Fatalf("%d dpi: %v", dpi, err)
		}
		archive, err := zip.NewReader(bytes.NewReader(out.Bytes()), int64(out.Len()))
		if err != nil {
			t.Fatal(err)
		}
		if len(archive.File) != len(only) {
			t.Errorf("%d dpi: %d pictures of %d labels", dpi, len(archive.File), len(only))
		}
		for _, f := range archive.File {
			r, err := f.Open()
			if err != nil {
				t.Fatal(err)
			}
			data, err := io.ReadAll(r)
			if err != nil {
				t.Fatal(err)
			}
			picture, err := png.Decode(bytes.NewReader(data))
			if err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
			wide, high := math.Round(60/25.4*float64(dpi)), math.Round(24/25.4*float64(dpi))
			if size := picture.Bounds(); float64(size.Dx()) != wide || float64(size.Dy()) != high {
				t.Errorf("%s at %d dpi is %v", f.Name, dpi, size)
			}
			if i := bytes.Index(data, []byte("pHYs")); i < 0 || math.Abs(float64(binary.BigEndian.Uint32(data[i+4:]))*0.0254-float64(dpi)) > 0.02 {
				t.Errorf("%s does not say %d dpi", f.Name, dpi)
			}
		}
	}
}

// A tape that is too narrow for a square is refused with the reason, and takes text alone.
func TestNarrowTapes(t *testing.T) {
	b := demo(t)
	for _, mm := range []int{6, 9, 12, 18, 24} {
		g, ok := sheet.GridNamed(fmt.Sprintf("tape-%d", mm))
		if !ok {
			t.Fatalf("no tape of %d mm", mm)
		}
		o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Grid: g, Payload: tag.Link, Address: "https://harness.example/app-1/"}}
		plan, err := sheet.PlanTags(b, o)
		if refused := errors.Is(err, tag.ErrTooSmall); refused != (mm < 9) {
			t.Errorf("a link on a tape of %d mm: %v", mm, err)
		}
		if warned := plan.Doubtful > 0 && strings.Contains(strings.Join(plan.Notes, "\n"), "will not reliably scan"); warned != (mm == 9) {
			t.Errorf("a link on a tape of %d mm: %d doubtful of %d, %q", mm, plan.Doubtful, plan.Squares, plan.Notes)
		}
		o.Tags.Wires, o.Tags.BundlesPlain = sheet.Tube, true
		if plan, err := sheet.PlanTags(b, o); err != nil || plan.Squares != 0 {
			t.Errorf("text on a tape of %d mm: %v", mm, err)
		}
	}
}
