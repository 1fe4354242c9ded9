package table

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

func read(t *testing.T, text string, o Options) *Result {
	t.Helper()
	r, err := Read([]byte(text), o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A list of sixty pins as copied from a page of a PDF: each of its ten faults is told by row, and no other row has one.
func TestTenFaultsOfSixtyPins(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(corpus, "pdf-sixty-pins-ten-faults.txt"))
	if err != nil {
		t.Fatal(err)
	}
	r := read(t, string(data), Options{})
	got := map[FaultKind]int{}
	for _, row := range r.Rows {
		for _, f := range row.Faults {
			got[f.Kind]++
		}
		if len(row.Faults) > 1 {
			t.Errorf("row %d has %d faults: %v", row.Number, len(row.Faults), row.Faults)
		}
	}
	want := map[FaultKind]int{Duplicate: 1, BadSize: 2, UnknownColour: 1, BadLength: 3, NoCavity: 1, Damaged: 1, Unlikely: 1}
	for kind, n := range want {
		if got[kind] != n {
			t.Errorf("%s: %d rows, want %d", kind, got[kind], n)
		}
	}
	if len(got) != len(want) || r.Count(Good) != 52 || r.Count(Bad) != 8 || len(r.Pins()) != 52 {
		t.Errorf("faults %v, %d good, %d bad; want 52 and 8", got, r.Count(Good), r.Count(Bad))
	}
}

// What a person sets wins over what would be guessed.
func TestOptions(t *testing.T) {
	r := read(t, "A-1,x,red\nA-2,y,blue\n", Options{Columns: []Field{ConnectorCavity, Legend, Unused}, Heading: NoHeading})
	if p := r.Rows[1].Pin; p.Connector != "A" || p.Cavity != "2" || p.Legend != "y" || p.Colour.Base != "" || r.Columns[0].Why != ByPerson {
		t.Errorf("chosen columns: %+v", p)
	}
	r = read(t, "note to all\nPin,Colour\n1,red\n", Options{Heading: 2, Separator: Comma})
	if r.Rows[0].Is != Title || r.Rows[2].Pin.Colour.Base != "red" {
		t.Errorf("chosen heading: %+v", r.Rows)
	}
	if r = read(t, "a;b,c\n1;2,3\n", Options{Separator: Comma}); len(r.Columns) != 2 || r.Rows[1].Cells[0] != "1;2" {
		t.Errorf("chosen separator: %+v", r)
	}
	if r = read(t, "Pin,Function\n1,\xc3\xbc\n", Options{Encoding: Windows1252}); r.Rows[1].Pin.Function != "Ã¼" {
		t.Errorf("chosen encoding: %q", r.Rows[1].Pin.Function)
	}
	if r = read(t, "Pin,Length\n1,98\n", Options{Unit: unit.Imperial}); *r.Rows[1].Pin.Length != 98*unit.Inch {
		t.Errorf("chosen unit: %v", r.Rows[1].Pin.Length)
	}
	if r = read(t, "Pin,Length (mm)\n1,98\n", Options{Unit: unit.Imperial}); *r.Rows[1].Pin.Length != 98*unit.Millimetre {
		t.Errorf("the unit of the heading beats that of the build: %v", r.Rows[1].Pin.Length)
	}
}

// Bad rows become good by what a person says of them, and the rest stays as it was.
func TestMended(t *testing.T) {
	text := "Pin,Function,Size\n1,Fan,thick\n1,Pump,0.75\n3,Coil,1\n,Horn,0.75\n"
	first := read(t, text, Options{})
	if first.Count(Bad) != 4 {
		t.Fatalf("%d bad rows", first.Count(Bad))
	}
	r := read(t, text, Options{
		Mended: map[int]map[int]string{2: {2: "1.5"}, 4: {2: ""}, 9: {0: "no such row"}},
		Shared: map[int]string{3: "one feed for both", 4: "is alone in its terminal"},
		Out:    map[int]bool{5: true},
	})
	pins := r.Pins()
	if len(pins) != 3 || r.Count(Bad) != 0 || r.Count(LeftOut) != 1 {
		t.Fatalf("%s", dump(r, nil))
	}
	if pins[0].Size.String() != "1.5 mm2" || pins[1].Shared != "one feed for both" || pins[2].Size.Known() || pins[2].Shared != "" {
		t.Errorf("%s", dump(r, nil))
	}
	if again := read(t, text, Options{}); dump(again, nil) != dump(first, nil) {
		t.Error("what was said of rows is in the source")
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		name string
		data []byte
		want error
	}{
		{"nothing", nil, ErrEmpty},
		{"only a byte order mark", []byte("\xef\xbb\xbf\r\n"), ErrEmpty},
		{"a PDF itself", []byte("%PDF-1.7\n..."), ErrNotText},
		{"a photo", []byte("\xff\xd8\xff\xe0..."), ErrNotText},
		{"too many bytes", bytes.Repeat([]byte("1,2\n"), MaxBytes/4+1), ErrTooBig},
		{"too many rows", bytes.Repeat([]byte("1,2\n"), MaxRows+1), ErrTooBig},
		{"too many lines", bytes.Repeat([]byte("\n\na,b"), MaxRows+2), ErrTooBig},
		{"too many columns", []byte(strings.Repeat("1,", MaxColumns+1)), ErrTooBig},
	} {
		if r, err := Read(c.data, Options{}); !errors.Is(err, c.want) || r != nil {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
}

func TestGuard(t *testing.T) {
	for in, want := range map[string]string{"=1+1": "'=1+1", "-5": "'-5", "\tx": "'\tx", "'": "''", "": "", "5 V": "5 V"} {
		if got := Guard(in); got != want || Unguard(got) != in {
			t.Errorf("Guard(%q) = %q, want %q; read back %q", in, got, want, Unguard(got))
		}
	}
	for in, want := range map[string]string{"'=x": "=x", "''=x": "'=x", "'tis": "'tis", "'": "'"} {
		if got := Unguard(in); got != want {
			t.Errorf("Unguard(%q) = %q, want %q", in, got, want)
		}
	}
}

// A list in our own words, written with any separator, is read back whole: every field and every signal.
func TestOwnWords(t *testing.T) {
	fields := slices.DeleteFunc(slices.Clone(Fields), func(f Field) bool {
		return f == Unused || f == ConnectorCavity || f == Base || f == Tracer
	})
	var want []Pin
	long := 2500 * unit.Millimetre
	for i, signal := range append(slices.Clone(harness.Signals), harness.NoSignal) {
		p := Pin{Connector: "X1", Cavity: fmt.Sprint(i + 1), Legend: "=INJ, 'A'", Function: "say \"on\"; or | off", Signal: signal,
			Direction: harness.BothWays, Size: unit.AWG(20), Colour: unit.Colour{Base: "red", Tracer: "white"}, Length: &long,
			Group: "crank", Insulation: "125", Note: "-5 V"}
		want = append(want, p)
	}
	for _, sep := range []Separator{Comma, Semicolon, Tab, Pipe} {
		var b strings.Builder
		line := func(cells ...string) {
			for i, c := range cells {
				if i > 0 {
					b.WriteByte(sep.sign())
				}
				b.WriteString(`"` + strings.ReplaceAll(Guard(c), `"`, `""`) + `"`)
			}
			b.WriteString("\r\n")
		}
		var head []string
		for _, f := range fields {
			head = append(head, string(f))
		}
		line(head...)
		for _, p := range want {
			line(p.Connector, p.Cavity, p.Legend, p.Function, string(p.Signal), string(p.Direction), p.Size.String(), p.Colour.String(),
				p.Length.String(), p.Group, p.Insulation, p.Note)
		}
		r := read(t, b.String(), Options{})
		if got := r.Pins(); r.Separator != sep || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: read as %s, first %+v of %d, columns %+v", sep, r.Separator, got[0], len(got), r.Columns)
		}
	}
}

// sound reports what is wrong with a result that no source may bring about.
func sound(r *Result, text string) string {
	next := 1
	for i, row := range r.Rows {
		bad := false
		for _, f := range row.Faults {
			bad = bad || f.Kind.Bad()
			if f.What == "" || f.Do == "" {
				return "a fault without words"
			}
		}
		switch {
		case row.Number != i+1:
			return "a row is lost"
		case row.Line < next:
			return "lines go back"
		case row.Is == "":
			return "a row is neither good nor bad nor set aside"
		case bad != (row.Is == Bad):
			return "a row is bad without a bad fault, or the other way round"
		case row.Is == Good && row.Pin.Cavity == "":
			return "a good row without a cavity"
		case row.Is == Part && (row.Of < 1 || row.Of >= row.Number || r.Rows[row.Of-1].Is != Good && r.Rows[row.Of-1].Is != Bad):
			return "a part of no row"
		}
		next = row.Line + 1
	}
	if r.Separator.loose() && len(r.Rows) != len(lines(text)) {
		return "not as many rows as lines"
	}
	return ""
}

// Whatever the bytes: no panic, a refusal or all rows, and the same again.
func FuzzTable(f *testing.F) {
	files, err := filepath.Glob(filepath.Join(corpus, "*"))
	if err != nil || len(files) < 40 {
		f.Fatalf("%d lists, %v", len(files), err)
	}
	for _, file := range files {
		if data, err := os.ReadFile(file); err == nil && !strings.HasSuffix(file, ".want") {
			f.Add(data, uint8(0), int8(0))
		}
	}
	for i := range Separators {
		f.Add([]byte("Pin  Function Colour\n1 \"a, b\"|c;d\tred\n\n2  x\r3\r\n"), uint8(i+1), int8(i-1))
	}
	f.Fuzz(func(t *testing.T, data []byte, separator uint8, heading int8) {
		o := Options{Heading: int(heading)}
		if n := int(separator) % (len(Separators) + 1); n > 0 {
			o.Separator = Separators[n-1]
		}
		r, err := Read(data, o)
		if (r == nil) == (err == nil) {
			t.Fatalf("result %v with error %v", r != nil, err)
		}
		if err != nil {
			return
		}
		text, _ := decode(data, o.Encoding)
		if wrong := sound(r, text); wrong != "" {
			t.Fatalf("%s:\n%s", wrong, dump(r, nil))
		}
		if again, _ := Read(data, o); dump(again, nil) != dump(r, nil) {
			t.Fatal("read twice, it is not the same")
		}
	})
}

// What would take long if each cell were looked at over and over.
func TestHugeCells(t *testing.T) {
	for _, text := range []string{
		strings.Repeat(`"a,`, MaxBytes/3), strings.Repeat("\"a,\n", MaxRows), strings.Repeat("a ", MaxBytes/2), strings.Repeat("\r", MaxBytes),
		strings.Repeat("\"", MaxBytes), strings.Repeat("1 2 3 4 5 6 7 8 ", 200) + "\n1 x\n", strings.Repeat(strings.Repeat("7 red ", 60)+"\n", 300),
	} {
		if r, err := Read([]byte(text), Options{}); err == nil {
			if wrong := sound(r, text); wrong != "" {
				t.Errorf("%.20q...: %s", text, wrong)
			}
		}
	}
}

// 3000 rows with a thousand faults.
func BenchmarkRead(b *testing.B) {
	for _, c := range []struct {
		name, row string
	}{
		{"commas", "%,Injector,0.75,red/white,2500\n"}, {"single spaces", "% Injector low side 0.75 mm2 red/white 2500\n"},
	} {
		var text strings.Builder
		for i := range 3000 {
			text.WriteString(strings.ReplaceAll(c.row, "%", "A"+string(rune('0'+i/1000))+string(rune('0'+i/100%10))+string(rune('0'+i/10%10))+string(rune('0'+i%10))))
		}
		data := []byte(text.String())
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if r, err := Read(data, Options{}); err != nil || len(r.Rows) != 3000 {
					b.Fatal(err)
				}
			}
		})
	}
}
