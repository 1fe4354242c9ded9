package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/go-json-experiment/json"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

func written(t *testing.T, kind string, format Format, b *harness.Build, o Options) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, kind, format, b, o); err != nil {
		t.Fatalf("%s as %s: %v", kind, format, err)
	}
	return out.Bytes()
}

// bench is a small build with something of everything that a list can say.
func bench(t testing.TB) *harness.Build {
	b := seeded(t, 12)
	w, _ := b.Wires.Get("w002")
	w.Cut = &harness.Done{Length: *millimetres(1240), At: "2026-05-12T10:00:00Z"}
	put(t, b, harness.KindWire, w.ID, w)
	w, _ = b.Wires.Get("w001")
	w.Trimmed = &harness.Done{Length: *millimetres(900), At: "2026-05-13T10:00:00Z"}
	w.Function = "=cmd|' /C calc'!A0"
	put(t, b, harness.KindWire, w.ID, w)
	w, _ = b.Wires.Get("w003")
	w.To, w.Note = harness.End{}, "end not chosen"
	put(t, b, harness.KindWire, w.ID, w)
	w, _ = b.Wires.Get("w005")
	w.To = harness.End{Place: "lost"}
	put(t, b, harness.KindWire, w.ID, w)
	put(t, b, harness.KindPlace, "far", harness.Place{Name: "Rear lamp <left> & \"right\"", Kind: harness.Device, Travel: millimetres(150), Order: 300})
	put(t, b, harness.KindRun, "run-far", harness.Run{A: "split8", B: "far", Hot: true, Moves: true, Corners: 2, Order: 99})
	put(t, b, harness.KindWire, "w900", harness.Wire{Name: "W900", Function: "Lamp", From: harness.End{Place: "ecu"}, To: harness.End{Place: "far"}, Size: "1.0", Base: "white", Order: 900})
	put(t, b, harness.KindReading, "again", harness.Reading{Places: []string{"ecu", "split1", "split2"}, Runs: []string{"run-split1", "run-split2"}, Text: "1200", Value: *millimetres(1200), Method: harness.ByTape, At: "2026-05-14T09:30:00Z"})
	return b
}

func TestGoldenLists(t *testing.T) {
	b := bench(t)
	o := Options{Date: "2026-05-14", Revision: "B", Font: fonts(t)}
	for _, k := range Kinds() {
		if !slices.Contains(k.Formats, CSV) {
			continue
		}
		compare(t, k.Name+".csv", written(t, k.Name, CSV, b, o))
		compare(t, k.Name+".json", written(t, k.Name, JSON, b, o))
	}
	o.ByBranch, o.Semicolon, o.BOM = true, true, true
	compare(t, "cut-by-branch.csv", written(t, "cut", CSV, b, o))
	s := b.Settings
	s.Unit = unit.Imperial
	put(t, b, harness.KindSettings, s.ID, s)
	compare(t, "cut-inches.csv", written(t, "cut", CSV, b, Options{}))
}

func TestGoldenDrawings(t *testing.T) {
	b := bench(t)
	o := Options{Date: "2026-05-14", Revision: "B", Font: fonts(t)}
	compare(t, "route.svg", written(t, "route", SVG, b, o))
	tags := b.Tags.All()
	o.Tags = TagOptions{Grid: SingleLabel(60*unit.Millimetre, 25*unit.Millimetre), Only: []string{tags[0].Code}}
	compare(t, "tag.svg", written(t, "tags", SVG, b, o))
}

func TestGoldenPages(t *testing.T) {
	if testing.Short() {
		t.Skip("needs poppler-utils")
	}
	b := bench(t)
	for _, kind := range []string{"cut", "trim"} {
		compare(t, kind+".pdf.txt", pageText(t, written(t, kind, PDF, b, Options{Date: "2026-05-14", Revision: "B", Font: fonts(t)})))
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

// The same build and options give the same bytes, in every format.
func TestEveryFormatIsDeterministic(t *testing.T) {
	for _, k := range Kinds() {
		for _, format := range k.Formats {
			var first []byte
			for range 3 {
				got := written(t, k.Name, format, seeded(t, 30), Options{Font: fonts(t), Date: "2026-05-14"})
				if first != nil && !bytes.Equal(got, first) {
					t.Errorf("%s as %s differs from one time to the next", k.Name, format)
				}
				first = got
			}
		}
	}
}

// A build with nothing in it, and one with texts made to break writers, are written in every format.
func TestOddBuilds(t *testing.T) {
	odd := bench(t)
	for i, name := range []string{"", "😀 emoji", "שלום", "\x00\u202e\u0007", strings.Repeat("longword", 300), "a\tb\r\nc", "é Ω Ж", "<script>alert(1)</script>"} {
		id := string(rune('a' + i))
		put(t, odd, harness.KindPlace, id, harness.Place{Name: name, Kind: harness.Device, Order: 500, Note: name})
		put(t, odd, harness.KindWire, id, harness.Wire{Name: name, Function: name, From: harness.End{Place: "ecu"}, To: harness.End{Place: id}, Size: name, Base: name, Tracer: name, Lead: name, Twist: name, Order: 500})
		put(t, odd, harness.KindTag, id, harness.Tag{Code: "7K3F9Q2M", On: harness.KindPlace, Subject: id})
		put(t, odd, harness.KindReading, id, harness.Reading{Places: []string{id, "lost"}, Text: name, Method: harness.Method(name), At: name})
		put(t, odd, harness.KindRun, id, harness.Run{A: id, B: "lost", Loom: name})
	}
	empty := harness.NewBuild("empty")
	for _, k := range Kinds() {
		for _, format := range k.Formats {
			var out bytes.Buffer
			if err := Write(&out, k.Name, format, odd, Options{Font: fonts(t)}); err != nil {
				t.Errorf("%s as %s: %v", k.Name, format, err)
			}
			switch format {
			case SVG:
				d := xml.NewDecoder(bytes.NewReader(out.Bytes()))
				for {
					token, err := d.Token()
					if err == io.EOF {
						break
					}
					if err != nil {
						t.Fatalf("%s: not well formed: %v", k.Name, err)
					}
					if e, ok := token.(xml.StartElement); ok && !slices.Contains([]string{"svg", "title", "rect", "path", "text", "circle"}, e.Name.Local) {
						t.Errorf("%s: a person's text made an element %s", k.Name, e.Name.Local)
					}
				}
			case JSON:
				var v any
				if err := json.Unmarshal(out.Bytes(), &v); err != nil {
					t.Errorf("%s: %v", k.Name, err)
				}
			}
			out.Reset()
			err := Write(&out, k.Name, format, empty, Options{Font: fonts(t)})
			if wantNone := k.Name == "tags"; errors.Is(err, ErrNoTags) != wantNone || (err != nil && !wantNone) {
				t.Errorf("%s of an empty build as %s: %v", k.Name, format, err)
			}
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	b := bench(t)
	for _, c := range []struct {
		kind   string
		format Format
		o      Options
		want   error
	}{
		{"nothing", CSV, Options{}, ErrKind},
		{"wires", SVG, Options{}, ErrFormat},
		{"tags", CSV, Options{}, ErrFormat},
		{"wires", "xls", Options{}, ErrFormat},
		{"wires", PDF, Options{}, ErrFont},
		{"wires", PDF, Options{Font: Font{Regular: []byte("not a font at all"), Bold: []byte("not a font at all")}}, ErrFont},
		{"wires", PDF, Options{Font: Font{Regular: append([]byte{0, 1, 0, 0}, make([]byte, 100)...), Bold: fonts(t).Bold}}, ErrFont},
		{"tags", PDF, Options{}, ErrFont},
	} {
		var out bytes.Buffer
		if err := Write(&out, c.kind, c.format, b, c.o); !errors.Is(err, c.want) || out.Len() != 0 {
			t.Errorf("%s as %q: %v, %d bytes; want %v and nothing", c.kind, c.format, err, out.Len(), c.want)
		}
	}
	if _, err := TableOf("tags", b, Options{}); !errors.Is(err, ErrFormat) {
		t.Errorf("the table of a drawing: %v", err)
	}
}

// What the screen shows is what is written: every cell of the table is in the list.
func TestListsAreTheTables(t *testing.T) {
	b := bench(t)
	for _, k := range Kinds() {
		if !slices.Contains(k.Formats, CSV) {
			continue
		}
		table, err := TableOf(k.Name, b, Options{})
		if err != nil {
			t.Fatal(err)
		}
		rows, err := ReadCSV(written(t, k.Name, CSV, b, Options{}))
		if err != nil {
			t.Fatal(err)
		}
		all := table.Rows()
		if len(rows) != len(all)+1 {
			t.Errorf("%s: %d lines for %d rows and a heading", k.Name, len(rows), len(all))
			continue
		}
		for i, row := range all {
			got := rows[i+1]
			for n, cell := range row {
				if got[len(got)-len(row)+n] != cell.Text {
					t.Errorf("%s, row %d: %q, the table has %q", k.Name, i, got[len(got)-len(row)+n], cell.Text)
				}
			}
		}
		for _, g := range table.Groups {
			for _, row := range append(g.Rows, g.Total) {
				if row != nil && len(row) != len(table.Columns) {
					t.Errorf("%s: a row of %d cells under %d columns", k.Name, len(row), len(table.Columns))
				}
			}
		}
	}
}

// Leads and added wires are on one list each.
func TestCutAndTrimShareNoWire(t *testing.T) {
	b := bench(t)
	on := map[string]string{}
	for _, kind := range []string{"cut", "trim"} {
		table, err := TableOf(kind, b, Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range table.Rows() {
			if name := row[1].Text; on[name] != "" {
				t.Errorf("%s is on the lists %s and %s", name, on[name], kind)
			} else {
				on[name] = kind
			}
		}
	}
	if len(on) != b.Wires.Len() {
		t.Errorf("%d of %d wires are on a list", len(on), b.Wires.Len())
	}
}

func BenchmarkTagSheet(bm *testing.B) {
	b := seeded(bm, 150)
	o := Options{Font: fonts(bm), Tags: TagOptions{Address: "https://harness.example/app-1/"}}
	for bm.Loop() {
		if err := Write(io.Discard, "tags", PDF, b, o); err != nil {
			bm.Fatal(err)
		}
	}
}

func BenchmarkWireList(bm *testing.B) {
	b := seeded(bm, 1000)
	o := Options{Font: fonts(bm)}
	for bm.Loop() {
		if err := Write(io.Discard, "wires", PDF, b, o); err != nil {
			bm.Fatal(err)
		}
	}
}
