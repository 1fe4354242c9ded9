package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"loomwright/build/browser"
	"loomwright/build/wasmtest"
)

var testShort bool

var testCommand = command{
	name: "test", args: "[-short] [STAGE]...",
	short: "run every check and every test, in a browser too",
	long: `Runs, one after the other: the format of the source, go vet for both targets, the tests, the site and the weight
of the program, the tests that need a browser, and the journeys of a person through the app. Every stage runs even if
one before it failed; the last lines say how each ended and how long it took.

Chromium, zbarimg and pdftoppm are needed. Where one is missing, root on a Debian system gets it installed; anybody
else is told what to install. Without them the tests fail, unless -short leaves them out.

To run some of it only, name the stages: ` + strings.Join(stageNames, ", ") + `.`,
	flags: func(f *flag.FlagSet) {
		f.BoolVar(&testShort, "short", false, "leave out what needs a browser and what takes long")
	},
	run: func(ctx context.Context, args []string) error {
		root, err := module()
		if err != nil {
			return err
		}
		for _, a := range args {
			if !slices.Contains(stageNames, a) {
				return usageError(fmt.Sprintf("build test: no stage %q, there are: %s", a, strings.Join(stageNames, ", ")))
			}
		}
		all := slices.DeleteFunc(stages(ctx, root, testShort), func(s stage) bool {
			return len(args) > 0 && !slices.Contains(args, s.name)
		})
		if len(all) == 0 {
			return usageError("build test: -short leaves these stages out")
		}
		return runStages(all)
	},
}

// stage is one part of the test run.
type stage struct {
	name string
	run  func() error
}

// stageNames is every stage in its order.
var stageNames = []string{"tools", "format", "vet", "vet-wasm", "unit", "site", "browser", "journeys"}

func stages(ctx context.Context, root string, short bool) []stage {
	var mode []string
	if short {
		mode = []string{"-short"}
	}
	all := []stage{
		{"tools", func() error { return needTools(ctx) }},
		{"format", func() error { return checkFormat(ctx, root) }},
		{"vet", func() error { return goTool(ctx, root, nil, "vet", "./...") }},
		{"vet-wasm", func() error {
			return goTool(ctx, root, wasmTarget, "vet", "./app/...", "./calc/...", "./storage/...", "./build/bench/hello")
		}},
		{"unit", func() error {
			packages, err := list(ctx, root)
			if err != nil {
				return err
			}
			packages = slices.DeleteFunc(packages, func(p string) bool { return strings.HasSuffix(p, "/build/e2e") })
			return goTool(ctx, root, nil, slices.Concat([]string{"test", "-timeout=15m"}, mode, packages)...)
		}},
		{"site", func() error {
			out, err := os.MkdirTemp("", "loomwright-site-")
			if err != nil {
				return err
			}
			defer os.RemoveAll(out)
			return makeSite(ctx, root, out, os.Stdout)
		}},
		{"browser", func() error { return browserTests(ctx, root) }},
		{"journeys", func() error {
			// Never from the cache: they depend on files that the go command does not know of.
			return goTool(ctx, root, nil, "test", "-count=1", "-timeout=20m", "./build/e2e")
		}},
	}
	if !short {
		return all
	}
	return slices.DeleteFunc(all, func(s stage) bool {
		return slices.Contains([]string{"tools", "site", "browser", "journeys"}, s.name)
	})
}

// runStages runs all, and fails if one failed.
func runStages(all []stage) error {
	var failed []string
	var summary strings.Builder
	begin := time.Now()
	for _, s := range all {
		fmt.Printf("== %s\n", s.name)
		start := time.Now()
		word := "ok"
		if err := s.run(); err != nil {
			word = "FAILED"
			failed = append(failed, s.name)
			fmt.Println(err)
		}
		fmt.Fprintf(&summary, "%-10s %-7s %7.1f s\n", s.name, word, time.Since(start).Seconds())
	}
	fmt.Printf("\n%s%-10s %-7s %7.1f s\n", summary.String(), "all", "", time.Since(begin).Seconds())
	if len(failed) > 0 {
		return fmt.Errorf("build test: failed: %s", strings.Join(failed, ", "))
	}
	return nil
}

func checkFormat(ctx context.Context, root string) error {
	cmd := exec.CommandContext(ctx, "gofmt", "-l", ".")
	cmd.Dir = root
	out, err := cmd.CombinedOutput()
	if err != nil {
		return fmt.Errorf("gofmt: %w: %s", err, out)
	}
	if len(out) > 0 {
		return fmt.Errorf("gofmt would change:\n%s", out)
	}
	return nil
}

// list returns the import paths of all packages.
func list(ctx context.Context, root string) ([]string, error) {
	cmd := exec.CommandContext(ctx, "go", "list", "./...")
	cmd.Dir, cmd.Stderr = root, os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go list ./...: %w", err)
	}
	return strings.Fields(string(out)), nil
}

func browserTests(ctx context.Context, root string) error {
	packages, err := wasmtest.Find(ctx, root)
	if err != nil {
		return err
	}
	if len(packages) == 0 {
		return errors.New("no package has tests for the browser: the search for them is broken")
	}
	var failed error
	for _, p := range packages {
		start := time.Now()
		limited, cancel := context.WithTimeout(ctx, 10*time.Minute)
		err := wasmtest.Run(limited, root, p, os.Stdout)
		cancel()
		word := "ok"
		if err != nil {
			word = "FAIL"
			failed = errors.Join(failed, err)
		}
		fmt.Printf("%s\t%s (Chromium)\t%.3fs\n", word, p, time.Since(start).Seconds())
	}
	return failed
}

// needTools installs what is missing, or says in one line what that is.
func needTools(ctx context.Context) error {
	var packages []string
	if _, err := browser.Find(); err != nil {
		// Without a font a browser has no text to show.
		packages = append(packages, "chromium", "fonts-dejavu-core")
	}
	for _, tool := range []struct{ program, pkg string }{{"zbarimg", "zbar-tools"}, {"pdftoppm", "poppler-utils"}} {
		if _, err := exec.LookPath(tool.program); err != nil {
			packages = append(packages, tool.pkg)
		}
	}
	if len(packages) == 0 {
		return nil
	}
	missing := strings.Join(packages, " ")
	apt, err := exec.LookPath("apt-get")
	if err != nil || os.Geteuid() != 0 {
		return fmt.Errorf("missing: %s; install them (Debian: apt-get install %s) or run with -short", missing, missing)
	}
	for _, args := range [][]string{{"update"}, append([]string{"install", "-y", "--no-install-recommends"}, packages...)} {
		cmd := exec.CommandContext(ctx, apt, args...)
		cmd.Env = append(os.Environ(), "DEBIAN_FRONTEND=noninteractive")
		if out, err := cmd.CombinedOutput(); err != nil {
			return fmt.Errorf("missing: %s; apt-get %s: %w\n%s", missing, args[0], err, out)
		}
	}
	fmt.Println("installed", missing)
	return nil
}

// relative shows a path as seen from the module.
func relative(root, path string) string {
	if r, err := filepath.Rel(root, path); err == nil {
		return r
	}
	return path
}
