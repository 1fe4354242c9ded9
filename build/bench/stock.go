package bench

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"

	"loomwright/build/wasmtest"
)

// Published cutting problems must be planned as well as is known on all but two of twenty, and never more than one worse.
const (
	problems   = 20
	mostMissed = 2
)

// inOnePart is how many problems are handed to a browser at once: all that a program is told at its start must fit
// into 8 kB.
const inOnePart = 10

// cutting measures the published cutting problems natively: the slowest, in seconds.
func cutting(ctx context.Context, l *Lab) (float64, error) {
	cmd := exec.CommandContext(ctx, "go", "test", "-count=1", "-run=^$", "-bench=BenchmarkPublished", "-benchtime=1x", "./calc/stock")
	cmd.Dir = l.Module
	out, err := cmd.CombinedOutput()
	if err != nil {
		return 0, fmt.Errorf("bench: %w\n%s", err, out)
	}
	return slowestCut(l, string(out))
}

// cuttingInBrowser does so in the browser.
func cuttingInBrowser(ctx context.Context, l *Lab) (float64, error) {
	table, err := os.ReadFile(filepath.Join(l.Module, "testdata", "reference", "cutting_stock.csv"))
	if err != nil {
		return 0, fmt.Errorf("bench: %w", err)
	}
	rows := strings.SplitAfter(strings.TrimSpace(string(table))+"\n", "\n")
	rows = rows[:len(rows)-1]
	var said bytes.Buffer
	for from := 1; from < len(rows); from += inOnePart {
		part := rows[0] + strings.Join(rows[from:min(from+inOnePart, len(rows))], "")
		err := wasmtest.Run(ctx, l.Module, "./calc/stock", &said, "-test.run=^$", "-test.bench=BenchmarkPublished", "-test.benchtime=1x", "-instances="+part)
		if err != nil {
			return 0, fmt.Errorf("bench: %w\n%s", err, said.Bytes())
		}
	}
	return slowestCut(l, said.String())
}

// slowestCut reads what the benchmark said of each problem, prints it, and returns the longest time in seconds. Plans worse
// than they must be are an error.
func slowestCut(l *Lab, said string) (slowest float64, err error) {
	missed, seen := 0, 0
	for line := range strings.Lines(said) {
		var is [4]float64 // ns, stocks, lower bound, best known
		all := true
		for i, unit := range []string{" ns/op", " stocks", " lower", " known"} {
			word, ok := before(line, unit)
			all = all && ok
			if ok {
				if is[i], err = strconv.ParseFloat(word, 64); err != nil {
					return 0, fmt.Errorf("bench: %q: %w", line, err)
				}
			}
		}
		if !all {
			continue
		}
		seen++
		name, _, _ := strings.Cut(strings.TrimPrefix(strings.Fields(line)[0], "BenchmarkPublished/"), "-")
		fmt.Fprintf(l.Out, "  %s: %g stocks, no plan takes fewer than %g, best known %g, %.2f s\n", name, is[1], is[2], is[3], is[0]/1e9)
		slowest = max(slowest, is[0]/1e9)
		switch {
		case is[1] > is[3]+1 || is[2] > is[3]:
			return 0, fmt.Errorf("bench: %s takes %g stocks, at least %g, where %g are known to do", name, is[1], is[2], is[3])
		case is[1] > is[3]:
			missed++
		}
	}
	if seen != problems || missed > mostMissed {
		return 0, fmt.Errorf("bench: %d of %d problems measured, %d not planned as well as is known", seen, problems, missed)
	}
	fmt.Fprintf(l.Out, "  best known reached on %d of %d\n", seen-missed, seen)
	return slowest, nil
}
