package sheet

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"loomwright/app/sheet/sheettest"
	"loomwright/calc/harness/harnesstest"
)

var golden = flag.Bool("golden", false, "write the golden files anew instead of comparing with them")

// compare holds what was written against the golden file.
func compare(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("../../testdata/golden", name)
	if *golden {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v; go test ./app/sheet -golden writes it", err)
	}
	if string(got) != string(want) {
		t.Errorf("%s differs from the golden file; go test ./app/sheet -golden writes it anew, then read the difference.\ngot:\n%s", name, got)
	}
}

// Short names of what the tests are made with.
var (
	put    = harnesstest.Put
	seeded = sheettest.Seeded
	bench  = sheettest.Bench
)

func fonts(t testing.TB) Font {
	t.Helper()
	var f Font
	f.Regular, f.Bold = sheettest.Fonts(t)
	return f
}
