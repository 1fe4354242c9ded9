package main

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"loomwright/build/bench"
)

// goBenches is the name of all benchmarks of the Go tests together.
const goBenches = "go"

var benchCommand = command{
	name: "bench", args: "[NAME]...",
	short: "measure, in a browser too",
	long: "Measures what is named, or everything, and prints it beside its limit. The browser's page thread is slowed four\n" +
		"times, as a phone would be. Keep the machine quiet meanwhile. Fails if a limit is exceeded.\n\n" + benchNames(),
	run: func(ctx context.Context, args []string) error {
		root, err := module()
		if err != nil {
			return err
		}
		for _, a := range args {
			if a != goBenches && !slices.ContainsFunc(bench.All, func(b bench.Bench) bool { return b.Name == a }) {
				return usageError(fmt.Sprintf("build bench: no bench %q\n\n%s", a, benchNames()))
			}
		}
		return runBenches(ctx, root, args)
	},
}

func benchNames() string {
	var b strings.Builder
	fmt.Fprintf(&b, "NAME is one of:\n  %-11s every benchmark of the Go tests", goBenches)
	for _, x := range bench.All {
		fmt.Fprintf(&b, "\n  %-11s %s, at most %g %s", x.Name, x.What, x.Limit, x.Unit)
	}
	return b.String()
}

func runBenches(ctx context.Context, root string, names []string) error {
	wanted := func(name string) bool { return len(names) == 0 || slices.Contains(names, name) }
	if wanted(goBenches) {
		packages, err := list(ctx, root)
		if err != nil {
			return err
		}
		packages = slices.DeleteFunc(packages, func(p string) bool { return strings.Contains(p, "/build") })
		if err := goTool(ctx, root, nil, slices.Concat([]string{"test", "-run=^$", "-bench=."}, packages)...); err != nil {
			return err
		}
	}
	lab, err := bench.NewLab(root, os.Stdout)
	if err != nil {
		return err
	}
	defer lab.Close()
	var over []string
	for _, b := range bench.All {
		if !wanted(b.Name) {
			continue
		}
		fmt.Printf("%s: %s\n", b.Name, b.What)
		start := time.Now()
		got, err := b.Run(ctx, lab)
		if err != nil {
			return fmt.Errorf("build bench: %s: %w", b.Name, err)
		}
		fmt.Printf("%s: %.2f %s, limit %g %s (%.0f s)\n", b.Name, got, b.Unit, b.Limit, b.Unit, time.Since(start).Seconds())
		if got > b.Limit {
			over = append(over, b.Name)
		}
	}
	if len(over) > 0 {
		return fmt.Errorf("build bench: over the limit: %s", strings.Join(over, ", "))
	}
	return nil
}
