package main

import (
	"encoding/csv"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loomwright/app/sheet"
)

func TestEveryCommandExplainsItself(t *testing.T) {
	for _, c := range commands {
		if err := dispatch(t.Context(), []string{c.name, "-h"}); !errors.Is(err, flag.ErrHelp) {
			t.Errorf("%s -h: %v", c.name, err)
		}
		if c.short == "" || len(c.long) < 80 {
			t.Errorf("%s says too little", c.name)
		}
	}
}

func TestWrongLineIsAUsageError(t *testing.T) {
	for _, line := range []string{"sreve", "site", "site -o", "site -o x y", "serve here", "test nothing", "golden all",
		"sheet one", "sheet a b -format", "sheet -wires rope testdata/builds/roadster.build tags -format pdf",
		"sheet -bar 20 testdata/builds/roadster.build board -format pdf", "sheet -bar NaN testdata/builds/roadster.build board -format pdf",
		"sheet -bench-width 1e9 testdata/builds/roadster.build board -format pdf"} {
		var usage usageError
		if err := dispatch(t.Context(), strings.Fields(line)); !errors.As(err, &usage) {
			t.Errorf("%q: %v, want a usage error", line, err)
		}
		sheetFlags.wires, sheetFlags.options.Board = "flag", sheet.BoardOptions{}
		siteOut = ""
	}
}

func TestFlagsMayStandAnywhere(t *testing.T) {
	for _, line := range []string{"-o x file kind", "file -o x kind", "file kind -o x", "file kind -o=x"} {
		set := flag.NewFlagSet("sheet", flag.ContinueOnError)
		out := set.String("o", "", "")
		rest, err := parse(set, strings.Fields(line))
		if err != nil || *out != "x" || !slices.Equal(rest, []string{"file", "kind"}) {
			t.Errorf("%q: out %q, rest %q, %v", line, *out, rest, err)
		}
	}
}

func TestSheetWritesAList(t *testing.T) {
	out := filepath.Join(t.TempDir(), "wires.csv")
	if err := dispatch(t.Context(), []string{"sheet", "../testdata/builds/roadster.build", "wires", "-o", out}); err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(out)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 150 {
		t.Errorf("%d rows, %v; want a line for each of 150 wires", len(rows), err)
	}
	sheetFlags.out = ""
	for _, line := range []string{
		"sheet ../testdata/builds/none.build wires -format csv",
		"sheet ../go.mod wires -format csv",
		"sheet ../testdata/builds/roadster.build nothing -format csv",
		"sheet ../testdata/builds/roadster.build wires -format svg",
	} {
		if err := dispatch(t.Context(), strings.Fields(line)); err == nil {
			t.Errorf("%q: no error", line)
		}
	}
}

func TestGoldenPackagesAreFound(t *testing.T) {
	found, err := goldenPackages("..")
	if err != nil || !slices.Contains(found, "./app/sheet") {
		t.Errorf("goldenPackages = %q, %v", found, err)
	}
}

func TestStages(t *testing.T) {
	var names []string
	for _, s := range stages(t.Context(), "..", false) {
		names = append(names, s.name)
	}
	if !slices.Equal(names, stageNames) {
		t.Errorf("stages are %q, named %q", names, stageNames)
	}
	ran := 0
	err := runStages([]stage{
		{"one", func() error { ran++; return errors.New("broken") }},
		{"two", func() error { ran++; return nil }},
	})
	if err == nil || !strings.Contains(err.Error(), "one") || ran != 2 {
		t.Errorf("runStages = %v after %d stages; want the first named and both run", err, ran)
	}
}

// The help of sheet lists every kind, so that nobody must guess a name.
func TestSheetNamesItsKinds(t *testing.T) {
	for _, k := range sheet.Kinds() {
		if !strings.Contains(sheetCommand.long, "  "+k.Name+" ") || !strings.Contains(sheetCommand.long, k.Title) {
			t.Errorf("the help of sheet does not list %s", k.Name)
		}
	}
	for _, name := range []string{"board", "benchlist", "schematic"} {
		if !strings.Contains(sheetCommand.long, "  "+name+" ") {
			t.Errorf("the help of sheet does not list %s", name)
		}
	}
}
