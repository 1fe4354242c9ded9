package sheet

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"slices"
	"testing"

	"github.com/go-json-experiment/json"

	"loomwright/app/sheet/sheettest"
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

func TestGoldenLists(t *testing.T) {
	b := bench(t)
	o := Options{Date: "2026-05-14", Revision: "B", Font: fonts(t)}
	for _, k := range Kinds() {
		if k.Heavy || !slices.Contains(k.Formats, CSV) {
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
	compare(t, "sections.svg", written(t, "sections", SVG, b, o))
	compare(t, "route.svg", written(t, "route", SVG, b, o))
	tags := b.Tags.All()
	o.Tags = TagOptions{Grid: SingleLabel(60*unit.Millimetre, 25*unit.Millimetre), Only: []string{tags[0].Code}}
	compare(t, "tag.svg", written(t, "tags", SVG, b, o))
}

// ours is the formats of a kind that this package writes.
func ours(k Kind) []Format {
	return slices.DeleteFunc(slices.Clone(k.Formats), func(f Format) bool { return f == PDF || f == ZIP || k.Heavy })
}

// The same build and options give the same bytes, in every format.
func TestEveryFormatIsDeterministic(t *testing.T) {
	for _, k := range Kinds() {
		for _, format := range ours(k) {
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
	odd := sheettest.Odd(t)
	empty := harness.NewBuild("empty")
	for _, k := range Kinds() {
		for _, format := range ours(k) {
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
		{"wires", PDF, Options{Font: fonts(t)}, ErrFormat}, // package paper writes it
		{"tags", SVG, Options{}, ErrFont},
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
		if k.Heavy || !slices.Contains(k.Formats, CSV) {
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
