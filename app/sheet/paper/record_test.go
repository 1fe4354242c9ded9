package paper

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"loomwright/app/sheet"
	"loomwright/app/sheet/sheettest"
)

// The index of the record names, for each part, the page that begins with its title.
func TestTheIndexOfTheRecord(t *testing.T) {
	if testing.Short() {
		t.Skip("needs pdftotext")
	}
	var out bytes.Buffer
	if err := Write(&out, "record", demo(t), sheet.Options{Font: fonts(t), Date: "2026-05-14", Revision: "B"}, nil); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "record.pdf")
	if err := os.WriteFile(file, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		t.Fatalf("pdftotext: %v; apt-get install poppler-utils, or run the tests with -short", err)
	}
	pages := strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
	for i, p := range pages {
		if want := fmt.Sprintf("page %d of %d", i+1, len(pages)); !strings.Contains(p, want) {
			t.Errorf("page %d does not say %q", i+1, want)
		}
	}
	entry := regexp.MustCompile(`(?m)^\s*(\S.*?)\s{2,}(\d+)$`)
	found := entry.FindAllStringSubmatch(pages[1], -1)
	if len(found) != len(recordKinds) {
		t.Fatalf("%d entries in the index, want %d: %s", len(found), len(recordKinds), pages[1])
	}
	for _, m := range found {
		n, _ := strconv.Atoi(m[2])
		if n < 3 || n > len(pages) || !strings.Contains(strings.ToLower(strings.Join(strings.Fields(pages[n-1])[:min(12, len(strings.Fields(pages[n-1])))], " ")), strings.ToLower(m[1])) {
			t.Errorf("%s is not on page %d", m[1], n)
		}
	}
}

// The record on one page runs nothing, fetches nothing and says so in its policy; a person's text makes no element.
func TestTheRecordOnOnePage(t *testing.T) {
	var out bytes.Buffer
	if err := WriteAs(&out, "record", sheet.HTML, sheettest.Odd(t), sheet.Options{Font: fonts(t), Date: "2026-05-14"}, nil); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out.String(), "default-src 'none'") || strings.Contains(out.String(), "unsafe") {
		t.Error("its policy allows something")
	}
	// As XML it is well formed but for the elements that have no end.
	d := xml.NewDecoder(&out)
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	known := strings.Fields("html head meta title style body p h1 h2 dl dt dd nav a div table tr th td svg rect path text circle")
	seen, escaped := 0, false
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			seen++
			if !slices.Contains(known, e.Name.Local) {
				t.Errorf("a person's text made an element %s", e.Name.Local)
			}
			for _, a := range e.Attr {
				if strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "src" || a.Name.Local == "href" && !strings.HasPrefix(a.Value, "#") {
					t.Errorf("%s has %s=%q", e.Name.Local, a.Name.Local, a.Value)
				}
			}
		case xml.CharData:
			escaped = escaped || strings.Contains(string(e), "<script>alert(1)</script>")
		}
	}
	if seen < 100 || !escaped {
		t.Errorf("%d elements, the text that looks like a script is shown: %v", seen, escaped)
	}
}

func BenchmarkRecord(bm *testing.B) {
	b := demo(bm)
	for bm.Loop() {
		if err := Write(io.Discard, "record", b, sheet.Options{Font: fonts(bm)}, nil); err != nil {
			bm.Fatal(err)
		}
	}
}
