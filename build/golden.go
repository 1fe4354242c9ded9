package main

import (
	"context"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
)

var goldenCommand = command{
	name: "golden", args: "",
	short: "write the golden files anew",
	long: `Runs the tests of every package that has golden files with the flag -golden, which makes them write the files
instead of comparing with them. Read the difference before you commit it: it is what a person will see changed.

A package has golden files if its tests define the flag:

	var golden = flag.Bool("golden", false, "write the golden files anew")`,
	run: func(ctx context.Context, args []string) error {
		if len(args) > 0 {
			return usageError("build golden: takes no arguments")
		}
		root, err := module()
		if err != nil {
			return err
		}
		packages, err := goldenPackages(root)
		if err != nil {
			return err
		}
		if len(packages) == 0 {
			return errors.New("build golden: no package defines the flag -golden")
		}
		var failed error
		for _, p := range packages {
			failed = errors.Join(failed, goTool(ctx, root, nil, "test", "-count=1", p, "-golden"))
		}
		return failed
	},
}

// goldenPackages returns the folders whose tests define the flag, as "./calc/route", sorted.
func goldenPackages(root string) ([]string, error) {
	var packages []string
	err := eachGoFile(root, func(name string, file *ast.File, _ *token.FileSet) {
		if !strings.HasSuffix(name, "_test.go") {
			return
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok && calls(call, "flag", "Bool") && len(call.Args) > 0 {
				if lit, ok := call.Args[0].(*ast.BasicLit); ok && lit.Value == `"golden"` {
					packages = append(packages, "./"+filepath.ToSlash(filepath.Dir(name)))
				}
			}
			return true
		})
	})
	slices.Sort(packages)
	return slices.Compact(packages), err
}

// eachGoFile parses every Go file of the module and hands it on with its path as seen from there.
func eachGoFile(root string, f func(name string, file *ast.File, set *token.FileSet)) error {
	set := token.NewFileSet()
	return filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && path != root && (strings.HasPrefix(d.Name(), ".") || d.Name() == "node_modules") {
			return filepath.SkipDir
		}
		if d.IsDir() || filepath.Ext(path) != ".go" {
			return nil
		}
		file, err := parser.ParseFile(set, path, nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return fmt.Errorf("build: %w", err)
		}
		f(relative(root, path), file, set)
		return nil
	})
}

// calls tells whether a call is pkg.name(…).
func calls(call *ast.CallExpr, pkg, name string) bool {
	sel, ok := call.Fun.(*ast.SelectorExpr)
	if !ok || sel.Sel.Name != name {
		return false
	}
	id, ok := sel.X.(*ast.Ident)
	return ok && id.Name == pkg
}
