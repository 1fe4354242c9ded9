package paper

import (
	"bytes"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"loomwright/app/sheet"
	"loomwright/app/sheet/sheettest"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

var golden = flag.Bool("golden", false, "write the golden files anew instead of comparing with them")

func fonts(t testing.TB) sheet.Font {
	t.Helper()
	var f sheet.Font
	f.Regular, f.Bold = sheettest.Fonts(t)
	return f
}

func written(t *testing.T, kind string, b *harness.Build, o sheet.Options) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, kind, b, o, nil); err != nil {
		t.Fatalf("%s: %v", kind, err)
	}
	return out.Bytes()
}

func TestGoldenPages(t *testing.T) {
	if testing.Short() {
		t.Skip("needs poppler-utils")
	}
	b := sheettest.Bench(t)
	for _, kind := range []string{"cut", "trim", "sections"} {
		compare(t, kind+".pdf.txt", pageText(t, written(t, kind, b, sheet.Options{Date: "2026-05-14", Revision: "B", Font: fonts(t)})))
	}
}

// pageText returns what is printed on the pages of a PDF, the gaps between columns made alike.
func pageText(t *testing.T, pdf []byte) []byte {
	t.Helper()
	file := filepath.Join(t.TempDir(), "list.pdf")
	if err := os.WriteFile(file, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		t.Fatalf("pdftotext: %v; apt-get install poppler-utils, or run the tests with -short", err)
	}
	return regexp.MustCompile(` {2,}`).ReplaceAll(out, []byte("  "))
}

// compare holds what was written against the golden file.
func compare(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join(sheettest.Module(t), "testdata", "golden", name)
	if *golden {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v; go test ./app/sheet/paper -golden writes it", err)
	}
	if string(got) != string(want) {
		t.Errorf("%s differs from the golden file; go test ./app/sheet/paper -golden writes it anew, then read the difference.\ngot:\n%s", name, got)
	}
}

// Every list and drawing is on paper too. The same build and options give the same bytes, and each page is told of once
// and in order before it is drawn.
func TestEveryKindIsDeterministic(t *testing.T) {
	for _, k := range sheet.Kinds() {
		if !slices.Contains(k.Formats, sheet.PDF) {
			continue
		}
		var first []byte
		for range 3 {
			var out bytes.Buffer
			told, of := 0, 0
			err := Write(&out, k.Name, sheettest.Seeded(t, 60), sheet.Options{Font: fonts(t), Date: "2026-05-14"}, func(page, pages int) {
				if told++; page != told || pages < page || of > 0 && pages != of {
					t.Errorf("%s: page %d of %d was told after %d of %d", k.Name, page, pages, told-1, of)
				}
				of = pages
			})
			if err != nil {
				t.Fatal(err)
			}
			if in := bytes.Count(out.Bytes(), []byte("<</Type /Page\n")); told != of || in != of {
				t.Errorf("%s: %d pages of %d were told, the file has %d", k.Name, told, of, in)
			}
			if first != nil && !bytes.Equal(out.Bytes(), first) {
				t.Errorf("%s differs from one time to the next", k.Name)
			}
			first = out.Bytes()
		}
	}
}

// A build with nothing in it, and one with texts made to break writers, are written.
func TestOddBuilds(t *testing.T) {
	odd, empty := sheettest.Odd(t), harness.NewBuild("empty")
	for _, k := range sheet.Kinds() {
		if err := Write(io.Discard, k.Name, odd, sheet.Options{Font: fonts(t)}, nil); err != nil {
			t.Errorf("%s: %v", k.Name, err)
		}
		err := Write(io.Discard, k.Name, empty, sheet.Options{Font: fonts(t)}, nil)
		if wantNone := k.Name == "tags"; errors.Is(err, sheet.ErrNoTags) != wantNone || (err != nil && !wantNone) {
			t.Errorf("%s of an empty build: %v", k.Name, err)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	b := sheettest.Bench(t)
	none, zeros := []byte("not a font at all"), append([]byte{0, 1, 0, 0}, make([]byte, 100)...)
	for _, c := range []struct {
		kind string
		o    sheet.Options
		want error
	}{
		{"nothing", sheet.Options{Font: fonts(t)}, sheet.ErrKind},
		{"wires", sheet.Options{}, sheet.ErrFont},
		{"route", sheet.Options{}, sheet.ErrFont},
		{"wires", sheet.Options{Font: sheet.Font{Regular: none, Bold: none}}, sheet.ErrFont},
		{"wires", sheet.Options{Font: sheet.Font{Regular: zeros, Bold: fonts(t).Bold}}, sheet.ErrFont},
		{"tags", sheet.Options{}, sheet.ErrFont},
		{"tags", sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Width: 4 * unit.Millimetre}}, tag.ErrTooSmall},
	} {
		var out bytes.Buffer
		if err := Write(&out, c.kind, b, c.o, nil); !errors.Is(err, c.want) || out.Len() != 0 {
			t.Errorf("%s: %v, %d bytes; want %v and nothing", c.kind, err, out.Len(), c.want)
		}
	}
}

// What is planned with sheet.Font.Measure is as wide in the library, for every sign.
func TestWidthsAreThoseOfTheLibrary(t *testing.T) {
	p, err := newPages(210, 297, sheet.Options{Font: fonts(t)})
	if err != nil {
		t.Fatal(err)
	}
	width, err := fonts(t).Measure()
	if err != nil {
		t.Fatal(err)
	}
	for _, bold := range []bool{false, true} {
		wide := 0
		for r := range rune(0x10000) {
			text := string(r)
			ours, theirs := width(text, 7.5, bold), p.width(text, 7.5, bold)
			if ours != theirs {
				t.Fatalf("%U, bold %v: %v mm wide, in the library %v", r, bold, ours, theirs)
			}
			if ours > 0 {
				wide++
			}
		}
		if wide < 10_000 {
			t.Errorf("only %d signs have a width: nothing was compared", wide)
		}
	}
}

func TestDateOfTheFile(t *testing.T) {
	for in, want := range map[string]string{"2026-05-14": "2026-05-14", "2026-05-14T10:00:00Z": "2026-05-14", "": "2000-01-01", "14 May": "2000-01-01"} {
		if got := dateOf(in).Format("2006-01-02"); got != want {
			t.Errorf("dateOf(%q) = %s, want %s", in, got, want)
		}
	}
}

// Sizes on paper are exact: the page of the PDF, and the ruler.
func TestSheetIsExactMillimetres(t *testing.T) {
	b := sheettest.Seeded(t, 3)
	for _, g := range sheet.Grids() {
		o := sheet.Options{Font: fonts(t), Tags: sheet.TagOptions{Grid: g}}
		if g.LabelH < 12*unit.Millimetre { // a tape too narrow for a square
			o.Tags.Wires, o.Tags.BundlesPlain = sheet.Tube, true
		}
		pdf := string(written(t, "tags", b, o))
		m := regexp.MustCompile(`/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]`).FindStringSubmatch(pdf)
		if m == nil {
			t.Fatalf("%s: no page size", g.Name)
		}
		for i, want := range []unit.Length{g.PageW, g.PageH} {
			got, err := strconv.ParseFloat(m[i+1], 64)
			if err != nil || math.Abs(got*sheet.Point-want.MM()) > 0.005 {
				t.Errorf("%s: a side of %v points, want %v mm", g.Name, got, want.MM())
			}
		}
	}
}

func BenchmarkTagSheet(bm *testing.B) {
	b := sheettest.Seeded(bm, 150)
	o := sheet.Options{Font: fonts(bm), Tags: sheet.TagOptions{Address: "https://harness.example/app-1/"}}
	for bm.Loop() {
		if err := Write(io.Discard, "tags", b, o, nil); err != nil {
			bm.Fatal(err)
		}
	}
}

func BenchmarkWireList(bm *testing.B) {
	b := sheettest.Seeded(bm, 1000)
	o := sheet.Options{Font: fonts(bm)}
	for bm.Loop() {
		if err := Write(io.Discard, "wires", b, o, nil); err != nil {
			bm.Fatal(err)
		}
	}
}
