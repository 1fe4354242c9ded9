package table

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var golden = flag.Bool("golden", false, "write the golden files anew")

const corpus = "../../testdata/tables"

// dump writes a result for people to read.
func dump(r *Result, err error) string {
	var b strings.Builder
	if err != nil {
		fmt.Fprintf(&b, "refused: %v\n", err)
		return b.String()
	}
	fmt.Fprintf(&b, "%s, %s, heading in row %d\n", r.Encoding, r.Separator, r.Heading)
	for i, c := range r.Columns {
		fmt.Fprintf(&b, "column %d: %q %s", i+1, c.Heading, orNothing(string(c.Field)))
		if c.Unit != "" {
			fmt.Fprintf(&b, " in %s", c.Unit)
		}
		if c.Why != "" {
			fmt.Fprintf(&b, ", by %s", c.Why)
		}
		b.WriteByte('\n')
	}
	for _, n := range r.Notes {
		fmt.Fprintf(&b, "note: %s\n", n)
	}
	for _, row := range r.Rows {
		fmt.Fprintf(&b, "row %d", row.Number)
		if row.Line != row.Number {
			fmt.Fprintf(&b, " (line %d)", row.Line)
		}
		fmt.Fprintf(&b, ": %s", row.Is)
		switch row.Is {
		case Part:
			fmt.Fprintf(&b, " %d: %.80q", row.Of, row.Cells)
		case Good, Bad:
			b.WriteString(": " + pinText(row.Pin))
		case Blank:
		default:
			fmt.Fprintf(&b, ": %.80q", row.Cells)
		}
		b.WriteByte('\n')
		for _, f := range row.Faults {
			fmt.Fprintf(&b, "    %s: %s\n", f.Kind, f)
		}
	}
	return b.String()
}

func orNothing(s string) string {
	if s == "" {
		return "not used"
	}
	return s
}

func pinText(p Pin) string {
	var parts []string
	add := func(name, value string) {
		if value != "" {
			parts = append(parts, name+" "+value)
		}
	}
	add("connector", p.Connector)
	add("cavity", p.Cavity)
	add("legend", p.Legend)
	add("function", fmt.Sprintf("%.60q", p.Function))
	add("signal", string(p.Signal))
	add("direction", string(p.Direction))
	add("size", p.Size.String())
	add("colour", p.Colour.String())
	if p.Length != nil {
		add("length", p.Length.String())
	}
	add("group", p.Group)
	add("insulation", p.Insulation)
	add("note", p.Note)
	return strings.Join(parts, " · ")
}

// Every list of the corpus is read as it was last looked at by a person.
func TestCorpus(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(corpus, "*"))
	if err != nil {
		t.Fatal(err)
	}
	read := 0
	for _, file := range files {
		if strings.HasSuffix(file, ".want") {
			continue
		}
		read++
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		got := []byte(dump(Read(data, Options{})))
		if *golden {
			if err := os.WriteFile(file+".want", got, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(file + ".want")
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s:\n got %s\nwant %s", filepath.Base(file), got, want)
		}
	}
	if read < 40 {
		t.Errorf("read %d lists, the corpus is broken", read)
	}
}
