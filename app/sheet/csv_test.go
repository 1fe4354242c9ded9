package sheet

import (
	"bytes"
	"slices"
	"strings"
	"testing"
)

func TestReadCSV(t *testing.T) {
	for _, c := range []struct {
		name, in string
		want     [][]string
	}{
		{"comma", "a,b\r\n1,2\r\n", [][]string{{"a", "b"}, {"1", "2"}}},
		{"byte order mark", "\ufeffa,b\n1,2", [][]string{{"a", "b"}, {"1", "2"}}},
		{"semicolons and decimal commas", "a;b\n1,5;2,5\n", [][]string{{"a", "b"}, {"1,5", "2,5"}}},
		{"decimal commas in the first line", "1,5;2;3\n", [][]string{{"1,5", "2", "3"}}},
		{"tabs", "a\tb\n1\t\"x\ty\"\n", [][]string{{"a", "b"}, {"1", "x\ty"}}},
		{"a title before the headings", "Wires\na;b\n1;2\n", [][]string{{"Wires"}, {"a", "b"}, {"1", "2"}}},
		{"separators in quotes", "\"a;b;c\",d\n", [][]string{{"a;b;c", "d"}}},
		{"quotes and lines in a cell", "\"say \"\"hi\"\"\r\ntwice\",b\r\n", [][]string{{"say \"hi\"\r\ntwice", "b"}}},
		{"blank lines", "\n\na,b\n\n1,2\n\n", [][]string{{"a", "b"}, {"1", "2"}}},
		{"an empty cell alone", "\"\"\r\n", [][]string{{""}}},
		{"old line ends", "a,b\r1,2\r", [][]string{{"a", "b"}, {"1", "2"}}},
		{"rows of their own length", "a,b,c\n1\n1,2,3,4\n", [][]string{{"a", "b", "c"}, {"1"}, {"1", "2", "3", "4"}}},
		{"guards", "'=x,''y,'z\n", [][]string{{"=x", "'y", "'z"}}},
		{"nothing", "", nil},
	} {
		got, err := ReadCSV([]byte(c.in))
		if err != nil || !slices.EqualFunc(got, c.want, slices.Equal) {
			t.Errorf("%s: %q, %v; want %q", c.name, got, err, c.want)
		}
	}
	if _, err := ReadCSV([]byte("a,b\n\n\"open,\nmore\n")); err == nil || !strings.Contains(err.Error(), "line 3") {
		t.Errorf("an open quote: %v, want its line, 3", err)
	}
}

// Every table of texts comes back as it was, with either sign between cells.
func FuzzTable(f *testing.F) {
	f.Add("a", "b", "=c", "'d", true, false)
	f.Add("\"", "\r\n", ";", ",", false, true)
	f.Add("", "\ufeff", "\t", "'", true, true)
	f.Fuzz(func(t *testing.T, a, b, c, d string, semicolon, bom bool) {
		if strings.HasPrefix(a, "\ufeff") {
			bom = true // without a mark of its own, the first cell's would be taken for one
		}
		rows := [][]string{{a, b}, {c}, {d, "", a, b}, {c, d}}
		var file bytes.Buffer
		if err := WriteCSV(&file, rows, semicolon, bom); err != nil {
			t.Fatal(err)
		}
		got, err := ReadCSV(file.Bytes())
		if err != nil || !slices.EqualFunc(got, rows, slices.Equal) {
			t.Errorf("%q became %q, %v; file:\n%s", rows, got, err, file.Bytes())
		}
	})
}
