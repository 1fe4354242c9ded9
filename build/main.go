// Command build makes, serves, tests and measures Loomwright. Run it anywhere inside the module:
//
//	go run ./build serve
//	go run ./build test
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
)

// command is one thing this program does. run gets the flags parsed and the rest of the line.
type command struct {
	name, args, short, long string
	flags                   func(*flag.FlagSet) // nil for none
	run                     func(ctx context.Context, args []string) error
}

var commands = []command{serveCommand, siteCommand, testCommand, goldenCommand, benchCommand, sheetCommand, calcCommand}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	err := dispatch(ctx, os.Args[1:])
	var usage usageError
	switch {
	case err == nil, errors.Is(err, flag.ErrHelp):
	case errors.As(err, &usage):
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	default:
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// usageError is a command line that makes no sense.
type usageError string

func (e usageError) Error() string { return string(e) }

func dispatch(ctx context.Context, args []string) error {
	if len(args) == 0 || args[0] == "-h" || args[0] == "--help" || args[0] == "help" {
		overview(os.Stdout)
		return nil
	}
	for _, c := range commands {
		if c.name != args[0] {
			continue
		}
		set := flag.NewFlagSet(c.name, flag.ContinueOnError)
		set.Usage = func() {
			fmt.Fprintf(set.Output(), "usage: go run ./build %s\n\n%s\n", strings.TrimSpace(c.name+" "+c.args), c.long)
			if c.flags != nil {
				fmt.Fprintln(set.Output())
				set.PrintDefaults()
			}
		}
		set.SetOutput(os.Stdout)
		if c.flags != nil {
			c.flags(set)
		}
		rest, err := parse(set, args[1:])
		if errors.Is(err, flag.ErrHelp) {
			return err
		}
		if err != nil {
			return usageError(fmt.Sprintf("build %s: %v", c.name, err))
		}
		return c.run(ctx, rest)
	}
	overview(os.Stderr)
	return usageError(fmt.Sprintf("build: no command %q", args[0]))
}

// parse takes flags before, between and behind the other arguments, and returns those.
func parse(set *flag.FlagSet, args []string) (rest []string, err error) {
	for {
		if err := set.Parse(args); err != nil {
			return nil, err
		}
		if set.NArg() == 0 {
			return rest, nil
		}
		rest = append(rest, set.Arg(0))
		args = set.Args()[1:]
	}
}

func overview(w io.Writer) {
	fmt.Fprint(w, "usage: go run ./build COMMAND [flags]\n\n")
	for _, c := range commands {
		fmt.Fprintf(w, "  %-8s %s\n", c.name, c.short)
	}
	fmt.Fprint(w, "\ngo run ./build COMMAND -h explains a command.\n")
}

// module returns the folder of the Go module around the working folder.
func module() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", errors.New("build: not inside the module: no go.mod here or above")
		}
		dir = up
	}
}

// goTool runs the go command in the module with more environment, its output on ours.
func goTool(ctx context.Context, dir string, env []string, args ...string) error {
	cmd := exec.CommandContext(ctx, "go", args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), env...)
	cmd.Stdout, cmd.Stderr = os.Stdout, os.Stderr
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("go %s: %w", strings.Join(args, " "), err)
	}
	return nil
}

// wasmTarget is the environment in which go compiles for the browser.
var wasmTarget = []string{"GOOS=js", "GOARCH=wasm"}
