package paper

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"loomwright/app/sheet/sheettest"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// grey is a picture of one byte a dot.
type grey struct {
	w, h int
	dots []byte
}

func readGrey(t *testing.T, file string) grey {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var g grey
	var top int
	if _, err := fmt.Sscanf(string(data[:min(len(data), 40)]), "P5\n%d %d\n%d\n", &g.w, &g.h, &top); err != nil || top != 255 || len(data) < g.w*g.h {
		t.Fatalf("%s: %v, largest %d", file, err, top)
	}
	g.dots = data[len(data)-g.w*g.h:]
	return g
}

// demo is the build that the app shows to begin with.
func demo(t testing.TB) *harness.Build {
	t.Helper()
	f, err := os.Open(filepath.Join(sheettest.Module(t), "testdata", "builds", "roadster.build"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	log, err := storage.Decode(f, nil)
	if err != nil {
		t.Fatal(err)
	}
	return log.State()
}
